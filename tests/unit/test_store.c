/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's memory: what was acknowledged is there, whatever happens. */
#include "unit.h"

#include <fcntl.h>
#include <signal.h>
#include <sqlite3.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "lev_sql.h"
#include "levigate/store.h"
#include "rng.h"

static char folder[64], path[96];

static int make_folder(void **state)
{
    (void)state;
    (void)snprintf(folder, sizeof folder, "%s", "/tmp/levigate-store-XXXXXX");
    if (mkdtemp(folder) == NULL)
        return -1;
    (void)snprintf(path, sizeof path, "%s/shop.db", folder);
    return 0;
}

static int drop_folder(void **state)
{
    (void)state;
    static const char *const ends[] = {"",          "-wal",     "-shm",
                                       ".schema-1", ".copy",    ".before-restore",
                                       ".copy-wal", ".copy-shm"};
    char name[128];
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        (void)snprintf(name, sizeof name, "%s%s", path, ends[i]);
        (void)unlink(name);
    }
    return rmdir(folder);
}

static lev_store *open_store(bool write)
{
    lev_store *s = NULL;
    lev_error err = {0};
    assert_ok(lev_store_open(path, &(lev_store_options){.write = write}, &s, &err),
              &err);
    return s;
}

static const lev_store_medium PAPER = {.marking = "P240",
                                       .system = "P",
                                       .label = "P240",
                                       .mineral = "silicon-carbide",
                                       .carrier = "paper",
                                       .d50_um = 58.5,
                                       .width_mm = 230,
                                       .height_mm = 280,
                                       .count = 10,
                                       .price_minor = 110,
                                       .state = "fresh",
                                       .waterproof = 1,
                                       .reorder_at = NAN};

static int keep_count(void *to, const lev_store_medium *m)
{
    *(double *)to = m->count;
    return 0;
}

static double count_of(lev_store *s, int64_t id)
{
    double n = -1.0;
    lev_error err = {0};
    assert_ok(lev_store_drawer_get(s, id, keep_count, &n, &err), &err);
    return n;
}

/* A job under way with one step on P240; returns the step. */
static int64_t start_job(lev_store *s)
{
    int64_t job = 0, step = 0;
    lev_error err = {0};
    const lev_store_step one = {.face = "case-side",
                                .number = 3,
                                .words = "P240",
                                .kind = "abrade",
                                .system = "P",
                                .label = "P240",
                                .drive = "hand-cork",
                                .material = "walnut",
                                .family = "wood",
                                .area_mm2 = 1e4,
                                .budget_um = NAN,
                                .predicted_s = 600,
                                .predicted_sheets = 0.5,
                                .predicted_um = NAN,
                                .predicted_ra_um = NAN,
                                .predicted_gu = NAN,
                                .removal_factor = 1,
                                .life_factor = 1,
                                .texture_factor = 1,
                                .gloss_factor = 1};
    assert_ok(lev_store_job_add(s, "clock", "{}", "", 100, &job, &err), &err);
    assert_ok(lev_store_plan_freeze(s, job, "time", "{}", &one, 1, 101, &err), &err);
    assert_ok(lev_store_step_find(s, "", "CASE-SIDE", 3, &step, &err), &err);
    return step;
}

static lev_status log_one(lev_store *s, int64_t step, double sheets, lev_error *err)
{
    const lev_store_entry e = {.step_id = step,
                               .at_s = 200,
                               .who = "RB",
                               .work_s = 660,
                               .pause_s = 0,
                               .about = true,
                               .sheets = sheets,
                               .before_g = NAN,
                               .after_g = NAN,
                               .off_um = NAN,
                               .ra_um = NAN,
                               .rq_um = NAN,
                               .rz_um = NAN,
                               .rt_um = NAN,
                               .gloss_gu = NAN,
                               .verdict = "next-grit",
                               .words = "by eye"};
    const lev_store_cell cell = {"wood", "walnut", "hand-cork", "silicon-carbide",
                                 "RB"};
    const lev_store_fact fact = {LEV_QUANTITY_REMOVAL, log(600.0 / 660.0), 0.1};
    lev_store_logged done;
    return lev_store_log_add(s, &e, &cell, &fact, 1, &done, err);
}

static int64_t facts(lev_store *s)
{
    int64_t n = -1;
    lev_error err = {0};
    assert_ok(lev_store_fact_count(s, LEV_QUANTITY_REMOVAL, &n, &err), &err);
    return n;
}

static void an_entry_takes_paper_and_undo_gives_it_back(void **state)
{
    (void)state;
    lev_error err = {0};
    lev_store *s = open_store(true);
    int64_t id = 0;
    bool joined = true;
    double left = 0.0;
    lev_store_undone undone;
    assert_ok(lev_store_drawer_add(s, &PAPER, 1, &id, &joined, &err), &err);
    assert_false(joined);
    assert_ok(lev_store_drawer_add(s, &PAPER, 2, &id, &joined, &err), &err);
    assert_true(joined);
    assert_near(count_of(s, id), 20.0, 1e-15);
    assert_int_equal(lev_store_drawer_change(s, id, "take", -21.0, "", 3, &left, &err),
                     LEV_E_RANGE);
    const int64_t step = start_job(s);
    assert_ok(log_one(s, step, 0.25, &err), &err);
    assert_near(count_of(s, id), 19.75, 1e-15);
    assert_int_equal(facts(s), 1);
    assert_ok(lev_store_log_undo(s, "rb", 300, &undone, &err), &err);
    assert_int_equal(undone.number, 3);
    assert_near(count_of(s, id), 20.0, 1e-15);
    assert_int_equal(facts(s), 0);
    assert_int_equal(lev_store_log_undo(s, "", 301, &undone, &err), LEV_E_UNKNOWN);
    assert_ok(lev_store_check(s, &err), &err);
    lev_store_close(s);
}

static void reading_an_absent_store_makes_no_file(void **state)
{
    (void)state;
    lev_store *s = open_store(false);
    assert_int_equal(facts(s), 0);
    lev_error err = {0};
    assert_int_equal(lev_store_set(s, "currency", "EUR", &err), LEV_E_SYSTEM);
    lev_store_close(s);
    assert_int_equal(access(path, F_OK), -1);
}

static void run_sql(const char *sql)
{
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
}

static void every_earlier_schema_is_brought_up_to_date_after_a_copy(void **state)
{
    (void)state;
    for (int old = 1; old < LEV_SQL_SCHEMAS; old++) {
        char mark[100], copy[128];
        for (int i = 0; i < old; i++)
            run_sql(lev_sql_schema[i]);
        (void)snprintf(mark, sizeof mark,
                       "PRAGMA application_id=%d; PRAGMA user_version=%d", 0x4C455647,
                       old);
        run_sql(mark);
        run_sql(
            "INSERT INTO shop (key, value) VALUES ('currency', 'EUR')"); /* SQL: the
                                                                            old file */
        lev_store *s = open_store(old % 2 == 0);
        char *value = NULL;
        lev_error err = {0};
        assert_ok(lev_store_get(s, "currency", &value, &err), &err);
        assert_string_equal(value, "EUR");
        lev_store_text_free(value);
        assert_ok(lev_store_check(s, &err), &err);
        lev_store_close(s);
        (void)snprintf(copy, sizeof copy, "%s.schema-%d", path, old);
        assert_int_equal(access(copy, R_OK), 0);
    }
}

static void expect_refusal(lev_status st, const char *word)
{
    lev_store *s = NULL;
    lev_error err = {0};
    assert_int_equal(
        lev_store_open(path, &(lev_store_options){.write = true}, &s, &err), st);
    assert_null(s);
    assert_non_null(strstr(err.text, word));
    assert_null(strchr(err.text, '\n'));
    assert_string_equal(err.where, path);
}

static void newer_foreign_and_damaged_files_are_refused_untouched(void **state)
{
    (void)state;
    lev_store_close(open_store(true));
    run_sql("PRAGMA user_version=999");
    expect_refusal(LEV_E_SYSTEM, "newer");
    run_sql("PRAGMA application_id=7; PRAGMA user_version=1");
    expect_refusal(LEV_E_FORMAT, "something else");
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    for (int i = 0; i < 5000; i++)
        assert_int_not_equal(fputc('x', f), EOF);
    assert_int_equal(fclose(f), 0);
    expect_refusal(LEV_E_IO, "damaged");
    struct stat now;
    assert_int_equal(stat(path, &now), 0);
    assert_int_equal(now.st_size, 5000);
}

static void a_store_in_use_is_reported_and_nothing_changes(void **state)
{
    (void)state;
    lev_store *s = open_store(true), *other = NULL;
    lev_error err = {0};
    assert_ok(lev_store_open(path, &(lev_store_options){.write = true, .busy_ms = 50},
                             &other, &err),
              &err);
    assert_ok(lev_store_import_begin(s, false, &err),
              &err); /* holds the writer's place */
    assert_int_equal(lev_store_set(other, "a", "b", &err), LEV_E_SYSTEM);
    assert_non_null(strstr(err.text, "in use"));
    assert_ok(lev_store_import_end(s, false, &err), &err);
    assert_ok(lev_store_set(other, "a", "b", &err), &err);
    lev_store_close(other);
    lev_store_close(s);
}

static void a_copy_brings_everything_back(void **state)
{
    (void)state;
    char copy[128];
    lev_error err = {0};
    lev_store *s = open_store(true);
    char *value = NULL;
    (void)snprintf(copy, sizeof copy, "%s.copy", path);
    assert_ok(lev_store_set(s, "currency", "EUR", &err), &err);
    assert_ok(lev_store_backup(s, copy, &err), &err);
    assert_int_equal(lev_store_backup(s, copy, &err), LEV_E_USAGE);
    assert_ok(lev_store_set(s, "currency", "USD", &err), &err);
    assert_ok(lev_store_restore(s, copy, &err), &err);
    assert_ok(lev_store_get(s, "currency", &value, &err), &err);
    assert_string_equal(value, "EUR");
    lev_store_text_free(value);
    lev_store_close(s);
}

/* Writes entries for ever, telling each number once it is acknowledged. */
static void write_until_killed(int64_t step, int tell)
{
    lev_store *s = NULL;
    lev_error err = {0};
    if (lev_store_open(path, &(lev_store_options){.write = true}, &s, &err) < 0)
        _exit(3);
    for (char one = 1;;)
        if (log_one(s, step, NAN, &err) < 0 || write(tell, &one, 1) != 1)
            _exit(4);
}

static void a_thousand_kills_lose_nothing_acknowledged(void **state)
{
    (void)state;
    enum { KILLS = 1000 };
    const lev_rng rng = {20260101};
    lev_error err = {0};
    lev_store *s = open_store(true);
    const int64_t step = start_job(s);
    lev_store_close(s);
    int64_t acknowledged = 0, before = 0;
    for (int k = 0; k < KILLS; k++) {
        int ends[2], status = 0;
        char buffer[4096];
        ssize_t n = 0;
        assert_int_equal(pipe(ends), 0);
        const pid_t child = fork();
        assert_true(child >= 0);
        if (child == 0)
            write_until_killed(step, ends[1]);
        (void)close(ends[1]);
        /* on a busy machine most would die before they wrote: every other one is let
         * go on from its first entry */
        if (k % 2 != 0 && (n = read(ends[0], buffer, 1)) > 0)
            acknowledged += n;
        const long pause_ns = (long)(30e6 * lev_rng_uniform(rng, (uint64_t)k, 1));
        (void)nanosleep(&(struct timespec){.tv_nsec = pause_ns}, NULL);
        assert_int_equal(kill(child, SIGKILL), 0);
        assert_int_equal(waitpid(child, &status, 0), child);
        assert_true(WIFSIGNALED(status));
        while ((n = read(ends[0], buffer, sizeof buffer)) > 0)
            acknowledged += n;
        (void)close(ends[0]);
        s = open_store(true);
        const int64_t there = facts(s);
        assert_true(there >= acknowledged && there <= acknowledged + 1);
        if (k % 50 == 49)
            assert_ok(lev_store_check(s, &err), &err);
        lev_store_close(s);
        before = acknowledged = there; /* one may be whole without having been told */
    }
    print_message("# %d kills, %lld entries acknowledged and there\n", KILLS,
                  (long long)before);
    assert_true(before >= KILLS / 2);
}

static void two_programs_write_at_once(void **state)
{
    (void)state;
    enum { EACH = 100 };
    lev_error err = {0};
    lev_store *s = open_store(true);
    const int64_t step = start_job(s);
    lev_store_close(s);
    pid_t child[2];
    for (int i = 0; i < 2; i++) {
        child[i] = fork();
        assert_true(child[i] >= 0);
        if (child[i] != 0)
            continue;
        lev_store *mine = NULL;
        if (lev_store_open(path, &(lev_store_options){.write = true}, &mine, &err) < 0)
            _exit(3);
        for (int k = 0; k < EACH; k++)
            if (log_one(mine, step, NAN, &err) < 0)
                _exit(4);
        lev_store_close(mine);
        _exit(0);
    }
    for (int i = 0; i < 2; i++) {
        int status = -1;
        assert_int_equal(waitpid(child[i], &status, 0), child[i]);
        assert_int_equal(status, 0);
    }
    s = open_store(false);
    assert_int_equal(facts(s), 2 * EACH);
    lev_store_close(s);
}

/* The last to close puts the log away and holds the store alone while it does. */
static void many_programs_open_and_close_at_once(void **state)
{
    (void)state;
    enum { PROGRAMS = 4, EACH = 60 };
    lev_error err = {0};
    lev_store *s = open_store(true);
    const int64_t step = start_job(s);
    lev_store_close(s);
    pid_t child[PROGRAMS];
    for (int i = 0; i < PROGRAMS; i++) {
        child[i] = fork();
        assert_true(child[i] >= 0);
        for (int k = 0; child[i] == 0 && k < EACH; k++) {
            const bool write = i == 0;
            lev_store *mine = NULL;
            if (lev_store_open(path, &(lev_store_options){.write = write}, &mine,
                               &err) < 0)
                _exit(3);
            if (write && log_one(mine, step, NAN, &err) < 0)
                _exit(4);
            lev_store_close(mine);
        }
        if (child[i] == 0)
            _exit(0);
    }
    for (int i = 0; i < PROGRAMS; i++) {
        int status = -1;
        assert_int_equal(waitpid(child[i], &status, 0), child[i]);
        assert_int_equal(status, 0);
    }
    s = open_store(false);
    assert_int_equal(facts(s), EACH);
    lev_store_close(s);
}

#define IN_FOLDER(f) cmocka_unit_test_setup_teardown(f, make_folder, drop_folder)

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_FOLDER(an_entry_takes_paper_and_undo_gives_it_back),
        IN_FOLDER(reading_an_absent_store_makes_no_file),
        IN_FOLDER(every_earlier_schema_is_brought_up_to_date_after_a_copy),
        IN_FOLDER(newer_foreign_and_damaged_files_are_refused_untouched),
        IN_FOLDER(a_store_in_use_is_reported_and_nothing_changes),
        IN_FOLDER(a_copy_brings_everything_back),
        IN_FOLDER(a_thousand_kills_lose_nothing_acknowledged),
        IN_FOLDER(two_programs_write_at_once),
        IN_FOLDER(many_programs_open_and_close_at_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
