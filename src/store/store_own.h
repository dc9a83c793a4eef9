/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of the store share. Statements are prepared once and kept; a statement
 * in use is reset by whoever took it, on every way out. */
#ifndef STORE_OWN_H
#define STORE_OWN_H

#include <sqlite3.h>

#include "lev_sql.h"
#include "levigate/store.h"

enum { STORE_PATH = 4096 };

struct lev_store {
    sqlite3 *db;
    sqlite3_stmt *stmt[LEV_SQL_N];
    char path[STORE_PATH];
    const char *vfs;
    bool write, importing;
    sqlite3_stmt *import[LEV_SQL_TABLES];
};

/* One parameter of a statement. */
typedef struct store_bind {
    const char *name;
    enum { STORE_BIND_INT, STORE_BIND_REAL, STORE_BIND_TEXT } kind;
    int64_t i;
    double real; /* NaN binds NULL */
    const char *text;
} store_bind;

#define BIND_INT(n, v)                                                                 \
    {                                                                                  \
        .name = ":" n, .kind = STORE_BIND_INT, .i = (v)                                \
    }
#define BIND_REAL(n, v)                                                                \
    {                                                                                  \
        .name = ":" n, .kind = STORE_BIND_REAL, .real = (v)                            \
    }
#define BIND_TEXT(n, v)                                                                \
    {                                                                                  \
        .name = ":" n, .kind = STORE_BIND_TEXT, .text = (v)                            \
    }
#define BINDS(...)                                                                     \
    (const store_bind[]){__VA_ARGS__},                                                 \
        (int)(sizeof((const store_bind[]){__VA_ARGS__}) / sizeof(store_bind))

/** What went wrong with SQLite, as one line about the store. */
lev_status lev_store_fail(lev_store *s, int rc, lev_error *err);

/** Take a statement with its parameters bound. */
lev_status lev_store_take(lev_store *s, lev_sql id, const store_bind *b, int n,
                          sqlite3_stmt **out, lev_error *err);
/** One step: *row = there is a row. */
lev_status lev_store_advance(lev_store *s, sqlite3_stmt *q, bool *row, lev_error *err);
/** Give a statement back; NULL allowed. */
void lev_store_give(sqlite3_stmt *q);
/** Take, run to the end, give back; *changed (may be NULL) = rows changed. */
lev_status lev_store_run(lev_store *s, lev_sql id, const store_bind *b, int n,
                         int *changed, lev_error *err);

/* A row as it is read; each takes the next column. */
typedef struct store_row {
    sqlite3_stmt *q;
    int at;
} store_row;
int64_t lev_store_int(store_row *r);
double lev_store_real(store_row *r);      /* NULL is NaN */
const char *lev_store_text(store_row *r); /* NULL is "" */

/* Called for each row; anything but 0 ends the list. */
typedef int store_row_fn(void *to, store_row *r);
/** Every row of a statement to `each`; *seen (may be NULL) = rows there were. */
lev_status lev_store_each(lev_store *s, lev_sql id, const store_bind *b, int n,
                          store_row_fn *each, void *to, int *seen, lev_error *err);

/** A transaction: nothing stays unless commit says LEV_OK. lev_store_end commits when
 * st >= 0, else rolls back, and returns the first failure. */
lev_status lev_store_begin(lev_store *s, lev_error *err);
lev_status lev_store_end(lev_store *s, lev_status st, lev_error *err);

/** Bring the schema up to date (store_migrate.c). */
lev_status lev_store_migrate(lev_store *s, lev_error *err);
/** Whole copy from one database to another, in one go. */
lev_status lev_store_copy(lev_store *s, sqlite3 *from, sqlite3 *to, lev_error *err);
/** Copy of the store as it is, beside it, named FILE.word; replaces an earlier one. */
lev_status lev_store_keep_before(lev_store *s, const char *word, lev_error *err);
int lev_store_pragma_int(sqlite3 *db, const char *pragma, int *out);

#endif
