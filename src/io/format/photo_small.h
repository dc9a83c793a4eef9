/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A photo made small and upright: what a page shows beside an entry of the log. */
#ifndef IO_PHOTO_SMALL_H
#define IO_PHOTO_SMALL_H

#include <stddef.h>

#include "file.h"

/* What was found in the file. */
typedef struct lev_photo_facts {
    const char *kind;           /* "jpeg" or "png" */
    ptrdiff_t width, height;    /* points as stored */
    ptrdiff_t small_x, small_y; /* points of the small one, upright */
} lev_photo_facts;

/**
 * Read a JPEG or PNG whole, turn it as its camera says, shrink it until no side is
 * longer than `side`, and pack it as JPEG.
 *
 * Sizes are taken from the header and refused before any point is unpacked: over
 * LEV_LIMIT_PHOTO_BYTES of file, LEV_LIMIT_PHOTO_POINTS points, or LEV_LIMIT_PHOTO_SIDE
 * along a side.
 * @param data  the file; `n` bytes
 * @param side  16 to 4096 points
 * @param out   the JPEG; release with lev_bytes_release
 * @return LEV_E_FORMAT for another kind of file or a damaged one; LEV_E_LIMIT;
 *         LEV_E_RANGE for side
 */
lev_status lev_photo_small(const void *data, size_t n, int side, lev_photo_facts *facts,
                           lev_bytes *out, lev_error *err);

#endif
