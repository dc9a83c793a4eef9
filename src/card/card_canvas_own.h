/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The inside of a canvas, for card_canvas.c, card_shape.c and card_type.c only. The
 * user unit of the Cairo context is the point. */
#ifndef CARD_CANVAS_OWN_H
#define CARD_CANVAS_OWN_H

#include <cairo.h>
#include <pango/pangocairo.h>

#include "card_canvas.h"

struct lev_canvas {
    lev_canvas_spec spec;
    lev_status st; /* first failure ... */
    lev_error err; /* ... and its message */
    int muted;
    int page; /* pages begun */
    cairo_surface_t *surface;
    cairo_t *cr;
    PangoFontMap *fonts;
    PangoContext *text;
    PangoLayout *layout;
};

static inline double card_pt(double mm)
{
    return mm / LEV_CANVAS_MM_PER_PT;
}

#endif
