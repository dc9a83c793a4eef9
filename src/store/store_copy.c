/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole copies: made, put back, and put in the place of a store too damaged to open. */
#include "store_own.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

static lev_status open_other(lev_store *s, const char *path, int flags, sqlite3 **out,
                             lev_error *err)
{
    lev_status st = LEV_OK;
    const int rc = sqlite3_open_v2(path, out, flags, s->vfs);
    if (rc != SQLITE_OK)
        st = lev_fail(err, LEV_E_IO, "cannot be opened: %s", sqlite3_errstr(rc));
    return lev_fail_at(err, st, path);
}

lev_status lev_store_backup(lev_store *s, const char *path, lev_error *err)
{
    lev_status st = LEV_OK;
    sqlite3 *copy = NULL;
    int there = 0;
    sqlite3_vfs *vfs = sqlite3_vfs_find(s->vfs);
    if (vfs != NULL)
        (void)vfs->xAccess(vfs, path, SQLITE_ACCESS_EXISTS, &there);
    if (there) {
        (void)lev_fail(err, LEV_E_USAGE, "is there already; give the copy a new name");
        return lev_fail_at(err, LEV_E_USAGE, path);
    }
    LEV_TRY(
        open_other(s, path, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, &copy, err));
    LEV_TRY(lev_store_copy(s, s->db, copy, err));
out:
    (void)sqlite3_close(copy);
    return st;
}

lev_status lev_store_keep_before(lev_store *s, const char *word, lev_error *err)
{
    char before[STORE_PATH + 32];
    sqlite3_vfs *vfs = sqlite3_vfs_find(s->vfs);
    (void)snprintf(before, sizeof before, "%s.%s", s->path, word);
    if (vfs != NULL) /* the newest one is the one worth having */
        (void)vfs->xDelete(vfs, before, 0);
    return lev_store_backup(s, before, err);
}

/* Open a copy for reading and see that it is whole. */
static lev_status open_copy(const char *path, const char *vfs_name, lev_store **out,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    lev_store *copy = NULL;
    sqlite3_vfs *vfs = sqlite3_vfs_find(vfs_name);
    int there = 0;
    if (vfs != NULL)
        (void)vfs->xAccess(vfs, path, SQLITE_ACCESS_EXISTS, &there);
    if (!there) {
        (void)lev_fail(err, LEV_E_IO, "copy is not there");
        LEV_TRY(lev_fail_at(err, LEV_E_IO, path));
    }
    LEV_TRY(lev_store_open(path, &(lev_store_options){.vfs = vfs_name}, &copy, err));
    LEV_TRY(lev_store_check(copy, err));
    *out = copy;
    copy = NULL;
out:
    lev_store_close(copy);
    return lev_fail_at(err, st, path);
}

lev_status lev_store_restore(lev_store *s, const char *path, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_store *copy = NULL;
    int pages = 0;
    LEV_TRY(open_copy(path, s->vfs, &copy, err));
    (void)lev_store_pragma_int(s->db, "PRAGMA page_count", &pages);
    if (pages > 0)
        LEV_TRY(lev_store_keep_before(s, "before-restore", err));
    for (int i = 0; i < LEV_SQL_N; i++) {
        (void)sqlite3_finalize(s->stmt[i]);
        s->stmt[i] = NULL;
    }
    LEV_TRY(lev_store_copy(s, copy->db, s->db, err));
out:
    lev_store_close(copy);
    return st;
}

/* So damaged that SQLite does not read it; not merely locked, full or forbidden. */
static bool is_unreadable(const char *path, const char *vfs)
{
    sqlite3 *db = NULL;
    int version = 0;
    int rc = sqlite3_open_v2(path, &db, SQLITE_OPEN_READWRITE, vfs);
    if (rc == SQLITE_OK)
        rc = lev_store_pragma_int(db, "PRAGMA schema_version", &version);
    if (rc == SQLITE_OK) {
        (void)sqlite3_db_config(db, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, NULL);
        rc = lev_store_pragma_int(db, "PRAGMA table_list", &version);
    }
    (void)sqlite3_close(db);
    return (rc & 0xff) == SQLITE_CORRUPT || (rc & 0xff) == SQLITE_NOTADB;
}

/* The file and what SQLite keeps beside it get another name, so that nothing is lost
 * that a specialist could still read. */
static lev_status put_aside(const char *path, lev_error *err)
{
    static const char *const ends[] = {"", "-wal", "-shm"};
    char from[STORE_PATH + 8], to[STORE_PATH + 32];
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        (void)snprintf(from, sizeof from, "%s%s", path, ends[i]);
        (void)snprintf(to, sizeof to, "%s.damaged%s", path, ends[i]);
        if (rename(from, to) != 0 && errno != ENOENT) {
            (void)lev_fail(err, LEV_E_IO, "cannot be put aside: %s", strerror(errno));
            return lev_fail_at(err, LEV_E_IO, path);
        }
    }
    return LEV_OK;
}

lev_status lev_store_restore_file(const char *path, const lev_store_options *o,
                                  const char *copy, bool *aside, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_store *s = NULL, *checked = NULL;
    lev_store_options write = *o;
    write.write = true;
    *aside = false;
    LEV_TRY(open_copy(copy, o->vfs, &checked, err));
    st = lev_store_open(path, &write, &s, err);
    if (st == LEV_E_IO && strlen(path) < STORE_PATH && is_unreadable(path, o->vfs)) {
        LEV_TRY(put_aside(path, err));
        *aside = true;
        if (err != NULL)
            *err = (lev_error){0};
        st = lev_store_open(path, &write, &s, err);
    }
    LEV_TRY(st);
    LEV_TRY(lev_store_restore(s, copy, err));
out:
    lev_store_close(checked);
    lev_store_close(s);
    return st;
}
