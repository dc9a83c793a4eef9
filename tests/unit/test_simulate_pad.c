/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The pad behind the sheet: closed forms for how it gives, bookkeeping exactly, and the
 * trade's rules about soft pads as outcomes of the kernel (common practice, no source).
 */
#include "simulate_scene.h"

#include <math.h>
#include <string.h>

#include "mem.h"
#include "units.h"

static void a_layer_gives_as_a_half_space_to_short_waves(void **state)
{
    (void)state;
    /* Johnson, Contact Mechanics (1985), 13.2: p lambda / (pi E*) */
    assert_near(lev_cut_pad_give(1000.0, 0.0, 2.0, 0.4), 1000.0 / (LEV_PI * 2.0),
                1e-12);
    assert_near(lev_cut_pad_give(100.0, 2000.0, 2.0, 0.4), 100.0 / (LEV_PI * 2.0),
                1e-9);
    assert_near(lev_cut_pad_give(1.0, 1e6, 2.0, 0.4), 1.0 / (LEV_PI * 2.0), 1e-9);
}

static void a_layer_held_at_its_back_gives_so_to_long_waves(void **state)
{
    (void)state;
    /* Hooke's law without strain along the layer: E (1 - nu) / ((1 + nu)(1 - 2 nu)),
     * E = E* (1 - nu^2); E* 2 MPa, nu 0.3: E 1.82 MPa, held 2.45 MPa */
    const double e = 2.0 * (1.0 - 0.09), held = e * 0.7 / (1.3 * 0.4);
    assert_near(lev_cut_pad_give(1e6, 500.0, 2.0, 0.3), 500.0 / held, 1e-4);
    assert_near(lev_cut_pad_give(1e9, 500.0, 2.0, 0.3), 500.0 / held, 1e-9);
}

/* A least-squares plane through cos(k x) over a square about c, by sums; how much of
 * the wave the planes hold at x, averaged over all c from which they reach x. */
static double planes_hold(double waves, double side)
{
    enum { STEPS = 400 };
    double sum = 0.0;
    for (int i = 0; i < STEPS; i++) {
        const double c = side * ((i + 0.5) / STEPS - 0.5); /* of the pad; x = 0 */
        double mean = 0.0, slope = 0.0;
        for (int j = 0; j < STEPS; j++) {
            const double u = side * ((j + 0.5) / STEPS - 0.5);
            const double h = cos(2.0 * LEV_PI * waves * (c + u));
            mean += h / STEPS;
            slope += h * u * 12.0 / (side * side) / STEPS;
        }
        sum += (mean - slope * c) / STEPS;
    }
    return sum;
}

static void a_rigid_pad_follows_what_its_planes_hold(void **state)
{
    (void)state;
    for (double waves = 0.05; waves < 3.0; waves *= 1.7)
        assert_near_abs(lev_cut_pad_follows(waves, 0.0, 1.0), planes_hold(waves, 1.0),
                        2e-4); /* the sums' own error */
    assert_near(lev_cut_pad_follows(0.0, 0.0, 1.0), 1.0, 1e-12);
    assert_near(lev_cut_pad_follows(0.3, 0.0, 2.0), lev_cut_pad_follows(0.0, 0.3, 2.0),
                1e-12);
    assert_true(lev_cut_pad_follows(10.0, 0.0, 1.0) < 0.005);
}

/* The usual step, pressed harder by a soft pad. */
static lev_sim_step padded_step(void)
{
    lev_sim_step step = usual_step();
    step.grains.count = 1 << 15;
    step.pad.modulus_mpa = 0.5;
    step.backing_mpa = 8.0;
    step.pressure_kpa = 20.0;
    return step;
}

/* Waves along the rows, whole ones. */
static void set_waves(lev_sim *sim, const lev_sim_grid *g, int waves, double half_um)
{
    const ptrdiff_t n = g->nx * g->ny;
    float *const h_um = test_malloc((size_t)n * sizeof *h_um);
    lev_error err = {0};
    for (ptrdiff_t i = 0; i < n; i++)
        h_um[i] = (float)(half_um * cos(2.0 * LEV_PI * waves * (double)(i % g->nx) /
                                        (double)g->nx));
    assert_ok(lev_sim_set_heights(sim, h_um, &err), &err);
    test_free(h_um);
}

static void volume_and_load_are_kept_on_a_pad(void **state)
{
    (void)state;
    const lev_lay lays[] = {LEV_LAY_SECTION, LEV_LAY_CROSS, LEV_LAY_ORBITAL};
    for (size_t i = 0; i < sizeof lays / sizeof *lays; i++) {
        const lev_sim_grid grid = {.nx = 160, .ny = 144, .pitch_um = 1.5};
        lev_sim *const sim = face(grid);
        lev_sim_step step = padded_step();
        step.lay = lays[i];
        step.angle_rad = 0.5;
        step.radius_um = 90.0;
        step.pad.side_um = 300.0;
        set_waves(sim, &grid, 1, 3.0);
        lev_sim_result r = run(sim, &step);
        assert_true(r.removed_um3 > 0.0);
        assert_near(r.lost_um3, r.removed_um3, 1e-9); /* rounding only */
        /* carried over the whole run but its first quarter; noise of a small face */
        double kpa = 0.0;
        for (ptrdiff_t k = 2; k < r.n; k++)
            kpa += r.record[k].pressure_kpa / (double)(r.n - 2);
        assert_near(kpa, 20.0, 0.10);
        assert_true(r.record[0].bulge_um > 0.3);
        lev_sim_result_release(&r);
        lev_sim_free(sim);
    }
}

static void a_pad_leaves_the_bits_to_no_thread_or_processor(void **state)
{
    (void)state;
    const lev_lay lays[] = {LEV_LAY_SECTION, LEV_LAY_CROSS};
    for (size_t i = 0; i < sizeof lays / sizeof *lays; i++) {
        enum { NX = 160, NY = 144 };
        static float h_um[3][NX * NY];
        for (int j = 0; j < 3; j++) {
            const lev_sim_grid grid = {.nx = NX,
                                       .ny = NY,
                                       .pitch_um = 1.5,
                                       .threads = j == 1 ? 3 : 1,
                                       .plain = j == 2};
            lev_sim *const sim = face(grid);
            lev_sim_step step = padded_step();
            step.lay = lays[i];
            step.angle_rad = 1.1;
            step.pad.thick_um = 100.0;
            step.distance_m = 0.1;
            set_waves(sim, &grid, 1, 3.0);
            lev_sim_result r = run(sim, &step);
            lev_sim_heights(sim, h_um[j]);
            lev_sim_result_release(&r);
            lev_sim_free(sim);
        }
        assert_memory_equal(h_um[0], h_um[1], sizeof h_um[0]);
        assert_memory_equal(h_um[0], h_um[2], sizeof h_um[0]);
    }
}

static lev_sim_result over_waves(const lev_sim_pad *pad, double length_um,
                                 double remove_um)
{
    const lev_sim_grid grid = {
        .nx = (ptrdiff_t)(length_um * 1.1), .ny = 3, .pitch_um = 2.0 / 1.1};
    lev_sim *const sim = face(grid);
    lev_sim_step step = padded_step();
    step.pad = *pad;
    step.distance_m = 1e3;
    step.depth_um = remove_um;
    step.records = 8000;
    set_waves(sim, &grid, 2, 3.0);
    const lev_sim_result r = run(sim, &step);
    lev_sim_free(sim);
    return r;
}

static double left_after(const lev_sim_pad *pad, double length_um, double remove_um)
{
    lev_sim_result r = over_waves(pad, length_um, remove_um);
    const double left = r.record[r.n - 1].old_long;
    lev_sim_result_release(&r);
    return left;
}

/* Depth that cuts a wave by e, between 3/4 and 3/8 of it. */
static double rho_um(const lev_sim_pad *pad, double length_um, double remove_um)
{
    lev_sim_result r = over_waves(pad, length_um, remove_um);
    ptrdiff_t i = 0, k;
    while (i + 1 < r.n && r.record[i].old_long > 0.75)
        i++;
    for (k = i; k + 1 < r.n && r.record[k].old_long > 0.375;)
        k++;
    const double rho = (r.record[k].removed_um - r.record[i].removed_um) /
                       log(r.record[i].old_long / r.record[k].old_long);
    lev_sim_result_release(&r);
    return rho;
}

static void a_soft_pad_follows_waves_as_the_closed_form_says(void **state)
{
    (void)state;
    const double rho = rho_um(&(lev_sim_pad){0}, 1000.0, 15.0);
    /* rho + p C, p 20 kPa, while the pad touches everywhere: p C = 6.4 um over 1 mm at
     * 1 MPa, twice that over 2 mm or at half the modulus; 10 % for the kernel's noise
     */
    assert_near(rho_um(&(lev_sim_pad){.modulus_mpa = 1.0}, 1000.0, 22.0), rho + 6.37,
                0.10);
    assert_near(rho_um(&(lev_sim_pad){.modulus_mpa = 0.5}, 1000.0, 28.0), rho + 12.73,
                0.10);
    assert_near(rho_um(&(lev_sim_pad){.modulus_mpa = 1.0}, 2000.0, 28.0), rho + 12.73,
                0.10);
    /* a thin layer follows no more than it gives in all: p h / E_held = 2.1 um */
    const lev_sim_pad thin = {.modulus_mpa = 1.0, .thick_um = 190.0};
    assert_near(rho_um(&thin, 2000.0, 17.0),
                rho + 0.02 * lev_cut_pad_give(2000.0, 190.0, 1.0, 0.4), 0.10);
}

static void waves_longer_than_the_pad_stay(void **state)
{
    (void)state;
    const double rho = rho_um(&(lev_sim_pad){0}, 1000.0, 15.0);
    /* a hard pad 4 waves long bridges them; one wave long it follows 3 / pi^2 = 0.30 */
    assert_near(rho_um(&(lev_sim_pad){.side_um = 4000.0}, 1000.0, 15.0), rho, 0.08);
    assert_near(rho_um(&(lev_sim_pad){.side_um = 1000.0}, 1000.0, 21.0),
                rho / (1.0 - 3.0 / (LEV_PI * LEV_PI)), 0.08);
    /* half a wave long it hardly levels: rho / (1 - B), B 0.90 */
    const lev_sim_pad small = {.side_um = 500.0};
    assert_true(left_after(&small, 1000.0, 20.0) > 0.8);
    assert_true(left_after(&(lev_sim_pad){0}, 1000.0, 20.0) < 0.3);
}

static double padded_Ra_um(double pad_mpa)
{
    const lev_sim_grid grid = {.nx = 6000, .ny = 4, .pitch_um = 0.4};
    lev_sim *const sim = face(grid);
    lev_sim_step step = padded_step();
    step.pad = (lev_sim_pad){.modulus_mpa = pad_mpa, .grain_share = 0.03};
    step.distance_m = 100.0;
    step.depth_um = 3.0;
    step.records = 300;
    lev_sim_result r = run(sim, &step);
    double sum = 0.0;
    for (ptrdiff_t i = r.n / 2; i < r.n; i++)
        sum += r.record[i].Ra_um / (double)(r.n - r.n / 2);
    lev_sim_result_release(&r);
    lev_sim_free(sim);
    return sum;
}

static void a_soft_pad_gives_a_finer_mark(void **state)
{
    (void)state;
    /* common practice, no source */
    const double hard = padded_Ra_um(10.0), soft = padded_Ra_um(0.5),
                 softest = padded_Ra_um(0.05);
    assert_true(soft < 0.95 * hard);
    assert_true(softest < 0.75 * soft);
}

static void bad_pads_are_named(void **state)
{
    (void)state;
    const lev_sim_grid grid = {.nx = 160, .ny = 4, .pitch_um = 1.0};
    lev_sim *const sim = face(grid);
    const struct {
        lev_sim_pad pad;
        const char *says;
    } bad[] = {
        {{.modulus_mpa = -1.0}, "modulus of the pad MPa -1 is not in 0 to 1e+06"},
        {{.modulus_mpa = 1.0, .poisson = 0.5},
         "Poisson's ratio of the pad 0.5 is not in 0 to 0.499"},
        {{.thick_um = NAN}, "thickness of the pad um nan is not in 0 to 1e+07"},
        {{.side_um = -1.0}, "side of the pad um -1 is not in 0 to 1e+08"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        lev_sim_step step = padded_step();
        lev_sim_result r = {0};
        lev_error err = {0};
        step.pad = bad[i].pad;
        assert_int_equal(lev_sim_run(sim, &step, NULL, NULL, &r, &err), LEV_E_RANGE);
        assert_string_equal(err.text, bad[i].says);
    }
    lev_sim_free(sim);
}

static void any_failing_allocation_is_survived(void **state)
{
    (void)state;
#ifdef LEV_MEM_TEST
    const lev_sim_grid grid = {.nx = 160, .ny = 144, .pitch_um = 1.5};
    lev_sim *const sim = face(grid);
    lev_sim_step step = padded_step();
    lev_status st = LEV_E_MEMORY;
    step.lay = LEV_LAY_STRAIGHT;
    step.distance_m = 0.02;
    const long alive = lev_mem_test_alive();
    for (long nth = 1; st != LEV_OK; nth++) {
        lev_sim_result r = {0};
        lev_error err = {0};
        assert_true(nth < 100);
        lev_mem_test_fail(nth);
        st = lev_sim_run(sim, &step, NULL, NULL, &r, &err);
        lev_mem_test_fail(0);
        assert_true(st == LEV_OK || st == LEV_E_MEMORY);
        lev_sim_result_release(&r);
        assert_int_equal(lev_mem_test_alive(), alive);
    }
    lev_sim_free(sim);
#endif
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_layer_gives_as_a_half_space_to_short_waves),
        cmocka_unit_test(a_layer_held_at_its_back_gives_so_to_long_waves),
        cmocka_unit_test(a_rigid_pad_follows_what_its_planes_hold),
        cmocka_unit_test(volume_and_load_are_kept_on_a_pad),
        cmocka_unit_test(a_pad_leaves_the_bits_to_no_thread_or_processor),
        cmocka_unit_test(a_soft_pad_follows_waves_as_the_closed_form_says),
        cmocka_unit_test(waves_longer_than_the_pad_stay),
        cmocka_unit_test(a_soft_pad_gives_a_finer_mark),
        cmocka_unit_test(bad_pads_are_named),
        cmocka_unit_test(any_failing_allocation_is_survived),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
