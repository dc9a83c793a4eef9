/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows of tests/golden/FILE.csv: # lines and the header are skipped, quotes are
 * understood, cells are borrowed until the next row. */
#ifndef ROWS_H
#define ROWS_H

#include <stdlib.h>
#include <string.h>

#include "unit.h"

enum { GOLDEN_CELLS = 32 };

typedef struct golden {
    FILE *file;
    char line[4096];
    char *cell[GOLDEN_CELLS];
    int n, rows;
} golden;

static inline void golden_split(golden *g)
{
    char *p = g->line;
    g->n = 0;
    while (g->n < GOLDEN_CELLS) {
        const bool quoted = *p == '"';
        p += quoted;
        g->cell[g->n++] = p;
        p += strcspn(p, quoted ? "\"" : ",\n");
        if (quoted && *p == '"')
            *p++ = '\0';
        if (*p != ',')
            break;
        *p++ = '\0';
    }
    *p = '\0';
}

static inline golden golden_open(const char *name)
{
    golden g = {0};
    char path[1024];
    const char *const dir = getenv("GOLDEN");
    assert_non_null(dir);
    snprintf(path, sizeof path, "%s/%s", dir, name);
    g.file = fopen(path, "r");
    assert_non_null(g.file);
    return g;
}

/* false at the end, which closes the file and asserts that there were rows. */
static inline bool golden_next(golden *g)
{
    while (fgets(g->line, sizeof g->line, g->file) != NULL) {
        if (g->line[0] == '#')
            continue;
        g->rows++;
        golden_split(g);
        if (g->rows > 1)
            return true;
    }
    fclose(g->file);
    assert_true(g->rows > 1);
    return false;
}

static inline double golden_number(const golden *g, int i)
{
    double x = 0.0;
    assert_true(i < g->n);
    assert_true(lev_num_parse(g->cell[i], false, &x));
    return x;
}

#endif
