/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Traces: parameters, form, filters, cut-offs. Reference data and their origin:
 * tests/golden/metrology/README.md. */
#include "golden.h"

#include <math.h>

#include "rng.h"
#include "surface_inner.h"
#include "units.h"

#define VECTORS "metrology/vectors/"

static const char *const PROFILES[] = {
    "p01_sine",      "p02_triangle",    "p03_square",    "p04_sawtooth",
    "p05_trapezoid", "p06_three_sines", "p07_gauss",     "p08_plateau",
    "p09_scallop",   "p10_sections",    "p11_rsm_ripple"};
enum { PROFILES_N = sizeof PROFILES / sizeof *PROFILES };

static void check(const json_t *j, const char *key, double got, double rtol)
{
    const double want = golden_number(j, key);
    if (isnan(want))
        return;
    if (!lev_near(got, want, rtol, 1e-12))
        fail_msg("%s is %.17g, not %.17g", key, got, want);
}

static void load_profile(const json_t *all, int i, lev_trace *t, const json_t **exact,
                         const json_t **curve)
{
    char name[64];
    const json_t *j = json_object_get(all, PROFILES[i]);
    (void)snprintf(name, sizeof name, VECTORS "%s.csv", PROFILES[i]);
    golden_trace(name, golden_number(j, "dx_um"), 1, t);
    *exact = json_object_get(j, "discrete");
    *curve = json_object_get(j, "continuous");
}

static void check_exact(const json_t *j, const lev_profile *p)
{
    check(j, "Ra", p->Ra_um, 1e-9);
    check(j, "Rq", p->Rq_um, 1e-9);
    check(j, "Rsk", p->Rsk, 1e-9);
    check(j, "Rku", p->Rku, 1e-9);
    check(j, "Rt", p->Rt_um, 1e-9);
    check(j, "Rpt", p->Rpt_um, 1e-9);
    check(j, "Rvt", p->Rvt_um, 1e-9);
    check(j, "Rp", p->Rp_um, 1e-9);
    check(j, "Rv", p->Rv_um, 1e-9);
    check(j, "Rz", p->Rz_um, 1e-9);
    check(j, "Rzx", p->Rzx_um, 1e-9);
    check(j, "Rdq_7pt_interior", p->Rdq, 1e-9);
    check(j, "Rda_7pt_interior", p->Rda, 1e-9);
    check(j, "Rdr_polyline_pct", p->Rdr_pct, 1e-9);
}

static void check_core(const json_t *j, const lev_core *c)
{
    check(j, "Rk", c->k_um, 1e-9);
    check(j, "Rpk", c->pk_um, 1e-9);
    check(j, "Rvk", c->vk_um, 1e-9);
    check(j, "Mr1_pct", c->mr1_pct, 1e-9);
    check(j, "Mr2_pct", c->mr2_pct, 1e-9);
    check(j, "window_start_pct", c->window_pct, 1e-9);
}

static void profiles_give_their_exact_parameters(void **state)
{
    (void)state;
    json_t *all = golden_json(VECTORS "profiles_expected.json");
    for (int i = 0; i < PROFILES_N; i++) {
        lev_trace t = {0};
        lev_profile p;
        lev_error err = {0};
        const json_t *exact = NULL, *curve = NULL;
        load_profile(all, i, &t, &exact, &curve);
        assert_ok(lev_profile_of(&t, LEV_RULE_ISO21920, 5, &p, &err), &err);
        check_exact(exact, &p);
        check_core(exact, &p.core);
        assert_ok(lev_profile_of(&t, LEV_RULE_ISO4287, 5, &p, &err), &err);
        check(exact, "Ra_4287_mean_of_sections", p.Ra_um, 1e-9);
        check(exact, "Rq_4287_mean_of_sections", p.Rq_um, 1e-9);
        check(exact, "Rsk_4287_mean_of_sections", p.Rsk, 1e-9);
        check(exact, "Rku_4287_mean_of_sections", p.Rku, 1e-9);
        check(exact, "RSm_um", p.RSm_um, 1e-9);
        check(exact, "RSm_elements_counted", (double)p.RSm_count, 0.0);
        lev_trace_release(&t);
    }
    json_decref(all);
}

static void profiles_give_their_material_ratios(void **state)
{
    (void)state;
    json_t *all = golden_json(VECTORS "profiles_expected.json");
    for (int i = 0; i < PROFILES_N; i++) {
        lev_trace t = {0};
        const json_t *exact = NULL, *curve = NULL;
        load_profile(all, i, &t, &exact, &curve);
        for (int k = 0; k < 5; k++) {
            const json_t *at = json_array_get(json_object_get(exact, "Rmr"), (size_t)k);
            const double level = golden_number(at, "level_um_from_mean");
            check(at, "polyline_pct", 100.0 * lev_trace_ratio(&t, level), 1e-9);
        }
        lev_trace_release(&t);
    }
    json_decref(all);
}

/* Closed forms of the curves behind the samples; tolerances of the reference data. */
static void profiles_meet_their_closed_forms(void **state)
{
    (void)state;
    json_t *all = golden_json(VECTORS "profiles_expected.json");
    for (int i = 0; i < PROFILES_N; i++) {
        lev_trace t = {0};
        lev_profile p;
        lev_error err = {0};
        const json_t *exact = NULL, *c = NULL;
        load_profile(all, i, &t, &exact, &c);
        const bool drawn = i == 6; /* one draw from an ensemble: wider */
        /* p10 has the same 32 phases in each wave: the mean of |sin| over them is
         * 0.16 % above the integral. */
        const double ra = i == 9 ? 2e-3 : 1e-3;
        assert_ok(lev_profile_of(&t, LEV_RULE_ISO21920, 5, &p, &err), &err);
        check(c, "Ra", p.Ra_um, drawn ? 1e-2 : ra);
        check(c, "Rq", p.Rq_um, 1e-3);
        check(c, "Rku", p.Rku, drawn ? 0.1 : 1e-3);
        check(c, "Rt", p.Rt_um, 1e-2);
        check(c, "Rz", p.Rz_um, 1e-2);
        check(c, "Rdq", p.Rdq, 2e-2);
        check(c, "Rk", p.core.k_um, drawn ? 0.1 : 5e-3);
        check(c, "Rpk", p.core.pk_um, drawn ? 0.15 : 1e-2);
        check(c, "Rvk", p.core.vk_um, drawn ? 0.15 : 1e-2);
        if (i != 5 && i != 6)
            check(c, "RSm_um", p.RSm_um, 5e-3);
        lev_trace_release(&t);
    }
    json_decref(all);
}

static void sanded_wood_gives_its_published_parameters(void **state)
{
    (void)state;
    json_t *all = golden_json("metrology/data/data_expected.json");
    const json_t *wood = json_object_get(all, "sanded_wood_profile");
    for (int degree = 0; degree <= 2; degree++) {
        char key[32];
        lev_trace t = {0};
        lev_profile p;
        lev_error err = {0};
        (void)snprintf(key, sizeof key, "after_degree_%d", degree);
        const json_t *want = json_object_get(wood, key);
        golden_trace("metrology/data/sanded_wood_profile.csv", 1.0, 1, &t);
        assert_ok(lev_trace_level(&t, LEV_FORM_POLYNOMIAL, degree, NULL, &err), &err);
        assert_ok(lev_profile_of(&t, LEV_RULE_ISO4287, 5, &p, &err), &err);
        check(want, "RSm_um", p.RSm_um, 1e-9);
        check_core(want, &p.core);
        assert_ok(lev_profile_of(&t, LEV_RULE_ISO21920, 5, &p, &err), &err);
        check_exact(want, &p);
        lev_trace_release(&t);
    }
    json_decref(all);
}

static void a_missing_point_is_left_out_not_filled(void **state)
{
    (void)state;
    lev_trace t = {0};
    lev_profile p, q;
    lev_error err = {0};
    json_t *all = golden_json(VECTORS "profiles_expected.json");
    const json_t *exact = NULL, *curve = NULL;
    load_profile(all, 0, &t, &exact, &curve);
    assert_ok(lev_profile_of(&t, LEV_RULE_ISO21920, 5, &p, &err), &err);
    double sum = 0.0, mean = 0.0;
    t.z_um[700] = (double)NAN;
    for (ptrdiff_t i = 0; i < t.n; i++)
        mean += i != 700 ? t.z_um[i] / (double)(t.n - 1) : 0.0;
    for (ptrdiff_t i = 0; i < t.n; i++)
        sum += i != 700 ? fabs(t.z_um[i] - mean) : 0.0;
    assert_ok(lev_profile_of(&t, LEV_RULE_ISO21920, 5, &q, &err), &err);
    assert_near(q.Ra_um, sum / (double)(t.n - 1), 1e-12); /* mean of what is there */
    assert_near(q.RSm_um, p.RSm_um, 5e-3);
    for (ptrdiff_t i = 320; i < 640; i++)
        t.z_um[i] = (double)NAN; /* a whole section */
    assert_int_equal(lev_profile_of(&t, LEV_RULE_ISO21920, 5, &q, &err), LEV_E_RANGE);
    lev_trace_release(&t);
    json_decref(all);
}

/* ---- form ---- */

static void form_takes_off_the_certified_line_and_parabola(void **state)
{
    (void)state;
    json_t *want = golden_json(VECTORS "form_expected.json");
    lev_error err = {0};
    for (int degree = 1; degree <= 2; degree++) {
        lev_trace t = {0};
        lev_form_fit fit = {0};
        golden_trace(VECTORS "form.csv", 8.0, 1, &t);
        assert_ok(lev_trace_level(&t, LEV_FORM_POLYNOMIAL, degree, &fit, &err), &err);
        for (int k = 0; k <= degree; k++) {
            char key[40];
            (void)snprintf(key, sizeof key, "%s.%d",
                           degree == 1 ? "line_high_to_low" : "parabola_high_to_low",
                           degree - k);
            check(want, key, fit.coef[k], 1e-9);
        }
        check(want, degree == 1 ? "rms_after_line" : "rms_after_parabola", fit.rms_um,
              1e-9);
        lev_trace_release(&t);
    }
    json_decref(want);
}

static void least_squares_meet_certified_regressions(void **state)
{
    (void)state;
    /* NIST/ITL Statistical Reference Datasets: Norris, Longley. */
    json_t *all = golden_json(VECTORS "nist_strd.json");
    static const double rtol[] = {1e-10, 1e-8}; /* Longley is ill-conditioned */
    for (int d = 0; d < 2; d++) {
        const json_t *set = json_array_get(json_object_get(all, "linear"), (size_t)d);
        const json_t *y = json_object_get(set, "y");
        lev_lstsq s = {.n = (int)json_array_size(json_object_get(set, "certified"))};
        double x[LEV_LSTSQ_MAX] = {0};
        lev_error err = {0};
        for (size_t i = 0; i < json_array_size(y); i++) {
            double row[LEV_LSTSQ_MAX] = {1.0};
            char key[40];
            for (int k = d == 0 ? 1 : 0; k < s.n; k++) {
                (void)snprintf(key, sizeof key,
                               d == 0 ? "x.%zu" : "X_with_leading_one.%zu.%d", i, k);
                row[k] = golden_number(set, key);
            }
            lev_lstsq_add(&s, row, json_number_value(json_array_get(y, i)));
        }
        assert_ok(lev_lstsq_solve(&s, x, &err), &err);
        for (int k = 0; k < s.n; k++) {
            char key[40];
            (void)snprintf(key, sizeof key, "certified.%d.value", k);
            assert_near(x[k], golden_number(set, key), rtol[d]);
        }
        assert_near(s.rss, golden_number(set, "residual_ss"), rtol[d]);
    }
    json_decref(all);
}

static void a_circle_is_taken_off_whatever_its_tilt(void **state)
{
    (void)state;
    lev_error err = {0};
    static const double radius[] = {2e4, -5e4, 3e7}; /* um; below zero: a hollow */
    for (int c = 0; c < 3; c++) {
        lev_trace t = {0};
        lev_form_fit fit = {0};
        assert_ok(lev_trace_init(&t, 2001, 2.0, &err), &err);
        for (ptrdiff_t i = 0; i < t.n; i++) {
            const double x = (double)i * 2.0 - 2300.0;
            const double r = fabs(radius[c]);
            t.z_um[i] = copysign(1.0, radius[c]) * (sqrt(r * r - x * x) - r) + 7.0;
        }
        assert_ok(lev_trace_level(&t, LEV_FORM_CIRCLE, 0, &fit, &err), &err);
        assert_near(fit.radius_um, radius[c], 1e-6); /* closed form */
        assert_true(fit.rms_um < 1e-7);
        lev_trace_release(&t);
    }
}

static void too_few_points_for_a_form_are_an_error(void **state)
{
    (void)state;
    lev_trace t = {0};
    lev_error err = {0};
    assert_ok(lev_trace_init(&t, 3, 1.0, &err), &err);
    assert_int_equal(lev_trace_level(&t, LEV_FORM_POLYNOMIAL, 3, NULL, &err),
                     LEV_E_RANGE);
    assert_int_equal(lev_trace_level(&t, LEV_FORM_POLYNOMIAL, 9, NULL, &err),
                     LEV_E_RANGE);
    lev_trace_release(&t);
}

/* ---- filters ---- */

static double amplitude(const double *z, ptrdiff_t first, ptrdiff_t n, double wave)
{
    double c = 0.0, s = 0.0;
    for (ptrdiff_t i = first; i < first + n; i++) {
        c += z[i] * cos(2.0 * LEV_PI * (double)i / wave);
        s += z[i] * sin(2.0 * LEV_PI * (double)i / wave);
    }
    return 2.0 * hypot(c, s) / (double)n;
}

/* Amplitude of a sine of `wave` samples after a filter of 400, far from the ends. */
static double transmitted(lev_filter_kind kind, double reach, double wave)
{
    lev_trace t = {0}, mean = {0};
    lev_error err = {0};
    const lev_filter f = {.kind = kind, .cutoff_um = 800.0, .reach = reach};
    const ptrdiff_t whole = (ptrdiff_t)(nearbyint(4000.0 / wave) * wave);
    assert_ok(lev_trace_init(&t, 12000, 2.0, &err), &err);
    for (ptrdiff_t i = 0; i < t.n; i++)
        t.z_um[i] = sin(2.0 * LEV_PI * (double)i / wave);
    assert_ok(lev_trace_filter(&t, &f, &mean, &err), &err);
    const double a = amplitude(mean.z_um, 4000, whole, wave);
    lev_trace_release(&t);
    lev_trace_release(&mean);
    return a;
}

static void half_the_amplitude_passes_at_the_cut_off(void **state)
{
    (void)state;
    /* ISO 16610-21: 2^-((lc/l)^2); -22: 1/(1 + (sin/sin)^4); regression: closed form.
     */
    assert_near(transmitted(LEV_FILTER_GAUSS, 0.0, 400.0), 0.5, 2e-7);
    assert_near(transmitted(LEV_FILTER_GAUSS, 3.0, 400.0), 0.5, 1e-12);
    assert_near(transmitted(LEV_FILTER_GAUSS, 3.0, 800.0), pow(2.0, -0.25), 1e-12);
    assert_near(transmitted(LEV_FILTER_GAUSS, 3.0, 200.0), 0.0625, 1e-9);
    assert_near(transmitted(LEV_FILTER_REGRESSION, 4.0, 400.0), 0.5, 1e-9);
    assert_near(transmitted(LEV_FILTER_SPLINE, 0.0, 400.0), 0.5, 1e-6);
}

static void a_cut_kernel_passes_what_the_table_says(void **state)
{
    (void)state;
    double *ratio = NULL, *half = NULL, *whole = NULL;
    const ptrdiff_t n = golden_column(VECTORS "gaussian_transmission.csv", 0, &ratio);
    (void)golden_column(VECTORS "gaussian_transmission.csv", 3, &half);
    (void)golden_column(VECTORS "gaussian_transmission.csv", 4, &whole);
    assert_int_equal(n, 19);
    for (ptrdiff_t i = 0; i < n; i++) {
        const double wave = 400.0 * ratio[i];
        if (fabs(wave - nearbyint(wave)) > 1e-6)
            continue; /* whole waves only, so that the amplitude is exact */
        assert_near_abs(transmitted(LEV_FILTER_GAUSS, 0.5, wave), fabs(half[i]), 1e-9);
        assert_near_abs(transmitted(LEV_FILTER_GAUSS, 1.0, wave), fabs(whole[i]), 1e-9);
    }
    free(ratio);
    free(half);
    free(whole);
}

static void filters_treat_the_ends_as_stated(void **state)
{
    (void)state;
    static const struct {
        lev_filter f;
        int column;
    } cases[] = {
        {{.kind = LEV_FILTER_GAUSS, .cutoff_um = 800.0, .reach = 3.0}, 2},
        {{.kind = LEV_FILTER_REGRESSION, .cutoff_um = 800.0, .reach = 5.1}, 3},
        {{.kind = LEV_FILTER_ROBUST, .cutoff_um = 800.0, .reach = 5.1}, 4},
        {{.kind = LEV_FILTER_SPLINE, .cutoff_um = 800.0}, 5},
    };
    lev_trace t = {0};
    lev_error err = {0};
    golden_trace(VECTORS "filters_endeffects.csv", 10.0, 1, &t);
    for (int c = 0; c < 4; c++) {
        lev_trace mean = {0};
        double *want = NULL;
        (void)golden_column(VECTORS "filters_endeffects.csv", cases[c].column, &want);
        assert_ok(lev_trace_filter(&t, &cases[c].f, &mean, &err), &err);
        for (ptrdiff_t i = 0; i < t.n; i++)
            assert_near_abs(mean.z_um[i], want[i], 2e-9); /* written to 1e-10 */
        free(want);
        lev_trace_release(&mean);
    }
    lev_trace_release(&t);
}

static void a_filter_leaves_missing_points_missing(void **state)
{
    (void)state;
    for (int kind = LEV_FILTER_GAUSS; kind <= LEV_FILTER_SPLINE; kind++) {
        lev_trace t = {0}, mean = {0};
        lev_error err = {0};
        const lev_filter f = {.kind = (lev_filter_kind)kind, .cutoff_um = 80.0};
        assert_ok(lev_trace_init(&t, 500, 1.0, &err), &err);
        for (ptrdiff_t i = 0; i < t.n; i++)
            t.z_um[i] = i >= 200 && i < 230 ? (double)NAN : 3.0; /* level, with a gap */
        assert_ok(lev_trace_filter(&t, &f, &mean, &err), &err);
        for (ptrdiff_t i = 0; i < t.n; i++) {
            assert_int_equal(isnan(mean.z_um[i]) != 0, i >= 200 && i < 230);
            if (!isnan(mean.z_um[i]))
                assert_near(mean.z_um[i], 3.0, 1e-9);
        }
        lev_trace_release(&t);
        lev_trace_release(&mean);
    }
}

static void measuring_a_trace_gives_the_reference_roughness(void **state)
{
    (void)state;
    json_t *want = golden_json(VECTORS "trace_for_filter_expected.json");
    lev_trace t = {0};
    lev_profile_result r = {0};
    lev_error err = {0};
    const lev_profile_settings set = {.lc_mm = 0.8, .form = LEV_FORM_MEAN};
    golden_trace(VECTORS "trace_for_filter.csv", 4.0, 1, &t);
    assert_ok(lev_profile_measure(&t, &set, &r, &err), &err);
    const json_t *p = json_object_get(
        json_object_get(json_object_get(want, "results"), "trunc_1.0_lc"), "params");
    assert_int_equal(r.roughness.n, 1000);
    assert_near(r.start_um, 800.0, 1e-12);
    assert_true(r.ls_skipped); /* samples 4 um apart cannot carry a limit of 2.5 um */
    assert_false(r.ends_touched);
    check_exact(p, &r.p);
    check(p, "RSm_um", r.p.RSm_um, 1e-9);
    lev_profile_result_release(&r);
    lev_trace_release(&t);
    json_decref(want);
}

/* ---- cut-offs ---- */

static void the_two_standards_choose_their_own_cut_offs(void **state)
{
    (void)state;
    static const struct {
        lev_rule rule;
        const char *symbol;
        double value_um, lc_mm;
    } cases[] = {
        /* ISO 21920-3: from the limit on the drawing, closed above. */
        {LEV_RULE_ISO21920, "Ra", 0.02, 0.08},
        {LEV_RULE_ISO21920, "Ra", 0.021, 0.25},
        {LEV_RULE_ISO21920, "Ra", 2.0, 0.8},
        {LEV_RULE_ISO21920, "Rz", 16.0, 0.8},
        {LEV_RULE_ISO21920, "Rz", 16.1, 2.5},
        {LEV_RULE_ISO21920, "Ra", 500.0, 8.0},
        /* ISO 4288: Rz parts at 10 where the newer one parts at 16. */
        {LEV_RULE_ISO4287, "Rz", 10.0, 0.8},
        {LEV_RULE_ISO4287, "Rz", 12.0, 2.5},
        {LEV_RULE_ISO4287, "RSm", 200.0, 0.8},
        {LEV_RULE_ISO4287, "Ra", 0.1, 0.25},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        lev_cutoff c;
        lev_error err = {0};
        assert_ok(lev_cutoff_choose(cases[i].rule, cases[i].symbol, cases[i].value_um,
                                    &c, &err),
                  &err);
        assert_near(c.lc_mm, cases[i].lc_mm, 1e-12);
        assert_near(c.le_mm, 5.0 * cases[i].lc_mm, 1e-12);
    }
    lev_cutoff c;
    lev_error err = {0};
    assert_int_equal(lev_cutoff_choose(LEV_RULE_ISO4287, "Ra", 90.0, &c, &err),
                     LEV_E_RANGE);
    assert_int_equal(lev_cutoff_choose(LEV_RULE_ISO4287, "Rk", 1.0, &c, &err),
                     LEV_E_UNKNOWN);
}

static void the_cut_off_settles_on_the_measured_roughness(void **state)
{
    (void)state;
    static const struct {
        double amplitude_um, wave_um, lc_mm;
    } cases[] = {
        {0.02, 20.0, 0.08}, {0.1, 50.0, 0.25}, {1.0, 100.0, 0.8}, {8.0, 500.0, 2.5}};
    for (size_t c = 0; c < sizeof cases / sizeof *cases; c++) {
        lev_trace t = {0};
        lev_profile_result r = {0};
        lev_error err = {0};
        const lev_profile_settings set = {0};
        assert_ok(lev_trace_init(&t, 36000, 0.5, &err), &err);
        for (ptrdiff_t i = 0; i < t.n; i++)
            t.z_um[i] = cases[c].amplitude_um *
                        sin(2.0 * LEV_PI * (double)i * 0.5 / cases[c].wave_um);
        assert_ok(lev_profile_measure(&t, &set, &r, &err), &err);
        assert_near(r.lc_mm, cases[c].lc_mm, 1e-12);
        assert_near(r.p.Ra_um, cases[c].amplitude_um * 2.0 / LEV_PI, 0.02);
        lev_profile_result_release(&r);
        lev_trace_release(&t);
    }
}

static void a_trace_shorter_than_one_cut_off_is_refused(void **state)
{
    (void)state;
    lev_trace t = {0};
    lev_profile_result r = {0};
    lev_error err = {0};
    const lev_profile_settings set = {.lc_mm = 2.5};
    assert_ok(lev_trace_init(&t, 2000, 1.0, &err), &err);
    assert_int_equal(lev_profile_measure(&t, &set, &r, &err), LEV_E_RANGE);
    assert_non_null(strstr(err.text, "2 mm is shorter than one cut-off of 2.5 mm"));
    lev_trace_release(&t);
}

/* Even, crowded, with outliers, few values, alike, huge, in order already, and clusters
 * within clusters: bit for bit as the reference, whatever the number. */
static double unsorted(int kind, int i, double u)
{
    switch (kind) {
    case 0:
        return u;
    case 1:
        return exp(60.0 * u);
    case 2:
        return i % 1000 == 0 ? 1e12 * u : 1e-3 * u;
    case 3:
        return floor(5.0 * u);
    case 4:
        return 0.25;
    case 5:
        return 1e308 * (u > 0.0 ? 1.7 : -1.7) * u * u * 4.0;
    case 6:
        return (double)-i;
    case 7:
        return (double)i;
    default:
        return floor(8.0 * u) + 1e-4 * floor(1e3 * u) + 1e-9 * u;
    }
}

static void dealing_sorts_as_the_radix_sort_does(void **state)
{
    (void)state;
    enum { N = 30011, KINDS = 9 };
    static const int many[] = {1, 2, 24, 25, 49, 1023, 1025, 4099, N};
    static double x[N], y[N];
    for (int kind = 0; kind < KINDS; kind++) {
        for (size_t m = 0; m < sizeof many / sizeof *many; m++) {
            lev_error err = {0};
            const lev_rng r = {.seed = 7};
            for (int i = 0; i < many[m]; i++)
                y[i] = x[i] = unsorted(
                    kind, i, lev_rng_uniform(r, (uint64_t)i, (uint64_t)kind) - 0.5);
            assert_ok(lev_sort_falling(x, many[m], &err), &err);
            assert_ok(lev_sort_radix(y, many[m], &err), &err);
            for (int i = 0; i < many[m]; i++)
                assert_true(x[i] == y[i]);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(profiles_give_their_exact_parameters),
        cmocka_unit_test(profiles_give_their_material_ratios),
        cmocka_unit_test(profiles_meet_their_closed_forms),
        cmocka_unit_test(sanded_wood_gives_its_published_parameters),
        cmocka_unit_test(a_missing_point_is_left_out_not_filled),
        cmocka_unit_test(form_takes_off_the_certified_line_and_parabola),
        cmocka_unit_test(least_squares_meet_certified_regressions),
        cmocka_unit_test(a_circle_is_taken_off_whatever_its_tilt),
        cmocka_unit_test(too_few_points_for_a_form_are_an_error),
        cmocka_unit_test(half_the_amplitude_passes_at_the_cut_off),
        cmocka_unit_test(a_cut_kernel_passes_what_the_table_says),
        cmocka_unit_test(filters_treat_the_ends_as_stated),
        cmocka_unit_test(a_filter_leaves_missing_points_missing),
        cmocka_unit_test(measuring_a_trace_gives_the_reference_roughness),
        cmocka_unit_test(the_two_standards_choose_their_own_cut_offs),
        cmocka_unit_test(the_cut_off_settles_on_the_measured_roughness),
        cmocka_unit_test(a_trace_shorter_than_one_cut_off_is_refused),
        cmocka_unit_test(dealing_sorts_as_the_radix_sort_does),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
