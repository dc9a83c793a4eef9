/* SPDX-License-Identifier: GPL-3.0-or-later */
/* TIFF of one number a pixel (8, 16, 32 bits whole, 32 or 64 bits float, in strips) as
 * a map of heights, by libtiff from memory. Ours are float32 micrometres. */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <tiffio.h>

#include "image_scale.h"
#include "mem.h"

/* A file in memory: read from `in`, or written into `out`. */
typedef struct memory_file {
    const unsigned char *in;
    lev_pack *out;
    uint64_t size, at;
} memory_file;

static bool sniff(const unsigned char *data, size_t n)
{
    return n >= 4 && (memcmp(data, "II*\0", 4) == 0 || memcmp(data, "MM\0*", 4) == 0 ||
                      memcmp(data, "II+\0", 4) == 0 || memcmp(data, "MM\0+", 4) == 0);
}

static tmsize_t file_read(thandle_t h, void *to, tmsize_t n)
{
    memory_file *f = h;
    if (f->out != NULL || n < 0 || f->at > f->size || f->size - f->at < (uint64_t)n)
        return 0;
    memcpy(to, f->in + f->at, (size_t)n);
    f->at += (uint64_t)n;
    return n;
}

static tmsize_t file_write(thandle_t h, void *from, tmsize_t n)
{
    static const unsigned char zeros[64] = {0};
    memory_file *f = h;
    if (f->out == NULL || n < 0)
        return 0;
    while (f->out->st == LEV_OK && f->out->b.n < f->at)
        lev_pack_add(f->out, zeros,
                     f->at - f->out->b.n < sizeof zeros ? (size_t)(f->at - f->out->b.n)
                                                        : sizeof zeros);
    size_t done = 0;
    if (f->out->st == LEV_OK && f->at < f->out->b.n) { /* over what is there */
        const size_t room = f->out->b.n - (size_t)f->at;
        done = (size_t)n < room ? (size_t)n : room;
        memcpy(f->out->b.data + f->at, from, done);
    }
    lev_pack_add(f->out, (const char *)from + done, (size_t)n - done);
    f->at += (uint64_t)n;
    return f->out->st == LEV_OK ? n : 0;
}

static toff_t file_seek(thandle_t h, toff_t by, int from)
{
    memory_file *f = h;
    const uint64_t size = f->out != NULL ? f->out->b.n : f->size;
    if (from == SEEK_SET)
        f->at = by;
    else
        f->at = (from == SEEK_END ? size : f->at) + by;
    return f->at;
}

static int file_close(thandle_t h)
{
    (void)h;
    return 0;
}

static toff_t file_size(thandle_t h)
{
    const memory_file *f = h;
    return f->out != NULL ? f->out->b.n : f->size;
}

static TIFF *open_memory(memory_file *f, const char *mode)
{
    (void)TIFFSetErrorHandler(NULL);
    (void)TIFFSetWarningHandler(NULL);
    return TIFFClientOpen("heights", mode, f, file_read, file_write, file_seek,
                          file_close, file_size, NULL, NULL);
}

enum { TILE_MOST = 1024 }; /* points a side: libtiff keeps a tile of its own */

/* What one pixel is; -1 for what is not read. */
static int pixel_type(uint16_t bits, uint16_t format)
{
    if (format == SAMPLEFORMAT_IEEEFP)
        return bits == 32 ? LEV_CELL_F32 : bits == 64 ? LEV_CELL_F64 : -1;
    if (format == SAMPLEFORMAT_INT)
        return bits == 8    ? LEV_CELL_I8
               : bits == 16 ? LEV_CELL_I16
               : bits == 32 ? LEV_CELL_I32
                            : -1;
    if (format == SAMPLEFORMAT_UINT)
        return bits == 8    ? LEV_CELL_U8
               : bits == 16 ? LEV_CELL_U16
               : bits == 32 ? LEV_CELL_U32
                            : -1;
    return -1;
}

/* libtiff hands numbers over in the machine's own order. */
static double native(const unsigned char *p, int type)
{
    double d = 0.0;
    float f = 0.0F;
    int32_t l = 0;
    uint32_t u = 0;
    int16_t i = 0;
    uint16_t w = 0;
    switch (type) {
    case LEV_CELL_F32:
        memcpy(&f, p, sizeof f);
        return (double)f;
    case LEV_CELL_F64:
        memcpy(&d, p, sizeof d);
        return d;
    case LEV_CELL_I32:
        memcpy(&l, p, sizeof l);
        return (double)l;
    case LEV_CELL_U32:
        memcpy(&u, p, sizeof u);
        return (double)u;
    case LEV_CELL_I16:
        memcpy(&i, p, sizeof i);
        return (double)i;
    case LEV_CELL_U16:
        memcpy(&w, p, sizeof w);
        return (double)w;
    default:
        return type == LEV_CELL_I8 ? (double)(int8_t)*p : (double)*p;
    }
}

static lev_status read_head(TIFF *t, const memory_file *f, uint32_t size[2], int *type,
                            lev_error *err)
{
    uint16_t bits = 1, format = SAMPLEFORMAT_UINT, samples = 1;
    uint16_t shade = PHOTOMETRIC_MINISBLACK;
    (void)TIFFGetField(t, TIFFTAG_IMAGEWIDTH, &size[0]);
    (void)TIFFGetField(t, TIFFTAG_IMAGELENGTH, &size[1]);
    (void)TIFFGetFieldDefaulted(t, TIFFTAG_BITSPERSAMPLE, &bits);
    (void)TIFFGetFieldDefaulted(t, TIFFTAG_SAMPLEFORMAT, &format);
    (void)TIFFGetFieldDefaulted(t, TIFFTAG_SAMPLESPERPIXEL, &samples);
    (void)TIFFGetField(t, TIFFTAG_PHOTOMETRIC, &shade);
    *type = pixel_type(bits, format);
    if (samples != 1 || shade == PHOTOMETRIC_PALETTE)
        return lev_fail(err, LEV_E_FORMAT,
                        "a coloured picture; one number a pixel holds heights");
    if (shade == PHOTOMETRIC_MINISWHITE)
        return lev_fail(err, LEV_E_FORMAT,
                        "0 is white in this picture, so high may be dark; save it with "
                        "0 as black");
    if (*type < 0)
        return lev_fail(err, LEV_E_FORMAT,
                        "pixels of %d bits in sample format %d; whole numbers of 8, 16 "
                        "or 32 bits and floats of 32 or 64 are read",
                        bits, format);
    return image_size_check(size[0], size[1], (double)lev_cell_bytes(*type),
                            (double)f->size, err);
}

static lev_status read_rows(TIFF *t, const uint32_t size[2], int type,
                            const image_scale *scale, lev_surface *out, lev_error *err)
{
    void *line = NULL;
    const tmsize_t bytes = TIFFScanlineSize(t);
    if (bytes < (tmsize_t)(size[0] * lev_cell_bytes(type)))
        return lev_fail(err, LEV_E_FORMAT, "damaged TIFF: rows of %td bytes",
                        (ptrdiff_t)bytes);
    lev_status st = lev_mem_new((size_t)bytes, 1, &line, err);
    for (uint32_t y = 0; st == LEV_OK && y < size[1]; y++) {
        if (TIFFReadScanline(t, line, y, 0) != 1) {
            st = lev_fail(err, LEV_E_FORMAT, "damaged TIFF: row %u cannot be read",
                          y + 1U);
            break;
        }
        for (uint32_t x = 0; x < size[0]; x++) {
            const unsigned char *p = (const unsigned char *)line;
            const double v = native(p + x * lev_cell_bytes(type), type);
            lev_format_put(out, (ptrdiff_t)y * size[0] + x,
                           scale->z0_um + scale->dz_um * v);
        }
    }
    lev_mem_free(line);
    return st;
}

/* Tiles reach over the right and the lower edge; what lies beyond is no height. */
static void put_tile(const unsigned char *tile, const uint32_t side[2],
                     const uint32_t at[2], const uint32_t size[2], int type,
                     const image_scale *scale, lev_surface *out)
{
    for (uint32_t y = 0; y < side[1] && at[1] + y < size[1]; y++)
        for (uint32_t x = 0; x < side[0] && at[0] + x < size[0]; x++) {
            const size_t k = ((size_t)y * side[0] + x) * lev_cell_bytes(type);
            lev_format_put(out, (ptrdiff_t)(at[1] + y) * size[0] + at[0] + x,
                           scale->z0_um + scale->dz_um * native(tile + k, type));
        }
}

static lev_status read_tiles(TIFF *t, const uint32_t size[2], int type,
                             const image_scale *scale, lev_surface *out, lev_error *err)
{
    lev_status st = LEV_OK;
    void *tile = NULL;
    uint32_t side[2] = {0, 0};
    (void)TIFFGetField(t, TIFFTAG_TILEWIDTH, &side[0]);
    (void)TIFFGetField(t, TIFFTAG_TILELENGTH, &side[1]);
    const uint64_t bytes = (uint64_t)side[0] * side[1] * lev_cell_bytes(type);
    if (side[0] == 0 || side[0] > TILE_MOST || side[1] == 0 || side[1] > TILE_MOST ||
        (uint64_t)TIFFTileSize(t) != bytes)
        LEV_TRY(lev_fail(err, LEV_E_FORMAT,
                         "damaged TIFF: tiles of %u x %u points; 1 to %d a side are "
                         "read",
                         side[0], side[1], (int)TILE_MOST));
    LEV_TRY(lev_mem_new((size_t)bytes, 1, &tile, err));
    for (uint32_t y = 0; y < size[1]; y += side[1])
        for (uint32_t x = 0; x < size[0]; x += side[0]) {
            const uint32_t at[2] = {x, y};
            if (TIFFReadTile(t, tile, x, y, 0, 0) != (tmsize_t)bytes)
                LEV_TRY(lev_fail(err, LEV_E_FORMAT,
                                 "damaged TIFF: tile at row %u, column %u cannot be "
                                 "read",
                                 y + 1U, x + 1U));
            put_tile(tile, side, at, size, type, scale, out);
        }
out:
    lev_mem_free(tile);
    return st;
}

static lev_status read(lev_cursor in, const lev_surface_hint *hint, lev_surface *out,
                       lev_error *err)
{
    lev_status st = LEV_OK;
    memory_file f = {.in = in.at, .size = (uint64_t)(in.end - in.at)};
    uint32_t size[2] = {0, 0};
    int type = 0;
    char *note = NULL;
    image_scale scale;
    TIFF *t = open_memory(&f, "rm");
    if (t == NULL)
        return lev_fail(err, LEV_E_FORMAT, "damaged TIFF: no directory");
    LEV_TRY(read_head(t, &f, size, &type, err));
    if (TIFFGetField(t, TIFFTAG_IMAGEDESCRIPTION, &note) != 1)
        note = NULL;
    LEV_TRY(image_scale_read(note, hint, &scale, err));
    LEV_TRY(lev_format_room(out, size[0], size[1], scale.dx_um, scale.dy_um, err));
    LEV_TRY(TIFFIsTiled(t) ? read_tiles(t, size, type, &scale, out, err)
                           : read_rows(t, size, type, &scale, out, err));
    if (TIFFLastDirectory(t) == 0)
        (void)snprintf(out->warning, sizeof out->warning,
                       "the file holds more than one picture; the first is read");
out:
    TIFFClose(t);
    return st;
}

const lev_format lev_format_tiff = {"tiff", sniff, read};

static bool write_tags(TIFF *t, const lev_map *m)
{
    char note[IMAGE_NOTE_BYTES];
    const image_scale scale = {m->dx_um, m->dy_um, 0.0, 1.0, (double)NAN};
    image_scale_write(&scale, note);
    return TIFFSetField(t, TIFFTAG_IMAGEWIDTH, (uint32_t)m->nx) == 1 &&
           TIFFSetField(t, TIFFTAG_IMAGELENGTH, (uint32_t)m->ny) == 1 &&
           TIFFSetField(t, TIFFTAG_BITSPERSAMPLE, 32) == 1 &&
           TIFFSetField(t, TIFFTAG_SAMPLEFORMAT, SAMPLEFORMAT_IEEEFP) == 1 &&
           TIFFSetField(t, TIFFTAG_SAMPLESPERPIXEL, 1) == 1 &&
           TIFFSetField(t, TIFFTAG_PHOTOMETRIC, PHOTOMETRIC_MINISBLACK) == 1 &&
           TIFFSetField(t, TIFFTAG_ROWSPERSTRIP, 64) == 1 &&
           TIFFSetField(t, TIFFTAG_IMAGEDESCRIPTION, note) == 1;
}

lev_status lev_tiff_pack(const lev_surface *s, lev_bytes *out, lev_error *err)
{
    lev_pack p = {0};
    memory_file f = {.out = &p};
    if (!lev_surface_is_map(s))
        return lev_fail(err, LEV_E_USAGE, "TIFF holds a map, not one profile");
    TIFF *t = open_memory(&f, "wlm");
    if (t == NULL)
        return lev_fail(err, LEV_E_SYSTEM, "no TIFF can be made");
    bool good = write_tags(t, &s->map);
    for (ptrdiff_t y = 0; good && y < s->map.ny; y++)
        good = TIFFWriteScanline(t, s->map.z_um + y * s->map.nx, (uint32_t)y, 0) == 1;
    good = good && TIFFFlush(t) == 1;
    TIFFClose(t);
    if (!good) {
        lev_bytes_release(&p.b);
        return lev_fail(err, LEV_E_SYSTEM, "the TIFF cannot be made");
    }
    return lev_pack_take(&p, out, err);
}
