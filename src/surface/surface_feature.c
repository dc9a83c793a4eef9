/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Feature parameters of ISO 25178-2: significant hills and dales.
 *
 * Points are taken from the highest down and joined to the hills they touch. Where two
 * hills meet, at their saddle, the lower one is finished: it counts when it stands at
 * least 5 % of Sz above the saddle, otherwise it was part of the higher one. That
 * leaves the same hills as pruning the change tree of the watershed by Wolf's rule,
 * lowest first. A peak on the edge of the map does not count: nobody knows whether it
 * is one. Dales are the hills of the map turned over. Eight neighbours. */
#include "surface_inner.h"

#include <math.h>

#include "mem.h"
#include "units.h"

enum { TOP_MAX = 16 };

/* What was found: how many, the highest of them, and their curvature. */
typedef struct feature_set {
    ptrdiff_t count;
    double top_um[TOP_MAX]; /* falling */
    int tops, most;
    double curvature; /* sum, 1/um, over those away from the edge */
    ptrdiff_t curved;
} feature_set;

typedef struct flood {
    const lev_map *m;
    float sign;  /* 1 hills, -1 dales */
    int *parent; /* -1 not yet reached; index of a higher point of the same hill */
    float least; /* a hill is this much higher than its saddle */
    feature_set *set;
} flood;

static float height_at(const flood *f, int i)
{
    return f->sign * f->m->z_um[i];
}

static int root_of(int *parent, int i)
{
    while (parent[i] != i) {
        parent[i] = parent[parent[i]];
        i = parent[i];
    }
    return i;
}

static bool is_on_edge(const lev_map *m, int i)
{
    const ptrdiff_t x = i % m->nx, y = i / m->nx;
    return x < 1 || y < 1 || x + 1 >= m->nx || y + 1 >= m->ny;
}

static void add_curvature(const flood *f, int peak)
{
    const ptrdiff_t nx = f->m->nx;
    const float *z = f->m->z_um + peak;
    const double c = 2.0 * (double)z[0];
    const double zxx = ((double)z[1] + (double)z[-1] - c) / (f->m->dx_um * f->m->dx_um);
    const double zyy =
        ((double)z[nx] + (double)z[-nx] - c) / (f->m->dy_um * f->m->dy_um);
    if (isnan(zxx + zyy))
        return;
    f->set->curvature -= 0.5 * (double)f->sign * (zxx + zyy);
    f->set->curved++;
}

static void add_peak(const flood *f, int peak)
{
    feature_set *s = f->set;
    double z = (double)height_at(f, peak);
    if (is_on_edge(f->m, peak))
        return;
    s->count++;
    add_curvature(f, peak);
    for (int i = 0; i < s->tops; i++) {
        if (z > s->top_um[i]) {
            const double t = s->top_um[i];
            s->top_um[i] = z;
            z = t;
        }
    }
    if (s->tops < s->most)
        s->top_um[s->tops++] = z;
}

/* Join the hill of neighbour j to the hill of i, which lies at the level now reached.
 * The roots of hills are their peaks. */
static void join(flood *f, int i, int j)
{
    if (f->parent[j] < 0)
        return;
    const int a = root_of(f->parent, i), b = root_of(f->parent, j);
    if (a == b)
        return;
    const bool a_higher = height_at(f, a) > height_at(f, b);
    const int low = a_higher ? b : a, high = a_higher ? a : b;
    if (low != i && height_at(f, low) - height_at(f, i) >= f->least)
        add_peak(f, low);
    f->parent[low] = high;
}

static void reach(flood *f, int i)
{
    const ptrdiff_t nx = f->m->nx, x = i % nx, y = i / nx;
    f->parent[i] = i;
    for (ptrdiff_t dy = -1; dy <= 1; dy++)
        for (ptrdiff_t dx = -1; dx <= 1; dx++)
            if (x + dx >= 0 && x + dx < nx && y + dy >= 0 && y + dy < f->m->ny &&
                (dx != 0 || dy != 0))
                join(f, i, (int)(i + dy * nx + dx));
}

static lev_status find_features(const lev_map *m, float sign, double least_um,
                                feature_set *set, lev_error *err)
{
    lev_status st = LEV_OK;
    const ptrdiff_t n = m->nx * m->ny;
    void *p = NULL, *q = NULL, *r = NULL;
    flood f = {.m = m, .sign = sign, .least = (float)least_um, .set = set};
    ptrdiff_t measured = 0;

    LEV_TRY(lev_mem_new((size_t)n, sizeof(int), &p, err));
    LEV_TRY(lev_mem_new((size_t)n, sizeof(int), &q, err));
    LEV_TRY(lev_mem_new((size_t)n, sizeof(float), &r, err));
    int *order = q;
    float *z = r;
    f.parent = p;
    for (ptrdiff_t i = 0; i < n; i++) {
        f.parent[i] = -1;
        z[i] = isnan(m->z_um[i]) ? -INFINITY : sign * m->z_um[i];
        measured += isnan(m->z_um[i]) == 0;
    }
    LEV_TRY(lev_sort_index_f(z, n, order, err));
    for (ptrdiff_t k = 0; k < measured; k++)
        reach(&f, order[k]);
    for (ptrdiff_t k = 0; k < measured; k++)
        if (f.parent[order[k]] == order[k])
            add_peak(&f, order[k]); /* the last hill of each connected piece */
out:
    lev_mem_free(p);
    lev_mem_free(q);
    lev_mem_free(r);
    return st;
}

static double mean_top(const feature_set *s)
{
    double sum = 0.0;
    for (int i = 0; i < s->tops; i++)
        sum += s->top_um[i];
    return s->tops > 0 ? sum / s->tops : (double)NAN;
}

lev_status lev_features(const lev_map *m, lev_areal *out, lev_error *err)
{
    lev_status st = LEV_OK;
    const int most = (int)lev_texture("feature_top");
    feature_set hills = {.most = most}, dales = {.most = most};
    const double least = lev_texture("prune") * out->h.Sz_um;
    const double area_mm2 =
        (double)(m->nx * m->ny) * m->dx_um * m->dy_um / (LEV_UM_PER_MM * LEV_UM_PER_MM);
    if (!(out->h.Sz_um > 0.0)) {
        out->Spd_per_mm2 = out->Spc_per_um = (double)NAN;
        out->S5p_um = out->S5v_um = out->S10z_um = (double)NAN;
        return LEV_OK;
    }
    LEV_TRY(find_features(m, 1.0F, least, &hills, err));
    LEV_TRY(find_features(m, -1.0F, least, &dales, err));
    out->hills = hills.count;
    out->dales = dales.count;
    out->Spd_per_mm2 = (double)hills.count / area_mm2;
    out->Spc_per_um =
        hills.curved > 0 ? hills.curvature / (double)hills.curved : (double)NAN;
    out->S5p_um = mean_top(&hills);
    out->S5v_um = mean_top(&dales);
    out->S10z_um = out->S5p_um + out->S5v_um;
out:
    return st;
}
