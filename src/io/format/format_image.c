/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The scale of pictures of heights. Ours carry it in a note of text; others need to be
 * told --dx-um and --z-unit. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "image_scale.h"
#include "num.h"

static const char HEAD[] = "levigate heights";

static bool find_number(const char *note, const char *key, double *out)
{
    const char *p = strstr(note, key);
    if (p == NULL)
        return false;
    p += strlen(key);
    const char *end = p;
    *out = lev_num_read(p, false, &end);
    return end != p && isfinite(*out);
}

lev_status image_scale_read(const char *note, const lev_surface_hint *hint,
                            image_scale *out, lev_error *err)
{
    image_scale s = {.missing = (double)NAN};
    if (note != NULL && strncmp(note, HEAD, sizeof HEAD - 1) == 0) {
        if (!find_number(note, " dx_um=", &s.dx_um) ||
            !find_number(note, " dy_um=", &s.dy_um) ||
            !find_number(note, " z0_um=", &s.z0_um) ||
            !find_number(note, " dz_um=", &s.dz_um))
            return lev_fail(err, LEV_E_FORMAT, "the note of scale is damaged");
        (void)find_number(note, " missing=", &s.missing);
        *out = s;
        return LEV_OK;
    }
    if (!(hint->dx_um > 0.0))
        return lev_fail(err, LEV_E_USAGE,
                        "a picture does not say the spacing of its points; --dx-um");
    if (!(hint->z_unit_um > 0.0))
        return lev_fail(err, LEV_E_USAGE,
                        "a picture does not say the height of one step; --z-unit");
    s.dx_um = hint->dx_um;
    s.dy_um = hint->dy_um > 0.0 ? hint->dy_um : hint->dx_um;
    s.dz_um = hint->z_unit_um;
    *out = s;
    return LEV_OK;
}

static void add(char *note, const char *key, double v)
{
    char text[LEV_NUM_TEXT];
    const size_t n = strlen(note);
    lev_num_write(v, 0, text);
    (void)snprintf(note + n, IMAGE_NOTE_BYTES - n, " %s=%s", key, text);
}

void image_scale_write(const image_scale *s, char note[IMAGE_NOTE_BYTES])
{
    (void)snprintf(note, IMAGE_NOTE_BYTES, "%s", HEAD);
    add(note, "dx_um", s->dx_um);
    add(note, "dy_um", s->dy_um);
    add(note, "z0_um", s->z0_um);
    add(note, "dz_um", s->dz_um);
    if (!isnan(s->missing))
        add(note, "missing", s->missing);
}

lev_status image_size_check(double nx, double ny, double bytes_each, double file_bytes,
                            lev_error *err)
{
    enum { UNPACK_MOST = 1400 }; /* deflate 1032, LZW less than 1400 */
    const lev_status st = lev_format_size(nx, ny, err);
    if (st < 0)
        return st;
    if (nx * ny * bytes_each > UNPACK_MOST * file_bytes + 4096.0)
        return lev_fail(err, LEV_E_FORMAT,
                        "%.0f x %.0f points cannot come out of %.0f bytes", nx, ny,
                        file_bytes);
    return LEV_OK;
}
