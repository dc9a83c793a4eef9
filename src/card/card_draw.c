/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The small drawings of a card. See card_draw.h. */
#include "card_draw.h"

#include <math.h>

#include "rng.h"
#include "units.h"

static const double BOLD_MM = 1.1; /* a stroke that a wet hand at 60 cm can follow */

static lev_point centre_of(lev_rect r)
{
    return (lev_point){r.x_mm + r.w_mm / 2.0, r.y_mm + r.h_mm / 2.0};
}

/* From `from`, u along the direction and v to its left. */
static lev_point along(lev_point from, double angle_deg, double u_mm, double v_mm)
{
    const double a = angle_deg * LEV_PI / 180.0;
    return (lev_point){from.x_mm + u_mm * cos(a) - v_mm * sin(a),
                       from.y_mm - u_mm * sin(a) - v_mm * cos(a)};
}

static void old_lines(lev_canvas *c, lev_rect square, double angle_deg)
{
    const lev_pen pen = {.width_mm = 0.3, .ink = LEV_CANVAS_INK_MIN, .dash_mm = 1.3};
    const lev_point mid = centre_of(square);
    for (int i = -6; i <= 6; i++) {
        const double v_mm = square.w_mm * i / 8.0;
        lev_canvas_line(c, along(mid, angle_deg, -square.w_mm, v_mm),
                        along(mid, angle_deg, square.w_mm, v_mm), pen);
    }
}

static void to_and_fro(lev_canvas *c, lev_rect square, double angle_deg)
{
    const double half_mm = square.w_mm * 0.42;
    const lev_point mid = centre_of(square);
    lev_canvas_line(c, along(mid, angle_deg, -half_mm * 0.8, 0.0),
                    along(mid, angle_deg, half_mm * 0.8, 0.0),
                    (lev_pen){.width_mm = 1.5});
    lev_canvas_arrow_head(c, along(mid, angle_deg, half_mm, 0.0), angle_deg, 5.0);
    lev_canvas_arrow_head(c, along(mid, angle_deg, -half_mm, 0.0), angle_deg + 180.0,
                          5.0);
}

static void one_way(lev_canvas *c, lev_rect square, double angle_deg)
{
    const double half_mm = square.w_mm * 0.4;
    const lev_point mid = centre_of(square);
    for (int i = -1; i <= 1; i++) {
        const double v_mm = square.w_mm * 0.25 * i;
        lev_canvas_arrow(c, along(mid, angle_deg, -half_mm, v_mm),
                         along(mid, angle_deg, half_mm, v_mm), 3.8,
                         (lev_pen){.width_mm = BOLD_MM});
    }
}

static void circles(lev_canvas *c, lev_rect square)
{
    const lev_point mid = centre_of(square);
    const double r_mm = square.w_mm * 0.17;
    for (int i = 0; i < 4; i++) {
        const lev_point at = along(mid, 45.0 + 90.0 * i, square.w_mm * 0.32, 0.0);
        lev_canvas_arc(c, at, r_mm, 40.0, 345.0, (lev_pen){.width_mm = BOLD_MM});
        lev_canvas_arrow_head(c, along(at, 15.0, r_mm + 0.2, 0.0), 95.0, 3.2);
    }
}

/* The curl that a point of the pad draws while the machine moves along. */
static void orbital(lev_canvas *c, lev_rect square, double angle_deg)
{
    enum { POINTS = 160 };
    lev_point p[POINTS];
    const lev_point mid = centre_of(square);
    const double half_mm = square.w_mm * 0.31;
    const double r_mm = square.w_mm * 0.15;
    for (int i = 0; i < POINTS; i++) {
        const double s = (double)i / (POINTS - 1);
        const double turn = 2.0 * LEV_PI * 5.0 * s;
        p[i] = along(mid, angle_deg, half_mm * (2.0 * s - 1.0) + r_mm * cos(turn),
                     square.w_mm * 0.14 + r_mm * sin(turn));
    }
    lev_canvas_polyline(c, p, POINTS, (lev_pen){.width_mm = 0.5});
    const double v_mm = -square.w_mm * 0.2;
    lev_canvas_arrow(c, along(mid, angle_deg, -half_mm, v_mm),
                     along(mid, angle_deg, half_mm, v_mm), 4.5,
                     (lev_pen){.width_mm = BOLD_MM});
}

void lev_draw_stroke(lev_canvas *c, lev_rect square, const lev_card_step *step)
{
    lev_canvas_clip(c, square, false);
    if (isfinite(step->old_angle_deg))
        old_lines(c, square, step->old_angle_deg);
    /* A machine's curls have no direction of their own; a hand stroke without one is
     * better not drawn than drawn wrong. */
    const bool directed = isfinite(step->angle_deg);
    if (step->stroke == LEV_CARD_CIRCLES ||
        (step->stroke == LEV_CARD_ORBITAL && !directed))
        circles(c, square);
    else if (step->stroke == LEV_CARD_TO_AND_FRO && directed)
        to_and_fro(c, square, step->angle_deg);
    else if (step->stroke == LEV_CARD_ONE_WAY && directed)
        one_way(c, square, step->angle_deg);
    else if (step->stroke == LEV_CARD_ORBITAL)
        orbital(c, square, step->angle_deg);
    lev_canvas_unclip(c);
    lev_canvas_rect(c, square, (lev_pen){.width_mm = 0.35});
}

double lev_draw_magnification(double d50_um)
{
    static const double step[] = {1.0,   2.0,   5.0,   10.0,   20.0,   50.0,
                                  100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0};
    const double wanted_um = 2600.0; /* drawn median: 2 to 4 mm after rounding */
    double best = step[0];
    for (size_t i = 0; i < sizeof step / sizeof *step; i++)
        if (fabs(log(step[i] * d50_um / wanted_um)) <
            fabs(log(best * d50_um / wanted_um)))
            best = step[i];
    return best;
}

/* One angular grain: a rough convex outline, and edges from a high point to some of its
 * corners, so that it reads as a crystal and not as a pebble. */
static void one_grain(lev_canvas *c, lev_point at, double size_mm, lev_rng rng,
                      uint64_t index)
{
    enum { CORNERS_MAX = 8 };
    lev_point p[CORNERS_MAX];
    double u[2];
    lev_rng_uniform2(rng, index, 10, u);
    const int n = 5 + (int)(u[0] * 3.0);
    const double turn_deg = u[1] * 360.0;
    for (int i = 0; i < n; i++) {
        lev_rng_uniform2(rng, index, 20U + (uint64_t)i, u);
        p[i] = along(at, turn_deg + 360.0 / n * (i + 0.5 * (u[0] - 0.5)),
                     size_mm * (0.42 + 0.16 * u[1]), 0.0);
    }
    const double pen_mm = size_mm > 1.5 ? 0.3 : 0.2;
    lev_canvas_polygon(c, p, n, LEV_FILL_WHITE, (lev_pen){.width_mm = pen_mm});
    if (size_mm < 1.2)
        return;
    const lev_point top = along(at, turn_deg + 70.0, size_mm * 0.13, 0.0);
    const lev_point facet[] = {p[0], p[1], top};
    lev_canvas_polygon(c, facet, 3, LEV_FILL_GREY, (lev_pen){.width_mm = pen_mm});
    for (int i = 2; i < n; i++)
        lev_canvas_line(c, p[i], top, (lev_pen){.width_mm = pen_mm * 0.7});
}

/* Throw grains one after the other; one that would lie on another is thrown again
 * elsewhere. Stops when the glass is well covered or the throws are spent. */
static void throw_grains(lev_canvas *c, lev_rect square, double d50_mm, double lnsd,
                         lev_rng rng)
{
    enum { GRAINS_MAX = 240, THROWS = 3000 };
    lev_point at[GRAINS_MAX];
    double size_mm[GRAINS_MAX];
    int n = 0;
    for (int k = 0; k < THROWS && n < GRAINS_MAX; k++) {
        double u[2];
        lev_rng_uniform2(rng, (uint64_t)k, 0, u);
        const double z = lev_rng_normal(rng, (uint64_t)n, 1);
        const double d_mm = fmin(d50_mm * exp(fmin(lnsd, 0.6) * z), square.w_mm * 0.6);
        const lev_point p = {square.x_mm + u[0] * square.w_mm,
                             square.y_mm + u[1] * square.h_mm};
        bool clear = true;
        for (int i = 0; clear && i < n; i++) {
            const double dx = p.x_mm - at[i].x_mm;
            const double dy = p.y_mm - at[i].y_mm;
            const double apart = 0.52 * (d_mm + size_mm[i]);
            clear = dx * dx + dy * dy > apart * apart;
        }
        if (!clear)
            continue;
        one_grain(c, p, d_mm, rng, (uint64_t)n);
        at[n] = p;
        size_mm[n++] = d_mm;
    }
}

void lev_draw_grains(lev_canvas *c, lev_rect square, const lev_card_step *step,
                     double magnification)
{
    const lev_rng rng = {(uint64_t)step->number + 1U};
    const double d50_mm = step->d50_um * magnification / LEV_UM_PER_MM;
    if (lev_canvas_is_silent(c))
        return;
    lev_canvas_clip(c, square, true);
    throw_grains(c, square, d50_mm, step->lnsd, rng);
    lev_canvas_unclip(c);
    lev_canvas_arc(c, centre_of(square), square.w_mm / 2.0, 0.0, 359.999,
                   (lev_pen){.width_mm = 0.5});
}

void lev_draw_severity(lev_canvas *c, lev_rect r, lev_card_severity severity,
                       bool white)
{
    const int bars = 3 - (int)severity;
    const double bar_mm = r.w_mm / 5.0;
    const double left_mm = r.x_mm + (r.w_mm - bar_mm * (2 * bars - 1)) / 2.0;
    for (int i = 0; i < bars; i++)
        lev_canvas_fill_rect(
            c, (lev_rect){left_mm + 2.0 * bar_mm * i, r.y_mm, bar_mm, r.h_mm},
            white ? LEV_FILL_WHITE : LEV_FILL_SOLID);
}

void lev_draw_ruler(lev_canvas *c, lev_point at)
{
    const lev_pen thin = {.width_mm = 0.25};
    const double half_mm = 2.5;
    for (int i = 0; i < 10; i++)
        if (i % 2 == 0)
            lev_canvas_fill_rect(
                c, (lev_rect){at.x_mm + 10.0 * i, at.y_mm + 1.0, 10.0, 1.5},
                LEV_FILL_SOLID);
    for (int i = 0; i < 8; i++)
        if (i % 2 == 0)
            lev_canvas_fill_rect(c,
                                 (lev_rect){at.x_mm + LEV_MM_PER_INCH / 2.0 * i,
                                            at.y_mm + half_mm, LEV_MM_PER_INCH / 2.0,
                                            1.5},
                                 LEV_FILL_SOLID);
    lev_canvas_rect(c, (lev_rect){at.x_mm, at.y_mm + 1.0, 100.0, 1.5}, thin);
    lev_canvas_rect(
        c, (lev_rect){at.x_mm, at.y_mm + half_mm, 4.0 * LEV_MM_PER_INCH, 1.5}, thin);
}

void lev_draw_tick_box(lev_canvas *c, lev_point at, double side_mm)
{
    lev_canvas_rect(c, (lev_rect){at.x_mm, at.y_mm, side_mm, side_mm},
                    (lev_pen){.width_mm = 0.6});
}
