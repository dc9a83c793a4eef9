/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One grain across one row. The balance spring x give = force(engaged area) is solved
 * by Newton's rule kept inside a bracket: the area falls and the spring's force rises
 * with the height of the tip, so there is one root, and for sharp tips the residual is
 * concave, whence Newton comes up to it from below without overshoot. */
#include <math.h>
#include <string.h>

#include "sheet.h"
#include "units.h"

enum { MAX_TURNS = 60 };

/* When force and spring agree to this share the last step is taken unchecked: Newton's
 * rule squares the error, and the volume balance does not depend on it. */
static const double BALANCED = 1e-4;

double sim_flat_depth_um(const sim_grain *g, double hardness_mpa, double free_um)
{
    if (!(free_um > 0.0))
        return 0.0;
    /* spring (free - b) = (pi/2) H t A, A = t b^2 */
    const double c = LEV_PI / 2.0 * hardness_mpa * g->spread * g->spread;
    return 2.0 * free_um * g->spring /
           (g->spring + sqrt(g->spring * g->spring + 4.0 * c * g->spring * free_um));
}

double sim_force(const sim_grain *g, double hardness_mpa, double area_um2,
                 double *growth)
{
    const double t = g->spread, r_um = g->radius_um;
    const double half = LEV_PI / 2.0 * hardness_mpa; /* force = half a^2 */
    const double border_um2 = 2.0 / 3.0 * r_um * r_um / (t * t * t);
    if (area_um2 >= border_um2) {
        *growth = half * t;
        return half * (t * area_um2 + r_um * r_um / (3.0 * t * t));
    }
    const double a2 = pow(1.5 * r_um * area_um2, 2.0 / 3.0);
    *growth = area_um2 > 0.0 ? half * a2 * (2.0 / 3.0) / area_um2 : 0.0;
    return half * a2;
}

/* fmin and fmax without their care for NaN: calls into the library where they would be
 * one instruction. */
static double lesser(double a, double b)
{
    return a < b ? a : b;
}

static double greater(double a, double b)
{
    return a > b ? a : b;
}

/* floor for what fits in ptrdiff_t, without the call. */
static ptrdiff_t whole_below(double x)
{
    const ptrdiff_t i = (ptrdiff_t)x;
    return (double)i > x ? i - 1 : i;
}

/* Half-width at which the wall of a groove reaches height_um above its bottom. */
static double reach_um(const lev_groove *g, double height_um)
{
    const double low_um = g->curve * g->round_um * g->round_um;
    if (height_um < low_um)
        return sqrt(greater(height_um, 0.0) / g->curve);
    return g->round_um + (height_um - low_um) / g->slope;
}

/* The groove's shape along the row: an oblique cut is wider by 1/cosine. */
static lev_groove groove_of(const sim_pass *p)
{
    const double slope = p->cosine / p->grain->spread;
    const double round_um = p->grain->radius_um / p->grain->spread / p->cosine;
    return (lev_groove){
        .x0_um = p->x_um,
        .slope = slope,
        .round_um = round_um,
        .curve = round_um > 0.0 ? slope / (2.0 * round_um) : 0.0,
    };
}

/* Elements [first, first + n) of a row that wraps round. */
typedef struct span {
    ptrdiff_t first, n;
} span;

static span span_about(const sim_row *row, double x_um, double half_um, ptrdiff_t more)
{
    const double per_um = 1.0 / row->pitch_um;
    const double reach = lesser(half_um * per_um, (double)row->nx);
    const ptrdiff_t first = -whole_below(reach - x_um * per_um) - more;
    const ptrdiff_t last = whole_below(x_um * per_um + reach) + more;
    const ptrdiff_t n = last - first + 1;
    return (span){.first = first, .n = n < row->nx ? (n > 0 ? n : 0) : row->nx};
}

static bool inside(const sim_row *row, span s)
{
    return row->stride == 1 && s.first >= 0 && s.first + s.n <= row->nx;
}

/* i mod n, i within a row's length of it: a division costs more than a groove's cut. */
static ptrdiff_t wrapped(ptrdiff_t i, ptrdiff_t n)
{
    while (i < 0)
        i += n;
    while (i >= n)
        i -= n;
    return i;
}

/* The heights of a span in one piece: in place, or copied across the seam. */
static double *heights(const sim_row *row, span s)
{
    if (inside(row, s))
        return row->h_um + s.first;
    for (ptrdiff_t i = 0; i < s.n; i++)
        row->spare_um[i] = row->h_um[wrapped(s.first + i, row->nx) * row->stride];
    return row->spare_um;
}

/* As many elements as the kernels take at a time: no row end inside a turn of theirs.
 * What is added stands below the groove's wall. */
static span rounded(const sim_row *row, span s)
{
    enum { TURN = 8 };
    const ptrdiff_t n = (s.n + TURN - 1) / TURN * TURN;
    if (s.first + n <= row->nx)
        s.n = n;
    return s;
}

static lev_groove_sum engaged(const sim_row *row, lev_groove g, double *pixels)
{
    const span about =
        span_about(row, g.x0_um, reach_um(&g, *row->top_um - g.bottom_um), 0);
    const span s = rounded(row, about);
    g.x0_um -= (double)s.first * row->pitch_um;
    *pixels += (double)about.n;
    return row->kern->engage(heights(row, s), s.n, row->pitch_um, &g);
}

/* Where to begin: the balance on a flat face as high as the row is under the tip. */
static double first_guess_um(const sim_row *row, const sim_pass *p, double hardness_mpa)
{
    const ptrdiff_t i = wrapped((ptrdiff_t)(p->x_um / row->pitch_um + 0.5), row->nx);
    const double under_um = row->h_um[i * row->stride];
    if (!(under_um > p->free_um))
        return p->free_um;
    return under_um - sim_flat_depth_um(p->grain, hardness_mpa, under_um - p->free_um);
}

bool sim_press(const sim_row *row, const sim_pass *p, double hardness_mpa,
               sim_touch *touch)
{
    *touch = (sim_touch){0};
    double low_um = p->free_um, high_um = *row->top_um;
    if (!(low_um < high_um))
        return false;
    lev_groove g = groove_of(p);
    g.bottom_um = first_guess_um(row, p, hardness_mpa);
    for (int turn = 0; turn < MAX_TURNS; turn++) {
        const lev_groove_sum s = engaged(row, g, &touch->pixels);
        if (!(s.count > 0.0) && !(g.bottom_um > p->free_um))
            return false;
        const double across_um = row->pitch_um * p->cosine;
        double growth;
        const double force_un =
            sim_force(p->grain, hardness_mpa, s.over_um * across_um, &growth);
        const double pull_un = p->grain->spring * (g.bottom_um - p->free_um);
        const double step_um =
            (pull_un - force_un) / (p->grain->spring + growth * s.count * across_um);
        touch->bottom_um = g.bottom_um - step_um;
        touch->force_un = p->grain->spring * (touch->bottom_um - p->free_um);
        touch->width_um = s.count * across_um;
        if (fabs(pull_un - force_un) <= BALANCED * force_un)
            break;
        if (pull_un > force_un)
            high_um = g.bottom_um;
        else
            low_um = g.bottom_um;
        g.bottom_um = touch->bottom_um;
        if (!(g.bottom_um > low_um && g.bottom_um < high_um))
            g.bottom_um = 0.5 * (low_um + high_um);
    }
    return touch->width_um > 0.0;
}

/* Raise half_um (a sum of heights) over m elements beside the groove, falling to
 * nothing outward. */
static void raise_ridges(const sim_row *row, double *h_um, lev_groove_sum cut,
                         ptrdiff_t m, double half_um)
{
    const double c_um = 2.0 * half_um / ((double)m * (double)m);
    const double left_um = row->kern->raise(h_um + cut.first - m, m, 0.5 * c_um, c_um);
    const double right_um =
        row->kern->raise(h_um + cut.last + 1, m, ((double)m - 0.5) * c_um, -c_um);
    *row->top_um = greater(*row->top_um, greater(left_um, right_um));
}

void sim_cut(const sim_row *row, const sim_pass *p, const lev_sim_step *step,
             uint8_t stamp, sim_touch *touch)
{
    lev_groove g = groove_of(p);
    g.bottom_um = touch->bottom_um;
    const double half_um = 0.5 * touch->width_um / p->cosine;
    const double ridge = step->ridge_width * half_um / row->pitch_um + 0.5;
    const ptrdiff_t m = (ptrdiff_t)lesser(greater(ridge, 1.0), (double)row->nx / 8.0);
    const span s =
        span_about(row, g.x0_um, reach_um(&g, *row->top_um - g.bottom_um), m + 1);
    double *const h_um = heights(row, s);
    uint8_t *age = row->spare_age;
    if (inside(row, s)) {
        age = row->age + s.first;
    } else {
        for (ptrdiff_t i = 0; i < s.n; i++)
            age[i] = row->age[wrapped(s.first + i, row->nx) * row->stride];
    }
    g.x0_um -= (double)s.first * row->pitch_um;
    const lev_groove_sum cut =
        row->kern->cut(h_um + m, age + m, s.n - 2 * m, row->pitch_um,
                       &(lev_groove){g.x0_um - (double)m * row->pitch_um, g.bottom_um,
                                     g.slope, g.round_um, g.curve},
                       stamp);
    if (cut.last >= 0) {
        const lev_groove_sum at = {.first = cut.first + m, .last = cut.last + m};
        raise_ridges(row, h_um, at, m, 0.5 * (1.0 - step->removed_share) * cut.over_um);
    }
    touch->removed_um = step->removed_share * cut.over_um;
    if (inside(row, s))
        return;
    for (ptrdiff_t i = 0; i < s.n; i++) {
        const ptrdiff_t j = wrapped(s.first + i, row->nx) * row->stride;
        row->h_um[j] = h_um[i];
        row->age[j] = age[i];
    }
}
