/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the parts of mkdata share: the tables as read (mkdata_csv.c), checked
 * (mkdata_check.c) and written (mkdata_emit.c). All text is borrowed from one chain of
 * blocks that lives until release_all().
 */
#ifndef MKDATA_H
#define MKDATA_H

#include <stdbool.h>
#include <stddef.h>

enum { MAX_COLUMNS = 64, MAX_TABLES = 128 };

typedef enum kind { TEXT, ID, KEY, INT, REAL, UNIT, FLAG, MARK, SOURCE, N_KINDS } kind;

typedef struct column {
    const char *name;
    const char *arg; /* unit of a real, table a key points to; or NULL */
    kind kind;
    bool required;
} column;

typedef struct row {
    char **cell;
    int n;
    int line;
    const char *file;
} row;

typedef struct table {
    const char *name;
    const char *file; /* where the header stands first */
    int line;
    column col[MAX_COLUMNS];
    int n_col;
    row *row;
    int n_row, cap;
} table;

typedef struct base {
    table tab[MAX_TABLES];
    int n;
} base;

/* Zeroed memory that lives until release_all(); ends the program when there is none. */
void *take(size_t size);
void release_all(void);

/* End the program with one line: where, what (fmt), what would be right. */
_Noreturn void refuse(const char *file, int line, const char *right, const char *fmt,
                      ...);
_Noreturn void refuse_file(const char *file, const char *what, const char *right);

/* Adds the rows of one CSV file to its table. */
void read_file(base *b, const char *file);

table *find_table(base *b, const char *name);                /* or NULL */
const column *find_column(const table *t, const char *name); /* or NULL */
int find_id(const table *t, const char *id); /* row by first column, -1 if none */
int find_mark(const char *text); /* value of the enum lev_mark, -1 if none */

/* The cell of a row by column name; the column must exist. */
const char *cell_of(const table *t, const row *r, const char *name);

/* Every rule of data/README.md; then what is odd but allowed, as warnings. */
void check_base(base *b);
void warn_base(base *b);

/* Writes lev_tables.c and lev_tables.h into dir. */
void write_base(const char *dir, base *b);

#endif
