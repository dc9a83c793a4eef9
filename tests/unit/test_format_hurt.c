/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Surface files that are hurt, that lie, or that memory runs out on. */
#include "format_scene.h"

#include <tiffio.h>
#include <unistd.h>

static const lev_surface_hint hint = {.dx_um = 1.0, .z_unit_um = 1.0};

static bool is_same(const lev_surface *a, const lev_surface *b)
{
    const ptrdiff_t n = lev_format_nx(a) * lev_format_ny(a);
    bool same =
        lev_format_nx(a) == lev_format_nx(b) && lev_format_ny(a) == lev_format_ny(b);
    for (ptrdiff_t i = 0; same && i < n; i++) {
        const double x = lev_format_get(a, i), y = lev_format_get(b, i);
        same = isnan(x) ? isnan(y) : fabs(x - y) <= 0.0;
    }
    return same;
}

/* Read damaged bytes: anything may come out but a crash, a message of several lines or
 * memory not given back; and where `whole` is given, nothing that differs from it. */
static void read_damaged(const char *data, size_t n, const lev_surface *whole)
{
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
    } else if (whole != NULL && !is_same(whole, &s) && s.warning[0] == '\0') {
        fail_msg("the first %zu bytes passed for a whole file", n);
    }
    lev_surface_release(&s);
    free(copy);
}

/* @param knows_its_length  the format says how many heights it has: a file cut short is
 *        refused unless all of them are there */
static void damage(const lev_bytes *b, bool knows_its_length)
{
    const lev_rng r = {99};
    const size_t step = b->n <= 4096 ? 1 : b->n / 500;
    lev_surface whole = {0};
    lev_error err = {0};
    assert_ok(lev_surface_parse(b->data, b->n, &hint, &whole, &err), &err);
    for (size_t cut = 0; cut < b->n; cut += step)
        read_damaged(b->data, cut, knows_its_length ? &whole : NULL);
    lev_surface_release(&whole);
    for (uint64_t i = 0; i < 600; i++) { /* one bit, in the head or anywhere */
        const double u = lev_rng_uniform(r, i, 0);
        const size_t span = i % 2 == 0 && b->n > 700 ? 700 : b->n;
        const size_t at = (size_t)(u * (double)span);
        const char bit = (char)(1 << (int)(8.0 * lev_rng_uniform(r, i, 1)));
        b->data[at] ^= bit;
        read_damaged(b->data, b->n, NULL);
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
        damage(&b, strstr(files[i], ".csv") == NULL);
        lev_bytes_release(&b);
    }
}

static void damaged_pictures_do_no_harm(void **state)
{
    (void)state;
    static const char *const formats[] = {"png",       "tiff", "x3p", "sdf",
                                          "sdf-ascii", "csv",  "tsv"};
    lev_surface map;
    make_map(&map, true);
    for (int i = 0; i < 7; i++) {
        lev_bytes b = {0};
        lev_error err = {0};
        assert_ok(lev_surface_pack(&map, formats[i], &b, &err), &err);
        damage(&b, formats[i][1] != 's'); /* csv, tsv */
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

/* ---- TIFF as another program writes it ---- */

enum { TIFF_NX = 37, TIFF_NY = 23, TILE = 16 };

typedef struct tiff_kind {
    const char *mode; /* of TIFFOpen: l little, b big end first */
    int bits, format; /* of a pixel */
    bool tiled;
    int compression;
} tiff_kind;

static double tiff_value(uint32_t x, uint32_t y, const tiff_kind *k)
{
    const double v = 3.0 * x + 100.0 * y;
    return k->format == SAMPLEFORMAT_INT ? v - 1000.0 : v;
}

static void put_pixel(unsigned char *to, double v, const tiff_kind *k)
{
    const float f = (float)v;
    const uint16_t u = (uint16_t)(v < 0.0 ? 0.0 : v);
    const int16_t i = (int16_t)v;
    if (k->format == SAMPLEFORMAT_IEEEFP && k->bits == 32)
        memcpy(to, &f, sizeof f);
    else if (k->format == SAMPLEFORMAT_IEEEFP)
        memcpy(to, &v, sizeof v);
    else if (k->format == SAMPLEFORMAT_INT)
        memcpy(to, &i, sizeof i);
    else
        memcpy(to, &u, sizeof u);
}

static void write_part(TIFF *t, uint32_t x0, uint32_t y0, uint32_t w, uint32_t h,
                       const tiff_kind *k)
{
    static unsigned char part[TILE * TIFF_NX * 8];
    const size_t bytes = (size_t)k->bits / 8;
    for (uint32_t y = 0; y < h; y++)
        for (uint32_t x = 0; x < w; x++)
            put_pixel(part + (y * w + x) * bytes, tiff_value(x0 + x, y0 + y, k), k);
    if (k->tiled)
        assert_true(TIFFWriteTile(t, part, x0, y0, 0, 0) > 0);
    else
        assert_int_equal(TIFFWriteScanline(t, part, y0, 0), 1);
}

/* By libtiff, with none of our code. */
static void write_tiff(const char *path, const tiff_kind *k)
{
    TIFF *t = TIFFOpen(path, k->mode);
    assert_non_null(t);
    (void)TIFFSetField(t, TIFFTAG_IMAGEWIDTH, TIFF_NX);
    (void)TIFFSetField(t, TIFFTAG_IMAGELENGTH, TIFF_NY);
    (void)TIFFSetField(t, TIFFTAG_BITSPERSAMPLE, k->bits);
    (void)TIFFSetField(t, TIFFTAG_SAMPLEFORMAT, k->format);
    (void)TIFFSetField(t, TIFFTAG_SAMPLESPERPIXEL, 1);
    (void)TIFFSetField(t, TIFFTAG_COMPRESSION, k->compression);
    (void)TIFFSetField(t, TIFFTAG_PHOTOMETRIC, PHOTOMETRIC_MINISBLACK);
    if (k->tiled) {
        (void)TIFFSetField(t, TIFFTAG_TILEWIDTH, TILE);
        (void)TIFFSetField(t, TIFFTAG_TILELENGTH, TILE);
        for (uint32_t y = 0; y < TIFF_NY; y += TILE)
            for (uint32_t x = 0; x < TIFF_NX; x += TILE)
                write_part(t, x, y, TILE, TILE, k);
    } else {
        (void)TIFFSetField(t, TIFFTAG_ROWSPERSTRIP, 5);
        for (uint32_t y = 0; y < TIFF_NY; y++)
            write_part(t, 0, y, TIFF_NX, 1, k);
    }
    TIFFClose(t);
}

static void every_kind_of_tiff_is_read_and_does_no_harm_when_hurt(void **state)
{
    (void)state;
    static const tiff_kind kinds[] = {
        {"wl", 16, SAMPLEFORMAT_UINT, false, COMPRESSION_NONE},
        {"wb", 16, SAMPLEFORMAT_UINT, false, COMPRESSION_LZW},
        {"wl", 16, SAMPLEFORMAT_INT, true, COMPRESSION_NONE},
        {"wb", 16, SAMPLEFORMAT_UINT, true, COMPRESSION_NONE},
        {"wl", 32, SAMPLEFORMAT_IEEEFP, true, COMPRESSION_ADOBE_DEFLATE},
        {"wb", 32, SAMPLEFORMAT_IEEEFP, false, COMPRESSION_NONE},
        {"wb", 32, SAMPLEFORMAT_IEEEFP, true, COMPRESSION_NONE},
        {"wl8", 64, SAMPLEFORMAT_IEEEFP, true, COMPRESSION_NONE},
    };
    const lev_surface_hint half = {.dx_um = 2.0, .z_unit_um = 0.5};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        char path[] = "/tmp/levigate-tiff-XXXXXX";
        lev_bytes b = {0};
        lev_surface s = {0};
        lev_error err = {0};
        const int fd = mkstemp(path);
        assert_true(fd >= 0);
        (void)close(fd);
        write_tiff(path, &kinds[i]);
        assert_ok(lev_bytes_read(path, 1 << 20, &b, &err), &err);
        (void)remove(path);
        assert_ok(lev_surface_parse(b.data, b.n, &half, &s, &err), &err);
        assert_int_equal(s.map.nx, TIFF_NX);
        assert_int_equal(s.map.ny, TIFF_NY);
        for (uint32_t y = 0; y < TIFF_NY; y++)
            for (uint32_t x = 0; x < TIFF_NX; x++)
                assert_near_abs((double)s.map.z_um[y * TIFF_NX + x],
                                0.5 * tiff_value(x, y, &kinds[i]), 1e-4);
        lev_surface_release(&s);
        damage(&b, true);
        lev_bytes_release(&b);
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
        cmocka_unit_test(damaged_files_do_no_harm),
        cmocka_unit_test(damaged_pictures_do_no_harm),
        cmocka_unit_test(sizes_that_lie_are_refused_before_memory_is_taken),
        cmocka_unit_test(every_kind_of_tiff_is_read_and_does_no_harm_when_hurt),
        cmocka_unit_test(infinities_become_missing_points),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
