/* SPDX-License-Identifier: GPL-3.0-or-later */
/* bench_kernel ROWS PASSES: grains across independent rows, in one thread. The job is
 * given by formulas (Weyl sequences), so that kernel_numpy.py does the very same work;
 * both print the sum and the sum of squares of the heights they end with. Then what the
 * machine could do at best, and how whole runs grow with threads and with the map. */
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "bench_peak.h"
#include "cpu.h"
#include "levigate/simulate.h"
#include "sheet.h"
#include "stats.h"

enum { COLUMNS = 2048 };

/* Operations of the engage kernel on one height: index, x, wall (9), difference,
 * comparison, two sums. */
static const double OPERATIONS = 13.0;

static const double PITCH_UM = 0.5, HARDNESS_MPA = 2000.0;

/* Processor time, which neighbours on the machine disturb least; wall time for threads.
 */
static double clock_now(clockid_t clock)
{
    struct timespec t;
    clock_gettime(clock, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double now(void)
{
    return clock_now(CLOCK_PROCESS_CPUTIME_ID);
}

static double weyl(double k, double step)
{
    const double x = k * step;
    return x - floor(x);
}

static double start_um(ptrdiff_t i)
{
    const double x = (double)(i % COLUMNS);
    return 0.6 * cos(x * 0.15) + 0.3 * cos(x * 0.6135923151542565);
}

typedef struct job {
    double *h_um;
    uint8_t *age;
    ptrdiff_t rows, passes;
    double pixels, touches;
} job;

static void do_job(job *j, const lev_groove_kern *kern)
{
    static double spare_um[COLUMNS];
    static uint8_t spare_age[COLUMNS];
    const lev_sim_step step = {
        .hardness_mpa = HARDNESS_MPA, .removed_share = 0.3, .ridge_width = 2.0};
    for (ptrdiff_t r = 0; r < j->rows; r++) {
        double *const h_um = j->h_um + r * COLUMNS;
        double top_um = lev_stats_max(h_um, COLUMNS);
        const sim_row row = {h_um,     j->age + r * COLUMNS,
                             &top_um,  COLUMNS,
                             1,        PITCH_UM,
                             spare_um, spare_age,
                             kern};
        for (ptrdiff_t e = 0; e < j->passes; e++) {
            const double k = (double)(r * j->passes + e + 1);
            const sim_grain g = {.height_um = 0.0, .spring = 1000.0, .spread = 2.75};
            const double x_um = weyl(k, 0.6180339887498949) * COLUMNS * PITCH_UM;
            const double free_um = 0.5 + 8.0 * log(weyl(k, 0.7548776662466927));
            const sim_pass pass = {&g, x_um, free_um, 1.0};
            sim_touch t;
            if (sim_press(&row, &pass, HARDNESS_MPA, &t)) {
                sim_cut(&row, &pass, &step, 1, &t);
                j->touches += 1.0;
            }
            j->pixels += t.pixels;
            if (e % 64 == 63)
                top_um = lev_stats_max(h_um, COLUMNS);
        }
    }
}

static void say_job(job *j, const char *name, unsigned cpu, double bound_ns)
{
    lev_groove_kern kern;
    const ptrdiff_t n = j->rows * COLUMNS;
    lev_groove_kern_init(&kern, cpu);
    for (ptrdiff_t i = 0; i < n; i++)
        j->h_um[i] = start_um(i);
    j->pixels = j->touches = 0.0;
    const double t0 = now();
    do_job(j, &kern);
    const double s = now() - t0;
    printf(
        "%s seconds %.6f passes %.0f touches %.0f pixels %.0f sum %.12g square %.12g\n",
        name, s, (double)(j->rows * j->passes), j->touches, j->pixels,
        lev_stats_sum(j->h_um, n), lev_stats_sum_square(j->h_um, n, 0.0));
    printf("# %s: %.3g crossings/s (%.3g grain m/s), %.3g heights/s, %.3f ns a height: "
           "%.2f times the bound\n",
           name, j->touches / s, j->touches * PITCH_UM * 1e-6 / s, j->pixels / s,
           1e9 * s / j->pixels, 1e9 * s / j->pixels / bound_ns);
}

/* The bound: engage's operations at the peak of additions and multiplications. */
static double say_bound(void)
{
    double best = INFINITY, sink = 0.0;
    for (int i = 0; i < 7; i++) {
        const double t0 = now();
        const double n = bench_peak(4000000, &sink);
        best = fmin(best, (now() - t0) / n);
    }
    const double bound_ns = 1e9 * best * OPERATIONS;
    printf("# peak %.3g operations/s, so %.3f ns a height at best (%g)\n", 1.0 / best,
           bound_ns, isnan(sink) ? 1.0 : 0.0);
    return bound_ns;
}

/* The kernel alone on rows as long as grooves are wide. */
static void say_engage(double bound_ns)
{
    static double h_um[COLUMNS];
    lev_groove_kern kern;
    lev_groove_kern_init(&kern, lev_cpu_flags());
    for (ptrdiff_t i = 0; i < COLUMNS; i++)
        h_um[i] = start_um(i);
    for (ptrdiff_t n = 32; n <= 1024; n *= 2) {
        const lev_groove g = {
            .x0_um = 0.25 * (double)n, .bottom_um = -1.0, .slope = 0.36};
        double best = INFINITY, sum = 0.0;
        for (int turn = 0; turn < 9; turn++) {
            const double t0 = now();
            for (ptrdiff_t i = 0; i < 20000; i++)
                sum += kern.engage(h_um + i * 7 % 1024, n, PITCH_UM, &g).over_um;
            best = fmin(best, (now() - t0) / 20000.0 / (double)n);
        }
        printf(
            "# engage alone, %td heights: %.3f ns a height, %.2f times the bound%s\n",
            n, 1e9 * best, 1e9 * best / bound_ns, isnan(sum) ? "!" : "");
    }
}

/* One whole run; NaN on failure. *own: share of all processor time that the calling
 * thread spent, whose path is the longest. */
static double seconds_of(ptrdiff_t side, int threads, double *pixels, double *own)
{
    const lev_sim_grid grid = {
        .nx = side, .ny = side, .pitch_um = 1.0, .threads = threads};
    const lev_sim_step step = {.grains = {.d50_um = 100.0, .ln_sigma = 0.22},
                               .hardness_mpa = 2000.0,
                               .backing_mpa = 10.0,
                               .pressure_kpa = 20.0,
                               .removed_share = 0.3,
                               .lay = LEV_LAY_CROSS,
                               .angle_rad = 0.6,
                               .distance_m = 1.5,
                               .records = 2,
                               .seed = 3};
    lev_sim *sim = NULL;
    lev_sim_result r = {0};
    lev_error err = {0};
    double s = NAN;
    if (lev_sim_new(&grid, &sim, &err) == LEV_OK) {
        const double t0 = clock_now(CLOCK_MONOTONIC), all0 = now();
        const double own0 = clock_now(CLOCK_THREAD_CPUTIME_ID);
        if (lev_sim_run(sim, &step, NULL, NULL, &r, &err) == LEV_OK)
            s = clock_now(CLOCK_MONOTONIC) - t0;
        *own = (clock_now(CLOCK_THREAD_CPUTIME_ID) - own0) / (now() - all0);
    }
    if (isnan(s))
        fprintf(stderr, "bench_kernel: %s\n", err.text);
    *pixels = r.pixels;
    lev_sim_result_release(&r);
    lev_sim_free(sim);
    return s;
}

/* The least of several turns, all cases in each turn: others use the machine too. */
static int say_scaling(void)
{
    enum { CASES = 4, TURNS = 5 };
    static const ptrdiff_t side[CASES] = {256, 512, 1024, 1024};
    static const int threads[CASES] = {1, 1, 1, 2};
    double least[CASES], pixels[CASES], own = NAN, least_own = 1.0;
    for (int turn = 0; turn < TURNS; turn++)
        for (int i = 0; i < CASES; i++) {
            const double s = seconds_of(side[i], threads[i], &pixels[i], &own);
            if (isnan(s))
                return 1;
            least_own = fmin(least_own, own);
            least[i] = turn == 0 ? s : fmin(least[i], s);
        }
    for (int i = 0; i < CASES; i++)
        printf("# map %4td x %4td, %d thread%s: %.3f s, %.3g heights/s, %.1f ns a map "
               "point\n",
               side[i], side[i], threads[i], threads[i] > 1 ? "s" : "", least[i],
               pixels[i] / least[i], 1e9 * least[i] / (double)(side[i] * side[i]));
    printf(
        "# four times the map: %.2f and %.2f times the time; two threads: %.2f times "
        "as fast, %.2f by the\n# work of the longer path, were both processors free\n",
        least[1] / least[0], least[2] / least[1], least[2] / least[3], 1.0 / least_own);
    return 0;
}

int main(int argc, char **argv)
{
    job j = {.rows = argc > 1 ? strtol(argv[1], NULL, 10) : 256,
             .passes = argc > 2 ? strtol(argv[2], NULL, 10) : 400};
    if (j.rows < 1 || j.rows > 65536 || j.passes < 1) {
        fprintf(stderr, "bench_kernel: ROWS 1 to 65536, PASSES at least 1\n");
        return 2;
    }
    j.h_um = malloc((size_t)j.rows * COLUMNS * sizeof *j.h_um);
    j.age = calloc((size_t)j.rows * COLUMNS, 1);
    if (!j.h_um || !j.age)
        return 3;
    const double bound_ns = say_bound();
    say_job(&j, "fast", lev_cpu_flags(), bound_ns);
    say_job(&j, "plain", 0U, bound_ns);
    free(j.h_um);
    free(j.age);
    say_engage(bound_ns);
    return say_scaling();
}
