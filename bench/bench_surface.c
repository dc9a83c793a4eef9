/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Areal Gaussian and all height parameters of a large map; a long profile. Prints one
 * line a case: name, seconds (best of the turns), spread of the turns, for the map the
 * peak memory in maps, for the profile the least processor time of a turn and that of
 * the first, whose memory is new. bench_surface.py runs it beside scipy on the same
 * data.
 *
 *   bench_surface map N TAPS TURNS FILE     N x N float32, ends mirrored
 *   bench_surface profile TURNS FILE        float64, cut-off of 1600 points */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "levigate/surface.h"

static lev_error err;

static double seconds_of(clockid_t clock)
{
    struct timespec t;
    (void)clock_gettime(clock, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double seconds(void)
{
    return seconds_of(CLOCK_MONOTONIC);
}

static void need(int good)
{
    if (good)
        return;
    (void)fprintf(stderr, "bench_surface: %s\n", err.text);
    exit(2);
}

/* Largest resident size since this program began, from the kernel's own count. */
static double peak_bytes(void)
{
    char line[256];
    double kb = NAN;
    FILE *f = fopen("/proc/self/status", "r");
    while (f != NULL && fgets(line, sizeof line, f) != NULL)
        if (sscanf(line, "VmHWM: %lf", &kb) == 1)
            break;
    if (f != NULL)
        (void)fclose(f);
    return 1024.0 * kb;
}

static void load(const char *path, void *to, size_t n, size_t size)
{
    FILE *f = fopen(path, "rb");
    need(f != NULL && fread(to, size, n, f) == n);
    (void)fclose(f);
}

static void run_map(ptrdiff_t n, ptrdiff_t taps, int turns, const char *path)
{
    lev_map m = {0};
    double best = INFINITY, worst = 0.0;
    lev_heights h = {0};
    /* A kernel of one cut-off on either side: (taps - 1) / 2 points. */
    const lev_filter f = {.cutoff_um = (double)((taps - 1) / 2),
                          .ends = LEV_ENDS_MIRROR};
    need(lev_map_init(&m, n, n, 1.0, 1.0, &err) >= 0);
    load(path, m.z_um, (size_t)(n * n), sizeof *m.z_um);
    for (int turn = 0; turn < turns; turn++) {
        lev_map mean = {0};
        const double from = seconds();
        need(lev_map_filter(&m, &f, &mean, &err) >= 0);
        need(lev_map_heights(&mean, &h, &err) >= 0);
        const double took = seconds() - from;
        best = fmin(best, took);
        worst = fmax(worst, took);
        lev_map_release(&mean);
    }
    printf("map%td %.6f %.6f Sq %.9g memory %.2f maps\n", taps, best, worst - best,
           h.Sq_um, peak_bytes() / ((double)(n * n) * sizeof(float)));
    lev_map_release(&m);
}

static void run_profile(int turns, const char *path)
{
    enum { N = 1000000 };
    lev_trace t = {0};
    lev_profile p = {0};
    double best = INFINITY, worst = 0.0, least = INFINITY, first = 0.0;
    const lev_filter f = {.cutoff_um = 1600.0};
    need(lev_trace_init(&t, N, 1.0, &err) >= 0);
    load(path, t.z_um, N, sizeof *t.z_um);
    for (int turn = 0; turn < turns; turn++) {
        lev_trace mean = {0}, rough = {0};
        const double from = seconds(), cpu = seconds_of(CLOCK_PROCESS_CPUTIME_ID);
        need(lev_trace_filter(&t, &f, &mean, &err) >= 0);
        need(lev_trace_rest(&t, &mean, &rough, &err) >= 0);
        need(lev_profile_of(&rough, LEV_RULE_ISO21920, 5, &p, &err) >= 0);
        const double took = seconds() - from;
        const double spent = seconds_of(CLOCK_PROCESS_CPUTIME_ID) - cpu;
        best = fmin(best, took);
        worst = fmax(worst, took);
        least = fmin(least, spent);
        first = turn == 0 ? spent : first;
        lev_trace_release(&mean);
        lev_trace_release(&rough);
    }
    printf("profile %.6f %.6f Rq %.12g cpu %.6f first %.6f\n", best, worst - best,
           p.Rq_um, least, first);
    lev_trace_release(&t);
}

int main(int argc, char **argv)
{
    if (argc == 6 && strcmp(argv[1], "map") == 0)
        run_map(atoi(argv[2]), atoi(argv[3]), atoi(argv[4]), argv[5]);
    else if (argc == 4 && strcmp(argv[1], "profile") == 0)
        run_profile(atoi(argv[2]), argv[3]);
    else
        return 2;
    return 0;
}
