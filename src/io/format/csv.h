/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A table of numbers as read, before it is known to be a profile or a map. */
#ifndef FORMAT_CSV_H
#define FORMAT_CSV_H

#include "format.h"

enum { CSV_CELL_BYTES = 64 };

typedef struct csv_table {
    lev_cursor in;
    ptrdiff_t line;
    char parted;            /* what parts cells; 0: not known yet */
    bool named;             /* there was a heading */
    int headings;           /* its cells, without empty ones at the end */
    bool points;            /* some cell has a decimal point */
    bool tails;             /* some line does not end in an empty cell */
    int x_column, z_column; /* by name; -1: none */
    double x_um, z_um;      /* units of x and height in um; 0: not said */
    double dx_um, dy_um;    /* said in remarks; 0: not said */
    double *v;              /* values, line by line; of a named table x and z only */
    ptrdiff_t n, cap, rows, columns;
} csv_table;

lev_status csv_to_surface(const csv_table *t, const lev_surface_hint *hint,
                          lev_surface *out, lev_error *err);

#endif
