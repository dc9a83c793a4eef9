/* SPDX-License-Identifier: GPL-3.0-or-later */
/* groove.h: each variant against plain C. Tolerance 0 ULP, as the contract says. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "checkkern.h"
#include "cpu.h"
#include "groove.h"

enum { TAILS = 17, OFFSETS = 4, ROUNDS = 6 }; /* 0 to two turns of eight and one more */

static const ptrdiff_t LENGTHS[] = {31, 100, 257};

static lev_groove groove_of(lev_rng rng, uint64_t i, ptrdiff_t n)
{
    double u[2], v[2];
    lev_rng_uniform2(rng, i, 1000, u);
    lev_rng_uniform2(rng, i, 1001, v);
    const double slope = 0.05 + u[0];
    const double round_um = v[0] < 0.5 ? 0.0 : v[1] * 3.0;
    return (lev_groove){
        .x0_um = (u[1] * 1.2 - 0.1) * (double)n * 0.5,
        .bottom_um = v[0] - 1.0,
        .slope = slope,
        .round_um = round_um,
        .curve = round_um > 0.0 ? slope / (2.0 * round_um) : 0.0,
    };
}

typedef struct trial {
    const lev_groove_kern *plain, *fast;
    ptrdiff_t n;
    size_t off; /* bytes off a vector's alignment */
    uint64_t number;
    int kind;
    lev_rng rng;
} trial;

static bool same_sums(const trial *t, lev_groove_sum a, lev_groove_sum b,
                      const char *what)
{
    if (ulps(a.over_um, b.over_um) == 0 && ulps(a.count, b.count) == 0 &&
        a.first == b.first && a.last == b.last)
        return true;
    complain("%s: n %td kind %d trial %llu: %.17g %g %td %td, not %.17g %g %td %td",
             what, t->n, t->kind, (unsigned long long)t->number, b.over_um, b.count,
             b.first, b.last, a.over_um, a.count, a.first, a.last);
    return false;
}

static bool engage_agrees(const trial *t)
{
    const size_t bytes = (size_t)t->n * sizeof(double);
    guarded g = guarded_new(bytes, t->off * sizeof(double));
    double *const h_um = (double *)(void *)g.p;
    fill_heights(h_um, t->n, t->rng, t->number, t->kind);
    const lev_groove v = groove_of(t->rng, t->number, t->n);
    const lev_groove_sum a = t->plain->engage(h_um, t->n, 0.5, &v);
    const lev_groove_sum b = t->fast->engage(h_um, t->n, 0.5, &v);
    const bool good = same_sums(t, a, b, "engage") && guards_stand(&g);
    guarded_free(&g);
    return good;
}

static bool cut_agrees(const trial *t)
{
    const size_t n = (size_t)t->n;
    guarded h[2], mark[2];
    lev_groove_sum s[2];
    const lev_groove v = groove_of(t->rng, t->number, t->n);
    for (int i = 0; i < 2; i++) {
        h[i] = guarded_new(n * sizeof(double), t->off * sizeof(double));
        mark[i] = guarded_new(n, t->off);
        memset(mark[i].p, 3, n);
        fill_heights((double *)(void *)h[i].p, t->n, t->rng, t->number, t->kind);
        const lev_groove_kern *const k = i == 0 ? t->plain : t->fast;
        s[i] = k->cut((double *)(void *)h[i].p, mark[i].p, t->n, 0.5, &v, 7);
    }
    bool good = same_sums(t, s[0], s[1], "cut");
    good = good && memcmp(h[0].p, h[1].p, n * sizeof(double)) == 0 &&
           memcmp(mark[0].p, mark[1].p, n) == 0;
    for (int i = 0; i < 2; i++) {
        good = good && guards_stand(&h[i]) && guards_stand(&mark[i]);
        guarded_free(&h[i]);
        guarded_free(&mark[i]);
    }
    return good;
}

static bool raise_agrees(const trial *t)
{
    const size_t n = (size_t)t->n;
    guarded h[2];
    double top[2];
    for (int i = 0; i < 2; i++) {
        h[i] = guarded_new(n * sizeof(double), t->off * sizeof(double));
        fill_heights((double *)(void *)h[i].p, t->n, t->rng, t->number, t->kind);
        const lev_groove_kern *const k = i == 0 ? t->plain : t->fast;
        top[i] = k->raise((double *)(void *)h[i].p, t->n, 0.3, -0.01);
    }
    bool good = ulps(top[0], top[1]) == 0;
    for (size_t i = 0; i < n; i++) {
        const double *const a = (double *)(void *)h[0].p;
        const double *const b = (double *)(void *)h[1].p;
        good = good && ulps(a[i], b[i]) == 0;
    }
    for (int i = 0; i < 2; i++) {
        good = good && guards_stand(&h[i]);
        guarded_free(&h[i]);
    }
    return good;
}

static bool all_agree(const lev_groove_kern *plain, const lev_groove_kern *fast,
                      lev_rng rng, bool (*agrees)(const trial *))
{
    bool good = true;
    uint64_t number = 0;
    const ptrdiff_t n_long = (ptrdiff_t)(sizeof LENGTHS / sizeof *LENGTHS);
    for (ptrdiff_t i = 0; i < TAILS + n_long; i++) {
        const ptrdiff_t n = i < TAILS ? i : LENGTHS[i - TAILS];
        for (size_t off = 0; off < OFFSETS; off++) {
            for (int round = 0; round < ROUNDS * KINDS; round++) {
                const trial t = {plain, fast, n, off, number++, round % KINDS, rng};
                good = agrees(&t) && good;
            }
        }
    }
    return good;
}

/* Rows at hand: engaged area of a V in a flat face, exactly known. */
static bool flat_area_is_right(const lev_groove_kern *k)
{
    double h_um[400] = {0.0};
    const lev_groove g = {.x0_um = 100.25, .bottom_um = -5.0, .slope = 0.1};
    const lev_groove_sum s = k->engage(h_um, 400, 0.5, &g);
    /* Closed form t b^2 = 10 * 25 um2, midpoint sum exact on a linear flank but for the
     * middle element and the ends: within dx. */
    return fabs(s.over_um * 0.5 - 250.0) < 0.1 && fabs(s.count - 200.0) < 1.5;
}

void check_groove(lev_rng rng)
{
    lev_groove_kern plain, fast;
    lev_groove_kern_init(&plain, 0U);
    lev_groove_kern_init(&fast, lev_cpu_flags());
    complain("processor features %u", lev_cpu_flags());
    tell(flat_area_is_right(&plain), "the engaged area of a V in a flat row is t b^2");
    tell(all_agree(&plain, &fast, rng, engage_agrees), "engage agrees to the last bit");
    tell(all_agree(&plain, &fast, rng, cut_agrees), "cut agrees to the last bit");
    tell(all_agree(&plain, &fast, rng, raise_agrees), "raise agrees to the last bit");
}

enum { BENCH_ROW = 4096, BENCH_TURNS = 20000 };

typedef struct load {
    const lev_groove_kern *k;
    double *h_um;
    uint8_t *mark;
    ptrdiff_t n;
    lev_groove g;
    double sink;
} load;

static void run_engage(void *p)
{
    load *const l = p;
    for (int i = 0; i < BENCH_TURNS; i++)
        l->sink += l->k->engage(l->h_um + i * 61 % (BENCH_ROW - l->n), l->n, 0.5, &l->g)
                       .over_um;
}

static void run_cut(void *p)
{
    load *const l = p;
    for (int i = 0; i < BENCH_TURNS; i++) {
        l->g.bottom_um -= 1e-6;
        l->sink += l->k->cut(l->h_um + i * 61 % (BENCH_ROW - l->n),
                             l->mark + i * 61 % (BENCH_ROW - l->n), l->n, 0.5, &l->g, 1)
                       .over_um;
    }
}

static void time_both(const char *name, void (*fn)(void *), load *l,
                      const lev_groove_kern *plain, const lev_groove_kern *fast)
{
    double spread[2], s[2];
    const double pixels = (double)l->n * BENCH_TURNS;
    l->k = plain;
    s[0] = best_seconds(fn, l, &spread[0]);
    l->k = fast;
    s[1] = best_seconds(fn, l, &spread[1]);
    printf("%-8s n %4td: c %7.3f ns/height (spread %2.0f %%), fast %7.3f (%2.0f %%), "
           "ratio %.2f\n",
           name, l->n, 1e9 * s[0] / pixels, 100.0 * spread[0], 1e9 * s[1] / pixels,
           100.0 * spread[1], s[0] / s[1]);
}

void bench_groove(lev_rng rng)
{
    lev_groove_kern plain, fast;
    static double h_um[BENCH_ROW];
    static uint8_t mark[BENCH_ROW];
    lev_groove_kern_init(&plain, 0U);
    lev_groove_kern_init(&fast, lev_cpu_flags());
    const ptrdiff_t lengths[] = {16, 32, 64, 128, 1024};
    for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++) {
        load l = {.h_um = h_um, .mark = mark, .n = lengths[i]};
        l.g =
            (lev_groove){.x0_um = 0.25 * (double)l.n, .bottom_um = -1.0, .slope = 0.3};
        fill_heights(h_um, BENCH_ROW, rng, i, 0);
        time_both("engage", run_engage, &l, &plain, &fast);
        time_both("cut", run_cut, &l, &plain, &fast);
        if (isnan(l.sink))
            abort();
    }
}
