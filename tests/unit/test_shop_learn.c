/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the log teaches: facts, factors, and plans made with them. */
#include "shop_scene.h"

#include "app_factor.h"

enum { DAY_S = 86400 };

/* ---- facts ---- */

static lev_store_step planned(void)
{
    lev_store_step s = lev_shop_step_none();
    s.kind = "grit";
    s.family = "metal";
    s.predicted_s = 600;
    s.predicted_um = 10;
    s.predicted_sheets = 1;
    s.predicted_ra_um = 0.4;
    s.entries = 0;
    s.done_s = s.done_sheets = s.done_um = NAN;
    return s;
}

static lev_store_entry entry(double work_s, const char *verdict)
{
    return (lev_store_entry){.work_s = work_s,
                             .pause_s = NAN,
                             .sheets = NAN,
                             .before_g = NAN,
                             .after_g = NAN,
                             .off_um = NAN,
                             .ra_um = NAN,
                             .gloss_gu = NAN,
                             .verdict = verdict};
}

static void facts_compare_with_the_bare_model(void **state)
{
    (void)state;
    lev_store_fact f[LEV_QUANTITY_N];
    lev_store_step s = planned();
    lev_store_entry e = entry(300, "next-grit");
    assert_int_equal(lev_log_facts(&s, &e, NAN, NAN, false, true, f), 1);
    assert_near(f[0].ln_ratio, log(2.0), 1e-12); /* twice as fast as planned */
    s.removal_factor = 2.0; /* ... and the plan had that in it already */
    s.done_s = 300;
    assert_int_equal(lev_log_facts(&s, &e, NAN, NAN, false, true, f), 1);
    assert_near(f[0].ln_ratio, log(2.0), 1e-12);
    assert_near(f[0].variance, 0.0, 0.0);
    /* a guess: sd ln(1.3)/1.2816 of 8 in 10, and steps of 5 min, over 10 min in all */
    assert_int_equal(lev_log_facts(&s, &e, NAN, NAN, true, true, f), 1);
    assert_near(f[0].variance,
                pow(log(1.3) / 1.2815515655446004, 2) + 300.0 * 300.0 / 12 / 600 / 600,
                1e-9);
    assert_int_equal(lev_log_facts(&s, &e, NAN, NAN, false, false, f), 0);
    s.verdict = "next-grit"; /* cleared before: a second look is no second clearing */
    assert_int_equal(lev_log_facts(&s, &e, NAN, NAN, false, true, f), 0);
    s.verdict = "";
    e.verdict = "keep-at-it";
    assert_int_equal(lev_log_facts(&s, &e, NAN, NAN, false, true, f), 0);
    s.kind = "grain"; /* counted strokes say nothing about removal */
    e.verdict = "next-grit";
    assert_int_equal(lev_log_facts(&s, &e, NAN, NAN, false, true, f), 0);
}

static void the_scale_says_the_rate_at_any_verdict(void **state)
{
    (void)state;
    lev_store_fact f[LEV_QUANTITY_N];
    const lev_store_step s = planned();
    lev_store_entry e = entry(300, "");
    e.off_um = 2.5; /* half the planned rate of 10 um in 10 min */
    assert_int_equal(lev_log_facts(&s, &e, 0.1, 0.4, false, true, f), 1);
    assert_near(f[0].ln_ratio, log(0.5), 1e-12);
    /* two readings of a scale of 0.1 g, each even over its step: 2 (0.1/0.4)^2 / 12 */
    assert_near(f[0].variance, 2.0 * 0.0625 / 12.0, 1e-12);
}

static void paper_and_readings_teach_life_and_texture(void **state)
{
    (void)state;
    lev_store_fact f[LEV_QUANTITY_N];
    lev_store_step s = planned();
    lev_store_entry e = entry(NAN, "next-grit");
    e.sheets = 2;
    e.ra_um = 0.8;
    assert_int_equal(lev_log_facts(&s, &e, NAN, NAN, false, false, f), 2);
    assert_int_equal(f[0].quantity, LEV_QUANTITY_LIFE);
    assert_near(f[0].ln_ratio, log(0.5), 1e-12);
    assert_int_equal(f[1].quantity, LEV_QUANTITY_TEXTURE);
    assert_near(f[1].ln_ratio, log(2.0), 1e-12);
    s.predicted_sheets = 0.1; /* a torn quarter where a tenth was planned: no news */
    e.sheets = 0.25;
    assert_int_equal(lev_log_facts(&s, &e, NAN, NAN, false, false, f), 1);
    assert_int_equal(f[0].quantity, LEV_QUANTITY_TEXTURE);
}

/* ---- factors and plans ---- */

static double plan_time_s(const lev_shop *shop, const char *who, double *from_log)
{
    lev_shop_factors *factors = NULL;
    lev_job j = {0};
    lev_plan_answer a = {0};
    lev_error err = {0};
    const char *text = job_text(100, 80, "");
    assert_ok(lev_shop_read_job("job", text, strlen(text), &j, &err), &err);
    if (shop != NULL)
        assert_ok(lev_shop_factors_read(shop, &factors, &err), &err);
    const lev_plan_from from = {.factors = factors, .who = who};
    assert_ok(lev_app_plan_from(&j, &from, &a, &err), &err);
    assert_true(a.all_feasible);
    const double time_s = a.face[0].result.ladder[0].time_s.p50;
    *from_log = a.face[0].from_log;
    lev_plan_answer_release(&a);
    lev_shop_factors_free(factors);
    lev_job_release(&j);
    return time_s;
}

static void an_empty_log_changes_no_plan(void **state)
{
    (void)state;
    lev_shop shop = open_shop();
    double share = -1.0;
    const double alone = plan_time_s(NULL, "", &share);
    assert_near(share, 0.0, 0.0);
    assert_near(plan_time_s(&shop, "RB", &share), alone, 1e-12);
    assert_near(share, 0.0, 0.0);
    lev_shop_close(&shop);
}

static void start_many(const lev_shop *shop, int from, int n, double times)
{
    char name[20];
    for (int i = from; i < from + n; i++) {
        (void)snprintf(name, sizeof name, "piece-%d", i);
        do_job(shop, LEV_SHOP_JOB_ADD, name, job_text(100, 80, ""));
        const lev_shop_job_ask start = {
            .act = LEV_SHOP_JOB_START, .name = name, .no_log = true};
        lev_shop_job_answer a = job(shop, &start);
        lev_shop_job_answer_release(&a);
        log_times(shop, name, times, "sure");
    }
}

static void a_slow_shop_is_learned_and_planned_for(void **state)
{
    (void)state;
    lev_shop shop = open_shop();
    double share = 0.0;
    const double alone = plan_time_s(NULL, "", &share);
    start_many(&shop, 0, 8, 1.6);
    lev_shop_steps s = steps_of(&shop, "piece-0");
    const lev_factor f = factor_of(&shop, &s.step[s.n - 1], LEV_QUANTITY_REMOVAL, "RB");
    assert_int_equal(f.same, 8);
    /* 8 equal entries, noise 0.25 against a prior of 0.55: within 10 % of the truth */
    assert_near(f.factor, 1.0 / 1.6, 0.10);
    assert_true(f.factor_band.p10 < 1.0 / 1.6 && f.factor_band.p90 > 1.0 / 1.6);
    const double taught = plan_time_s(&shop, "RB", &share);
    assert_true(taught > 1.2 * alone);
    assert_true(share > 0.5 && share < 1.0);
    lev_shop_steps_release(&s);
    lev_shop_close(&shop);
}

static void one_bad_entry_cannot_wreck_a_plan(void **state)
{
    (void)state;
    lev_shop shop = open_shop();
    double share = 0.0;
    const double alone = plan_time_s(NULL, "", &share);
    /* the very first entry says a hundred times too long */
    start_many(&shop, 0, 1, 100.0);
    const double after_first = plan_time_s(&shop, "RB", &share);
    print_message("# plan alone %.0f s, after one wild first entry %.0f s\n", alone,
                  after_first);
    assert_true(after_first < 2.0 * alone);
    /* and among six sound ones it moves next to nothing */
    start_many(&shop, 1, 6, 1.0);
    const double sound = plan_time_s(&shop, "RB", &share);
    print_message("# with six sound ones %.0f s\n", sound);
    assert_near(sound, alone, 0.15);
    lev_factor_answer a = {.entries = 0};
    lev_error err = {0};
    assert_ok(lev_app_factor(&shop, &(lev_factor_ask){.quantity = ""}, &a, &err), &err);
    assert_int_equal(a.entries, 7);
    assert_int_equal(a.odds, 1); /* and the person is told which one */
    assert_near(a.odd[0].actual_over_model, 0.01, 1e-6);
    lev_factor_answer_release(&a);
    lev_shop_close(&shop);
}

static void what_was_planned_and_what_was_draw_nearer_by_the_month(void **state)
{
    (void)state;
    lev_shop shop = open_shop();
    lev_factor_answer a = {.entries = 0};
    lev_error err = {0};
    for (int month = 0; month < 3; month++) {
        shop.now_s = START_S + (int64_t)(10 + 31 * month) * DAY_S;
        start_many(&shop, 4 * month, 4, 1.5);
    }
    assert_ok(lev_app_factor(&shop, &(lev_factor_ask){.quantity = "removal"}, &a, &err),
              &err);
    assert_int_equal(a.months, 3);
    for (ptrdiff_t i = 0; i < 3; i++) {
        assert_int_equal(a.month[i].entries, 4);
        assert_near(a.month[i].model_times, 1.5, 1e-5); /* the model never learns */
        assert_true(i == 0 || a.month[i].log_times < a.month[i - 1].log_times);
    }
    assert_near(a.month[0].log_times, 1.5, 1e-5); /* nothing known yet */
    assert_true(a.month[2].log_times < 1.1);
    lev_factor_answer_release(&a);
    lev_shop_close(&shop);
}

int main(void)
{
    lev_json_init();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(facts_compare_with_the_bare_model),
        cmocka_unit_test(the_scale_says_the_rate_at_any_verdict),
        cmocka_unit_test(paper_and_readings_teach_life_and_texture),
        IN_FOLDER(an_empty_log_changes_no_plan),
        IN_FOLDER(a_slow_shop_is_learned_and_planned_for),
        IN_FOLDER(one_bad_entry_cannot_wreck_a_plan),
        IN_FOLDER(what_was_planned_and_what_was_draw_nearer_by_the_month),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
