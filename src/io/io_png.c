/* SPDX-License-Identifier: GPL-3.0-or-later */
/* PNG out, by libpng's simplified interface. */
#include "picture_io.h"

#include <png.h>

#include "file.h"
#include "mem.h"

enum { SIDE_MAX = 16384 };

static lev_status pack(png_image *image, const uint8_t *rgb, void **out, size_t *n,
                       lev_error *err)
{
    lev_status st;
    png_alloc_size_t size = PNG_IMAGE_PNG_SIZE_MAX(*image);
    LEV_TRY(lev_mem_new(size, 1, out, err));
    if (!png_image_write_to_memory(image, *out, &size, 0, rgb, 0, NULL))
        LEV_TRY(lev_fail(err, LEV_E_SYSTEM, "the picture could not be packed: %s",
                         image->message));
    *n = size;
out:
    return st;
}

lev_status lev_png_write(const char *path, const uint8_t *rgb, ptrdiff_t nx,
                         ptrdiff_t ny, lev_error *err)
{
    lev_status st;
    void *data = NULL;
    size_t n = 0;
    lev_sink sink = {.fd = -1};
    png_image image = {.version = PNG_IMAGE_VERSION, .format = PNG_FORMAT_RGB};
    if (nx < 1 || ny < 1 || nx > SIDE_MAX || ny > SIDE_MAX)
        LEV_TRY(lev_fail(err, LEV_E_LIMIT, "a picture of %td x %td points; 1 to %d", nx,
                         ny, SIDE_MAX));
    image.width = (png_uint_32)nx;
    image.height = (png_uint_32)ny;
    LEV_TRY(pack(&image, rgb, &data, &n, err));
    LEV_TRY(lev_sink_open(&sink, path, err));
    LEV_TRY(lev_sink_write(&sink, data, n, err));
    LEV_TRY(lev_sink_commit(&sink, err));
out:
    png_image_free(&image);
    lev_sink_release(&sink);
    lev_mem_free(data);
    return st;
}
