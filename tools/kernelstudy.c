/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * kernelstudy FILE: runs the groove kernel's studies and writes their tables into FILE
 * (doc/physics/kernel.md), between the lines "<!-- table NAME -->" and "<!-- end -->";
 * the rest of the file stays. Same seeds, so the same tables on every machine.
 */
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "levigate/simulate.h"
#include "units.h"

static const double SIGMA = 0.22; /* one spread of sizes for every check value */
/* The prototypes' textures are those "after about 1 to 6 m of sliding". */
static const double PROTOTYPE_M = 6.0;

static _Noreturn void give_up(const char *what)
{
    fprintf(stderr, "kernelstudy: %s\n", what);
    exit(3);
}

static lev_sim_step step_of(double d50_um, double backing_mpa, double hardness_mpa,
                            double pressure_kpa, double remove_um)
{
    const double v = 2.0 * 0.3 * pressure_kpa * 1e-3 /
                     (LEV_PI * hardness_mpa * tan(70.0 * LEV_PI / 180.0));
    return (lev_sim_step){
        .grains = {.d50_um = d50_um, .ln_sigma = SIGMA, .count = 1 << 17},
        .hardness_mpa = hardness_mpa,
        .backing_mpa = backing_mpa,
        .pressure_kpa = pressure_kpa,
        .removed_share = 0.3,
        .distance_m = 1.3 * remove_um / v / LEV_UM_PER_M,
        .depth_um = remove_um,
        .records = 100,
        .seed = 7,
    };
}

static lev_sim *face(double width_um, double pitch_um, int rows)
{
    const lev_sim_grid grid = {
        .nx = (ptrdiff_t)(width_um / pitch_um), .ny = rows, .pitch_um = pitch_um};
    lev_sim *s = NULL;
    lev_error err = {0};
    if (lev_sim_new(&grid, &s, &err) < 0)
        give_up(err.text);
    return s;
}

static lev_sim_result run(lev_sim *s, const lev_sim_step *step)
{
    lev_sim_result r = {0};
    lev_error err = {0};
    if (lev_sim_run(s, step, NULL, NULL, &r, &err) < 0)
        give_up(err.text);
    return r;
}

static double fine_pitch_um(const lev_sim_step *step)
{
    double pitch_um = 0.0;
    lev_error err = {0};
    if (lev_sim_pitch_um(step, &pitch_um, &err) < 0)
        give_up(err.text);
    return pitch_um / 2.0;
}

/* Mean of Ra over the last third of the records. */
static double own_um(const lev_sim_result *r)
{
    double sum = 0.0;
    const ptrdiff_t from = r->n * 2 / 3;
    for (ptrdiff_t i = from; i < r->n; i++)
        sum += r->record[i].Ra_um;
    return sum / (double)(r->n - from);
}

static double ra_of(const lev_sim_step *step, double width_um, double pitch_um,
                    int rows)
{
    lev_sim *const s = face(width_um, pitch_um, rows);
    lev_sim_result r = run(s, step);
    const double ra = own_um(&r) / step->grains.d50_um;
    lev_sim_result_release(&r);
    lev_sim_free(s);
    return ra;
}

static double depth_at(const lev_sim_result *r, double share)
{
    for (ptrdiff_t i = 1; i < r->n; i++) {
        const lev_sim_record *a = &r->record[i - 1], *b = &r->record[i];
        if (b->old_amplitude > share)
            continue;
        const double f = log(a->old_amplitude / share) /
                         log(a->old_amplitude / fmax(b->old_amplitude, 1e-3 * share));
        return a->removed_um + f * (b->removed_um - a->removed_um);
    }
    return NAN;
}

/* e-fold depth of the excess of Ra, through the start, down to 8 % of it. */
static double rho_short_um(const lev_sim_result *r)
{
    const double own = own_um(r), excess = r->record[0].Ra_um - own;
    double xy = 0.0, xx = 0.0;
    for (ptrdiff_t i = 0; i < r->n; i++) {
        const double left = (r->record[i].Ra_um - own) / excess;
        if (left < 0.08)
            break;
        xy += r->record[i].removed_um * log(left);
        xx += r->record[i].removed_um * r->record[i].removed_um;
    }
    return -xx / xy;
}

static void row(FILE *f, const char *what, double known, double now, int *outside)
{
    fprintf(f, "| %s | %.4g | %.4g | %.2f |\n", what, known, now, now / known);
    *outside += fabs(now / known - 1.0) > 0.15 ? 1 : 0;
}

static void table_ra(FILE *f, int *outside)
{
    static const double known[][4] = {
        {5, 1200, 10, 0.0070},  {5, 2000, 10, 0.0053},  {5, 2000, 40, 0.0059},
        {5, 7000, 10, 0.0027},  {10, 2000, 10, 0.0072}, {10, 2000, 40, 0.0081},
        {10, 7000, 10, 0.0037}, {10, 7000, 40, 0.0042}, {20, 2000, 10, 0.0100},
        {20, 7000, 10, 0.0050}, {5, 60, 10, 0.026},     {10, 60, 10, 0.034}};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        const double *k = known[i];
        char what[100];
        lev_sim_step s = step_of(100.0, k[0], k[1], k[2], k[1] > 100.0 ? 4.0 : 15.0);
        s.distance_m = fmin(s.distance_m, PROTOTYPE_M);
        snprintf(what, sizeof what, "Ra/d50, E_b %g MPa, H %g GPa, %g kPa", k[0],
                 k[1] / 1e3, k[2]);
        row(f, what, k[3], ra_of(&s, 6000.0, fine_pitch_um(&s), 4), outside);
    }
}

/* An old texture of d_old under d_new. */
static lev_sim_result over_old(double d_old_um, double d_new_um, double pressure_kpa,
                               double remove_um)
{
    lev_sim_step old = step_of(d_old_um, 8.0, 2000.0, pressure_kpa, 0.04 * d_old_um);
    old.distance_m = fmin(old.distance_m, PROTOTYPE_M);
    const lev_sim_step new = step_of(d_new_um, 8.0, 2000.0, pressure_kpa, remove_um);
    lev_sim *const s = face(40.0 * d_old_um, fine_pitch_um(&new), 8);
    lev_sim_result r = run(s, &old);
    lev_sim_result_release(&r);
    r = run(s, &new);
    lev_sim_free(s);
    return r;
}

static void table_short(FILE *f, int *outside)
{
    static const double known[][4] = {{100, 46.2, 10, 1.67}, {100, 46.2, 20, 1.97},
                                      {100, 46.2, 40, 2.20}, {100, 18.3, 10, 1.19},
                                      {100, 18.3, 20, 1.31}, {100, 18.3, 40, 1.42},
                                      {50, 25, 20, 0.85},    {200, 46.2, 20, 3.09}};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        const double *k = known[i];
        char what[100];
        lev_sim_result r = over_old(k[0], k[1], k[2], 12.0 * k[3]);
        snprintf(what, sizeof what, "short depth um, %g on %g um, %g kPa", k[1], k[0],
                 k[2]);
        row(f, what, k[3], rho_short_um(&r), outside);
        lev_sim_result_release(&r);
    }
}

static void table_projection(FILE *f, int *outside)
{
    static const double known[][2] = {{0.5, 1.4}, {0.2, 5.2}, {0.1, 8.7}, {0.05, 13.0}};
    lev_sim_result r = over_old(100.0, 46.2, 20.0, 16.0);
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        char what[100];
        snprintf(what, sizeof what, "depth um to %g of the projection, 46.2 on 100 um",
                 known[i][0]);
        row(f, what, known[i][1], depth_at(&r, known[i][0]), outside);
    }
    lev_sim_result_release(&r);
}

static lev_sim_result over_wave(const lev_sim_step *step, double half_um,
                                double spacing_um, int waves)
{
    const double pitch_um = fine_pitch_um(step);
    lev_sim *const s = face(spacing_um * waves, pitch_um, 3);
    const ptrdiff_t nx = (ptrdiff_t)(spacing_um * waves / pitch_um);
    float *const h_um = malloc(3 * (size_t)nx * sizeof *h_um);
    lev_error err = {0};
    if (!h_um)
        give_up("out of memory");
    for (ptrdiff_t i = 0; i < 3 * nx; i++)
        h_um[i] = (float)(half_um *
                          cos(2.0 * LEV_PI * waves * (double)(i % nx) / (double)nx));
    if (lev_sim_set_heights(s, h_um, &err) < 0)
        give_up(err.text);
    lev_sim_result r = run(s, step);
    free(h_um);
    lev_sim_free(s);
    return r;
}

static void table_long(FILE *f, int *outside)
{
    static const double known[][4] = {{46.2, 20, 10.7, 6.46},  {46.2, 20, 3.51, 14.98},
                                      {46.2, 20, 0.81, 23.55}, {46.2, 20, 0.15, 32.13},
                                      {100, 30, 19.8, 7.80},   {100, 30, 10.6, 18.1},
                                      {100, 30, 5.33, 28.4},   {100, 30, 2.48, 38.7}};
    lev_sim_result r = {0};
    double d_um = 0.0;
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        const double *k = known[i];
        char what[100];
        if (d_um < k[0] || d_um > k[0]) {
            lev_sim_result_release(&r);
            d_um = k[0];
            const lev_sim_step step = step_of(d_um, 8.0, 2000.0, 20.0, 45.0);
            r = over_wave(&step, k[1], 10.0 * d_um, 4);
        }
        snprintf(what, sizeof what, "depth um, wave of %g um down to %g, %g um grains",
                 k[1], k[2], k[0]);
        row(f, what, k[3], depth_at(&r, k[2] / k[1]), outside);
    }
    lev_sim_result_release(&r);
}

static void write_check(FILE *f)
{
    int outside = 0;
    fputs("| what | earlier prototype | kernel | ratio |\n|---|---|---|---|\n", f);
    table_ra(f, &outside);
    table_short(f, &outside);
    table_projection(f, &outside);
    table_long(f, &outside);
    fprintf(f, "\nOutside 15 %%: %d of 32.\n", outside);
}

static void write_refine(FILE *f)
{
    const lev_sim_step usual = step_of(100.0, 10.0, 2000.0, 20.0, 4.0);
    const double needed_um = 2.0 * fine_pitch_um(&usual);
    double sum = 0.0, square = 0.0;
    enum { SEEDS = 6 };
    fputs("| changed | Ra/d50 |\n|---|---|\n", f);
    for (int i = 0; i < SEEDS; i++) {
        lev_sim_step s = usual;
        s.seed = 100U + (unsigned)i;
        const double ra = ra_of(&s, 6000.0, 0.5 * needed_um, 4);
        sum += ra / SEEDS;
        square += ra * ra / SEEDS;
    }
    fprintf(f,
            "| usual: pitch half of the coarsest, 60 d50 wide, 4 rows, 0.04 d50 off; "
            "six seeds | %.5f, sd %.5f |\n",
            sum, sqrt((square - sum * sum) * SEEDS / (SEEDS - 1)));
    const double pitches[] = {0.95, 0.7, 0.35, 0.25, 0.125};
    for (size_t i = 0; i < sizeof pitches / sizeof *pitches; i++)
        fprintf(f, "| pitch %g of the coarsest (%.3g um) | %.5f |\n", pitches[i],
                pitches[i] * needed_um,
                ra_of(&usual, 6000.0, pitches[i] * needed_um, 4));
    for (double w = 5.0; w <= 80.0; w *= 2.0)
        fprintf(f, "| width %g d50, %d rows | %.5f |\n", w, (int)(320.0 / w),
                ra_of(&usual, 100.0 * w, 0.5 * needed_um, (int)(320.0 / w)));
    for (double r = 0.0025; r <= 0.09; r *= 2.0) {
        const lev_sim_step s = step_of(100.0, 10.0, 2000.0, 20.0, 100.0 * r);
        fprintf(f, "| %g d50 off (%.3g m) | %.5f |\n", r, s.distance_m / 1.3,
                ra_of(&s, 6000.0, 0.5 * needed_um, 4));
    }
}

static void rule_lines_gone(FILE *f)
{
    lev_sim_result r = over_old(100.0, 46.2, 20.0, 16.0);
    ptrdiff_t i = 0;
    while (i + 1 < r.n && r.record[i].old_share > 0.01)
        i++;
    ptrdiff_t j = i;
    while (j + 1 < r.n && r.record[j].removed_um < 2.0 * r.record[i].removed_um)
        j++;
    fprintf(
        f,
        "| until the lines are gone, then as long again | 46.2 on 100 um: 99 %% of the "
        "face is recut at %.2f um, with %.0f %% of the old texture's amplitude left; "
        "after as much again %.0f %% is left |\n",
        r.record[i].removed_um, 100.0 * r.record[i].old_amplitude,
        100.0 * r.record[j].old_amplitude);
    lev_sim_result_release(&r);
}

/* Depth that cuts a wave by e between 1/2 and 1/5 of its height. */
static double rho_wave(const lev_sim_step *step, double half_um, double spacing_um)
{
    lev_sim_result r = over_wave(step, half_um, spacing_um, 2);
    const double rho = (depth_at(&r, 0.2) - depth_at(&r, 0.5)) / log(2.5);
    lev_sim_result_release(&r);
    return rho;
}

/* The step that takes a wave down to a fifth behind this pad. */
static lev_sim_step pad_step(const lev_sim_pad *pad, double pressure_kpa,
                             double spacing_um, double half_um, double *closed_um)
{
    const double flat_um = 13.5; /* about rho of these grains on a flat sheet */
    const double b = pad->side_um > 0.0
                         ? lev_cut_pad_follows(1.0 / spacing_um, 0.0, pad->side_um)
                         : 0.0;
    const double give_um =
        pad->modulus_mpa > 0.0
            ? pressure_kpa * 1e-3 *
                  lev_cut_pad_give(spacing_um, pad->thick_um, pad->modulus_mpa, 0.4)
            : 0.0;
    lev_sim_step s = step_of(100.0, 8.0, 2000.0, pressure_kpa,
                             2.2 * (flat_um / (1.0 - b) + give_um) + half_um);
    s.pad = *pad;
    const lev_sim_step none =
        step_of(100.0, 8.0, 2000.0, pressure_kpa, 2.2 * flat_um + half_um);
    *closed_um = rho_wave(&none, half_um, spacing_um) / (1.0 - b) + give_um;
    return s;
}

static void write_pad(FILE *f)
{
    static const struct {
        double wave_um, half_um, mpa, thick_um, side_um, kpa;
    } at[] = {
        {500, 3, 0.5, 0, 0, 20},     {1000, 3, 0.5, 0, 0, 20},
        {2000, 3, 0.5, 0, 0, 20},    {4000, 3, 0.5, 0, 0, 20},
        {2000, 3, 0.5, 0, 0, 5},     {2000, 3, 0.5, 0, 0, 80},
        {2000, 3, 0.1, 0, 0, 5},     {2000, 3, 2, 0, 0, 20},
        {2000, 3, 0.5, 1000, 0, 20}, {2000, 3, 0.5, 300, 0, 20},
        {2000, 3, 0.5, 100, 0, 20},  {1000, 3, 0, 0, 8000, 20},
        {1000, 3, 0, 0, 2000, 20},   {1000, 3, 0, 0, 1000, 20},
        {1000, 3, 0, 0, 700, 20},    {1000, 3, 0, 0, 500, 20},
        {1000, 3, 0.5, 0, 1000, 20}, {1000, 12, 0.5, 0, 0, 20},
        {1000, 30, 0.5, 0, 0, 20},   {1000, 60, 0.5, 0, 0, 20},
        {1000, 120, 0.5, 0, 0, 20},
    };
    fputs(
        "| wave | half height | pad E* | thick | side | push | kernel | closed form | "
        "ratio |\n|---|---|---|---|---|---|---|---|---|\n",
        f);
    for (size_t i = 0; i < sizeof at / sizeof *at; i++) {
        const lev_sim_pad pad = {.modulus_mpa = at[i].mpa,
                                 .thick_um = at[i].thick_um,
                                 .side_um = at[i].side_um};
        double closed_um;
        const lev_sim_step s =
            pad_step(&pad, at[i].kpa, at[i].wave_um, at[i].half_um, &closed_um);
        const double rho_um = rho_wave(&s, at[i].half_um, at[i].wave_um);
        fprintf(f, "| %g um | %g um |", at[i].wave_um, at[i].half_um);
        fprintf(f, at[i].mpa > 0.0 ? " %g MPa |" : " rigid |", at[i].mpa);
        fprintf(f, at[i].thick_um > 0.0 ? " %g um |" : " |", at[i].thick_um);
        fprintf(f, at[i].side_um > 0.0 ? " %g um |" : " |", at[i].side_um);
        fprintf(f, " %g kPa | %.1f um | %.1f um | %.2f%s |\n", at[i].kpa, rho_um,
                closed_um, rho_um / closed_um,
                fabs(rho_um / closed_um - 1.0) > 0.1 ? " *" : "");
    }
}

/* What a wave of each length has left after the same depth, behind a pad 1 mm wide. */
static void rule_follows(FILE *f)
{
    fputs(" |\n| a soft pad follows waves longer than itself | left of a wave after 20 "
          "um off, pad 1 mm wide of 0.5 MPa and on a flat sheet:",
          f);
    for (double wave_um = 250.0; wave_um < 5000.0; wave_um *= 2.0) {
        double left[2];
        for (int k = 0; k < 2; k++) {
            lev_sim_step s = step_of(100.0, 8.0, 2000.0, 20.0, 20.0);
            if (k == 0)
                s.pad = (lev_sim_pad){.modulus_mpa = 0.5, .side_um = 1000.0};
            lev_sim_result r = over_wave(&s, 3.0, wave_um, 2);
            left[k] = r.record[r.n - 1].old_amplitude;
            lev_sim_result_release(&r);
        }
        fprintf(f, "%s %.0f and %.0f %% of %g um", wave_um > 250.0 ? "," : "",
                100.0 * left[0], 100.0 * left[1], wave_um);
    }
}

static void write_rules(FILE *f)
{
    fputs("| rule (common practice, no source) | what the kernel does |\n|---|---|\n",
          f);
    rule_lines_gone(f);
    fputs("| a soft pad gives a finer mark | Ra/d50", f);
    for (double e = 10.0; e > 0.03; e /= 4.0) {
        lev_sim_step s = step_of(100.0, 8.0, 2000.0, 10.0, 4.0);
        s.pad = (lev_sim_pad){.modulus_mpa = e, .grain_share = 0.03};
        fprintf(f, "%s %.4f on a pad of %.2g MPa", e < 10.0 ? "," : "",
                ra_of(&s, 6000.0, fine_pitch_um(&s), 4), e);
    }
    rule_follows(f);
    fputs(" |\n| worn paper scratches finer | Ra/d50", f);
    for (double d = 0.0; d < 0.95; d += 0.3) {
        lev_sim_step s = step_of(100.0, 10.0, 2000.0, 10.0, 4.0);
        s.grains.dressed = d;
        fprintf(f, "%s %.4f with %g of the touching tips levelled", d > 0.0 ? "," : "",
                ra_of(&s, 6000.0, fine_pitch_um(&s), 4), d);
    }
    fputs(" |\n| pressing harder cuts faster, hardly deeper | Ra/d50", f);
    for (double p = 1.0; p < 101.0; p *= 10.0) {
        const lev_sim_step s = step_of(100.0, 10.0, 2000.0, p, 4.0);
        fprintf(f, "%s %.4f at %g kPa", p > 1.0 ? "," : "",
                ra_of(&s, 6000.0, fine_pitch_um(&s), 4), p);
    }
    fputs(" |\n", f);
}

/* How much hardness matters, by roundness of the tips: exponents of 1/H. */
static void write_blunt(FILE *f)
{
    static const double hard_mpa[] = {60.0, 2000.0, 7000.0};
    fputs("| tip radius over grain size | Ra/d50 at 0.06 GPa | 2 GPa | 7 GPa | "
          "exponent of "
          "1/H, 0.06 to 2 GPa | 2 to 7 GPa |\n|---|---|---|---|---|---|\n",
          f);
    for (double round = 0.0; round<0.9; round = round> 0.0 ? 4.0 * round : 0.05) {
        double ra[3];
        for (int i = 0; i < 3; i++) {
            lev_sim_step s =
                step_of(100.0, 8.0, hard_mpa[i], 10.0, i == 0 ? 15.0 : 4.0);
            s.grains.tip_round = round;
            ra[i] = ra_of(&s, 6000.0, fine_pitch_um(&s), 3);
        }
        fprintf(f, "| %g | %.4f | %.4f | %.4f | %.2f | %.2f |\n", round, ra[0], ra[1],
                ra[2], log(ra[0] / ra[1]) / log(hard_mpa[1] / hard_mpa[0]),
                log(ra[1] / ra[2]) / log(hard_mpa[2] / hard_mpa[1]));
    }
}

static const struct {
    const char *name;
    void (*write)(FILE *);
} TABLE[] = {{"check", write_check},
             {"refinement", write_refine},
             {"rules", write_rules},
             {"pad", write_pad},
             {"bluntness", write_blunt}};

/* Copy in to out, with each table between its lines written anew. */
static void rewrite(FILE *in, FILE *out)
{
    char line[4096], name[64];
    bool skip = false;
    while (fgets(line, sizeof line, in)) {
        if (skip && strcmp(line, "<!-- end -->\n") == 0)
            skip = false;
        if (skip)
            continue;
        fputs(line, out);
        if (sscanf(line, "<!-- table %63s -->", name) != 1)
            continue;
        for (size_t i = 0; i < sizeof TABLE / sizeof *TABLE; i++) {
            if (strcmp(TABLE[i].name, name) == 0) {
                TABLE[i].write(out);
                skip = true;
            }
        }
    }
}

int main(int argc, char **argv)
{
    char path[1024];
    if (argc != 2 ||
        snprintf(path, sizeof path, "%s.new", argv[1]) >= (int)sizeof path) {
        fprintf(stderr, "kernelstudy: usage; kernelstudy FILE.md\n");
        return 2;
    }
    FILE *const in = fopen(argv[1], "r"), *const out = fopen(path, "w");
    if (!in || !out)
        give_up(in ? path : argv[1]);
    rewrite(in, out);
    fclose(in);
    if (fclose(out) != 0 || rename(path, argv[1]) != 0)
        give_up(path);
    return 0;
}
