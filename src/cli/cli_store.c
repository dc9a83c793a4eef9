/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate store */
#include <string.h>

#include "app_store.h"
#include "cli_out.h"
#include "cli_shop.h"

static lev_status read_ask(const lev_args *args, char path[LEV_CLI_PATH],
                           lev_store_ask *ask, lev_error *err)
{
    static const struct {
        const char *word;
        lev_store_act act;
    } acts[] = {
#define ACT(name, text) {text, name},
        LEV_STORE_ACT_LIST(ACT)
#undef ACT
    };
    const char *word = lev_args_text(args, "act");
    *ask = (lev_store_ask){.store = path,
                           .file = lev_args_text(args, "file"),
                           .replace = lev_args_has(args, "replace")};
    if (word == NULL)
        return lev_fail(
            err, LEV_E_USAGE,
            "what to do is missing: export, import, backup, restore or check");
    for (size_t i = 0; i < sizeof acts / sizeof *acts; i++)
        if (lev_text_same(acts[i].word, word))
            ask->act = acts[i].act;
    if (ask->act == LEV_STORE_CHECK && ask->file != NULL)
        return lev_fail(err, LEV_E_USAGE, "check takes no file");
    if (ask->act != LEV_STORE_CHECK && ask->file == NULL)
        return lev_fail(err, LEV_E_USAGE, "%s wants the name of a %s", word,
                        ask->act <= LEV_STORE_IMPORT ? "FILE.json or of a folder"
                                                     : "copy");
    if (ask->replace && ask->act != LEV_STORE_IMPORT)
        return lev_fail(err, LEV_E_USAGE, "--replace belongs to import");
    const bool make = ask->act == LEV_STORE_IMPORT || ask->act == LEV_STORE_RESTORE;
    return lev_cli_store_path(args, make, path, LEV_CLI_PATH, err);
}

static lev_status print_reply(const lev_args *args, const lev_store_reply *r,
                              lev_error *err)
{
    if (lev_args_has(args, "json")) {
        int failed = 0;
        json_t *reply = lev_app_store_json(r, &failed);
        return lev_out_json(reply, failed, err);
    }
    lev_text t = {0};
    lev_app_store_text(&t, r);
    return lev_out_text(&t, err);
}

int lev_cmd_store(const lev_args *args)
{
    char path[LEV_CLI_PATH];
    lev_error err = {0};
    lev_store_ask ask;
    lev_store_reply reply;
    lev_status st = read_ask(args, path, &ask, &err);
    if (st >= 0)
        st = lev_app_store(&ask, &reply, &err);
    if (st >= 0)
        st = print_reply(args, &reply, &err);
    (void)lev_fail_at(&err, st, "store");
    return st < 0 ? lev_out_error(st, &err) : LEV_EXIT_DONE;
}
