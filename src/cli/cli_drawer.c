/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate drawer */
#include <math.h>
#include <string.h>

#include "app_drawer.h"
#include "app_labels.h"
#include "cli_out.h"
#include "cli_shop.h"
#include "json.h"
#include "num.h"

static int flag_of(const lev_args *args, const char *name)
{
    return lev_args_has(args, name) ? 1 : -1;
}

static lev_status read_ask(const lev_args *args, lev_drawer_ask *ask, lev_error *err)
{
    lev_status st = LEV_OK;
    const char *act = lev_args_nth(args, "action", 0);
    const char *pieces = lev_args_nth(args, "action", 2);
    const char *waterproof = lev_args_text(args, "waterproof");
    lev_drawer_ask_init(ask);
    LEV_TRY(lev_drawer_act_read(act != NULL ? act : "list", &ask->act, err));
    ask->what = lev_args_nth(args, "action", 1);
    if (pieces != NULL && !lev_num_parse(pieces, false, &ask->pieces))
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "\"%.40s\" should be how many pieces (decimal point)",
                         pieces));
    if (lev_args_nth(args, "action", 3) != NULL)
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "\"%.40s\" is one word too many; quote a marking of several "
                         "words",
                         lev_args_nth(args, "action", 3)));
    ask->system = lev_args_text(args, "system");
    ask->method = lev_args_text(args, "method");
    ask->mineral = lev_args_text(args, "mineral");
    ask->carrier = lev_args_text(args, "carrier");
    ask->size = lev_args_text(args, "size-mm");
    ask->price = lev_args_text(args, "price");
    ask->state = lev_args_text(args, "state");
    ask->holes = lev_args_text(args, "holes");
    ask->lot = lev_args_text(args, "lot");
    ask->bought = lev_args_text(args, "bought");
    ask->reason = lev_args_text(args, "reason");
    ask->reorder_at = lev_args_number(args, "reorder-at", (double)NAN);
    ask->waterproof = waterproof == NULL ? -1 : waterproof[0] == 'y';
    ask->open_coat = flag_of(args, "open-coat");
    ask->anti_clog = flag_of(args, "anti-clog");
out:
    return st;
}

static lev_status print_answer(const lev_args *args, const lev_drawer_answer *a,
                               lev_error *err)
{
    if (lev_args_has(args, "json")) {
        int failed = 0;
        json_t *reply = lev_app_drawer_json(a, &failed);
        return lev_out_json(reply, failed, err);
    }
    lev_text t = {0};
    lev_app_drawer_text(&t, a, lev_out_units(args));
    return lev_out_text(&t, err);
}

/* labels [LINE] -o FILE */
static lev_status print_labels(const lev_args *args, lev_error *err)
{
    char path[LEV_CLI_PATH];
    lev_status st = LEV_OK;
    lev_shop shop = {0};
    lev_text t = {0};
    double line = 0.0;
    ptrdiff_t n = 0;
    const char *which = lev_args_nth(args, "action", 1);
    const char *file = lev_args_text(args, "output");
    const char *paper = lev_args_text(args, "paper");
    if (file == NULL)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "-o is missing; labels want -o FILE.pdf"));
    if (which != NULL && !lev_num_parse(which, false, &line))
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "\"%.40s\" should be the number of a line",
                         which));
    LEV_TRY(lev_cli_shop(args, false, path, &shop, err));
    LEV_TRY(lev_app_labels(&shop, (int64_t)line, file, paper != NULL ? paper : "A4",
                           lev_out_units(args), &n, err));
    lev_text_print(&t, "%td LABELS\nto %s; measure one: 62 x 32 mm\n", n, file);
    LEV_TRY(lev_out_text(&t, err));
out:
    lev_shop_close(&shop);
    return st;
}

int lev_cmd_drawer(const lev_args *args)
{
    const char *act = lev_args_nth(args, "action", 0);
    char path[LEV_CLI_PATH];
    lev_error err = {0};
    lev_drawer_ask ask;
    lev_drawer_answer a = {0};
    lev_shop shop = {0};
    const bool labels = act != NULL && strcmp(act, "labels") == 0;
    lev_status st = labels ? print_labels(args, &err) : read_ask(args, &ask, &err);
    if (labels) {
        (void)lev_fail_at(&err, st, "drawer");
        return st < 0 ? lev_out_error(st, &err) : LEV_EXIT_DONE;
    }
    if (st >= 0)
        st = lev_cli_shop(args, lev_drawer_act_writes(ask.act), path, &shop, &err);
    if (st >= 0)
        st = lev_app_drawer(&shop, &ask, &a, &err);
    if (st >= 0)
        st = print_answer(args, &a, &err);
    lev_drawer_answer_release(&a);
    lev_shop_close(&shop);
    (void)lev_fail_at(&err, st, "drawer");
    return st < 0 ? lev_out_error(st, &err) : LEV_EXIT_DONE;
}
