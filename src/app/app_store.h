/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Keeping the shop's store: everything out and in, copies, a check. */
#ifndef APP_STORE_H
#define APP_STORE_H

#include <jansson.h>

#include "levigate/store.h"
#include "text.h"

#define LEV_STORE_ACT_LIST(X)                                                          \
    X(LEV_STORE_EXPORT, "export")                                                      \
    X(LEV_STORE_IMPORT, "import")                                                      \
    X(LEV_STORE_BACKUP, "backup")                                                      \
    X(LEV_STORE_RESTORE, "restore")                                                    \
    X(LEV_STORE_CHECK, "check")

typedef enum lev_store_act {
#define LEV_STORE_ACT_ENUM(name, word) name,
    LEV_STORE_ACT_LIST(LEV_STORE_ACT_ENUM)
#undef LEV_STORE_ACT_ENUM
} lev_store_act;

typedef struct lev_store_ask {
    lev_store_act act;
    const char *store; /* path */
    const char *file;  /* export, import: NAME.json, or a folder of CSV files; backup,
                          restore: the copy; NULL for check */
    bool replace;      /* import: over what is there */
} lev_store_ask;

enum { LEV_STORE_TABLES_MAX = 32 };

typedef struct lev_store_reply {
    lev_store_act act;
    const char *store, *file;           /* borrowed from the request */
    int64_t rows[LEV_STORE_TABLES_MAX]; /* of each table; not for backup and restore */
    int64_t all;
    ptrdiff_t files; /* check: kept beside the store and whole */
    bool aside;      /* restore: the store was too damaged to open and was put aside */
} lev_store_reply;

/**
 * Do it.
 * @return LEV_OK; LEV_E_FORMAT with file, line and column for a file that does not fit;
 *         LEV_E_USAGE for a store that is not empty, a name that is taken; what
 *         lev_store_open says
 */
lev_status lev_app_store(const lev_store_ask *ask, lev_store_reply *out,
                         lev_error *err);

json_t *lev_app_store_json(const lev_store_reply *r, int *failed);
void lev_app_store_text(lev_text *t, const lev_store_reply *r);

/* Shared by the files of this verb. */

/** Every table into a file NAME.json or a folder of CSV files, at one instant. */
lev_status lev_store_export(lev_store *s, const char *path, lev_store_reply *r,
                            lev_error *err);
/** The same back, all or nothing. */
lev_status lev_store_import(lev_store *s, const char *path, bool replace,
                            lev_store_reply *r, lev_error *err);
bool lev_store_is_json(const char *path);

#define LEV_STORE_MARK_FILE "store_schema.csv" /* in a folder: what it is */

/* One column of a table by its number. */
typedef struct lev_store_column {
    char name[40];
    char kind; /* i, r or t */
    bool never_null;
} lev_store_column;
/** All columns of a table. */
void lev_store_columns(lev_store_table_info table,
                       lev_store_column out[LEV_STORE_COLUMNS]);

#endif
