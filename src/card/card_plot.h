/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two axes on a canvas and what is drawn against them. */
#ifndef CARD_PLOT_H
#define CARD_PLOT_H

#include "card_canvas.h"

typedef struct lev_plot {
    lev_canvas *c;
    lev_rect area;      /* inside the axes */
    lev_card_axis x, y; /* from < to; from > 0 on a logarithmic axis */
    double size_pt;     /* of the figures; 0 = 9 */
} lev_plot;

enum { LEV_PLOT_TICKS = 64 };

/** Round values on an axis: 1-2-5 steps, or 1, 2, 5 of each decade; sets how many. */
int lev_plot_ticks(const lev_card_axis *axis, int wanted, double out[LEV_PLOT_TICKS]);

/** Place of a value on the page, mm; beyond the ends for values beyond the axis. */
double lev_plot_x(const lev_plot *p, double value);
double lev_plot_y(const lev_plot *p, double value);

/** Frame, ticks, figures and labels; faint lines at the ticks when grid. */
void lev_plot_axes(const lev_plot *p, bool grid);
/** Only the horizontal axis, its figures at y_mm (above or below the line). */
void lev_plot_x_axis(const lev_plot *p, double y_mm, bool above);

/** A line, broken where x or y is NaN; kept inside the axes. */
void lev_plot_line(const lev_plot *p, const lev_card_series *s, lev_pen pen);
/** A horizontal bar from one x to another, its middle at y_mm. */
void lev_plot_bar(const lev_plot *p, double from, double to, double y_mm,
                  double height_mm, lev_fill_kind fill);
/** A picture stretched over the axes. */
void lev_plot_image(const lev_plot *p, const lev_card_image *image);

#endif
