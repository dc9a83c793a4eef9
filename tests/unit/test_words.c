/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers as people act on them, and the cautions a piece of work calls up. */
#include "unit.h"

#include <string.h>

#include "app_caution.h"
#include "app_words.h"

static void says(lev_text *t, const char *want)
{
    assert_string_equal(lev_text_get(t), want);
    lev_text_release(t);
}

static void times_are_rounded_as_people_act(void **state)
{
    (void)state;
    static const struct {
        double s;
        const char *words;
    } rows[] = {{3, "5 s"},     {44, "40 s"},         {100, "1.5 min"},
                {290, "5 min"}, {890, "14 min"},      {2030, "35 min"},
                {3600, "1 h"},  {5100, "1 h 30 min"}, {7260, "2 h"},
                {36000, "10 h"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        lev_text t = {0};
        lev_words_time(&t, rows[i].s);
        says(&t, rows[i].words);
    }
}

static void spreads_are_told_without_quantile_names(void **state)
{
    (void)state;
    lev_text t = {0};
    /* log-normal, median 6 min, log-sd 0.35: quantiles at 20, 80 and 90 % are 4.5, 8.1
     * and 9.4 min (closed form) */
    lev_words_time_spread(&t, lev_spread_lognormal(360.0, 0.35));
    says(&t, "usually 4 to 8 min, 1 in 10 takes over 9 min");
    lev_words_time_spread(&t, lev_spread_lognormal(360.0, 0.0));
    says(&t, "about 6 min");
}

static void depths_come_with_a_likeness(void **state)
{
    (void)state;
    lev_text t = {0};
    lev_words_depth_like(&t, 63.0, LEV_UNITS_METRIC);
    says(&t, "63 um, about a hair");
    lev_words_depth(&t, 7.6, LEV_UNITS_METRIC);
    says(&t, "8 um");
    lev_words_depth(&t, 25.4, LEV_UNITS_INCH);
    says(&t, "0.001 in"); /* exact: 25.4 um to the thousandth */
}

static void paper_is_told_to_a_quarter_sheet(void **state)
{
    (void)state;
    lev_text t = {0};
    lev_words_sheets(&t, 0.1, "sheet");
    says(&t, "1/4 sheet");
    lev_words_sheets(&t, 1.3, "sheet");
    says(&t, "1 1/2 sheets");
    lev_words_sheets(&t, 2.0, "disc");
    says(&t, "2 discs");
}

static void money_follows_the_currency(void **state)
{
    (void)state;
    lev_text t = {0};
    lev_words_money(&t, 1230, "EUR");
    says(&t, "12.30 EUR");
    lev_words_money(&t, 1230, "JPY"); /* ISO 4217: no minor unit */
    says(&t, "1230 JPY");
}

static bool among(const lev_row_safety *const rows[], int n, const char *id)
{
    for (int i = 0; i < n; i++)
        if (strcmp(rows[i]->id, id) == 0)
            return true;
    return false;
}

static int collect(const char *material, const char *family, const char *drive,
                   bool wet, const char *next,
                   const lev_row_safety *out[LEV_CAUTIONS_MAX])
{
    lev_work_words w = {0};
    lev_work_material_id(&w, material, family);
    lev_work_drive(&w, drive, wet);
    lev_work_next(&w, next);
    return lev_cautions(&w, out);
}

static void cautions_come_danger_first_and_fit_the_work(void **state)
{
    (void)state;
    const lev_row_safety *rows[LEV_CAUTIONS_MAX];
    int n = collect("al_6061", "metal", "belt", false, "none", rows);
    assert_string_equal(rows[0]->severity, "danger");
    assert_true(among(rows, n, "S010") &&
                among(rows, n, "S011")); /* 29 CFR, NFPA rows */
    assert_false(among(rows, n, "S001"));
    int order = 0;
    for (int i = 0; i < n; i++) {
        const int now = strcmp(rows[i]->severity, "danger") == 0    ? 0
                        : strcmp(rows[i]->severity, "warning") == 0 ? 1
                                                                    : 2;
        assert_true(now >= order);
        order = now;
    }
    n = collect("w_walnut", "wood", "orbital", false, "oil", rows);
    assert_true(among(rows, n, "S001") && among(rows, n, "S003"));
    assert_true(among(rows, n, "S042")); /* oily rags */
    assert_false(among(rows, n, "S010"));
    n = collect("brass_360", "metal", "hand-plate", true, "lacquer", rows);
    assert_true(among(rows, n, "S020"));  /* lead */
    assert_false(among(rows, n, "S067")); /* no mains tool by hand */
    n = collect("cu_be", "metal", "hand-wood", false, "none", rows);
    assert_string_equal(rows[0]->id, "S019"); /* beryllium before everything */
}

static void dangers_of_a_circumstance_wait_until_it_is_named(void **state)
{
    (void)state;
    const lev_row_safety *rows[LEV_CAUTIONS_MAX];
    lev_work_words w = {0};
    lev_work_material_id(&w, "steel_1095_hard", "metal");
    lev_work_drive(&w, "hand-plate", false);
    assert_false(among(rows, lev_cautions(&w, rows), "S083")); /* radium */
    lev_work_said(&w, "bracket clock no. 7");
    lev_work_said(&w, "minute-hand");
    const int n = lev_cautions(&w, rows);
    assert_true(among(rows, n, "S083") && among(rows, n, "S084")); /* mainspring */
}

static void some_faces_are_left_alone(void **state)
{
    (void)state;
    assert_non_null(lev_leave_alone("brass_260", "Fire-Gilt, signed"));
    assert_non_null(lev_leave_alone("silver_plate", ""));
    assert_null(lev_leave_alone("brass_260", "rolled"));
    assert_null(lev_leave_alone("w_walnut", ""));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(times_are_rounded_as_people_act),
        cmocka_unit_test(spreads_are_told_without_quantile_names),
        cmocka_unit_test(depths_come_with_a_likeness),
        cmocka_unit_test(paper_is_told_to_a_quarter_sheet),
        cmocka_unit_test(money_follows_the_currency),
        cmocka_unit_test(cautions_come_danger_first_and_fit_the_work),
        cmocka_unit_test(dangers_of_a_circumstance_wait_until_it_is_named),
        cmocka_unit_test(some_faces_are_left_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
