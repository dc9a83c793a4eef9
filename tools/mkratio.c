/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * mkratio --fit | --error | --doc: holds the closed forms of the cutting model against
 * the response surface of the groove kernel at the points of data/cut/response.csv.
 * --fit prints data/cut/response_ratio.csv, --error data/cut/response_ratio_error.csv,
 * --doc doc/physics/response.md. Tests compare all three with what stands in the tree.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cut_coef.h"
#include "cut_response.h"
#include "cut_touch.h"
#include "lev_tables.h"
#include "quadfit.h"
#include "units.h"

enum { POINTS = LEV_TAB_RESPONSE_N, OUTS = 3 };
static const char *const OUT[OUTS] = {"ra", "deepest", "rho_long"};

/* As the kernel ran: tools/mkresponse. */
static const double BACKING_PA = 1e7, COVERAGE = 0.6, XI = 0.10, SECTIONS = 6.0 * 40.0;

static quad_group group[GROUPS];
static double at[POINTS][GROUPS], ratio[OUTS][POINTS];
static quad_fit fits[OUTS];

/* The closed forms at one point, over d50. */
static void closed_form(const double g[GROUPS], double out[OUTS])
{
    cut_steady s;
    const lev_grain_dist grain = {0.0, g[4], 0.0};
    const cut_touch in = {.d50_um = 1.0,
                          .tangent = g[2],
                          .hardness_pa = g[0] * BACKING_PA,
                          .backing_pa = BACKING_PA,
                          .pressure_pa = g[1] * BACKING_PA,
                          .xi = XI,
                          .coverage = COVERAGE,
                          .level = g[5],
                          .level_pa = g[1] * BACKING_PA};
    const double ridge = 1.0 + cut_coef_get("ridge", "texture", NULL) * (1.0 - g[3]);
    (void)cut_touch_solve(&grain, &in, &s);
    out[0] = s.ra * ridge;
    out[1] = cut_steady_extreme(&s, SECTIONS, log(2.0), 1) * ridge;
    out[2] = s.stand_out;
}

static void read_all(void)
{
    for (int g = 0; g < GROUPS; g++) {
        const lev_row_response_group *const r = &lev_tab_response_group[g];
        group[g] = (quad_group){r->id, r->low, r->high, r->logarithm};
    }
    for (int i = 0; i < POINTS; i++) {
        const lev_row_response *const r = &lev_tab_response[i];
        const double g[GROUPS] = {r->hardness_ratio, r->pressure_ratio, r->tip_spread,
                                  r->removed_share,  r->ln_sigma,       r->levelled};
        const double kernel[OUTS] = {r->ra, r->deepest, r->rho_long};
        double form[OUTS];
        memcpy(at[i], g, sizeof g);
        closed_form(g, form);
        for (int o = 0; o < OUTS; o++)
            ratio[o][i] = kernel[o] / form[o];
    }
    for (int o = 0; o < OUTS; o++)
        fits[o] = quad_fit_of(group, (const double(*)[GROUPS])at, ratio[o], POINTS);
}

static void print_fit(void)
{
    char name[80];
    puts("# ln of the kernel over the closed form (ra, deepest, rho_long) as a "
         "quadratic "
         "of the groups, as in\n# response_fit.csv. Written by tools/mkratio: do not "
         "edit.\n#table response_fit\nid,quantity,term,value,mark,source,note\n"
         "#type id!,text!,text!,real!,mark!,source!,text");
    for (int o = 0; o < OUTS; o++)
        for (int t = 0; t < TERMS; t++)
            printf("%s_ratio.%d,%s_ratio,%s,%.5f,fitted,none,\n", OUT[o], t, OUT[o],
                   quad_term_name(group, t, name), fits[o].value[t]);
}

static double noise_of(const char *id)
{
    for (int i = 0; i < LEV_TAB_RESPONSE_ERROR_N; i++)
        if (strcmp(lev_tab_response_error[i].id, id) == 0)
            return lev_tab_response_error[i].noise_lnsd;
    return 0.0;
}

static void print_error(void)
{
    puts("# How far the quadratic of response_ratio.csv misses, as log-sd. Written by "
         "tools/mkratio: do not edit.\n#table response_error\n"
         "id,points,fit_lnsd,left_out_lnsd,worst_ln,noise_lnsd,mark,source,note\n"
         "#type id!,int!,real!,real!,real!,real!,mark!,source!,text");
    for (int o = 0; o < OUTS; o++)
        printf("%s_ratio,%d,%.4f,%.4f,%.4f,%.4f,fitted,none,\n", OUT[o], fits[o].n,
               fits[o].rms, fits[o].left_out, fits[o].worst, noise_of(OUT[o]));
}

/* ---- the page ---- */

static int rising(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void print_range(void)
{
    puts("| quantity | 1 in 10 below | median | 1 in 10 above | points more than 10 % "
         "off | fit misses points left out by |\n|---|---|---|---|---|---|");
    for (int o = 0; o < OUTS; o++) {
        double r[POINTS];
        int off = 0;
        memcpy(r, ratio[o], sizeof r);
        qsort(r, POINTS, sizeof *r, rising);
        for (int i = 0; i < POINTS; i++)
            off += fabs(ratio[o][i] - 1.0) > 0.1;
        printf("| %s | %.2f | %.2f | %.2f | %d of %d | %.1f %% |\n", OUT[o],
               r[POINTS / 10], r[POINTS / 2], r[POINTS - 1 - POINTS / 10], off, POINTS,
               100.0 * fits[o].left_out);
    }
}

/* Usual work: hardness GPa, E_b MPa, push kPa, removed share, levelled. */
static const struct {
    const char *what;
    double h_gpa, eb_mpa, p_kpa, f, level;
} usual[] = {
    {"brass, paper on a block, fresh", 1.2, 8, 4, 0.22, 0.0},
    {"brass, paper on a block, run in", 1.2, 8, 4, 0.22, 0.3},
    {"brass, paper on a block, tired", 1.2, 8, 4, 0.22, 0.7},
    {"mild steel, belt, run in", 1.5, 10, 10, 0.22, 0.3},
    {"stainless, belt, run in", 2.0, 10, 10, 0.22, 0.3},
    {"hard steel, paper on a plate, run in", 7.0, 8, 20, 0.22, 0.3},
    {"hardwood, paper on a block, run in", 0.06, 8, 4, 0.85, 0.3},
    {"acrylic, paper on a block, run in", 0.18, 8, 4, 0.5, 0.3},
    {"brass, paper on foam, run in", 1.2, 1.6, 2, 0.22, 0.3},
    {"hard steel, stone", 7.0, 100, 20, 0.22, 0.0},
};

static const char *flag(double x)
{
    return fabs(x - 1.0) > 0.1 ? " *" : "";
}

static void print_usual(void)
{
    puts("| work | Ra | deepest | long depth | 1/2 left at r/d50 | 1/5 left | outside "
         "|\n|---|---|---|---|---|---|---|");
    for (size_t i = 0; i < sizeof usual / sizeof *usual; i++) {
        const double g[CUT_GROUPS] = {usual[i].h_gpa * 1e3 / usual[i].eb_mpa,
                                      usual[i].p_kpa * 1e-3 / usual[i].eb_mpa,
                                      cut_tangent(70.0),
                                      usual[i].f,
                                      0.2,
                                      usual[i].level};
        const cut_response r = cut_response_at(g);
        printf("| %s | %.2f%s | %.2f%s | %.2f%s | %.3f | %.3f | %s |\n", usual[i].what,
               r.ra, flag(r.ra), r.deepest, flag(r.deepest), r.rho_long,
               flag(r.rho_long), r.clear_half, r.clear_fifth, r.outside ? "yes" : "");
    }
}

static void print_doc(void)
{
    puts("# The response surface against the closed forms\n\n"
         "Written by `tools/mkratio.c` from `data/cut/response.csv`; a test fails when "
         "this page is not what it\nwrites. The kernel: [kernel.md](kernel.md); the "
         "closed forms: [cutting.md](cutting.md).\n\n"
         "`step` and `plan` take Ra, Rz, the deepest line and the long depth from the "
         "closed form times the\nfactor *kernel over closed form*, a quadratic of the "
         "logarithms over six groups; the depths at which\nhalf and a tenth of a "
         "texture of grains twice the size are left come from the surface itself, and "
         "two exponents fitted to\nmore runs carry them to other sizes "
         "([old-lines.md](old-lines.md)). What the fit misses joins the spread\nof "
         "texture and relaxation. Outside the fitted range the factor stays what it is "
         "at the border, and the\nanswer says so. Length of a face, other coats and "
         "cut-off of the largest grain are scaled by the closed\nforms: the surface "
         "does not have them.\n\n## The whole range: kernel over closed "
         "form\n");
    print_range();
    puts("\n## Usual work\n\nKernel over closed form; * more than 10 % apart. "
         "Half-angle "
         "70 deg, spread of sizes 0.2.\n");
    print_usual();
    puts("\n## Why they differ\n\n"
         "- **Ra, deepest.** The closed form lets each groove meet the mean section, "
         "gives all grains of one\n  height one size and adds ridges as one factor "
         "fitted at a removed share of 0.3. The kernel lets ridges\n  stand beside the "
         "groove and be cut again: where little of a groove is removed that is not a "
         "factor.\n  Levelled sheets differ most: one height meets its neighbours' "
         "grooves, not a mean section.\n"
         "- **Long depth.** The closed form is the limit of a low wave; the surface "
         "was run on a wave 0.1 d50\n  high (half height), where ridges and depth "
         "count.\n"
         "- **Pressure and hardness** move the depths to clear in the kernel; the "
         "closed form of the short part\n  has only a weak power of the push.\n\n"
         "Whether the kernel is nearer the world is not settled by this page: "
         "[model-against-data.md](model-against-data.md)\nholds the corrected forms "
         "against what is published.");
}

int main(int argc, char **argv)
{
    read_all();
    if (argc == 2 && strcmp(argv[1], "--fit") == 0)
        print_fit();
    else if (argc == 2 && strcmp(argv[1], "--error") == 0)
        print_error();
    else if (argc == 2 && strcmp(argv[1], "--doc") == 0)
        print_doc();
    else {
        fprintf(stderr, "mkratio: usage; mkratio --fit, --error or --doc\n");
        return 2;
    }
    return fflush(stdout) == 0 ? 0 : 1;
}
