/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Markings and sizes, against the published tables and closed forms. */
#include "unit.h"

#include <string.h>

#include "levigate/grit.h"
#include "levigate/note.h"
#include "rng.h"
#include "text.h"

static lev_grit_reading read_ok(const char *marking)
{
    lev_grit_reading r;
    lev_error err = {0};
    assert_ok(lev_grit_read(marking, NULL, &r, &err), &err);
    return r;
}

static const lev_grit *match_of(const lev_grit_reading *r, const char *system)
{
    for (int i = 0; i < r->n; i++)
        if (strcmp(r->match[i].system, system) == 0)
            return &r->match[i];
    print_error("no match of %s\n", system);
    fail();
    return NULL;
}

static void assert_reads(const char *marking, const char *system, const char *label)
{
    const lev_grit_reading r = read_ok(marking);
    if (strcmp(r.match[0].system, system) != 0 ||
        strcmp(r.match[0].label, label) != 0) {
        print_error("%s reads as %s %s, not %s %s\n", marking, r.match[0].system,
                    r.match[0].label, system, label);
        fail();
    }
}

static void assert_refused(const char *marking, lev_status st, const char *message)
{
    lev_grit_reading r;
    lev_error err = {0};
    assert_int_equal(lev_grit_read(marking, NULL, &r, &err), st);
    if (strstr(err.text, message) == NULL) {
        print_error("%s: \"%s\" lacks \"%s\"\n", marking, err.text, message);
        fail();
    }
}

static lev_grit grit(const char *system, const char *label, const char *method)
{
    lev_grit g;
    lev_error err = {0};
    assert_ok(lev_grit_find(system, label, method, &g, &err), &err);
    return g;
}

static lev_grit_size size_of(const lev_grit *g)
{
    lev_grit_size s;
    lev_error err = {0};
    assert_ok(lev_grit_size_of(g, &s, &err), &err);
    return s;
}

/* ---- published tables ---- */

static void medians_are_those_of_the_standards(void **state)
{
    (void)state;
    static const struct {
        const char *system, *label;
        double um;
    } published[] = {
        {"P", "P240", 58.5},           /* ISO 6344-3:2013, clause 3 */
        {"P", "P2500", 8.4},           /* ISO 6344-3:2013, clause 3 */
        {"P", "P40", 425.0},           /* published FEPA average, coated */
        {"P", "P100", 162.0},          /* published FEPA average, coated */
        {"JIS", "#240", 57.0},         /* JIS R 6001:1987, electrical resistance */
        {"JIS", "#1000", 11.5},        /* JIS R 6001:1987, electrical resistance */
        {"JIS", "#8000", 1.2},         /* JIS R 6001:1987, electrical resistance */
        {"ANSI-coated", "100", 141.0}, /* ANSI B74.18 average */
    };
    for (size_t i = 0; i < sizeof published / sizeof *published; i++)
        assert_near(grit(published[i].system, published[i].label, "").d50_um,
                    published[i].um, 0.0);
}

static void limits_of_a_read_row_are_kept_with_their_shares(void **state)
{
    (void)state;
    const lev_grit g = grit("JIS", "#1000", "electrical-resistance");
    /* JIS R 6001:1987: maximum 32, 27 at 3 %, 11.5 +- 1.0 at 50 %, 7.0 at 94 % */
    assert_near(g.max_um, 32.0, 0.0);
    assert_near(g.coarse_um, 27.0, 0.0);
    assert_near(g.coarse_pct, 3.0, 0.0);
    assert_near(g.d50_tol_um, 1.0, 0.0);
    assert_near(g.fine_um, 7.0, 0.0);
    assert_near(g.fine_pct, 94.0, 0.0);
    assert_int_equal(g.mark, LEV_MARK_READ);
}

static void the_number_1000_means_four_times_apart(void **state)
{
    (void)state;
    const lev_grit_reading r = read_ok("1000");
    assert_true(r.ambiguous);
    assert_near(match_of(&r, "P")->d50_um, 18.3, 0.02);   /* FEPA 43-1 */
    assert_near(match_of(&r, "JIS")->d50_um, 11.5, 0.02); /* JIS R 6001:1987 */
    assert_near(match_of(&r, "F")->d50_um, 4.5, 0.02);    /* FEPA 42-1 */
    assert_near(r.spread, 18.3 / 4.5, 0.02);              /* from these */
    assert_string_equal(r.match[0].system, "P");
    assert_int_equal(r.n_tests, 2);
}

static void boron_nitride_and_diamond_numbers_are_sieves_plus_one(void **state)
{
    (void)state;
    const lev_grit b = read_ok("B126").match[0], d = read_ok("d 46").match[0];
    assert_near(b.coarse_um, 125.0, 0.0); /* ISO 6106: sieve pair 125/106 */
    assert_near(b.fine_um, 106.0, 0.0);
    assert_near(d.coarse_um, 45.0, 0.0); /* ISO 6106: sieve pair 45/38 */
    assert_near(d.fine_um, 38.0, 0.0);
}

static void sieve_numbers_give_the_openings_of_e11(void **state)
{
    (void)state;
    assert_near(read_ok("140 mesh").match[0].max_um, 106.0, 0.0);      /* ASTM E11 */
    assert_near(read_ok("No. 100 sieve").match[0].max_um, 150.0, 0.0); /* ASTM E11 */
    static const char *const pairs[] = {"-140+170", "140/170", "140/170 mesh"};
    for (size_t i = 0; i < 3; i++) {
        const lev_grit g = read_ok(pairs[i]).match[0];
        assert_near(g.coarse_um, 106.0, 0.0); /* ASTM E11 */
        assert_near(g.fine_um, 90.0, 0.0);    /* ASTM E11 */
        assert_true(isnan(read_ok("100 sieve").match[0].d50_um));
    }
}

/* ---- markings ---- */

static void markings_are_read_as_people_write_them(void **state)
{
    (void)state;
    static const char *const as[][3] = {
        {"P220", "P", "P220"},
        {"p 220", "P", "P220"},
        {"P-220", "P", "P220"},
        {"waterproof P600", "P", "P600"},
        {"FEPA P 80", "P", "P80"},
        {"#1000", "JIS", "#1000"},
        {"JIS 1000", "JIS", "#1000"},
        {"F320", "F", "F320"},
        {"240 US", "ANSI-coated", "240"},
        {"CAMI 320", "ANSI-coated", "320"},
        {"ANSI 320", "ANSI-coated", "320"},
        {"D46", "FEPA-D", "D46"},
        {"D7", "old-DIN", "D7"},
        {"B126", "FEPA-B", "B126"},
        {"M 10/7", "GOST-9206-micro", "10/7"},
        {"28/20", "GOST-9206-micro", "28/20"},
        {"W10", "GB-W", "W10"},
        {"W3,5", "GB-W", "W3.5"},
        {"GOST 40", "GOST", "40"},
        {"40-\xD0\x9D", "GOST", "40"},
        {"\xD0\x9C"
         "40",
         "GOST-M", "M40"},
        {"3-6", "ANSI-micron", "3-6"},
        {"FFF pumice", "pumice", "FFF"},
        {"pumice FFFF", "pumice", "FFFF"},
        {"0000 steel wool", "steel-wool", "0000"},
        {"#0000 wire wool", "steel-wool", "0000"},
        {"4/0 emery", "emery-paper", "4/0"},
        {"garnet 2/0", "garnet-aught", "2/0"},
        {"diamond 126", "FEPA-D", "D126"},
        {"jeweller's rouge", "polish", "rouge"},
        {"wet and dry 600", "P", "P600"},
        {"120 J weight", "P", "P120"},
        {"K80", "P", "P80"},
        {"SiC 320", "P", "P320"},
        {"bastard 200 mm", "ISO-234-2", "bastard 200 mm"},
        {"200 mm second cut", "ISO-234-2", "second cut 200 mm"},
        {"8 in smooth file", "ISO-234-2", "smooth 200 mm"},
    };
    for (size_t i = 0; i < sizeof as / sizeof *as; i++)
        assert_reads(as[i][0], as[i][1], as[i][2]);
}

static void a_letter_or_a_system_ends_the_doubt(void **state)
{
    (void)state;
    assert_false(read_ok("P1000").ambiguous);
    assert_false(read_ok("CAMI 600").ambiguous);
    assert_false(read_ok("#1000").ambiguous); /* one powder, two instruments */
    assert_true((read_ok("#1000").notes & LEV_NOTE_METHODS) != 0);
    assert_true(read_ok("600").ambiguous);
    assert_true(read_ok("M40").ambiguous); /* two standards share the letter */
}

static void micrometres_are_read_with_any_micro_sign(void **state)
{
    (void)state;
    static const char *const nine[] = {
        "9 um",      "9um",      "9 \xC2\xB5m", "9\xCE\xBCm", "9 micron", "9mic",
        "9 microns", "0.009 mm", "0,009 mm",    "9000 nm",    "film 9 um"};
    for (size_t i = 0; i < sizeof nine / sizeof *nine; i++) {
        const lev_grit g = read_ok(nine[i]).match[0];
        assert_near(g.d50_um, 9.0, 1e-12); /* unit factors are exact */
        assert_int_equal(g.row, -1);
    }
    assert_near(read_ok("0.3 \xC2\xB5m").match[0].d50_um, 0.3, 1e-12);
    assert_refused("900 mm", LEV_E_RANGE, "no abrasive");
}

static void an_aught_means_three_things(void **state)
{
    (void)state;
    static const char *const names[] = {"4/0", "0000", "No. 4/0"};
    for (size_t i = 0; i < 3; i++) {
        const lev_grit_reading r = read_ok(names[i]);
        assert_int_equal(r.n, 3);
        assert_true(r.ambiguous);
        (void)match_of(&r, "steel-wool");
        (void)match_of(&r, "emery-paper");
        (void)match_of(&r, "garnet-aught");
    }
    assert_string_equal(read_ok("emery 4/0").match[0].system, "emery-paper");
}

static void wheel_codes_follow_iso_525_and_skip_the_makers_own(void **state)
{
    (void)state;
    static const char *const codes[] = {"A 60 K 5 V", "38A60-K5V", "a60k5v",
                                        "51A60K5V23"};
    for (size_t i = 0; i < 4; i++) {
        const lev_grit_reading r = read_ok(codes[i]);
        assert_string_equal(r.wheel.mineral, "A"); /* ISO 525: the order of the parts */
        assert_string_equal(r.wheel.hardness, "K");
        assert_int_equal(r.wheel.structure, 5);
        assert_string_equal(r.wheel.bond, "V");
        assert_string_equal(r.match[0].label, "F60");
        assert_false(r.ambiguous); /* F, ANSI and JIS agree there: ANSI B74.12 text */
    }
}

static void unknown_markings_name_their_neighbours(void **state)
{
    (void)state;
    assert_refused("P225", LEV_E_UNKNOWN,
                   "\"P225\" is no marking in use; nearest: P220, P240");
    assert_refused("P9000", LEV_E_UNKNOWN, "where P ends");
    assert_refused("P1", LEV_E_UNKNOWN, "where P begins");
    assert_refused("F333", LEV_E_UNKNOWN, "F320, F360");
    assert_refused("601", LEV_E_UNKNOWN, "P600, P800");
    assert_refused("rogue", LEV_E_UNKNOWN, "rouge");
    assert_refused("133 mesh", LEV_E_UNKNOWN, "no sieve has the number 133");
    assert_refused("", LEV_E_FORMAT, "empty");
    assert_refused("P\xC2", LEV_E_FORMAT, "UTF-8");
    assert_refused("P220 320", LEV_E_UNKNOWN, "no marking in use");
    char huge[300];
    memset(huge, 'P', sizeof huge);
    huge[sizeof huge - 1] = '\0';
    assert_refused(huge, LEV_E_LIMIT, "80 bytes");
}

static void numbers_beyond_the_lists_come_with_a_warning(void **state)
{
    (void)state;
    assert_true(strstr(read_ok("P3000").warning, "beyond P2500") != NULL);
    assert_string_equal(read_ok("P2500").warning, "");
    const lev_grit_reading r = read_ok("8000"); /* no P row there: never read as P */
    for (int i = 0; i < r.n; i++)
        assert_string_not_equal(r.match[i].system, "P");
}

static void every_label_reads_back_to_its_own_row(void **state)
{
    (void)state;
    for (int i = 0; i < lev_grit_count(); i++) {
        const lev_grit g = lev_grit_at(i);
        lev_grit_reading r;
        lev_error err = {0};
        bool found = false;
        assert_ok(lev_grit_read(g.label, g.system, &r, &err), &err);
        for (int k = 0; k < r.n; k++)
            found = found || (strcmp(r.match[k].system, g.system) == 0 &&
                              strcmp(r.match[k].label, g.label) == 0);
        if (!found) {
            print_error("%s %s does not read back\n", g.system, g.label);
            fail();
        }
        const lev_grit again = grit(g.system, g.label, g.method);
        assert_string_equal(again.label, g.label);
        assert_string_equal(again.method, g.method);
    }
}

static void bare_sizes_and_files_are_found_by_key_too(void **state)
{
    (void)state;
    assert_near(grit("um", "9 um", "").d50_um, 9.0, 0.0);
    assert_near(grit("um", "9", "").d50_um, 9.0, 0.0);
    assert_near(grit("ISO-234-2", "bastard 200 mm", "").pitch_um, 1000.0, 1e-9);
    lev_grit g;
    lev_error err = {0};
    assert_int_equal(lev_grit_find("nowhere", "9", "", &g, &err), LEV_E_UNKNOWN);
    assert_int_equal(lev_grit_find("P", "225", "", &g, &err), LEV_E_UNKNOWN);
    assert_true(strstr(err.text, "P220, P240") != NULL);
}

static void blanks_case_and_idle_words_change_nothing(void **state)
{
    (void)state;
    static const char *const before[] = {"", " ", "grit ", "sanding sheet ", "No. "};
    static const char *const after[] = {"", "  ", " paper", " wet or dry", " disc"};
    const lev_rng rng = {11};
    for (uint64_t i = 0; i < 400; i++) {
        double u[2], v[2];
        char text[400];
        lev_rng_uniform2(rng, i, 0, u);
        lev_rng_uniform2(rng, i, 1, v);
        const lev_grit g = lev_grit_at((int)(u[0] * lev_grit_count()));
        if (strcmp(g.system, "P") != 0)
            continue;
        (void)snprintf(text, sizeof text, "%s%c%s%s%s", before[(int)(u[1] * 5)],
                       v[1] < 0.5 ? 'p' : 'P',
                       v[1] < 0.3   ? " "
                       : v[1] < 0.7 ? "-"
                                    : "",
                       g.label + 1, after[(int)(v[0] * 5)]);
        assert_reads(text, "P", g.label);
    }
}

static void random_bytes_never_give_half_a_reading(void **state)
{
    (void)state;
    static const char alphabet[] = "PFDMWBKA#/-+. ,0123456789\xC2\xB5umgritcut";
    const lev_rng rng = {23};
    for (uint64_t i = 0; i < 3000; i++) {
        char text[24] = "";
        const size_t n = 1 + (size_t)(lev_rng_uniform(rng, i, 0) * 12.0);
        for (size_t k = 0; k < n; k++)
            text[k] = alphabet[(size_t)(lev_rng_uniform(rng, i, 1 + k) *
                                        (double)(sizeof alphabet - 1))];
        lev_grit_reading r;
        lev_error err = {0};
        if (lev_grit_read(text, NULL, &r, &err) == LEV_OK)
            assert_true(r.n > 0 && r.spread >= 1.0);
        else
            assert_true(err.text[0] != '\0');
    }
}

/* ---- sizes ---- */

static void hatch_choate_meets_worked_values(void **state)
{
    (void)state;
    /* Hatch & Choate (1929): mass median for a number median and a geometric standard
     * deviation, worked from ln d_m = ln d_n + 3 ln^2 s, printed to four decimals. */
    static const double worked[][3] = {{10.0, 1.2, 11.0487},
                                       {10.0, 1.4, 14.0444},
                                       {50.0, 1.3, 61.4687},
                                       {100.0, 1.6, 194.0043},
                                       {3.0, 2.0, 12.6793}};
    for (size_t i = 0; i < 5; i++) {
        const lev_grit_size s = {
            .median_um = worked[i][2], .lnsd = log(worked[i][1]), .max_um = INFINITY};
        assert_near(lev_grit_number_median_um(&s), worked[i][0], 1e-5);
    }
}

static void the_fit_passes_through_limits_that_lie_on_a_line(void **state)
{
    (void)state;
    lev_grit g = grit("JIS", "#1000", "");
    const double sigma = 0.37, d50 = 40.0;
    g.d50_um = d50;
    g.coarse_um = d50 * exp(sigma * lev_norm_quantile(0.97)); /* closed form */
    g.fine_um = d50 * exp(sigma * lev_norm_quantile(0.06));
    const lev_grit_size s = size_of(&g);
    assert_near(s.median_um, d50, 1e-12);
    assert_near(s.lnsd, sigma, 1e-12);
    g.d50_um = NAN; /* the two limits alone give the same line */
    const lev_grit_size t = size_of(&g);
    assert_near(t.median_um, d50, 1e-12);
    assert_near(t.lnsd, sigma, 1e-12);
}

static void quantiles_undo_the_share_below(void **state)
{
    (void)state;
    for (int i = 0; i < lev_grit_count(); i++) {
        const lev_grit g = lev_grit_at(i);
        lev_grit_size s;
        if (lev_grit_size_of(&g, &s, NULL) < 0)
            continue;
        for (double p = 0.02; p < 1.0; p += 0.12)
            assert_near(lev_grit_share_below(&s, lev_grit_quantile_um(&s, p)), p, 1e-9);
        assert_near(lev_grit_share_below(&s, s.max_um), 1.0, 0.0);
        assert_true(lev_grit_quantile_um(&s, 1.0 - 1e-12) <= s.max_um * (1.0 + 1e-9));
    }
}

static void number_quantiles_follow_from_volume_over_size_cubed(void **state)
{
    (void)state;
    /* Closed form against quadrature of f_volume(d) / d^3 on the ln axis. */
    const lev_grit_size s = {.median_um = 18.3, .lnsd = 0.32, .max_um = 40.0};
    double x[128], w[128], total = 0.0, below = 0.0;
    const double q = lev_grit_number_quantile_um(&s, 0.3);
    lev_gauss_legendre(128, x, w);
    const double lo = log(18.3) - 9.0 * 0.32, mid = log(q), hi = log(40.0);
    for (int part = 0; part < 2; part++) {
        const double a = part == 0 ? lo : mid, b = part == 0 ? mid : hi;
        for (int i = 0; i < 128; i++) {
            const double u = 0.5 * (a + b) + 0.5 * (b - a) * x[i];
            const double z = (u - log(18.3)) / 0.32;
            const double f = 0.5 * (b - a) * w[i] * exp(-0.5 * z * z - 3.0 * u);
            total += f;
            below += part == 0 ? f : 0.0;
        }
    }
    assert_near(below / total, 0.3, 1e-9);
}

static double overlap_by_quadrature(const lev_grit_size *a, const lev_grit_size *b)
{
    const double ma = log(a->median_um), mb = log(b->median_um);
    const double wide = fmax(a->lnsd, b->lnsd), lo = fmin(ma, mb) - 9.0 * wide;
    const double hi = fmax(ma, mb) + 9.0 * wide;
    double sum = 0.0;
    const int n = 200000; /* midpoints: the minimum of two densities has kinks */
    for (int i = 0; i < n; i++) {
        const double u = lo + (hi - lo) * (i + 0.5) / n;
        const double za = (u - ma) / a->lnsd, zb = (u - mb) / b->lnsd;
        sum += fmin(exp(-0.5 * za * za) / a->lnsd, exp(-0.5 * zb * zb) / b->lnsd);
    }
    return sum * (hi - lo) / n / 2.5066282746310002; /* sqrt(2 pi) */
}

static void overlap_meets_its_closed_form_and_quadrature(void **state)
{
    (void)state;
    const lev_grit_size a = {.median_um = 20.0, .lnsd = 0.3, .max_um = INFINITY};
    lev_grit_size b = a;
    assert_near(lev_grit_overlap(&a, &b), 1.0, 1e-15); /* equal: all in common */
    b.median_um = 20.0 * exp(0.3);
    /* Equal spreads: 2 Phi(-|difference| / 2 sd), Inman & Bradley (1989). */
    assert_near(lev_grit_overlap(&a, &b), 2.0 * lev_norm_cdf(-0.5), 1e-12);
    const lev_rng rng = {5};
    for (uint64_t i = 0; i < 6; i++) {
        double u[2];
        lev_rng_uniform2(rng, i, 0, u);
        b.median_um = 20.0 * exp(2.0 * u[0] - 1.0);
        b.lnsd = 0.1 + 0.6 * u[1];
        assert_near_abs(lev_grit_overlap(&a, &b), overlap_by_quadrature(&a, &b), 1e-8);
        assert_near(lev_grit_overlap(&a, &b), lev_grit_overlap(&b, &a), 1e-15);
    }
    b.lnsd = 0.3 * (1.0 + 1e-6); /* nearly equal: both forms meet */
    assert_near(lev_grit_overlap(&a, &b), overlap_by_quadrature(&a, &b), 1e-5);
}

static void a_size_alone_says_that_its_spread_was_assumed(void **state)
{
    (void)state;
    const lev_grit_size s = size_of(&read_ok("9 um").match[0]);
    assert_true((s.notes & LEV_NOTE_NO_SPREAD) != 0);
    assert_true(s.assumption[0] != '\0');
    const lev_grit d46 = read_ok("D46").match[0];
    assert_true((size_of(&d46).notes & LEV_NOTE_DEFAULT) != 0); /* bounds, no share */
    lev_grit_size file;
    const lev_grit f = read_ok("bastard 200 mm").match[0];
    assert_int_equal(lev_grit_size_of(&f, &file, NULL), LEV_E_RANGE);
}

/* ---- equivalents ---- */

static void equivalents_put_tube_beside_tube(void **state)
{
    (void)state;
    lev_grit_alike list[LEV_GRIT_ALIKE];
    lev_error err = {0};
    int n = 0;
    const lev_grit g = grit("P", "P400", "");
    assert_ok(lev_grit_like(&g, "JIS", list, &n, NULL, &err), &err);
    assert_string_equal(list[0].grit.system, "JIS-tube"); /* P is a tube median too */
    assert_string_equal(list[0].grit.label, "#400");      /* 34 against 35 um */
    assert_near(list[0].larger_pct, 100.0 * (34.0 / 35.0 - 1.0), 1e-9);
    assert_int_equal(list[0].notes & LEV_NOTE_METHODS, 0);
    for (int i = 0; i < n; i++)
        assert_true(list[i].overlap >= 0.0 && list[i].overlap <= 1.0);
}

static void equivalents_show_the_gap_between_instruments(void **state)
{
    (void)state;
    lev_grit_alike list[LEV_GRIT_ALIKE];
    lev_error err = {0};
    int n = 0;
    double gap = 0.0;
    const lev_grit f = grit("F", "F1200", ""), p = grit("P", "P1200", "");
    assert_ok(lev_grit_like(&f, "P", list, &n, &gap, &err), &err);
    assert_near(gap, 7.6 / 3.0, 0.02); /* FEPA 42-1: both methods of one powder */
    assert_true((list[0].notes & LEV_NOTE_METHODS) != 0);
    assert_ok(lev_grit_like(&p, "F", list, &n, &gap, &err), &err);
    assert_true(isnan(gap));
}

static void systems_are_close_when_coarse_and_part_when_fine(void **state)
{
    (void)state;
    /* Reported, not judged: facts of the trade. */
    print_message("# grains of a 40 average %g um\n", grit("P", "P40", "").d50_um);
    print_message("# North American 1000 is %g um\n",
                  grit("ANSI-coated", "1000", "").d50_um);
    print_message("# 60 spreads %.2f times, 1000 %.2f times\n", read_ok("60").spread,
                  read_ok("1000").spread);
    print_message("# P220 is %g um, the eye resolves about 73 um at 250 mm\n",
                  grit("P", "P220", "").d50_um);
}

/* ---- unmarked ---- */

static void each_bench_test_narrows_the_unmarked(void **state)
{
    (void)state;
    lev_grit_state s;
    lev_grit_narrowing n;
    lev_error err = {0};
    lev_grit g;
    double w = 0.0;
    lev_grit_identify_begin(&s);
    assert_ok(lev_grit_identify(&s, "backing=paper", &n, &err), &err);
    const int papers = n.remaining;
    assert_ok(lev_grit_identify(&s, "coarser=P240", &n, &err), &err);
    assert_true(n.remaining < papers && !n.contradicts);
    assert_ok(lev_grit_identify(&s, "finer=P150", &n, &err), &err);
    assert_true(n.low_um > 58.5 * exp(-0.4));  /* P240 less two ln-tolerances */
    assert_true(n.high_um < 100.0 * exp(0.4)); /* P150 and two ln-tolerances */
    assert_true(lev_grit_candidate(&s, 0, &g, &w));
    assert_near(w, 1.0, 0.0);
    assert_true(g.d50_um > 58.5 && g.d50_um < 100.0); /* between their medians */
    assert_false(lev_grit_candidate(&s, n.remaining, &g, &w));
}

static void order_of_the_tests_does_not_matter(void **state)
{
    (void)state;
    static const char *const tests[] = {"like=P220", "grains=not-seen",
                                        "backing=cloth"};
    lev_grit_state a, b;
    lev_grit_narrowing n, m;
    lev_grit_identify_begin(&a);
    lev_grit_identify_begin(&b);
    for (int i = 0; i < 3; i++) {
        assert_int_equal(lev_grit_identify(&a, tests[i], &n, NULL), LEV_OK);
        assert_int_equal(lev_grit_identify(&b, tests[2 - i], &m, NULL), LEV_OK);
    }
    assert_int_equal(n.remaining, m.remaining);
    for (int i = 0; i < a.n; i++)
        assert_near_abs(a.weight[i], b.weight[i], 1e-12);
}

static void tests_that_contradict_keep_what_was_known(void **state)
{
    (void)state;
    lev_grit_state s;
    lev_grit_narrowing n;
    lev_grit_identify_begin(&s);
    assert_int_equal(lev_grit_identify(&s, "like=P1500", &n, NULL), LEV_OK);
    const int before = n.remaining;
    assert_int_equal(lev_grit_identify(&s, "size=1 mm", &n, NULL), LEV_OK);
    assert_true(n.contradicts);
    assert_int_equal(n.remaining, before);
    assert_true(strstr(n.text, "fits nothing") != NULL);
    assert_int_equal(lev_grit_identify(&s, "teeth=14", &n, NULL), LEV_OK);
    assert_true(n.contradicts); /* scratches like a grit, so it is no file */
}

static void teeth_find_the_file(void **state)
{
    (void)state;
    lev_grit_state s;
    lev_grit_narrowing n;
    lev_grit g;
    double w = 0.0;
    lev_grit_identify_begin(&s);
    assert_int_equal(lev_grit_identify(&s, "teeth=14", &n, NULL), LEV_OK);
    assert_true(lev_grit_candidate(&s, 0, &g, &w));
    assert_string_equal(g.kind, "file");
    assert_near(g.pitch_um, 10000.0 / 14.0, 0.01); /* 14 teeth on 10 mm */
    lev_grit_identify_begin(&s);
    assert_int_equal(lev_grit_identify(&s, "teeth=35.56/in", &n, NULL), LEV_OK);
    assert_true(lev_grit_candidate(&s, 0, &g, &w));
    assert_near(g.pitch_um, 10000.0 / 14.0, 0.01); /* the same by the inch */
}

static void tests_that_are_none_say_what_would_be(void **state)
{
    (void)state;
    static const char *const bad[] = {"",          "P220",         "smell=bad",
                                      "lines=no",  "lines=-3",     "grains=maybe",
                                      "backing=x", "feel=strange", "teeth=0",
                                      "size=P220", "like=P225",    "coarser=600"};
    lev_grit_state s;
    lev_grit_narrowing n;
    lev_grit_identify_begin(&s);
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        lev_error err = {0};
        assert_true(lev_grit_identify(&s, bad[i], &n, &err) < 0);
        assert_true(err.text[0] != '\0');
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(medians_are_those_of_the_standards),
        cmocka_unit_test(limits_of_a_read_row_are_kept_with_their_shares),
        cmocka_unit_test(the_number_1000_means_four_times_apart),
        cmocka_unit_test(boron_nitride_and_diamond_numbers_are_sieves_plus_one),
        cmocka_unit_test(sieve_numbers_give_the_openings_of_e11),
        cmocka_unit_test(markings_are_read_as_people_write_them),
        cmocka_unit_test(a_letter_or_a_system_ends_the_doubt),
        cmocka_unit_test(micrometres_are_read_with_any_micro_sign),
        cmocka_unit_test(an_aught_means_three_things),
        cmocka_unit_test(wheel_codes_follow_iso_525_and_skip_the_makers_own),
        cmocka_unit_test(unknown_markings_name_their_neighbours),
        cmocka_unit_test(numbers_beyond_the_lists_come_with_a_warning),
        cmocka_unit_test(every_label_reads_back_to_its_own_row),
        cmocka_unit_test(bare_sizes_and_files_are_found_by_key_too),
        cmocka_unit_test(blanks_case_and_idle_words_change_nothing),
        cmocka_unit_test(random_bytes_never_give_half_a_reading),
        cmocka_unit_test(hatch_choate_meets_worked_values),
        cmocka_unit_test(the_fit_passes_through_limits_that_lie_on_a_line),
        cmocka_unit_test(quantiles_undo_the_share_below),
        cmocka_unit_test(number_quantiles_follow_from_volume_over_size_cubed),
        cmocka_unit_test(overlap_meets_its_closed_form_and_quadrature),
        cmocka_unit_test(a_size_alone_says_that_its_spread_was_assumed),
        cmocka_unit_test(equivalents_put_tube_beside_tube),
        cmocka_unit_test(equivalents_show_the_gap_between_instruments),
        cmocka_unit_test(systems_are_close_when_coarse_and_part_when_fine),
        cmocka_unit_test(each_bench_test_narrows_the_unmarked),
        cmocka_unit_test(order_of_the_tests_does_not_matter),
        cmocka_unit_test(tests_that_contradict_keep_what_was_known),
        cmocka_unit_test(teeth_find_the_file),
        cmocka_unit_test(tests_that_are_none_say_what_would_be),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
