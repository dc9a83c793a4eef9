/* SPDX-License-Identifier: GPL-3.0-or-later */
/* checkkern [--seed N] [--bench]: every kernel variant against the plain C one, on
 * random and worst-case data; prints TAP. The seed is printed, so that a failure can
 * be repeated. */
#include "checkkern.h"

#include <float.h>
#include <inttypes.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static int told, failed;

guarded guarded_new(size_t n, size_t off)
{
    guarded g = {.n = n};
    const size_t room = (n + off + 2 * GUARD + 63) / 64 * 64;
    g.block = aligned_alloc(64, room);
    if (!g.block)
        abort();
    memset(g.block, 0xA5, room);
    g.p = g.block + GUARD + off;
    return g;
}

void guarded_free(guarded *g)
{
    free(g->block);
    *g = (guarded){0};
}

bool guards_stand(const guarded *g)
{
    for (size_t i = 1; i <= GUARD / 2; i++) {
        if (g->p[-(ptrdiff_t)i] != 0xA5 || g->p[g->n + i - 1] != 0xA5)
            return false;
    }
    return true;
}

void tell(bool good, const char *sentence)
{
    told++;
    failed += good ? 0 : 1;
    printf("%s %d - %s\n", good ? "ok" : "not ok", told, sentence);
}

void complain(const char *format, ...)
{
    va_list ap;
    va_start(ap, format);
    fputs("# ", stdout);
    vprintf(format, ap);
    fputc('\n', stdout);
    va_end(ap);
}

uint64_t ulps(double a, double b)
{
    int64_t x, y;
    if (isnan(a) || isnan(b))
        return isnan(a) && isnan(b) ? 0 : UINT64_MAX;
    memcpy(&x, &a, sizeof x);
    memcpy(&y, &b, sizeof y);
    x = x < 0 ? INT64_MIN - x : x;
    y = y < 0 ? INT64_MIN - y : y;
    return x > y ? (uint64_t)x - (uint64_t)y : (uint64_t)y - (uint64_t)x;
}

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

double best_seconds(void (*fn)(void *), void *arg, double *spread)
{
    enum { TURNS = 15 };
    double best = INFINITY, worst = 0.0;
    for (int i = 0; i < TURNS; i++) {
        const double t0 = now();
        fn(arg);
        const double t = now() - t0;
        best = t < best ? t : best;
        worst = t > worst ? t : worst;
    }
    *spread = worst / best - 1.0;
    return best;
}

void fill_heights(double *h_um, ptrdiff_t n, lev_rng rng, uint64_t stream, int kind)
{
    for (ptrdiff_t i = 0; i < n; i++) {
        const double x = lev_rng_normal(rng, (uint64_t)i, stream);
        h_um[i] = kind == 4 ? 0.0 : x;
        if (kind == 1 && i % 3 == (ptrdiff_t)(stream % 3))
            h_um[i] = (double)NAN;
        if (kind == 2)
            h_um[i] = x * DBL_MIN / 16.0;
        if (kind == 3)
            h_um[i] = i % 5 == 0 ? copysign((double)INFINITY, x) : x * 1e300;
    }
}

int main(int argc, char **argv)
{
    lev_rng rng = {20240611};
    bool bench = false;
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--bench") == 0) {
            bench = true;
        } else if (strcmp(argv[i], "--seed") == 0 && i + 1 < argc) {
            rng.seed = strtoull(argv[++i], NULL, 10);
        } else {
            fprintf(stderr, "checkkern: %s; --seed N or --bench\n", argv[i]);
            return 2;
        }
    }
    printf("# seed %" PRIu64 "\n", rng.seed);
    if (bench) {
        bench_groove(rng);
        return 0;
    }
    check_groove(rng);
    check_stats(rng);
    printf("1..%d\n", told);
    return failed == 0 ? 0 : 1;
}
