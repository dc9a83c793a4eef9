/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which store a command means, and when what it tells happened. */
#ifndef CLI_SHOP_H
#define CLI_SHOP_H

#include "app_shop.h"
#include "cli_verbs.h"

/**
 * The store's path: --db, else $LEVIGATE_DB, else levigate/levigate.db in
 * $XDG_DATA_HOME or ~/.local/share. `make`: the folder of that last one is made.
 * LEV_E_SYSTEM when no home is known, LEV_E_IO when the folder cannot be made.
 */
lev_status lev_cli_store_path(const lev_args *args, bool make, char *out, size_t size,
                              lev_error *err);

/** --at ("2026-01-31 14:05", "2026-01-31", "14:05") in local time, else now. A time to
 * come is refused. */
lev_status lev_cli_instant(const lev_args *args, int64_t *out, lev_error *err);

enum { LEV_CLI_PATH = 4096 };

/** Both, and open; the path is kept in `path`. */
lev_status lev_cli_shop(const lev_args *args, bool write, char path[LEV_CLI_PATH],
                        lev_shop *out, lev_error *err);

#endif
