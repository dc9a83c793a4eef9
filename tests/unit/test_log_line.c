/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One line of the log: what people write, and what cannot be. */
#include "unit.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "app_log_line.h"
#include "rng.h"

static lev_log_line line_of(const char *text)
{
    lev_log_line l = {.number = 0};
    lev_error err = {0};
    assert_ok(lev_log_line_read(text, false, false, &l, &err), &err);
    return l;
}

static void times_are_read_as_people_write_them(void **state)
{
    (void)state;
    static const struct {
        const char *words;
        double time_s; /* by the length of an hour and a minute */
        bool about;
    } cases[] = {{"10m", 600, false},         {"~10m", 600, true},
                 {"~ 10 min", 600, true},     {"about 10 minutes", 600, true},
                 {"1h20", 4800, false},       {"1h20m", 4800, false},
                 {"1 h 20 min", 4800, false}, {"2h", 7200, false},
                 {"1.5 h", 5400, false},      {"90s", 90, false},
                 {"9:10-9:45", 2100, false},  {"23:50-0:10", 1200, false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[80];
        (void)snprintf(text, sizeof text, "RB case-side 3 %s", cases[i].words);
        const lev_log_line l = line_of(text);
        assert_string_equal(l.who, "RB");
        assert_string_equal(l.face, "case-side");
        assert_int_equal(l.number, 3);
        assert_near(l.work_s, cases[i].time_s, 1e-12);
        assert_int_equal(l.about, cases[i].about);
    }
}

static void hours_do_not_swallow_what_follows(void **state)
{
    (void)state;
    const lev_log_line l = line_of("RB f 1 1h 2 sheets");
    assert_near(l.work_s, 3600.0, 1e-12);
    assert_near(l.sheets, 2.0, 1e-12);
}

static void pauses_are_no_work(void **state)
{
    (void)state;
    const lev_log_line span = line_of("RB f 1 9:00-10:00 pause 15m pause 5m");
    assert_near(span.work_s, 2400.0, 1e-12); /* 60 less 20 min */
    assert_near(span.pause_s, 1200.0, 1e-12);
    const lev_log_line told = line_of("RB f 1 40m pause 20m");
    assert_near(told.work_s, 2400.0, 1e-12); /* a time that is told is work */
}

static void paper_is_read_in_pieces_and_parts(void **state)
{
    (void)state;
    static const struct {
        const char *words;
        double sheets;
    } cases[] = {{"2 sheets", 2},        {"1/4 sheet", 0.25}, {"1 1/2 sheets", 1.5},
                 {"0.5 sheet", 0.5},     {"3 discs", 3},      {"half a sheet", 0.5},
                 {"quarter sheet", 0.25}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[80];
        (void)snprintf(text, sizeof text, "f 12 %s", cases[i].words);
        const lev_log_line l = line_of(text);
        assert_int_equal(l.number, 12); /* never eaten by the fraction behind it */
        assert_string_equal(l.who, "");
        assert_near(l.sheets, cases[i].sheets, 1e-12);
    }
}

static void weights_are_read_with_what_the_scale_shows(void **state)
{
    (void)state;
    static const char *const same[] = {"12.3g>11.9g", "12.3g->11.9g",   "12.3>11.9g",
                                       "12.3g>11.9",  "12.3g to 11.9g", "12.3 g 11.9 g",
                                       "12.3g-11.9g", "12.3 > 11.9 g"};
    for (size_t i = 0; i < sizeof same / sizeof *same; i++) {
        char text[80];
        (void)snprintf(text, sizeof text, "RB f 2 %s 5m", same[i]);
        const lev_log_line l = line_of(text);
        assert_near(l.before_g, 12.3, 1e-12);
        assert_near(l.after_g, 11.9, 1e-12);
        assert_near(l.lost_g, 0.4, 1e-9);
        assert_near(l.weight_step_g, 0.1, 1e-12);
        assert_near(l.work_s, 300.0, 1e-12);
    }
    const lev_log_line lost = line_of("RB f 2 lost 0.042 g");
    assert_near(lost.lost_g, 0.042, 1e-12);
    assert_near(lost.weight_step_g, 0.001, 1e-12);
}

static void readings_verdicts_and_words_stand_in_any_order(void **state)
{
    (void)state;
    const lev_log_line l = line_of("RB f 2 next-grit Ra0.4, Rz = 3.1um gloss 45 off "
                                   "0.012mm ; Ra by the window; ok");
    assert_near(l.ra_um, 0.4, 1e-12);
    assert_near(l.rz_um, 3.1, 1e-12);
    assert_near(l.gloss_gu, 45.0, 1e-12);
    assert_near(l.off_um, 12.0, 1e-12);
    assert_string_equal(l.verdict, "next-grit");
    assert_string_equal(l.words, "Ra by the window; ok");
    assert_string_equal(line_of("f 2 Cannot tell").verdict, "cannot-tell");
    assert_near(line_of("f 2 Ra 16 uin").ra_um, 0.4064, 1e-9); /* 0.0254 um each */
    assert_true(line_of("f 2 9h sure").sure);
}

static void the_page_may_write_a_comma_and_leave_the_head_out(void **state)
{
    (void)state;
    lev_log_line l;
    lev_error err = {0};
    assert_ok(lev_log_line_read("~10m 12,3g>11,9g Ra 0,4", true, true, &l, &err), &err);
    assert_near(l.lost_g, 0.4, 1e-9);
    assert_near(l.ra_um, 0.4, 1e-12);
    assert_int_equal(lev_log_line_read("Ra 0,4", true, false, &l, &err), LEV_E_USAGE);
    assert_non_null(strstr(err.text, "decimal point"));
}

static void refuse(const char *text, lev_status st, const char *word)
{
    lev_log_line l;
    lev_error err = {0};
    assert_int_equal(lev_log_line_read(text, false, false, &l, &err), st);
    if (strstr(err.text, word) == NULL)
        print_error("%s: %s\n", text, err.text);
    assert_non_null(strstr(err.text, word));
    assert_null(strchr(err.text, '\n'));
}

static void what_cannot_be_is_refused_in_one_line(void **state)
{
    (void)state;
    /* Rt >= Rz and Rq >= Ra by the definitions of ISO 21920-2; Rz >= 2 Ra since a mean
     * deviation about the mean is at most half the height */
    refuse("f 1 Rz 3 Rt 2", LEV_E_RANGE, "Rt 2 below Rz 3");
    refuse("f 1 Ra 0.5 Rq 0.4", LEV_E_RANGE, "Rq 0.4 below Ra 0.5");
    refuse("f 1 Ra 3 Rz 4", LEV_E_RANGE, "Rz 4 below twice Ra 3");
    refuse("f 1 0m", LEV_E_RANGE, "no minutes");
    refuse("f 1 9:10-9:10", LEV_E_RANGE, "no minutes");
    refuse("f 1 9:00-9:10 pause 10m", LEV_E_RANGE, "pause");
    refuse("f 1 11.9g>12.3g", LEV_E_RANGE, "swapped");
    refuse("f 1 Ra 0", LEV_E_RANGE, "more than 0");
    refuse("f 1 gloss 5000", LEV_E_RANGE, "between 0 and 2000");
    refuse("f 1 1e999m", LEV_E_RANGE, "million");
    refuse("f 1 300h sure", LEV_E_RANGE, "more than a week");
    refuse("f 0 5m", LEV_E_USAGE, "from 1");
    refuse("f 1", LEV_E_USAGE, "says nothing");
    refuse("", LEV_E_USAGE, "begins with who");
    refuse("5m", LEV_E_USAGE, "begins with who");
    refuse("a b c d 5m", LEV_E_USAGE, "begins with who");
    refuse("f 1 nxt-grit", LEV_E_USAGE, "did you mean next-grit");
    refuse("f 1 5m 6m", LEV_E_USAGE, "twice");
    refuse("f 1 12", LEV_E_USAGE, "12 of what");
    refuse("f 1 12.3g", LEV_E_USAGE, "write both");
    refuse("f 1 next-grit keep-at-it", LEV_E_USAGE, "two verdicts");
    refuse("f 1 ~", LEV_E_USAGE, "before a time");
    refuse("f 1 5m \x01", LEV_E_FORMAT, "no text");
}

/* 1296 readings of turned shafts: M. C. Pereira et al., repository AISI12L14, CC
 * BY 4.0. Counted apart with a spreadsheet's rules: Rt below Rz in 4 rows, Rq below Ra
 * in 2, Rz below twice Ra in 8, at least one of them in 12. */
static void typing_errors_of_a_published_set_are_found_and_nothing_else(void **state)
{
    (void)state;
    char path[1000], row[300], text[200];
    const char *folder = getenv("GOLDEN");
    int rows = 0, refused = 0;
    assert_non_null(folder);
    (void)snprintf(path, sizeof path, "%s/metrology/data/turned_steel_parameters.csv",
                   folder);
    FILE *f = fopen(path, "r");
    assert_non_null(f);
    while (fgets(row, sizeof row, f) != NULL) {
        double ra, rz, rq, rt;
        lev_log_line l;
        lev_error err = {0};
        if (sscanf(row,
                   "%*[^,],%*[^,],%*[^,],%*[^,],%*[^,],%*[^,],%*[^,],%*[^,],"
                   "%lf,%lf,%lf,%lf",
                   &ra, &rz, &rq, &rt) != 4)
            continue;
        rows++;
        (void)snprintf(text, sizeof text, "f 1 Ra %.6g Rz %.6g Rq %.6g Rt %.6g", ra, rz,
                       rq, rt);
        const lev_status st = lev_log_line_read(text, false, false, &l, &err);
        assert_true(st == LEV_OK || st == LEV_E_RANGE);
        refused += st == LEV_E_RANGE;
    }
    assert_int_equal(fclose(f), 0);
    assert_int_equal(rows, 1296);
    assert_int_equal(refused, 12);
}

static void no_line_however_cut_or_shuffled_breaks_the_reader(void **state)
{
    (void)state;
    static const char full[] =
        "RB case-side 3 ~1h20 pause 5m 1 1/2 sheets 12.3g>11.9g Ra 0.4 Rz 3.1um gloss "
        "45 off 12um next-grit sure; words 9:10-9:45 \xC2\xB5m";
    const lev_rng rng = {20260102};
    lev_log_line l;
    lev_error err;
    char text[sizeof full];
    for (size_t n = 0; n < sizeof full; n++) { /* cut at each byte */
        memcpy(text, full, n);
        text[n] = '\0';
        const lev_status st = lev_log_line_read(text, false, false, &l, &err);
        assert_true(st == LEV_OK || st == LEV_E_USAGE || st == LEV_E_RANGE ||
                    st == LEV_E_FORMAT);
    }
    for (uint64_t k = 0; k < 20000; k++) { /* any byte anywhere */
        memcpy(text, full, sizeof full);
        for (uint64_t i = 0; i < 4; i++) {
            const double where = lev_rng_uniform(rng, k, 2 * i);
            const double what = lev_rng_uniform(rng, k, 2 * i + 1);
            text[(size_t)(where * (sizeof full - 1))] = (char)(1.0 + what * 126.0);
        }
        (void)lev_log_line_read(text, false, k % 2 == 0, &l, &err);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(times_are_read_as_people_write_them),
        cmocka_unit_test(hours_do_not_swallow_what_follows),
        cmocka_unit_test(pauses_are_no_work),
        cmocka_unit_test(paper_is_read_in_pieces_and_parts),
        cmocka_unit_test(weights_are_read_with_what_the_scale_shows),
        cmocka_unit_test(readings_verdicts_and_words_stand_in_any_order),
        cmocka_unit_test(the_page_may_write_a_comma_and_leave_the_head_out),
        cmocka_unit_test(what_cannot_be_is_refused_in_one_line),
        cmocka_unit_test(typing_errors_of_a_published_set_are_found_and_nothing_else),
        cmocka_unit_test(no_line_however_cut_or_shuffled_breaks_the_reader),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
