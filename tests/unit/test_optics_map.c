/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Light from height maps: gratings, energy, lay, ensembles, bad maps. */
#include "rows.h"

#include <fftw3.h>
#include <math.h>
#include <pthread.h>

#include "levigate/optics.h"
#include "optics_screen.h"
#include "rng.h"
#include "units.h"

static double deg(double x)
{
    return x * LEV_PI / 180.0;
}

/* ---- maps ---- */

typedef double (*shape)(double turn); /* heights over one period, 0..1 -> 0..1 */

static double sine(double t)
{
    return sin(2.0 * LEV_PI * t);
}

static double step(double t)
{
    return t < 0.5 ? 0.0 : 1.0;
}

static double saw(double t)
{
    return t;
}

static double vee(double t)
{
    return t < 0.5 ? 2.0 * t : 2.0 - 2.0 * t;
}

/* Grooves along y: the lay is the y axis. */
static lev_height_view grating(shape f, double size_um, ptrdiff_t nx, ptrdiff_t ny,
                               ptrdiff_t periods, double dx_um)
{
    float *const z = malloc((size_t)(nx * ny) * sizeof *z);
    assert_non_null(z);
    for (ptrdiff_t j = 0; j < ny; j++)
        for (ptrdiff_t i = 0; i < nx; i++) {
            const double turn = ((double)i + 0.5) * (double)periods / (double)nx;
            z[j * nx + i] = (float)(size_um * f(turn - floor(turn)));
        }
    return (lev_height_view){z, nx, ny, dx_um, dx_um};
}

/* Normal heights with correlation exp(-(x/lx)^2 - (y/ly)^2) that join at the edges. */
static lev_height_view gauss_map(ptrdiff_t n, double dx, double sq, double lx,
                                 double ly, uint64_t seed)
{
    const ptrdiff_t half = n / 2 + 1;
    double *const a = fftw_malloc((size_t)(n * n) * sizeof *a);
    fftw_complex *const u = fftw_malloc((size_t)(n * half) * sizeof *u);
    float *const z = malloc((size_t)(n * n) * sizeof *z);
    const int m = (int)n;
    fftw_plan there = fftw_plan_dft_r2c_2d(m, m, a, u, FFTW_ESTIMATE);
    fftw_plan back = fftw_plan_dft_c2r_2d(m, m, u, a, FFTW_ESTIMATE);
    for (ptrdiff_t i = 0; i < n * n; i++)
        a[i] = lev_rng_normal((lev_rng){seed}, (uint64_t)i, 1);
    fftw_execute(there);
    double power = 0.0;
    for (ptrdiff_t j = 0; j < n; j++)
        for (ptrdiff_t i = 0; i < half; i++) {
            const double fx = (double)i / ((double)n * dx);
            const double fy = (double)(j <= n / 2 ? j : j - n) / ((double)n * dx);
            const double p = pow(LEV_PI * lx * fx, 2) + pow(LEV_PI * ly * fy, 2);
            const double w = exp(-p / 2.0);
            u[j * half + i][0] *= w;
            u[j * half + i][1] *= w;
            power += (i > 0 && i < n / 2 ? 2.0 : 1.0) * w * w;
        }
    fftw_execute(back);
    const double scale = sq / sqrt(power) / (double)n;
    for (ptrdiff_t i = 0; i < n * n; i++)
        z[i] = (float)(a[i] * scale);
    fftw_destroy_plan(there);
    fftw_destroy_plan(back);
    fftw_free(a);
    fftw_free(u);
    return (lev_height_view){z, n, n, dx, dx};
}

static void map_free(lev_height_view *m)
{
    free((void *)(uintptr_t)m->z_um);
}

static lev_scatter scatter_of(const lev_height_view *m, ptrdiff_t n, double um,
                              double theta_deg)
{
    lev_scatter s;
    lev_error err = {0};
    const lev_scatter_request req = {
        .wavelength_um = um, .incidence_rad = deg(theta_deg), .repeats = true};
    assert_ok(lev_optics_scatter(m, n, &req, &s, &err), &err);
    return s;
}

static double sum_of(const lev_scatter *s)
{
    double sum = 0.0;
    for (ptrdiff_t i = 0; i < s->nx * s->ny; i++)
        sum += (double)s->power[i];
    return sum;
}

/* ---- gratings ---- */

static void gratings_send_their_orders_by_the_closed_forms(void **state)
{
    (void)state;
    enum { PERIODS = 8 };
    golden g = golden_open("optics/grating_checks.csv");
    while (golden_next(&g)) {
        const char *const name = g.cell[0];
        const shape f = name[1] == 'i'   ? sine
                        : name[0] == 'l' ? step
                        : name[1] == 'a' ? saw
                                         : vee;
        const double size = golden_number(&g, 1) / 1000.0;
        lev_height_view m = grating(f, size, 8192, 16, PERIODS, 0.05);
        lev_scatter s =
            scatter_of(&m, 1, golden_number(&g, 2) / 1000.0, golden_number(&g, 3));
        for (int n = 0; n <= 5; n++) {
            /* The sawtooth sends its light to one side: slope up, orders +n. A map of
             * 1024 points a period stands for the shape to 3e-6; float heights. */
            const double got = (double)s.power[n * PERIODS];
            assert_near_abs(got, golden_number(&g, 5 + n), 2e-5);
        }
        assert_near_abs(sum_of(&s), 1.0, 1e-5); /* Parseval, in float bins */
        lev_scatter_release(&s);
        map_free(&m);
    }
}

static void lay_across_and_along_meet_the_grating_table(void **state)
{
    (void)state;
    golden g = golden_open("optics/lay_gloss_grating_worked.csv");
    while (golden_next(&g)) {
        const double period = golden_number(&g, 1);
        const double theta = golden_number(&g, 3);
        char id[32];
        lev_window w;
        lev_error err = {0};
        double across = 0.0;
        double along = 0.0;
        snprintf(id, sizeof id, "gloss-%g", theta);
        assert_ok(lev_optics_window(id, &w, &err), &err);
        lev_height_view m = grating(sine, golden_number(&g, 0) / 1000.0, 4096, 1024,
                                    4096 / 64, period / 64);
        lev_scatter s = scatter_of(&m, 1, 0.55, theta);
        assert_ok(lev_optics_collect(&s, &w, 0.0, &across, &err), &err);
        assert_ok(lev_optics_collect(&s, &w, LEV_PI / 2.0, &along, &err), &err);
        /* At 85 degrees our orders below the horizon give their energy back to the
         * others; the table leaves it out, hence the wider band. */
        const double wide = theta > 80 ? 3e-3 : 2e-5;
        assert_near_abs(across, golden_number(&g, 6), wide);
        assert_near_abs(along, golden_number(&g, 8), wide);
        lev_scatter_release(&s);
        map_free(&m);
    }
}

static void the_plane_of_incidence_turns_with_the_map(void **state)
{
    (void)state;
    /* Random grooves along y and the same along x read the same when asked across. */
    lev_height_view a = gauss_map(512, 1.0, 0.08, 10.0, 200.0, 3);
    float *const t = malloc((size_t)(512 * 512) * sizeof *t);
    for (int j = 0; j < 512; j++)
        for (int i = 0; i < 512; i++)
            t[i * 512 + j] = a.z_um[j * 512 + i];
    lev_height_view b = {t, 512, 512, 1.0, 1.0};
    lev_scatter sa = scatter_of(&a, 1, 0.55, 60);
    lev_scatter sb = scatter_of(&b, 1, 0.55, 60);
    lev_window w;
    double x = 0.0;
    double y = 0.0;
    assert_int_equal(lev_optics_window("gloss-60", &w, NULL), LEV_OK);
    assert_int_equal(lev_optics_collect(&sa, &w, 0.0, &x, NULL), LEV_OK);
    assert_int_equal(lev_optics_collect(&sb, &w, LEV_PI / 2.0, &y, NULL), LEV_OK);
    assert_near(x, y, 1e-6);
    assert_near(lev_optics_mtf(&sa, 0.0, false, 200.0),
                lev_optics_mtf(&sb, LEV_PI / 2.0, false, 200.0), 1e-6);
    lev_scatter_release(&sa);
    lev_scatter_release(&sb);
    map_free(&a);
    map_free(&b);
}

/* ---- random maps ---- */

static void random_maps_meet_the_series(void **state)
{
    (void)state;
    /* 2048^2 points, 1 um: 0.366/0.837, 0.333/0.836, 0.098/0.508 at 20/60 degrees; the
     * Beckmann-Kirchhoff series 0.366730/0.836883 ... Three maps scatter by 0.005. */
    static const double want[][4] = {{0.1, 10, 0.366730, 0.836883},
                                     {0.2, 20, 0.331663, 0.833330},
                                     {0.4, 20, 0.098599, 0.509032}};
    for (int k = 0; k < 3; k++) {
        lev_height_view m[3];
        for (int i = 0; i < 3; i++)
            m[i] = gauss_map(1024, 1.0, want[k][0], want[k][1], want[k][1],
                             (uint64_t)(10 * k + i));
        for (int a = 0; a < 2; a++) {
            lev_window w;
            lev_error err = {0};
            double share = 0.0;
            assert_ok(lev_optics_window(a ? "gloss-60" : "gloss-20", &w, &err), &err);
            lev_scatter s = scatter_of(m, 3, 0.55, a ? 60 : 20);
            assert_ok(lev_optics_collect(&s, &w, 0.3, &share, &err), &err);
            assert_near_abs(share, want[k][2 + a], 0.012);
            lev_scatter_release(&s);
        }
        for (int i = 0; i < 3; i++)
            map_free(&m[i]);
    }
}

static void energy_is_kept_with_and_without_taper(void **state)
{
    (void)state;
    lev_height_view m = gauss_map(512, 0.5, 0.15, 8.0, 8.0, 5);
    lev_error err = {0};
    for (int repeats = 0; repeats < 2; repeats++) {
        lev_scatter s;
        const lev_scatter_request req = {.incidence_rad = deg(20),
                                         .repeats = repeats != 0};
        const lev_window all = {deg(20), -2.0, 2.0, 2.0};
        double share = 0.0;
        assert_ok(lev_optics_scatter(&m, 1, &req, &s, &err), &err);
        assert_near_abs(sum_of(&s), 1.0, 1e-5);
        /* A receptor over the whole half space would need a pitch this map has not. */
        assert_int_equal(lev_optics_collect(&s, &all, 0.0, &share, &err), LEV_E_RANGE);
        const lev_window most = {deg(20), sin(deg(20)) - 0.54, sin(deg(20)) + 0.54,
                                 0.54};
        assert_ok(lev_optics_collect(&s, &most, 0.0, &share, &err), &err);
        assert_near_abs(share, 1.0, 1e-3);
        lev_scatter_release(&s);
    }
    map_free(&m);
}

static void a_flat_map_is_a_mirror_even_when_tilted(void **state)
{
    (void)state;
    float *const z = malloc(256 * 256 * sizeof *z);
    for (int i = 0; i < 256 * 256; i++)
        z[i] = (float)(5.0 + 0.02 * (i % 256) - 0.03 * (double)(i / 256));
    const lev_height_view m = {z, 256, 256, 1.0, 1.0};
    lev_look look;
    lev_error err = {0};
    lev_look_request req = {0};
    assert_ok(lev_optics_find("silver", &req.optic, &err), &err);
    assert_ok(lev_optics_look(&m, 1, &req, &look, &err), &err);
    assert_near(look.mirror, 1.0, 1e-3);
    assert_near(look.gu[LEV_GLOSS_60][LEV_LAY_ACROSS], 981.0, 2e-3);
    assert_near_abs(look.haze[LEV_LAY_ACROSS], 0.0, 0.1);
    assert_true(look.readable_mm > 1000.0);
    free(z);
}

static void facets_and_waves_agree_on_rough_faces(void **state)
{
    (void)state;
    /* sq 1 um, l 40 um: slope 0.035, g = 460 at 20 degrees. */
    lev_height_view m = gauss_map(1024, 1.0, 1.0, 40.0, 40.0, 8);
    lev_error err = {0};
    lev_window w;
    double share[2] = {0.0, 0.0};
    assert_ok(lev_optics_window("gloss-20", &w, &err), &err);
    for (int way = 0; way < 2; way++) {
        lev_scatter s;
        const lev_scatter_request req = {
            .incidence_rad = deg(20), .repeats = true, .way = (lev_scatter_way)way};
        assert_ok(lev_optics_scatter(&m, 1, &req, &s, &err), &err);
        assert_ok(lev_optics_collect(&s, &w, 0.0, &share[way], &err), &err);
        lev_scatter_release(&s);
    }
    assert_near(share[0], share[1], 0.05);
    /* Closed form of normal slopes; one map of 25 correlation lengths a side. */
    const double slope = sqrt(2.0) / 40.0;
    assert_near(share[1],
                lev_optics_facet_share(slope, slope, deg(1.8), deg(3.6), deg(20)),
                0.15);
    map_free(&m);
}

static void contrast_of_a_map_meets_the_transfer_function(void **state)
{
    (void)state;
    lev_height_view m[3];
    for (int i = 0; i < 3; i++)
        m[i] = gauss_map(1024, 1.0, 0.05, 20.0, 20.0, (uint64_t)(30 + i));
    lev_scatter s = scatter_of(m, 3, 0.55, 20);
    const lev_rough r = {0.05, 20.0, 20.0, LEV_ACF_GAUSS};
    for (double c_deg = 0.1; c_deg < 6; c_deg *= 2) {
        const double nu = c_deg / deg(1.0);
        for (int cross = 0; cross < 2; cross++)
            assert_near_abs(lev_optics_mtf(&s, 0.7, cross != 0, nu),
                            lev_optics_rough_mtf(&r, 0.55, deg(20), nu, cross != 0),
                            0.03);
    }
    lev_scatter_release(&s);
    for (int i = 0; i < 3; i++)
        map_free(&m[i]);
}

static void more_maps_and_larger_maps_converge(void **state)
{
    (void)state;
    /* Error of the collected share against the series: falls with area. */
    lev_window w;
    assert_int_equal(lev_optics_window("gloss-20", &w, NULL), LEV_OK);
    const double want = lev_optics_rough_share(&(lev_rough){0.1, 10, 10, LEV_ACF_GAUSS},
                                               0.55, &w, NULL);
    double rms[2] = {0.0, 0.0};
    for (int size = 0; size < 2; size++)
        for (int k = 0; k < 6; k++) {
            const ptrdiff_t n = size ? 1024 : 256;
            double share = 0.0;
            lev_height_view m = gauss_map(n, 1.0, 0.1, 10, 10, (uint64_t)(100 + k));
            lev_scatter s = scatter_of(&m, 1, 0.55, 20);
            assert_int_equal(lev_optics_collect(&s, &w, 0.0, &share, NULL), LEV_OK);
            rms[size] += (share - want) * (share - want) / 6.0;
            lev_scatter_release(&s);
            map_free(&m);
        }
    assert_true(sqrt(rms[1]) < sqrt(rms[0]) / 2.0); /* area 16 times: 4 times less */
    assert_true(sqrt(rms[1]) < 0.01);
}

static void seen_roughness_drops_what_is_finer_than_the_light(void **state)
{
    (void)state;
    /* l = 0.2 um: share 0.728847 of sq^2 is seen at 0.55 um (band_limit_worked.csv). */
    lev_height_view m = gauss_map(1024, 0.05, 0.02, 0.2, 0.2, 4);
    double sq = 0.0;
    lev_error err = {0};
    assert_ok(lev_optics_band_map(&m, 1, 0.55, &sq, &err), &err);
    assert_near(sq / 0.02, sqrt(0.728847), 0.01);
    map_free(&m);
}

enum { THREADS = 4 };

typedef struct turn {
    lev_height_view m;
    double alone, sq;
    lev_status st;
} turn;

static void *look_again_and_again(void *arg)
{
    turn *t = arg;
    lev_error err = {0};
    for (int k = 0; k < 20 && t->st >= 0; k++)
        t->st = lev_optics_band_map(&t->m, 1, 0.55, &t->sq, &err);
    return NULL;
}

/* FFTW documents that its planner may be used by one thread at a time only. */
static void several_threads_may_transform_at_once(void **state)
{
    (void)state;
    pthread_t thread[THREADS];
    turn t[THREADS];
    lev_error err = {0};
    for (int i = 0; i < THREADS; i++) {
        t[i] = (turn){.m = gauss_map(64 + 32 * i, 0.05, 0.02, 0.2, 0.2, 4)};
        assert_ok(lev_optics_band_map(&t[i].m, 1, 0.55, &t[i].alone, &err), &err);
    }
    for (int i = 0; i < THREADS; i++)
        assert_int_equal(pthread_create(&thread[i], NULL, look_again_and_again, &t[i]),
                         0);
    for (int i = 0; i < THREADS; i++) {
        assert_int_equal(pthread_join(thread[i], NULL), 0);
        assert_int_equal(t[i].st, LEV_OK);
        assert_true(memcmp(&t[i].sq, &t[i].alone, sizeof t[i].sq) == 0);
        map_free(&t[i].m);
    }
}

/* ---- the lay ---- */

/* Two sine waves; the lay of each runs along its crests. */
static lev_height_view two_waves(const golden *g, ptrdiff_t n, double stretch)
{
    float *const z = malloc((size_t)(n * n) * sizeof *z);
    assert_non_null(z);
    for (ptrdiff_t j = 0; j < n; j++)
        for (ptrdiff_t i = 0; i < n; i++) {
            double sum = 0.0;
            for (int w = 0; w < 2; w++) {
                const double lay = deg(golden_number(g, 3 * w + 2));
                const double off = (double)j * cos(lay) - (double)i * sin(lay);
                const double period = stretch * golden_number(g, 3 * w + 1);
                sum += golden_number(g, 3 * w) * sine(off / period);
            }
            z[j * n + i] = (float)(stretch * sum);
        }
    return (lev_height_view){z, n, n, 1.0, 1.0};
}

/* Stretched alike in height and length, slopes stay; the longer the wave against the
 * pitch, the nearer differences come to slopes. */
static void the_lay_of_waves_meets_the_structure_tensor(void **state)
{
    (void)state;
    golden g = golden_open("optics/structure_tensor_worked.csv");
    while (golden_next(&g)) {
        lev_height_view m = two_waves(&g, 1024, 4.0);
        lev_relief_stats r = {0};
        lev_error err = {0};
        assert_ok(lev_optics_relief_stats(&m, 1, &r, &err), &err);
        assert_near_abs(r.slope_x * r.slope_x, golden_number(&g, 6), 1e-3);
        assert_near_abs(r.slope_y * r.slope_y, golden_number(&g, 7), 1e-3);
        assert_near_abs(r.coherence, golden_number(&g, 10), 0.01);
        if (strcmp(g.cell[9], "undefined") != 0) {
            const double off = r.lay_rad - deg(golden_number(&g, 9));
            assert_near_abs(sin(off), 0.0, sin(deg(0.5))); /* 0 and 180 are one */
        }
        map_free(&m);
    }
}

/* ---- looks of maps ---- */

static void a_ground_map_finds_its_lay_and_agrees_with_the_series(void **state)
{
    (void)state;
    lev_height_view m = gauss_map(1024, 1.0, 0.06, 12.0, 400.0, 21);
    lev_look map;
    lev_look series;
    lev_error err = {0};
    lev_look_request req = {.repeats = true};
    assert_ok(lev_optics_find("stainless_austenitic", &req.optic, &err), &err);
    assert_ok(lev_optics_look(&m, 1, &req, &map, &err), &err);
    assert_ok(lev_optics_rough_look(&(lev_rough){0.06, 12.0, 400.0, LEV_ACF_GAUSS},
                                    &req, &series, &err),
              &err);
    assert_true(map.directional);
    assert_near_abs(map.lay_rad, LEV_PI / 2.0, deg(2));
    assert_near(map.sq_um, 0.06, 0.05);
    for (int lay = 0; lay < LEV_LAYS; lay++) {
        assert_near(map.gu[LEV_GLOSS_60][lay], series.gu[LEV_GLOSS_60][lay], 0.05);
        assert_near(map.gu[LEV_GLOSS_20][lay], series.gu[LEV_GLOSS_20][lay], 0.12);
        assert_near(map.gu[LEV_GLOSS_85][lay], series.gu[LEV_GLOSS_85][lay], 0.03);
    }
    assert_near(map.readable_mm, series.readable_mm, 0.15);
    map_free(&m);
}

static void a_steep_map_turns_to_facets_and_says_so(void **state)
{
    (void)state;
    lev_height_view m = gauss_map(256, 2.0, 2.0, 8.0, 8.0, 2);
    lev_look look;
    lev_error err = {0};
    lev_look_request req = {.repeats = true};
    assert_ok(lev_optics_find("iron", &req.optic, &err), &err);
    assert_ok(lev_optics_look(&m, 1, &req, &look, &err), &err);
    assert_int_equal(look.way, LEV_SCATTER_FACETS);
    assert_true(look.notes & LEV_NOTE_OUTSIDE);
    assert_true(look.gu[LEV_GLOSS_20][0] < 10.0);
    map_free(&m);
}

/* ---- bad maps ---- */

static void refused(lev_height_view m, double um, lev_status want, const char *word)
{
    lev_scatter s;
    lev_error err = {0};
    const lev_scatter_request req = {.wavelength_um = um, .incidence_rad = deg(20)};
    assert_int_equal(lev_optics_scatter(&m, 1, &req, &s, &err), want);
    assert_non_null(strstr(err.text, word));
    assert_null(strchr(err.text, '\n'));
}

static void bad_maps_get_one_clear_line(void **state)
{
    (void)state;
    lev_height_view m = gauss_map(64, 1.0, 0.01, 5.0, 5.0, 1);
    lev_height_view bad = m;
    bad.dx_um = 0.0;
    refused(bad, 0.55, LEV_E_RANGE, "no pitch");
    bad.dx_um = NAN;
    refused(bad, 0.55, LEV_E_RANGE, "no pitch");
    bad = m;
    bad.nx = 4;
    refused(bad, 0.55, LEV_E_RANGE, "16");
    refused(m, 0.01, LEV_E_RANGE, "0.2 to 20");
    float *const z = (float *)(uintptr_t)m.z_um;
    const float kept = z[70];
    z[70] = NAN;
    refused(m, 0.55, LEV_E_FORMAT, "point 7 of row 2");
    z[70] = kept;
    for (int i = 0; i < 64 * 64; i++)
        z[i] *= 100.0F;
    refused(m, 0.55, LEV_E_RANGE, "too coarse for light of 0.55 um");
    map_free(&m);
}

static void a_pitch_too_coarse_for_the_receptor_is_refused(void **state)
{
    (void)state;
    lev_height_view m = gauss_map(128, 8.0, 0.005, 40.0, 40.0, 1);
    lev_scatter s = scatter_of(&m, 1, 0.55, 60);
    lev_window w;
    lev_error err = {0};
    double share = 0.0;
    assert_int_equal(lev_optics_window("gloss-60", &w, NULL), LEV_OK);
    assert_int_equal(lev_optics_collect(&s, &w, 0.0, &share, &err), LEV_E_RANGE);
    assert_non_null(strstr(err.text, "too coarse"));
    lev_scatter_release(&s);
    map_free(&m);
}

/* ---- kernel ---- */

static void the_fast_screen_agrees_with_the_scalar_one(void **state)
{
    (void)state;
    enum { N = 37 };
    const lev_screen_row fast = lev_screen_row_best();
    float z[N + 1];
    double taper[N];
    double a[2 * N + 2];
    double b[2 * N + 2];
    for (int i = 0; i < N; i++) {
        z[i + 1] = (float)lev_rng_normal((lev_rng){9}, (uint64_t)i, 0) *
                   powf(10.0F, (float)(i % 6 - 3));
        taper[i] = lev_rng_uniform((lev_rng){9}, (uint64_t)i, 1);
    }
    for (int n = 0; n <= N; n++) {
        for (int i = 0; i < 2 * N + 2; i++)
            a[i] = b[i] = 77.0; /* guards */
        lev_screen_row_c(z + 1, n, 0.3, 0.01, 22.8, n % 2 ? taper : NULL, 1.5, a);
        fast(z + 1, n, 0.3, 0.01, 22.8, n % 2 ? taper : NULL, 1.5, b);
        for (int i = 0; i < 2 * N + 2; i++)
            assert_near_abs(a[i], b[i], 1.5e-12); /* the phase of 1e4 itself rounds */
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(gratings_send_their_orders_by_the_closed_forms),
        cmocka_unit_test(lay_across_and_along_meet_the_grating_table),
        cmocka_unit_test(the_plane_of_incidence_turns_with_the_map),
        cmocka_unit_test(random_maps_meet_the_series),
        cmocka_unit_test(energy_is_kept_with_and_without_taper),
        cmocka_unit_test(a_flat_map_is_a_mirror_even_when_tilted),
        cmocka_unit_test(facets_and_waves_agree_on_rough_faces),
        cmocka_unit_test(contrast_of_a_map_meets_the_transfer_function),
        cmocka_unit_test(more_maps_and_larger_maps_converge),
        cmocka_unit_test(seen_roughness_drops_what_is_finer_than_the_light),
        cmocka_unit_test(several_threads_may_transform_at_once),
        cmocka_unit_test(the_lay_of_waves_meets_the_structure_tensor),
        cmocka_unit_test(a_ground_map_finds_its_lay_and_agrees_with_the_series),
        cmocka_unit_test(a_steep_map_turns_to_facets_and_says_so),
        cmocka_unit_test(bad_maps_get_one_clear_line),
        cmocka_unit_test(a_pitch_too_coarse_for_the_receptor_is_refused),
        cmocka_unit_test(the_fast_screen_agrees_with_the_scalar_one),
    };
    return cmocka_run_group_tests_name("optics_map", tests, NULL, NULL);
}
