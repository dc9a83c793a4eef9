/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * calibrate --doc | --check: fits what published rows can say about the cutting model
 * by penalised least squares (starting values of data/cut/calibration_start.csv as the
 * penalty), prints doc/physics/calibration.md, or checks that data/cut/coef.csv holds
 * the result. Levenberg-Marquardt by GSL. One row is left out at a time and forecast by
 * the others.
 */
#include <gsl/gsl_blas.h>
#include <gsl/gsl_multifit_nlinear.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cut_coef.h"
#include "cut_response.h"
#include "lev_tables.h"
#include "levigate/cut.h"
#include "levigate/grit.h"
#include "num.h"
#include "units.h"

enum { EB_PAPER, EB_BELT, PORE, FACE, WOOD, HARDNESS, UNKNOWNS };
enum { MOST = 40 };
static const char *const UNKNOWN[UNKNOWNS] = {"eb.paper", "eb.belt", "pore.any",
                                              "face",     "wood",    "hardness"};

typedef enum row_kind { ROW_RA, ROW_RZ, ROW_LIMIT } row_kind;

/* One published figure and the step it is held against. */
typedef struct row {
    char what[64];
    row_kind kind;
    double value_um, lnsd;
    lev_cut_work work;
    lev_cut_tool tool;
    lev_cut_pass pass; /* at the coefficients in force */
    double gall;
    int carrier; /* EB_PAPER or EB_BELT */
    double side; /* of the specimen: +1/2, -1/2, 0 */
} row;

static row rows[MOST];
static int n;

static _Noreturn void give_up(const char *where, const char *what)
{
    fprintf(stderr, "calibrate: %s: %s\n", where, what);
    exit(1);
}

static const lev_row_calibration_start *start_of(const char *id)
{
    for (int i = 0; i < LEV_TAB_CALIBRATION_START_N; i++)
        if (strcmp(lev_tab_calibration_start[i].id, id) == 0)
            return &lev_tab_calibration_start[i];
    give_up(id, "no row of data/cut/calibration_start.csv");
}

static double hardness_of(const char *material)
{
    for (int i = 0; i < LEV_TAB_MATERIAL_PROP_N; i++)
        if (strcmp(lev_tab_material_prop[i].material, material) == 0 &&
            strcmp(lev_tab_material_prop[i].property, "hardness_gpa") == 0)
            return lev_tab_material_prop[i].value;
    give_up(material, "no hardness");
}

static lev_grain_dist grain_of(const char *system, const char *label)
{
    lev_grit_reading r;
    lev_grit_size size;
    lev_error err = {0};
    if (lev_grit_read(label, system, &r, &err) < 0 ||
        lev_grit_size_of(&r.match[0], &size, &err) < 0)
        give_up(label, err.text);
    return (lev_grain_dist){log(size.median_um), size.lnsd,
                            isfinite(size.max_um) ? size.max_um : 0.0};
}

/* ---- the model at other coefficients ---- */

/* Own roughness of a row's step on a carrier of eb_mpa, without pores, on work harder
 * by a factor than the row says. */
static double own_um(const row *r, double eb_mpa, double harder)
{
    const lev_cut_grains *const g = &r->pass.grains;
    const double hardness_gpa = g->hardness_gpa * harder;
    const lev_cut_contact_in in = {.grain = r->tool.grain,
                                   .pressure_kpa = r->pass.pressure_kpa,
                                   .hardness_gpa = hardness_gpa,
                                   .backing_mpa = eb_mpa,
                                   .cone_deg = g->cone_deg,
                                   .coverage = g->coverage,
                                   .height_xi = g->height_xi,
                                   .wear = g->levelled};
    const double group[CUT_GROUPS] = {
        hardness_gpa * LEV_PA_PER_GPA / LEV_PA_PER_MPA / eb_mpa,
        r->pass.pressure_kpa * LEV_PA_PER_KPA / LEV_PA_PER_MPA / eb_mpa,
        tan(g->cone_deg * LEV_PI / 180.0),
        g->removed_share,
        g->ln_sigma,
        g->levelled};
    const double ridge =
        1.0 + cut_coef_get("ridge", "texture", NULL) * (1.0 - g->removed_share);
    lev_cut_contact c;
    lev_error err = {0};
    if (lev_cut_contact_init(&in, &c, &err) < 0)
        give_up(r->what, err.text);
    return c.ra_um * ridge * r->gall * cut_response_at(group).ra;
}

static double model_um(const row *r, const double x[UNKNOWNS])
{
    const double h = pow(r->work.hardness_gpa / 2.0, x[HARDNESS]);
    const bool wood = r->work.family == LEV_CUT_WOOD;
    const double own = own_um(r, exp(x[r->carrier]), wood ? exp(x[WOOD]) : 1.0) * h;
    const double pore = wood ? exp(x[PORE]) : 0.0;
    const double ra = hypot(own, pore) * exp(r->side * x[FACE]);
    return r->kind == ROW_RZ ? ra * r->pass.rz_um / r->pass.ra_um : ra;
}

/* ln(1 + e^z): a limit says nothing to what lies well below it. */
static double softplus(double z)
{
    return z > 30.0 ? z : log1p(exp(z));
}

static double residual(const row *r, const double x[UNKNOWNS])
{
    const double z = log(model_um(r, x) / r->value_um) / r->lnsd;
    return r->kind == ROW_LIMIT ? softplus(z) : z;
}

/* ---- the rows ---- */

static void add_row(row r, double face_mm2)
{
    lev_error err = {0};
    if (n == MOST)
        give_up(r.what, "too many rows");
    if (lev_cut_pass_init(&r.work, &r.tool, face_mm2, &r.pass, &err) < 0)
        give_up(r.what, err.text);
    r.gall = r.work.galling && r.tool.fluid == LEV_CUT_DRY
                 ? cut_coef_get("gall", "dry", NULL)
                 : 1.0;
    /* the same model, or this program calibrates another one */
    if (fabs(own_um(&r, r.pass.backing_mpa, 1.0) / r.pass.ra_own_um - 1.0) > 1e-6)
        give_up(r.what, "differs from lev_cut_pass_init");
    rows[n++] = r;
}

static void add_wood(void)
{
    for (int i = 0; i < LEV_TAB_OBS_ROUGHNESS_N; i++) {
        const lev_row_obs_roughness *const o = &lev_tab_obs_roughness[i];
        if (o->mark != LEV_MARK_READ || strncmp(o->material, "Nothofagus", 10) != 0)
            continue;
        const bool second = strstr(o->material, "C2") != NULL;
        row r = {.kind = strcmp(o->parameter, "Ra") == 0 ? ROW_RA : ROW_RZ,
                 .value_um = o->value_low_um,
                 .lnsd = hypot(o->sd_um / o->value_low_um / sqrt(o->samples),
                               start_of("scatter.read")->lnsd),
                 .work = {.family = LEV_CUT_WOOD,
                          .hardness_gpa = 0.06,
                          .pore_floor_um = lev_cut_pore_floor_um("w_roble")},
                 .tool = {.grain = grain_of("P", o->label),
                          .drive = "hand-wood",
                          .carrier = "paper",
                          .push_n = 10.0,
                          .contact_mm2 = 1000.0},
                 .carrier = EB_PAPER,
                 .side = second ? -0.5 : 0.5};
        snprintf(r.what, sizeof r.what, "wood, face %s, %s, %s", second ? "C2" : "C1",
                 o->label, o->parameter);
        add_row(r, 5000.0);
    }
}

static void add_limits(void)
{
    static const struct {
        const char *what, *system, *label, *sd;
        double limit_um;
    } limits[] = {{"3-A, 150 grit", "ANSI-coated", "150", "bound.read", 0.8},
                  {"No. 4, #180", "JIS", "#180", "bound.other", 0.6},
                  {"No. 3, #120", "JIS", "#120", "bound.other", 1.0},
                  {"2K, P240", "P", "P240", "bound.other", 0.5}};
    for (size_t i = 0; i < sizeof limits / sizeof *limits; i++) {
        row r = {.kind = ROW_LIMIT,
                 .value_um = limits[i].limit_um,
                 .lnsd = start_of(limits[i].sd)->lnsd,
                 .work = {.family = LEV_CUT_METAL,
                          .hardness_gpa = hardness_of("ss_316"),
                          .galling = true},
                 .tool = {.grain = grain_of(limits[i].system, limits[i].label),
                          .drive = "belt",
                          .carrier = "belt",
                          .push_n = 50.0,
                          .contact_mm2 = 5000.0,
                          .fluid = LEV_CUT_OIL},
                 .carrier = EB_BELT};
        snprintf(r.what, sizeof r.what, "limit, %s", limits[i].what);
        add_row(r, 1e6);
    }
}

/* ---- the fit ---- */

typedef struct fit {
    double x[UNKNOWNS], sd[UNKNOWNS];
    int without;   /* this row is not seen; -1: all are */
    bool hardness; /* its exponent is free too; otherwise held at 0 */
} fit;

static int residuals(const gsl_vector *at, void *payload, gsl_vector *out)
{
    const fit *const f = payload;
    for (int i = 0; i < n; i++)
        gsl_vector_set(out, (size_t)i,
                       i == f->without ? 0.0 : residual(&rows[i], at->data));
    for (int k = 0; k < UNKNOWNS; k++) {
        const lev_row_calibration_start *const s = start_of(UNKNOWN[k]);
        const double held = 1e-4; /* as good as not moving */
        gsl_vector_set(out, (size_t)(n + k),
                       (gsl_vector_get(at, (size_t)k) - log(s->median)) /
                           (k == HARDNESS && !f->hardness ? held : s->lnsd));
    }
    return GSL_SUCCESS;
}

static void find(fit *f)
{
    gsl_multifit_nlinear_parameters how = gsl_multifit_nlinear_default_parameters();
    gsl_multifit_nlinear_fdf job = {
        .f = residuals, .n = (size_t)(n + UNKNOWNS), .p = UNKNOWNS, .params = f};
    gsl_multifit_nlinear_workspace *const w =
        gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &how, job.n, UNKNOWNS);
    gsl_vector *const from = gsl_vector_alloc(UNKNOWNS);
    gsl_matrix *const covariance = gsl_matrix_alloc(UNKNOWNS, UNKNOWNS);
    int why;
    for (int k = 0; k < UNKNOWNS; k++)
        gsl_vector_set(from, (size_t)k, log(start_of(UNKNOWN[k])->median));
    gsl_multifit_nlinear_init(from, &job, w);
    if (gsl_multifit_nlinear_driver(200, 1e-8, 1e-8, 0.0, NULL, NULL, &why, w) !=
        GSL_SUCCESS)
        give_up("fit", "did not settle");
    gsl_multifit_nlinear_covar(gsl_multifit_nlinear_jac(w), 0.0, covariance);
    for (size_t k = 0; k < UNKNOWNS; k++) {
        f->x[k] = gsl_vector_get(gsl_multifit_nlinear_position(w), k);
        f->sd[k] = sqrt(gsl_matrix_get(covariance, k, k));
    }
    gsl_matrix_free(covariance);
    gsl_vector_free(from);
    gsl_multifit_nlinear_free(w);
}

/* ---- how fast the grain sizes cut wood ---- */

enum { WOODS = 2 }; /* softwoods, hardwoods: means of three and of six species */
static const char *const WOOD_KIND[WOODS] = {"softwoods", "hardwoods"};

static double published(const char *quantity)
{
    for (int i = 0; i < LEV_TAB_CONSUMPTION_N; i++)
        if (strcmp(lev_tab_consumption[i].quantity, quantity) == 0)
            return lev_tab_consumption[i].value_low;
    give_up(quantity, "no such row of consumption.csv");
}

/* Time to sand a sample away by belt, s, and how many e-folds of it per e-fold of the
 * grain size, by least squares over the belts. */
static double wood_slope(int kind, double time_s[3])
{
    static const char *const belt[3] = {"P60", "P120", "P180"};
    double x[3], mean_x = 0.0, mean_y = 0.0, xy = 0.0, xx = 0.0;
    for (int i = 0; i < 3; i++) {
        char name[80];
        snprintf(name, sizeof name, "time to sand away a softwood sample, %s", belt[i]);
        time_s[i] = published(name);
        snprintf(name, sizeof name, "hardwood to softwood time ratio, %s", belt[i]);
        time_s[i] *= kind == 1 ? published(name) : 1.0;
        x[i] = grain_of("P", belt[i]).mu_ln_um;
        mean_x += x[i] / 3.0;
        mean_y -= log(time_s[i]) / 3.0;
    }
    for (int i = 0; i < 3; i++) {
        xy += (x[i] - mean_x) * (-log(time_s[i]) - mean_y);
        xx += (x[i] - mean_x) * (x[i] - mean_x);
    }
    return xy / xx;
}

/* The exponent after what the woods say (one left out, or none: -1), log-sd too. */
static double size_exponent(int without, double *lnsd)
{
    const lev_row_calibration_start *const start = start_of("fab_size.wood");
    const double scatter = start_of("slope.read")->lnsd;
    double weight = 1.0 / (start->lnsd * start->lnsd);
    double sum = weight * log(start->median), time_s[3];
    for (int k = 0; k < WOODS; k++) {
        if (k == without)
            continue;
        weight += 1.0 / (scatter * scatter);
        sum += log(wood_slope(k, time_s)) / (scatter * scatter);
    }
    *lnsd = sqrt(1.0 / weight);
    return exp(sum / weight);
}

static void print_size(void)
{
    double lnsd, time_s[3];
    const double all = size_exponent(-1, &lnsd);
    const double hard =
        (hardness_of("w_beech") + hardness_of("w_oak_w") + hardness_of("w_ash") +
         hardness_of("w_alder") + hardness_of("w_walnut")) /
        5.0;
    const double soft = (hardness_of("w_pine_ew") + hardness_of("w_pine_ll") +
                         hardness_of("w_spruce_s")) /
                        3.0;
    printf(
        "\n## How fast the sizes cut wood\n\n"
        "Times to sand a sample away on a belt, 3.8 kPa, 14.5 m/s, means over species "
        "(Sydor et al. 2021). The samples' height is\nnot known, so the rate itself "
        "is not; its exponent in the grain size is, belts blunting meanwhile:\n"
        "`fab_size.wood` %.2f, log-sd %.2f (before %.2g, %.2f).\n\n"
        "| woods | P60 | P120 | P180 | exponent | left out and forecast |\n"
        "|---|---|---|---|---|---|\n",
        all, lnsd, start_of("fab_size.wood")->median, start_of("fab_size.wood")->lnsd);
    double ratio = 1.0;
    for (int k = 0; k < WOODS; k++) {
        double spread;
        const double slope = wood_slope(k, time_s);
        const double there = size_exponent(k, &spread);
        printf("| %s | %.0f s | %.0f s | %.0f s | %.2f | %.2f |\n", WOOD_KIND[k],
               time_s[0], time_s[1], time_s[2], slope, there);
        for (int i = 0; i < 3; i++)
            ratio *= pow(time_s[i], k == 1 ? 1.0 / 3.0 : -1.0 / 3.0);
    }
    printf(
        "\nThe hardwoods take %.2f times as long (geometric mean); the model says as "
        "the hardness, %.2f times for five of the six and two\npines and spruce: an "
        "exponent of hardness in removal of %.2f where the model has 1.\n",
        ratio, hard / soft, log(ratio) / log(hard / soft));
}

/* ---- what comes of it ---- */

static void print_unknowns(const fit *f)
{
    puts("| coefficient | before | log-sd | after | log-sd | in force | what the data "
         "said |\n|---|---|---|---|---|---|---|");
    for (int k = 0; k < HARDNESS; k++) {
        const lev_row_calibration_start *const s = start_of(UNKNOWN[k]);
        const double gain = f->sd[k] / s->lnsd;
        char now[24] = "";
        for (int i = 0; i < LEV_TAB_COEF_N; i++)
            if (strcmp(lev_tab_coef[i].key, UNKNOWN[k]) == 0)
                snprintf(now, sizeof now, "%.3g", lev_tab_coef[i].median);
        const double value = k == HARDNESS ? f->x[k] : exp(f->x[k]);
        printf("| `%s` | %.3g | %.2f | %.2f | %.2f | %s | %s |\n", UNKNOWN[k],
               k == HARDNESS ? 0.0 : s->median, s->lnsd, value, f->sd[k], now,
               gain < 0.5   ? "much"
               : gain < 0.9 ? "something"
                            : "next to nothing");
    }
}

static void print_rows(const fit *all)
{
    double square = 0.0, wood = 0.0;
    int readings = 0;
    puts("| row | published um | fitted um | error | left out and forecast | error "
         "|\n|---|---|---|---|---|---|");
    for (int i = 0; i < n; i++) {
        fit out = {.without = i};
        find(&out);
        const double here = model_um(&rows[i], all->x);
        const double there = model_um(&rows[i], out.x);
        const bool limit = rows[i].kind == ROW_LIMIT;
        printf("| %s | %s%.2f | %.2f | %+.0f %% | %.2f | %+.0f %% |\n", rows[i].what,
               limit ? "at most " : "", rows[i].value_um, here,
               100.0 * (here / rows[i].value_um - 1.0), there,
               100.0 * (there / rows[i].value_um - 1.0));
        if (limit)
            continue;
        wood += pow(log(here / rows[i].value_um), 2.0);
        square += pow(log(there / rows[i].value_um), 2.0);
        readings++;
    }
    printf("\nError by material, rms of the logarithm: wood %.0f %% fitted, %.0f %% "
           "left out (%d rows). Metals have limits\nonly, no reading with its grit: no "
           "error can be stated for them.\n",
           100.0 * sqrt(wood / readings), 100.0 * sqrt(square / readings), readings);
}

static void print_exponent(void)
{
    fit with = {.without = -1, .hardness = true};
    find(&with);
    printf(
        "\n`face` and `wood` are the specimen's, not the model's: the text gives "
        "neither "
        "push nor hardness, so the wood\nmay be softer or harder than the 0.06 GPa "
        "taken, "
        "and what is known is E_b over H. `pore.any` stands for every\nwood, so the "
        "row in "
        "force keeps the wider spread between woods.\n\n"
        "The exponent of hardness the data imply: with a factor H^x on top of the "
        "model's own H^-0.4, x = %+.2f (sd %.2f;\nbefore 0, sd %.2f), and `eb.paper` "
        "goes "
        "to %.1f MPa, log-sd %.2f. Wood and stainless stand on different\ncarriers, so "
        "hardness and stiffness of the carrier cannot be told apart; x is not "
        "applied.\n\n## Row by row\n\n",
        with.x[HARDNESS], with.sd[HARDNESS], start_of("hardness")->lnsd,
        exp(with.x[EB_PAPER]), with.sd[EB_PAPER]);
}

static void print_doc(const fit *f)
{
    puts("# Calibration against published figures\n\n"
         "Written by `tools/calibrate.c`; a test fails when this page is not what it "
         "writes. Penalised least squares\n(a log-normal belief before, "
         "`data/cut/calibration_start.csv`; Levenberg-Marquardt): rows marked read "
         "count with\ntheir own scatter, limits push from above only, rows from memory "
         "are not used at all.\n\n## What could be fitted\n");
    print_unknowns(f);
    print_exponent();
    print_rows(f);
    print_size();
    puts(
        "\n## What could not\n\n"
        "No row with figures marked read, abstract or second-hand was found for: the "
        "stiffness behind cloth, disc, film,\nfoam, nonwoven, stone, powder and paste; "
        "the share a pad gives (`spread`); tip bluntness (rounding makes hardness\n"
        "matter more, kernel.md); the removed share per mineral and material (`fab`, "
        "`keen`), but for its exponent on wood;\nthe wear of sheets (`kappa`, `floor`: "
        "the published laws give a form, their constants were not readable). They "
        "stay\n"
        "what they were, with their marks and wide spreads, and the answers that rest "
        "on "
        "them say so. Archard coefficients are\nknown from memory only: no "
        "evidence.\n\n"
        "Looked for in open papers, abstracts found and no table readable: roughness "
        "of "
        "sanded beech, oak, pine by grit (Gurau et\nal. 2019 and 2022, Ilce 2018, "
        "Forests 15-45); constants of the wear of belts (Ockajova et al. 2016); wear "
        "of "
        "steels by\nsize of abrasive (Sevim and Eryurek 2005, 2006); the share removed "
        "of "
        "a scratch (Franco and Sinatora 2017); depth of\ndeformation under "
        "metallographic papers. Whoever has the tables can add rows to `data/cutting` "
        "and `data/consumption.csv`.");
}

/* A coefficient in force may be rounded to a digit or two, a seventh of its spread at
 * most, and its spread be wider. */
static int check_one(const char *key, double median, double lnsd)
{
    for (int i = 0; i < LEV_TAB_COEF_N; i++) {
        const lev_row_coef *const c = &lev_tab_coef[i];
        if (strcmp(c->key, key) != 0)
            continue;
        if (fabs(log(c->median / median)) <= fmax(0.03, lnsd / 7.0) &&
            c->lnsd >= lnsd - 0.02)
            return 0;
        fprintf(stderr, "calibrate: %s: %g, log-sd %g in force; fitted %.3g, %.2f\n",
                key, c->median, c->lnsd, median, lnsd);
    }
    return 1;
}

static int check(const fit *f)
{
    double lnsd;
    const double size = size_exponent(-1, &lnsd);
    int bad = check_one("fab_size.wood", size, lnsd);
    for (int k = 0; k < FACE; k++)
        bad |= check_one(UNKNOWN[k], exp(f->x[k]), f->sd[k]);
    return bad;
}

int main(int argc, char **argv)
{
    fit all = {.without = -1};
    add_wood();
    add_limits();
    find(&all);
    if (argc == 2 && strcmp(argv[1], "--check") == 0)
        return check(&all);
    if (argc == 2 && strcmp(argv[1], "--doc") == 0) {
        print_doc(&all);
        return fflush(stdout) == 0 ? 0 : 1;
    }
    fprintf(stderr, "calibrate: usage; calibrate --doc or --check\n");
    return 2;
}
