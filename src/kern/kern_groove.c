/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The scalar truth of groove.h: the specification, and what other variants must equal
 * to the last bit. */
#include "groove.h"

#include <math.h>

#include "cpu.h"

enum { LANES = 8 };

static double add_lanes(const double s[LANES])
{
    return ((s[0] + s[4]) + (s[2] + s[6])) + ((s[1] + s[5]) + (s[3] + s[7]));
}

static double wall_at(const lev_groove *g, double dx_um, ptrdiff_t i)
{
    const double x_um = fabs((double)i * dx_um - g->x0_um);
    const double u_um = x_um < g->round_um ? x_um : g->round_um;
    return g->bottom_um + (u_um * u_um * g->curve + (x_um - u_um) * g->slope);
}

static lev_groove_sum engage_c(const double *restrict h_um, ptrdiff_t n, double dx_um,
                               const lev_groove *g)
{
    double over_um[LANES] = {0.0}, count[LANES] = {0.0};
    for (ptrdiff_t i = 0; i < n; i++) {
        const double d_um = h_um[i] - wall_at(g, dx_um, i);
        if (d_um > 0.0) {
            over_um[i % LANES] += d_um;
            count[i % LANES] += 1.0;
        }
    }
    return (lev_groove_sum){.over_um = add_lanes(over_um), .count = add_lanes(count)};
}

static lev_groove_sum cut_c(double *restrict h_um, uint8_t *restrict mark, ptrdiff_t n,
                            double dx_um, const lev_groove *g, uint8_t stamp)
{
    lev_groove_sum sum = {.first = n, .last = -1};
    double over_um[LANES] = {0.0}, count[LANES] = {0.0};
    for (ptrdiff_t i = 0; i < n; i++) {
        const double wall_um = wall_at(g, dx_um, i);
        const double d_um = h_um[i] - wall_um;
        if (!(d_um > 0.0))
            continue;
        over_um[i % LANES] += d_um;
        count[i % LANES] += 1.0;
        h_um[i] = wall_um;
        mark[i] = stamp;
        sum.first = sum.first < i ? sum.first : i;
        sum.last = i;
    }
    sum.over_um = add_lanes(over_um);
    sum.count = add_lanes(count);
    return sum;
}

static double raise_c(double *restrict h_um, ptrdiff_t n, double start_um,
                      double step_um)
{
    double top_um = -INFINITY;
    for (ptrdiff_t i = 0; i < n; i++) {
        h_um[i] += start_um + (double)i * step_um;
        top_um = h_um[i] > top_um ? h_um[i] : top_um;
    }
    return top_um;
}

void lev_groove_kern_init(lev_groove_kern *k, unsigned cpu)
{
    *k = (lev_groove_kern){.engage = engage_c, .cut = cut_c, .raise = raise_c};
    if (cpu & LEV_CPU_AVX2)
        lev_groove_kern_avx2(k);
}
