/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The gate's arithmetic: how often one address may write. Figures of http_rate.h. */
#include "unit.h"

#include "http_rate.h"

static int taken(lev_rate *r, uint64_t address, int n, int64_t at_ms)
{
    int granted = 0;
    for (int i = 0; i < n; i++)
        granted += lev_rate_take(r, address, at_ms) ? 1 : 0;
    return granted;
}

static void a_full_bucket_empties_and_fills_again(void **state)
{
    lev_rate r;
    (void)state;
    lev_rate_init(&r);
    assert_int_equal(taken(&r, 7, 1000, 1000), LEV_RATE_FULL);
    assert_int_equal(taken(&r, 7, 1000, 1500), LEV_RATE_EACH_S / 2);
    assert_int_equal(taken(&r, 7, 1000, 3600 * 1000), LEV_RATE_FULL);
    lev_rate_release(&r);
}

static void one_address_does_not_empty_another(void **state)
{
    lev_rate r;
    (void)state;
    lev_rate_init(&r);
    assert_int_equal(taken(&r, 7, 1000, 1000), LEV_RATE_FULL);
    assert_int_equal(taken(&r, 8, 5, 1000), 5);
    assert_int_equal(taken(&r, 7, 5, 1000), 0);
    lev_rate_release(&r);
}

static void the_address_unheard_longest_makes_room(void **state)
{
    lev_rate r;
    (void)state;
    lev_rate_init(&r);
    assert_int_equal(taken(&r, 1, 1000, 1000), LEV_RATE_FULL);
    for (int i = 0; i < LEV_RATE_ADDRESSES - 1; i++)
        assert_int_equal(taken(&r, 100 + (uint64_t)i, 1, 1001), 1);
    assert_int_equal(taken(&r, 1, 1, 1002), 0);   /* still remembered, and heard now */
    assert_int_equal(taken(&r, 500, 1, 1003), 1); /* takes the place of 100 */
    assert_int_equal(taken(&r, 1, 1, 1004), 0);
    lev_rate_release(&r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_full_bucket_empties_and_fills_again),
        cmocka_unit_test(one_address_does_not_empty_another),
        cmocka_unit_test(the_address_unheard_longest_makes_room),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
