/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The small drawings of a card: strokes, grains, severity bars, ruler. */
#ifndef CARD_DRAW_H
#define CARD_DRAW_H

#include "card_canvas.h"

/** The direction of a step in a square: old lines dashed, new stroke solid. */
void lev_draw_stroke(lev_canvas *c, lev_rect square, const lev_card_step *step);

/** Grains of a step under a round glass at this magnification. */
void lev_draw_grains(lev_canvas *c, lev_rect square, const lev_card_step *step,
                     double magnification);

/** The magnification, a 1-2-5 number, at which this median is easy to see. */
double lev_draw_magnification(double d50_um);

/** Three, two or one heavy bars: how serious, without colour. */
void lev_draw_severity(lev_canvas *c, lev_rect r, lev_card_severity severity,
                       bool white);

/** 100 mm above, 4 in below, to prove the scale of the print; 102 mm wide, 5 high. */
void lev_draw_ruler(lev_canvas *c, lev_point at);

/** An empty box to tick. */
void lev_draw_tick_box(lev_canvas *c, lev_point at, double side_mm);

#endif
