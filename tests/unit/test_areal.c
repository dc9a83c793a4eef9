/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Maps: parameters, the areal filter, lines; acceptance and the verdict. Reference data
 * and their origin: tests/golden/metrology/README.md. */
#include "golden.h"

#include <math.h>

#include "rng.h"
#include "units.h"

#define VECTORS "metrology/vectors/"

static void load_map(const char *name, lev_map *m)
{
    char path[64];
    double *z = NULL;
    lev_error err = {0};
    assert_ok(lev_map_init(m, 64, 64, 2.0, 2.0, &err), &err);
    (void)snprintf(path, sizeof path, VECTORS "%s.csv", name);
    for (int x = 0; x < 64; x++) {
        assert_int_equal(golden_column(path, x, &z), 64);
        for (int y = 0; y < 64; y++)
            m->z_um[y * 64 + x] = (float)z[y];
        free(z);
    }
}

static void near(const json_t *j, const char *key, double got, double rtol)
{
    const double want = golden_number(j, key);
    if (!isnan(want) && !lev_near(got, want, rtol, 1e-6))
        fail_msg("%s is %.12g, not %.12g", key, got, want);
}

static void maps_give_their_exact_parameters(void **state)
{
    (void)state;
    static const char *const names[] = {"areal_egg", "areal_grooves", "areal_gauss"};
    json_t *all = golden_json(VECTORS "areal_expected.json");
    for (int i = 0; i < 3; i++) {
        lev_map m = {0};
        lev_areal a;
        lev_error err = {0};
        const json_t *d = json_object_get(json_object_get(all, names[i]), "discrete");
        load_map(names[i], &m);
        assert_ok(lev_map_areal(&m, &a, &err), &err);
        /* means to 1e-9; extremes and slopes to the float the heights are kept in */
        near(d, "Sa", a.h.Sa_um, 5e-9);
        near(d, "Sq", a.h.Sq_um, 5e-9);
        near(d, "Ssk", a.h.Ssk, 1e-6);
        near(d, "Sku", a.h.Sku, 1e-8);
        near(d, "Sp", a.h.Sp_um, 1e-7);
        near(d, "Sv", a.h.Sv_um, 1e-7);
        near(d, "Sz", a.h.Sz_um, 1e-7);
        near(d, "Sdq_central_interior", a.Sdq, 1e-7);
        near(d, "Sdr_triangulated_pct_mean_of_two_diagonals", a.Sdr_pct, 1e-6);
        lev_map_release(&m);
    }
    json_decref(all);
}

static void grooves_show_their_wave_and_lay(void **state)
{
    (void)state;
    json_t *all = golden_json(VECTORS "areal_expected.json");
    const json_t *c =
        json_object_get(json_object_get(all, "areal_grooves"), "continuous");
    lev_map m = {0};
    lev_areal a;
    lev_error err = {0};
    load_map("areal_grooves", &m);
    assert_ok(lev_map_areal(&m, &a, &err), &err);
    near(c, "Sal_um", a.Sal_um, 0.02);
    near(c, "lay_deg", a.lay_deg, 0.01);
    assert_near_abs(a.Std_deg, golden_number(c, "wavevector_deg"), 1.0);
    assert_true(a.Str < 0.15); /* 0 on an endless map */
    assert_true(a.Str_bound);
    assert_true(a.lay_strength > 0.95);
    assert_int_equal(a.hills > 0, 1);
    lev_map_release(&m);
    json_decref(all);
}

static void an_isotropic_map_has_no_direction(void **state)
{
    (void)state;
    json_t *all = golden_json(VECTORS "areal_expected.json");
    const json_t *c = json_object_get(json_object_get(all, "areal_gauss"), "ensemble");
    lev_map m = {0};
    lev_areal a;
    lev_error err = {0};
    load_map("areal_gauss", &m);
    assert_ok(lev_map_areal(&m, &a, &err), &err);
    near(c, "Sal_um", a.Sal_um, 0.15); /* one draw of an ensemble */
    assert_true(a.Str > 0.6);
    assert_true(a.lay_strength < 0.2);
    lev_map_release(&m);
    json_decref(all);
}

static void an_egg_crate_has_its_hills_counted(void **state)
{
    (void)state;
    lev_map m = {0};
    lev_areal a;
    lev_error err = {0};
    load_map("areal_egg", &m);
    assert_ok(lev_map_areal(&m, &a, &err), &err);
    /* sin kx sin ky, three waves each way: 2 x 9 quarter cells, half of them hills */
    assert_int_equal(a.hills, 18);
    assert_int_equal(a.dales, 18);
    assert_near(a.Spd_per_mm2, 18.0 / (0.128 * 0.128), 1e-9);
    const double k = 2.0 * LEV_PI * 3.0 / 128.0;
    assert_near(a.Spc_per_um, 1.2 * k * k, 0.03); /* closed form, sampled */
    assert_near(a.S5p_um, 1.2, 0.01);
    assert_near(a.S10z_um, 2.4, 0.01);
    lev_map_release(&m);
}

static void ratio_volumes_meet_the_closed_forms_of_a_plane(void **state)
{
    (void)state;
    lev_map m = {0};
    lev_areal a;
    lev_error err = {0};
    /* Heights spread evenly over 0 .. 1: z(m) = 1 - m. */
    assert_ok(lev_map_init(&m, 200, 50, 1.0, 1.0, &err), &err);
    for (int i = 0; i < 10000; i++)
        m.z_um[i] = (float)((i + 0.5) / 10000.0);
    assert_ok(lev_map_areal(&m, &a, &err), &err);
    assert_near(a.Vmp, 0.1 * 0.1 / 2.0, 1e-3);
    assert_near(a.Vmc, 0.8 * 0.8 / 2.0 - 0.005, 1e-3);
    assert_near(a.Vvv, 0.2 * 0.2 / 2.0, 1e-3);
    assert_near(a.Vvc, 0.9 * 0.9 / 2.0 - 0.02, 1e-3);
    assert_near(a.Sxp_um, 0.475, 1e-4);
    assert_near(a.core.k_um, 1.0, 1e-3);
    lev_map_release(&m);
}

static void a_sphere_is_taken_off_a_map(void **state)
{
    (void)state;
    lev_map m = {0};
    lev_form_fit fit = {0};
    lev_error err = {0};
    assert_ok(lev_map_init(&m, 120, 90, 5.0, 4.0, &err), &err);
    for (int i = 0; i < 120 * 90; i++) {
        const double x = (i % 120) * 5.0 - 400.0, y = (i / 120) * 4.0 - 100.0;
        m.z_um[i] = (float)(sqrt(5e3 * 5e3 - x * x - y * y) - 5e3);
    }
    m.z_um[777] = NAN;
    assert_ok(lev_map_level(&m, LEV_FORM_CIRCLE, 0, &fit, &err), &err);
    assert_near(fit.radius_um, 5e3, 1e-5); /* closed form; heights are floats */
    assert_true(fit.rms_um < 1e-5);
    assert_true(isnan(m.z_um[777]));
    lev_map_release(&m);
}

/* The areal Gaussian written out slowly: product kernel, cut and made to sum to 1 over
 * what was measured (ISO 16610-61). */
static double slow_gauss(const lev_map *m, ptrdiff_t x0, ptrdiff_t y0, double lc)
{
    const double alpha = sqrt(log(2.0) / LEV_PI);
    const ptrdiff_t hx = (ptrdiff_t)(lc / m->dx_um + 1e-9),
                    hy = (ptrdiff_t)(lc / m->dy_um + 1e-9);
    double sum = 0.0, weight = 0.0;
    for (ptrdiff_t y = y0 - hy; y <= y0 + hy; y++) {
        for (ptrdiff_t x = x0 - hx; x <= x0 + hx; x++) {
            if (x < 0 || y < 0 || x >= m->nx || y >= m->ny ||
                isnan(m->z_um[y * m->nx + x]))
                continue;
            const double u = (double)(x - x0) * m->dx_um / (alpha * lc);
            const double v = (double)(y - y0) * m->dy_um / (alpha * lc);
            const double w = exp(-LEV_PI * (u * u + v * v));
            sum += w * (double)m->z_um[y * m->nx + x];
            weight += w;
        }
    }
    return sum / weight;
}

static void the_areal_filter_is_the_written_out_sum(void **state)
{
    (void)state;
    const lev_rng rng = {11};
    for (int gaps = 0; gaps < 2; gaps++) {
        lev_map m = {0}, mean = {0};
        lev_error err = {0};
        const lev_filter f = {.cutoff_um = 20.0};
        assert_ok(lev_map_init(&m, 70, 45, 1.5, 2.5, &err), &err);
        for (ptrdiff_t i = 0; i < m.nx * m.ny; i++)
            m.z_um[i] = (float)lev_rng_normal(rng, (uint64_t)i, 0);
        for (ptrdiff_t i = 0; gaps && i < m.nx * m.ny; i += 7)
            m.z_um[i] = NAN;
        assert_ok(lev_map_filter(&m, &f, &mean, &err), &err);
        for (ptrdiff_t i = 0; i < m.nx * m.ny; i += 3) {
            if (isnan(m.z_um[i]))
                assert_true(isnan(mean.z_um[i]));
            else
                assert_near_abs((double)mean.z_um[i],
                                slow_gauss(&m, i % m.nx, i / m.nx, 20.0), 1e-7);
        }
        lev_map_release(&m);
        lev_map_release(&mean);
    }
}

static void half_of_a_wave_passes_the_areal_cut_off(void **state)
{
    (void)state;
    lev_map m = {0}, mean = {0};
    lev_error err = {0};
    const lev_filter f = {.cutoff_um = 40.0, .ends = LEV_ENDS_MIRROR};
    assert_ok(lev_map_init(&m, 400, 400, 1.0, 1.0, &err), &err);
    for (ptrdiff_t i = 0; i < m.nx * m.ny; i++)
        m.z_um[i] = (float)sin(2.0 * LEV_PI * (double)(i % 400) / 40.0);
    assert_ok(lev_map_filter(&m, &f, &mean, &err), &err);
    for (ptrdiff_t x = 100; x < 300; x++) /* ISO 16610-61: 2^-((lc/l)^2) */
        assert_near_abs((double)mean.z_um[200 * 400 + x],
                        0.5 * (double)m.z_um[200 * 400 + x], 3e-7);
    lev_map_release(&m);
    lev_map_release(&mean);
}

/* ---- lines ---- */

static void add_scratch(lev_map *m, double x0, double y0, double x1, double y1,
                        double depth, double width)
{
    const double length = hypot(x1 - x0, y1 - y0);
    const double ux = (x1 - x0) / length, uy = (y1 - y0) / length;
    for (ptrdiff_t i = 0; i < m->nx * m->ny; i++) {
        const double x = (double)(i % m->nx) * m->dx_um - x0;
        const double y = (double)(i / m->nx) * m->dy_um - y0;
        const double along = x * ux + y * uy, across = fabs(x * uy - y * ux);
        if (along >= 0.0 && along <= length && across < width)
            m->z_um[i] -= (float)(depth * (1.0 - across / width));
    }
}

static void noise_map(lev_map *m, ptrdiff_t n, double dx_um, double sd, uint64_t seed)
{
    const lev_rng rng = {seed};
    lev_error err = {0};
    assert_ok(lev_map_init(m, n, n, dx_um, dx_um, &err), &err);
    for (ptrdiff_t i = 0; i < n * n; i++)
        m->z_um[i] = (float)(sd * lev_rng_normal(rng, (uint64_t)i, 0));
}

static void scratches_are_found_as_lines(void **state)
{
    (void)state;
    lev_map m = {0};
    lev_lines l = {0};
    lev_error err = {0};
    noise_map(&m, 400, 2.0, 0.05, 5);
    add_scratch(&m, 100.0, 650.0, 700.0, 350.0, 3.0, 6.0);
    add_scratch(&m, 300.0, 80.0, 300.0, 420.0, 2.0, 6.0);
    assert_ok(lev_lines_of_map(&m, 10, &l, &err), &err);
    assert_int_equal(l.n, 2);
    assert_near(l.line[0].depth_um, 3.0, 0.08);    /* and the noise */
    assert_near(l.line[0].length_mm, 0.671, 0.06); /* hypot(0.6, 0.3) */
    assert_near_abs(l.line[0].direction_deg, 180.0 - 26.565, 1.0);
    assert_near(l.line[1].depth_um, 2.0, 0.08);
    assert_near(l.line[1].length_mm, 0.340, 0.06);
    assert_near_abs(l.line[1].direction_deg, 90.0, 1.0);
    lev_lines_release(&l);
    lev_map_release(&m);
}

static void noise_alone_holds_no_lines(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= 5; seed++) {
        lev_map m = {0};
        lev_lines l = {0};
        lev_error err = {0};
        noise_map(&m, 300, 2.0, 1.0, seed);
        assert_ok(lev_lines_of_map(&m, 10, &l, &err), &err);
        assert_int_equal(l.n, 0);
        lev_lines_release(&l);
        lev_map_release(&m);
    }
}

static void a_trace_lists_the_dales_it_crosses(void **state)
{
    (void)state;
    lev_trace t = {0};
    lev_lines l = {0};
    lev_error err = {0};
    assert_ok(lev_trace_init(&t, 1000, 1.0, &err), &err);
    for (ptrdiff_t i = 0; i < t.n; i++)
        t.z_um[i] = 0.1 * sin(2.0 * LEV_PI * (double)i / 50.0);
    t.z_um[430] = -2.0;
    t.z_um[810] = (double)NAN;
    assert_ok(lev_lines_of_trace(&t, 3, &l, &err), &err);
    assert_int_equal(l.n, 3);
    assert_near(l.line[0].depth_um, 2.0, 0.01);
    assert_true(l.line[0].x0_um <= 430.0 && l.line[0].x1_um >= 430.0);
    assert_true(isnan(l.line[0].length_mm) && isnan(l.line[0].direction_deg));
    lev_lines_release(&l);
    lev_trace_release(&t);
}

/* ---- acceptance and verdict ---- */

static void readings_are_accepted_by_the_agreed_rule(void **state)
{
    (void)state;
    /* ISO 4288 clause 5 and its short cuts; ISO 21920-1 clause 4. */
    static const double low[] = {0.6, 1.2, 1.2}, three[] = {0.9, 0.95, 0.99};
    static const double six[] = {0.9, 1.05, 0.9, 0.9, 0.9, 0.9};
    static const double bad[] = {0.9, 1.3, 1.2, 0.9, 1.4, 0.9};
    static const struct {
        const double *x;
        int n;
        lev_accept_rule rule;
        bool accepted;
    } cases[] = {
        {low, 3, LEV_ACCEPT_16PCT, true},   {low, 3, LEV_ACCEPT_MAX, false},
        {low, 3, LEV_ACCEPT_MEDIAN, false}, {three, 3, LEV_ACCEPT_16PCT, true},
        {three, 3, LEV_ACCEPT_MAX, true},   {six, 6, LEV_ACCEPT_16PCT, true},
        {six, 6, LEV_ACCEPT_MAX, false},    {six, 6, LEV_ACCEPT_MEDIAN, true},
        {bad, 6, LEV_ACCEPT_16PCT, false},  {bad, 6, LEV_ACCEPT_MEAN, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        lev_acceptance a;
        lev_error err = {0};
        assert_ok(
            lev_accept(cases[i].x, cases[i].n, 1.0, true, cases[i].rule, &a, &err),
            &err);
        assert_int_equal(a.accepted, cases[i].accepted);
    }
}

static void a_lower_limit_is_the_mirror_of_an_upper_one(void **state)
{
    (void)state;
    static const double x[] = {1.1, 0.95, 1.2, 1.3, 1.1, 1.2};
    lev_acceptance a;
    lev_error err = {0};
    assert_ok(lev_accept(x, 6, 1.0, false, LEV_ACCEPT_16PCT, &a, &err), &err);
    assert_true(a.accepted);
    assert_ok(lev_accept(x, 6, 1.0, false, LEV_ACCEPT_MAX, &a, &err), &err);
    assert_false(a.accepted);
    assert_near(a.value_um, 0.95, 1e-12);
    assert_int_equal(lev_accept(x, 0, 1.0, true, LEV_ACCEPT_MAX, &a, &err),
                     LEV_E_RANGE);
}

static lev_verdict judged(const lev_expected *want, const lev_seen *seen)
{
    lev_judgement j;
    lev_judge(want, seen, &j);
    assert_true(strlen(j.reason) > 10);
    return j.verdict;
}

static void a_deep_mark_keeps_the_face_whatever_its_mean(void **state)
{
    (void)state;
    const lev_expected want = {.Ra_um = {0.2, 0.3, 0.4}, .deepest_um = 2.0};
    lev_seen seen = {.Ra_um = 0.25, .deepest_um = 4.0, .length_mm = 4.0};
    assert_int_equal(judged(&want, &seen), LEV_VERDICT_KEEP_AT_IT);
    seen.deepest_um = 1.9;
    assert_int_equal(judged(&want, &seen), LEV_VERDICT_NEXT_GRIT);
    seen.Ra_um = 0.7;
    assert_int_equal(judged(&want, &seen), LEV_VERDICT_KEEP_AT_IT);
}

static void old_lines_keep_the_face_and_parallel_ones_cannot_be_told(void **state)
{
    (void)state;
    lev_line line[] = {{.depth_um = 1.0, .direction_deg = 178.0, .length_mm = 1.0}};
    const lev_lines lines = {.line = line, .n = 1};
    lev_expected want = {.Ra_um = {0.2, 0.3, 0.4},
                         .deepest_um = 2.0,
                         .has_direction = true,
                         .old_deg = 2.0,
                         .new_deg = 90.0};
    const lev_seen seen = {.Ra_um = 0.3, .deepest_um = 1.0, .lines = &lines};
    assert_int_equal(judged(&want, &seen), LEV_VERDICT_KEEP_AT_IT);
    line[0].direction_deg = 88.0;
    assert_int_equal(judged(&want, &seen), LEV_VERDICT_NEXT_GRIT);
    want.new_deg = 10.0;
    assert_int_equal(judged(&want, &seen), LEV_VERDICT_CANNOT_TELL);
    want.no_lay = true;
    want.new_deg = 90.0;
    assert_int_equal(judged(&want, &seen), LEV_VERDICT_CANNOT_TELL);
}

static void without_a_prediction_nobody_can_tell(void **state)
{
    (void)state;
    const lev_expected none = {0}, mean_only = {.Ra_um = {0.2, 0.3, 0.4}};
    const lev_seen seen = {.Ra_um = 0.3, .deepest_um = 1.0, .length_mm = 4.0};
    assert_int_equal(judged(&none, &seen), LEV_VERDICT_CANNOT_TELL);
    assert_int_equal(judged(&mean_only, &seen), LEV_VERDICT_CANNOT_TELL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(maps_give_their_exact_parameters),
        cmocka_unit_test(grooves_show_their_wave_and_lay),
        cmocka_unit_test(an_isotropic_map_has_no_direction),
        cmocka_unit_test(an_egg_crate_has_its_hills_counted),
        cmocka_unit_test(ratio_volumes_meet_the_closed_forms_of_a_plane),
        cmocka_unit_test(a_sphere_is_taken_off_a_map),
        cmocka_unit_test(the_areal_filter_is_the_written_out_sum),
        cmocka_unit_test(half_of_a_wave_passes_the_areal_cut_off),
        cmocka_unit_test(scratches_are_found_as_lines),
        cmocka_unit_test(noise_alone_holds_no_lines),
        cmocka_unit_test(a_trace_lists_the_dales_it_crosses),
        cmocka_unit_test(readings_are_accepted_by_the_agreed_rule),
        cmocka_unit_test(a_lower_limit_is_the_mirror_of_an_upper_one),
        cmocka_unit_test(a_deep_mark_keeps_the_face_whatever_its_mean),
        cmocka_unit_test(old_lines_keep_the_face_and_parallel_ones_cannot_be_told),
        cmocka_unit_test(without_a_prediction_nobody_can_tell),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
