/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The library's numbers for surface.py to compare: one command, numbers out in 17
 * digits. Used by tests only.
 *
 *   oracle_surface filter KIND CUTOFF_UM DX_UM REACH ENDS FILE     mean line of a trace
 *   oracle_surface profile DX_UM SECTIONS FILE                     parameters
 *   oracle_surface map NX DX_UM CUTOFF_UM ENDS FILE                areal mean surface
 *   oracle_surface areal NX DX_UM FILE                             areal parameters
 *
 * FILE holds little-endian float64, NaN where nothing was measured. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "levigate/surface.h"

static lev_error err;

static double *load(const char *path, ptrdiff_t *n)
{
    FILE *f = fopen(path, "rb");
    if (f == NULL || fseek(f, 0, SEEK_END) != 0)
        exit(2);
    *n = ftell(f) / (ptrdiff_t)sizeof(double);
    rewind(f);
    double *x = malloc((size_t)(*n + 1) * sizeof *x);
    if (x == NULL || fread(x, sizeof *x, (size_t)*n, f) != (size_t)*n)
        exit(2);
    (void)fclose(f);
    return x;
}

static void need(lev_status st)
{
    if (st >= 0)
        return;
    (void)fprintf(stderr, "%s\n", err.text);
    exit(2);
}

static lev_trace load_trace(const char *path, double dx_um)
{
    lev_trace t = {0};
    ptrdiff_t n = 0;
    double *x = load(path, &n);
    need(lev_trace_init(&t, n, dx_um, &err));
    memcpy(t.z_um, x, (size_t)n * sizeof *x);
    free(x);
    return t;
}

static lev_map load_map(const char *path, ptrdiff_t nx, double dx_um)
{
    lev_map m = {0};
    ptrdiff_t n = 0;
    double *x = load(path, &n);
    need(lev_map_init(&m, nx, n / nx, dx_um, dx_um, &err));
    for (ptrdiff_t i = 0; i < m.nx * m.ny; i++)
        m.z_um[i] = (float)x[i];
    free(x);
    return m;
}

static void show(const char *name, double x)
{
    printf("%s %.17g\n", name, x);
}

static void run_filter(char **a)
{
    lev_trace t = load_trace(a[5], atof(a[2])), mean = {0};
    const lev_filter f = {.kind = (lev_filter_kind)atoi(a[0]),
                          .cutoff_um = atof(a[1]),
                          .reach = atof(a[3]),
                          .ends = (lev_ends)atoi(a[4])};
    need(lev_trace_filter(&t, &f, &mean, &err));
    for (ptrdiff_t i = 0; i < mean.n; i++)
        printf("%.17g\n", mean.z_um[i]);
    lev_trace_release(&t);
    lev_trace_release(&mean);
}

static void run_profile(char **a)
{
    lev_trace t = load_trace(a[2], atof(a[0]));
    lev_profile p;
    need(lev_profile_of(&t, LEV_RULE_ISO21920, atoi(a[1]), &p, &err));
    show("Ra", p.Ra_um);
    show("Rq", p.Rq_um);
    show("Rsk", p.Rsk);
    show("Rku", p.Rku);
    show("Rt", p.Rt_um);
    show("Rz", p.Rz_um);
    show("Rdq", p.Rdq);
    show("Rk", p.core.k_um);
    show("Rpq", p.plateau.pq_um);
    show("Rvq", p.plateau.vq_um);
    show("Rmq", p.plateau.mq_pct);
    lev_trace_release(&t);
}

static void run_map(char **a)
{
    lev_map m = load_map(a[4], atoi(a[0]), atof(a[1])), mean = {0};
    const lev_filter f = {.cutoff_um = atof(a[2]), .ends = (lev_ends)atoi(a[3])};
    need(lev_map_filter(&m, &f, &mean, &err));
    for (ptrdiff_t i = 0; i < mean.nx * mean.ny; i++)
        printf("%.9g\n", (double)mean.z_um[i]);
    lev_map_release(&m);
    lev_map_release(&mean);
}

static void run_areal(char **a)
{
    lev_map m = load_map(a[2], atoi(a[0]), atof(a[1]));
    lev_areal s;
    need(lev_map_areal(&m, &s, &err));
    show("Sa", s.h.Sa_um);
    show("Sq", s.h.Sq_um);
    show("Ssk", s.h.Ssk);
    show("Sku", s.h.Sku);
    show("Sz", s.h.Sz_um);
    show("hills", (double)s.hills);
    show("dales", (double)s.dales);
    lev_map_release(&m);
}

int main(int argc, char **argv)
{
    static const struct {
        const char *name;
        int n;
        void (*run)(char **a);
    } commands[] = {{"filter", 6, run_filter},
                    {"profile", 3, run_profile},
                    {"map", 5, run_map},
                    {"areal", 3, run_areal}};
    for (size_t i = 0; i < sizeof commands / sizeof *commands; i++) {
        if (argc == commands[i].n + 2 && strcmp(argv[1], commands[i].name) == 0) {
            commands[i].run(argv + 2);
            return 0;
        }
    }
    (void)fprintf(stderr, "usage: see the head of oracle_surface.c\n");
    return 2;
}
