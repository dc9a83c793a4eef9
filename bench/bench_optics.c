/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Scatter of a 4096 x 4096 map against the bare transform it needs, and the reflected
 * strip of a ladder of six steps. Prints processor times (others may share the
 * machine), spreads and ratios; judges nothing. */
#include <fftw3.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "levigate/optics.h"
#include "mem.h"
#include "rng.h"

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return (x > y) - (x < y);
}

typedef struct times {
    double s[9];
    int n;
} times;

static double median(times *t)
{
    qsort(t->s, (size_t)t->n, sizeof *t->s, by_size);
    return t->s[t->n / 2];
}

static void stop(const char *what, const lev_error *err)
{
    fprintf(stderr, "bench_optics: %s: %s\n", what, err->text);
    exit(1);
}

/* Rows of one-way grooves, smoothed noise: a ground face. */
static lev_height_view ground(ptrdiff_t n, double sq_um, ptrdiff_t smooth)
{
    float *const z = malloc((size_t)(n * n) * sizeof *z);
    double *const h = calloc((size_t)n, sizeof *h);
    if (z == NULL || h == NULL)
        exit(3);
    for (ptrdiff_t i = 0; i < n; i++)
        for (ptrdiff_t k = 0; k < smooth; k++)
            h[i] += lev_rng_normal((lev_rng){1}, (uint64_t)((i + k) % n), 0) * sq_um /
                    sqrt((double)smooth);
    for (ptrdiff_t j = 0; j < n; j++)
        for (ptrdiff_t i = 0; i < n; i++)
            z[j * n + i] = (float)h[i];
    free(h);
    return (lev_height_view){z, n, n, 1.0, 1.0};
}

static double bare_transform(ptrdiff_t n)
{
    void *p = NULL; /* the same allocator as the library's own buffer */
    if (lev_mem_new((size_t)(n * n), sizeof(fftw_complex), &p, NULL) < 0)
        exit(3);
    fftw_complex *const u = p;
    fftw_plan plan =
        fftw_plan_dft_2d((int)n, (int)n, u, u, FFTW_FORWARD, FFTW_ESTIMATE);
    for (ptrdiff_t i = 0; i < n * n; i++) {
        u[i][0] = (double)(i % 977);
        u[i][1] = 0.0;
    }
    const double t = now_s();
    fftw_execute(plan);
    const double s = now_s() - t;
    fftw_destroy_plan(plan);
    lev_mem_free(p);
    return s;
}

static void bench_scatter(ptrdiff_t n, int runs)
{
    times bare = {.n = runs};
    times ours = {.n = runs};
    times ratio = {.n = runs};
    lev_height_view m = ground(n, 0.1, 12);
    const lev_scatter_request req = {.incidence_rad = 0.349, .repeats = true};
    for (int k = 0; k < runs; k++) {
        lev_scatter s;
        lev_error err = {0};
        bare.s[k] = bare_transform(n);
        const double t = now_s();
        if (lev_optics_scatter(&m, 1, &req, &s, &err) < 0)
            stop("scatter", &err);
        ours.s[k] = now_s() - t;
        ratio.s[k] = ours.s[k] / bare.s[k];
        lev_scatter_release(&s);
    }
    free((void *)(uintptr_t)m.z_um);
    const double r = median(&ratio);
    printf("scatter %td x %td: bare transform %.3f s, whole %.3f s, ratio %.2f "
           "(%.2f to %.2f over %d runs)\n",
           n, n, median(&bare), median(&ours), r, ratio.s[0], ratio.s[runs - 1], runs);
}

static void bench_strip(ptrdiff_t n, ptrdiff_t card_nx, int runs)
{
    enum { STEPS = 7 }; /* the face as found and six steps */
    static const char *const words[STEPS] = {"START", "P120",  "P240", "P400",
                                             "P800",  "P1200", "PASTE"};
    times t = {.n = runs};
    lev_height_view m[STEPS];
    lev_error err = {0};
    lev_look_request req = {.repeats = true};
    lev_mirror_view view = {.card_mm = 50.0};
    if (lev_optics_find("brass_260", &view.optic, &err) < 0)
        stop("brass", &err);
    for (int k = 0; k < STEPS; k++)
        m[k] = ground(n, 1.0 / (1 << k), 12);
    for (int r = 0; r < runs; r++) {
        lev_picture card;
        lev_picture panel[STEPS];
        lev_picture strip;
        const double begin = now_s();
        if (lev_optics_card(card_nx, &card, &err) < 0)
            stop("card", &err);
        for (int k = 0; k < STEPS; k++)
            if (lev_optics_map_reflect(&card, &m[k], 1, &req, &view, &panel[k], &err) <
                0)
                stop("picture", &err);
        if (lev_optics_strip(panel, words, STEPS, NULL, &strip, &err) < 0)
            stop("strip", &err);
        t.s[r] = now_s() - begin;
        for (int k = 0; k < STEPS; k++)
            lev_picture_release(&panel[k]);
        lev_picture_release(&strip);
        lev_picture_release(&card);
    }
    for (int k = 0; k < STEPS; k++)
        free((void *)(uintptr_t)m[k].z_um);
    const double mid = median(&t);
    printf("strip of start and six steps, maps %td x %td, card %td points: %.2f s "
           "(%.2f to %.2f over %d runs)\n",
           n, n, card_nx, mid, t.s[0], t.s[runs - 1], runs);
}

int main(void)
{
    bench_scatter(4096, 5);
    bench_scatter(1024, 9);
    bench_strip(1024, 320, 5);
    return 0;
}
