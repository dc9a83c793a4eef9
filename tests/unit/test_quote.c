/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quotes: the arithmetic of the lines, the least charge, breaks, quoted against done.
 */
#include "unit.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "app_quote.h"
#include "job_io.h"
#include "json.h"
#include "mem.h"

static const char JOB[] =
    "{\"levigate\": 1, \"name\": \"covers\", \"count\": 40, \"currency\": \"EUR\", "
    "\"labour_minor_per_h\": 3600, \"drawer\": ["
    "{\"system\": \"P\", \"label\": \"P120\", \"mineral\": \"brown-alumina\", "
    "\"carrier\": \"paper\", \"size_mm\": [230, 280], \"count\": 90, \"price_minor\": "
    "90},"
    "{\"system\": \"P\", \"label\": \"P240\", \"mineral\": \"silicon-carbide\", "
    "\"carrier\": \"paper\", \"size_mm\": [230, 280], \"count\": 90, "
    "\"price_minor\": 110}], "
    "\"faces\": [{\"name\": \"a\", \"material\": \"brass_260\", \"size_mm\": [100, "
    "50], "
    "\"shape\": \"flat\", \"start\": {\"kind\": \"process\", \"process\": \"milled\"}, "
    "\"drives\": [\"hand-wood\"], \"target\": {\"kind\": \"limit\", \"symbol\": "
    "\"Ra\", "
    "\"max_um\": 1.2, \"rule\": \"mean\", \"readings\": 3}}]}";

static void read_job(lev_job *job)
{
    lev_bytes b = {0};
    lev_error err = {0};
    void *p = NULL;
    assert_ok(lev_mem_new(sizeof JOB, 1, &p, &err), &err);
    memcpy(p, JOB, sizeof JOB);
    b = (lev_bytes){p, sizeof JOB - 1};
    assert_ok(lev_job_read("job", &b, job, &err), &err);
}

static lev_quote_ask plain(const lev_job *job)
{
    return (lev_quote_ask){
        .job = job, .minimum_minor = NAN, .given_minor = NAN, .readings = -1};
}

static const lev_quote_line *line_of(const lev_quote_answer *a, const char *begins)
{
    for (int i = 0; i < a->lines; i++)
        if (strncmp(a->line[i].words, begins, strlen(begins)) == 0)
            return &a->line[i];
    return NULL;
}

static lev_quote_answer a, b;

static void the_price_is_the_sum_of_its_lines(void **state)
{
    (void)state;
    lev_job job = {0};
    lev_error err = {0};
    read_job(&job);
    lev_quote_ask ask = plain(&job);
    ask.corners = 4;
    ask.margin_pct = 25.0;
    assert_ok(lev_app_quote(&ask, &a, &err), &err);
    double sum = 0.0;
    for (int i = 0; i < a.lines; i++)
        sum += a.line[i].cost_minor.p50;
    assert_near(a.price.cost_minor.p50, 1.25 * sum, 1e-12); /* definition */
    assert_true((double)a.price.each_minor * 40 >= a.price.cost_minor.p50);
    assert_true(a.price.cost_minor.p10 < a.price.cost_minor.p50);
    assert_true(a.price.cost_minor.p50 < a.price.cost_minor.p90);
    /* 40 x 4 corners at 190 s (data/shop/quote_item.csv), a minor unit a second */
    assert_near(line_of(&a, "inside corners")->cost_minor.p50, 160.0 * 190.0, 1e-12);
    assert_near(line_of(&a, "inspection")->time_s.p50, 40.0 * 3.0 * 60.0, 1e-12);
    assert_null(line_of(&a, "holes"));
    lev_quote_answer_release(&a);
    lev_job_release(&job);
}

static void more_pieces_cost_less_each_and_small_jobs_the_least_charge(void **state)
{
    (void)state;
    lev_job job = {0};
    lev_error err = {0};
    read_job(&job);
    const lev_quote_ask ask = plain(&job);
    assert_ok(lev_app_quote(&ask, &a, &err), &err);
    assert_int_equal(a.breaks_n, 3);
    assert_int_equal(a.breaks[0].count, 1);
    assert_true(a.breaks[0].each_minor > a.breaks[1].each_minor);
    assert_true(a.breaks[1].each_minor > a.breaks[2].each_minor);
    lev_quote_ask small = plain(&job);
    small.count = 1;
    small.minimum_minor = 1e6;
    assert_ok(lev_app_quote(&small, &b, &err), &err);
    assert_true(b.price.is_minimum);
    assert_int_equal(b.price.each_minor, 1000000);
    lev_quote_answer_release(&a);
    lev_quote_answer_release(&b);
    lev_job_release(&job);
}

static void the_customer_sees_one_figure_and_no_band(void **state)
{
    (void)state;
    lev_job job = {0};
    lev_text t = {0};
    lev_error err = {0};
    read_job(&job);
    const lev_quote_ask ask = plain(&job);
    assert_ok(lev_app_quote(&ask, &a, &err), &err);
    lev_quote_customer(&t, &a, LEV_UNITS_METRIC);
    assert_non_null(strstr(lev_text_get(&t), "Not included:"));
    assert_non_null(strstr(lev_text_get(&t), "pits or pores that open"));
    assert_non_null(strstr(lev_text_get(&t), "stands for 30 days"));
    assert_null(strstr(lev_text_get(&t), "low"));
    assert_null(strstr(lev_text_get(&t), "rework"));
    lev_text_release(&t);
    lev_quote_answer_release(&a);
    lev_job_release(&job);
}

static void a_job_without_a_price_of_an_hour_is_refused(void **state)
{
    (void)state;
    lev_job job = {0};
    lev_error err = {0};
    read_job(&job);
    job.labour_minor_per_h = 0;
    lev_quote_ask ask = plain(&job);
    assert_int_equal(lev_app_quote(&ask, &a, &err), LEV_E_USAGE);
    assert_non_null(strstr(err.text, "--rate"));
    ask.rate_minor_per_h = 3600.0;
    assert_ok(lev_app_quote(&ask, &a, &err), &err);
    lev_quote_answer_release(&a);
    lev_job_release(&job);
}

static void what_was_quoted_stands_beside_what_was_done(void **state)
{
    (void)state;
    lev_job job = {0};
    lev_error err = {0};
    lev_shop shop;
    lev_text t = {0};
    char path[] = "/tmp/levigate-quote-XXXXXX";
    int64_t id = 0, step = 0;
    lev_store_logged done;
    assert_true(close(mkstemp(path)) == 0);
    read_job(&job);
    const lev_quote_ask ask = plain(&job);
    assert_ok(lev_app_quote(&ask, &a, &err), &err);
    assert_ok(lev_shop_open(path, true, 1000, &shop, &err), &err);
    assert_int_equal(lev_quote_keep(&shop, &a, &err), LEV_E_UNKNOWN);
    assert_ok(lev_store_job_add(shop.store, "covers", JOB, "", 1, &id, &err), &err);
    assert_ok(lev_quote_keep(&shop, &a, &err), &err);
    const lev_store_step one = {.face = "a",
                                .number = 1,
                                .area_mm2 = NAN,
                                .budget_um = NAN,
                                .predicted_s = 60,
                                .predicted_sheets = NAN,
                                .predicted_um = NAN,
                                .predicted_ra_um = NAN,
                                .predicted_gu = NAN,
                                .removal_factor = 1,
                                .life_factor = 1,
                                .texture_factor = 1,
                                .gloss_factor = 1};
    assert_ok(lev_store_plan_freeze(shop.store, id, "usual", "{}", &one, 1, 2, &err),
              &err);
    assert_ok(lev_store_step_find(shop.store, "", "a", 1, &step, &err), &err);
    const lev_store_entry e = {.step_id = step,
                               .at_s = 3,
                               .work_s = 0.5 * a.time_s.p50,
                               .sheets = NAN,
                               .before_g = NAN,
                               .after_g = NAN,
                               .off_um = NAN,
                               .ra_um = NAN,
                               .rq_um = NAN,
                               .rz_um = NAN,
                               .rt_um = NAN,
                               .gloss_gu = NAN};
    assert_ok(lev_store_log_add(shop.store, &e, NULL, NULL, 0, &done, &err), &err);
    assert_ok(lev_quote_look_back(&shop, &a, &err), &err);
    assert_true(a.past.known);
    assert_int_equal(a.past.entries, 1);
    assert_int_equal(a.past.last.given_minor, a.price.each_minor * 40);
    lev_app_quote_text(&t, &a, LEV_UNITS_METRIC);
    assert_non_null(strstr(lev_text_get(&t), "0.50 of the time quoted"));
    lev_text_release(&t);
    lev_shop_close(&shop);
    lev_quote_answer_release(&a);
    lev_job_release(&job);
    (void)unlink(path);
}

int main(void)
{
    lev_json_init();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_price_is_the_sum_of_its_lines),
        cmocka_unit_test(more_pieces_cost_less_each_and_small_jobs_the_least_charge),
        cmocka_unit_test(the_customer_sees_one_figure_and_no_band),
        cmocka_unit_test(a_job_without_a_price_of_an_hour_is_refused),
        cmocka_unit_test(what_was_quoted_stands_beside_what_was_done),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
