/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The floor everything stands on: numbers, text, memory, random numbers. */
#include "unit.h"

#include <locale.h>
#include <string.h>

#include "arena.h"
#include "mem.h"
#include "rng.h"
#include "text.h"

static void numbers_read_a_point_and_on_request_a_comma(void **state)
{
    (void)state;
    double x = 0.0;
    assert_true(lev_num_parse("-12.5e-1", false, &x));
    assert_near(x, -1.25, 0.0);
    assert_true(lev_num_parse("0,8", true, &x));
    assert_near(x, 0.8, 0.0);
    assert_false(lev_num_parse("0,8", false, &x));
}

static void numbers_refuse_what_is_no_finite_decimal(void **state)
{
    (void)state;
    static const char *const bad[] = {"",     ".",  "-",    "1e999", "nan", "inf",
                                      "0x10", "1 ", "1..2", "--1",   "e5"};
    double x = 0.0;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        assert_false(lev_num_parse(bad[i], true, &x));
}

static void written_numbers_read_back_the_same(void **state)
{
    (void)state;
    const lev_rng r = {7};
    for (uint64_t i = 0; i < 20000; i++) {
        char s[LEV_NUM_TEXT];
        double y = 0.0;
        const double x = ldexp(lev_rng_uniform(r, i, 0), (int)(i % 1900) - 950);
        lev_num_write(x, 0, s);
        assert_true(lev_num_parse(s, false, &y));
        assert_true(x <= y && x >= y);
    }
}

static void normal_quantile_meets_published_values(void **state)
{
    (void)state;
    /* Abramowitz & Stegun (1964), table 26.5 and the percentage points of table 26.2.
     */
    assert_near(lev_norm_quantile(0.975), 1.959963984540054, 1e-14);
    assert_near(lev_norm_quantile(0.9), 1.2815515655446004, 1e-14);
    assert_near(lev_norm_quantile(1e-10), -6.361340902404056, 1e-13);
    assert_near_abs(lev_norm_quantile(0.5), 0.0, 1e-300);
}

static void normal_quantile_undoes_the_distribution_function(void **state)
{
    (void)state;
    for (double x = -7.0; x < 7.0; x += 0.173)
        assert_near_abs(lev_norm_quantile(lev_norm_cdf(x)), x, x > 5.0 ? 1e-3 : 1e-9);
}

static void philox_gives_its_published_known_answers(void **state)
{
    (void)state;
    /* Known-answer vectors published with Salmon et al., SC11 (2011): philox4x32 10. */
    static const struct {
        uint32_t counter[4], key[2], out[4];
    } known[] = {
        {{0, 0, 0, 0}, {0, 0}, {0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}},
        {{0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff},
         {0xffffffff, 0xffffffff},
         {0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}},
        {{0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344},
         {0xa4093822, 0x299f31d0},
         {0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}},
    };
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        uint32_t out[4];
        lev_philox4x32(known[i].counter, known[i].key, out);
        assert_memory_equal(out, known[i].out, sizeof out);
    }
}

static void quadrature_integrates_polynomials_exactly(void **state)
{
    (void)state;
    double x[16], w[16];
    lev_gauss_legendre(16, x, w);
    double sum = 0.0;
    for (int i = 0; i < 16; i++)
        sum += w[i] * pow(x[i], 30.0);
    assert_near(sum, 2.0 / 31.0, 1e-13); /* closed form: 2 / (n + 1) for even n */
}

static void edit_distance_counts_single_slips(void **state)
{
    (void)state;
    assert_int_equal(lev_text_distance("P220", "p220"), 0);
    assert_int_equal(lev_text_distance("walnut", "wlanut"), 1);
    assert_int_equal(lev_text_distance("brass", "bras"), 1);
    assert_int_equal(lev_text_distance("", "abc"), 3);
}

static void utf8_is_told_from_garbage(void **state)
{
    (void)state;
    assert_true(lev_text_is_utf8("9 \xC2\xB5m", 5));
    assert_false(lev_text_is_utf8("\xC0\x80", 2));     /* overlong */
    assert_false(lev_text_is_utf8("\xED\xA0\x80", 3)); /* surrogate */
    assert_false(lev_text_is_utf8("a\0b", 3));
    assert_false(lev_text_is_utf8("\xE2\x82", 2)); /* cut short */
}

static void lists_hold_words_whatever_their_case(void **state)
{
    (void)state;
    assert_true(lev_text_in_list("Rolled Brass", "brass; rolled brass;x"));
    assert_false(lev_text_in_list("rolled", "brass; rolled brass;x"));
    assert_false(lev_text_in_list("", "a;b"));
}

static void text_grows_and_remembers_a_failure(void **state)
{
    (void)state;
    lev_text t = {0};
    for (int i = 0; i < 1000; i++)
        lev_text_print(&t, "%d,", i);
    assert_int_equal(t.st, LEV_OK);
    assert_int_equal(strlen(lev_text_get(&t)), t.n);
    assert_int_equal(t.n, 3890);
    lev_text_release(&t);
}

static void messages_are_cut_at_a_whole_character(void **state)
{
    (void)state;
    lev_error err = {0};
    char long_text[LEV_ERROR_MAX * 2 + 1] = "";
    for (size_t i = 0; i + 1 < sizeof long_text; i += 2)
        memcpy(long_text + i, "\xC2\xB5", 3);
    assert_int_equal(lev_fail(&err, LEV_E_RANGE, "%s", long_text), LEV_E_RANGE);
    assert_true(lev_text_is_utf8(err.text, strlen(err.text)));
}

static void arenas_refuse_more_than_their_limit(void **state)
{
    (void)state;
    lev_arena a = {.limit = 1000};
    lev_error err = {0};
    void *p = NULL;
    assert_ok(lev_arena_new(&a, 10, 50, &p, &err), &err);
    assert_int_equal(lev_arena_new(&a, 11, 50, &p, &err), LEV_E_LIMIT);
    lev_arena_release(&a);
    assert_int_equal(lev_mem_new((size_t)-1, 16, &p, &err), LEV_E_LIMIT);
}

static void a_cut_name_keeps_whole_words(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        size_t most;
        const char *kept;
    } rows[] = {
        {"P240", 18, "P240"},
        {"draw-filing with a smooth file", 30, "draw-filing with a smooth file"},
        {"draw-filing with a smooth file", 29, "draw-filing with a smooth"},
        {"draw-filing with a smooth file", 18, "draw-filing"},
        {"fine turning cut", 15, "fine turning"},
        {"unparted-and-too-long", 8, "unparted"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        lev_text t = {0};
        lev_text_add(&t, "at ");
        lev_text_add_words(&t, rows[i].name, rows[i].most);
        assert_string_equal(lev_text_get(&t) + 3, rows[i].kept);
        lev_text_release(&t);
    }
    lev_text t = {0};
    lev_text_add(&t, "go to 9 \xC2\xB5m");
    lev_text_capitals(&t, 3);
    assert_string_equal(lev_text_get(&t), "go TO 9 \xC2\xB5M");
    lev_text_release(&t);
}

/* RFC 4648 section 10 */
static void base_64_is_that_of_the_published_examples(void **state)
{
    (void)state;
    static const char *const pairs[][2] = {{"", ""},
                                           {"f", "Zg=="},
                                           {"fo", "Zm8="},
                                           {"foo", "Zm9v"},
                                           {"foob", "Zm9vYg=="},
                                           {"fooba", "Zm9vYmE="},
                                           {"foobar", "Zm9vYmFy"}};
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        lev_text t = {0};
        lev_text_base64(&t, pairs[i][0], strlen(pairs[i][0]));
        assert_string_equal(lev_text_get(&t), pairs[i][1]);
        lev_text_release(&t);
    }
    lev_text t = {0};
    const unsigned char all_ones[] = {0xff, 0xff, 0xff, 0xfb, 0xf0, 0x00};
    lev_text_base64(&t, all_ones, sizeof all_ones);
    assert_string_equal(lev_text_get(&t), "////+/AA");
    lev_text_release(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_cut_name_keeps_whole_words),
        cmocka_unit_test(base_64_is_that_of_the_published_examples),
        cmocka_unit_test(numbers_read_a_point_and_on_request_a_comma),
        cmocka_unit_test(numbers_refuse_what_is_no_finite_decimal),
        cmocka_unit_test(written_numbers_read_back_the_same),
        cmocka_unit_test(normal_quantile_meets_published_values),
        cmocka_unit_test(normal_quantile_undoes_the_distribution_function),
        cmocka_unit_test(philox_gives_its_published_known_answers),
        cmocka_unit_test(quadrature_integrates_polynomials_exactly),
        cmocka_unit_test(edit_distance_counts_single_slips),
        cmocka_unit_test(utf8_is_told_from_garbage),
        cmocka_unit_test(lists_hold_words_whatever_their_case),
        cmocka_unit_test(text_grows_and_remembers_a_failure),
        cmocka_unit_test(messages_are_cut_at_a_whole_character),
        cmocka_unit_test(arenas_refuse_more_than_their_limit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
