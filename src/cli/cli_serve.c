/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate serve */
#include "app_backend.h"
#include "cli_out.h"
#include "cli_shop.h"
#include "file.h"
#include "http_module.h"

#include <string.h>

enum { PORT = 7410, PEM_BYTES = 1 << 20 };

static lev_status load(const lev_http_api **out, lev_error *err)
{
    void *symbol = NULL;
    lev_http_entry_fn entry = NULL;
    const lev_status st = lev_backend_serve(LEV_HTTP_ENTRY_NAME, &symbol, err);
    if (st < 0)
        return st;
    memcpy(&entry, &symbol, sizeof entry); /* an object pointer holds a function */
    *out = entry();
    if ((*out)->version != LEV_HTTP_API)
        return lev_fail(err, LEV_E_SYSTEM, "module of the page is of another build");
    return LEV_OK;
}

static lev_status serve(const lev_args *args, lev_bytes *cert, lev_bytes *key,
                        lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_http_api *api = NULL;
    char shop[LEV_CLI_PATH];
    const char *pem = lev_args_text(args, "tls-cert");
    const char *secret = lev_args_text(args, "tls-key");
    if ((pem == NULL) != (secret == NULL))
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "--tls-cert and --tls-key go together"));
    if (pem != NULL) {
        LEV_TRY(lev_bytes_read(pem, PEM_BYTES, cert, err));
        LEV_TRY(lev_bytes_read(secret, PEM_BYTES, key, err));
    }
    /* Where no store can be, the page goes without drawer and log, and says so. */
    const bool has_shop = lev_cli_store_path(args, true, shop, sizeof shop, NULL) >= 0;
    const lev_http_setup setup = {.port = (int)lev_args_number(args, "port", PORT),
                                  .lan = lev_args_has(args, "lan"),
                                  .open = lev_args_has(args, "open"),
                                  .certificate = cert->data,
                                  .secret = key->data,
                                  .shop = has_shop ? shop : NULL,
                                  .answer = lev_http_answer};
    LEV_TRY(load(&api, err));
    LEV_TRY(api->serve(&setup, err));
out:
    return st;
}

int lev_cmd_serve(const lev_args *args)
{
    lev_error err = {0};
    lev_bytes cert = {0}, key = {0};
    const lev_status st = serve(args, &cert, &key, &err);
    lev_bytes_release(&cert);
    lev_bytes_release(&key);
    (void)lev_fail_at(&err, st, "serve");
    return st < 0 ? lev_out_error(st, &err) : LEV_EXIT_DONE;
}
