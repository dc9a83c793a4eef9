/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate verify */
#include "app_verify.h"
#include "cli_out.h"
#include "cli_shop.h"
#include "json.h"

static lev_status print_answer(const lev_args *args, const lev_verify_answer *a,
                               lev_error *err)
{
    if (lev_args_has(args, "json")) {
        int failed = 0;
        json_t *reply = lev_app_verify_json(a, &failed);
        return lev_out_json(reply, failed, err);
    }
    lev_text t = {0};
    lev_app_verify_text(&t, a);
    return lev_out_text(&t, err);
}

int lev_cmd_verify(const lev_args *args)
{
    char path[LEV_CLI_PATH];
    lev_error err = {0};
    lev_verify_answer a = {.absent = false};
    lev_status st = lev_cli_store_path(args, false, path, sizeof path, &err);
    if (st >= 0)
        st = lev_app_verify(path, &a, &err);
    if (st >= 0)
        st = print_answer(args, &a, &err);
    (void)lev_fail_at(&err, st, "verify");
    return st < 0                   ? lev_out_error(st, &err)
           : lev_verify_is_good(&a) ? LEV_EXIT_DONE
                                    : LEV_EXIT_SYSTEM;
}
