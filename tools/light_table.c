/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Measured gloss against the model, for doc/physics/light.md. `light_table` prints the
 * block between the marks of that page; `light_table --check FILE` fails unless FILE
 * holds exactly that block, so that no figure there is written by hand. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "lev_tables.h"
#include "levigate/cut.h"
#include "levigate/grit.h"
#include "levigate/optics.h"
#include "optics_figure.h"
#include "text.h"
#include "units.h"

enum { PAIRS_MAX = 32 };

/* One published pair, the slope it implies, and what a fit without it predicts. */
typedef struct pair {
    const lev_row_measured_gloss *row;
    double ra_um, gu, slope;
} pair;

typedef struct fit {
    double slope, power, lnsd; /* slope of Ra 1 um; its power; log-sd about it */
} fit;

static lev_look_request request_of(double index)
{
    lev_look_request req = {0};
    for (int c = 0; c < LEV_COLOURS; c++)
        req.optic.nk[c] = req.optic.other[c] = (lev_nk){index, 0.0};
    return req;
}

static double gloss_of(double ra_um, double slope, double index)
{
    const lev_look_request req = request_of(index);
    const double sq = ra_um * sqrt(LEV_PI / 2.0);
    const double l = sqrt(2.0) * sq / slope;
    const lev_rough s = {sq, l, l, LEV_ACF_GAUSS};
    lev_look look = {0};
    (void)lev_optics_rough_look(&s, &req, &look, NULL);
    return look.gu[LEV_GLOSS_60][LEV_LAY_ACROSS];
}

/* The slope with which a face of this Ra has this gloss: gloss falls with slope. */
static double implied_slope(double ra_um, double gu, double index)
{
    double low = log(1e-4);
    double high = log(1.0);
    for (int i = 0; i < 50; i++) {
        const double mid = (low + high) / 2.0;
        if (gloss_of(ra_um, exp(mid), index) > gu)
            low = mid;
        else
            high = mid;
    }
    return exp(low);
}

/* Ra from the parameter given; heights taken as normal. */
static double ra_of(const lev_row_measured_gloss *r, double rough_um)
{
    return strcmp(r->parameter, "Sq") == 0 ? rough_um / sqrt(LEV_PI / 2.0) : rough_um;
}

static int read_pairs(pair *p)
{
    int n = 0;
    for (int i = 0; i < LEV_TAB_MEASURED_GLOSS_N && n + 2 <= PAIRS_MAX; i++) {
        const lev_row_measured_gloss *const r = &lev_tab_measured_gloss[i];
        if (!r->pairs)
            continue;
        p[n++] = (pair){r, ra_of(r, r->rough_low_um), r->gloss_low_gu, 0.0};
        if (r->gloss_high_gu > r->gloss_low_gu)
            p[n++] = (pair){r, ra_of(r, r->rough_high_um), r->gloss_high_gu, 0.0};
    }
    for (int i = 0; i < n; i++)
        p[i].slope = implied_slope(p[i].ra_um, p[i].gu, p[i].row->index);
    return n;
}

/* Least squares of ln slope on ln Ra, leaving one pair out (-1: none). */
static fit fit_without(const pair *p, int n, int out)
{
    double m = 0.0;
    double sx = 0.0;
    double sy = 0.0;
    double sxx = 0.0;
    double sxy = 0.0;
    double syy = 0.0;
    for (int i = 0; i < n; i++) {
        if (i == out)
            continue;
        const double x = log(p[i].ra_um);
        const double y = log(p[i].slope);
        m += 1.0;
        sx += x;
        sy += y;
        sxx += x * x;
        sxy += x * y;
        syy += y * y;
    }
    const double b = (m * sxy - sx * sy) / (m * sxx - sx * sx);
    const double a = (sy - b * sx) / m;
    const double rss = syy - a * sy - b * sxy;
    return (fit){exp(a), b, sqrt(fmax(0.0, rss) / (m - 2.0))};
}

static void print_pairs(lev_text *t, const pair *p, int n)
{
    lev_text_add(t, "| row | Ra um | gloss 60 measured | slope it implies | gloss "
                    "predicted without it | error |\n|---|---|---|---|---|---|\n");
    for (int i = 0; i < n; i++) {
        const fit f = fit_without(p, n, i);
        const double slope = f.slope * pow(p[i].ra_um, f.power);
        const double gu = gloss_of(p[i].ra_um, slope, p[i].row->index);
        lev_text_print(t, "| %s | %.3f | %.1f | %.4f | %.1f | %+.1f |\n", p[i].row->id,
                       p[i].ra_um, p[i].gu, p[i].slope, gu, gu - p[i].gu);
    }
    const fit all = fit_without(p, n, -1);
    lev_text_print(t, "\nAll %d pairs: slope = %.3f (Ra/um)^%.2f, log-sd %.2f.\n\n", n,
                   all.slope, all.power, all.lnsd);
}

/* Rows that give a bound, not a pair. */
static void print_bounds(lev_text *t, const pair *p, int n)
{
    const fit f = fit_without(p, n, -1);
    for (int i = 0; i < LEV_TAB_MEASURED_GLOSS_N; i++) {
        const lev_row_measured_gloss *const r = &lev_tab_measured_gloss[i];
        if (r->pairs)
            continue;
        const double ra = ra_of(r, r->rough_low_um);
        const double gu = gloss_of(ra, f.slope * pow(ra, f.power), r->index);
        lev_text_print(t,
                       "%s: over %.0f units below Ra %.2f um; the fit gives %.1f there "
                       "(%s).\n\n",
                       r->id, r->gloss_low_gu, ra, gu,
                       gu >= r->gloss_low_gu ? "met" : "missed");
    }
}

/* ISO 2813:2014, introduction: one paint reads 35 / 70 / 95. Find height and length
 * from the first two, predict the third. */
static void print_three_angles(lev_text *t)
{
    const lev_look_request req = request_of(1.48);
    double best = 1e9;
    lev_look at = {0};
    lev_rough found = {0};
    for (double sq = 0.030; sq < 0.060; sq += 0.00025)
        for (double l = 0.5; l < 4.0; l *= 1.02) {
            const lev_rough s = {sq, l, l, LEV_ACF_GAUSS};
            lev_look look = {0};
            (void)lev_optics_rough_look(&s, &req, &look, NULL);
            const double miss =
                hypot(look.gu[LEV_GLOSS_20][0] - 35.0, look.gu[LEV_GLOSS_60][0] - 70.0);
            if (miss < best) {
                best = miss;
                at = look;
                found = s;
            }
        }
    lev_text_print(
        t,
        "Paint of ISO 2813 (n taken as 1.48): height %.1f nm and length %.2f "
        "um fit %.1f at 20 and %.1f at 60 degrees; predicted at 85: %.1f, "
        "published 95.\n\n",
        1000.0 * found.sq_um, found.length_in_um, at.gu[LEV_GLOSS_20][0],
        at.gu[LEV_GLOSS_60][0], at.gu[LEV_GLOSS_85][0]);
}

/* ---- facts of the trade, beside the model; never a test ---- */

/* Deviation of the light in a band of rows: what is left of the picture there. */
static double detail(const lev_picture *p, double y0_mm, double y1_mm, bool colour)
{
    double n = 0.0;
    double s = 0.0;
    double ss = 0.0;
    for (ptrdiff_t j = (ptrdiff_t)(y0_mm / p->pitch_mm);
         (double)j < y1_mm / p->pitch_mm; j++)
        for (ptrdiff_t i = 0; i < p->nx; i++) {
            const float *const at = p->rgb + 3 * (j * p->nx + i);
            const double x =
                colour ? (double)(at[LEV_RED] - at[LEV_BLUE]) : (double)at[LEV_GREEN];
            n += 1.0;
            s += x;
            ss += x * x;
        }
    return sqrt(fmax(0.0, ss / n - (s / n) * (s / n)));
}

static lev_rough surface_of(double ra_um, double length_cross)
{
    const double sq = ra_um * sqrt(LEV_PI / 2.0);
    const double slope = lev_light_figure("texture_slope") *
                         pow(ra_um, lev_light_figure("texture_power"));
    const double l = sqrt(2.0) * sq / slope;
    return (lev_rough){sq, l, length_cross, LEV_ACF_GAUSS};
}

/* Share of the colour patches' and of the 10 mm type's contrast that a face keeps, the
 * card 50 mm away. */
static void kept(const lev_picture *card, const lev_mirror_view *v, double ra_um,
                 double out[2])
{
    for (int k = 0; k < 2; k++) {
        lev_picture p = {0};
        const lev_rough s = k == 0 ? (lev_rough){0} : surface_of(ra_um, 0.0);
        if (lev_optics_rough_reflect(card, &s, 0.349, v, &p, NULL) < 0)
            return;
        const double colour = detail(&p, 52.0, 64.0, true);
        const double type = detail(&p, 4.0, 16.0, false);
        out[0] = k == 0 ? colour : 100.0 * colour / out[0];
        out[1] = k == 0 ? type : 100.0 * type / out[1];
        lev_picture_release(&p);
    }
}

static void print_ladder(lev_text *t)
{
    static const double ra[] = {2.0, 1.0, 0.5, 0.3, 0.2, 0.1, 0.05, 0.03, 0.02};
    lev_look_request req = {.type_mm = 3.0};
    lev_mirror_view v = {.card_mm = 50.0};
    lev_picture card = {0};
    (void)lev_optics_find("brass_260", &req.optic, NULL);
    v.optic = req.optic;
    (void)lev_optics_card(320, &card, NULL);
    lev_text_add(t, "| Ra um | gloss 60 across | gloss 60 along | 3 mm type read at mm "
                    "(1 in 10 .. 9 in 10) | colour kept % | 10 mm type kept % |\n"
                    "|---|---|---|---|---|---|\n");
    for (size_t i = 0; i < sizeof ra / sizeof *ra; i++) {
        lev_texture_light l = {0};
        double part[2] = {0.0, 0.0};
        (void)lev_optics_texture_light(&(lev_texture){ra[i], 0.0, true}, &req, &l,
                                       NULL);
        kept(&card, &v, ra[i], part);
        lev_text_print(t,
                       "| %.2f | %.0f | %.0f | %.1f (%.1f .. %.1f) | %.0f | %.0f |\n",
                       ra[i], l.gu[LEV_GLOSS_60][LEV_LAY_ACROSS].p50,
                       l.gu[LEV_GLOSS_60][LEV_LAY_ALONG].p50, l.readable_mm.p50,
                       l.readable_mm.p10, l.readable_mm.p90, part[0], part[1]);
    }
    lev_picture_release(&card);
    lev_text_add(t, "\n");
}

static const lev_row_practice_band *band_of(const char *id)
{
    int i = 0;
    while (i + 1 < LEV_TAB_PRACTICE_BAND_N &&
           strcmp(lev_tab_practice_band[i].id, id) != 0)
        i++;
    return &lev_tab_practice_band[i];
}

static double brass_hardness_gpa(void)
{
    for (int i = 0; i < LEV_TAB_MATERIAL_PROP_N; i++)
        if (strcmp(lev_tab_material_prop[i].material, "brass_360") == 0 &&
            strcmp(lev_tab_material_prop[i].property, "hardness_gpa") == 0)
            return lev_tab_material_prop[i].value;
    return NAN;
}

static double carbide_hardness_gpa(void)
{
    for (int i = 0; i < LEV_TAB_MINERAL_N; i++)
        if (strcmp(lev_tab_mineral[i].id, "silicon-carbide") == 0)
            return lev_tab_mineral[i].knoop_gpa;
    return NAN;
}

/* Ra that the cutting model gives free-cutting brass rubbed by hand on a wooden block
 * with the push of this band; NaN when the tables do not hold the grit. */
static double ra_after(const char *label, const lev_row_practice_band *band)
{
    lev_grit_reading r;
    lev_grit_size size;
    lev_cut_pass pass;
    const lev_cut_work work = {.family = LEV_CUT_METAL,
                               .hardness_gpa = brass_hardness_gpa(),
                               .mark = LEV_MARK_MEMORY};
    if (lev_grit_read(label, "P", &r, NULL) < 0 ||
        lev_grit_size_of(&r.match[0], &size, NULL) < 0)
        return NAN;
    const lev_cut_tool tool = {.kind = LEV_CUT_GRIT,
                               .grain = {log(size.median_um), size.lnsd,
                                         isfinite(size.max_um) ? size.max_um : 0.0},
                               .mineral = "silicon-carbide",
                               .mineral_hardness_gpa = carbide_hardness_gpa(),
                               .drive = "hand-wood",
                               .push_n = sqrt(band->push_low_n * band->push_high_n)};
    const double face_mm2 = 5000.0;
    return lev_cut_pass_init(&work, &tool, face_mm2, &pass, NULL) < 0 ? (double)NAN
                                                                      : pass.ra_um;
}

/* Lift at which type of this height can just be read. */
static double reads_at(const lev_optic *optic, double ra_um, double type_mm)
{
    const lev_look_request req = {.optic = *optic, .type_mm = type_mm};
    lev_texture_light l = {0};
    (void)lev_optics_texture_light(&(lev_texture){ra_um, 0.0, true}, &req, &l, NULL);
    return l.readable_mm.p50;
}

static void print_grits(lev_text *t)
{
    static const struct {
        const char *grit, *band, *says; /* says: NULL, what the band says */
    } step[] = {{"P80", "brass-p80", NULL},
                {"P120", "brass-p120", NULL},
                {"P240", "brass-p240", NULL},
                {"P400", "brass-p400", NULL},
                {"P800", "brass-p600", NULL},
                {"P1200", "brass-p1200", NULL},
                {"P2000", "brass-p1200", "practically a mirror"}};
    lev_mirror_view v = {.card_mm = 50.0};
    lev_picture card = {0};
    (void)lev_optics_find("brass_360", &v.optic, NULL);
    (void)lev_optics_card(320, &card, NULL);
    lev_text_add(t, "| grit | Ra um | colour kept % | 10 mm type kept % | 10 mm type "
                    "read at mm | 3 mm type read at mm | the bench says |\n"
                    "|---|---|---|---|---|---|---|\n");
    for (size_t i = 0; i < sizeof step / sizeof *step; i++) {
        const lev_row_practice_band *const band = band_of(step[i].band);
        const double ra = ra_after(step[i].grit, band);
        double part[2] = {0.0, 0.0};
        kept(&card, &v, ra, part);
        lev_text_print(t, "| %s | %.2f | %.0f | %.0f | %.1f | %.1f | %s |\n",
                       step[i].grit, ra, part[0], part[1], reads_at(&v.optic, ra, 10.0),
                       reads_at(&v.optic, ra, 3.0),
                       step[i].says != NULL ? step[i].says : band->looks);
    }
    lev_picture_release(&card);
    lev_text_add(t, "\n");
}

static void print_looks(lev_text *t)
{
    lev_look_request req = {.type_mm = 3.0};
    (void)lev_optics_find("ss_304", &req.optic, NULL);
    lev_text_add(t,
                 "| look | Ra um | what the trade sees | model: gloss 60 across | 3 mm "
                 "type read at mm |\n|---|---|---|---|---|\n");
    for (int i = 0; i < LEV_TAB_LOOK_N; i++) {
        const lev_row_look *const r = &lev_tab_look[i];
        const double ends[2] = {fmax(r->ra_low_um, 0.01), r->ra_high_um};
        const bool one_way = strcmp(r->lay, "one-way") == 0;
        lev_texture_light l[2] = {0};
        for (int k = 0; k < 2; k++)
            (void)lev_optics_texture_light(&(lev_texture){ends[k], 0.0, one_way}, &req,
                                           &l[k], NULL);
        lev_text_print(t, "| %s | %.2f .. %.2f | %s | %.0f .. %.0f | %.1f .. %.1f |\n",
                       r->id, ends[0], ends[1], r->check, l[1].gu[LEV_GLOSS_60][0].p50,
                       l[0].gu[LEV_GLOSS_60][0].p50, l[1].readable_mm.p50,
                       l[0].readable_mm.p50);
    }
    lev_text_add(t, "\n");
}

static void print_colours(lev_text *t)
{
    static const double sq[] = {0.2, 0.1, 0.05, 0.02, 0.01};
    lev_look_request req = {0};
    (void)lev_optics_find("stainless_austenitic", &req.optic, NULL);
    lev_text_add(t, "| Sq nm | red | green | blue | blue / red |\n"
                    "|---|---|---|---|---|\n");
    for (size_t i = 0; i < sizeof sq / sizeof *sq; i++) {
        lev_look k = {0};
        const lev_rough s = {sq[i], 20.0, 20.0, LEV_ACF_GAUSS};
        (void)lev_optics_rough_look(&s, &req, &k, NULL);
        lev_text_print(t, "| %.0f | %.3f | %.3f | %.3f | %.3f |\n", 1000.0 * sq[i],
                       k.rspec[LEV_RED], k.rspec[LEV_GREEN], k.rspec[LEV_BLUE],
                       k.rspec[LEV_BLUE] / k.rspec[LEV_RED]);
    }
    lev_text_add(t, "\n");
}

static void print_block(lev_text *t)
{
    pair p[PAIRS_MAX];
    const int n = read_pairs(p);
    lev_text_add(t, "<!-- light_table: begin -->\n\n### Published pairs\n\n");
    print_pairs(t, p, n);
    print_bounds(t, p, n);
    print_three_angles(t);
    lev_text_add(t, "### Brass ground one way, by Ra; the card 50 mm off\n\n");
    print_ladder(t);
    lev_text_add(
        t, "### Grits of the trade (common practice, no source) beside the model, "
           "brass rubbed by hand on a wooden block\n\n");
    print_grits(t);
    lev_text_add(t, "### Looks of the trade (common practice, no source) beside the "
                    "model, stainless steel\n\n");
    print_looks(t);
    lev_text_add(t, "### Stainless steel in the mirror direction, length 20 um\n\n");
    print_colours(t);
    lev_text_add(t, "<!-- light_table: end -->\n");
}

static int check(const char *path, const char *block)
{
    static char page[1 << 18];
    FILE *const f = fopen(path, "rb");
    if (f == NULL) {
        fprintf(stderr, "light_table: %s: cannot be read; the page of the model\n",
                path);
        return 2;
    }
    const size_t n = fread(page, 1, sizeof page - 1, f);
    page[n] = '\0';
    fclose(f);
    if (strstr(page, block) != NULL)
        return 0;
    fprintf(stderr,
            "light_table: %s: its block is not what the model gives now; put "
            "the output of light_table there\n",
            path);
    return 1;
}

/* The figures the library uses are this fit. */
static int check_figures(void)
{
    pair p[PAIRS_MAX];
    const int n = read_pairs(p);
    const fit f = fit_without(p, n, -1);
    const double gap = fabs(f.slope / lev_light_figure("texture_slope") - 1.0) +
                       fabs(f.power / lev_light_figure("texture_power") - 1.0) +
                       fabs(f.lnsd / lev_light_figure("texture_lnsd") - 1.0);
    if (gap < 0.02)
        return 0;
    fprintf(stderr,
            "light_table: data/optics/light_figure.csv: texture figures are not the "
            "fit; slope %.4f, power %.3f, lnsd %.3f\n",
            f.slope, f.power, f.lnsd);
    return 1;
}

int main(int argc, char **argv)
{
    lev_text t = {0};
    if (check_figures() != 0)
        return 1;
    print_block(&t);
    int rc = t.st < 0 ? 3 : 0;
    if (rc == 0 && argc == 3 && strcmp(argv[1], "--check") == 0)
        rc = check(argv[2], lev_text_get(&t));
    else if (rc == 0)
        fputs(lev_text_get(&t), stdout);
    lev_text_release(&t);
    return rc;
}
