/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pictures out. */
#ifndef IO_PICTURE_IO_H
#define IO_PICTURE_IO_H

#include <stddef.h>
#include <stdint.h>

#include "levigate/status.h"

/** Write 8-bit sRGB points, row by row, as PNG; the file appears when it is whole.
 * LEV_E_LIMIT beyond 16384 points either way. */
lev_status lev_png_write(const char *path, const uint8_t *rgb, ptrdiff_t nx,
                         ptrdiff_t ny, lev_error *err);

#endif
