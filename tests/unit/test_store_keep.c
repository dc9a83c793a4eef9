/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything out and in: the same bytes, or nothing at all. */
#include "unit.h"

#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "app_store.h"
#include "csv_io.h"
#include "file.h"
#include "json.h"
#include "mem.h"
#include "store_fill.h"

static char folder[64];

static const char *in_folder(const char *name)
{
    static char names[8][160];
    static int turn;
    turn = (turn + 1) % 8;
    (void)snprintf(names[turn], sizeof names[turn], "%s/%s", folder, name);
    return names[turn];
}

static int make_folder(void **state)
{
    (void)state;
    (void)snprintf(folder, sizeof folder, "%s", "/tmp/levigate-keep-XXXXXX");
    lev_json_init();
    return mkdtemp(folder) == NULL ? -1 : 0;
}

static int drop_folder(void **state)
{
    (void)state;
    char command[100];
    (void)snprintf(command, sizeof command, "rm -r '%s'", folder);
    return system(command);
}

static lev_status act(lev_store_act what, const char *store, const char *file,
                      bool replace, lev_error *err)
{
    lev_store_reply r;
    const lev_store_ask ask = {what, store, file, replace};
    *err = (lev_error){0};
    return lev_app_store(&ask, &r, err);
}

static void make_store(const char *path, uint64_t seed, int jobs, int entries)
{
    lev_store *s = NULL;
    lev_error err = {0};
    assert_ok(lev_store_open(path, &(lev_store_options){.write = true}, &s, &err),
              &err);
    assert_ok(fill_store(s, seed, jobs, entries, &err), &err);
    lev_store_close(s);
}

static void assert_same_file(const char *a, const char *b)
{
    lev_bytes x = {0}, y = {0};
    lev_error err = {0};
    assert_ok(lev_bytes_read(a, 1 << 28, &x, &err), &err);
    assert_ok(lev_bytes_read(b, 1 << 28, &y, &err), &err);
    assert_int_equal(x.n, y.n);
    assert_memory_equal(x.data, y.data, x.n);
    lev_bytes_release(&x);
    lev_bytes_release(&y);
}

static int count_row(void *to, const lev_store_value *value, int n)
{
    (void)value;
    (void)n;
    *(int64_t *)to += 1;
    return 0;
}

/* Rows of a store that is sound. */
static int64_t rows_in(const char *store)
{
    lev_store *s = NULL;
    int64_t rows = 0;
    lev_error err = {0};
    assert_ok(lev_store_open(store, &(lev_store_options){0}, &s, &err), &err);
    assert_ok(lev_store_check(s, &err), &err);
    for (int i = 0; i < lev_store_tables(); i++)
        assert_ok(lev_store_read_table(s, i, count_row, &rows, &err), &err);
    lev_store_close(s);
    return rows;
}

static void out_and_in_and_out_again_are_the_same_bytes(void **state)
{
    (void)state;
    lev_error err = {0};
    for (uint64_t seed = 1; seed <= 3; seed++) {
        char from[16], to[16], mixed[16], name[16];
        (void)snprintf(from, sizeof from, "a%d.db", (int)seed);
        (void)snprintf(to, sizeof to, "b%d.db", (int)seed);
        (void)snprintf(mixed, sizeof mixed, "c%d.db", (int)seed);
        (void)snprintf(name, sizeof name, "csv%d", (int)seed);
        make_store(in_folder(from), seed, 4, 60);
        assert_ok(
            act(LEV_STORE_EXPORT, in_folder(from), in_folder("1.json"), false, &err),
            &err);
        assert_ok(
            act(LEV_STORE_IMPORT, in_folder(to), in_folder("1.json"), false, &err),
            &err);
        assert_ok(
            act(LEV_STORE_EXPORT, in_folder(to), in_folder("2.json"), false, &err),
            &err);
        assert_same_file(in_folder("1.json"), in_folder("2.json"));
        assert_ok(act(LEV_STORE_EXPORT, in_folder(to), in_folder(name), false, &err),
                  &err);
        assert_ok(act(LEV_STORE_IMPORT, in_folder(mixed), in_folder(name), false, &err),
                  &err);
        assert_ok(
            act(LEV_STORE_EXPORT, in_folder(mixed), in_folder("3.json"), false, &err),
            &err);
        assert_same_file(in_folder("1.json"), in_folder("3.json"));
        assert_int_equal(rows_in(in_folder(from)), rows_in(in_folder(mixed)));
        assert_int_equal(act(LEV_STORE_CHECK, in_folder(mixed), NULL, false, &err),
                         LEV_E_IO); /* the files its hashes name were never there */
    }
}

static void numbers_keep_every_bit(void **state)
{
    (void)state;
    static const double ends[] = {
        0.1,    1.0 / 3.0,          1e-300, 1.7976931348623157e308,
        5e-324, 9007199254740993.0, 1e15,   123456789.0};
    enum { N = (int)(sizeof ends / sizeof *ends) };
    lev_store *s = NULL;
    lev_error err = {0};
    assert_ok(lev_store_open(in_folder("a.db"), &(lev_store_options){.write = true}, &s,
                             &err),
              &err);
    for (int i = 0; i < N; i++) {
        int64_t id = 0;
        bool joined = false;
        char label[8];
        (void)snprintf(label, sizeof label, "P%d", i);
        const lev_store_medium m = {.marking = label,
                                    .system = "P",
                                    .label = label,
                                    .state = "fresh",
                                    .d50_um = ends[i],
                                    .width_mm = NAN,
                                    .height_mm = NAN,
                                    .reorder_at = NAN};
        assert_ok(lev_store_drawer_add(s, &m, 1, &id, &joined, &err), &err);
    }
    lev_store_close(s);
    assert_ok(act(LEV_STORE_EXPORT, in_folder("a.db"), in_folder("t"), false, &err),
              &err);
    assert_ok(act(LEV_STORE_IMPORT, in_folder("b.db"), in_folder("t"), false, &err),
              &err);
    assert_ok(act(LEV_STORE_EXPORT, in_folder("b.db"), in_folder("u"), false, &err),
              &err);
    assert_same_file(in_folder("t/medium.csv"), in_folder("u/medium.csv"));
    lev_bytes b = {0};
    assert_ok(lev_bytes_read(in_folder("u/medium.csv"), 1 << 20, &b, &err), &err);
    for (int i = 0; i < N; i++) {
        char digits[LEV_NUM_TEXT], *found = b.data;
        lev_num_write(ends[i], 0, digits);
        found = strstr(b.data, digits);
        assert_non_null(found);
    }
    lev_bytes_release(&b);
}

static void put_file(const char *path, const char *text)
{
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    assert_true(fputs(text, f) >= 0);
    assert_int_equal(fclose(f), 0);
}

/* The text of a file with its first `from` turned into `to`. */
static void alter(const char *path, const char *out, const char *from, const char *to)
{
    lev_bytes b = {0};
    lev_text t = {0};
    lev_error err = {0};
    assert_ok(lev_bytes_read(path, 1 << 24, &b, &err), &err);
    const char *at = strstr(b.data, from);
    assert_non_null(at);
    lev_text_add_n(&t, b.data, (size_t)(at - b.data));
    lev_text_add(&t, to);
    lev_text_add(&t, at + strlen(from));
    put_file(out, lev_text_get(&t));
    lev_text_release(&t);
    lev_bytes_release(&b);
}

static void a_wrong_value_is_named_with_its_line_and_nothing_stays(void **state)
{
    (void)state;
    static const struct {
        const char *from, *to, *where, *says;
    } wrong[] = {
        {"\"state\": \"fresh\"", "\"state\": 5", "bad.json:", "state should be a text"},
        {"\"count\": ", "\"cuont\": ", "bad.json:", "did you mean \"count\""},
        {"\"marking\": \"P100\"", "\"marking\": \"\"", "bad.json:", "CHECK"},
        {"\"medium_id\": 1,", "\"medium_id\": 999,", "bad.json:", "FOREIGN KEY"},
        {"\"left_after\": ", "\"left_after\": -", "bad.json:", "CHECK"},
        {"\"store_schema\": ", "\"store_schema\": 9", "bad.json", "newer version"},
        {"\"tables\": {", "\"tables\": {\"more\": [],", "bad.json:", "not known here"},
        {"\"medium\": [", "\"medium\": [7, ", "bad.json:", "should be an object"},
        {"\"id\": 2, \"marking\"", "\"id\": 1, \"marking\"", "bad.json:", "UNIQUE"},
        {"\"price_minor\": ", "\"price_minor\": 0.5, \"holes\": \"\", \"lot\": ",
         "bad.json:", ""},
    };
    lev_error err = {0};
    make_store(in_folder("a.db"), 5, 2, 20);
    assert_ok(
        act(LEV_STORE_EXPORT, in_folder("a.db"), in_folder("a.json"), false, &err),
        &err);
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        alter(in_folder("a.json"), in_folder("bad.json"), wrong[i].from, wrong[i].to);
        const lev_status st = act(LEV_STORE_IMPORT, in_folder("b.db"),
                                  in_folder("bad.json"), false, &err);
        assert_true(st == LEV_E_FORMAT || st == LEV_E_SYSTEM);
        if (strstr(err.where, wrong[i].where) == NULL ||
            strstr(err.text, wrong[i].says) == NULL)
            fail_msg("case %d: %s: %s", (int)i, err.where, err.text);
        assert_null(strchr(err.text, '\n'));
        assert_int_equal(rows_in(in_folder("b.db")), 0);
    }
}

static void a_wrong_cell_is_named_with_its_line_and_column(void **state)
{
    (void)state;
    lev_error err = {0};
    make_store(in_folder("a.db"), 5, 2, 20);
    assert_ok(act(LEV_STORE_EXPORT, in_folder("a.db"), in_folder("t"), false, &err),
              &err);
    put_file(in_folder("t/shop.csv"), "key,value\n\"a\",\"b\"\n\"c\"\n");
    assert_int_equal(
        act(LEV_STORE_IMPORT, in_folder("b.db"), in_folder("t"), false, &err),
        LEV_E_FORMAT);
    assert_string_equal(err.where, in_folder("t/shop.csv:3:1"));
    put_file(in_folder("t/shop.csv"),
             "key;value\n\"a;\";\"b\"\"c\"\n"); /* semicolons */
    alter(in_folder("t/exercise.csv"), in_folder("t/exercise.csv"), "\n1,", "\none,");
    assert_int_equal(
        act(LEV_STORE_IMPORT, in_folder("b.db"), in_folder("t"), false, &err),
        LEV_E_FORMAT);
    assert_string_equal(err.where, in_folder("t/exercise.csv:2:1"));
    assert_string_equal(err.text, "id \"one\" should be a whole number");
    alter(in_folder("t/exercise.csv"), in_folder("t/exercise.csv"), "\none,", "\n1,");
    assert_ok(act(LEV_STORE_IMPORT, in_folder("b.db"), in_folder("t"), false, &err),
              &err);
    assert_int_equal(unlink(in_folder("t/guess.csv")), 0);
    assert_int_equal(
        act(LEV_STORE_IMPORT, in_folder("c.db"), in_folder("t"), false, &err),
        LEV_E_IO);
    assert_int_equal(rows_in(in_folder("c.db")), 0);
}

static void a_store_with_work_in_it_is_replaced_only_when_asked(void **state)
{
    (void)state;
    lev_error err = {0};
    make_store(in_folder("a.db"), 1, 2, 20);
    make_store(in_folder("b.db"), 2, 3, 30);
    const int64_t a = rows_in(in_folder("a.db")), b = rows_in(in_folder("b.db"));
    assert_int_not_equal(a, b);
    assert_ok(
        act(LEV_STORE_EXPORT, in_folder("a.db"), in_folder("a.json"), false, &err),
        &err);
    assert_int_equal(
        act(LEV_STORE_IMPORT, in_folder("b.db"), in_folder("a.json"), false, &err),
        LEV_E_USAGE);
    assert_non_null(strstr(err.text, "--replace"));
    assert_int_equal(rows_in(in_folder("b.db")), b);
    assert_ok(act(LEV_STORE_IMPORT, in_folder("b.db"), in_folder("a.json"), true, &err),
              &err);
    assert_int_equal(rows_in(in_folder("b.db")), a);
    assert_int_equal(rows_in(in_folder("b.db.before-import")), b);
    assert_ok(act(LEV_STORE_RESTORE, in_folder("b.db"), in_folder("b.db.before-import"),
                  false, &err),
              &err);
    assert_int_equal(rows_in(in_folder("b.db")), b);
    assert_int_equal(rows_in(in_folder("b.db.before-restore")), a);
}

static void a_damaged_store_is_put_aside_and_the_copy_takes_its_place(void **state)
{
    (void)state;
    lev_error err = {0};
    make_store(in_folder("a.db"), 1, 2, 20);
    const int64_t rows = rows_in(in_folder("a.db"));
    assert_ok(act(LEV_STORE_BACKUP, in_folder("a.db"), in_folder("copy"), false, &err),
              &err);
    FILE *f = fopen(in_folder("a.db"), "r+b");
    assert_non_null(f);
    for (int i = 0; i < 8192; i++)
        assert_int_not_equal(fputc('x', f), EOF);
    assert_int_equal(fclose(f), 0);
    assert_int_equal(act(LEV_STORE_CHECK, in_folder("a.db"), NULL, false, &err),
                     LEV_E_IO);
    assert_int_equal(
        act(LEV_STORE_RESTORE, in_folder("a.db"), in_folder("none"), false, &err),
        LEV_E_IO);
    assert_int_equal(access(in_folder("a.db.damaged"), F_OK), -1);
    assert_ok(act(LEV_STORE_RESTORE, in_folder("a.db"), in_folder("copy"), false, &err),
              &err);
    assert_int_equal(rows_in(in_folder("a.db")), rows);
    assert_int_equal(access(in_folder("a.db.damaged"), F_OK), 0);
}

static void an_export_never_overwrites_a_folder_and_leaves_no_scraps(void **state)
{
    (void)state;
    lev_error err = {0};
    make_store(in_folder("a.db"), 1, 1, 5);
    assert_int_equal(mkdir(in_folder("t"), 0700), 0);
    put_file(in_folder("t/mine"), "x");
    assert_int_equal(
        act(LEV_STORE_EXPORT, in_folder("a.db"), in_folder("t"), false, &err),
        LEV_E_USAGE);
    assert_int_equal(
        act(LEV_STORE_EXPORT, in_folder("a.db"), in_folder("no/such/x"), false, &err),
        LEV_E_IO);
    assert_int_equal(act(LEV_STORE_EXPORT, in_folder("a.db"),
                         in_folder("no/such/x.json"), false, &err),
                     LEV_E_IO);
    assert_int_equal(act(LEV_STORE_CHECK, in_folder("none.db"), NULL, false, &err),
                     LEV_E_IO);
    assert_int_equal(access(in_folder("none.db"), F_OK), -1);
}

static void every_allocation_may_fail_and_nothing_is_lost(void **state)
{
    (void)state;
    lev_error err = {0};
    make_store(in_folder("a.db"), 1, 1, 3);
    assert_ok(
        act(LEV_STORE_EXPORT, in_folder("a.db"), in_folder("a.json"), false, &err),
        &err);
    const long alive = lev_mem_test_alive();
    for (int round = 0; round < 2; round++) {
        lev_status st = LEV_E_MEMORY;
        long nth = 1;
        for (; st < 0 && nth < 100000; nth += nth < 60 ? 1 : nth / 8) {
            lev_mem_test_fail(nth);
            st = round == 0 ? act(LEV_STORE_IMPORT, in_folder("b.db"),
                                  in_folder("a.json"), false, &err)
                            : act(LEV_STORE_EXPORT, in_folder("a.db"),
                                  in_folder("c.json"), false, &err);
            lev_mem_test_fail(0);
            assert_int_equal(lev_mem_test_alive(), alive);
            if (st < 0 && round == 0 && access(in_folder("b.db"), F_OK) == 0)
                assert_int_equal(rows_in(in_folder("b.db")), 0);
        }
        assert_ok(st, &err);
        assert_true(nth > 10);
    }
    assert_same_file(in_folder("a.json"), in_folder("c.json"));
}

#define IN_FOLDER(f) cmocka_unit_test_setup_teardown(f, make_folder, drop_folder)

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_FOLDER(out_and_in_and_out_again_are_the_same_bytes),
        IN_FOLDER(numbers_keep_every_bit),
        IN_FOLDER(a_wrong_value_is_named_with_its_line_and_nothing_stays),
        IN_FOLDER(a_wrong_cell_is_named_with_its_line_and_column),
        IN_FOLDER(a_store_with_work_in_it_is_replaced_only_when_asked),
        IN_FOLDER(a_damaged_store_is_put_aside_and_the_copy_takes_its_place),
        IN_FOLDER(an_export_never_overwrites_a_folder_and_leaves_no_scraps),
        IN_FOLDER(every_allocation_may_fail_and_nothing_is_lost),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
