/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shapes on a picture, in millimetres from its upper left corner (y down), with soft
 * edges one point wide. */
#ifndef OPTICS_DRAW_H
#define OPTICS_DRAW_H

#include "levigate/optics.h"

#ifdef __cplusplus
extern "C" {
#endif

lev_status lev_picture_new(ptrdiff_t nx, ptrdiff_t ny, double pitch_mm, float level,
                           lev_picture *out, lev_error *err);

typedef struct lev_box_mm {
    double x, y, w, h;
} lev_box_mm;

void lev_draw_box(lev_picture *p, lev_box_mm b, const float rgb[3]);

/** A box whose sides lean: everything in b to the right of the line through its middle
 * that leans slant_rad from upright. */
void lev_draw_slant(lev_picture *p, lev_box_mm b, double slant_rad, const float rgb[3]);

/** A stroke with round ends. */
typedef struct lev_stroke_mm {
    double x0, y0, x1, y1, width;
} lev_stroke_mm;

void lev_draw_stroke(lev_picture *p, lev_stroke_mm s, const float rgb[3]);

#ifdef __cplusplus
}
#endif
#endif
