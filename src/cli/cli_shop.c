/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which store a command means. See cli_shop.h. */
#include "cli_shop.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>

static const char *set_in(const char *name)
{
    const char *s = getenv(name);
    return s != NULL && s[0] != '\0' ? s : NULL;
}

/* Every folder above the file. */
static lev_status make_folders(const char *path, lev_error *err)
{
    char folder[LEV_CLI_PATH];
    for (const char *p = strchr(path + 1, '/'); p != NULL; p = strchr(p + 1, '/')) {
        (void)snprintf(folder, sizeof folder, "%.*s", (int)(p - path), path);
        if (mkdir(folder, 0700) != 0 && errno != EEXIST) {
            (void)lev_fail(err, LEV_E_IO, "folder cannot be made: %s", strerror(errno));
            return lev_fail_at(err, LEV_E_IO, folder);
        }
    }
    return LEV_OK;
}

lev_status lev_cli_store_path(const lev_args *args, bool make, char *out, size_t size,
                              lev_error *err)
{
    const char *given = lev_args_text(args, "db");
    if (given == NULL)
        given = set_in("LEVIGATE_DB");
    const char *data = set_in("XDG_DATA_HOME"), *home = set_in("HOME");
    int n = 0;
    if (given != NULL)
        n = snprintf(out, size, "%s", given);
    else if (data != NULL && data[0] == '/')
        n = snprintf(out, size, "%s/levigate/levigate.db", data);
    else if (home != NULL)
        n = snprintf(out, size, "%s/.local/share/levigate/levigate.db", home);
    else
        return lev_fail(err, LEV_E_SYSTEM,
                        "no home folder is known; name the store with --db FILE");
    if (n < 1 || (size_t)n >= size)
        return lev_fail(err, LEV_E_USAGE, "the name of the store is empty or too long");
    return given == NULL && make ? make_folders(out, err) : LEV_OK;
}

/* What of the form fits whole; fields it does not name stay. */
static bool fits(const char *text, const char *form, struct tm *t)
{
    const char *end = strptime(text, form, t);
    return end != NULL && *end == '\0';
}

lev_status lev_cli_instant(const lev_args *args, int64_t *out, lev_error *err)
{
    const char *text = lev_args_text(args, "at");
    const time_t now = time(NULL);
    struct tm t = {0}, whole;
    *out = (int64_t)now;
    if (text == NULL)
        return LEV_OK;
    if (localtime_r(&now, &t) == NULL)
        return lev_fail(err, LEV_E_SYSTEM, "the clock cannot be read");
    t.tm_sec = 0;
    t.tm_isdst = -1;
    whole = t;
    if (!fits(text, "%Y-%m-%d %H:%M", &whole) &&
        !fits(text, "%Y-%m-%dT%H:%M", &whole)) {
        whole = t;
        if (fits(text, "%Y-%m-%d", &whole)) {
            whole.tm_hour = 12;
            whole.tm_min = 0;
        } else {
            whole = t;
            if (!fits(text, "%H:%M", &whole))
                return lev_fail(err, LEV_E_USAGE,
                                "--at \"%.40s\" should be a day and hour such as "
                                "\"2026-01-31 14:05\", or either alone",
                                text);
        }
    }
    whole.tm_isdst = -1;
    const time_t at = mktime(&whole);
    if (at > now)
        return lev_fail(err, LEV_E_USAGE, "--at \"%.40s\" is still to come", text);
    *out = (int64_t)at;
    return LEV_OK;
}

lev_status lev_cli_shop(const lev_args *args, bool write, char path[LEV_CLI_PATH],
                        lev_shop *out, lev_error *err)
{
    lev_status st = LEV_OK;
    int64_t now_s = 0;
    LEV_TRY(lev_cli_instant(args, &now_s, err));
    LEV_TRY(lev_cli_store_path(args, write, path, LEV_CLI_PATH, err));
    LEV_TRY(lev_shop_open(path, write, now_s, out, err));
out:
    return st;
}
