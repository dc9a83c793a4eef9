/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The marks of trust and their order (data/README.md, section Marks). */
#include "unit.h"

#include <string.h>

#include "levigate/trust.h"

/* The order of data/README.md, strongest first. */
static const lev_mark strongest_first[] = {
    LEV_MARK_READ,        LEV_MARK_LOG,     LEV_MARK_ABSTRACT,
    LEV_MARK_SECOND_HAND, LEV_MARK_DERIVED, LEV_MARK_FITTED,
    LEV_MARK_PRACTICE,    LEV_MARK_MEMORY,  LEV_MARK_INVENTED};
enum { N = sizeof strongest_first / sizeof *strongest_first };

static void the_weaker_of_two_marks_stands_later_in_the_order(void **state)
{
    (void)state;
    assert_int_equal(N, LEV_MARK_END - 1); /* no mark is missing */
    for (int i = 0; i < N; i++)
        for (int k = 0; k < N; k++) {
            const lev_mark late = strongest_first[i > k ? i : k];

            assert_int_equal(lev_mark_weaker(strongest_first[i], strongest_first[k]),
                             late);
        }
}

static void no_mark_counts_as_nothing_known_yet(void **state)
{
    (void)state;
    for (int i = 0; i < N; i++) {
        const lev_mark m = strongest_first[i];

        assert_int_equal(lev_mark_weaker(LEV_MARK_UNSET, m), m);
        assert_int_equal(lev_mark_weaker(m, LEV_MARK_UNSET), m);
    }
    assert_int_equal(lev_mark_weaker(LEV_MARK_UNSET, LEV_MARK_UNSET), LEV_MARK_UNSET);
}

static void names_are_those_written_in_the_tables(void **state)
{
    (void)state;
    assert_string_equal(lev_mark_name(LEV_MARK_READ), "read");
    assert_string_equal(lev_mark_name(LEV_MARK_SECOND_HAND), "second-hand");
    assert_string_equal(lev_mark_name(LEV_MARK_INVENTED), "invented");
    for (int i = 0; i < N; i++)
        assert_true(strlen(lev_mark_meaning(strongest_first[i])) > 0);
}

static void a_value_outside_the_list_has_no_name_of_a_mark(void **state)
{
    (void)state;
    assert_string_equal(lev_mark_name(LEV_MARK_UNSET), "unset");
    assert_string_equal(lev_mark_name(LEV_MARK_END), "unset");
    assert_string_equal(lev_mark_name((lev_mark)-1), "unset");
    assert_string_equal(lev_mark_meaning(LEV_MARK_END), "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_weaker_of_two_marks_stands_later_in_the_order),
        cmocka_unit_test(no_mark_counts_as_nothing_known_yet),
        cmocka_unit_test(names_are_those_written_in_the_tables),
        cmocka_unit_test(a_value_outside_the_list_has_no_name_of_a_mark),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
