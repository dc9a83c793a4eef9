/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate factor */
#include "app_factor.h"
#include "cli_out.h"
#include "cli_shop.h"
#include "json.h"

static lev_status print_answer(const lev_args *args, const lev_factor_answer *a,
                               lev_error *err)
{
    if (lev_args_has(args, "json")) {
        int failed = 0;
        json_t *reply = lev_app_factor_json(a, &failed);
        return lev_out_json(reply, failed, err);
    }
    lev_text t = {0};
    lev_app_factor_text(&t, a);
    return lev_out_text(&t, err);
}

int lev_cmd_factor(const lev_args *args)
{
    char path[LEV_CLI_PATH];
    lev_error err = {0};
    lev_factor_answer a = {0};
    lev_shop shop = {0};
    const lev_factor_ask ask = {.quantity = lev_args_text(args, "quantity"),
                                .material = lev_args_text(args, "material"),
                                .drive = lev_args_text(args, "drive"),
                                .mineral = lev_args_text(args, "mineral"),
                                .who = lev_args_text(args, "who")};
    lev_status st = lev_cli_shop(args, false, path, &shop, &err);
    if (st >= 0)
        st = lev_app_factor(&shop, &ask, &a, &err);
    if (st >= 0)
        st = print_answer(args, &a, &err);
    lev_factor_answer_release(&a);
    lev_shop_close(&shop);
    (void)lev_fail_at(&err, st, "factor");
    return st < 0 ? lev_out_error(st, &err) : LEV_EXIT_DONE;
}
