/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Markings, against the published tables. */
#include "grit_scene.h"

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
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
