/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The reflected picture: the card, its blur and tint, edges measured in it, strips. */
#include "rows.h"

#include <math.h>

#include "levigate/optics.h"
#include "mem.h"
#include "num.h"
#include "optics_draw.h"
#include "rng.h"
#include "units.h"

static double deg(double x)
{
    return x * LEV_PI / 180.0;
}

static lev_mirror_view view_of(const char *id, double card_mm)
{
    lev_mirror_view v = {.card_mm = card_mm};
    assert_int_equal(lev_optics_find(id, &v.optic, NULL), LEV_OK);
    return v;
}

static double luminance(const lev_picture *p, ptrdiff_t i)
{
    return 0.2126 * (double)p->rgb[3 * i] + 0.7152 * (double)p->rgb[3 * i + 1] +
           0.0722 * (double)p->rgb[3 * i + 2];
}

/* Standard deviation of the light over mean: what is left of the picture. */
static double contrast_of(const lev_picture *p)
{
    const ptrdiff_t n = p->nx * p->ny;
    double s = 0.0;
    double ss = 0.0;
    for (ptrdiff_t i = 0; i < n; i++) {
        const double y = luminance(p, i);
        s += y;
        ss += y * y;
    }
    const double mean = s / (double)n;
    return sqrt(fmax(0.0, ss / (double)n - mean * mean)) / mean;
}

/* ---- edges ---- */

/* An edge 5 degrees off upright, blurred by s points, each point the mean of its area.
 */
static void fill_edge(float *grey, int n, double s)
{
    enum { SUB = 12 };
    for (int j = 0; j < n; j++)
        for (int i = 0; i < n; i++) {
            double sum = 0.0;
            for (int a = 0; a < SUB * SUB; a++) {
                const double x = i + (a % SUB + 0.5) / SUB - n / 2.0;
                const double y = j + (a / SUB + 0.5) / SUB - n / 2.0;
                const double d = x * cos(deg(5)) + y * sin(deg(5));
                sum += lev_norm_cdf(d / s);
            }
            grey[j * n + i] = (float)(0.1 + 0.8 * sum / (SUB * SUB));
        }
}

static void slanted_edges_meet_the_table(void **state)
{
    (void)state;
    enum { N = 96, M = 20 };
    static float grey[N * N];
    static const int at[] = {1, 2, 4, 6, 8, 10}; /* of M: 0.05 .. 0.5 cycles a point */
    golden g = golden_open("optics/slanted_edge_worked.csv");
    while (golden_next(&g)) {
        double mtf[M];
        lev_error err = {0};
        const double s = golden_number(&g, 0);
        if (s > 3.0) /* wider than the window of so small a picture */
            continue;
        fill_edge(grey, N, s);
        assert_ok(lev_optics_edge_mtf(grey, N, N, mtf, M, &err), &err);
        assert_near(mtf[0], 1.0, 1e-12);
        /* Bins of a quarter point and the window cost up to 0.02. */
        for (int i = 0; i < 6; i++)
            assert_near_abs(mtf[at[i]], golden_number(&g, 1 + i), 0.02);
    }
}

static void a_picture_without_an_edge_is_refused(void **state)
{
    (void)state;
    float grey[32 * 32] = {0};
    double mtf[4];
    lev_error err = {0};
    assert_int_equal(lev_optics_edge_mtf(grey, 32, 32, mtf, 4, &err), LEV_E_FORMAT);
    assert_non_null(strstr(err.text, "no edge"));
    assert_int_equal(lev_optics_edge_mtf(grey, 4, 32, mtf, 4, &err), LEV_E_RANGE);
}

static void a_reflected_edge_has_the_contrast_of_the_face(void **state)
{
    (void)state;
    /* The whole chain: draw an edge, reflect it, measure it by ISO 12233, and compare
     * with exp(-g (1 - C)) times the drawing's own softness (the same edge in a perfect
     * mirror). */
    enum { N = 192, M = 40 };
    const lev_rough s = {0.06, 15.0, 15.0, LEV_ACF_GAUSS};
    static float grey[2][64 * 64];
    double mtf[2][M];
    lev_error err = {0};
    lev_mirror_view v = view_of("silver", 60.0);
    lev_picture card;
    v.room_level = 0.5;
    assert_ok(lev_picture_new(N, N, 0.3, 0.1F, &card, &err), &err);
    lev_draw_slant(&card, (lev_box_mm){0, 0, N * 0.3, N * 0.3}, deg(5),
                   (const float[]){0.9F, 0.9F, 0.9F});
    for (int k = 0; k < 2; k++) {
        lev_picture seen;
        const lev_rough face = k ? s : (lev_rough){0};
        assert_ok(lev_optics_rough_reflect(&card, &face, deg(20), &v, &seen, &err),
                  &err);
        for (int j = 0; j < 64; j++)
            for (int i = 0; i < 64; i++)
                grey[k][j * 64 + i] = seen.rgb[3 * ((j + 64) * N + i + 64) + 1];
        assert_ok(lev_optics_edge_mtf(grey[k], 64, 64, mtf[k], M, &err), &err);
        lev_picture_release(&seen);
    }
    for (int i = 2; i < M / 4; i++) {
        const double per_mm = i / (M * 0.3);
        const double want =
            lev_optics_rough_mtf(&s, 0.55, deg(20), per_mm * 60.0, true);
        assert_near_abs(mtf[1][i] / mtf[0][i], want, 0.05);
    }
    lev_picture_release(&card);
}

/* ---- pictures ---- */

static void a_perfect_mirror_shows_the_card_in_its_own_tint(void **state)
{
    (void)state;
    lev_error err = {0};
    lev_picture card;
    lev_picture seen;
    const lev_mirror_view v = view_of("brass_260", 300.0);
    const lev_rough flat = {0};
    assert_ok(lev_optics_card(200, &card, &err), &err);
    assert_ok(lev_optics_rough_reflect(&card, &flat, deg(20), &v, &seen, &err), &err);
    for (int c = 0; c < 3; c++) {
        lev_reflectance r;
        assert_ok(lev_optics_reflectance(v.optic.nk[c], deg(20), &r, &err), &err);
        for (ptrdiff_t i = 0; i < card.nx * card.ny; i++)
            assert_near_abs((double)seen.rgb[3 * i + c],
                            r.mean * (double)card.rgb[3 * i + c], 1e-6);
    }
    lev_picture_release(&card);
    lev_picture_release(&seen);
}

static void the_card_fades_as_it_is_lifted(void **state)
{
    (void)state;
    lev_error err = {0};
    lev_picture card;
    double last = 10.0;
    const lev_rough s = {0.2, 20.0, 20.0, LEV_ACF_GAUSS};
    assert_ok(lev_optics_card(240, &card, &err), &err);
    for (double mm = 5.0; mm < 700.0; mm *= 2.0) {
        lev_picture seen;
        const lev_mirror_view v = view_of("silver", mm);
        assert_ok(lev_optics_rough_reflect(&card, &s, deg(20), &v, &seen, &err), &err);
        assert_true(contrast_of(&seen) < last);
        last = contrast_of(&seen);
        lev_picture_release(&seen);
    }
    lev_picture_release(&card);
}

static void marks_smear_the_picture_across_themselves(void **state)
{
    (void)state;
    /* Marks across the plane of incidence (which is upright): upright detail fades,
     * level steps stay less than they do along. Bars tell: upright bars keep. */
    lev_error err = {0};
    lev_picture bars[2];
    double left[2];
    const lev_rough s = {0.3, 15.0, 0.0, LEV_ACF_GAUSS};
    const lev_mirror_view v = view_of("silver", 40.0);
    for (int k = 0; k < 2; k++) {
        lev_picture seen;
        assert_ok(lev_picture_new(160, 160, 0.5, 1.0F, &bars[k], &err), &err);
        for (int i = 0; i < 160 * 160; i++)
            if ((k ? i / 160 : i % 160) / 4 % 2)
                memset(bars[k].rgb + 3 * i, 0, 3 * sizeof(float));
        assert_ok(lev_optics_rough_reflect(&bars[k], &s, deg(20), &v, &seen, &err),
                  &err);
        left[k] = contrast_of(&seen) / contrast_of(&bars[k]);
        lev_picture_release(&seen);
        lev_picture_release(&bars[k]);
    }
    assert_true(left[0] > 0.95); /* upright bars lie along the smear */
    assert_true(left[1] < 0.3);
}

static lev_height_view grooves(ptrdiff_t n, double sq, double l, uint64_t seed)
{
    /* Random heights in the y direction only, smoothed by a Gaussian of l / 2: the
     * correlation is exp(-(t/l)^2). */
    const double s = l / 2.0;
    const ptrdiff_t reach = (ptrdiff_t)(4.0 * s);
    float *const z = malloc((size_t)(n * n) * sizeof *z);
    double norm = 0.0;
    for (ptrdiff_t k = -reach; k <= reach; k++)
        norm += exp(-(double)(k * k) / (s * s));
    for (ptrdiff_t j = 0; j < n; j++) {
        double h = 0.0;
        for (ptrdiff_t k = -reach; k <= reach; k++)
            h += exp(-(double)(k * k) / (2.0 * s * s)) *
                 lev_rng_normal((lev_rng){seed}, (uint64_t)((j + k + n) % n), 3);
        for (ptrdiff_t i = 0; i < n; i++)
            z[j * n + i] = (float)(sq * h / sqrt(norm));
    }
    return (lev_height_view){z, n, n, 1.0, 1.0};
}

/* Light and centre of the part of a picture (green) that lies right of and below the
 * middle by off to far points in x (axis 0) or y (axis 1). */
static void ghost_of(const lev_picture *p, int axis, double off, double far,
                     double *light, double *centre)
{
    double moment = 0.0;
    *light = 0.0;
    for (ptrdiff_t i = 0; i < p->nx * p->ny; i++) {
        const double at = (double)(axis ? i / p->nx : i % p->nx) - 80.0;
        if (at < off || at > far)
            continue;
        *light += (double)p->rgb[3 * i + 1];
        moment += at * (double)p->rgb[3 * i + 1];
    }
    *centre = moment / *light;
}

static void a_grating_shows_its_orders_where_the_geometry_puts_them(void **state)
{
    (void)state;
    /* One bright point in a grating of 8 um seen at 60 degrees from 50 mm: first order
     * off by D lambda / (d cos) = 6.875 mm in the plane of incidence, by D lambda / d =
     * 3.4375 mm across it; light J1(m)^2 : J0(m)^2, m = 4 pi a cos / lambda = 0.571199
     * (grating_checks.csv: 0.075136, 0.846550). */
    enum { N = 256 };
    static float z[N * N];
    lev_error err = {0};
    lev_picture card;
    for (int i = 0; i < N * N; i++)
        z[i] = (float)(0.05 * sin(2.0 * LEV_PI * (i % N + 0.5) / 16.0));
    const lev_height_view m = {z, N, N, 0.5, 0.5};
    assert_ok(lev_picture_new(160, 160, 0.25, 0.0F, &card, &err), &err);
    for (int c = 0; c < 3; c++)
        card.rgb[3 * (80 * 160 + 80) + c] = 1.0F;
    for (int across = 0; across < 2; across++) {
        lev_mirror_view v = view_of("silver", 50.0);
        const lev_look_request req = {.repeats = true, .view_rad = deg(60)};
        lev_picture seen;
        double light = 0.0;
        double centre = 0.0;
        lev_reflectance r;
        v.room_level = 1e-12;
        v.azimuth_rad = across ? LEV_PI / 2.0 : 0.0;
        assert_ok(lev_optics_reflectance(v.optic.nk[1], deg(60), &r, &err), &err);
        assert_ok(lev_optics_map_reflect(&card, &m, 1, &req, &v, &seen, &err), &err);
        ghost_of(&seen, across ? 0 : 1, 8.0, across ? 20.0 : 40.0, &light, &centre);
        assert_near_abs(centre, (across ? 3.4375 : 6.875) / 0.25, 0.3);
        assert_near_abs(light / r.mean, 0.075136, 1e-3);
        assert_near((double)seen.rgb[3 * (80 * 160 + 80) + 1] / r.mean, 0.846550, 1e-3);
        lev_picture_release(&seen);
    }
    lev_picture_release(&card);
}

static void pictures_from_maps_and_from_figures_agree(void **state)
{
    (void)state;
    enum { MAPS = 4 };
    lev_error err = {0};
    lev_height_view m[MAPS];
    lev_picture card;
    lev_picture a;
    lev_picture b;
    const lev_rough s = {0.1, 14.0, 0.0, LEV_ACF_GAUSS};
    lev_mirror_view v = view_of("stainless_austenitic", 50.0);
    v.azimuth_rad = LEV_PI / 2.0;
    lev_look_request req = {.repeats = true, .view_rad = deg(20), .optic = v.optic};
    for (int k = 0; k < MAPS; k++)
        m[k] = grooves(512, s.sq_um, s.length_in_um, (uint64_t)(k + 1));
    assert_ok(lev_optics_card(200, &card, &err), &err);
    assert_ok(lev_optics_map_reflect(&card, m, MAPS, &req, &v, &a, &err), &err);
    assert_ok(lev_optics_rough_reflect(&card, &s, deg(20), &v, &b, &err), &err);
    double rms = 0.0;
    const ptrdiff_t n = card.nx * card.ny;
    for (ptrdiff_t i = 0; i < n; i++)
        rms += pow(luminance(&a, i) - luminance(&b, i), 2) / (double)n;
    assert_true(sqrt(rms) < 0.03);
    assert_near(contrast_of(&a), contrast_of(&b), 0.1);
    lev_picture_release(&card);
    lev_picture_release(&a);
    lev_picture_release(&b);
    for (int k = 0; k < MAPS; k++)
        free((void *)(uintptr_t)m[k].z_um);
}

#ifdef LEV_MEM_TEST
static lev_status look_and_draw(const lev_height_view *m, lev_error *err)
{
    lev_status st;
    lev_look look;
    lev_picture card = {0};
    lev_picture p[2] = {0};
    lev_picture strip = {0};
    const char *const words[] = {"A", "B"};
    const lev_mirror_view v = view_of("brass_260", 50.0);
    const lev_look_request req = {.optic = v.optic};
    LEV_TRY(lev_optics_look(m, 1, &req, &look, err));
    LEV_TRY(lev_optics_card(160, &card, err));
    LEV_TRY(lev_optics_map_reflect(&card, m, 1, &req, &v, &p[0], err));
    LEV_TRY(lev_optics_rough_reflect(&card, &(lev_rough){.sq_um = 0.1}, 0.3, &v, &p[1],
                                     err));
    LEV_TRY(lev_optics_strip(p, words, 2, NULL, &strip, err));
out:
    lev_picture_release(&card);
    lev_picture_release(&p[0]);
    lev_picture_release(&p[1]);
    lev_picture_release(&strip);
    return st;
}

static void every_failed_allocation_is_told_and_leaks_nothing(void **state)
{
    (void)state;
    lev_height_view m = grooves(64, 0.02, 8.0, 1);
    const long alive = lev_mem_test_alive();
    lev_status st = LEV_E_MEMORY;
    long nth = 0;
    while (st < 0) {
        lev_error err = {0};
        lev_mem_test_fail(++nth);
        st = look_and_draw(&m, &err);
        assert_true(st == LEV_OK || st == LEV_E_MEMORY);
        assert_int_equal(lev_mem_test_alive(), alive);
    }
    assert_true(nth > 30);
    lev_mem_test_fail(0);
    free((void *)(uintptr_t)m.z_um);
}
#endif

static void every_letter_is_drawn_and_no_two_look_alike(void **state)
{
    (void)state;
    static const char all[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.-+/():,";
    enum { N = (int)(sizeof all - 1), W = 24 };
    static float seen[N][3 * W * W];
    for (int k = 0; k < N; k++) {
        lev_picture p = {W, W, 0.25, seen[k]};
        const float white[3] = {1.0F, 1.0F, 1.0F};
        const char one[2] = {all[k], '\0'};
        lev_picture_text(&p, one, 0.5, 5.5, 5.0, white);
        double ink = 0.0;
        for (int i = 0; i < 3 * W * W; i++)
            ink += (double)seen[k][i];
        assert_true(ink > 30.0);
        for (int other = 0; other < k; other++) {
            double gap = 0.0;
            for (int i = 0; i < 3 * W * W; i++)
                gap += fabs((double)(seen[k][i] - seen[other][i]));
            assert_true(gap > 20.0);
        }
    }
    assert_near_abs(lev_picture_text_mm("AB", 5.0), 11.5, 1e-12);
    assert_near_abs(lev_picture_text_mm("", 5.0), 0.0, 0.0);
}

static void a_strip_holds_its_pictures_and_refuses_unlike_ones(void **state)
{
    (void)state;
    lev_error err = {0};
    lev_picture p[2];
    lev_picture strip;
    const char *const words[] = {"BEFORE", "AFTER P120"};
    assert_ok(lev_optics_card(160, &p[0], &err), &err);
    assert_ok(lev_optics_card(160, &p[1], &err), &err);
    assert_ok(lev_optics_strip(p, words, 2, NULL, &strip, &err), &err);
    assert_true(strip.nx > 320 && strip.ny > p[0].ny);
    lev_picture_release(&strip);
    lev_picture_release(&p[1]);
    assert_ok(lev_optics_card(200, &p[1], &err), &err);
    assert_int_equal(lev_optics_strip(p, words, 2, NULL, &strip, &err), LEV_E_RANGE);
    lev_picture_release(&p[0]);
    lev_picture_release(&p[1]);
}

static void bad_views_get_one_clear_line(void **state)
{
    (void)state;
    lev_error err = {0};
    lev_picture card;
    lev_picture out;
    lev_mirror_view v = view_of("silver", 0.0);
    const lev_rough s = {0};
    assert_ok(lev_optics_card(160, &card, &err), &err);
    assert_int_equal(lev_optics_rough_reflect(&card, &s, 0.3, &v, &out, &err),
                     LEV_E_RANGE);
    v.card_mm = NAN;
    assert_int_equal(lev_optics_rough_reflect(&card, &s, 0.3, &v, &out, &err),
                     LEV_E_RANGE);
    assert_int_equal(lev_optics_card(3, &out, &err), LEV_E_RANGE);
    lev_picture_release(&card);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slanted_edges_meet_the_table),
        cmocka_unit_test(a_picture_without_an_edge_is_refused),
        cmocka_unit_test(a_reflected_edge_has_the_contrast_of_the_face),
        cmocka_unit_test(a_perfect_mirror_shows_the_card_in_its_own_tint),
        cmocka_unit_test(the_card_fades_as_it_is_lifted),
        cmocka_unit_test(marks_smear_the_picture_across_themselves),
        cmocka_unit_test(a_grating_shows_its_orders_where_the_geometry_puts_them),
        cmocka_unit_test(pictures_from_maps_and_from_figures_agree),
#ifdef LEV_MEM_TEST
        cmocka_unit_test(every_failed_allocation_is_told_and_leaks_nothing),
#endif
        cmocka_unit_test(every_letter_is_drawn_and_no_two_look_alike),
        cmocka_unit_test(a_strip_holds_its_pictures_and_refuses_unlike_ones),
        cmocka_unit_test(bad_views_get_one_clear_line),
    };
    return cmocka_run_group_tests_name("optics_picture", tests, NULL, NULL);
}
