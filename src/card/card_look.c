/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Before and after, by what the face reflects. */
#include "card_job.h"

#include <math.h>

static const double GAP_MM = 4.0, PICTURE_MM = 44.0;

static double said(card_flow *f, lev_point at, double w_mm, const lev_card_look *look)
{
    const lev_type caption = {.size_pt = 12.0, .bold = true, .width_mm = w_mm};
    double y = at.y_mm;
    y += lev_canvas_text(f->c, at.x_mm, y, &caption, NULL, look->caption) + 0.5;
    const char *const line[] = {look->gloss, look->reads, look->doubt};
    for (int i = 0; i < 3; i++)
        if (card_has(line[i]))
            y += card_para(f, at.x_mm, y, w_mm, CARD_PLAIN_PT, NULL, line[i]) + 0.5;
    return y - at.y_mm;
}

/* One state in a column; its words beside the picture, or below on a small page. */
static double draw_state(card_flow *f, lev_point at, double w_mm,
                         const lev_card_look *look)
{
    const double most_mm = f->narrow ? w_mm : PICTURE_MM;
    const double wide_mm = fmin(most_mm, w_mm);
    const lev_rect r = {at.x_mm, at.y_mm, wide_mm,
                        wide_mm * (double)look->image.height /
                            (double)look->image.width};
    lev_canvas_image(f->c, r, &look->image);
    lev_canvas_rect(f->c, r, (lev_pen){.width_mm = 0.3});
    if (f->narrow)
        return r.h_mm + 1.0 +
               said(f, (lev_point){at.x_mm, at.y_mm + r.h_mm + 1.0}, w_mm, look);
    const lev_point beside = {at.x_mm + wide_mm + GAP_MM / 2.0, at.y_mm};
    return fmax(r.h_mm, said(f, beside, w_mm - wide_mm - GAP_MM / 2.0, look));
}

double card_look_block(card_flow *f, const void *what)
{
    const lev_card_face *face = what;
    const lev_type head = {
        .size_pt = 12.0, .bold = true, .width_mm = card_flow_width(f)};
    const double w_mm = (card_flow_width(f) - GAP_MM) / 2.0;
    double h_mm = 0.0;
    double y = f->y_mm + 2.0;
    y += lev_canvas_text(f->c, f->left_mm, y, &head, NULL, face->look_title) + 1.0;
    for (ptrdiff_t i = 0; i < face->looks; i++) {
        const lev_point at = {f->left_mm + (double)i * (w_mm + GAP_MM), y};
        h_mm = fmax(h_mm, draw_state(f, at, w_mm, &face->look[i]));
    }
    return y + h_mm - f->y_mm + 2.5;
}
