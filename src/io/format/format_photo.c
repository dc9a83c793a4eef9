/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Photos: header first, then unpacked, turned and shrunk. JPEG by libjpeg-turbo, which
 * halves while it unpacks; PNG by libpng; the turn by libexif. See photo_small.h. */
#include "photo_small.h"

#include <libexif/exif-data.h>
#include <png.h>
#include <stdint.h>
#include <string.h>
#include <turbojpeg.h>

#include "bounds.h"
#include "mem.h"

enum { SIDE_LEAST = 16, SIDE_MOST = 4096, QUALITY = 82, RGB = 3 };

/* Points as stored, row by row. */
typedef struct picture {
    uint8_t *rgb;
    ptrdiff_t nx, ny;
} picture;

static lev_status check_size(ptrdiff_t nx, ptrdiff_t ny, lev_error *err)
{
    if (nx < 1 || ny < 1)
        return lev_fail(err, LEV_E_FORMAT, "a photo of no size");
    if (nx > LEV_LIMIT_PHOTO_SIDE || ny > LEV_LIMIT_PHOTO_SIDE ||
        nx > LEV_LIMIT_PHOTO_POINTS / ny)
        return lev_fail(err, LEV_E_LIMIT,
                        "a photo of %td x %td points; at most %d million are read", nx,
                        ny, LEV_LIMIT_PHOTO_POINTS / 1000000);
    return LEV_OK;
}

static lev_status new_picture(picture *p, ptrdiff_t nx, ptrdiff_t ny, lev_error *err)
{
    *p = (picture){.nx = nx, .ny = ny};
    return lev_mem_new((size_t)nx * (size_t)ny, RGB, (void **)&p->rgb, err);
}

/* ---- PNG ---- */

static lev_status read_png(const void *data, size_t n, lev_photo_facts *f, picture *out,
                           lev_error *err)
{
    lev_status st = LEV_OK;
    png_image image = {.version = PNG_IMAGE_VERSION};
    const png_color white = {255, 255, 255};
    if (!png_image_begin_read_from_memory(&image, data, n))
        LEV_TRY(lev_fail(err, LEV_E_FORMAT, "damaged PNG: %.60s", image.message));
    f->kind = "png";
    f->width = image.width;
    f->height = image.height;
    LEV_TRY(check_size(f->width, f->height, err));
    image.format = PNG_FORMAT_RGB;
    LEV_TRY(new_picture(out, f->width, f->height, err));
    if (!png_image_finish_read(&image, &white, out->rgb, 0, NULL))
        LEV_TRY(lev_fail(err, LEV_E_FORMAT, "damaged PNG: %.60s", image.message));
out:
    png_image_free(&image);
    return st;
}

/* ---- JPEG ---- */

/* The coarsest scale that leaves at least `side` points along the longer side. */
static tjscalingfactor scale_for(ptrdiff_t longer, int side)
{
    int n = 0;
    tjscalingfactor best = {1, 1};
    const tjscalingfactor *all = tjGetScalingFactors(&n);
    for (int i = 0; all != NULL && i < n; i++)
        if (all[i].num <= all[i].denom && longer * all[i].num / all[i].denom >= side &&
            all[i].num * best.denom < best.num * all[i].denom)
            best = all[i];
    return best;
}

static lev_status read_jpeg(const void *data, size_t n, int side, lev_photo_facts *f,
                            picture *out, lev_error *err)
{
    lev_status st = LEV_OK;
    int nx = 0, ny = 0, sub = 0, space = 0;
    tjhandle tj = tjInitDecompress();
    if (tj == NULL)
        LEV_TRY(lev_fail(err, LEV_E_MEMORY, "out of memory"));
    if (tjDecompressHeader3(tj, data, (unsigned long)n, &nx, &ny, &sub, &space) != 0)
        LEV_TRY(lev_fail(err, LEV_E_FORMAT, "damaged JPEG: %.80s", tjGetErrorStr2(tj)));
    f->kind = "jpeg";
    f->width = nx;
    f->height = ny;
    LEV_TRY(check_size(nx, ny, err));
    const tjscalingfactor by = scale_for(nx > ny ? nx : ny, side);
    LEV_TRY(new_picture(out, TJSCALED(nx, by), TJSCALED(ny, by), err));
    /* a file of thousands of scans is a trap: the library gives up at 500 */
    if (tjDecompress2(tj, data, (unsigned long)n, out->rgb, (int)out->nx, 0,
                      (int)out->ny, TJPF_RGB, TJFLAG_LIMITSCANS) != 0 &&
        tjGetErrorCode(tj) == TJERR_FATAL)
        LEV_TRY(lev_fail(err, LEV_E_FORMAT, "damaged JPEG: %.80s", tjGetErrorStr2(tj)));
out:
    if (tj != NULL)
        (void)tjDestroy(tj);
    return st;
}

/* How the camera was held: 1 to 8 as in the tag Orientation of Exif 2.3; 1 upright. */
static int orientation(const void *data, size_t n)
{
    int turn = 1;
    ExifData *exif = exif_data_new_from_data(data, (unsigned)n);
    ExifEntry *e =
        exif != NULL ? exif_data_get_entry(exif, EXIF_TAG_ORIENTATION) : NULL;
    if (e != NULL && e->format == EXIF_FORMAT_SHORT && e->size >= 2)
        turn = exif_get_short(e->data, exif_data_get_byte_order(exif));
    exif_data_unref(exif);
    return turn >= 1 && turn <= 8 ? turn : 1;
}

/* ---- turned and shrunk ---- */

/* The stored point that stands at x, y of the upright picture of size nx by ny. */
static ptrdiff_t stored_at(const picture *p, int turn, ptrdiff_t x, ptrdiff_t y,
                           ptrdiff_t nx, ptrdiff_t ny)
{
    const ptrdiff_t rx = nx - 1 - x, ry = ny - 1 - y;
    switch (turn) {
    case 2:
        return y * p->nx + rx;
    case 3:
        return ry * p->nx + rx;
    case 4:
        return ry * p->nx + x;
    case 5: /* from here on the sides are swapped */
        return x * p->nx + y;
    case 6:
        return rx * p->nx + y;
    case 7:
        return rx * p->nx + ry;
    case 8:
        return x * p->nx + ry;
    default:
        return y * p->nx + x;
    }
}

/* Mean of the points that fall into one point of the small picture. */
static void mean_of(const picture *p, int turn, const ptrdiff_t box[4], ptrdiff_t nx,
                    ptrdiff_t ny, uint8_t out[RGB])
{
    unsigned long long sum[RGB] = {0};
    unsigned long long n = 0;
    for (ptrdiff_t y = box[1]; y < box[3]; y++)
        for (ptrdiff_t x = box[0]; x < box[2]; x++, n++) {
            const uint8_t *q = p->rgb + RGB * stored_at(p, turn, x, y, nx, ny);
            for (int c = 0; c < RGB; c++)
                sum[c] += q[c];
        }
    for (int c = 0; c < RGB; c++)
        out[c] = (uint8_t)(n > 0 ? (sum[c] + n / 2) / n : 0);
}

static ptrdiff_t shrunk(ptrdiff_t n, ptrdiff_t longer, int side)
{
    const ptrdiff_t m = longer > side ? (n * side + longer / 2) / longer : n;
    return m > 0 ? m : 1;
}

static lev_status shrink(const picture *p, int turn, int side, picture *out,
                         lev_error *err)
{
    const ptrdiff_t nx = turn > 4 ? p->ny : p->nx, ny = turn > 4 ? p->nx : p->ny;
    const ptrdiff_t longer = nx > ny ? nx : ny;
    const lev_status st =
        new_picture(out, shrunk(nx, longer, side), shrunk(ny, longer, side), err);
    if (st < 0)
        return st;
    for (ptrdiff_t y = 0; y < out->ny; y++)
        for (ptrdiff_t x = 0; x < out->nx; x++) {
            const ptrdiff_t box[4] = {x * nx / out->nx, y * ny / out->ny,
                                      (x + 1) * nx / out->nx, (y + 1) * ny / out->ny};
            mean_of(p, turn, box, nx, ny, out->rgb + RGB * (y * out->nx + x));
        }
    return LEV_OK;
}

static lev_status pack_jpeg(const picture *p, lev_bytes *out, lev_error *err)
{
    lev_status st = LEV_OK;
    unsigned char *jpeg = NULL;
    unsigned long n = 0;
    lev_bytes b = {0};
    tjhandle tj = tjInitCompress();
    if (tj == NULL || tjCompress2(tj, p->rgb, (int)p->nx, 0, (int)p->ny, TJPF_RGB,
                                  &jpeg, &n, TJSAMP_420, QUALITY, 0) != 0)
        LEV_TRY(lev_fail(err, LEV_E_MEMORY, "the photo could not be packed"));
    b.n = n;
    LEV_TRY(lev_mem_text((const char *)jpeg, n, &b.data, err));
    *out = b;
out:
    tjFree(jpeg);
    if (tj != NULL)
        (void)tjDestroy(tj);
    return st;
}

lev_status lev_photo_small(const void *data, size_t n, int side, lev_photo_facts *facts,
                           lev_bytes *out, lev_error *err)
{
    static const unsigned char png[] = {0x89, 'P', 'N', 'G'},
                               jpeg[] = {0xff, 0xd8, 0xff};
    lev_status st = LEV_OK;
    lev_photo_facts f = {0};
    picture whole = {0}, small = {0};
    int turn = 1;
    if (side < SIDE_LEAST || side > SIDE_MOST)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "side of %d points; %d to %d", side,
                         SIDE_LEAST, SIDE_MOST));
    if (n > LEV_LIMIT_PHOTO_BYTES)
        LEV_TRY(lev_fail(err, LEV_E_LIMIT, "a photo of %zu MB; at most %d", n >> 20,
                         LEV_LIMIT_PHOTO_BYTES >> 20));
    if (n > sizeof png && memcmp(data, png, sizeof png) == 0) {
        LEV_TRY(read_png(data, n, &f, &whole, err));
    } else if (n > sizeof jpeg && memcmp(data, jpeg, sizeof jpeg) == 0) {
        LEV_TRY(read_jpeg(data, n, side, &f, &whole, err));
        turn = orientation(data, n);
    } else {
        LEV_TRY(lev_fail(err, LEV_E_FORMAT, "no photo: it should be JPEG or PNG"));
    }
    LEV_TRY(shrink(&whole, turn, side, &small, err));
    LEV_TRY(pack_jpeg(&small, out, err));
    f.small_x = small.nx;
    f.small_y = small.ny;
    *facts = f;
out:
    lev_mem_free(whole.rgb);
    lev_mem_free(small.rgb);
    return st;
}
