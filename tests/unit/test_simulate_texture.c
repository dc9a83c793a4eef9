/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every step left on a face, followed through the steps after it: the textures add
 * up to the face and agree with the records of their steps. */
#include "simulate_scene.h"

#include <math.h>

#include "units.h"

/* Square of Rq of a map of heights. */
static double mean_square(const float *h_um, ptrdiff_t n)
{
    double sum = 0.0;
    for (ptrdiff_t i = 0; i < n; i++)
        sum += (double)h_um[i] * (double)h_um[i];
    return sum / (double)n;
}

/* Waves of this length and half height along the rows, into nx * ny heights. */
static void wave(const lev_sim *sim, lev_sim_grid grid, double length_um,
                 double half_um, lev_sim *to)
{
    const ptrdiff_t n = grid.nx * grid.ny;
    float *const h_um = heights(sim, n);
    for (ptrdiff_t i = 0; i < n; i++)
        h_um[i] += (float)(half_um * cos(2.0 * LEV_PI * (double)(i % grid.nx) *
                                         grid.pitch_um / length_um));
    assert_ok(lev_sim_set_heights(to, h_um, NULL), &(lev_error){0});
    test_free(h_um);
}

static lev_sim_step texture_step(double d50_um, double depth_um, uint64_t seed)
{
    lev_sim_step s = usual_step();
    s.grains.d50_um = d50_um;
    s.distance_m = 1e3;
    s.depth_um = depth_um;
    s.records = 4000;
    s.seed = seed;
    return s;
}

static void textures_add_up_to_the_face(void **state)
{
    (void)state;
    lev_sim_grid grid = small_square();
    grid.textures = 4;
    lev_sim *const sim = face(grid);
    const double d[] = {150.0, 90.0, 60.0};
    for (int k = 0; k < 3; k++) {
        lev_sim_step step = texture_step(d[k], 0.4, 3);
        step.lay = LEV_LAY_STRAIGHT;
        step.angle_rad = k % 2 == 0 ? 0.4 : -0.4;
        lev_sim_result r = run(sim, &step);
        ptrdiff_t n;
        const lev_sim_texture *const t = lev_sim_textures(sim, &n);
        assert_int_equal(n, k + 1);
        /* Maps are orthogonal, so squares add up: exact algebra, float rounding. */
        double square = 0.0, share = 0.0;
        for (ptrdiff_t i = 0; i < n; i++) {
            square += t[i].left * t[i].left * t[i].Rq_um * t[i].Rq_um;
            share += t[i].share;
            assert_int_equal(t[i].step, i + 1);
        }
        float *const h_um = heights(sim, grid.nx * grid.ny);
        assert_near(square, mean_square(h_um, grid.nx * grid.ny), 1e-4);
        /* A face that was flat before has points nobody cut; all others are someone's.
         */
        assert_true(share > 0.5 && share <= 1.0);
        test_free(h_um);
        lev_sim_result_release(&r);
    }
    lev_sim_free(sim);
}

static void a_texture_is_followed_as_the_records_of_its_step_follow_it(void **state)
{
    (void)state;
    lev_sim_grid grid = small_grid();
    grid.textures = 3;
    lev_sim *const sim = face(grid);
    lev_sim_step step = texture_step(200.0, 4.0, 5);
    lev_sim_result r = run(sim, &step);
    lev_sim_result_release(&r);
    step = texture_step(92.0, 4.0, 6);
    r = run(sim, &step);
    ptrdiff_t n;
    const lev_sim_texture *t = lev_sim_textures(sim, &n);
    /* Same projection, same cut: 1e-3 for maps kept as float. */
    assert_near(t[0].left, last(&r)->old_amplitude, 1e-3);
    assert_near(t[0].left_long, last(&r)->old_long, 1e-3);
    assert_near(t[0].left_short, last(&r)->old_short, 1e-3);
    assert_near(t[0].cut_um, 92.0, 1e-12);
    /* Long waves outlive short lines: the law of decay of doc/physics/kernel.md. */
    assert_true(t[0].left_long > t[0].left_short + 0.1);
    lev_sim_result_release(&r);
    step = texture_step(60.0, 1.0, 7);
    r = run(sim, &step);
    t = lev_sim_textures(sim, &n);
    assert_int_equal(n, 3);
    assert_near(t[0].cut_um, 92.0, 1e-12); /* stays its own */
    assert_near(t[1].cut_um, 60.0, 1e-12);
    lev_sim_result_release(&r);
    lev_sim_free(sim);
}

static void a_wave_under_a_coarser_texture_is_not_lost_in_Ra(void **state)
{
    (void)state;
    double Ra_um[2];
    for (int waved = 0; waved < 2; waved++) {
        lev_sim_grid grid = small_grid();
        grid.nx = 2000; /* 20 grains wide: less chance in Ra */
        grid.textures = 2;
        lev_sim *const sim = face(grid);
        wave(sim, grid, 1000.0, waved * 0.25, sim);
        lev_sim_step step = texture_step(100.0, 3.0, 9);
        lev_sim_result r = run(sim, &step);
        Ra_um[waved] = last(&r)->Ra_um;
        ptrdiff_t n;
        const lev_sim_texture *const t = lev_sim_textures(sim, &n);
        assert_int_equal(n, waved + 1);
        if (waved)
            /* exp(-r / rho), rho 0.09 to 0.15 d50 (prototype, see kernel.md), r 3 um;
             * 0.25 for what chance gives to a wave lower than the texture over it */
            assert_true(t[0].left > exp(-3.0 / 9.0) - 0.25 &&
                        t[0].left < exp(-3.0 / 15.0) + 0.25);
        lev_sim_result_release(&r);
        lev_sim_free(sim);
    }
    assert_near(Ra_um[1], Ra_um[0], 0.15); /* Ra does not see it */
}

static void a_texture_that_is_gone_is_within_chance(void **state)
{
    (void)state;
    lev_sim_grid grid = small_grid();
    grid.nx = 2000;
    grid.textures = 2;
    lev_sim *const sim = face(grid);
    lev_sim_step step = texture_step(50.0, 1.0, 21);
    lev_sim_result r = run(sim, &step);
    lev_sim_result_release(&r);
    step = texture_step(50.0, 40.0, 22); /* e^-6 of the long waves would be left */
    r = run(sim, &step);
    ptrdiff_t n;
    const lev_sim_texture *const t = lev_sim_textures(sim, &n);
    assert_true(t[0].chance > 0.0 && t[0].chance < 0.5);
    assert_true(fabs(t[0].left) < 4.0 * t[0].chance); /* 4 sd */
    assert_near(t[0].share, 0.0, 1e-12);
    assert_near(t[0].deepest_um, 0.0, 1e-12);
    lev_sim_result_release(&r);
    lev_sim_free(sim);
}

static void the_weakest_texture_makes_room(void **state)
{
    (void)state;
    lev_sim_grid grid = small_grid();
    grid.textures = 2;
    lev_sim *const sim = face(grid);
    for (int k = 0; k < 4; k++) {
        lev_sim_step step = texture_step(k == 2 ? 80.0 : 60.0, k == 2 ? 0.05 : 3.0, 2);
        lev_sim_result r = run(sim, &step);
        lev_sim_result_release(&r);
    }
    ptrdiff_t n;
    const lev_sim_texture *const t = lev_sim_textures(sim, &n);
    assert_int_equal(n, 2);
    assert_int_equal(t[1].step, 4); /* the newest always stands */
    lev_sim_free(sim);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(textures_add_up_to_the_face),
        cmocka_unit_test(a_texture_is_followed_as_the_records_of_its_step_follow_it),
        cmocka_unit_test(a_wave_under_a_coarser_texture_is_not_lost_in_Ra),
        cmocka_unit_test(a_texture_that_is_gone_is_within_chance),
        cmocka_unit_test(the_weakest_texture_makes_room),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
