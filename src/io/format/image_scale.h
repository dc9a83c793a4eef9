/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What turns the numbers of a picture into heights. */
#ifndef FORMAT_IMAGE_SCALE_H
#define FORMAT_IMAGE_SCALE_H

#include "format.h"

enum { IMAGE_NOTE_BYTES = 200 };

/* height = z0_um + dz_um x number; a number equal to missing is none. */
typedef struct image_scale {
    double dx_um, dy_um, z0_um, dz_um, missing;
} image_scale;

/** From the note we write into our pictures, or else from the caller. */
lev_status image_scale_read(const char *note, const lev_surface_hint *hint,
                            image_scale *out, lev_error *err);
void image_scale_write(const image_scale *s, char note[IMAGE_NOTE_BYTES]);
/** Points of a picture whose file has so many bytes: no more than they could unpack to.
 */
lev_status image_size_check(double nx, double ny, double bytes_each, double file_bytes,
                            lev_error *err);

#endif
