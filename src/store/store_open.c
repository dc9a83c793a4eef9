/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Opening a store. See levigate/store.h.
 *
 * The file is ours when its application_id says so; user_version is the schema. Reading
 * an absent store reads an empty one in memory, so that looking makes no file. */
#include "store_own.h"

#include <stdio.h>
#include <string.h>

#include "mem.h"

enum {
    APPLICATION_ID = 0x4C455647, /* "LEVG" */
    BUSY_MS = 5000,
    TRY_MS = 20
};

int lev_store_pragma_int(sqlite3 *db, const char *pragma, int *out)
{
    sqlite3_stmt *q = NULL;
    int rc = sqlite3_prepare_v2(db, pragma, -1, &q, NULL);
    if (rc == SQLITE_OK)
        rc = sqlite3_step(q);
    if (rc == SQLITE_ROW) {
        *out = sqlite3_column_int(q, 0);
        rc = SQLITE_OK;
    } else if (rc == SQLITE_DONE) {
        rc = SQLITE_ERROR;
    }
    const int last = sqlite3_finalize(q);
    return rc != SQLITE_OK ? rc : last;
}

/* Another program may be changing the journal this very moment: SQLite does not wait
 * there by itself. */
static int set_journal(sqlite3 *db, int busy_ms)
{
    int rc = SQLITE_BUSY;
    for (int waited = 0; rc == SQLITE_BUSY && waited <= busy_ms; waited += TRY_MS) {
        if (waited > 0)
            (void)sqlite3_sleep(TRY_MS);
        rc = sqlite3_exec(db, "PRAGMA journal_mode=WAL", NULL, NULL, NULL) & 0xff;
    }
    return rc;
}

static int set_up(lev_store *s, int busy_ms)
{
    int rc = sqlite3_busy_timeout(s->db, busy_ms);
    (void)sqlite3_extended_result_codes(s->db, 1);
    (void)sqlite3_db_config(s->db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    (void)sqlite3_db_config(s->db, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, NULL);
    if (rc == SQLITE_OK)
        rc = sqlite3_exec(s->db, "PRAGMA foreign_keys=ON", NULL, NULL, NULL);
    if (rc == SQLITE_OK && s->write)
        rc = set_journal(s->db, busy_ms);
    if (rc == SQLITE_OK && s->write)
        rc = sqlite3_exec(s->db, "PRAGMA synchronous=FULL", NULL, NULL, NULL);
    return rc;
}

/* The file may be anybody's: look before anything is written. */
static lev_status look_at(lev_store *s, int busy_ms, lev_error *err)
{
    int id = 0, version = 0, pages = 0;
    (void)sqlite3_busy_timeout(s->db, busy_ms);
    int rc = lev_store_pragma_int(s->db, "PRAGMA application_id", &id);
    if (rc == SQLITE_OK)
        rc = lev_store_pragma_int(s->db, "PRAGMA user_version", &version);
    if (rc == SQLITE_OK)
        rc = lev_store_pragma_int(s->db, "PRAGMA page_count", &pages);
    if (rc != SQLITE_OK)
        return lev_store_fail(s, rc, err);
    if (id != APPLICATION_ID && (id != 0 || version != 0 || pages > 1))
        return lev_fail_at(
            err,
            lev_fail(err, LEV_E_FORMAT,
                     "is a database of something else; give the store with --db"),
            s->path);
    if (version > LEV_SQL_SCHEMAS)
        return lev_fail_at(
            err,
            lev_fail(err, LEV_E_SYSTEM,
                     "store was written by a newer version of this program (schema %d, "
                     "this one knows %d); nothing was changed, bring the program up to "
                     "date",
                     version, LEV_SQL_SCHEMAS),
            s->path);
    if (version < LEV_SQL_SCHEMAS)
        s->write = true; /* an older store is brought up to date even to be read */
    return LEV_OK;
}

/* A folder that may not be written holds a store that nobody can be writing: it is read
 * without the files SQLite would put beside it. */
static int open_fixed(lev_store *s)
{
    char uri[3 * STORE_PATH + 32];
    size_t n = (size_t)snprintf(uri, sizeof uri, "file:");
    for (const char *p = s->path; *p != '\0' && n + 20 < sizeof uri; p++)
        n += strchr("%?#", *p) != NULL
                 ? (size_t)snprintf(uri + n, 4, "%%%02X", (unsigned)*p)
                 : (size_t)snprintf(uri + n, 2, "%c", *p);
    (void)snprintf(uri + n, sizeof uri - n, "?immutable=1");
    (void)sqlite3_close(s->db);
    s->db = NULL;
    return sqlite3_open_v2(uri, &s->db, SQLITE_OPEN_READONLY | SQLITE_OPEN_URI, s->vfs);
}

/* Open for reading; *absent when there is no such file. Another program that closes the
 * store holds it alone for a moment, so the first look waits too. */
static int open_reading(lev_store *s, int busy_ms, int *absent)
{
    int there = 0, log = 0, version = 0;
    sqlite3_vfs *vfs = sqlite3_vfs_find(s->vfs);
    char beside[STORE_PATH + 8];
    (void)snprintf(beside, sizeof beside, "%s-wal", s->path);
    if (vfs == NULL)
        return SQLITE_MISUSE;
    (void)vfs->xAccess(vfs, s->path, SQLITE_ACCESS_EXISTS, &there);
    (void)vfs->xAccess(vfs, beside, SQLITE_ACCESS_EXISTS, &log);
    *absent = !there;
    if (!there)
        return sqlite3_open_v2(":memory:", &s->db,
                               SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, NULL);
    int rc = sqlite3_open_v2(s->path, &s->db, SQLITE_OPEN_READWRITE, s->vfs);
    if (rc == SQLITE_OK)
        rc = sqlite3_busy_timeout(s->db, busy_ms);
    if (rc == SQLITE_OK)
        rc = lev_store_pragma_int(s->db, "PRAGMA user_version", &version) & 0xff;
    if ((rc == SQLITE_CANTOPEN || rc == SQLITE_READONLY) && !log)
        rc = open_fixed(s);
    return rc;
}

static lev_status open_database(lev_store *s, const lev_store_options *o,
                                lev_error *err)
{
    int absent = 0;
    const int busy_ms = o->busy_ms > 0 ? o->busy_ms : BUSY_MS;
    int rc = s->write
                 ? sqlite3_open_v2(s->path, &s->db,
                                   SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, s->vfs)
                 : open_reading(s, busy_ms, &absent);
    if (rc != SQLITE_OK)
        return lev_store_fail(s, rc, err);
    if (s->write && sqlite3_db_readonly(s->db, "main") == 1)
        return lev_store_fail(s, SQLITE_READONLY, err);
    if (absent)
        s->write = true; /* into memory only */
    const lev_status st = look_at(s, busy_ms, err);
    if (st < 0)
        return st;
    rc = set_up(s, busy_ms);
    return rc == SQLITE_OK ? lev_store_migrate(s, err) : lev_store_fail(s, rc, err);
}

lev_status lev_store_open(const char *path, const lev_store_options *o, lev_store **out,
                          lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    lev_store *s = NULL;
    LEV_TRY(lev_mem_new(1, sizeof *s, &p, err));
    s = p;
    if (snprintf(s->path, sizeof s->path, "%s", path) >= (int)sizeof s->path - 32)
        LEV_TRY(lev_fail(err, LEV_E_LIMIT, "path of the store is too long"));
    s->write = o->write;
    s->vfs = o->vfs;
    LEV_TRY(open_database(s, o, err));
    s->write = o->write;
    *out = s;
    s = NULL;
out:
    lev_store_close(s);
    return st;
}

void lev_store_close(lev_store *s)
{
    if (s == NULL)
        return;
    for (int i = 0; i < LEV_SQL_N; i++)
        (void)sqlite3_finalize(s->stmt[i]);
    for (int i = 0; i < LEV_SQL_TABLES; i++)
        (void)sqlite3_finalize(s->import[i]);
    (void)sqlite3_close(s->db);
    lev_mem_free(s);
}

int lev_store_schema(void)
{
    return LEV_SQL_SCHEMAS;
}
