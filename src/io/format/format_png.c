/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Grey PNG of 8 or 16 bits as a map of heights, by libpng. Ours use 1 .. 65535 from the
 * lowest to the highest point and 0 for a missing one. */
#include <math.h>
#include <png.h>
#include <setjmp.h>
#include <string.h>

#include "bounds.h"
#include "image_scale.h"
#include "mem.h"

/* Everything a longjmp out of libpng must leave findable. */
typedef struct png_job {
    png_structp png;
    png_infop info;
    lev_cursor in;
    lev_pack *to;
    unsigned char *pixel; /* rows, big-endian as stored */
    png_bytep *row;
    char message[120];
    image_scale scale;
    ptrdiff_t nx, ny;
    int bytes;
} png_job;

static bool sniff(const unsigned char *data, size_t n)
{
    return n >= 8 && png_sig_cmp(data, 0, 8) == 0;
}

/* No chunk may be longer than what is left of the file: libpng takes memory for a chunk
 * before it reads it. */
static lev_status check_chunks(lev_cursor in, lev_error *err)
{
    enum { SIGNATURE = 8, AROUND = 12 }; /* length, name and checksum of a chunk */
    const unsigned char *p = in.at + SIGNATURE;
    while (in.end - p >= AROUND) {
        const ptrdiff_t length = (ptrdiff_t)p[0] << 24 | (ptrdiff_t)p[1] << 16 |
                                 (ptrdiff_t)p[2] << 8 | (ptrdiff_t)p[3];
        if (length > in.end - p - AROUND)
            return lev_fail(err, LEV_E_FORMAT,
                            "damaged PNG: a part of %td bytes where %td are left",
                            length, in.end - p - AROUND);
        p += length + AROUND;
    }
    return LEV_OK;
}

static void on_error(png_structp png, png_const_charp message)
{
    png_job *j = png_get_error_ptr(png);
    (void)strncpy(j->message, message, sizeof j->message - 1);
    png_longjmp(png, 1);
}

static void on_warning(png_structp png, png_const_charp message)
{
    (void)png, (void)message;
}

static void on_read(png_structp png, png_bytep to, png_size_t n)
{
    png_job *j = png_get_io_ptr(png);
    if ((size_t)(j->in.end - j->in.at) < n)
        png_error(png, "the file ends early");
    memcpy(to, j->in.at, n);
    j->in.at += n;
}

static void on_write(png_structp png, png_bytep from, png_size_t n)
{
    png_job *j = png_get_io_ptr(png);
    lev_pack_add(j->to, from, n);
}

static void on_flush(png_structp png)
{
    (void)png;
}

/* Header and note: sizes, kind of pixel, scale. */
static lev_status read_head(png_job *j, const lev_surface_hint *hint, double file_bytes,
                            lev_error *err)
{
    png_textp text = NULL;
    int texts = 0, depth = png_get_bit_depth(j->png, j->info);
    const char *note = NULL;
    j->nx = (ptrdiff_t)png_get_image_width(j->png, j->info);
    j->ny = (ptrdiff_t)png_get_image_height(j->png, j->info);
    j->bytes = depth / 8;
    if (png_get_color_type(j->png, j->info) != PNG_COLOR_TYPE_GRAY || depth < 8)
        return lev_fail(err, LEV_E_FORMAT,
                        "a coloured picture or less than 8 bits; grey of 8 or 16 bits "
                        "holds heights");
    const lev_status st = image_size_check((double)j->nx, (double)j->ny,
                                           (double)j->bytes, file_bytes, err);
    if (st < 0)
        return st;
    (void)png_get_text(j->png, j->info, &text, &texts);
    for (int i = 0; i < texts; i++)
        if (strcmp(text[i].key, "Description") == 0)
            note = text[i].text;
    return image_scale_read(note, hint, &j->scale, err);
}

static lev_status make_rows(png_job *j, lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    LEV_TRY(lev_mem_new((size_t)(j->nx * j->ny), (size_t)j->bytes, &p, err));
    j->pixel = p;
    LEV_TRY(lev_mem_new((size_t)j->ny, sizeof *j->row, &p, err));
    j->row = p;
    for (ptrdiff_t y = 0; y < j->ny; y++)
        j->row[y] = j->pixel + y * j->nx * j->bytes;
out:
    return st;
}

static double pixel_at(const png_job *j, ptrdiff_t i)
{
    const unsigned char *p = j->pixel + i * j->bytes;
    return j->bytes == 1 ? (double)p[0] : 256.0 * (double)p[0] + (double)p[1];
}

static lev_status fail_png(const png_job *j, lev_error *err)
{
    return lev_fail(err, LEV_E_FORMAT, "damaged PNG: %s", j->message);
}

/* Everything that may jump; rows are made between the two halves. */
static lev_status run_read(png_job *j, const lev_surface_hint *hint, lev_error *err)
{
    const double file_bytes = (double)(j->in.end - j->in.at);
    if (setjmp(png_jmpbuf(j->png)) != 0)
        return fail_png(j, err);
    png_set_user_limits(j->png, 1 << 20, 1 << 20);
    png_set_chunk_malloc_max(j->png, 1 << 20);
    png_set_read_fn(j->png, j, on_read);
    png_read_info(j->png, j->info);
    lev_status st = read_head(j, hint, file_bytes, err);
    if (st == LEV_OK)
        st = make_rows(j, err);
    if (st < 0)
        return st;
    (void)png_set_interlace_handling(j->png);
    png_read_update_info(j->png, j->info);
    png_read_image(j->png, j->row);
    png_read_end(j->png, NULL);
    return LEV_OK;
}

static lev_status read(lev_cursor in, const lev_surface_hint *hint, lev_surface *out,
                       lev_error *err)
{
    lev_status st = LEV_OK;
    png_job j = {.in = in};
    LEV_TRY(check_chunks(in, err));
    j.png = png_create_read_struct(PNG_LIBPNG_VER_STRING, &j, on_error, on_warning);
    j.info = j.png != NULL ? png_create_info_struct(j.png) : NULL;
    if (j.info == NULL)
        LEV_TRY(lev_fail(err, LEV_E_MEMORY, "out of memory"));
    LEV_TRY(run_read(&j, hint, err));
    LEV_TRY(lev_format_room(out, j.nx, j.ny, j.scale.dx_um, j.scale.dy_um, err));
    for (ptrdiff_t i = 0; i < j.nx * j.ny; i++) {
        const double v = pixel_at(&j, i);
        const bool missing = fabs(v - j.scale.missing) < 0.5;
        lev_format_put(out, i,
                       missing ? (double)NAN : j.scale.z0_um + j.scale.dz_um * v);
    }
out:
    if (j.png != NULL)
        png_destroy_read_struct(&j.png, &j.info, NULL);
    lev_mem_free(j.pixel);
    lev_mem_free(j.row);
    return st;
}

const lev_format lev_format_png = {"png", sniff, read};

/* Pixels from heights: 1 .. 65535 over their range. */
static void fill_pixels(png_job *j, const lev_map *m)
{
    float low = INFINITY, high = -INFINITY;
    for (ptrdiff_t i = 0; i < m->nx * m->ny; i++) {
        low = fminf(low, m->z_um[i]);
        high = fmaxf(high, m->z_um[i]);
    }
    if (!(high > low)) /* level, or nothing measured */
        high = low = isfinite(low) ? low : 0.0F;
    const double step = high > low ? ((double)high - (double)low) / 65534.0 : 1.0;
    j->scale = (image_scale){m->dx_um, m->dy_um, (double)low - step, step, 0.0};
    for (ptrdiff_t i = 0; i < m->nx * m->ny; i++) {
        const double z = (double)m->z_um[i];
        const unsigned v =
            isnan(z) ? 0U : 1U + (unsigned)nearbyint((z - (double)low) / step);
        j->pixel[2 * i] = (unsigned char)(v >> 8);
        j->pixel[2 * i + 1] = (unsigned char)v;
    }
}

static lev_status run_write(png_job *j, lev_error *err)
{
    char note[IMAGE_NOTE_BYTES];
    char key[] = "Description";
    png_text text = {
        .compression = PNG_TEXT_COMPRESSION_NONE, .key = key, .text = note};
    image_scale_write(&j->scale, note);
    if (setjmp(png_jmpbuf(j->png)) != 0)
        return fail_png(j, err);
    png_set_write_fn(j->png, j, on_write, on_flush);
    png_set_IHDR(j->png, j->info, (png_uint_32)j->nx, (png_uint_32)j->ny, 16,
                 PNG_COLOR_TYPE_GRAY, PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT,
                 PNG_FILTER_TYPE_DEFAULT);
    png_set_text(j->png, j->info, &text, 1);
    png_write_info(j->png, j->info);
    png_write_image(j->png, j->row);
    png_write_end(j->png, NULL);
    return LEV_OK;
}

lev_status lev_png_pack(const lev_surface *s, lev_bytes *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_pack p = {0};
    png_job j = {.to = &p, .nx = s->map.nx, .ny = s->map.ny, .bytes = 2};
    if (!lev_surface_is_map(s))
        return lev_fail(err, LEV_E_USAGE, "PNG holds a map, not one profile");
    j.png = png_create_write_struct(PNG_LIBPNG_VER_STRING, &j, on_error, on_warning);
    j.info = j.png != NULL ? png_create_info_struct(j.png) : NULL;
    if (j.info == NULL)
        LEV_TRY(lev_fail(err, LEV_E_MEMORY, "out of memory"));
    LEV_TRY(make_rows(&j, err));
    fill_pixels(&j, &s->map);
    LEV_TRY(run_write(&j, err));
    LEV_TRY(lev_pack_take(&p, out, err));
out:
    png_destroy_write_struct(&j.png, &j.info);
    lev_mem_free(j.pixel);
    lev_mem_free(j.row);
    lev_bytes_release(&p.b);
    return st;
}
