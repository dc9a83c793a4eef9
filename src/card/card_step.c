/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One step of a ladder on the card: number and box, what to do, three squares, a line
 * for what it really took; then the gate and the clean-down line that belong to it. */
#include <math.h>
#include <stdio.h>

#include "card_draw.h"
#include "card_job.h"
#include "card_words.h"
#include "num.h"

static const double NUMBER_COLUMN_MM = 14.0;
static const double SQUARE_MM = 20.0;
static const double SQUARE_GAP_MM = 3.5;
static const double TICK_MM = 8.0;
static const double DRAWN_LEAST_MM = 0.5; /* a smaller grain is a dot, not a drawing */
static const double DRAWN_MOST_MM = 9.0;  /* a larger one fills the glass alone */

static double squares_width(void)
{
    return 3.0 * SQUARE_MM + 2.0 * SQUARE_GAP_MM;
}

static bool has_grain(const lev_card_step *step)
{
    return step->d50_um > 0.0 && isfinite(step->d50_um);
}

double card_common_magnification(const lev_card_step *step, ptrdiff_t n)
{
    double low_um = INFINITY;
    double high_um = 0.0;
    for (ptrdiff_t i = 0; i < n; i++) {
        if (!has_grain(&step[i]))
            continue;
        low_um = fmin(low_um, step[i].d50_um);
        high_um = fmax(high_um, step[i].d50_um);
    }
    if (!(high_um > 0.0))
        return 0.0;
    const double m = lev_draw_magnification(sqrt(low_um * high_um));
    const bool good =
        low_um * m >= DRAWN_LEAST_MM * 1e3 && high_um * m <= DRAWN_MOST_MM * 1e3;
    return good ? m : 0.0;
}

static const char *stroke_word(lev_card_stroke stroke)
{
    switch (stroke) {
    case LEV_CARD_TO_AND_FRO:
        return WORD_STROKE_FRO;
    case LEV_CARD_ONE_WAY:
        return WORD_STROKE_ONE;
    case LEV_CARD_CIRCLES:
        return WORD_STROKE_CIRCLES;
    case LEV_CARD_ORBITAL:
        return WORD_STROKE_ORBITAL;
    case LEV_CARD_NO_STROKE:
        break;
    }
    return NULL;
}

/* The words of a step down a column; returns their height. */
static double draw_words(card_flow *f, double x_mm, double y_mm, double w_mm,
                         const lev_card_step *s)
{
    const double pt = CARD_INSTRUCTION_PT;
    const lev_type use = {.size_pt = CARD_USE_PT, .bold = true, .width_mm = w_mm};
    double y = y_mm + lev_canvas_text(f->c, x_mm, y_mm, &use, NULL, s->use) + 0.5;
    y += card_para(f, x_mm, y, w_mm, pt, stroke_word(s->stroke), s->push);
    if (card_has(s->fluid))
        y += card_para(f, x_mm, y, w_mm, pt, WORD_FLUID, s->fluid);
    y += card_para(f, x_mm, y, w_mm, pt, s->amount, s->time);
    y += card_para(f, x_mm, y, w_mm, pt, NULL, s->takes_off);
    if (card_has(s->check))
        y += card_para(f, x_mm, y + 0.8, w_mm, pt, WORD_UNTIL, s->check) + 0.8;
    if (card_has(s->stop_if))
        y += card_para(f, x_mm, y + 0.8, w_mm, pt, WORD_STOP_IF, s->stop_if) + 0.8;
    return y - y_mm;
}

static void draw_glue_square(card_flow *f, lev_rect r)
{
    const lev_type type = {
        .size_pt = CARD_SMALL_PT, .width_mm = r.w_mm, .align = LEV_ALIGN_CENTRE};
    lev_canvas_rect(f->c, r, (lev_pen){.width_mm = 0.35, .dash_mm = 2.0});
    lev_canvas_text(f->c, r.x_mm, r.y_mm + 5.0, &type, NULL, WORD_GLUE);
}

static void draw_grain_square(card_flow *f, lev_rect r, const card_step_view *v)
{
    char text[2 * LEV_NUM_TEXT + 16];
    char mag[LEV_NUM_TEXT];
    char size[LEV_NUM_TEXT];
    const lev_type type = {.size_pt = 9.0, .align = LEV_ALIGN_CENTRE, .bold = true};
    if (!has_grain(v->step))
        return;
    const double m = v->magnification > 0.0 ? v->magnification
                                            : lev_draw_magnification(v->step->d50_um);
    lev_draw_grains(f->c, r, v->step, m);
    lev_num_write(m, 6, mag);
    lev_num_write(v->step->d50_um, 3, size);
    (void)snprintf(text, sizeof text, "%s \xC2\xB5m \xC3\x97%s", size, mag);
    lev_canvas_text(f->c, r.x_mm + r.w_mm / 2.0, r.y_mm + r.h_mm + 0.6, &type, NULL,
                    text);
}

static void draw_stroke_square(card_flow *f, lev_rect r, const lev_card_step *step)
{
    const lev_type type = {.size_pt = CARD_SMALL_PT, .align = LEV_ALIGN_CENTRE};
    if (step->stroke == LEV_CARD_NO_STROKE)
        return;
    lev_draw_stroke(f->c, r, step);
    lev_canvas_text(f->c, r.x_mm + r.w_mm / 2.0, r.y_mm + r.h_mm + 0.7, &type, NULL,
                    WORD_LENGTH);
}

/* "____ min  ____ by": filled in with a pencil. */
static void draw_blanks(card_flow *f, double x_mm, double y_mm, double w_mm)
{
    const lev_type type = {.size_pt = CARD_PLAIN_PT};
    const lev_pen rule = {.width_mm = 0.3};
    const double half_mm = w_mm / 2.0;
    const double foot_mm = y_mm + 4.6;
    lev_canvas_line(f->c, (lev_point){x_mm, foot_mm},
                    (lev_point){x_mm + half_mm - 10.0, foot_mm}, rule);
    lev_canvas_text(f->c, x_mm + half_mm - 9.0, y_mm, &type, NULL, WORD_MINUTES);
    lev_canvas_text(f->c, x_mm + half_mm + 1.0, y_mm, &type, NULL, WORD_BY);
    lev_canvas_line(f->c, (lev_point){x_mm + half_mm + 7.0, foot_mm},
                    (lev_point){x_mm + w_mm, foot_mm}, rule);
}

/* Three squares side by side, captions and blanks below; returns the height. */
static double draw_squares(card_flow *f, double x_mm, double y_mm,
                           const card_step_view *v)
{
    const double pitch_mm = SQUARE_MM + SQUARE_GAP_MM;
    lev_rect r = {x_mm, y_mm, SQUARE_MM, SQUARE_MM};
    draw_stroke_square(f, r, v->step);
    r.x_mm += pitch_mm;
    draw_grain_square(f, r, v);
    r.x_mm += pitch_mm;
    draw_glue_square(f, r);
    draw_blanks(f, x_mm, y_mm + SQUARE_MM + 7.5, squares_width());
    return SQUARE_MM + 13.5;
}

/* Number in large type, the box to tick under it. */
static double draw_number(card_flow *f, double y_mm, int number)
{
    char text[16];
    const lev_type type = {.size_pt = CARD_NUMBER_PT, .bold = true};
    (void)snprintf(text, sizeof text, "%d", number);
    const double h_mm = lev_canvas_text(f->c, f->left_mm, y_mm - 1.5, &type, NULL, text);
    lev_draw_tick_box(f->c, (lev_point){f->left_mm + 0.3, y_mm + h_mm}, TICK_MM);
    return h_mm + TICK_MM + 1.0;
}

static double draw_gate(card_flow *f, double y_mm)
{
    const lev_type type = {.size_pt = 16.0, .bold = true, .white = true};
    const double h_mm = 9.5;
    const lev_rect bar = {f->left_mm, y_mm, card_flow_width(f), h_mm};
    lev_canvas_fill_rect(f->c, bar, LEV_FILL_SOLID);
    lev_canvas_text(f->c, f->left_mm + NUMBER_COLUMN_MM, y_mm + 1.1, &type, NULL,
                    WORD_GATE);
    const lev_rect box = {f->left_mm + 1.0, y_mm + 0.75, TICK_MM, TICK_MM};
    lev_canvas_fill_rect(f->c, box, LEV_FILL_WHITE);
    return h_mm + 1.5;
}

static double draw_clean_down(card_flow *f, double y_mm)
{
    const double h_mm = TICK_MM + 1.0;
    lev_draw_tick_box(f->c, (lev_point){f->left_mm + 0.3, y_mm}, TICK_MM);
    card_para(f, f->left_mm + NUMBER_COLUMN_MM, y_mm + 0.9,
              card_flow_width(f) - NUMBER_COLUMN_MM, CARD_INSTRUCTION_PT, NULL,
              WORD_CLEAN);
    return h_mm;
}

/* Words and squares beside each other, or on a small page below each other. */
static double draw_body(card_flow *f, double y_mm, const card_step_view *v)
{
    const double text_x_mm = f->left_mm + NUMBER_COLUMN_MM;
    const double aside_mm = f->narrow ? 0.0 : squares_width() + 4.0;
    const double w_mm = f->right_mm - text_x_mm - aside_mm;
    const double number_mm = draw_number(f, y_mm, v->step->number);
    const double words_mm = draw_words(f, text_x_mm, y_mm, w_mm, v->step);
    if (f->narrow)
        return words_mm + 2.0 + draw_squares(f, text_x_mm, y_mm + words_mm + 2.0, v);
    const double squares_mm =
        draw_squares(f, f->right_mm - squares_width(), y_mm + 1.5, v) + 1.5;
    return fmax(fmax(number_mm, words_mm), squares_mm);
}

double card_step_block(card_flow *f, const void *what)
{
    const card_step_view *v = what;
    double y = f->y_mm + 2.0;
    y += draw_body(f, y, v) + 1.5;
    if (v->step->gate)
        y += draw_gate(f, y);
    if (v->step->clean_down)
        y += draw_clean_down(f, y + 0.5) + 0.5;
    y += 0.5;
    if (!v->last)
        lev_canvas_line(f->c, (lev_point){f->left_mm, y}, (lev_point){f->right_mm, y},
                        (lev_pen){.width_mm = 0.35});
    return y - f->y_mm;
}
