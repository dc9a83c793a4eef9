/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Keeping the store: check, settings, everything out and in. */
#include "store_own.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "mem.h"

/* ---- check ---- */

/* SQLite's complaints may have several lines; ours has one. */
static void one_line(const char *text, char out[200])
{
    size_t n = 0;
    for (; *text != '\0' && n + 1 < 200; text++)
        out[n++] = *text;
    out[n] = '\0';
    for (char *p = out; *p != '\0'; p++)
        if ((unsigned char)*p < 0x20)
            *p = ' ';
}

static lev_status first_complaint(lev_store *s, const char *pragma, bool ok_is_row,
                                  lev_error *err)
{
    lev_status st = LEV_OK;
    sqlite3_stmt *q = NULL;
    char said[200];
    int rc = sqlite3_prepare_v2(s->db, pragma, -1, &q, NULL);
    if (rc == SQLITE_OK)
        rc = sqlite3_step(q);
    if (rc == SQLITE_ROW) {
        const char *text = (const char *)sqlite3_column_text(q, 0);
        one_line(text != NULL ? text : "?", said);
        if (!ok_is_row || strcmp(said, "ok") != 0)
            st =
                lev_fail(err, LEV_E_IO,
                         "store is damaged: %.200s; `levigate store restore COPY` puts "
                         "a copy in its place",
                         said);
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

int lev_store_tables(void)
{
    return LEV_SQL_TABLES;
}

lev_store_table_info lev_store_table(int table)
{
    const lev_sql_table *t = &lev_sql_tables[table];
    return (lev_store_table_info){t->name, t->columns, t->kinds, t->columns_n};
}

lev_status lev_store_read_begin(lev_store *s, lev_error *err)
{
    return lev_store_run(s, LEV_SQL_BEGIN_READ, NULL, 0, NULL, err);
}

void lev_store_read_end(lev_store *s)
{
    (void)lev_store_run(s, LEV_SQL_ROLLBACK, NULL, 0, NULL, NULL);
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
    lev_store_value value[LEV_STORE_COLUMNS];
    const int n = lev_sql_tables[table].columns_n;
    int rc = n <= LEV_STORE_COLUMNS
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

/* Forget every row, last table first, for later tables point to earlier ones. */
static lev_status empty_tables(lev_store *s, lev_error *err)
{
    int rc = SQLITE_OK;
    for (int i = LEV_SQL_TABLES - 1; i >= 0 && rc == SQLITE_OK; i--)
        rc = sqlite3_exec(s->db, lev_sql_tables[i].empty, NULL, NULL, NULL);
    return rc == SQLITE_OK ? LEV_OK : lev_store_fail(s, rc, err);
}

static lev_status is_filled(lev_store *s, bool *filled, lev_error *err)
{
    lev_status st = LEV_OK;
    int rows = 0;
    for (int i = 0; i < LEV_SQL_TABLES; i++)
        LEV_TRY(lev_store_read_table(s, i, count_row, &rows, err));
    *filled = rows > 0;
out:
    return st;
}

static lev_status refuse_filled(lev_store *s, lev_error *err)
{
    (void)lev_fail(err, LEV_E_USAGE,
                   "store is not empty; import into a new one (--db), or let it be "
                   "replaced with --replace");
    return lev_fail_at(err, LEV_E_USAGE, s->path);
}

/* The copy is made before the writer's place is taken, for SQLite copies nothing out of
 * an open change; *before = data_version, by which a change in between is seen. */
static lev_status keep_filled(lev_store *s, bool replace, int *before, lev_error *err)
{
    lev_status st = LEV_OK;
    bool filled = false;
    const int rc = lev_store_pragma_int(s->db, "PRAGMA data_version", before);
    LEV_TRY(rc == SQLITE_OK ? LEV_OK : lev_store_fail(s, rc, err));
    LEV_TRY(is_filled(s, &filled, err));
    if (filled && !replace)
        LEV_TRY(refuse_filled(s, err));
    if (filled)
        LEV_TRY(lev_store_keep_before(s, "before-import", err));
out:
    return st;
}

lev_status lev_store_import_begin(lev_store *s, bool replace, lev_error *err)
{
    enum { TRIES = 5 };
    lev_status st = LEV_OK;
    int before = 0, now = -1;
    for (int i = 0; i < TRIES && now != before; i++) {
        if (s->importing)
            (void)lev_store_import_end(s, false, NULL);
        LEV_TRY(keep_filled(s, replace, &before, err));
        LEV_TRY(lev_store_begin(s, err));
        s->importing = true;
        const int rc = lev_store_pragma_int(s->db, "PRAGMA data_version", &now);
        LEV_TRY(rc == SQLITE_OK ? LEV_OK : lev_store_fail(s, rc, err));
    }
    if (now != before)
        LEV_TRY(lev_store_fail(s, SQLITE_BUSY, err));
    LEV_TRY(empty_tables(s, err));
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
