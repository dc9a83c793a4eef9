/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See app_picture.h. */
#include "app_picture.h"

#include "app_backend.h"
#include "bounds.h"
#include "json.h"

lev_status lev_app_picture(const char *path, int side, const char *output,
                           lev_photo_facts *out, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_format_api *format = NULL;
    lev_bytes whole = {0}, small = {0};
    lev_sink sink = {.fd = -1};
    LEV_TRY(lev_bytes_read(path, LEV_LIMIT_PHOTO_BYTES, &whole, err));
    LEV_TRY(lev_backend_formats(&format, err));
    LEV_TRY(lev_fail_at(
        err, format->photo_small(whole.data, whole.n, side, out, &small, err), path));
    if (output == NULL)
        goto out;
    LEV_TRY(lev_sink_open(&sink, output, err));
    LEV_TRY(lev_sink_write(&sink, small.data, small.n, err));
    LEV_TRY(lev_sink_commit(&sink, err));
out:
    lev_sink_release(&sink);
    lev_bytes_release(&small);
    lev_bytes_release(&whole);
    return st;
}

json_t *lev_app_picture_json(const lev_photo_facts *f, int *failed)
{
    json_t *o = lev_json_reply();
    int bad = lev_json_put_text(o, "kind", f->kind);
    bad |= lev_json_put_int(o, "width", f->width);
    bad |= lev_json_put_int(o, "height", f->height);
    bad |= lev_json_put_int(o, "small_width", f->small_x);
    bad |= lev_json_put_int(o, "small_height", f->small_y);
    *failed |= bad;
    return o;
}

void lev_app_picture_text(lev_text *t, const lev_photo_facts *f)
{
    lev_text_print(t, "A %s OF %td x %td POINTS\nsmall and upright: %td x %td\n",
                   f->kind[0] == 'j' ? "JPEG" : "PNG", f->width, f->height, f->small_x,
                   f->small_y);
}
