/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's memory as the verbs use it: drawer, job, log, and plans from them. */
#include "shop_scene.h"

#include "app_drawer.h"
#include "app_factor.h"
#include "mem.h"

enum { DAY_S = 86400 };

/* ---- drawer ---- */

static lev_drawer_answer drawer(const lev_shop *shop, const lev_drawer_ask *ask)
{
    lev_drawer_answer a = {.n = 0};
    lev_error err = {0};
    assert_ok(lev_app_drawer(shop, ask, &a, &err), &err);
    return a;
}

static void put(const lev_shop *shop, const char *marking, double pieces)
{
    lev_drawer_ask ask;
    lev_drawer_ask_init(&ask);
    ask.act = LEV_DRAWER_ADD;
    ask.what = marking;
    ask.pieces = pieces;
    ask.size = "230x280";
    ask.price = "1.10 EUR";
    ask.waterproof = 1;
    lev_drawer_answer a = drawer(shop, &ask);
    assert_int_equal(a.n, 1);
    lev_drawer_answer_release(&a);
}

static void use_sets_the_re_order_point(void **state)
{
    (void)state;
    lev_shop shop = open_shop();
    lev_drawer_ask ask;
    put(&shop, "P240", 20);
    lev_drawer_ask_init(&ask);
    ask.act = LEV_DRAWER_TAKE;
    ask.what = "P240";
    ask.pieces = 9;
    shop.now_s += 90 * DAY_S;
    lev_drawer_answer a = drawer(&shop, &ask);
    assert_near(a.line[0].m.count, 11.0, 1e-12);
    /* 9 in 90 days; 14 days to wait need 1.4, and 9 in 10 times 1.4 + 1.28 sqrt(1.4) */
    assert_near(a.line[0].per_day, 0.1, 1e-12);
    assert_near(a.line[0].days_left, 110.0, 1e-12);
    assert_near(a.line[0].order_at, 1.4 + 1.28 * sqrt(1.4), 1e-12);
    assert_false(a.line[0].order);
    lev_drawer_answer_release(&a);
    ask.act = LEV_DRAWER_COUNT;
    ask.pieces = 2;
    a = drawer(&shop, &ask);
    assert_true(a.line[0].order);
    lev_drawer_answer_release(&a);
    lev_shop_close(&shop);
}

static void a_substitute_is_the_grit_with_the_most_grains_in_common(void **state)
{
    (void)state;
    lev_shop shop = open_shop();
    lev_drawer_ask ask;
    put(&shop, "P180", 5);
    put(&shop, "P240", 5);
    put(&shop, "P800", 5);
    lev_drawer_ask_init(&ask);
    ask.act = LEV_DRAWER_LIKE;
    ask.what = "F220";
    lev_drawer_answer a = drawer(&shop, &ask);
    assert_true(a.n >= 1);
    /* the same overlap as between the two grits themselves */
    lev_grit g, p;
    lev_grit_size sg, sp;
    lev_error err = {0};
    assert_ok(lev_grit_find("F", "F220", "", &g, &err), &err);
    for (ptrdiff_t i = 0; i < a.n; i++) {
        assert_ok(lev_grit_find("P", a.line[i].m.label, "", &p, &err), &err);
        assert_ok(lev_grit_size_of(&g, &sg, &err), &err);
        assert_ok(lev_grit_size_of(&p, &sp, &err), &err);
        assert_near(a.line[i].overlap, lev_grit_overlap(&sg, &sp), 1e-12);
        assert_true(i == 0 || a.line[i].overlap <= a.line[i - 1].overlap);
        assert_string_not_equal(a.line[i].m.label, "P800");
    }
    lev_drawer_answer_release(&a);
    lev_shop_close(&shop);
}

static void refuse_drawer(const lev_shop *shop, const lev_drawer_ask *ask,
                          lev_status st, const char *word)
{
    lev_drawer_answer a;
    lev_error err = {0};
    assert_int_equal(lev_app_drawer(shop, ask, &a, &err), st);
    if (strstr(err.text, word) == NULL)
        print_error("%s\n", err.text);
    assert_non_null(strstr(err.text, word));
}

static void what_the_drawer_does_not_know_is_refused_with_the_nearest(void **state)
{
    (void)state;
    lev_shop shop = open_shop();
    lev_drawer_ask ask;
    put(&shop, "P240", 20);
    lev_drawer_ask_init(&ask);
    ask.act = LEV_DRAWER_TAKE;
    ask.what = "P220";
    ask.pieces = 1;
    refuse_drawer(&shop, &ask, LEV_E_UNKNOWN, "nearest: line 1, P240");
    ask.what = "P241";
    refuse_drawer(&shop, &ask, LEV_E_UNKNOWN, "nearest");
    ask.what = "7";
    refuse_drawer(&shop, &ask, LEV_E_UNKNOWN, "no line 7");
    ask.what = "P240";
    ask.pieces = 21;
    refuse_drawer(&shop, &ask, LEV_E_RANGE, "line 1 has 20");
    ask.pieces = NAN;
    refuse_drawer(&shop, &ask, LEV_E_USAGE, "how many");
    ask.act = LEV_DRAWER_CORRECT;
    ask.pieces = 19;
    refuse_drawer(&shop, &ask, LEV_E_USAGE, "--reason");
    ask.act = LEV_DRAWER_ADD;
    ask.what = "600"; /* who printed it? */
    ask.pieces = 5;
    refuse_drawer(&shop, &ask, LEV_E_USAGE, "--system");
    ask.what = "P600";
    ask.price = "1.10 USD";
    refuse_drawer(&shop, &ask, LEV_E_USAGE, "counts in EUR");
    ask.price = NULL;
    ask.mineral = "garnat";
    refuse_drawer(&shop, &ask, LEV_E_UNKNOWN, "did you mean garnet");
    lev_shop_close(&shop);
}

/* ---- job and log ---- */

static void a_whole_job_from_drawer_to_the_second_piece(void **state)
{
    (void)state;
    lev_shop shop = open_shop();
    lev_error err = {0};
    put(&shop, "P240", 3);
    put(&shop, "P400", 3);
    put(&shop, "P600", 3);
    do_job(&shop, LEV_SHOP_JOB_ADD, "one", job_text(100, 80, ""));
    const lev_shop_job_ask start = {
        .act = LEV_SHOP_JOB_START, .name = "one", .from_drawer = true};
    lev_shop_job_answer a = job(&shop, &start);
    assert_int_equal(a.not_feasible, 0);
    lev_shop_job_answer_release(&a);
    lev_shop_steps s = steps_of(&shop, "one");
    const int last = s.step[s.n - 1].number;
    const double planned_s = s.step[s.n - 1].predicted_s;
    char line[120];
    (void)snprintf(line, sizeof line, "RB top %d %.0fs 1/2 sheet", last, planned_s);
    log_ok(&shop, "", line);
    (void)snprintf(line, sizeof line, "RB top %d %.0fs keep-at-it", last, planned_s);
    log_ok(&shop, "", line);
    (void)snprintf(line, sizeof line, "RB top %d 60s next-grit; wrong", last);
    log_ok(&shop, "", line);
    lev_log_answer u = {.id = 0};
    const lev_log_ask undo = {.act = LEV_LOG_UNDO, .who = "RB"};
    assert_ok(lev_app_log(&shop, &undo, NULL, &u, &err), &err);
    assert_int_equal(u.undone.number, last);
    lev_log_answer_release(&u);
    lev_shop_steps_release(&s);
    s = steps_of(&shop, "one");
    /* two stints that stand; the undone one counts for nothing */
    assert_int_equal(s.step[s.n - 1].entries, 2);
    assert_near(s.step[s.n - 1].done_s, 2.0 * round(planned_s), 1e-12);
    assert_string_equal(s.step[s.n - 1].verdict, "keep-at-it");
    lev_shop_steps_release(&s);
    /* the half sheet came from the line of the step's own grit */
    lev_drawer_ask look;
    lev_drawer_ask_init(&look);
    lev_drawer_answer d = drawer(&shop, &look);
    double left = 0.0;
    for (ptrdiff_t i = 0; i < d.n; i++)
        left += d.line[i].m.count;
    assert_near(left, 8.5, 1e-12);
    lev_drawer_answer_release(&d);
    /* on a face of twice the area the same takes twice as long */
    const char *body = job_text(200, 80, "");
    const lev_shop_job_ask again = {.act = LEV_SHOP_JOB_REPEAT,
                                    .name = "one",
                                    .as = "two",
                                    .body = body,
                                    .body_n = strlen(body),
                                    .body_name = "job"};
    a = job(&shop, &again);
    assert_int_equal(a.steps.n, 1); /* only what was really done */
    assert_near(a.steps.step[0].predicted_s, 4.0 * round(planned_s), 1e-12);
    assert_near(a.steps.step[0].predicted_sheets, 1.0, 1e-12);
    assert_near(a.steps.step[0].area_mm2, 200.0 * 80.0, 1e-12);
    assert_near(a.steps.step[0].removal_factor, planned_s / (2.0 * round(planned_s)),
                1e-9);
    lev_shop_job_answer_release(&a);
    assert_ok(lev_store_check(shop.store, &err), &err);
    lev_shop_close(&shop);
}

static void a_plan_is_frozen_once_and_versions_stay(void **state)
{
    (void)state;
    lev_shop shop = open_shop();
    lev_error err = {0};
    start_plate(&shop, "one");
    lev_shop_job_answer a;
    const lev_shop_job_ask start = {.act = LEV_SHOP_JOB_START, .name = "one"};
    assert_int_equal(lev_app_shop_job(&shop, &start, &a, &err), LEV_E_USAGE);
    lev_shop_steps before = steps_of(&shop, "one");
    do_job(&shop, LEV_SHOP_JOB_CHANGE, "one", job_text(300, 80, ""));
    lev_shop_steps after = steps_of(&shop, "one");
    assert_int_equal(before.n, after.n);
    assert_near(after.step[0].area_mm2, 100.0 * 80.0, 1e-12); /* as when work started */
    lev_shop_steps_release(&before);
    lev_shop_steps_release(&after);
    const lev_shop_job_ask first = {
        .act = LEV_SHOP_JOB_FILE, .name = "ONE", .version = 1};
    a = job(&shop, &first);
    assert_string_equal(a.version[0].body, job_text(100, 80, ""));
    lev_shop_job_answer_release(&a);
    const lev_shop_job_ask bad = {.act = LEV_SHOP_JOB_ADD,
                                  .name = "two",
                                  .body = "{\"levigate\": 1}",
                                  .body_n = 15,
                                  .body_name = "j.json"};
    assert_true(lev_app_shop_job(&shop, &bad, &a, &err) < 0); /* nothing half-kept */
    const lev_shop_job_ask show = {.act = LEV_SHOP_JOB_SHOW, .name = "two"};
    assert_int_equal(lev_app_shop_job(&shop, &show, &a, &err), LEV_E_UNKNOWN);
    lev_shop_close(&shop);
}

static void what_is_odd_is_asked_about_and_kept_when_meant(void **state)
{
    (void)state;
    lev_shop shop = open_shop();
    lev_error err = {0};
    bool question = false;
    char line[80];
    start_plate(&shop, "one");
    lev_shop_steps s = steps_of(&shop, "one");
    const int number = s.step[0].number;
    (void)snprintf(line, sizeof line, "RB top %d 9h", number);
    assert_int_equal(log_line(&shop, "", line, &question, &err), LEV_E_RANGE);
    assert_true(question);
    assert_non_null(strstr(err.text, "sure"));
    (void)snprintf(line, sizeof line, "RB top %d 9h sure", number);
    assert_ok(log_line(&shop, "", line, &question, &err), &err);
    assert_false(question);
    (void)snprintf(line, sizeof line, "RB top %d 0m", number);
    assert_int_equal(log_line(&shop, "", line, &question, &err), LEV_E_RANGE);
    assert_false(question); /* that cannot be, sure or not */
    assert_int_equal(log_line(&shop, "", "RB tap 1 5m", &question, &err),
                     LEV_E_UNKNOWN);
    assert_non_null(strstr(err.text, "nearest: top"));
    lev_shop_steps_release(&s);
    lev_shop_close(&shop);
}

static void depth_over_budget_is_asked_about(void **state)
{
    (void)state;
    lev_store_step s = lev_shop_step_none();
    lev_store_entry e = {
        .work_s = NAN, .sheets = NAN, .off_um = 30, .ra_um = NAN, .verdict = ""};
    char doubt[LEV_LOG_TEXT];
    s.budget_um = 60;
    s.done_um = 25; /* the whole face so far */
    lev_log_doubt(&s, &e, doubt);
    assert_string_equal(doubt, "");
    e.off_um = 36;
    lev_log_doubt(&s, &e, doubt);
    assert_non_null(strstr(doubt, "budget of 60 um"));
}

/* ---- counts bind ---- */

static const char *two_faces(double count)
{
    static char text[4000];
    char face[600];
    const char *one =
        "{\"name\": \"%s\", \"material\": \"brass_260\", \"size_mm\": [400, 250], "
        "\"shape\": \"flat\", \"start\": {\"kind\": \"process\", \"process\": "
        "\"milled\"}, \"drives\": [\"hand-wood\"], \"target\": {\"kind\": \"limit\", "
        "\"symbol\": \"Ra\", \"max_um\": 0.8, \"rule\": \"mean\"}}";
    int n = snprintf(text, sizeof text,
                     "{\"levigate\": 1, \"name\": \"t\", \"currency\": \"EUR\", "
                     "\"labour_minor_per_h\": 0, \"drawer\": [{\"system\": \"P\", "
                     "\"label\": \"P400\", \"mineral\": \"silicon-carbide\", "
                     "\"carrier\": \"paper\", \"size_mm\": [230, 280], \"count\": %g, "
                     "\"price_minor\": 110, \"waterproof\": true}], \"faces\": [",
                     count);
    for (int i = 0; i < 2; i++) {
        (void)snprintf(face, sizeof face, one, i == 0 ? "a" : "b");
        n +=
            snprintf(text + n, sizeof text - (size_t)n, "%s%s", i > 0 ? "," : "", face);
    }
    (void)snprintf(text + n, sizeof text - (size_t)n, "]}");
    return text;
}

/* Sheets of the usual ladder of a face; NaN when it cannot be done. */
static void plan_two(double count, double sheets[2], char help[2][LEV_FACE_TEXT])
{
    lev_job j = {0};
    lev_plan_answer a = {0};
    lev_error err = {0};
    const char *text = two_faces(count);
    assert_ok(lev_shop_read_job("job", text, strlen(text), &j, &err), &err);
    assert_ok(lev_app_plan(&j, &a, &err), &err);
    for (int i = 0; i < 2; i++) {
        const lev_face_result *r = &a.face[i].result;
        sheets[i] = r->feasible ? 0.0 : (double)NAN;
        for (int k = 0; r->feasible && k < r->ladder[0].steps; k++)
            sheets[i] += r->ladder[0].step[k].sheets.p50;
        (void)snprintf(help[i], LEV_FACE_TEXT, "%s", r->would_help);
    }
    lev_plan_answer_release(&a);
    lev_job_release(&j);
}

static double quarters(double sheets)
{
    return ceil(4.0 * sheets - 1e-9) / 4.0;
}

static void a_ladder_never_takes_more_paper_than_there_is(void **state)
{
    (void)state;
    double sheets[2];
    char help[2][LEV_FACE_TEXT];
    plan_two(100.0, sheets, help);
    const double one = quarters(sheets[0]); /* what a face takes when there is plenty */
    assert_true(one >= 0.5 && one < 50.0);
    for (double count = 0.25 * one; count <= 2.5 * one; count += 0.25 * one) {
        plan_two(count, sheets, help);
        double left = count;
        for (int i = 0; i < 2; i++) {
            if (isnan(sheets[i]))
                assert_non_null(strstr(help[i], "more of P400"));
            else
                assert_true(sheets[i] <= left + 1e-9);
            left -= isnan(sheets[i]) ? 0.0 : quarters(sheets[i]);
        }
        if (count < 0.5 * one)
            assert_false(lev_known(sheets[0]) || lev_known(sheets[1]));
        if (count >= 2.0 * one)
            assert_true(lev_known(sheets[0]) && lev_known(sheets[1]));
    }
    plan_two(one, sheets, help); /* enough for one of the two */
    assert_true(lev_known(sheets[0]));
    assert_false(lev_known(sheets[1]));
}

static void lines_that_cut_alike_count_together(void **state)
{
    (void)state;
    lev_shop shop = open_shop();
    lev_drawer_ask ask;
    lev_error err = {0};
    lev_arena arena = {0};
    lev_job_medium *m = NULL;
    ptrdiff_t n = 0;
    lev_drawer_ask_init(&ask);
    ask.act = LEV_DRAWER_ADD;
    ask.what = "P400";
    ask.pieces = 1;
    ask.lot = "A";
    ask.price = "1.10 EUR";
    lev_drawer_answer a = drawer(&shop, &ask);
    lev_drawer_answer_release(&a);
    ask.lot = "B";
    ask.pieces = 2;
    ask.price = "1.30";
    a = drawer(&shop, &ask);
    assert_false(a.joined); /* lots stay apart on the shelf */
    lev_drawer_answer_release(&a);
    assert_ok(lev_drawer_media(&shop, &arena, &m, &n, &err), &err);
    assert_int_equal(n, 1);
    assert_near(m[0].count, 3.0, 1e-12);
    assert_int_equal(m[0].price_minor, 130);
    lev_arena_release(&arena);
    lev_shop_close(&shop);
}

/* ---- files ---- */

static void files_are_kept_once_under_their_hash_and_a_change_is_seen(void **state)
{
    (void)state;
    char hash[LEV_SHA256_TEXT], name[200], kept[LEV_SHOP_PATH];
    lev_error err = {0};
    ptrdiff_t seen = 0;
    /* FIPS 180-4, appendix B: one block, two blocks; and the empty message */
    lev_sha256("abc", 3, hash);
    assert_string_equal(
        hash, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    lev_sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", 56, hash);
    assert_string_equal(
        hash, "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    lev_shop shop = open_shop();
    do_job(&shop, LEV_SHOP_JOB_ADD, "one", job_text(100, 80, ""));
    (void)snprintf(name, sizeof name, "%s/photo.jpg", folder);
    FILE *f = fopen(name, "wb");
    assert_non_null(f);
    assert_true(fputs("abc", f) >= 0);
    assert_int_equal(fclose(f), 0);
    const lev_shop_job_ask ask = {.act = LEV_SHOP_JOB_ATTACH,
                                  .name = "one",
                                  .face = "top",
                                  .file = name,
                                  .why = "as it came"};
    for (int i = 0; i < 2; i++) {
        lev_shop_job_answer a = job(&shop, &ask);
        assert_int_equal(a.files, i + 1);
        assert_string_equal(a.file[i].name, "photo.jpg");
        lev_shop_job_answer_release(&a);
    }
    assert_ok(lev_shop_check_files(&shop, &seen, &err), &err);
    assert_int_equal(seen, 1);
    lev_sha256("abc", 3, hash);
    lev_shop_file_path(path, hash, kept);
    f = fopen(kept, "wb");
    assert_non_null(f);
    assert_true(fputs("abd", f) >= 0);
    assert_int_equal(fclose(f), 0);
    assert_int_equal(lev_shop_check_files(&shop, &seen, &err), LEV_E_IO);
    assert_non_null(strstr(err.text, "photo.jpg"));
    lev_shop_close(&shop);
}

/* ---- memory ---- */

static lev_status look_like(const lev_shop *shop)
{
    lev_drawer_ask ask;
    lev_drawer_answer a = {.n = 0};
    lev_error err = {0};
    int failed = 0;
    lev_drawer_ask_init(&ask);
    ask.act = LEV_DRAWER_LIKE;
    ask.what = "F220";
    const lev_status st = lev_app_drawer(shop, &ask, &a, &err);
    if (st >= 0)
        json_decref(lev_app_drawer_json(&a, &failed));
    lev_drawer_answer_release(&a);
    return st < 0 ? st : failed != 0 ? LEV_E_MEMORY : LEV_OK;
}

static lev_status log_and_show(const lev_shop *shop)
{
    lev_error err = {0};
    lev_log_answer a = {.id = 0};
    lev_factor_answer f = {.entries = 0};
    const lev_log_ask show = {.act = LEV_LOG_SHOW};
    lev_status st = log_line(shop, "", "RB top 1 60s next-grit sure", NULL, &err);
    if (st >= 0)
        st = lev_app_log(shop, &show, NULL, &a, &err);
    if (st >= 0)
        st = lev_app_factor(shop, &(lev_factor_ask){.quantity = ""}, &f, &err);
    lev_factor_answer_release(&f);
    lev_log_answer_release(&a);
    return st;
}

static void memory_that_runs_out_is_reported_and_given_back(void **state)
{
    (void)state;
    lev_status (*const work[])(const lev_shop *) = {look_like, log_and_show};
    lev_shop shop = open_shop();
    lev_error err = {0};
    put(&shop, "P240", 2);
    start_plate(&shop, "one");
    for (size_t i = 0; i < sizeof work / sizeof *work; i++) {
        lev_status st = LEV_E_MEMORY;
        for (long nth = 1; st < 0; nth++) {
            const long before = lev_mem_test_alive();
            lev_mem_test_fail(nth);
            st = work[i](&shop);
            lev_mem_test_fail(0);
            assert_true(st == LEV_OK || st == LEV_E_MEMORY);
            assert_int_equal(lev_mem_test_alive(), before);
            assert_true(nth < 5000);
        }
    }
    assert_ok(lev_store_check(shop.store, &err), &err);
    lev_shop_close(&shop);
}

int main(void)
{
    lev_json_init();
    const struct CMUnitTest tests[] = {
        IN_FOLDER(use_sets_the_re_order_point),
        IN_FOLDER(a_substitute_is_the_grit_with_the_most_grains_in_common),
        IN_FOLDER(what_the_drawer_does_not_know_is_refused_with_the_nearest),
        IN_FOLDER(a_whole_job_from_drawer_to_the_second_piece),
        IN_FOLDER(a_plan_is_frozen_once_and_versions_stay),
        IN_FOLDER(what_is_odd_is_asked_about_and_kept_when_meant),
        cmocka_unit_test(depth_over_budget_is_asked_about),
        cmocka_unit_test(a_ladder_never_takes_more_paper_than_there_is),
        IN_FOLDER(lines_that_cut_alike_count_together),
        IN_FOLDER(files_are_kept_once_under_their_hash_and_a_change_is_seen),
        IN_FOLDER(memory_that_runs_out_is_reported_and_given_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
