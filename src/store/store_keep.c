/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Keeping the store: check, copies, settings, everything out and in. */
#include "store_own.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "mem.h"

/* ---- check ---- */

static lev_status first_complaint(lev_store *s, const char *pragma, bool ok_is_row,
                                  lev_error *err)
{
    lev_status st = LEV_OK;
    sqlite3_stmt *q = NULL;
    int rc = sqlite3_prepare_v2(s->db, pragma, -1, &q, NULL);
    if (rc == SQLITE_OK)
        rc = sqlite3_step(q);
    if (rc == SQLITE_ROW) {
        const char *text = (const char *)sqlite3_column_text(q, 0);
        if (!ok_is_row || text == NULL || strcmp(text, "ok") != 0)
            st =
                lev_fail(err, LEV_E_IO,
                         "store is damaged: %.200s; `levigate store restore COPY` puts "
                         "a copy in its place",
                         text != NULL ? text : "?");
    } else if (rc != SQLITE_DONE) {
        st = lev_store_fail(s, rc, err);
    }
    (void)sqlite3_finalize(q);
    return lev_fail_at(err, st, s->path);
}

lev_status lev_store_check(lev_store *s, lev_error *err)
{
    const lev_status st = first_complaint(s, "PRAGMA integrity_check(1)", true, err);
    return st < 0 ? st : first_complaint(s, "PRAGMA foreign_key_check", false, err);
}

/* ---- copies ---- */

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

lev_status lev_store_restore(lev_store *s, const char *path, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_store *copy = NULL;
    char before[STORE_PATH + 32];
    const lev_store_options read = {.vfs = s->vfs};
    sqlite3_vfs *vfs = sqlite3_vfs_find(s->vfs);
    int there = 0, empty = 0;
    if (vfs != NULL)
        (void)vfs->xAccess(vfs, path, SQLITE_ACCESS_EXISTS, &there);
    if (!there)
        LEV_TRY(lev_fail(err, LEV_E_IO, "copy \"%.200s\" is not there", path));
    LEV_TRY(lev_store_open(path, &read, &copy, err));
    LEV_TRY(lev_store_check(copy, err));
    (void)snprintf(before, sizeof before, "%s.before-restore", s->path);
    if (vfs != NULL) /* the newest one before is the one worth having */
        (void)vfs->xDelete(vfs, before, 0);
    (void)lev_store_pragma_int(s->db, "PRAGMA page_count", &empty);
    if (empty > 0)
        LEV_TRY(lev_store_backup(s, before, err));
    for (int i = 0; i < LEV_SQL_N; i++) {
        (void)sqlite3_finalize(s->stmt[i]);
        s->stmt[i] = NULL;
    }
    LEV_TRY(lev_store_copy(s, copy->db, s->db, err));
out:
    lev_store_close(copy);
    return st;
}

/* ---- settings ---- */

static int take_text(void *to, store_row *r)
{
    char **out = to;
    const char *s = lev_store_text(r);
    return lev_mem_text(s, strlen(s), out, NULL) < 0 ? 1 : 0;
}

lev_status lev_store_get(lev_store *s, const char *key, char **out, lev_error *err)
{
    lev_status st = LEV_OK;
    char *value = NULL;
    int seen = 0;
    LEV_TRY(lev_store_each(s, LEV_SQL_SHOP_GET, BINDS(BIND_TEXT("key", key)), take_text,
                           &value, &seen, err));
    if (seen == 0)
        LEV_TRY(lev_mem_text("", 0, &value, err));
    if (value == NULL)
        LEV_TRY(lev_fail(err, LEV_E_MEMORY, "out of memory"));
    *out = value;
out:
    return st;
}

lev_status lev_store_set(lev_store *s, const char *key, const char *value,
                         lev_error *err)
{
    lev_status st = lev_store_begin(s, err);
    if (st < 0)
        return st;
    st = lev_store_run(s, LEV_SQL_SHOP_SET,
                       BINDS(BIND_TEXT("key", key), BIND_TEXT("value", value)), NULL,
                       err);
    return lev_store_end(s, st, err);
}

void lev_store_text_free(char *text)
{
    lev_mem_free(text);
}

/* ---- everything ---- */

enum { COLUMNS_MAX = 40 };

int lev_store_tables(void)
{
    return LEV_SQL_TABLES;
}

const char *lev_store_table(int table, const char **columns, int *columns_n)
{
    *columns = lev_sql_tables[table].columns;
    *columns_n = lev_sql_tables[table].columns_n;
    return lev_sql_tables[table].name;
}

static lev_store_value value_at(sqlite3_stmt *q, int i)
{
    lev_store_value v = {.text = ""};
    switch (sqlite3_column_type(q, i)) {
    case SQLITE_INTEGER:
        v.kind = LEV_STORE_INT;
        v.i = sqlite3_column_int64(q, i);
        break;
    case SQLITE_FLOAT:
        v.kind = LEV_STORE_REAL;
        v.real = sqlite3_column_double(q, i);
        break;
    case SQLITE_TEXT:
        v.kind = LEV_STORE_TEXT;
        v.text = (const char *)sqlite3_column_text(q, i);
        break;
    default:
        break;
    }
    return v;
}

lev_status lev_store_read_table(lev_store *s, int table, lev_store_row_fn *see,
                                void *to, lev_error *err)
{
    lev_status st = LEV_OK;
    sqlite3_stmt *q = NULL;
    lev_store_value value[COLUMNS_MAX];
    const int n = lev_sql_tables[table].columns_n;
    int rc = n <= COLUMNS_MAX
                 ? sqlite3_prepare_v2(s->db, lev_sql_tables[table].read, -1, &q, NULL)
                 : SQLITE_TOOBIG;
    if (rc == SQLITE_OK)
        rc = sqlite3_step(q);
    while (rc == SQLITE_ROW) {
        for (int i = 0; i < n; i++)
            value[i] = value_at(q, i);
        if (see(to, value, n) != 0)
            break;
        rc = sqlite3_step(q);
    }
    if (rc != SQLITE_ROW && rc != SQLITE_DONE)
        st = lev_store_fail(s, rc, err);
    (void)sqlite3_finalize(q);
    return st;
}

static int count_row(void *to, const lev_store_value *value, int n)
{
    (void)value;
    (void)n;
    *(int *)to += 1;
    return 1;
}

lev_status lev_store_import_begin(lev_store *s, lev_error *err)
{
    lev_status st = LEV_OK;
    int rows = 0;
    LEV_TRY(lev_store_begin(s, err));
    s->importing = true;
    for (int i = 0; i < LEV_SQL_TABLES; i++)
        LEV_TRY(lev_store_read_table(s, i, count_row, &rows, err));
    if (rows > 0)
        st = lev_fail_at(err,
                         lev_fail(err, LEV_E_USAGE,
                                  "store is not empty; import goes "
                                  "into a new one, give its name "
                                  "with --db"),
                         s->path);
out:
    if (st < 0 && s->importing)
        (void)lev_store_import_end(s, false, NULL);
    return st;
}

static int bind_value(sqlite3_stmt *q, int at, const lev_store_value *v)
{
    switch (v->kind) {
    case LEV_STORE_INT:
        return sqlite3_bind_int64(q, at, v->i);
    case LEV_STORE_REAL:
        return isfinite(v->real) ? sqlite3_bind_double(q, at, v->real)
                                 : SQLITE_MISMATCH;
    case LEV_STORE_TEXT:
        return sqlite3_bind_text(q, at, v->text, -1, SQLITE_TRANSIENT);
    case LEV_STORE_NULL:
        break;
    }
    return sqlite3_bind_null(q, at);
}

lev_status lev_store_import_row(lev_store *s, int table, const lev_store_value *value,
                                int n, lev_error *err)
{
    int rc = SQLITE_OK;
    if (n != lev_sql_tables[table].columns_n)
        return lev_fail(err, LEV_E_FORMAT, "table %s has %d columns, not %d",
                        lev_sql_tables[table].name, lev_sql_tables[table].columns_n, n);
    if (s->import[table] == NULL)
        rc = sqlite3_prepare_v2(s->db, lev_sql_tables[table].write, -1,
                                &s->import[table], NULL);
    for (int i = 0; i < n && rc == SQLITE_OK; i++)
        rc = bind_value(s->import[table], i + 1, &value[i]);
    if (rc == SQLITE_OK)
        rc = sqlite3_step(s->import[table]);
    if (rc == SQLITE_DONE)
        rc = SQLITE_OK;
    const lev_status st =
        rc == SQLITE_OK ? LEV_OK
        : (rc & 0xff) == SQLITE_CONSTRAINT || (rc & 0xff) == SQLITE_MISMATCH
            ? lev_fail(err, LEV_E_FORMAT, "table %s: %.200s",
                       lev_sql_tables[table].name, sqlite3_errmsg(s->db))
            : lev_store_fail(s, rc, err);
    (void)sqlite3_reset(s->import[table]);
    return st;
}

lev_status lev_store_import_end(lev_store *s, bool keep, lev_error *err)
{
    s->importing = false;
    if (keep)
        return lev_store_end(s, LEV_OK, err);
    (void)lev_store_end(s, LEV_E_CANCEL, NULL);
    return LEV_OK;
}
