/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Photos made small: which way up, how small, and what is refused. Where the first row
 * and column of a photo stand: tag 274, Orientation, TIFF 6.0 (1992), page 36, taken
 * over by Exif 2.3. */
#include "unit.h"

#include <png.h>
#include <stdlib.h>
#include <string.h>
#include <turbojpeg.h>

#include "bounds.h"
#include "mem.h"
#include "photo_small.h"

enum { NX = 320, NY = 192, RGB = 3, FILE_MOST = 1 << 20 };

/* Grey, with a red corner of 64 points where row and column 0 meet. */
static void red_corner(unsigned char *rgb)
{
    memset(rgb, 128, (size_t)NX * NY * RGB);
    for (int y = 0; y < 64; y++)
        for (int x = 0; x < 64; x++) {
            unsigned char *q = rgb + RGB * (y * NX + x);
            q[0] = 255;
            q[1] = q[2] = 0;
        }
}

/* A JPEG with, behind its first marker, an Exif block that holds the turn alone. */
static size_t jpeg_with(int turn, unsigned char *out)
{
    static unsigned char rgb[NX * NY * RGB];
    const unsigned char exif[] = {
        0xff, 0xe1, 0, 34, 'E', 'x', 'i', 'f', 0, 0,
        'M',  'M',  0, 42, 0,   0,   0,   8, /* TIFF head */
        0,    1,                             /* one entry */
        1,    18,   0, 3,  0,   0,   0,   1,   0, (unsigned char)turn,
        0,    0,    0, 0,  0,   0};
    unsigned char *jpeg = NULL;
    unsigned long n = 0;
    tjhandle tj = tjInitCompress();
    red_corner(rgb);
    assert_int_equal(
        tjCompress2(tj, rgb, NX, 0, NY, TJPF_RGB, &jpeg, &n, TJSAMP_444, 95, 0), 0);
    assert_true(n + sizeof exif < FILE_MOST);
    memcpy(out, jpeg, 2);
    memcpy(out + 2, exif, sizeof exif);
    memcpy(out + 2 + sizeof exif, jpeg + 2, n - 2);
    tjFree(jpeg);
    tjDestroy(tj);
    return n + sizeof exif;
}

/* The mean red less green in a corner of a JPEG. */
static double redness(const unsigned char *rgb, int nx, int ny, bool right, bool bottom)
{
    double sum = 0.0;
    for (int y = 0; y < 8; y++)
        for (int x = 0; x < 8; x++) {
            const unsigned char *q =
                rgb + RGB * ((bottom ? ny - 1 - y : y) * nx + (right ? nx - 1 - x : x));
            sum += q[0] - q[1];
        }
    return sum / 64.0;
}

static void a_photo_comes_out_the_way_it_was_held(void **state)
{
    (void)state;
    /* where the corner of row 0 and column 0 is seen: tag 274 */
    static const struct {
        bool right, bottom, swapped;
    } seen[9] = {{0},
                 {false, false, false},
                 {true, false, false},
                 {true, true, false},
                 {false, true, false},
                 {false, false, true},
                 {true, false, true},
                 {true, true, true},
                 {false, true, true}};
    static unsigned char file[FILE_MOST];
    for (int turn = 1; turn <= 8; turn++) {
        lev_photo_facts f;
        lev_bytes b = {0};
        lev_error err = {0};
        int nx = 0, ny = 0, sub = 0, space = 0;
        const size_t n = jpeg_with(turn, file);
        assert_ok(lev_photo_small(file, n, 160, &f, &b, &err), &err);
        assert_int_equal(f.width, NX);
        assert_int_equal(f.small_x, seen[turn].swapped ? 96 : 160);
        assert_int_equal(f.small_y, seen[turn].swapped ? 160 : 96);
        tjhandle tj = tjInitDecompress();
        assert_int_equal(tjDecompressHeader3(tj, (unsigned char *)b.data, b.n, &nx, &ny,
                                             &sub, &space),
                         0);
        assert_int_equal(nx, f.small_x);
        assert_int_equal(ny, f.small_y);
        unsigned char *rgb = malloc((size_t)nx * (size_t)ny * RGB);
        assert_non_null(rgb);
        assert_int_equal(tjDecompress2(tj, (unsigned char *)b.data, b.n, rgb, nx, 0, ny,
                                       TJPF_RGB, 0),
                         0);
        for (int corner = 0; corner < 4; corner++) {
            const bool right = corner % 2 == 1, bottom = corner / 2 == 1;
            const bool here = right == seen[turn].right && bottom == seen[turn].bottom;
            const double red = redness(rgb, nx, ny, right, bottom);
            assert_true(here ? red > 200.0 : red < 20.0);
        }
        free(rgb);
        tjDestroy(tj);
        lev_bytes_release(&b);
    }
}

static size_t png_of(int nx, int ny, unsigned char *out)
{
    png_image image = {.version = PNG_IMAGE_VERSION,
                       .width = (png_uint_32)nx,
                       .height = (png_uint_32)ny,
                       .format = PNG_FORMAT_GRAY};
    png_alloc_size_t n = FILE_MOST;
    unsigned char *grey = calloc((size_t)nx, (size_t)ny);
    assert_non_null(grey);
    assert_true(png_image_write_to_memory(&image, out, &n, 0, grey, 0, NULL));
    free(grey);
    return n;
}

static lev_status small(const void *data, size_t n, char text[LEV_ERROR_MAX])
{
    lev_photo_facts f;
    lev_bytes b = {0};
    lev_error err = {0};
    const lev_status st = lev_photo_small(data, n, 100, &f, &b, &err);
    (void)snprintf(text, LEV_ERROR_MAX, "%s", err.text);
    if (st < 0)
        assert_null(b.data);
    lev_bytes_release(&b);
    return st;
}

static void a_bomb_is_refused_by_its_header(void **state)
{
    (void)state;
    static unsigned char file[FILE_MOST];
    char text[LEV_ERROR_MAX];
    size_t n = png_of(64, 64, file);
    assert_int_equal(small(file, n, text), LEV_OK);
    /* 30000 x 30000 declared, as a small file may: width and height stand at byte 16 */
    const unsigned char huge[8] = {0, 0, 0x75, 0x30, 0, 0, 0x75, 0x30};
    memcpy(file + 16, huge, sizeof huge);
    const lev_status st = small(file, n, text);
    assert_true(st == LEV_E_LIMIT || st == LEV_E_FORMAT); /* size, or its checksum */
    n = jpeg_with(1, file);
    for (size_t i = 2; i + 9 < n; i++)
        if (file[i] == 0xff && (file[i + 1] == 0xc0 || file[i + 1] == 0xc2)) {
            file[i + 5] = file[i + 7] = 0xff; /* 65000 x 65000 and more */
            break;
        }
    assert_int_equal(small(file, n, text), LEV_E_LIMIT);
    assert_non_null(strstr(text, "at most 60 million"));
}

static void what_is_no_photo_is_told(void **state)
{
    (void)state;
    static unsigned char file[FILE_MOST];
    char text[LEV_ERROR_MAX];
    assert_int_equal(small("GIF89a, once loved", 18, text), LEV_E_FORMAT);
    assert_non_null(strstr(text, "JPEG or PNG"));
    assert_int_equal(small("", 0, text), LEV_E_FORMAT);
    const size_t n = png_of(40, 30, file);
    for (size_t cut = 1; cut + 12 < n; cut++) { /* at each byte, but for its end mark */
        unsigned char *copy = malloc(cut);
        assert_non_null(copy);
        memcpy(copy, file, cut);
        assert_true(small(copy, cut, text) < 0);
        free(copy);
    }
    const size_t m = jpeg_with(3, file);
    for (size_t cut = 1; cut < m; cut += 1 + m / 500) { /* at 500 spread places */
        unsigned char *copy = malloc(cut);
        assert_non_null(copy);
        memcpy(copy, file, cut);
        (void)small(copy, cut, text); /* a camera's half file may be shown */
        free(copy);
    }
}

#ifdef LEV_MEM_TEST
static void any_allocation_may_fail(void **state)
{
    (void)state;
    static unsigned char file[FILE_MOST];
    char text[LEV_ERROR_MAX];
    const size_t n = jpeg_with(6, file);
    const long alive = lev_mem_test_alive();
    bool failed = true;
    for (long nth = 1; failed; nth++) {
        lev_mem_test_fail(nth);
        const lev_status st = small(file, n, text);
        failed = lev_mem_test_count() >= nth;
        lev_mem_test_fail(0);
        assert_int_equal(st, failed ? LEV_E_MEMORY : LEV_OK);
        assert_int_equal(lev_mem_test_alive(), alive);
    }
}
#endif

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_photo_comes_out_the_way_it_was_held),
        cmocka_unit_test(a_bomb_is_refused_by_its_header),
        cmocka_unit_test(what_is_no_photo_is_told),
#ifdef LEV_MEM_TEST
        cmocka_unit_test(any_allocation_may_fail),
#endif
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
