/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The store on a disk that fails: what was acknowledged is there, the store is sound,
 * and a person reads one line. */
#include "unit.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cut_vfs.h"
#include "lev_sql.h"
#include "store_fill.h"

static const lev_store_options WRITE = {.write = true, .vfs = "cut"};
static const lev_store_options READ = {.vfs = "cut"};
static const char SHOP[] = "/shop.db";

static int64_t entries_in(lev_store *s)
{
    int64_t n = -1;
    lev_error err = {0};
    assert_ok(lev_store_fact_count(s, LEV_QUANTITY_REMOVAL, &n, &err), &err);
    return n;
}

static void one_line(lev_status st, const lev_error *err)
{
    if (st >= 0)
        return;
    assert_true(err->text[0] != '\0');
    assert_null(strchr(err->text, '\n'));
}

/* Make a store with a job, then log until something fails or `most` entries are told to
 * be there. *told = entries acknowledged. */
static lev_status work(int most, int64_t *told, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_store *s = NULL;
    int64_t job = 0, steps[51] = {0};
    fill f = {.rng = {5}, .err = err};
    *told = 0;
    *err = (lev_error){0};
    LEV_TRY(lev_store_open(SHOP, &WRITE, &s, err));
    f.s = s;
    LEV_TRY(fill_drawer(&f, 2));
    LEV_TRY(fill_job(&f, 1, 1, &job));
    LEV_TRY(lev_store_steps(s, job, fill_keep_step, steps, err));
    for (int i = 0; i < most; i++) {
        LEV_TRY(fill_entry(&f, steps[1], i));
        (*told)++;
    }
out:
    lev_store_close(s);
    return st;
}

/* After the power is back: sound, with what was told, and at most one entry more, which
 * was whole without having been told. */
static void expect_all(int64_t told)
{
    lev_store *s = NULL;
    lev_error err = {0};
    assert_ok(lev_store_open(SHOP, &WRITE, &s, &err), &err);
    assert_ok(lev_store_check(s, &err), &err);
    const int64_t there = entries_in(s);
    if (there < told || there > told + 1)
        fail_msg("%d entries told, %d there", (int)told, (int)there);
    lev_store_close(s);
}

static void a_power_cut_at_every_sync_loses_nothing_told(void **state)
{
    (void)state;
    lev_error err = {0};
    int64_t told = 0, most = 0;
    long rounds = 0;
    for (int after = 0; after < 2; after++) {
        lev_status st = LEV_E_IO;
        for (long n = 1; st < 0; n++) {
            for (int seed = 0; seed < 3; seed++) {
                cut_begin();
                cut.stop_at_sync = n;
                cut.stop_after_sync = after == 1;
                st = work(12, &told, &err);
                one_line(st, &err);
                cut_power_back((lev_rng){(uint64_t)(100 * n + seed)}, 0.5 * seed);
                expect_all(told);
                rounds++;
            }
            most = told > most ? told : most;
        }
    }
    print_message("# %ld cuts at a sync\n", rounds);
    assert_int_equal(most, 12);
    assert_true(rounds > 60);
}

static void a_power_cut_at_any_write_loses_nothing_told(void **state)
{
    (void)state;
    enum { ROUNDS = 200 };
    lev_error err = {0};
    int64_t told = 0, all = 0;
    cut_begin();
    assert_ok(work(20, &told, &err), &err);
    const long changes = cut.changes;
    for (uint64_t k = 0; k < ROUNDS; k++) {
        cut_begin();
        cut.stop_at_change =
            1 + (long)((double)changes * lev_rng_uniform((lev_rng){77}, k, 1));
        const lev_status st = work(20, &told, &err);
        one_line(st, &err);
        cut_power_back((lev_rng){k}, lev_rng_uniform((lev_rng){78}, k, 1));
        expect_all(told);
        all += told;
    }
    assert_true(all > 2 * ROUNDS);
}

/* The layer can tell: a disk that lied about its syncs does lose what was told. */
static void a_disk_that_lies_about_its_syncs_is_found_out(void **state)
{
    (void)state;
    lev_error err = {0};
    lev_store *s = NULL;
    char *value = NULL;
    cut_begin();
    assert_ok(lev_store_open(SHOP, &WRITE, &s, &err), &err);
    assert_ok(lev_store_set(s, "a", "b", &err), &err);
    cut_node *wal = cut_find("/shop.db-wal");
    assert_non_null(wal);
    assert_true(wal->safe.n > 0);
    cut_shorten(&wal->safe, 0);
    cut.dead = true;
    lev_store_close(s);
    cut_power_back((lev_rng){1}, 0.0);
    assert_ok(lev_store_open(SHOP, &WRITE, &s, &err), &err);
    assert_ok(lev_store_get(s, "a", &value, &err), &err);
    assert_string_equal(value, "");
    lev_store_text_free(value);
    lev_store_close(s);
}

static void a_full_disk_is_one_line_at_every_write_and_nothing_is_lost(void **state)
{
    (void)state;
    lev_error err = {0};
    int64_t told = 0;
    int seen = 0;
    lev_status st = LEV_E_IO;
    for (long n = 1; st < 0; n++) {
        cut_begin();
        cut.full_at_change = n;
        st = work(6, &told, &err);
        one_line(st, &err);
        seen += strstr(err.text, "disk is full") != NULL;
        cut.full_at_change = 0; /* room was made */
        expect_all(told);
        cut_begin(); /* the same with the power off before room was made */
        cut.full_at_change = n;
        (void)work(6, &told, &err);
        cut_power_back((lev_rng){(uint64_t)n}, 0.5);
        expect_all(told);
    }
    print_message("# %d writes refused by a full disk\n", seen);
    assert_true(seen > 20);
}

static void a_store_that_may_only_be_read_is_read_and_says_so_on_writing(void **state)
{
    (void)state;
    lev_error err = {0};
    lev_store *s = NULL;
    int64_t told = 0;
    cut_begin();
    assert_ok(work(3, &told, &err), &err);
    cut.read_only = true;
    assert_int_equal(lev_store_open(SHOP, &WRITE, &s, &err), LEV_E_IO);
    assert_non_null(strstr(err.text, "may only be read"));
    one_line(LEV_E_IO, &err);
    assert_ok(lev_store_open(SHOP, &READ, &s, &err), &err);
    assert_int_equal(entries_in(s), 3);
    lev_store_close(s);
    assert_int_equal(lev_store_open("/new.db", &WRITE, &s, &err), LEV_E_IO);
    assert_null(cut_find("/new.db"));
}

static void bytes_gone_bad_never_crash_and_are_told_in_one_line(void **state)
{
    (void)state;
    enum { ROUNDS = 200 };
    lev_error err = {0};
    int64_t told = 0, n = 0;
    int found = 0;
    cut_begin();
    assert_ok(work(30, &told, &err), &err);
    cut_node *file = cut_find(SHOP);
    assert_non_null(file);
    for (uint64_t k = 0; k < ROUNDS; k++) {
        lev_store *s = NULL;
        unsigned char was[64];
        const sqlite3_int64 at = (sqlite3_int64)((double)(file->now.n - 64) *
                                                 lev_rng_uniform((lev_rng){9}, k, 1));
        memcpy(was, file->now.data + at, 64);
        memset(file->now.data + at, (int)(k % 256), 64);
        err = (lev_error){0};
        lev_status st = lev_store_open(SHOP, &READ, &s, &err);
        if (st >= 0)
            st = lev_store_check(s, &err);
        if (st >= 0)
            st = lev_store_fact_count(s, LEV_QUANTITY_LIFE, &n, &err);
        one_line(st, &err);
        found += st < 0;
        lev_store_close(s);
        file = cut_find(SHOP);
        assert_non_null(file);
        memcpy(file->now.data + at, was, 64);
    }
    print_message("# %d of %d spoilt places found\n", found, (int)ROUNDS);
    assert_true(found > 10); /* most places are free space or inside a text */
    expect_all(30);
}

/* ---- memory ---- */

static sqlite3_mem_methods usual;
static long until_failure; /* 0: never */

static void *failing_malloc(int n)
{
    if (until_failure > 0 && --until_failure == 0) {
        until_failure = 1; /* and none after it */
        return NULL;
    }
    return usual.xMalloc(n);
}

static void *failing_realloc(void *p, int n)
{
    if (until_failure > 0 && --until_failure == 0) {
        until_failure = 1;
        return NULL;
    }
    return usual.xRealloc(p, n);
}

static void memory_that_runs_out_loses_nothing_told(void **state)
{
    (void)state;
    lev_error err = {0};
    int64_t told = 0;
    int failures = 0;
    lev_status st = LEV_E_MEMORY;
    sqlite3_mem_methods mine;
    assert_int_equal(sqlite3_shutdown(), SQLITE_OK);
    assert_int_equal(sqlite3_config(SQLITE_CONFIG_GETMALLOC, &usual), SQLITE_OK);
    mine = usual;
    mine.xMalloc = failing_malloc;
    mine.xRealloc = failing_realloc;
    assert_int_equal(sqlite3_config(SQLITE_CONFIG_MALLOC, &mine), SQLITE_OK);
    assert_int_equal(sqlite3_initialize(), SQLITE_OK);
    for (long n = 1; st < 0; n += 1 + n / 25) {
        cut_begin();
        until_failure = n;
        st = work(4, &told, &err);
        until_failure = 0;
        one_line(st, &err);
        failures += st < 0;
        expect_all(told);
    }
    print_message("# %d places where memory ran out\n", failures);
    assert_true(failures > 50);
}

/* ---- earlier schemas, as they were written then ---- */

static char *read_text(const char *path)
{
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    char *text = calloc(1, 1 << 20);
    assert_true(fread(text, 1, (1 << 20) - 1, f) > 0);
    assert_int_equal(fclose(f), 0);
    return text;
}

static int count_one(void *to, const lev_store_value *value, int n)
{
    (void)value;
    (void)n;
    *(int *)to += 1;
    return 0;
}

static void stores_kept_from_every_earlier_version_come_up_whole(void **state)
{
    (void)state;
    /* rows that tests/sql/store-N.sql holds in all */
    static const int rows[] = {0, 18, 23};
    lev_error err = {0};
    assert_true((int)(sizeof rows / sizeof *rows) > LEV_SQL_SCHEMAS);
    for (int version = 1; version <= LEV_SQL_SCHEMAS; version++) {
        char path[300], copy[40];
        sqlite3 *db = NULL;
        lev_store *s = NULL;
        int n = 0;
        (void)snprintf(path, sizeof path, "%s/store-%d.sql", getenv("STORES"), version);
        char *text = read_text(path);
        cut_begin();
        assert_int_equal(sqlite3_open_v2(SHOP, &db,
                                         SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE,
                                         "cut"),
                         SQLITE_OK);
        assert_int_equal(sqlite3_exec(db, text, NULL, NULL, NULL), SQLITE_OK);
        assert_int_equal(sqlite3_close(db), SQLITE_OK);
        free(text);
        assert_ok(lev_store_open(SHOP, &WRITE, &s, &err), &err);
        assert_ok(lev_store_check(s, &err), &err);
        for (int i = 0; i < lev_store_tables(); i++)
            assert_ok(lev_store_read_table(s, i, count_one, &n, &err), &err);
        assert_int_equal(n, rows[version]);
        lev_store_close(s);
        (void)snprintf(copy, sizeof copy, "%s.schema-%d", SHOP, version);
        assert_int_equal(cut_find(copy) != NULL, version < LEV_SQL_SCHEMAS);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_power_cut_at_every_sync_loses_nothing_told),
        cmocka_unit_test(a_power_cut_at_any_write_loses_nothing_told),
        cmocka_unit_test(a_disk_that_lies_about_its_syncs_is_found_out),
        cmocka_unit_test(a_full_disk_is_one_line_at_every_write_and_nothing_is_lost),
        cmocka_unit_test(a_store_that_may_only_be_read_is_read_and_says_so_on_writing),
        cmocka_unit_test(bytes_gone_bad_never_crash_and_are_told_in_one_line),
        cmocka_unit_test(stores_kept_from_every_earlier_version_come_up_whole),
        cmocka_unit_test(memory_that_runs_out_loses_nothing_told),
    };
    const int failed = cmocka_run_group_tests(tests, NULL, NULL);
    cut_begin(); /* drops every file */
    return failed;
}
