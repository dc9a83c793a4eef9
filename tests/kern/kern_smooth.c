/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Weighted sums: every variant against the plain one, to the last bit. With --bench it
 * prints the time of either and their ratio. */
#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "cpu.h"
#include "rng.h"
#include "smooth.h"

enum { GUARD = 8, MOST = 200, TAPS_MOST = 45, WIDTH_MOST = 19 };

static const lev_rng RNG = {20240607};
static int count;

static void tell(bool good, const char *sentence)
{
    printf("%s %d - %s\n", good ? "ok" : "not ok", ++count, sentence);
}

/* Kinds: ordinary numbers, denormals, huge and tiny mixed, zeros of both signs. */
static double number(uint64_t i, uint64_t stream, int kind)
{
    const double x = lev_rng_normal(RNG, i, stream);
    if (kind == 1)
        return x * 1e-310;
    if (kind == 2)
        return ldexp(x, (int)(i % 600) - 300);
    return kind == 3 ? copysign(0.0, x) : x;
}

static bool same(const double *a, const double *b, ptrdiff_t n)
{
    return memcmp(a, b, (size_t)n * sizeof *a) == 0;
}

static bool check_row(const lev_smooth_kern *k, ptrdiff_t n, ptrdiff_t taps, int kind)
{
    double in[MOST + TAPS_MOST + 1], w[TAPS_MOST], a[MOST + 2 * GUARD],
        b[MOST + 2 * GUARD];
    for (ptrdiff_t i = 0; i < n + taps; i++)
        in[i] = number((uint64_t)i, 1, kind);
    for (ptrdiff_t i = 0; i < taps; i++)
        w[i] = number((uint64_t)i, 2, 0);
    for (ptrdiff_t i = 0; i < MOST + 2 * GUARD; i++)
        a[i] = b[i] = 12345.0;
    lev_smooth_row_c(in + 1, w, taps, a + GUARD, n); /* + 1: not aligned */
    k->row(in + 1, w, taps, b + GUARD, n);
    return same(a, b, MOST + 2 * GUARD);
}

static bool check_cols(const lev_smooth_kern *k, ptrdiff_t width, ptrdiff_t rows,
                       ptrdiff_t taps, int kind)
{
    enum { ROWS_MOST = 12 };
    static double in[(ROWS_MOST + TAPS_MOST) * WIDTH_MOST + 1];
    double w[TAPS_MOST], a[ROWS_MOST * WIDTH_MOST + 2 * GUARD];
    double b[ROWS_MOST * WIDTH_MOST + 2 * GUARD];
    for (ptrdiff_t i = 0; i < (rows + taps) * width; i++)
        in[i] = number((uint64_t)i, 3, kind);
    for (ptrdiff_t i = 0; i < taps; i++)
        w[i] = number((uint64_t)i, 4, 0);
    for (size_t i = 0; i < sizeof a / sizeof *a; i++)
        a[i] = b[i] = 12345.0;
    lev_smooth_cols_c(in + 1, width, w, taps, a + GUARD, rows);
    k->cols(in + 1, width, w, taps, b + GUARD, rows);
    return same(a, b, (ptrdiff_t)(sizeof a / sizeof *a));
}

static double seconds(void)
{
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double best_time(const lev_smooth_kern *k, bool cols, double *in, double *w,
                        double *out)
{
    enum { N = 32, ROWS = 512, WIDE = 8, TAPS = 321, TURNS = 7 };
    double best = INFINITY;
    for (int turn = 0; turn < TURNS; turn++) {
        const double from = seconds();
        for (int i = 0; i < (cols ? 1 : ROWS); i++)
            if (cols)
                k->cols(in, WIDE, w, TAPS, out, ROWS * N / WIDE);
            else
                k->row(in + i, w, TAPS, out, N);
        best = fmin(best, seconds() - from);
    }
    return best;
}

static void bench(const lev_smooth_kern *c, const lev_smooth_kern *fast)
{
    static double in[(2048 + 321) * 8], w[321], out[512 * 32];
    for (size_t i = 0; i < sizeof in / sizeof *in; i++)
        in[i] = number(i, 5, 0);
    for (size_t i = 0; i < sizeof w / sizeof *w; i++)
        w[i] = 1.0 / 321.0;
    for (int cols = 0; cols < 2; cols++) {
        const double slow = best_time(c, cols != 0, in, w, out);
        const double quick = best_time(fast, cols != 0, in, w, out);
        printf(
            "# %s, 321 taps, 16384 results: plain %.3f ms, fast %.3f ms, ratio %.2f\n",
            cols != 0 ? "columns" : "rows", slow * 1e3, quick * 1e3, slow / quick);
    }
}

int main(int argc, char **argv)
{
    lev_smooth_kern c, fast;
    bool rows = true, columns = true;
    lev_smooth_kern_init(&c, 0);
    lev_smooth_kern_init(&fast, lev_cpu_flags());
    for (int kind = 0; kind < 4; kind++) {
        for (ptrdiff_t n = 0; n <= 2 * 32 + 5; n++)
            for (ptrdiff_t taps = 1; taps < 8; taps++)
                rows = rows && check_row(&fast, n, taps, kind);
        rows = rows && check_row(&fast, MOST, TAPS_MOST, kind);
        for (ptrdiff_t width = 1; width <= WIDTH_MOST; width++)
            for (ptrdiff_t n = 0; n <= 9; n++)
                for (ptrdiff_t taps = 1; taps < 8; taps++)
                    columns = columns && check_cols(&fast, width, n, taps, kind);
        columns = columns && check_cols(&fast, WIDTH_MOST, 12, TAPS_MOST, kind);
    }
    printf("1..2\n# seed %llu, processor flags %u\n", (unsigned long long)RNG.seed,
           lev_cpu_flags());
    tell(rows, "sums along rows are the same to the last bit, guards untouched");
    tell(columns, "sums down columns are the same to the last bit, guards untouched");
    if (argc > 1 && strcmp(argv[1], "--bench") == 0)
        bench(&c, &fast);
    return rows && columns ? 0 : 1;
}
