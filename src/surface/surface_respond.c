/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much each point looks like the middle of a line, and in which direction.
 *
 * For each direction the map is cut into digital lines, every point in exactly one, and
 * the mean depth over a window along the line is kept where it is the largest yet. A
 * running sum makes a point cost the same for any window. Source of the idea: the
 * Radon transform taken locally; the sheared walk is common practice, no source. */
#include "surface_lines.h"

#include <math.h>

#include "units.h"

/* One digital line: walked along the major axis, shifted along the minor one. */
typedef struct walk {
    ptrdiff_t n, across;      /* length along the major axis, width of the minor */
    ptrdiff_t step, sideways; /* distance in memory along and across */
    double slope;             /* minor per major */
} walk;

static walk walk_for(const lev_response *r, double turn, double *steps_per_um)
{
    const lev_map *m = r->depth;
    const double ux = cos(turn) / m->dx_um, uy = sin(turn) / m->dy_um;
    if (fabs(ux) >= fabs(uy)) {
        *steps_per_um = fabs(ux);
        return (walk){m->nx, m->ny, 1, m->nx, uy / ux};
    }
    *steps_per_um = fabs(uy);
    return (walk){m->ny, m->nx, m->nx, 1, ux / uy};
}

/* Running sums of one line: depth and count before each place. */
static void sum_line(const lev_response *r, const walk *w, ptrdiff_t shift)
{
    double sum = 0.0, count = 0.0;
    for (ptrdiff_t i = 0; i < w->n; i++) {
        const ptrdiff_t j = shift + (ptrdiff_t)nearbyint(w->slope * (double)i);
        r->sum[i] = sum;
        r->count[i] = count;
        if (j < 0 || j >= w->across)
            continue;
        const float d = r->depth->z_um[i * w->step + j * w->sideways];
        if (isnan(d))
            continue;
        sum += (double)d;
        count += 1.0;
    }
    r->sum[w->n] = sum;
    r->count[w->n] = count;
}

/* Squares of the answers of one direction, and how many. */
typedef struct answer_sum {
    double squares, n;
} answer_sum;

static void keep_best(lev_response *r, const walk *w, ptrdiff_t shift, ptrdiff_t half,
                      unsigned char direction, answer_sum *all)
{
    for (ptrdiff_t i = 0; i < w->n; i++) {
        const ptrdiff_t j = shift + (ptrdiff_t)nearbyint(w->slope * (double)i);
        if (j < 0 || j >= w->across)
            continue;
        const ptrdiff_t from = i > half ? i - half : 0;
        const ptrdiff_t to = i + half + 1 < w->n ? i + half + 1 : w->n;
        const double count = r->count[to] - r->count[from];
        if (count < 1.5 * (double)half) /* too near an end or a gap */
            continue;
        const float mean = (float)((r->sum[to] - r->sum[from]) / count);
        const ptrdiff_t at = i * w->step + j * w->sideways;
        all->squares += (double)mean * (double)mean;
        all->n += 1.0;
        if (mean > r->best[at]) {
            r->best[at] = mean;
            r->direction[at] = direction;
        }
    }
}

void lev_respond(lev_response *r)
{
    for (ptrdiff_t i = 0; i < r->depth->nx * r->depth->ny; i++)
        r->best[i] = -INFINITY;
    for (int k = 0; k < r->directions; k++) {
        answer_sum all = {0};
        double steps_per_um = 0.0;
        const double turn = (double)k * LEV_PI / r->directions;
        const walk w = walk_for(r, turn, &steps_per_um);
        const ptrdiff_t half = (ptrdiff_t)nearbyint(0.5 * r->length_um * steps_per_um);
        const double lean = w.slope * (double)(w.n - 1);
        const ptrdiff_t first = (ptrdiff_t)floor(fmin(0.0, -lean)) - 1;
        const ptrdiff_t last = w.across + (ptrdiff_t)ceil(fmax(0.0, -lean)) + 1;
        for (ptrdiff_t shift = first; shift <= last; shift++) {
            sum_line(r, &w, shift);
            keep_best(r, &w, shift, half > 0 ? half : 1, (unsigned char)k, &all);
        }
        r->spread[k] = all.n > 0.0 ? sqrt(all.squares / all.n) : 0.0;
    }
}
