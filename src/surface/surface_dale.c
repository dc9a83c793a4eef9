/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The deepest dales a profile crosses: a trace cannot see how long a mark is or which
 * way it runs, only how deep it is where it was crossed. */
#include "surface_lines.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "mem.h"
#include "surface_inner.h"

static int deeper_first(const void *a, const void *b)
{
    const lev_line *x = a, *y = b;
    return (x->depth_um < y->depth_um) - (x->depth_um > y->depth_um);
}

lev_status lev_lines_take(lev_line *line, ptrdiff_t n, ptrdiff_t most, lev_lines *out,
                          lev_error *err)
{
    void *p = NULL;
    if (n > 0)
        qsort(line, (size_t)n, sizeof *line, deeper_first);
    out->n = n < most ? n : most;
    const lev_status st = lev_mem_new((size_t)out->n, sizeof *line, &p, err);
    if (st < 0)
        return st;
    out->line = p;
    if (out->n > 0)
        memcpy(out->line, line, (size_t)out->n * sizeof *line);
    return LEV_OK;
}

/* A dale between two crossings of the mean line. */
static lev_line dale_of(const lev_trace *t, double mean, ptrdiff_t from, ptrdiff_t to)
{
    lev_line l = {.length_mm = (double)NAN,
                  .direction_deg = (double)NAN,
                  .x0_um = (double)from * t->dx_um,
                  .x1_um = (double)to * t->dx_um};
    for (ptrdiff_t i = from; i <= to; i++) {
        l.depth_um = fmax(l.depth_um, mean - t->z_um[i]);
        l.mean_depth_um += (mean - t->z_um[i]) / (double)(to - from + 1);
    }
    return l;
}

lev_status lev_lines_of_trace(const lev_trace *t, ptrdiff_t most, lev_lines *out,
                              lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    lev_lines l = {0};
    double mean = 0.0;
    ptrdiff_t n = 0, measured = t->n - lev_trace_missing(t);
    for (ptrdiff_t i = 0; i < t->n; i++)
        mean += isnan(t->z_um[i]) ? 0.0 : t->z_um[i] / (double)measured;
    LEV_TRY(lev_mem_new((size_t)(t->n / 2 + 1), sizeof(lev_line), &p, err));
    lev_line *line = p;
    for (ptrdiff_t i = 0; i < t->n; i++) {
        if (!(t->z_um[i] < mean))
            continue;
        const ptrdiff_t from = i;
        while (i + 1 < t->n && t->z_um[i + 1] < mean)
            i++;
        line[n++] = dale_of(t, mean, from, i);
    }
    LEV_TRY(lev_lines_take(line, n, most, &l, err));
    *out = l;
out:
    lev_mem_free(p);
    return st;
}

void lev_lines_release(lev_lines *l)
{
    if (l == NULL)
        return;
    lev_mem_free(l->line);
    *l = (lev_lines){0};
}
