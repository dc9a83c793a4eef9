/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Statements, rows, transactions, and what SQLite's codes mean for a person. */
#include "store_own.h"

#include <math.h>
#include <string.h>

lev_status lev_store_fail(lev_store *s, int rc, lev_error *err)
{
    lev_status st = LEV_E_IO;
    switch (rc & 0xff) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        st = lev_fail(err, LEV_E_SYSTEM,
                      "store is in use by another program; nothing was changed, try "
                      "again when that is done");
        break;
    case SQLITE_FULL:
        st = lev_fail(err, LEV_E_IO,
                      "disk is full; nothing was changed, make room and "
                      "try again");
        break;
    case SQLITE_READONLY:
    case SQLITE_PERM:
        st = lev_fail(err, LEV_E_IO,
                      "store may only be read, not written; check the "
                      "permissions of the file and its folder");
        break;
    case SQLITE_CANTOPEN:
        st = lev_fail(err, LEV_E_IO,
                      "store cannot be opened; check that the folder is "
                      "there and may be written");
        break;
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
        st =
            lev_fail(err, LEV_E_IO,
                     "store is damaged or no store (%s); `levigate store restore COPY` "
                     "puts a copy in its place",
                     sqlite3_errstr(rc & 0xff));
        break;
    case SQLITE_NOMEM:
        st = lev_fail(err, LEV_E_MEMORY, "out of memory");
        break;
    case SQLITE_CONSTRAINT:
        st = lev_fail(err, LEV_E_RANGE, "refused by a rule of the store: %.200s",
                      s->db != NULL ? sqlite3_errmsg(s->db) : "");
        break;
    default:
        st = lev_fail(err, LEV_E_IO, "store failed: %.200s (code %d)",
                      s->db != NULL ? sqlite3_errmsg(s->db) : sqlite3_errstr(rc), rc);
    }
    return lev_fail_at(err, st, s->path);
}

static int bind_one(sqlite3_stmt *q, const store_bind *b)
{
    const int at = sqlite3_bind_parameter_index(q, b->name);
    if (at == 0)
        return SQLITE_MISUSE;
    switch (b->kind) {
    case STORE_BIND_INT:
        return sqlite3_bind_int64(q, at, b->i);
    case STORE_BIND_REAL:
        return isnan(b->real) ? sqlite3_bind_null(q, at)
                              : sqlite3_bind_double(q, at, b->real);
    case STORE_BIND_TEXT:
        break;
    }
    return sqlite3_bind_text(q, at, b->text != NULL ? b->text : "", -1,
                             SQLITE_TRANSIENT);
}

lev_status lev_store_take(lev_store *s, lev_sql id, const store_bind *b, int n,
                          sqlite3_stmt **out, lev_error *err)
{
    int rc = SQLITE_OK;
    if (s->stmt[id] == NULL)
        rc = sqlite3_prepare_v3(s->db, lev_sql_text[id], -1, SQLITE_PREPARE_PERSISTENT,
                                &s->stmt[id], NULL);
    for (int i = 0; i < n && rc == SQLITE_OK; i++)
        rc = bind_one(s->stmt[id], &b[i]);
    *out = rc == SQLITE_OK ? s->stmt[id] : NULL;
    return rc == SQLITE_OK ? LEV_OK : lev_store_fail(s, rc, err);
}

void lev_store_give(sqlite3_stmt *q)
{
    if (q == NULL)
        return;
    (void)sqlite3_reset(q); /* repeats the failure of the step, already reported */
    (void)sqlite3_clear_bindings(q);
}

lev_status lev_store_advance(lev_store *s, sqlite3_stmt *q, bool *row, lev_error *err)
{
    const int rc = sqlite3_step(q);
    *row = rc == SQLITE_ROW;
    return rc == SQLITE_ROW || rc == SQLITE_DONE ? LEV_OK : lev_store_fail(s, rc, err);
}

lev_status lev_store_run(lev_store *s, lev_sql id, const store_bind *b, int n,
                         int *changed, lev_error *err)
{
    lev_status st = LEV_OK;
    sqlite3_stmt *q = NULL;
    bool row = true;
    LEV_TRY(lev_store_take(s, id, b, n, &q, err));
    while (row)
        LEV_TRY(lev_store_advance(s, q, &row, err));
    if (changed != NULL)
        *changed = sqlite3_changes(s->db);
out:
    lev_store_give(q);
    return st;
}

int64_t lev_store_int(store_row *r)
{
    return sqlite3_column_int64(r->q, r->at++);
}

double lev_store_real(store_row *r)
{
    const int at = r->at++;
    if (sqlite3_column_type(r->q, at) == SQLITE_NULL)
        return NAN;
    return sqlite3_column_double(r->q, at);
}

const char *lev_store_text(store_row *r)
{
    const unsigned char *s = sqlite3_column_text(r->q, r->at++);
    return s != NULL ? (const char *)s : "";
}

lev_status lev_store_each(lev_store *s, lev_sql id, const store_bind *b, int n,
                          store_row_fn *each, void *to, int *seen, lev_error *err)
{
    lev_status st = LEV_OK;
    sqlite3_stmt *q = NULL;
    bool row = false;
    int rows = 0;
    LEV_TRY(lev_store_take(s, id, b, n, &q, err));
    LEV_TRY(lev_store_advance(s, q, &row, err));
    while (row) {
        store_row r = {.q = q};
        rows++;
        if (each(to, &r) != 0)
            break;
        LEV_TRY(lev_store_advance(s, q, &row, err));
    }
out:
    lev_store_give(q);
    if (seen != NULL)
        *seen = rows;
    return st;
}

lev_status lev_store_begin(lev_store *s, lev_error *err)
{
    if (!s->write)
        return lev_fail(err, LEV_E_SYSTEM, "store was opened for reading only");
    return lev_store_run(s, LEV_SQL_BEGIN, NULL, 0, NULL, err);
}

lev_status lev_store_end(lev_store *s, lev_status st, lev_error *err)
{
    if (st >= 0)
        st = lev_store_run(s, LEV_SQL_COMMIT, NULL, 0, NULL, err);
    if (st < 0 && sqlite3_get_autocommit(s->db) == 0)
        (void)lev_store_run(s, LEV_SQL_ROLLBACK, NULL, 0, NULL,
                            NULL); /* st is the news */
    return st;
}
