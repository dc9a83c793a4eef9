/* SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV as RFC 4180 has it, with the difference that matters to us: a cell in quotes is a
 * text, an empty one without quotes is nothing at all. Comma, semicolon or tab part the
 * cells, whichever stands first in the first line. */
#ifndef IO_CSV_IO_H
#define IO_CSV_IO_H

#include <stdbool.h>

#include "file.h"
#include "text.h"

enum { LEV_CSV_CELLS = 64 };

typedef struct lev_csv_cell {
    const char *text; /* zero-terminated, in the reader's memory */
    bool quoted;
    int line, column; /* where it begins, from 1 */
} lev_csv_cell;

typedef struct lev_csv {
    const char *name; /* file, for messages */
    lev_bytes bytes;
    size_t at;
    int line, column;
    char part;
    lev_csv_cell cell[LEV_CSV_CELLS];
    int cells;
} lev_csv;

/** Read from bytes (taken over, changed in place). LEV_E_FORMAT when they are no UTF-8
 * text. A byte order mark is passed over. */
lev_status lev_csv_open(lev_csv *c, const char *name, lev_bytes *bytes, lev_error *err);
void lev_csv_release(lev_csv *c);

/** Next row into cell[0..cells); *row = false at the end. Blank lines are passed over.
 * LEV_E_FORMAT with line:column. */
lev_status lev_csv_next(lev_csv *c, bool *row, lev_error *err);

/** Fail at a place of this file. */
lev_status lev_csv_fail_at(const lev_csv *c, int line, int column, lev_status st,
                           lev_error *err);

/** Add a text as a cell in quotes. */
void lev_csv_put_text(lev_text *t, const char *s);

#endif
