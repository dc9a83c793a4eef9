/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * mkold --fit | --doc: how the law that lets old lines die carries over to grains of
 * other sizes, by what the groove kernel gave (data/cut/old_response.csv). --fit prints
 * data/cut/old_fit.csv, the two exponents of the old grain; --doc prints
 * doc/physics/old-lines.md. Tests compare both with what stands in the tree.
 */
#include <gsl/gsl_multifit_nlinear.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cut_coef.h"
#include "cut_response.h"
#include "lev_tables.h"

enum { POINTS = LEV_TAB_OLD_RESPONSE_N, LEFTS = 5, EXPONENTS = 2 };
static const double LEFT[LEFTS] = {0.5, 0.2, 0.1, 0.05, 0.02};
static const char *const PART[EXPONENTS] = {"lines_short", "lines_long"};
/* beyond it lines are sunk so deep that how they fade no longer decides */
static const double FURTHEST = 8.0;

static double kernel[POINTS][LEFTS]; /* over d50; 0 = not reached */
static cut_two_parts twice[POINTS];  /* the law at twice the size */
static double share;

typedef struct old_fit {
    double exponent[EXPONENTS];
    int without; /* this point is not seen; -1: all are */
} old_fit;

static void read_all(void)
{
    share = cut_coef_get("long_share", "any", NULL);
    for (int i = 0; i < POINTS; i++) {
        const lev_row_old_response *const r = &lev_tab_old_response[i];
        const double group[CUT_GROUPS] = {r->hardness_ratio, r->pressure_ratio,
                                          r->tip_spread,     r->removed_share,
                                          r->ln_sigma,       r->levelled};
        const double clear[LEFTS] = {r->left_50, r->left_20, r->left_10, r->left_05,
                                     r->left_02};
        const cut_response at = cut_response_at(group);
        twice[i] = cut_response_parts(&at, share);
        for (int k = 0; k < LEFTS; k++)
            kernel[i][k] = clear[k] > 0.0 ? clear[k] : 0.0;
    }
}

/* Depth over d50 at which this share is left of a texture of old_ratio times the size,
 * by halving. */
static double law(int i, double left, const double exponent[EXPONENTS])
{
    const double far = lev_tab_old_response[i].old_ratio / 2.0;
    const double rho_short = twice[i].rho_short * pow(far, exponent[0]);
    const double rho_long = twice[i].rho_long * pow(far, exponent[1]);
    double low = 0.0, high = 40.0 * (rho_short + rho_long);
    for (int turn = 0; turn < 60; turn++) {
        const double r = 0.5 * (low + high);
        const double now =
            (1.0 - share) * exp(-r / rho_short) + share * exp(-r / rho_long);
        *(now > left ? &low : &high) = r;
    }
    return 0.5 * (low + high);
}

static bool counts(int i)
{
    return lev_tab_old_response[i].old_ratio <= FURTHEST;
}

static int residuals(const gsl_vector *at, void *payload, gsl_vector *out)
{
    const old_fit *const f = payload;
    for (int i = 0; i < POINTS; i++)
        for (int k = 0; k < LEFTS; k++) {
            const bool seen = counts(i) && i != f->without && kernel[i][k] > 0.0;
            gsl_vector_set(out, (size_t)(LEFTS * i + k),
                           seen ? log(kernel[i][k] / law(i, LEFT[k], at->data)) : 0.0);
        }
    return GSL_SUCCESS;
}

static void find(old_fit *f)
{
    gsl_multifit_nlinear_parameters how = gsl_multifit_nlinear_default_parameters();
    gsl_multifit_nlinear_fdf job = {
        .f = residuals, .n = (size_t)POINTS * LEFTS, .p = EXPONENTS, .params = f};
    gsl_multifit_nlinear_workspace *const w =
        gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &how, job.n, EXPONENTS);
    gsl_vector *const from = gsl_vector_alloc(EXPONENTS);
    int why;
    gsl_vector_set_all(from, 0.5);
    gsl_multifit_nlinear_init(from, &job, w);
    if (gsl_multifit_nlinear_driver(100, 1e-8, 1e-8, 0.0, NULL, NULL, &why, w) !=
        GSL_SUCCESS) {
        fprintf(stderr, "mkold: the fit did not settle\n");
        exit(1);
    }
    for (size_t k = 0; k < EXPONENTS; k++)
        f->exponent[k] = gsl_vector_get(gsl_multifit_nlinear_position(w), k);
    gsl_vector_free(from);
    gsl_multifit_nlinear_free(w);
}

/* Root mean square of ln(kernel / law) between two ratios, and how many values. */
typedef struct misses {
    double mean, square, worst;
    int n;
} misses;

static void miss(misses *m, int i, const double exponent[EXPONENTS])
{
    for (int k = 0; k < LEFTS; k++) {
        if (!(kernel[i][k] > 0.0))
            continue;
        const double e = log(kernel[i][k] / law(i, LEFT[k], exponent));
        m->mean += e;
        m->square += e * e;
        m->worst = fmax(m->worst, fabs(e));
        m->n++;
    }
}

static double rms(const misses *m)
{
    return sqrt(m->square / m->n);
}

/* Each point by a fit that has not seen it: what it misses by, and how far the
 * exponents move, as sd of their logarithms (jackknife: Tukey, Ann. Math. Stat. 29
 * (1958) 614). */
typedef struct left_out {
    double miss, lnsd[EXPONENTS];
} left_out;

static left_out leave_out(void)
{
    misses m = {0};
    double sum[EXPONENTS] = {0.0}, square[EXPONENTS] = {0.0}, n = 0.0;
    left_out o = {0};
    for (int i = 0; i < POINTS; i++) {
        if (!counts(i))
            continue;
        old_fit f = {.without = i};
        find(&f);
        miss(&m, i, f.exponent);
        n += 1.0;
        for (int k = 0; k < EXPONENTS; k++) {
            const double x = log(f.exponent[k]);
            sum[k] += x;
            square[k] += x * x;
        }
    }
    o.miss = rms(&m);
    for (int k = 0; k < EXPONENTS; k++)
        o.lnsd[k] = sqrt((n - 1.0) / n * fmax(square[k] - sum[k] * sum[k] / n, 0.0));
    return o;
}

static void print_fit(void)
{
    old_fit f = {.without = -1};
    const left_out o = leave_out();
    find(&f);
    puts("# How the law of old lines carries over to grains of other sizes. Written by "
         "tools/mkold: do not edit.\n# doc/physics/old-lines.md tells how well.\n"
         "#table coef\n"
         "key,quantity,applies,median,lnsd,unit,low,high,mark,source,note\n"
         "#type id!,text!,text!,real!,real!,unit,real,real,mark!,source!,text");
    for (int k = 0; k < EXPONENTS; k++)
        printf("%s.any,%s,any,%.3f,%.3f,,,,fitted,none,\"exponent of the old grain, to "
               "the groove kernel\"\n",
               PART[k], PART[k], f.exponent[k], o.lnsd[k]);
    printf("lines_sd.any,lines_sd,any,1,%.3f,,,,fitted,none,\"what the law misses "
           "points left out by, grains up to %g times the size\"\n",
           o.miss, FURTHEST);
}

static void print_bands(const double exponent[EXPONENTS])
{
    static const double band[][2] = {
        {1.25, 1.6}, {1.6, 2.5}, {2.5, 4.0}, {4.0, 8.0}, {8.0, 16.0}};
    puts("| old grains over new | values | kernel over law, mean | rms of "
         "the logarithm | worst |\n|---|---|---|---|---|");
    for (size_t b = 0; b < sizeof band / sizeof *band; b++) {
        misses m = {0};
        for (int i = 0; i < POINTS; i++) {
            const double ratio = lev_tab_old_response[i].old_ratio;
            if (ratio >= band[b][0] && ratio < band[b][1])
                miss(&m, i, exponent);
        }
        printf("| %g to %g | %d | %.2f | %.2f | a factor of %.1f |\n", band[b][0],
               band[b][1], m.n, exp(m.mean / m.n), rms(&m), exp(m.worst));
    }
}

static void print_doc(void)
{
    const old_fit now = {.exponent = {cut_coef_get(PART[0], "any", NULL),
                                      cut_coef_get(PART[1], "any", NULL)}};
    const old_fit before = {.exponent = {cut_coef_get("rho_old", "any", NULL), 0.0}};
    printf(
        "# Old lines of grains of other sizes\n\n"
        "Written by `tools/mkold.c` from `data/cut/old_response.csv`; a test fails "
        "when this page is not what it\nwrites. `meson compile response` makes the "
        "points: %d of a Halton sequence over the six groups of the\nresponse surface "
        "and old grains 1.25 to 16 times the size of the new; for each the depth at "
        "which the\ngroove kernel leaves 50, 20, 10, 5 and 2 %% of the projection of "
        "the old texture.\n\n"
        "The law ([cutting.md](cutting.md)) is set at twice the size by the response "
        "surface and carried to others by\ntwo exponents: the short part takes "
        "(d_old / 2 d_new)^%.2f as deep, the long part ^%.2f. Both are fitted to\n"
        "the points up to %g times the size; one point left out at a time, the law "
        "misses by %.0f %% (rms), which\njoins the spread of all depths to clear.\n\n",
        POINTS, now.exponent[0], now.exponent[1], FURTHEST,
        100.0 * cut_coef_find("lines_sd", "any", NULL).lnsd);
    print_bands(now.exponent);
    printf("\nBefore the kernel was run on other sizes the short part had the exponent "
           "%.2f of an earlier simulation and\nthe long part none:\n\n",
           before.exponent[0]);
    print_bands(before.exponent);
    puts(
        "\nBeyond eight times the size the lines are as deep as several new grooves "
        "are "
        "wide, and how deep they are\ndecides, not how they fade: there the depth of "
        "the deepest old line itself, less what a check can miss,\nis the floor under "
        "what is asked for (`lev_cut_clear_after_um`). Just above one the depths are a "
        "few\nhundredths of a grain and the records of a run coarse against them.");
}

int main(int argc, char **argv)
{
    read_all();
    if (argc == 2 && strcmp(argv[1], "--fit") == 0)
        print_fit();
    else if (argc == 2 && strcmp(argv[1], "--doc") == 0)
        print_doc();
    else {
        fprintf(stderr, "mkold: usage; mkold --fit or --doc\n");
        return 2;
    }
    return fflush(stdout) == 0 ? 0 : 1;
}
