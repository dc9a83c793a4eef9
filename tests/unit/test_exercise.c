/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Exercises: codes from a seed, guesses as factors, the spread of a class. */
#include "unit.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "app_exercise.h"

static char path[40];
static lev_shop shop;

static int open_shop(void **state)
{
    (void)state;
    lev_error err = {0};
    (void)snprintf(path, sizeof path, "%s", "/tmp/levigate-teach-XXXXXX");
    if (close(mkstemp(path)) != 0)
        return -1;
    return lev_shop_open(path, true, 1000, &shop, &err) < 0;
}

static int close_shop(void **state)
{
    (void)state;
    char beside[60];
    lev_shop_close(&shop);
    (void)snprintf(beside, sizeof beside, "%s-wal", path);
    (void)unlink(beside);
    return unlink(path);
}

static void a_seed_makes_the_same_codes_and_another_seed_others(void **state)
{
    (void)state;
    lev_exercise a, b, c;
    lev_error err = {0};
    for (int k = 0; k < LEV_TAB_EXERCISE_N; k++) {
        assert_ok(lev_exercise_make(lev_tab_exercise[k].id, 7, &a, &err), &err);
        assert_ok(lev_exercise_make(lev_tab_exercise[k].id, 7, &b, &err), &err);
        assert_ok(lev_exercise_make(lev_tab_exercise[k].id, 8, &c, &err), &err);
        assert_true(a.coupons >= 2);
        int same = 0;
        for (int i = 0; i < a.coupons; i++) {
            assert_string_equal(a.coupon[i].code, b.coupon[i].code);
            assert_near(a.coupon[i].truth, b.coupon[i].truth, 1e-15);
            same += strcmp(a.coupon[i].code, c.coupon[i].code) == 0;
            if (i > 0) /* ordered by code, so the order tells nothing; all differ */
                assert_true(strcmp(a.coupon[i - 1].code, a.coupon[i].code) < 0);
        }
        assert_true(same < a.coupons);
    }
    assert_int_equal(lev_exercise_make("one-hare", 1, &a, &err), LEV_E_UNKNOWN);
    assert_non_null(strstr(err.text, "one-hair"));
}

static void one_hair_weighs_density_times_area_times_depth(void **state)
{
    (void)state;
    lev_exercise x;
    lev_error err = {0};
    assert_ok(lev_exercise_make("one-hair", 3, &x, &err), &err);
    double least = HUGE_VAL, most = 0.0;
    for (int i = 0; i < x.coupons; i++) {
        least = fmin(least, x.coupon[i].truth);
        most = fmax(most, x.coupon[i].truth);
    }
    /* brass 8522 kg/m3, beech 717 kg/m3 (rows of data/material); 50 mm x 25 mm x 60 um
     */
    assert_near(most, 8522.0 * 0.05 * 0.025 * 60e-6 * 1e6, 1e-9);
    assert_near(least, 717.0 * 0.05 * 0.025 * 60e-6 * 1e6, 1e-9);
}

static double truth_of(const lev_exercise *x, const char *words)
{
    for (int i = 0; i < x->coupons; i++)
        if (strstr(x->coupon[i].words, words) != NULL)
            return x->coupon[i].truth;
    fail();
    return 0.0;
}

static void flour_settles_as_stokes_has_it(void **state)
{
    (void)state;
    lev_exercise x;
    lev_error err = {0};
    assert_ok(lev_exercise_make("settling", 3, &x, &err), &err);
    /* Stokes 1851: v = (rho_s - rho_w) g d^2 / (18 eta); F600 has 9.3 um (FEPA F),
     * alumina 3950 kg/m3, water 998.2 kg/m3 and 1.002 mPa s; 100 mm at that speed */
    const double v = (3950.0 - 998.2) * 9.80665 * 9.3e-6 * 9.3e-6 / (18.0 * 1.002e-3);
    assert_near(truth_of(&x, "F600"), 0.1 / v, 1e-9);
    assert_true(truth_of(&x, "F280") < truth_of(&x, "F400"));
}

static void by_steps_is_quicker_and_finer_lines_read_farther(void **state)
{
    (void)state;
    lev_exercise x;
    lev_error err = {0};
    assert_ok(lev_exercise_make("two-ways", 3, &x, &err), &err);
    /* common practice, no source: a jump over several grits takes longer than the steps
     */
    assert_true(truth_of(&x, "P150") < truth_of(&x, "lines, P400"));
    assert_ok(lev_exercise_make("reading-lift", 3, &x, &err), &err);
    /* common practice, no source: finer grits reflect from farther off */
    assert_true(truth_of(&x, "P400") < truth_of(&x, "P800"));
    assert_true(truth_of(&x, "P800") < truth_of(&x, "P2500"));
}

static void guess(int64_t id, int sheet, int round, const lev_exercise *x,
                  double factor)
{
    char word[LEV_EXERCISE_COUPONS][40];
    const char *words[LEV_EXERCISE_COUPONS];
    lev_error err = {0};
    for (int i = 0; i < x->coupons; i++) {
        (void)snprintf(word[i], sizeof word[i], "%s=%.12g", x->coupon[i].code,
                       x->coupon[i].truth * factor);
        words[i] = word[i];
    }
    assert_ok(lev_exercise_guess(&shop, id, sheet, round, words, x->coupons, &err),
              &err);
}

static void a_class_is_scored_by_factors_and_learning_halves_the_error(void **state)
{
    (void)state;
    lev_exercise x;
    lev_exercise_score s;
    lev_error err = {0};
    const char *unsure[1];
    char word[16];
    assert_ok(lev_exercise_make("planted-line", 11, &x, &err), &err);
    assert_ok(lev_exercise_keep(&shop, &x, &err), &err);
    guess(x.id, 1, 1, &x, 4.0);
    guess(x.id, 2, 1, &x, 0.25);
    guess(x.id, 3, 1, &x, 4.0);
    assert_ok(lev_exercise_mark(&shop, x.id, &s, &err), &err);
    assert_near(s.round[0].factor, 4.0,
                1e-9);                       /* twice too large is as far off as half */
    assert_near(s.round[0].bias, 4.0, 1e-9); /* two sheets of three guessed high */
    assert_int_equal(s.round[0].sheets, 3);
    assert_false(s.halved);
    guess(x.id, 1, 2, &x, 2.0);
    guess(x.id, 2, 2, &x, 0.5);
    (void)snprintf(word, sizeof word, "%s=?", x.coupon[0].code);
    unsure[0] = word;
    assert_ok(lev_exercise_guess(&shop, x.id, 3, 2, unsure, 1, &err), &err);
    assert_ok(lev_exercise_mark(&shop, x.id, &s, &err), &err);
    assert_near(s.round[1].factor, 2.0, 1e-9); /* ln 2 is half of ln 4 */
    assert_true(s.halved);
    assert_int_equal(s.round[1].unsure, 1);
    assert_int_equal(s.round[1].sheets, 2);
    assert_near(s.coupon_factor[0][2], 4.0, 1e-9);
}

static void wrong_guesses_are_refused_and_none_of_them_stays(void **state)
{
    (void)state;
    lev_exercise x;
    lev_exercise_score s;
    lev_error err = {0};
    char good[20];
    static const char *const bad[] = {"",      "AB2", "AB2=",         "AB2=-1",
                                      "AB2=x", "=3",  "TOOLONGCODE=3"};
    assert_ok(lev_exercise_make("same-number", 5, &x, &err), &err);
    assert_ok(lev_exercise_keep(&shop, &x, &err), &err);
    (void)snprintf(good, sizeof good, "%s=20", x.coupon[0].code);
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        const char *const words[] = {good, bad[i]};
        assert_int_equal(lev_exercise_guess(&shop, x.id, 1, 1, words, 2, &err),
                         LEV_E_USAGE);
    }
    const char *const none[] = {good, "II1=3"};
    assert_int_equal(lev_exercise_guess(&shop, x.id, 1, 1, none, 2, &err),
                     LEV_E_UNKNOWN);
    assert_ok(lev_exercise_mark(&shop, x.id, &s, &err), &err);
    assert_int_equal(s.round[0].guesses, 0);
    assert_int_equal(lev_exercise_mark(&shop, 99, &s, &err), LEV_E_UNKNOWN);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_seed_makes_the_same_codes_and_another_seed_others),
        cmocka_unit_test(one_hair_weighs_density_times_area_times_depth),
        cmocka_unit_test(flour_settles_as_stokes_has_it),
        cmocka_unit_test(by_steps_is_quicker_and_finer_lines_read_farther),
        cmocka_unit_test_setup_teardown(
            a_class_is_scored_by_factors_and_learning_halves_the_error, open_shop,
            close_shop),
        cmocka_unit_test_setup_teardown(
            wrong_guesses_are_refused_and_none_of_them_stays, open_shop, close_shop),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
