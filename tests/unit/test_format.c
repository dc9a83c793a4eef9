/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Surface files: what is read, what is written, what is refused. Reference files and
 * their origin: tests/golden/metrology/README.md. */
#include "golden.h"

#include <math.h>

#include "format.h"
#include "mem.h"
#include "rng.h"

#define FORMATS "metrology/formats/"
#define SAMPLES "metrology/formats/independent/"

static void load(const char *name, lev_surface *s)
{
    char path[512];
    lev_error err = {0};
    golden_path(name, path);
    assert_ok(lev_surface_read(path, NULL, s, &err), &err);
}

static lev_status parse(const char *text, const lev_surface_hint *hint, lev_surface *s,
                        lev_error *err)
{
    *s = (lev_surface){0};
    return lev_surface_parse(text, strlen(text), hint, s, err);
}

static bool listed(const json_t *all, const char *key, ptrdiff_t row, ptrdiff_t col)
{
    const json_t *a = json_object_get(all, key);
    for (size_t i = 0; i < json_array_size(a); i++) {
        const json_t *p = json_array_get(a, i);
        if (json_integer_value(json_array_get(p, 0)) == row &&
            json_integer_value(json_array_get(p, 1)) == col)
            return true;
    }
    return false;
}

static void every_reference_map_has_its_heights(void **state)
{
    (void)state;
    static const struct {
        const char *name, *missing;
    } files[] = {{"surf_int16.x3p", ""},
                 {"surf_double_nan.x3p", "nan_at_row_col"},
                 {"surf_int32_mask.x3p", "masked_out_row_col"},
                 {"surf_ascii.sdf", ""},
                 {"surf_int16.sdf", ""},
                 {"surf_double.sdf", ""}};
    json_t *want = golden_json(FORMATS "formats_expected.json");
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        char name[80], key[40];
        lev_surface s = {0};
        (void)snprintf(name, sizeof name, FORMATS "%s", files[i].name);
        load(name, &s);
        assert_string_equal(s.warning, "");
        assert_true(lev_surface_is_map(&s));
        assert_int_equal(s.map.nx, 16);
        assert_int_equal(s.map.ny, 6);
        assert_near(s.map.dx_um, 2.0, 1e-12);
        assert_near(s.map.dy_um, 3.0, 1e-12);
        for (ptrdiff_t k = 0; k < 96; k++) {
            if (listed(want, files[i].missing, k / 16, k % 16)) {
                assert_true(isnan(s.map.z_um[k]));
                continue;
            }
            (void)snprintf(key, sizeof key, "z_nm.%td.%td", k / 16, k % 16);
            assert_near_abs((double)s.map.z_um[k], golden_number(want, key) * 1e-3,
                            1e-7);
        }
        lev_surface_release(&s);
    }
    json_decref(want);
}

static void reference_profiles_have_their_heights(void **state)
{
    (void)state;
    static const char *const files[] = {FORMATS "profile_float.x3p",
                                        FORMATS "profile.smd"};
    json_t *want = golden_json(FORMATS "formats_expected.json");
    for (int i = 0; i < 2; i++) {
        lev_surface s = {0};
        load(files[i], &s);
        assert_false(lev_surface_is_map(&s));
        assert_int_equal(s.trace.n, 16);
        assert_near(s.trace.dx_um, 2.0, 1e-12);
        for (ptrdiff_t k = 0; k < 16; k++) {
            char key[40];
            (void)snprintf(key, sizeof key, "z_nm.1.%td", k);
            assert_near_abs(s.trace.z_um[k], golden_number(want, key) * 1e-3, 1e-7);
        }
        lev_surface_release(&s);
    }
    json_decref(want);
}

static void independent_samples_read_as_published(void **state)
{
    (void)state;
    json_t *want = golden_json(SAMPLES "expected.json");
    static const char *const names[] = {"sample1", "sample1_bin", "sample3"};
    for (int i = 0; i < 3; i++) {
        char name[80], key[40];
        lev_surface s = {0};
        (void)snprintf(name, sizeof name, SAMPLES "%s.x3p", names[i]);
        load(name, &s);
        assert_string_equal(s.warning, "");
        assert_int_equal(s.map.nx, 4);
        assert_int_equal(s.map.ny, 4);
        assert_near(s.map.dx_um, 16016.0, 1e-9);
        /* sample 3 stores y (whole numbers times 2 m) and heights less 2 m */
        assert_near(s.map.dy_um, i == 2 ? 2e6 : 16016.0, 1e-9);
        for (ptrdiff_t k = 0; k < 16; k++) {
            if (k == 7) {
                assert_true(isnan(s.map.z_um[k]));
                continue;
            }
            (void)snprintf(key, sizeof key, "sample1.z_m.%td.%td", k / 4, k % 4);
            const double z = golden_number(want, key) + (i == 2 ? 2.0 : 0.0);
            assert_near((double)s.map.z_um[k], z * 1e6, 1e-7);
        }
        lev_surface_release(&s);
    }
    json_decref(want);
}

static void a_real_ground_map_gives_its_published_values(void **state)
{
    (void)state;
    json_t *all = golden_json("metrology/data/data_expected.json");
    const json_t *want = json_object_get(all, "ski_base_ground");
    lev_surface s = {0};
    lev_areal a;
    lev_form_fit fit;
    lev_error err = {0};
    load("metrology/data/ski_base_ground.x3p", &s);
    assert_int_equal(s.map.nx, 360);
    assert_near(s.map.dx_um, golden_number(want, "dx_um"), 1e-12);
    assert_near(s.map.dy_um, golden_number(want, "dy_um"), 1e-12);
    assert_ok(lev_map_level(&s.map, LEV_FORM_LINE, 0, &fit, &err), &err);
    assert_near(fit.coef[0], golden_number(want, "plane_um.0"), 1e-6);
    assert_near(fit.coef[1], golden_number(want, "plane_um.1"), 1e-6);
    assert_near(fit.coef[2], golden_number(want, "plane_um.2"), 1e-6);
    assert_ok(lev_map_areal(&s.map, &a, &err), &err);
    assert_near(a.h.Sa_um, golden_number(want, "Sa"), 1e-6);
    assert_near(a.h.Sq_um, golden_number(want, "Sq"), 1e-6);
    assert_near(a.h.Ssk, golden_number(want, "Ssk"), 1e-5);
    assert_near(a.h.Sku, golden_number(want, "Sku"), 1e-5);
    assert_near(a.h.Sp_um, golden_number(want, "Sp"), 1e-6);
    assert_near(a.h.Sv_um, golden_number(want, "Sv"), 1e-6);
    assert_near(a.lay_deg, golden_number(want, "lay_deg_row_down"), 1e-2);
    lev_surface_release(&s);
    json_decref(all);
}

static void the_lines_of_a_ground_map_follow_its_lay(void **state)
{
    (void)state;
    lev_surface s = {0};
    lev_lines l = {0};
    lev_error err = {0};
    load("metrology/data/ski_base_ground.x3p", &s);
    assert_ok(lev_map_level(&s.map, LEV_FORM_LINE, 0, NULL, &err), &err);
    assert_ok(lev_lines_of_map(&s.map, 5, &l, &err), &err);
    /* Published: parallel grooves about 45 um deep, lay about 31 degrees. The deepest
     * runs through the map from its upper left corner. */
    assert_true(l.n >= 1);
    assert_near_abs(l.line[0].direction_deg, 31.05, 2.0);
    assert_true(l.line[0].depth_um > 40.0 && l.line[0].depth_um < 55.0);
    assert_near(l.line[0].length_mm, 1.325 / cos(0.542), 0.05); /* the whole width */
    lev_lines_release(&l);
    lev_surface_release(&s);
}

/* ---- round trips ---- */

static void make_map(lev_surface *s, bool gaps)
{
    const lev_rng r = {3};
    lev_error err = {0};
    *s = (lev_surface){0};
    assert_ok(lev_map_init(&s->map, 37, 23, 1.25, 2.5, &err), &err);
    for (ptrdiff_t i = 0; i < 37 * 23; i++)
        s->map.z_um[i] = (float)lev_rng_normal(r, (uint64_t)i, 0);
    for (ptrdiff_t i = 5; gaps && i < 37 * 23; i += 31)
        s->map.z_um[i] = NAN;
}

static void make_trace(lev_surface *s)
{
    const lev_rng r = {4};
    lev_error err = {0};
    *s = (lev_surface){0};
    assert_ok(lev_trace_init(&s->trace, 301, 0.5, &err), &err);
    for (ptrdiff_t i = 0; i < 301; i++)
        s->trace.z_um[i] = lev_rng_normal(r, (uint64_t)i, 0);
    s->trace.z_um[17] = (double)NAN;
}

static void same_surface(const lev_surface *a, const lev_surface *b, double atol)
{
    assert_int_equal(lev_surface_is_map(a), lev_surface_is_map(b));
    assert_int_equal(lev_format_nx(a), lev_format_nx(b));
    assert_int_equal(lev_format_ny(a), lev_format_ny(b));
    assert_near(a->map.dx_um + a->trace.dx_um, b->map.dx_um + b->trace.dx_um, 1e-14);
    assert_near(a->map.dy_um, b->map.dy_um, 1e-14);
    for (ptrdiff_t i = 0; i < lev_format_nx(a) * lev_format_ny(a); i++) {
        const double x = lev_format_get(a, i), y = lev_format_get(b, i);
        assert_int_equal(isnan(x) != 0, isnan(y) != 0);
        if (!isnan(x))
            assert_near_abs(x, y, atol);
    }
}

static void round_trip(const lev_surface *s, const char *format, double atol)
{
    lev_bytes b = {0};
    lev_surface back = {0};
    lev_error err = {0};
    assert_ok(lev_surface_pack(s, format, &b, &err), &err);
    assert_ok(lev_surface_parse(b.data, b.n, NULL, &back, &err), &err);
    assert_string_equal(back.warning, "");
    same_surface(s, &back, atol);
    lev_surface_release(&back);
    lev_bytes_release(&b);
}

static void every_format_gives_back_what_it_was_given(void **state)
{
    (void)state;
    static const char *const maps[] = {"x3p", "sdf", "sdf-ascii", "csv", "tsv", "tiff"};
    static const char *const traces[] = {"x3p", "sdf", "sdf-ascii",
                                         "smd", "csv", "tsv"};
    lev_surface map, trace;
    make_map(&map, true);
    make_trace(&trace);
    for (int i = 0; i < 6; i++) {
        round_trip(&map, maps[i], 0.0);
        round_trip(&trace, traces[i], 0.0);
    }
    round_trip(&map, "png", 8.0 / 65534.0); /* half a step of the range */
    lev_surface_release(&map);
    lev_surface_release(&trace);
}

static void a_format_that_cannot_hold_it_says_so(void **state)
{
    (void)state;
    lev_surface map, trace;
    lev_bytes b = {0};
    lev_error err = {0};
    make_map(&map, false);
    make_trace(&trace);
    assert_int_equal(lev_surface_pack(&map, "smd", &b, &err), LEV_E_USAGE);
    assert_int_equal(lev_surface_pack(&trace, "png", &b, &err), LEV_E_USAGE);
    assert_int_equal(lev_surface_pack(&trace, "tiff", &b, &err), LEV_E_USAGE);
    assert_int_equal(lev_surface_pack(&trace, "doc", &b, &err), LEV_E_USAGE);
    lev_surface_release(&map);
    lev_surface_release(&trace);
}

/* ---- CSV ---- */

static void tables_are_read_with_point_and_comma(void **state)
{
    (void)state;
    static const char *const same[] = {
        "x_mm,z_um\n0.0,1.5\n0.1,\n0.2,-2.5\n",
        "x_mm;z_um\r\n0,0;1,5\r\n0,1;\r\n0,2;-2,5\r\n",
        "x [mm]\tz [um]\n0,0\t1,5\n0,1\tNaN\n0,2\t-2,5",
        "\xEF\xBB\xBFx (mm); height (nm)\n0;1500\n0,1;BAD\n0,2;-2500\n",
        "# dx_um 100\nz_um\n1.5\n\n-2.5\n",
        "n,x_mm,other,z_mm\n1,0.0,7,0.0015\n2,0.1,7,\n3,0.2,7,-0.0025\n",
    };
    for (size_t i = 0; i < sizeof same / sizeof *same; i++) {
        lev_surface s;
        lev_error err = {0};
        assert_ok(parse(same[i], NULL, &s, &err), &err);
        assert_int_equal(s.trace.n, 3);
        assert_near(s.trace.dx_um, 100.0, 1e-12);
        assert_near(s.trace.z_um[0], 1.5, 1e-12);
        assert_true(isnan(s.trace.z_um[1]));
        assert_near(s.trace.z_um[2], -2.5, 1e-12);
        lev_surface_release(&s);
    }
}

static void what_a_table_does_not_say_is_asked_for(void **state)
{
    (void)state;
    static const struct {
        const char *text, *says;
    } cases[] = {
        {"1.0,2.0,3.0\n4.0,5.0,6.0\n", "unit of its heights"},
        {"# z_unit um\n1.0,2.0,3.0\n4.0,5.0,6.0\n", "spacing of its points"},
        {"0.0,2.0\n0.1,5.0\n", "two columns without names"},
        {"x_mm,z\n0,1\n1,2\n", "unit of its heights"},
    };
    lev_surface s;
    lev_error err = {0};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        assert_int_equal(parse(cases[i].text, NULL, &s, &err), LEV_E_USAGE);
        assert_non_null(strstr(err.text, cases[i].says));
    }
    const lev_surface_hint hint = {.dx_um = 2.0, .z_unit_um = 1e-3};
    assert_ok(parse(cases[0].text, &hint, &s, &err), &err);
    assert_int_equal(s.map.nx, 3);
    assert_int_equal(s.map.ny, 2);
    assert_near((double)s.map.z_um[5], 0.006, 1e-7);
    lev_surface_release(&s);
}

static void what_is_no_surface_is_refused_in_one_line(void **state)
{
    (void)state;
    static const struct {
        const char *text, *says;
    } cases[] = {
        {"", "empty"},
        {"hello\nworld\n", "no column of heights"},
        {"x_mm,z_um\n0,1\n0.1,2\n0.5,3\n", "not evenly spaced"},
        {"x_mm,z_um\n0.2,1\n0.1,2\n0.0,3\n", "does not rise"},
        {"x_mm,z_um\n0,1\n0.1,2,3\n", "line 3: 3 cells where the first has 2"},
        {"x_mm,z_um\n0,1\n0.1,two\n", "line 3: \"two\" is not a number"},
        {"PK\x03\x04 not a zip", "damaged ZIP"},
        {"bISO-1.0 short", "header ends after"},
        {"aISO-1.0\nNumPoints = 3\nNumProfiles = 1\nXscale = 1\nZscale = 1\n"
         "DataType = 3\n*\n1 2\n",
         "height 3 of 3"},
        {"aISO-1.0\nNumPoints = 60000\nNumProfiles = 60000\nXscale = 1\nZscale = 1\n"
         "*\n1 2\n",
         "at most"},
        {"aISO-1.0\nNumPoints = 6000\nNumProfiles = 6000\nXscale = 1\nZscale = 1\n"
         "*\n1 2\n",
         "cannot hold"},
        {"ISO 5436 - 2000 a\nPRF 1 b\nCX I 3 mm 1.0 D 1e-3\nCZ A 3 um 1.0 D\n\x03\n"
         "\x03\n1\n2\n",
         "2 heights where the header has 3"},
        {"ISO 5436 - 2000 a\nPRF 1 b\nCX A 3 mm 1.0 D\n\x03\n", "CX of type A"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        lev_surface s;
        lev_error err = {0};
        assert_true(parse(cases[i].text, NULL, &s, &err) < 0);
        if (strstr(err.text, cases[i].says) == NULL)
            fail_msg("case %zu says: %s", i, err.text);
        assert_null(strchr(err.text, '\n'));
    }
}

/* ---- damage ---- */

/* Read damaged bytes: anything may come out but a crash, a message of several lines or
 * memory not given back. */
static void read_damaged(const char *data, size_t n)
{
    static const lev_surface_hint hint = {.dx_um = 1.0, .z_unit_um = 1.0};
    lev_surface s = {0};
    lev_error err = {0};
    char *copy = malloc(n > 0 ? n : 1); /* exact size: a read beyond shows */
    memcpy(copy, data, n);
    const lev_status st = lev_surface_parse(copy, n, &hint, &s, &err);
    if (st < 0) {
        assert_true(strlen(err.text) > 5);
        assert_null(strchr(err.text, '\n'));
        assert_null(s.map.z_um);
        assert_null(s.trace.z_um);
    }
    lev_surface_release(&s);
    free(copy);
}

static void damage(const lev_bytes *b)
{
    const lev_rng r = {99};
    const size_t step = b->n <= 4096 ? 1 : b->n / 500;
    for (size_t cut = 0; cut < b->n; cut += step)
        read_damaged(b->data, cut);
    for (uint64_t i = 0; i < 600; i++) { /* one bit, in the head or anywhere */
        const double u = lev_rng_uniform(r, i, 0);
        const size_t span = i % 2 == 0 && b->n > 700 ? 700 : b->n;
        const size_t at = (size_t)(u * (double)span);
        const char bit = (char)(1 << (int)(8.0 * lev_rng_uniform(r, i, 1)));
        b->data[at] ^= bit;
        read_damaged(b->data, b->n);
        b->data[at] ^= bit;
    }
}

static void damaged_files_do_no_harm(void **state)
{
    (void)state;
    static const char *const files[] = {
        FORMATS "surf_int16.x3p",      FORMATS "surf_double_nan.x3p",
        FORMATS "surf_int32_mask.x3p", FORMATS "profile_float.x3p",
        FORMATS "surf_ascii.sdf",      FORMATS "surf_int16.sdf",
        FORMATS "surf_double.sdf",     FORMATS "profile.smd",
        SAMPLES "sample1.x3p",         SAMPLES "sample1_bin.x3p",
        SAMPLES "sample3.x3p",         "metrology/vectors/p01_sine.csv"};
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        char path[512];
        lev_bytes b = {0};
        lev_error err = {0};
        golden_path(files[i], path);
        assert_ok(lev_bytes_read(path, 1 << 26, &b, &err), &err);
        damage(&b);
        lev_bytes_release(&b);
    }
}

static void damaged_pictures_do_no_harm(void **state)
{
    (void)state;
    static const char *const formats[] = {"png", "tiff", "x3p", "sdf", "csv"};
    lev_surface map;
    make_map(&map, true);
    for (int i = 0; i < 5; i++) {
        lev_bytes b = {0};
        lev_error err = {0};
        assert_ok(lev_surface_pack(&map, formats[i], &b, &err), &err);
        damage(&b);
        lev_bytes_release(&b);
    }
    lev_surface_release(&map);
}

static void sizes_that_lie_are_refused_before_memory_is_taken(void **state)
{
    (void)state;
    lev_surface map, s = {0};
    lev_bytes b = {0};
    lev_error err = {0};
    make_map(&map, false);
    assert_ok(lev_surface_pack(&map, "sdf", &b, &err), &err);
    b.data[42] = b.data[43] = b.data[44] = (char)0xff; /* 65535 x 255 points */
    assert_int_equal(lev_surface_parse(b.data, b.n, NULL, &s, &err), LEV_E_FORMAT);
    assert_non_null(strstr(err.text, "where the header asks for"));
    lev_bytes_release(&b);
    assert_ok(lev_surface_pack(&map, "png", &b, &err), &err);
    b.data[17] = 1; /* width 65536 + 37 in IHDR; its checksum is then wrong too */
    assert_true(lev_surface_parse(b.data, b.n, NULL, &s, &err) < 0);
    lev_bytes_release(&b);
    lev_surface_release(&map);
}

static void a_document_type_is_refused(void **state)
{
    (void)state;
    lev_surface s = {0};
    lev_error err = {0};
    char path[512];
    golden_path("metrology/formats/doctype.x3p", path);
    assert_int_equal(lev_surface_read(path, NULL, &s, &err), LEV_E_FORMAT);
    assert_non_null(strstr(err.text, "document type"));
    golden_path("metrology/formats/bomb.x3p", path);
    assert_true(lev_surface_read(path, NULL, &s, &err) < 0);
}

static void a_wrong_checksum_is_a_warning(void **state)
{
    (void)state;
    lev_surface s = {0};
    load("metrology/formats/wrong_sum.x3p", &s);
    assert_non_null(strstr(s.warning, "checksum of bindata/data.bin"));
    assert_int_equal(s.map.nx, 16);
    lev_surface_release(&s);
}

static void the_checksum_meets_its_published_vectors(void **state)
{
    (void)state;
    /* RFC 1321, appendix A.5. */
    static const char *const v[][2] = {
        {"", "d41d8cd98f00b204e9800998ecf8427e"},
        {"abc", "900150983cd24fb0d6963f7d28e17f72"},
        {"message digest", "f96b697d7cb7938d525a2f31aaf161d0"},
        {"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789",
         "d174ab98d277d9f5a5611c2c9f419d9f"},
        {"1234567890123456789012345678901234567890123456789012345678901234567890"
         "1234567890",
         "57edf4a22be3c955ac49da2e2107b67a"}};
    for (size_t i = 0; i < sizeof v / sizeof *v; i++) {
        char sum[33];
        lev_md5(v[i][0], strlen(v[i][0]), sum);
        assert_string_equal(sum, v[i][1]);
    }
}

static void infinities_become_missing_points(void **state)
{
    (void)state;
    lev_surface map, back = {0};
    lev_bytes b = {0};
    lev_error err = {0};
    make_map(&map, false);
    map.map.z_um[0] = INFINITY;
    map.map.z_um[1] = -INFINITY;
    assert_ok(lev_surface_pack(&map, "x3p", &b, &err), &err);
    assert_ok(lev_surface_parse(b.data, b.n, NULL, &back, &err), &err);
    assert_true(isnan(back.map.z_um[0]) && isnan(back.map.z_um[1]));
    assert_int_equal(lev_map_missing(&back.map), 2);
    lev_bytes_release(&b);
    lev_surface_release(&back);
    lev_surface_release(&map);
}

#ifdef LEV_MEM_TEST
/* Run fn with the first, second, ... allocation failing, until it passes. */
static void starve(lev_status (*fn)(const lev_surface *s, lev_error *err),
                   const lev_surface *s)
{
    const long before = lev_mem_test_alive();
    for (long nth = 1; nth < 20000; nth++) {
        lev_error err = {0};
        lev_mem_test_fail(nth);
        const lev_status st = fn(s, &err);
        const bool all = lev_mem_test_count() < nth;
        lev_mem_test_fail(0);
        assert_int_equal(lev_mem_test_alive(), before);
        if (all) {
            assert_int_equal(st, LEV_OK);
            return;
        }
        assert_true(st < 0);
    }
    fail();
}

static lev_status pack_and_parse(const lev_surface *s, const char *format,
                                 lev_error *err)
{
    lev_bytes b = {0};
    lev_surface back = {0};
    lev_status st = lev_surface_pack(s, format, &b, err);
    if (st == LEV_OK)
        st = lev_surface_parse(b.data, b.n, NULL, &back, err);
    lev_surface_release(&back);
    lev_bytes_release(&b);
    return st;
}

static lev_status through_x3p(const lev_surface *s, lev_error *err)
{
    return pack_and_parse(s, "x3p", err);
}

static lev_status through_csv(const lev_surface *s, lev_error *err)
{
    return pack_and_parse(s, "csv", err);
}

static lev_status through_sdf(const lev_surface *s, lev_error *err)
{
    return pack_and_parse(s, "sdf", err);
}

static lev_status through_png(const lev_surface *s, lev_error *err)
{
    return pack_and_parse(s, "png", err);
}

static lev_status through_tiff(const lev_surface *s, lev_error *err)
{
    return pack_and_parse(s, "tiff", err);
}

static lev_status measure_trace(const lev_surface *s, lev_error *err)
{
    lev_profile_result r = {0};
    const lev_profile_settings set = {
        .lc_mm = 0.025, .rule = LEV_RULE_ISO4287, .filter = LEV_FILTER_REGRESSION};
    const lev_status st = lev_profile_measure(&s->trace, &set, &r, err);
    lev_profile_result_release(&r);
    return st;
}

static lev_status measure_map(const lev_surface *s, lev_error *err)
{
    lev_areal_result r = {0};
    lev_lines l = {0};
    const lev_areal_settings set = {.lc_mm = 0.02, .ls_um = 6.0};
    lev_status st = lev_areal_measure(&s->map, &set, &r, err);
    if (st == LEV_OK)
        st = lev_lines_of_map(&r.surface, 5, &l, err);
    lev_lines_release(&l);
    lev_areal_result_release(&r);
    return st;
}

static void any_allocation_may_fail_and_nothing_is_lost(void **state)
{
    (void)state;
    lev_surface map, trace;
    make_map(&map, true);
    make_trace(&trace);
    starve(through_x3p, &map);
    starve(through_csv, &map);
    starve(through_sdf, &trace);
    starve(through_png, &map);
    starve(through_tiff, &map);
    starve(measure_trace, &trace);
    starve(measure_map, &map);
    lev_surface_release(&map);
    lev_surface_release(&trace);
}
#endif

int main(void)
{
    const struct CMUnitTest tests[] = {
#ifdef LEV_MEM_TEST
        cmocka_unit_test(any_allocation_may_fail_and_nothing_is_lost),
#endif
        cmocka_unit_test(every_reference_map_has_its_heights),
        cmocka_unit_test(reference_profiles_have_their_heights),
        cmocka_unit_test(independent_samples_read_as_published),
        cmocka_unit_test(a_real_ground_map_gives_its_published_values),
        cmocka_unit_test(the_lines_of_a_ground_map_follow_its_lay),
        cmocka_unit_test(every_format_gives_back_what_it_was_given),
        cmocka_unit_test(a_format_that_cannot_hold_it_says_so),
        cmocka_unit_test(tables_are_read_with_point_and_comma),
        cmocka_unit_test(what_a_table_does_not_say_is_asked_for),
        cmocka_unit_test(what_is_no_surface_is_refused_in_one_line),
        cmocka_unit_test(damaged_files_do_no_harm),
        cmocka_unit_test(damaged_pictures_do_no_harm),
        cmocka_unit_test(sizes_that_lie_are_refused_before_memory_is_taken),
        cmocka_unit_test(a_document_type_is_refused),
        cmocka_unit_test(a_wrong_checksum_is_a_warning),
        cmocka_unit_test(the_checksum_meets_its_published_vectors),
        cmocka_unit_test(infinities_become_missing_points),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
