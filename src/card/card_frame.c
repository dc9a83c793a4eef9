/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Frame of a job card page: what it is for on top, what to write down at the foot. */
#include <math.h>
#include <string.h>

#include "card_draw.h"
#include "card_job.h"
#include "card_words.h"
#include "text.h"

static const double HEAVY_MM = 1.0;

/* Parts of one line, a raised dot between those that are there. */
static void join(lev_text *t, const char *a, const char *b, const char *c)
{
    const char *const part[] = {a, b, c};
    for (int i = 0; i < 3; i++) {
        if (!card_has(part[i]))
            continue;
        if (t->n > 0)
            lev_text_add(t, " \xC2\xB7 ");
        lev_text_add(t, part[i]);
    }
}

static void put_joined(card_flow *f, double y_mm, const lev_type *type, const char *a,
                       const char *b, const char *c, double *height_mm)
{
    lev_text t = {0};
    const bool right = type->align == LEV_ALIGN_RIGHT && type->width_mm <= 0.0;
    join(&t, a, b, c);
    if (t.st < 0)
        lev_canvas_fail(f->c, t.st, "out of memory");
    const double h_mm = lev_canvas_text(f->c, right ? f->right_mm : f->left_mm, y_mm,
                                        type, NULL, lev_text_get(&t));
    if (height_mm != NULL)
        *height_mm = h_mm;
    lev_text_release(&t);
}

/* Face, piece and material at the left; page, date and version at the right. */
static double draw_title(card_flow *f, const lev_card_job *job, double y_mm)
{
    char page[40];
    double name_mm = 0.0;
    double what_mm = 0.0;
    double page_mm = 0.0;
    const double aside_mm = f->narrow ? 32.0 : 48.0;
    const double w_mm = card_flow_width(f) - aside_mm;
    const lev_type big = {
        .size_pt = f->narrow ? 18 : 22, .bold = true, .width_mm = w_mm};
    const lev_type plain = {.size_pt = f->narrow ? 10 : 12, .width_mm = w_mm};
    const lev_type number = {.size_pt = 12, .bold = true, .align = LEV_ALIGN_RIGHT};
    const lev_type aside = {.size_pt = 9, .align = LEV_ALIGN_RIGHT};

    card_page_number(f, page);
    page_mm = lev_canvas_text(f->c, f->right_mm, y_mm + 1.0, &number, NULL, page) + 1.0;
    page_mm += lev_canvas_text(f->c, f->right_mm, y_mm + page_mm, &aside, NULL,
                               job->head.date);
    page_mm += lev_canvas_text(f->c, f->right_mm, y_mm + page_mm, &aside, NULL,
                               job->head.version);
    put_joined(f, y_mm, &big, f->face->name, NULL, NULL, &name_mm);
    put_joined(f, y_mm + name_mm, &plain, job->piece, f->face->material, f->face->size,
               &what_mm);
    return fmax(page_mm, name_mm + what_mm) + 1.0;
}

/* Two lines to write on, and the ruler. */
static double draw_foot(card_flow *f, double bottom_mm)
{
    const bool worked =
        f->face->kind == LEV_CARD_LADDER || f->face->kind == LEV_CARD_RECOVER;
    const char *word = worked ? WORD_WRONG : WORD_NOTES;
    const lev_type wrong = {.size_pt = 12, .bold = true};
    const lev_type small = {.size_pt = CARD_SMALL_PT,
                            .width_mm = f->narrow ? 0.0 : card_flow_width(f) - 106.0};
    const lev_pen rule = {.width_mm = 0.3};
    double w_mm = 0.0;
    double h_mm = 0.0;
    const double top_mm = bottom_mm - 24.0;

    lev_canvas_line(f->c, (lev_point){f->left_mm, top_mm},
                    (lev_point){f->right_mm, top_mm}, (lev_pen){.width_mm = HEAVY_MM});
    lev_canvas_text(f->c, f->left_mm, top_mm + 2.5, &wrong, NULL, word);
    lev_canvas_text_size(f->c, &wrong, NULL, word, &w_mm, &h_mm);
    lev_canvas_line(f->c, (lev_point){f->left_mm + w_mm + 2.0, top_mm + 8.0},
                    (lev_point){f->right_mm, top_mm + 8.0}, rule);
    lev_canvas_line(f->c, (lev_point){f->left_mm, top_mm + 16.0},
                    (lev_point){f->right_mm, top_mm + 16.0}, rule);
    lev_draw_ruler(f->c, (lev_point){f->left_mm, bottom_mm - 5.0});
    if (f->narrow)
        lev_canvas_text(f->c, f->left_mm, bottom_mm, &small, NULL, WORD_SCALE);
    else
        lev_canvas_text(f->c, f->left_mm + 105.0, bottom_mm - 6.0, &small, NULL,
                        WORD_SCALE);
    return top_mm;
}

void card_job_frame(card_flow *f)
{
    const lev_card_job *job = f->view;
    const double top_mm = job->clip_top ? CARD_CLIP_MM : CARD_EDGE_MM;

    f->narrow = f->width_mm < 180.0;
    f->left_mm = job->clip_top ? CARD_EDGE_MM : CARD_CLIP_MM;
    f->right_mm = f->width_mm - (f->narrow ? 7.0 : CARD_EDGE_MM);
    const double rule_mm = top_mm + draw_title(f, job, top_mm);
    lev_canvas_line(f->c, (lev_point){f->left_mm, rule_mm},
                    (lev_point){f->right_mm, rule_mm}, (lev_pen){.width_mm = HEAVY_MM});
    f->top_mm = rule_mm + 2.5;
    f->bottom_mm = draw_foot(f, f->height_mm - CARD_EDGE_MM) - 1.5;
}
