/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Schema files in order, each in one transaction under user_version; a copy of the old
 * store first. Two programs may come to it at once: whoever waits looks again. */
#include "store_own.h"

#include <stdio.h>

lev_status lev_store_copy(lev_store *s, sqlite3 *from, sqlite3 *to, lev_error *err)
{
    sqlite3_backup *b = sqlite3_backup_init(to, "main", from, "main");
    int rc = b != NULL ? sqlite3_backup_step(b, -1) : sqlite3_errcode(to);
    if (rc == SQLITE_DONE)
        rc = SQLITE_OK;
    const int last = sqlite3_backup_finish(b);
    if (rc == SQLITE_OK)
        rc = last;
    return rc == SQLITE_OK ? LEV_OK : lev_store_fail(s, rc, err);
}

/* FILE.schema-N; one from an attempt that failed is written over: it holds the same. */
static lev_status copy_old(lev_store *s, int version, lev_error *err)
{
    lev_status st = LEV_OK;
    char path[STORE_PATH + 32];
    sqlite3 *copy = NULL;
    (void)snprintf(path, sizeof path, "%s.schema-%d", s->path, version);
    const int rc = sqlite3_open_v2(path, &copy,
                                   SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, s->vfs);
    if (rc != SQLITE_OK)
        LEV_TRY(lev_store_fail(s, rc, err));
    LEV_TRY(lev_store_copy(s, s->db, copy, err));
out:
    (void)sqlite3_close(copy);
    return st;
}

static lev_status apply(lev_store *s, int number, lev_error *err)
{
    char mark[80];
    lev_status st = LEV_OK;
    int version = 0;
    LEV_TRY(lev_store_begin(s, err));
    int rc = lev_store_pragma_int(s->db, "PRAGMA user_version", &version);
    if (rc == SQLITE_OK && version < number) {
        rc = sqlite3_exec(s->db, lev_sql_schema[number - 1], NULL, NULL, NULL);
        (void)snprintf(mark, sizeof mark,
                       "PRAGMA application_id=%d; PRAGMA user_version=%d", 0x4C455647,
                       number);
        if (rc == SQLITE_OK)
            rc = sqlite3_exec(s->db, mark, NULL, NULL, NULL);
    }
    st = lev_store_end(s, rc == SQLITE_OK ? LEV_OK : lev_store_fail(s, rc, err), err);
out:
    return st;
}

lev_status lev_store_migrate(lev_store *s, lev_error *err)
{
    lev_status st = LEV_OK;
    int version = 0;
    const int rc = lev_store_pragma_int(s->db, "PRAGMA user_version", &version);
    if (rc != SQLITE_OK)
        LEV_TRY(lev_store_fail(s, rc, err));
    if (version > 0 && version < LEV_SQL_SCHEMAS)
        LEV_TRY(copy_old(s, version, err));
    for (int number = version + 1; number <= LEV_SQL_SCHEMAS; number++)
        LEV_TRY(apply(s, number, err));
out:
    return st;
}
