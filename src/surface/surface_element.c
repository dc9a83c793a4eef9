/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Profile elements: a hill with the dale that follows, or a dale with its hill.
 *
 * Lobes lie between crossings of the mean line (found by linear interpolation). A lobe
 * below the height or width threshold is dropped, neighbours of equal sign that remain
 * are one. A border between two lobes is set at the start of the later one (going
 * forward) or at the end of the earlier one (going back); widths between borders of
 * the same kind are averaged for either way, and the two averages once more. A lobe
 * cut by an end or by a missing point gives no border beyond. */
#include "surface_inner.h"

#include <math.h>

typedef struct lobe {
    double from, to, height; /* positions in samples; height above or below 0 */
    int sign;
    bool whole;
} lobe;

typedef struct walker {
    double hill_um, dale_um, narrow; /* thresholds; narrow in samples */
    lobe group;                      /* sign 0: none yet */
    double forward[2], back[2];      /* the last two borders, older first */
    double before_um;                /* height of the group before this one */
    ptrdiff_t borders;
    double width_forward, width_back, height;
    ptrdiff_t widths;
} walker;

static void add_border(walker *w, const lobe *l)
{
    const double forward = l->from, back = w->group.to;
    if (w->borders >= 2) {
        w->width_forward += forward - w->forward[0];
        w->width_back += back - w->back[0];
        w->height += w->before_um + w->group.height;
        w->widths++;
    }
    w->forward[0] = w->forward[1];
    w->back[0] = w->back[1];
    w->forward[1] = forward;
    w->back[1] = back;
    w->before_um = w->group.height;
    w->borders++;
}

static void add_lobe(walker *w, const lobe *l)
{
    const double least = l->sign > 0 ? w->hill_um : w->dale_um;
    if (!(l->height >= least) || (l->whole && !(l->to - l->from >= w->narrow)))
        return;
    if (w->group.sign == l->sign) {
        w->group.to = l->to;
        w->group.height = fmax(w->group.height, l->height);
        return;
    }
    if (w->group.sign != 0)
        add_border(w, l);
    w->group = *l;
}

/* Samples first .. end - 1, none missing. */
static void walk_run(walker *w, const double *z, ptrdiff_t first, ptrdiff_t end)
{
    lobe l = {.from = (double)first, .sign = z[first] >= 0.0 ? 1 : -1};
    w->group.sign = 0;
    w->borders = 0;
    for (ptrdiff_t i = first; i < end; i++) {
        const double size = fabs(z[i]);
        l.height = size > l.height ? size : l.height;
        if (i + 1 == end)
            break;
        const int next = z[i + 1] >= 0.0 ? 1 : -1;
        if (next == l.sign)
            continue;
        l.to = (double)i + z[i] / (z[i] - z[i + 1]);
        add_lobe(w, &l);
        l = (lobe){.from = l.to, .sign = next, .whole = true};
    }
    l.to = (double)(end - 1);
    l.whole = false;
    add_lobe(w, &l);
}

void lev_elements_of(const double *z_um, ptrdiff_t n, double dx_um, double hill_um,
                     double dale_um, double narrow_um, lev_elements *out)
{
    walker w = {.hill_um = hill_um, .dale_um = dale_um, .narrow = narrow_um / dx_um};
    for (ptrdiff_t i = 0; i < n;) {
        if (isnan(z_um[i])) {
            i++;
            continue;
        }
        ptrdiff_t end = i + 1;
        while (end < n && !isnan(z_um[end]))
            end++;
        walk_run(&w, z_um, i, end);
        i = end;
    }
    out->count = w.widths;
    out->width_um = out->height_um = (double)NAN;
    if (w.widths > 0) {
        const double widths = (double)w.widths;
        out->width_um = 0.5 * (w.width_forward + w.width_back) / widths * dx_um;
        out->height_um = w.height / widths;
    }
}
