/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Surface files: what is read, what is written, what is refused. Reference files and
 * their origin: tests/golden/metrology/README.md. */
#include "format_scene.h"

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
        /* a decimal comma between commas stands in quotes (RFC 4180) */
        "\"x_mm\",\"z_um\"\n\"0,0\",\"1,5\"\n\"0,1\",\n\"0,2\",\"-2,5\"\n",
        /* units in a line of their own, in words, in capitals */
        "x;z\n[mm];[\xC2\xB5m]\n0;1,5\n0,1;\n0,2;-2,5\n",
        "x in mm\tz in microns\n0\t1.5\n0.1\tinf\n0.2\t-2.5\n",
        "X_MM;Z_NM\n0;1500\n0,1;-Infinity\n0,2;-2500\n",
        "Distance / mm;Height / \xB5m\r0;1.5\r0.1;nan\r0.2;-2.5\r",
        /* a mark behind the last cell, in all lines or below the heading only */
        "x_mm;z_um;\n0;1.5;\n0.1;;\n0.2;-2.5;\n",
        "x_mm;z_um\n0;1.5;\n0.1;;\n0.2;-2.5;\n",
        "# dx_um 100,0\n# z_unit um\n1.5,\n,\n-2.5,\n",
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
        {"# dx_um 1\n# z_unit um\n0,5\n1,25\n", "a decimal sign or two columns"},
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
    /* No missing points are made up by a mark at the end of each line; ours tell dy. */
    assert_ok(parse("1 2 3 \n4\t5  6\t", &hint, &s, &err), &err);
    assert_int_equal(s.map.nx, 3);
    lev_surface_release(&s);
    assert_ok(parse("1;2;3;\n4;5;6;\n", &hint, &s, &err), &err);
    assert_int_equal(s.map.nx, 3);
    assert_near((double)s.map.z_um[3], 0.004, 1e-7);
    lev_surface_release(&s);
    assert_ok(parse("# dx_um 2\n# dy_um 2\n# z_unit um\n1,\n2,\n", NULL, &s, &err),
              &err);
    assert_int_equal(s.map.nx, 2);
    assert_int_equal(lev_map_missing(&s.map), 2);
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
        {"x_mm,z_um\n0,1\n0.1,2,3\n", "line 3: 3 cells where the heading names 2"},
        {"x_mm,z_um\n0,0,1,5\n0,1,2,5\n", "line 2: 4 cells where the heading names 2"},
        {"# dx_um 1\n# z_unit um\n1 2 3\n1 2\n",
         "line 4: 2 cells where the first has 3"},
        {"x_mm,z_um\n0,1\n,2\n0.2,3\n", "point 2 has no x"},
        {"# dx_um -2\nz_um\n1\n2\n", "line 1: dx_um \"-2\"; a number above 0"},
        {"# z_unit furlong\nz_um\n1\n2\n", "line 1: z_unit \"furlong\"; nm, um"},
        {"\xFF\xFEx_mm", "UTF-16"},
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

int main(void)
{
    const struct CMUnitTest tests[] = {
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
        cmocka_unit_test(a_document_type_is_refused),
        cmocka_unit_test(a_wrong_checksum_is_a_warning),
        cmocka_unit_test(the_checksum_meets_its_published_vectors),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
