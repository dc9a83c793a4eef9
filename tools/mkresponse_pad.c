/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Waves under a pad that gives: how much deeper one must go than on a flat sheet, by
 * the kernel and by the closed form rho / (1 - B) + p C (lev_cut_pad_follows,
 * lev_cut_pad_give). The closed form holds while the pad touches everywhere; for deeper
 * waves p C is taken to fall to p C / (1 + (A / (m p C))^2), and m is fitted. */
#include <math.h>
#include <stdlib.h>

#include "mkresponse.h"
#include "units.h"

enum { POINTS = 48, ROWS = 6, WAVES = 2, PRIMES = 6 };
static const double D50 = 50.0, BACKING = 10.0, SHARE = 0.3, TANGENT = 2.7475;
static const double HALF = 0.5, FIFTH = 0.2; /* of the wave: measured between these */

enum { HARDNESS, PRESSURE, WAVE, HEIGHT, GIVE, SIDE, PAD_GROUPS };
static const struct {
    const char *name;
    double low, high;
} PAD[PAD_GROUPS] = {
    {"hardness_ratio", 20.0, 1000.0}, /* H / E_b */
    {"pressure_ratio", 2e-4, 1e-2},   /* p / E_b */
    {"wave", 8.0, 40.0},              /* length / d50 */
    {"half_height", 0.03, 0.4},       /* / d50 */
    {"give", 0.01, 0.5},              /* p C / d50 */
    {"pad_side", 0.8, 12.0},          /* of the pad / length of the wave */
};

typedef struct pad_point {
    double group[PAD_GROUPS];
    double follows;           /* B */
    double rho_flat, rho_pad; /* / d50 */
} pad_point;

static void place_pad(pad_point *p, int i)
{
    static const int prime[PRIMES] = {2, 3, 5, 7, 11, 13};
    for (int g = 0; g < PAD_GROUPS; g++)
        p->group[g] =
            PAD[g].low * pow(PAD[g].high / PAD[g].low, halton(i + 20, prime[g]));
    p->follows = lev_cut_pad_follows(1.0, 0.0, p->group[SIDE]);
}

/* p C over d50, mean over ln A between the shares measured, m wide. */
static double follow_of(const pad_point *p, double m)
{
    const double c = p->group[GIVE];
    const double deep = p->group[HEIGHT] * HALF / (m * c);
    const double low = p->group[HEIGHT] * FIFTH / (m * c);
    return c * (1.0 -
                0.5 * log((1.0 + deep * deep) / (1.0 + low * low)) / log(HALF / FIFTH));
}

static double closed_of(const pad_point *p, double m)
{
    return p->rho_flat / (1.0 - p->follows) + follow_of(p, m);
}

static double rho_of(const pad_point *p, bool pad, uint64_t seed, int threads)
{
    const double h = p->group[HARDNESS], push = p->group[PRESSURE];
    const double v = 2.0 * SHARE * push / (LEV_PI * h * TANGENT);
    const double width_um = WAVES * p->group[WAVE] * D50;
    const double far = pad ? 0.15 / (1.0 - p->follows) + p->group[GIVE] : 0.15;
    const double remove_um = D50 * (2.2 * far + 0.5 * p->group[HEIGHT]);
    lev_sim_step step = {
        .grains = {.d50_um = D50,
                   .ln_sigma = 0.22,
                   .half_angle_rad = atan(TANGENT),
                   .count = 1 << 17},
        .hardness_mpa = h * BACKING,
        .backing_mpa = BACKING,
        .pressure_kpa = push * BACKING * LEV_PA_PER_MPA / LEV_PA_PER_KPA,
        .removed_share = SHARE,
        .distance_m = 1.3 * remove_um / v / LEV_UM_PER_M,
        .depth_um = remove_um,
        .records = 100,
        .seed = seed,
    };
    if (pad) {
        const double half_space = p->group[WAVE] / (LEV_PI * p->group[GIVE]);
        step.pad.modulus_mpa = push * BACKING * half_space;
        step.pad.side_um = p->group[SIDE] * p->group[WAVE] * D50;
    }
    double pitch_um;
    lev_error err = {0};
    if (lev_sim_pitch_um(&step, &pitch_um, &err) < 0)
        give_up(err.text);
    pitch_um /= 1.2;
    lev_sim *const s = face(width_um, pitch_um, ROWS, threads);
    set_waves(s, width_um, pitch_um, ROWS, WAVES, p->group[HEIGHT] * D50);
    lev_sim_result r = run(s, &step);
    const double rho = (depth_at(&r, FIFTH, true) - depth_at(&r, HALF, true)) /
                       log(HALF / FIFTH) / D50;
    lev_sim_result_release(&r);
    lev_sim_free(s);
    return rho;
}

static double miss_of(const pad_point *p, double m)
{
    return log(p->rho_pad / closed_of(p, m));
}

/* The m that misses least, point `skip` left out (-1: none). */
static double best_m(const pad_point *p, int skip)
{
    double best = NAN, least = INFINITY;
    for (double m = 0.5; m < 20.0; m *= 1.01) {
        double sum = 0.0;
        for (int i = 0; i < POINTS; i++)
            if (i != skip && isfinite(p[i].rho_pad))
                sum += miss_of(&p[i], m) * miss_of(&p[i], m);
        if (sum < least) {
            least = sum;
            best = m;
        }
    }
    return best;
}

static void write_pad_points(const char *dir, const pad_point *p)
{
    FILE *const f = open_in(dir, "pad_response.csv");
    fputs("# Depth, over the grain, that cuts a wave by e between 1/2 and 1/5 of its "
          "height, by the kernel: on a flat\n# sheet (rho_flat) and before a pad that "
          "gives (rho_pad). follows: share of the wave that the pad follows by\n# "
          "rising and tilting. Written by tools/mkresponse: do not edit.\n"
          "#table pad_response\nid,",
          f);
    for (int g = 0; g < PAD_GROUPS; g++)
        fprintf(f, "%s,", PAD[g].name);
    fputs("follows,rho_flat,rho_pad,mark,source,note\n#type id!,", f);
    for (int g = 0; g < PAD_GROUPS; g++)
        fputs("real!,", f);
    fputs("real!,real!,real,mark!,source!,text\n", f);
    for (int i = 0; i < POINTS; i++) {
        fprintf(f, "p%d", i + 1);
        for (int g = 0; g < PAD_GROUPS; g++)
            fprintf(f, ",%.5g", p[i].group[g]);
        fprintf(f, ",%.4g,%.4g,", p[i].follows, p[i].rho_flat);
        if (isfinite(p[i].rho_pad))
            fprintf(f, "%.4g", p[i].rho_pad);
        fputs(",derived,none,\n", f);
    }
    fclose(f);
}

/* One line: points of which A at the start is in (from, to] of p C. */
static void write_pad_error(FILE *f, const pad_point *p, const char *id, double from,
                            double to, double m)
{
    int n = 0, off = 0;
    double square = 0.0, sum = 0.0, worst = 0.0;
    for (int i = 0; i < POINTS; i++) {
        const double deep = p[i].group[HEIGHT] / p[i].group[GIVE];
        if (!(deep > from && deep <= to) || !isfinite(p[i].rho_pad))
            continue;
        const double e = miss_of(&p[i], m);
        n++;
        sum += e;
        square += e * e;
        worst = fmax(worst, fabs(e));
        off += fabs(expm1(e)) > 0.1;
    }
    fprintf(f, "%s,%d,%.3f,%.4f,%.4f,%d,fitted,none,\n", id, n, n > 0 ? sum / n : 0.0,
            n > 0 ? sqrt(square / n) : 0.0, worst, off);
    printf("%-24s %d points, mean %+.1f %%, rms %.1f %%, worst %.1f %%, %d off\n", id,
           n, n > 0 ? 100.0 * sum / n : 0.0, n > 0 ? 100.0 * sqrt(square / n) : 0.0,
           100.0 * worst, off);
}

void write_pad(const char *dir, int threads)
{
    static pad_point p[POINTS];
    double square = 0.0;
    int n = 0;
    for (int i = 0; i < POINTS; i++) {
        place_pad(&p[i], i);
        p[i].rho_flat = rho_of(&p[i], false, 2000000U + 10U * (unsigned)i, threads);
        p[i].rho_pad = rho_of(&p[i], true, 2000001U + 10U * (unsigned)i, threads);
        fprintf(stderr, "\rpad %d of %d", i + 1, POINTS);
    }
    fputc('\n', stderr);
    write_pad_points(dir, p);
    const double m = best_m(p, -1);
    for (int i = 0; i < POINTS; i++) {
        if (!isfinite(p[i].rho_pad))
            continue;
        const double e = miss_of(&p[i], best_m(p, i));
        square += e * e;
        n++;
    }
    FILE *const f = open_in(dir, "pad_error.csv");
    fprintf(f,
            "# How far the kernel lies from rho / (1 - B) + p C on waves under a pad: "
            "mean and log-sd of the ratio, points\n# more than 10 %% off. full: half "
            "height at the start within p C; lifted: deeper; bent: all, with\n"
            "# p C / (1 + (A / (m p C))^2), m = %.2f; left_out: the same, m fitted "
            "without the point. Written by\n# tools/mkresponse: do not edit.\n"
            "#table pad_error\nid,points,mean_ln,lnsd,worst_ln,off,mark,source,note\n"
            "#type id!,int!,real!,real!,real!,int!,mark!,source!,text\n",
            m);
    write_pad_error(f, p, "full", 0.0, 1.0, INFINITY);
    write_pad_error(f, p, "lifted", 1.0, INFINITY, INFINITY);
    write_pad_error(f, p, "bent", 0.0, INFINITY, m);
    fprintf(f, "left_out,%d,0,%.4f,0,0,fitted,none,m = %.2f\n", n, sqrt(square / n), m);
    fclose(f);
    printf("m %.2f, left out %.1f %%\n", m, 100.0 * sqrt(square / n));
}
