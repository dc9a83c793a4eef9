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
    double low_um = HUGE_VAL;
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

static const char *stroke_word(const lev_card_step *step)
{
    switch (step->stroke) {
    case LEV_CARD_TO_AND_FRO:
        return WORD_STROKE_FRO;
    case LEV_CARD_ONE_WAY:
        return WORD_STROKE_ONE;
    case LEV_CARD_CIRCLES:
        return WORD_STROKE_CIRCLES;
    case LEV_CARD_ORBITAL:
        return isfinite(step->angle_deg) ? WORD_STROKE_ORBITAL : WORD_STROKE_ANY;
    case LEV_CARD_NO_STROKE:
        break;
    }
    return NULL;
}

/* When to look and how long it takes: on lines of their own unless that costs a line.
 */
static double draw_amount(card_flow *f, double x_mm, double y_mm, double w_mm,
                          const lev_card_step *s)
{
    const double pt = CARD_INSTRUCTION_PT;
    const lev_type type = {.size_pt = pt, .width_mm = w_mm};
    double all_mm = 0.0;
    double first_mm = 0.0;
    double rest_mm = 0.0;
    double unused_mm = 0.0;
    lev_canvas_text_size(f->c, &type, s->amount, s->time, &unused_mm, &all_mm);
    lev_canvas_text_size(f->c, &type, s->amount, NULL, &unused_mm, &first_mm);
    lev_canvas_text_size(f->c, &type, NULL, s->time, &unused_mm, &rest_mm);
    if (all_mm < first_mm + rest_mm - 0.5)
        return card_para(f, x_mm, y_mm, w_mm, pt, s->amount, s->time);
    card_para(f, x_mm, y_mm, w_mm, pt, s->amount, NULL);
    card_para(f, x_mm, y_mm + first_mm, w_mm, pt, NULL, s->time);
    return first_mm + rest_mm;
}

/* What to do, down a column; returns its height. */
static double draw_words(card_flow *f, double x_mm, double y_mm, double w_mm,
                         const lev_card_step *s)
{
    const double pt = CARD_INSTRUCTION_PT;
    const lev_type use = {.size_pt = CARD_USE_PT, .bold = true, .width_mm = w_mm};
    double y = y_mm + lev_canvas_text(f->c, x_mm, y_mm, &use, NULL, s->use) + 0.5;
    y += card_para(f, x_mm, y, w_mm, pt, stroke_word(s), s->push);
    if (card_has(s->fluid))
        y += card_para(f, x_mm, y, w_mm, pt, WORD_FLUID, s->fluid);
    y += draw_amount(f, x_mm, y, w_mm, s);
    y += card_para(f, x_mm, y, w_mm, pt, NULL, s->takes_off);
    return y - y_mm;
}

/* One of the two signs to watch for, under a rule. */
static double draw_sign(card_flow *f, double x_mm, double y_mm, double w_mm,
                        const char *word, const char *text)
{
    if (!card_has(text))
        return 0.0;
    lev_canvas_line(f->c, (lev_point){x_mm, y_mm}, (lev_point){x_mm + w_mm, y_mm},
                    (lev_pen){.width_mm = 0.6});
    return card_para(f, x_mm, y_mm + 0.6, w_mm, CARD_INSTRUCTION_PT, word, text) + 0.6;
}

/* What ends the step and what stops it, side by side where there is room; returns the
 * height. */
static double draw_signs(card_flow *f, double x_mm, double y_mm, const lev_card_step *s)
{
    const double gap_mm = 5.0;
    const double all_mm = f->right_mm - x_mm;
    const double half_mm = (all_mm - gap_mm) / 2.0;
    const bool both = card_has(s->check) && card_has(s->stop_if) && !f->narrow;
    const double w_mm = both ? half_mm : all_mm;
    const double until_mm = draw_sign(f, x_mm, y_mm, w_mm, WORD_UNTIL, s->check);
    const double stop_mm =
        draw_sign(f, both ? x_mm + half_mm + gap_mm : x_mm,
                  both ? y_mm : y_mm + until_mm + 0.8, w_mm, WORD_STOP_IF, s->stop_if);
    return both ? fmax(until_mm, stop_mm) : until_mm + 0.8 + stop_mm;
}

static void draw_glue_square(card_flow *f, lev_rect r)
{
    const lev_type type = {
        .size_pt = CARD_SMALL_PT, .width_mm = r.w_mm, .align = LEV_ALIGN_CENTRE};
    lev_canvas_rect(f->c, r, (lev_pen){.width_mm = 0.35, .dash_mm = 2.0});
    lev_canvas_text(f->c, r.x_mm, r.y_mm + 3.4, &type, NULL, WORD_GLUE);
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

/* A line to fill in with a pencil, its word behind it. */
static void draw_blank(card_flow *f, double x_mm, double y_mm, double w_mm,
                       const char *word)
{
    const lev_type type = {.size_pt = CARD_PLAIN_PT};
    const double word_mm = 8.0;
    lev_canvas_line(f->c, (lev_point){x_mm, y_mm + 4.4},
                    (lev_point){x_mm + w_mm - word_mm, y_mm + 4.4},
                    (lev_pen){.width_mm = 0.3});
    lev_canvas_text(f->c, x_mm + w_mm - word_mm + 1.0, y_mm, &type, NULL, word);
}

/* Three squares side by side with captions, and the blanks: below them, or on a small
 * page beside them; returns the height. */
static double draw_squares(card_flow *f, double x_mm, double y_mm,
                           const card_step_view *v)
{
    const double pitch_mm = SQUARE_MM + SQUARE_GAP_MM;
    const double all_mm = squares_width();
    lev_rect r = {x_mm, y_mm, SQUARE_MM, SQUARE_MM};
    draw_stroke_square(f, r, v->step);
    r.x_mm += pitch_mm;
    draw_grain_square(f, r, v);
    r.x_mm += pitch_mm;
    if (has_grain(v->step))
        draw_glue_square(f, r);
    if (f->narrow) {
        const double aside_mm = x_mm + all_mm + SQUARE_GAP_MM;
        draw_blank(f, aside_mm, y_mm + 3.0, f->right_mm - aside_mm, WORD_MINUTES);
        draw_blank(f, aside_mm, y_mm + 13.0, f->right_mm - aside_mm, WORD_BY);
        return SQUARE_MM + 5.5;
    }
    draw_blank(f, x_mm, y_mm + SQUARE_MM + 7.5, all_mm / 2.0 - 1.0, WORD_MINUTES);
    draw_blank(f, x_mm + all_mm / 2.0 + 1.0, y_mm + SQUARE_MM + 7.5, all_mm / 2.0 - 1.0,
               WORD_BY);
    return SQUARE_MM + 13.0;
}

/* Number in large type, the box to tick under it. */
static double draw_number(card_flow *f, double y_mm, int number)
{
    char text[16];
    const lev_type type = {.size_pt = CARD_NUMBER_PT, .bold = true};
    (void)snprintf(text, sizeof text, "%d", number);
    const double h_mm =
        lev_canvas_text(f->c, f->left_mm, y_mm - 1.5, &type, NULL, text);
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

/* Words and squares beside each other, or on a small page below each other; then the
 * signs over the whole width. */
static double draw_body(card_flow *f, double y_mm, const card_step_view *v)
{
    const double text_x_mm = f->left_mm + NUMBER_COLUMN_MM;
    const double aside_mm = f->narrow ? 0.0 : squares_width() + 4.0;
    const double w_mm = f->right_mm - text_x_mm - aside_mm;
    const double number_mm = draw_number(f, y_mm, v->step->number);
    double y = y_mm + draw_words(f, text_x_mm, y_mm, w_mm, v->step);
    if (f->narrow)
        y += 2.0 + draw_squares(f, text_x_mm, y + 2.0, v);
    else
        y = fmax(y, y_mm + 1.5 +
                        draw_squares(f, f->right_mm - squares_width(), y_mm + 1.5, v));
    y = fmax(y, y_mm + number_mm) + 1.0;
    return y + draw_signs(f, text_x_mm, y, v->step) - y_mm;
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
