/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Axes, lines, bars and pictures. See card_plot.h. */
#include "card_plot.h"

#include <math.h>

#include "mem.h"
#include "num.h"

static double figure_pt(const lev_plot *p)
{
    return p->size_pt > 0.0 ? p->size_pt : 9.0;
}

static double share(const lev_card_axis *axis, double value)
{
    if (axis->log)
        return log(value / axis->from) / log(axis->to / axis->from);
    return (value - axis->from) / (axis->to - axis->from);
}

double lev_plot_x(const lev_plot *p, double value)
{
    return p->area.x_mm + p->area.w_mm * share(&p->x, value);
}

double lev_plot_y(const lev_plot *p, double value)
{
    return p->area.y_mm + p->area.h_mm * (1.0 - share(&p->y, value));
}

static int log_ticks(const lev_card_axis *axis, double out[LEV_PLOT_TICKS])
{
    static const double mantissa[] = {1.0, 2.0, 5.0};
    int n = 0;
    const int first = (int)floor(log10(axis->from) + 1e-9);
    const int last = (int)ceil(log10(axis->to) - 1e-9);
    for (int d = first; d <= last; d++)
        for (int i = 0; i < 3; i++) {
            const double v = mantissa[i] * pow(10.0, d);
            if (n < LEV_PLOT_TICKS && v >= axis->from * (1.0 - 1e-9) &&
                v <= axis->to * (1.0 + 1e-9))
                out[n++] = v;
        }
    return n;
}

static double round_step(double raw)
{
    const double decade = pow(10.0, floor(log10(raw)));
    const double m = raw / decade;
    if (m <= 1.0)
        return decade;
    if (m <= 2.0)
        return 2.0 * decade;
    return m <= 5.0 ? 5.0 * decade : 10.0 * decade;
}

int lev_plot_ticks(const lev_card_axis *axis, int wanted, double out[LEV_PLOT_TICKS])
{
    if (axis->log)
        return log_ticks(axis, out);
    int n = 0;
    const double step = round_step((axis->to - axis->from) / fmax(wanted, 1.0));
    const double first = ceil(axis->from / step - 1e-9);
    for (int i = 0; n < LEV_PLOT_TICKS; i++) {
        const double v = (first + i) * step;
        if (v > axis->to + 1e-9 * step)
            break;
        out[n++] = fabs(v) < 1e-9 * step ? 0.0 : v;
    }
    return n;
}

static void put_figure(const lev_plot *p, double x_mm, double y_mm, double value,
                       lev_canvas_align align)
{
    char text[LEV_NUM_TEXT];
    const lev_type type = {.size_pt = figure_pt(p), .align = align};
    double w_mm = 0.0;
    double h_mm = 0.0;
    lev_num_write(value, 6, text);
    lev_canvas_text_size(p->c, &type, NULL, text, &w_mm, &h_mm);
    if (align == LEV_ALIGN_CENTRE) /* no grid line runs through the figure */
        lev_canvas_fill_rect(
            p->c,
            (lev_rect){x_mm - w_mm / 2.0 - 0.5, y_mm + 0.4, w_mm + 1.0, h_mm - 0.8},
            LEV_FILL_WHITE);
    lev_canvas_text(p->c, x_mm, y_mm, &type, NULL, text);
}

static double line_height(const lev_plot *p)
{
    return figure_pt(p) * 1.17 * LEV_CANVAS_MM_PER_PT;
}

void lev_plot_x_axis(const lev_plot *p, double y_mm, bool above)
{
    double tick[LEV_PLOT_TICKS];
    const int n = lev_plot_ticks(&p->x, (int)(p->area.w_mm / 22.0), tick);
    const double out_mm = above ? -1.6 : 1.6;
    const double text_mm = above ? y_mm - 2.0 - line_height(p) : y_mm + 2.0;
    lev_canvas_line(p->c, (lev_point){p->area.x_mm, y_mm},
                    (lev_point){p->area.x_mm + p->area.w_mm, y_mm},
                    (lev_pen){.width_mm = 0.4});
    for (int i = 0; i < n; i++) {
        const double x = lev_plot_x(p, tick[i]);
        lev_canvas_line(p->c, (lev_point){x, y_mm}, (lev_point){x, y_mm + out_mm},
                        (lev_pen){.width_mm = 0.4});
        put_figure(p, x, text_mm, tick[i], LEV_ALIGN_CENTRE);
    }
}

static void y_figures(const lev_plot *p, bool grid)
{
    double tick[LEV_PLOT_TICKS];
    const int n = lev_plot_ticks(&p->y, (int)(p->area.h_mm / 7.0), tick);
    const double left = p->area.x_mm;
    for (int i = 0; i < n; i++) {
        const double y = lev_plot_y(p, tick[i]);
        lev_canvas_line(p->c, (lev_point){left - 1.6, y}, (lev_point){left, y},
                        (lev_pen){.width_mm = 0.4});
        if (grid)
            lev_canvas_line(p->c, (lev_point){left, y},
                            (lev_point){left + p->area.w_mm, y},
                            (lev_pen){.width_mm = 0.12, .ink = LEV_CANVAS_INK_MIN});
        put_figure(p, left - 2.2, y - line_height(p) / 2.0, tick[i], LEV_ALIGN_RIGHT);
    }
}

static void x_grid(const lev_plot *p)
{
    double tick[LEV_PLOT_TICKS];
    const int n = lev_plot_ticks(&p->x, (int)(p->area.w_mm / 22.0), tick);
    for (int i = 0; i < n; i++) {
        const double x = lev_plot_x(p, tick[i]);
        lev_canvas_line(p->c, (lev_point){x, p->area.y_mm},
                        (lev_point){x, p->area.y_mm + p->area.h_mm},
                        (lev_pen){.width_mm = 0.12, .ink = LEV_CANVAS_INK_MIN});
    }
}

void lev_plot_axes(const lev_plot *p, bool grid)
{
    const double foot_mm = p->area.y_mm + p->area.h_mm;
    const lev_type label = {.size_pt = figure_pt(p) + 1.0, .align = LEV_ALIGN_CENTRE};
    if (grid)
        x_grid(p);
    y_figures(p, grid);
    lev_plot_x_axis(p, foot_mm, false);
    lev_canvas_rect(p->c, p->area, (lev_pen){.width_mm = 0.4});
    lev_canvas_text(p->c, p->area.x_mm + p->area.w_mm / 2.0,
                    foot_mm + 2.4 + line_height(p), &label, NULL, p->x.label);
    lev_canvas_text_turned(p->c, p->area.x_mm - 15.0, p->area.y_mm + p->area.h_mm / 2.0,
                           90.0, &label, p->y.label);
}

/* Far off the page is far enough: the drawing library counts in 24 bits. */
static double near_page(double mm)
{
    return fmax(fmin(mm, 1e4), -1e4);
}

static bool is_on_axes(const lev_plot *p, double x, double y)
{
    return isfinite(x) && isfinite(y) && (!p->x.log || x > 0.0) &&
           (!p->y.log || y > 0.0);
}

void lev_plot_line(const lev_plot *p, const lev_card_series *s, lev_pen pen)
{
    lev_error err = {0};
    void *room = NULL;
    const lev_status st = lev_mem_new((size_t)s->n, sizeof(lev_point), &room, &err);
    if (st < 0) {
        lev_canvas_fail(p->c, st, "%s", err.text);
        return;
    }
    lev_point *at = room;
    ptrdiff_t n = 0;
    lev_canvas_clip(p->c, p->area, false);
    for (ptrdiff_t i = 0; i < s->n; i++) {
        if (is_on_axes(p, s->x[i], s->y[i])) {
            at[n++] = (lev_point){near_page(lev_plot_x(p, s->x[i])),
                                  near_page(lev_plot_y(p, s->y[i]))};
            continue;
        }
        lev_canvas_polyline(p->c, at, n, pen);
        n = 0;
    }
    lev_canvas_polyline(p->c, at, n, pen);
    lev_canvas_unclip(p->c);
    lev_mem_free(room);
}

void lev_plot_bar(const lev_plot *p, double from, double to, double y_mm,
                  double height_mm, lev_fill_kind fill)
{
    const double left = fmax(lev_plot_x(p, from), p->area.x_mm);
    const double right = fmin(lev_plot_x(p, to), p->area.x_mm + p->area.w_mm);
    if (!(right > left))
        return;
    const lev_rect r = {left, y_mm - height_mm / 2.0, right - left, height_mm};
    lev_canvas_fill_rect(p->c, r, fill);
    lev_canvas_rect(p->c, r, (lev_pen){.width_mm = 0.25});
}

void lev_plot_image(const lev_plot *p, const lev_card_image *image)
{
    lev_canvas_image(p->c, p->area, image);
}
