/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Surface files as instruments and other programs really write them: odd but meant,
 * and such as look right and are not. Each is built here byte by byte. */
#include "format_scene.h"

#include <stdint.h>

/* ---- SDF ---- */

enum { SDF_HEADER = 81, SDF_N = 6 };

static void put_le(unsigned char *to, const void *from, size_t n)
{
    const uint16_t one = 1;
    unsigned char low = 0;
    memcpy(&low, &one, 1);
    for (size_t i = 0; i < n; i++)
        to[i] = ((const unsigned char *)from)[low == 1 ? i : n - 1 - i];
}

/* One number of the type (ISO 25178-71: 0 uint8, 1 uint16, 2 uint32, 3 float32, 4 int8,
 * 5 int16, 6 int32, 7 float64); its size in bytes. */
static size_t put_number(unsigned char *to, double v, int type)
{
    const uint8_t b = (uint8_t)(v < 0.0 ? 0.0 : v);
    const uint16_t w = (uint16_t)(v < 0.0 ? 0.0 : v);
    const uint32_t u = (uint32_t)(v < 0.0 ? 0.0 : v);
    const float f = (float)v;
    const int8_t c = (int8_t)(v > 127.0 ? 0.0 : v);
    const int16_t i = (int16_t)(v > 32767.0 ? 0.0 : v);
    const int32_t l = (int32_t)(v > 2147483647.0 ? 0.0 : v);
    const struct {
        const void *p;
        size_t n;
    } as[] = {{&b, 1}, {&w, 2}, {&u, 4}, {&f, 4}, {&c, 1}, {&i, 2}, {&l, 4}, {&v, 8}};
    put_le(to, as[type].p, as[type].n);
    return as[type].n;
}

/* Two rows of three; the fifth height is the mark of a missing one. */
static size_t make_sdf(unsigned char *out, int type, const double z[SDF_N])
{
    const double scales[] = {2e-6, 3e-6, 1e-6, -1.0};
    const uint16_t size[] = {3, 2};
    size_t n = SDF_HEADER;
    memset(out, 0, SDF_HEADER);
    memcpy(out, "bISO-1.0someone   010120250000010120250000", 42);
    for (size_t k = 0; k < 2; k++)
        put_le(out + 42 + 2 * k, &size[k], 2);
    for (size_t k = 0; k < 4; k++)
        put_le(out + 46 + 8 * k, &scales[k], 8);
    out[79] = (unsigned char)type;
    for (int i = 0; i < SDF_N; i++)
        n += put_number(out + n, z[i], type);
    return n;
}

static void packed_heights_of_every_type_are_read(void **state)
{
    (void)state;
    /* The lowest of signed, the highest of unsigned types; from memory, no source. */
    static const double mark[] = {255.0,  65535.0,  4294967295.0,  (double)NAN,
                                  -128.0, -32768.0, -2147483648.0, (double)INFINITY};
    for (int type = 0; type < 8; type++) {
        unsigned char data[SDF_HEADER + 8 * SDF_N + 20];
        lev_surface s = {0};
        lev_error err = {0};
        const double low = type >= 3 ? -7.0 : 7.0;
        const double z[SDF_N] = {1.0, 100.0, low, 0.0, mark[type], 30.0};
        size_t n = make_sdf(data, type, z);
        memcpy(data + n, "<trailer/>", 10); /* what follows the heights is no height */
        assert_ok(lev_surface_parse(data, n + 10, NULL, &s, &err), &err);
        assert_int_equal(s.map.nx, 3);
        assert_near(s.map.dx_um, 2.0, 1e-12);
        assert_near(s.map.dy_um, 3.0, 1e-12);
        for (int i = 0; i < SDF_N; i++) {
            if (i == 4)
                assert_true(isnan(s.map.z_um[i]));
            else
                assert_near_abs((double)s.map.z_um[i], z[i], 1e-5);
        }
        assert_string_equal(s.warning, "");
        lev_surface_release(&s);
        s = (lev_surface){0};
        assert_true(lev_surface_parse(data, n - 1, NULL, &s, &err) < 0);
    }
}

#define SDF_TEXT                                                                       \
    "NumPoints = 3\rNUMPROFILES=2\r\nXscale=2.0E-6\nYscale = 3e-6\nZscale= 1e-6\n"     \
    "DataType = 7\n"

static void text_with_odd_blanks_and_line_ends_is_read(void **state)
{
    (void)state;
    static const struct {
        const char *text, *warning;
    } files[] = {
        {"aISO-1.0\n" SDF_TEXT "*\n1 2 3\nBAD 5 6\n*\n", ""},
        {"aBCR-1.0\r\n" SDF_TEXT "  *\r\n1\t2\t3\r\nbad\t5\t6\r\n*\r\nby me\r\n*\r\n",
         ""},
        {"aISO-1.0\r" SDF_TEXT "*\r1 2 3 NaN 5 6\r*\r", ""},
        {"aISO-1.0\n" SDF_TEXT "*\n1 2 3\nBAD 5 6\n7 8 9\n*\n",
         "more heights than the 6"},
        {"aISO-1.0\n" SDF_TEXT "*\n1 2 3\nBAD 5 6", "may be cut short"},
    };
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        lev_surface s = {0};
        lev_error err = {0};
        assert_ok(parse(files[i].text, NULL, &s, &err), &err);
        assert_int_equal(s.map.nx, 3);
        assert_int_equal(s.map.ny, 2);
        assert_near((double)s.map.z_um[2], 3.0, 1e-6);
        assert_true(isnan(s.map.z_um[3]));
        assert_near((double)s.map.z_um[5], 6.0, 1e-6);
        if (*files[i].warning == '\0')
            assert_string_equal(s.warning, "");
        else
            assert_non_null(strstr(s.warning, files[i].warning));
        lev_surface_release(&s);
    }
}

/* ---- SMD ---- */

static void a_gauge_with_any_line_ends_is_read(void **state)
{
    (void)state;
    static const char *const ends[] = {"\n", "\r\n", "\r"};
    for (int e = 0; e < 3; e++) {
        for (int more = 0; more < 2; more++) {
            char text[400] = "";
            lev_surface s = {0};
            lev_error err = {0};
            const char *const lines[] = {"ISO 5436 - 2000 a",
                                         "PRF 1 b",
                                         "CX I 3 mm 1.0e0 D 2.5e-3",
                                         "CZ A 3 nm 1.0e1 D",
                                         "\x03",
                                         "DATE 1 1 2025",
                                         "\x03",
                                         "100",
                                         "BAD",
                                         "-2.5E2",
                                         more ? "7" : "\x03",
                                         "\x03",
                                         "1234",
                                         "\x1A"};
            for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
                (void)strncat(text, lines[i], sizeof text - strlen(text) - 1);
                (void)strncat(text, ends[e], sizeof text - strlen(text) - 1);
            }
            assert_ok(parse(text, NULL, &s, &err), &err);
            assert_int_equal(s.trace.n, 3);
            assert_near(s.trace.dx_um, 2.5, 1e-12);
            assert_near(s.trace.z_um[0], 1.0, 1e-12);
            assert_true(isnan(s.trace.z_um[1]));
            assert_near(s.trace.z_um[2], -2.5, 1e-12);
            assert_int_equal(strstr(s.warning, "more heights than the 3") != NULL,
                             more);
            lev_surface_release(&s);
        }
    }
}

/* ---- TIFF ---- */

typedef struct tag {
    uint16_t id;
    uint32_t many, value; /* where the values stand, when they are many */
} tag;

enum { PALETTE = 768, TIFF_BYTES = 8 + 32 + 2 * PALETTE + 400 };

/* 2 x 2 pixels of 8 bits by the published layout (TIFF revision 6.0, section 2):
 * header, pixels, a palette that only a coloured picture names, and `pictures`
 * directories of short numbers, one after the other. */
static size_t make_tiff(unsigned char *out, uint16_t shade, uint16_t bits,
                        uint16_t format, int pictures)
{
    const tag tags[] = {{256, 1, 2},
                        {257, 1, 2},
                        {258, 1, bits},
                        {259, 1, 1},
                        {262, 1, shade},
                        {273, 1, 8},
                        {277, 1, 1},
                        {278, 1, 2},
                        {279, 1, bits / 2U},
                        {shade == 3 ? 320 : 339, shade == 3 ? PALETTE : 1,
                         shade == 3 ? 8 + 32 : format}};
    const uint16_t many = sizeof tags / sizeof *tags, type = 3, magic = 42;
    uint32_t at = 8 + 32 + 2 * PALETTE;
    memset(out, 0, TIFF_BYTES);
    memcpy(out, "II", 2);
    put_le(out + 2, &magic, 2);
    put_le(out + 4, &at, 4);
    for (unsigned char i = 0; i < 4; i++)
        out[8 + i] = (unsigned char)(10 * i);
    for (int k = 0; k < pictures; k++) {
        const uint32_t next = at + 2 + 12U * many + 4;
        put_le(out + at, &many, 2);
        for (uint16_t i = 0; i < many; i++) {
            unsigned char *p = out + at + 2 + 12U * i;
            put_le(p, &tags[i].id, 2);
            put_le(p + 2, &type, 2);
            put_le(p + 4, &tags[i].many, 4);
            put_le(p + 8, &tags[i].value, 4);
        }
        if (k + 1 < pictures)
            put_le(out + next - 4, &next, 4);
        at = next;
    }
    return at;
}

static void a_picture_that_is_no_height_map_is_refused(void **state)
{
    (void)state;
    static const struct {
        uint16_t shade, bits, format;
        int pictures;
        const char *says; /* NULL: it is read */
    } files[] = {
        {1, 8, 1, 1, NULL},
        {1, 8, 1, 2, NULL},
        {3, 8, 1, 1, "a coloured picture"},
        {0, 8, 1, 1, "0 is white in this picture"},
        {1, 64, 1, 1, "pixels of 64 bits in sample format 1"},
        {1, 16, 3, 1, "pixels of 16 bits in sample format 3"},
    };
    const lev_surface_hint hint = {.dx_um = 2.0, .z_unit_um = 0.5};
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        unsigned char data[TIFF_BYTES];
        lev_surface s = {0};
        lev_error err = {0};
        const size_t n = make_tiff(data, files[i].shade, files[i].bits, files[i].format,
                                   files[i].pictures);
        const lev_status st = lev_surface_parse(data, n, &hint, &s, &err);
        if (files[i].says != NULL) {
            assert_int_equal(st, LEV_E_FORMAT);
            assert_non_null(strstr(err.text, files[i].says));
            continue;
        }
        assert_ok(st, &err);
        assert_near((double)s.map.z_um[3], 15.0, 1e-6);
        assert_int_equal(strstr(s.warning, "more than one picture") != NULL,
                         files[i].pictures > 1);
        lev_surface_release(&s);
    }
}

/* ---- X3P ---- */

static void a_link_may_be_parted_by_a_backslash(void **state)
{
    (void)state;
    lev_surface s = {0};
    load("metrology/formats/backslash.x3p", &s);
    assert_int_equal(s.map.nx, 16);
    assert_int_equal(s.map.ny, 6);
    assert_string_equal(s.warning, "");
    lev_surface_release(&s);
}

static void an_axis_without_increment_is_told(void **state)
{
    (void)state;
    lev_surface s = {0};
    load("metrology/formats/no_step.x3p", &s);
    assert_non_null(strstr(s.warning, "no increment along x"));
    assert_near(s.map.dx_um, 1e6, 1e-12);
    lev_surface_release(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(packed_heights_of_every_type_are_read),
        cmocka_unit_test(text_with_odd_blanks_and_line_ends_is_read),
        cmocka_unit_test(a_gauge_with_any_line_ends_is_read),
        cmocka_unit_test(a_picture_that_is_no_height_map_is_refused),
        cmocka_unit_test(a_link_may_be_parted_by_a_backslash),
        cmocka_unit_test(an_axis_without_increment_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
