/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From one map of a relief to the next: what a part at another pitch keeps. */
#include "unit.h"

#include <math.h>
#include <stdlib.h>

#include "app_relief.h"
#include "units.h"

enum { OLD = 240, NEW = 300 };

/* Waves of 40 and 30 old pitches along rows and columns. */
static double height(double x, double y)
{
    return 3.0 * cos(2.0 * LEV_PI * x / 40.0) + 2.0 * sin(2.0 * LEV_PI * y / 30.0);
}

static float *part(double pitch_um)
{
    const lev_sim_grid old = {.nx = OLD, .ny = OLD, .pitch_um = 2.0};
    const lev_sim_grid to = {.nx = NEW, .ny = NEW, .pitch_um = pitch_um};
    float *const from = test_malloc(sizeof(float[OLD * OLD]));
    float *const out = test_malloc(sizeof(float[NEW * NEW]));
    for (int j = 0; j < OLD; j++)
        for (int i = 0; i < OLD; i++)
            from[j * OLD + i] = (float)height(i, j);
    lev_relief_zoom(from, &old, &to, out);
    test_free(from);
    return out;
}

static void a_part_has_the_heights_of_the_map(void **state)
{
    (void)state;
    float *const h_um = part(0.4);
    for (int j = 0; j < NEW * 9 / 10; j += 7)
        for (int i = 0; i < NEW * 9 / 10; i += 7) /* the far tenth fades over */
            assert_near_abs((double)h_um[j * NEW + i], height(0.2 * i, 0.2 * j), 0.01);
    test_free(h_um);
}

static void a_part_wraps_round_without_a_seam(void **state)
{
    (void)state;
    /* 120 um of the old map: one and a half waves along the rows, so that the bare part
     * would jump by 6 um there */
    float *const h_um = part(0.4);
    double inside = 0.0, seam = 0.0;
    for (int j = 0; j < NEW; j++) {
        const float *const row = h_um + j * NEW;
        seam = fmax(seam, fabs((double)row[0] - (double)row[NEW - 1]));
        for (int i = 1; i < NEW; i++)
            inside = fmax(inside, fabs((double)row[i] - (double)row[i - 1]));
    }
    assert_true(seam < 1.5 * inside);
    assert_true(inside < 0.6);
    test_free(h_um);
}

static void a_part_wider_than_the_map_repeats_it(void **state)
{
    (void)state;
    float *const h_um = part(4.0);
    assert_near_abs((double)h_um[7], (double)h_um[7 + OLD / 2], 1e-4);
    assert_near_abs((double)h_um[7 * NEW], (double)h_um[(7 + OLD / 2) * NEW], 1e-4);
    test_free(h_um);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_part_has_the_heights_of_the_map),
        cmocka_unit_test(a_part_wraps_round_without_a_seam),
        cmocka_unit_test(a_part_wider_than_the_map_repeats_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
