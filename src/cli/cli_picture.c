/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate picture */
#include "app_picture.h"
#include "cli_out.h"
#include "json.h"

static lev_status picture(const lev_args *args, lev_error *err)
{
    lev_status st = LEV_OK;
    const char *path = lev_args_text(args, "file");
    lev_photo_facts f = {0};
    lev_text t = {0};
    int failed = 0;
    if (path == NULL)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "FILE is missing: a photo, JPEG or PNG"));
    LEV_TRY(lev_app_picture(path, (int)lev_args_number(args, "side", LEV_PICTURE_SIDE),
                            lev_args_text(args, "output"), &f, err));
    if (lev_args_has(args, "json")) {
        json_t *reply = lev_app_picture_json(&f, &failed);
        LEV_TRY(lev_out_json(reply, failed, err));
    } else {
        lev_app_picture_text(&t, &f);
        LEV_TRY(lev_out_text(&t, err));
    }
out:
    return st;
}

int lev_cmd_picture(const lev_args *args)
{
    lev_error err = {0};
    const lev_status st = picture(args, &err);
    (void)lev_fail_at(&err, st, "picture");
    return st < 0 ? lev_out_error(st, &err) : LEV_EXIT_DONE;
}
