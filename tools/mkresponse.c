/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * mkresponse DIR [POINTS|pad|old [THREADS]]: runs the groove kernel over its
 * dimensionless groups and writes DIR/response.csv (what came out),
 * DIR/response_fit.csv (a quadratic of the logarithms through it) and
 * DIR/response_error.csv (how far that misses); then DIR/pad_response.csv and
 * DIR/pad_error.csv, waves under a pad (mkresponse_pad.c), and DIR/old_response.csv,
 * textures of grains of other sizes (mkresponse_old.c). Points are a Halton sequence,
 * so more points keep the old ones. Same files on every machine.
 */
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "mkresponse.h"
#include "quadfit.h"
#include "units.h"

enum { MOST = 2000 };
enum {
    OUT_RA,
    OUT_DEEPEST,
    OUT_CLEAR_HALF,
    OUT_CLEAR_FIFTH,
    OUT_CLEAR_TENTH,
    OUT_RHO_LONG,
    OUTS
};
enum { REPEATS = 6 };

/* Groups: name in the file, ends of the range, whether its logarithm is the variable.
 */
const quad_group RESPONSE_GROUP[GROUPS] = {
    {"hardness_ratio", 6.0, 1400.0, true}, /* H / E_b */
    {"pressure_ratio", 5e-5, 2e-2, true},  /* p / E_b */
    {"tip_spread", 1.7, 5.7, true},        /* tan of the half-angle: 60 to 80 degrees */
    {"removed_share", 0.1, 1.0, true},     /* f_ab */
    {"ln_sigma", 0.06, 0.36, false},       /* spread of sizes */
    {"levelled", 0.0, 0.8, false},         /* share of the touching tips levelled */
};

static const char *const OUT[OUTS] = {"ra",          "deepest",     "clear_half",
                                      "clear_fifth", "clear_tenth", "rho_long"};

const double RESPONSE_D50_UM = 50.0;
static const double BACKING_MPA = 10.0;

typedef struct point {
    double group[GROUPS], out[OUTS];
} point;

_Noreturn void give_up(const char *what)
{
    fprintf(stderr, "mkresponse: %s\n", what);
    exit(3);
}

double halton(int i, int base)
{
    double x = 0.0, f = 1.0;
    for (; i > 0; i /= base) {
        f /= base;
        x += f * (i % base);
    }
    return x;
}

void response_place(double group[GROUPS], int i)
{
    static const int prime[GROUPS] = {2, 3, 5, 7, 11, 13};
    for (int g = 0; g < GROUPS; g++) {
        const double u = halton(i + 20, prime[g]); /* the first few are correlated */
        group[g] = RESPONSE_GROUP[g].log
                       ? RESPONSE_GROUP[g].low *
                             pow(RESPONSE_GROUP[g].high / RESPONSE_GROUP[g].low, u)
                       : RESPONSE_GROUP[g].low +
                             u * (RESPONSE_GROUP[g].high - RESPONSE_GROUP[g].low);
    }
}

lev_sim_step response_step(const double group[GROUPS], double d50_um, double remove_um,
                           uint64_t seed)
{
    const double t = group[2], share = group[3];
    const double v = 2.0 * share * group[1] / (LEV_PI * group[0] * t);
    return (lev_sim_step){
        .grains = {.d50_um = d50_um,
                   .ln_sigma = group[4],
                   .half_angle_rad = atan(t),
                   .dressed = group[5],
                   .count = 1 << 17},
        .hardness_mpa = group[0] * BACKING_MPA,
        .backing_mpa = BACKING_MPA,
        .pressure_kpa = group[1] * BACKING_MPA * 1e3,
        .removed_share = share,
        .distance_m = 1.3 * remove_um / v / LEV_UM_PER_M,
        .depth_um = remove_um,
        .records = 80,
        .seed = seed,
    };
}

lev_sim *face(double width_um, double pitch_um, int rows, int threads)
{
    const lev_sim_grid grid = {.nx = (ptrdiff_t)(width_um / pitch_um),
                               .ny = rows,
                               .pitch_um = pitch_um,
                               .threads = threads};
    lev_sim *s = NULL;
    lev_error err = {0};
    if (lev_sim_new(&grid, &s, &err) < 0)
        give_up(err.text);
    return s;
}

lev_sim_result run(lev_sim *s, const lev_sim_step *step)
{
    lev_sim_result r = {0};
    lev_error err = {0};
    if (lev_sim_run(s, step, NULL, NULL, &r, &err) < 0)
        give_up(err.text);
    return r;
}

void set_waves(lev_sim *s, double width_um, double pitch_um, int rows, int waves,
               double half_um)
{
    const ptrdiff_t nx = (ptrdiff_t)(width_um / pitch_um);
    float *const h_um = malloc((size_t)rows * (size_t)nx * sizeof *h_um);
    lev_error err = {0};
    if (!h_um)
        give_up("out of memory");
    for (ptrdiff_t i = 0; i < rows * nx; i++)
        h_um[i] = (float)(half_um *
                          cos(2.0 * waves * LEV_PI * (double)(i % nx) / (double)nx));
    if (lev_sim_set_heights(s, h_um, &err) < 0)
        give_up(err.text);
    free(h_um);
}

/* Depth removed when a share of the old texture is left, between records in logs. */
double depth_at(const lev_sim_result *r, double share, bool wide)
{
    for (ptrdiff_t i = 1; i < r->n; i++) {
        const lev_sim_record *a = &r->record[i - 1], *b = &r->record[i];
        const double la = wide ? a->old_long : a->old_amplitude;
        const double lb = wide ? b->old_long : b->old_amplitude;
        if (lb > share)
            continue;
        const double f = log(la / share) / log(la / fmax(lb, 1e-3 * share));
        return a->removed_um + f * (b->removed_um - a->removed_um);
    }
    return NAN;
}

static double later_mean(const lev_sim_result *r, bool deepest)
{
    double sum = 0.0;
    const ptrdiff_t from = r->n / 2;
    for (ptrdiff_t i = from; i < r->n; i++)
        sum += deepest ? r->record[i].deepest_um : r->record[i].Ra_um;
    return sum / (double)(r->n - from);
}

/* Own texture of grains twice the size; then these grains over it; then a wave. */
static void measure(point *p, uint64_t seed, int threads)
{
    enum { ROWS = 6 };
    const lev_sim_step first =
        response_step(p->group, 2.0 * RESPONSE_D50_UM, 0.10 * RESPONSE_D50_UM, seed);
    const lev_sim_step own =
        response_step(p->group, RESPONSE_D50_UM, 0.40 * RESPONSE_D50_UM, seed + 1);
    double pitch_um;
    lev_error err = {0};
    if (lev_sim_pitch_um(&own, &pitch_um, &err) < 0)
        give_up(err.text);
    pitch_um /= 1.5;
    const double width_um = 40.0 * RESPONSE_D50_UM;
    lev_sim *s = face(width_um, pitch_um, ROWS, threads);
    lev_sim_result r = run(s, &first);
    lev_sim_result_release(&r);
    r = run(s, &own);
    p->out[OUT_RA] = later_mean(&r, false) / RESPONSE_D50_UM;
    p->out[OUT_DEEPEST] = later_mean(&r, true) / RESPONSE_D50_UM;
    p->out[OUT_CLEAR_HALF] = depth_at(&r, 0.5, false) / RESPONSE_D50_UM;
    p->out[OUT_CLEAR_FIFTH] = depth_at(&r, 0.2, false) / RESPONSE_D50_UM;
    p->out[OUT_CLEAR_TENTH] = depth_at(&r, 0.1, false) / RESPONSE_D50_UM;
    lev_sim_result_release(&r);
    lev_sim_free(s);

    s = face(width_um, pitch_um, 2, threads);
    set_waves(s, width_um, pitch_um, 2, 4, 0.1 * RESPONSE_D50_UM);
    const lev_sim_step wave =
        response_step(p->group, RESPONSE_D50_UM, 0.40 * RESPONSE_D50_UM, seed + 2);
    r = run(s, &wave);
    p->out[OUT_RHO_LONG] = (depth_at(&r, 0.2, true) - depth_at(&r, 0.5, true)) /
                           log(2.5) / RESPONSE_D50_UM;
    lev_sim_result_release(&r);
    lev_sim_free(s);
}

static quad_fit fit_of(const point *p, int n, int out)
{
    static double group[MOST][GROUPS], y[MOST];
    for (int i = 0; i < n; i++) {
        memcpy(group[i], p[i].group, sizeof group[i]);
        y[i] = p[i].out[out];
    }
    const quad_fit f =
        quad_fit_of(RESPONSE_GROUP, (const double(*)[GROUPS])group, y, n);
    if (f.n == 0)
        give_up("too few points for a fit; ask for 80 or more");
    return f;
}

FILE *open_in(const char *dir, const char *name)
{
    char path[1024];
    if (snprintf(path, sizeof path, "%s/%s", dir, name) >= (int)sizeof path)
        give_up("name of the folder too long");
    FILE *const f = fopen(path, "w");
    if (!f)
        give_up(path);
    return f;
}

static void write_points(const char *dir, const point *p, int n)
{
    FILE *const f = open_in(dir, "response.csv");
    fputs("# What the groove kernel gives at each point of its dimensionless groups; "
          "lengths over the median grain.\n"
          "# Written by tools/mkresponse: do not edit. doc/physics/kernel.md says what "
          "the "
          "columns are.\n#table response\nid,",
          f);
    for (int g = 0; g < GROUPS; g++)
        fprintf(f, "%s,", RESPONSE_GROUP[g].name);
    for (int o = 0; o < OUTS; o++)
        fprintf(f, "%s,", OUT[o]);
    fputs("mark,source,note\n#type id!,real!,real!,real!,real!,real!,real!,", f);
    for (int o = 0; o < OUTS; o++)
        fputs("real,", f);
    fputs("mark!,source!,text\n", f);
    for (int i = 0; i < n; i++) {
        fprintf(f, "r%d", i + 1);
        for (int g = 0; g < GROUPS; g++)
            fprintf(f, ",%.5g", p[i].group[g]);
        for (int o = 0; o < OUTS; o++) {
            if (p[i].out[o] > 0.0)
                fprintf(f, ",%.4g", p[i].out[o]);
            else
                fputc(',', f);
        }
        fputs(",derived,none,\n", f);
    }
    fclose(f);
}

static void write_fits(const char *dir, const quad_fit fits[OUTS],
                       const double noise[OUTS])
{
    FILE *f = open_in(dir, "response_fit.csv");
    char name[80];
    fputs("# ln of each column of response as a quadratic: groups (logarithms but for "
          "ln_sigma and levelled) scaled\n# to -1..1 over the range in response_group. "
          "Written by tools/mkresponse: do not edit.\n#table response_fit\n"
          "id,quantity,term,value,mark,source,note\n"
          "#type id!,text!,text!,real!,mark!,source!,text\n",
          f);
    for (int o = 0; o < OUTS; o++) {
        for (int t = 0; t < TERMS; t++)
            fprintf(f, "%s.%d,%s,%s,%.5f,fitted,none,\n", OUT[o], t, OUT[o],
                    quad_term_name(RESPONSE_GROUP, t, name), fits[o].value[t]);
    }
    fclose(f);
    f = open_in(dir, "response_error.csv");
    fputs("# How far the quadratic misses the kernel, as log-sd: of the fit, of points "
          "left out, of one kernel run\n# against another seed. Written by "
          "tools/mkresponse: do not edit.\n#table response_error\n"
          "id,points,fit_lnsd,left_out_lnsd,worst_ln,noise_lnsd,mark,source,note\n"
          "#type id!,int!,real!,real!,real!,real!,mark!,source!,text\n",
          f);
    for (int o = 0; o < OUTS; o++)
        fprintf(f, "%s,%d,%.4f,%.4f,%.4f,%.4f,fitted,none,\n", OUT[o], fits[o].n,
                fits[o].rms, fits[o].left_out, fits[o].worst, noise[o]);
    fclose(f);
    f = open_in(dir, "response_group.csv");
    fputs("# Ranges of the groups of response, and whether the logarithm is the "
          "variable. "
          "Written by\n# tools/mkresponse: do not edit.\n#table response_group\n"
          "id,low,high,logarithm,mark,source,note\n"
          "#type id!,real!,real!,flag!,mark!,source!,text\n",
          f);
    for (int g = 0; g < GROUPS; g++)
        fprintf(f, "%s,%g,%g,%d,derived,none,\n", RESPONSE_GROUP[g].name,
                RESPONSE_GROUP[g].low, RESPONSE_GROUP[g].high,
                RESPONSE_GROUP[g].log ? 1 : 0);
    fclose(f);
}

/* Scatter of the logarithm from seed to seed in the middle of the ranges. */
static void find_noise(double noise[OUTS], int threads)
{
    point p[REPEATS];
    for (int i = 0; i < REPEATS; i++) {
        response_place(p[i].group, 0);
        for (int g = 0; g < GROUPS; g++)
            p[i].group[g] =
                RESPONSE_GROUP[g].log
                    ? sqrt(RESPONSE_GROUP[g].low * RESPONSE_GROUP[g].high)
                    : 0.5 * (RESPONSE_GROUP[g].low + RESPONSE_GROUP[g].high);
        measure(&p[i], 1000000U + 10U * (unsigned)i, threads);
    }
    for (int o = 0; o < OUTS; o++) {
        double mean = 0.0, square = 0.0;
        for (int i = 0; i < REPEATS; i++)
            mean += log(p[i].out[o]) / REPEATS;
        for (int i = 0; i < REPEATS; i++)
            square += pow(log(p[i].out[o]) - mean, 2.0);
        noise[o] = sqrt(square / (REPEATS - 1));
    }
}

int main(int argc, char **argv)
{
    static point p[MOST];
    quad_fit fits[OUTS];
    double noise[OUTS];
    const long n = argc > 2 ? strtol(argv[2], NULL, 10) : 240;
    const int threads = argc > 3 ? (int)strtol(argv[3], NULL, 10) : 1;
    const char *const part = argc > 2 ? argv[2] : "";
    const bool pad = strcmp(part, "pad") == 0, old = strcmp(part, "old") == 0;
    if (argc < 2 || ((n < 1 || n > MOST) && !pad && !old) || threads < 1) {
        fprintf(stderr,
                "mkresponse: usage; mkresponse DIR [POINTS|pad|old [THREADS]]\n");
        return 2;
    }
    if (pad)
        write_pad(argv[1], threads);
    if (old)
        write_old(argv[1], threads);
    if (pad || old)
        return 0;
    for (int i = 0; i < n; i++) {
        response_place(p[i].group, i);
        measure(&p[i], 10U * (unsigned)i, threads);
        fprintf(stderr, "\r%d of %ld", i + 1, n);
    }
    fputc('\n', stderr);
    find_noise(noise, threads);
    for (int o = 0; o < OUTS; o++)
        fits[o] = fit_of(p, (int)n, o);
    write_points(argv[1], p, (int)n);
    write_fits(argv[1], fits, noise);
    write_pad(argv[1], threads);
    write_old(argv[1], threads);
    for (int o = 0; o < OUTS; o++)
        printf(
            "%-12s %d points, fit %.1f %%, left out %.1f %%, worst %.1f %%, noise %.1f "
            "%%\n",
            OUT[o], fits[o].n, 100.0 * fits[o].rms, 100.0 * fits[o].left_out,
            100.0 * fits[o].worst, 100.0 * noise[o]);
    return 0;
}
