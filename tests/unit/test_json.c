/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Strict JSON in: each complaint names the place. */
#include "unit.h"

#include <string.h>

#include "json.h"
#include "mem.h"

static lev_status open_text(const char *s, lev_json_in *in, lev_arena *arena,
                            lev_error *err)
{
    lev_bytes b = {0};
    b.n = strlen(s);
    assert_int_equal(lev_mem_text(s, b.n, &b.data, err), LEV_OK);
    return lev_json_in_open(in, "job.json", &b, arena, err);
}

static void values_are_found_by_line_and_column(void **state)
{
    (void)state;
    static const char text[] =
        "{\n \"a\": {\"\\\"x\": [1, {\"b\": 2}]},\n \"b\": \"}\",\n"
        "  \"c\": [ {\"d\":1}, {\"\xC2\xB5\": 3, \"e\": -4} ] }";
    static const struct {
        const char *path;
        bool key;
        int line, column;
    } places[] = {/* counted by hand */
                  {"", false, 1, 1},       {"a", false, 2, 7},
                  {"b", false, 3, 7},      {"c[1].e", false, 4, 33},
                  {"c[1].e", true, 4, 28}, {"c[0].d", false, 4, 15},
                  {"c", true, 4, 3}};
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        int line = 0, column = 0;
        assert_true(
            lev_json_locate(text, places[i].path, places[i].key, &line, &column));
        assert_int_equal(line, places[i].line);
        assert_int_equal(column, places[i].column);
    }
    int line = 0, column = 0;
    assert_false(lev_json_locate(text, "c[2].e", false, &line, &column));
    assert_false(lev_json_locate("{\"a\"", "a.b", false, &line, &column));
}

static void syntax_errors_name_the_position(void **state)
{
    (void)state;
    static const struct {
        const char *text, *where;
    } bad[] = {{"{\"a\": 1,\n \"a\": 2}", "job.json:2:4"}, /* duplicate key */
               {"{\"a\": tru}", "job.json:1:9"},
               {"[1]", "job.json:1:1"},
               {"{\"a\":\n [1, null]}", "job.json:2:6"},
               {"{\"a\": 1e999}", "job.json:1:11"}};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        lev_arena arena = {0};
        lev_error err = {0};
        lev_json_in in;
        assert_int_equal(open_text(bad[i].text, &in, &arena, &err), LEV_E_FORMAT);
        assert_string_equal(err.where, bad[i].where);
        assert_true(err.text[0] != '\0');
        lev_arena_release(&arena);
    }
}

static void unknown_keys_bring_the_nearest_known_one(void **state)
{
    (void)state;
    lev_arena arena = {0};
    lev_error err = {0};
    lev_json_in in;
    assert_ok(open_text("{\"name\": \"x\", \"farces\": []}", &in, &arena, &err), &err);
    assert_int_equal(lev_json_keys(&in, in.root, "", "name;faces"), LEV_E_FORMAT);
    assert_string_equal(err.where, "job.json:1:15");
    assert_non_null(strstr(err.text, "did you mean \"faces\""));
    lev_json_in_release(&in);
    lev_arena_release(&arena);
}

static void numbers_out_of_range_say_the_range(void **state)
{
    (void)state;
    lev_arena arena = {0};
    lev_error err = {0};
    lev_json_in in;
    double x = 0.0;
    int64_t n = 0;
    assert_ok(open_text("{\"a\": -5, \"b\": \"x\", \"c\": 1.5}", &in, &arena, &err),
              &err);
    assert_int_equal(lev_json_get_number(&in, in.root, "", "a", true, 0, 9, &x),
                     LEV_E_FORMAT);
    assert_non_null(strstr(err.text, "a is -5; it should be from 0 to 9"));
    assert_int_equal(lev_json_get_number(&in, in.root, "", "b", true, 0, 9, &x),
                     LEV_E_FORMAT);
    assert_int_equal(lev_json_get_int(&in, in.root, "", "c", true, 0, 9, &n),
                     LEV_E_FORMAT);
    assert_int_equal(lev_json_get_number(&in, in.root, "", "z", true, 0, 9, &x),
                     LEV_E_FORMAT);
    assert_int_equal(lev_json_get_number(&in, in.root, "", "z", false, 0, 9, &x),
                     LEV_OK);
    lev_json_in_release(&in);
    lev_arena_release(&arena);
}

static void replies_begin_with_the_version_and_leave_out_the_unknown(void **state)
{
    (void)state;
    lev_error err = {0};
    char *s = NULL;
    json_t *r = lev_json_reply();
    int bad = lev_json_put_number(r, "x_um", 0.1);
    bad |= lev_json_put_number(r, "y_um", (double)NAN);
    bad |= lev_json_put_text(r, "z", "");
    assert_ok(lev_json_write(r, bad, &s, &err), &err);
    assert_string_equal(s, "{\n \"levigate_json\": 1,\n \"x_um\": 0.1\n}\n");
    lev_mem_free(s);
    json_decref(r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values_are_found_by_line_and_column),
        cmocka_unit_test(syntax_errors_name_the_position),
        cmocka_unit_test(unknown_keys_bring_the_nearest_known_one),
        cmocka_unit_test(numbers_out_of_range_say_the_range),
        cmocka_unit_test(replies_begin_with_the_version_and_leave_out_the_unknown),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
