/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading the reference data under tests/golden: columns of CSV files and numbers of
 * JSON files by path. The folder comes from the environment (GOLDEN). */
#ifndef GOLDEN_H
#define GOLDEN_H

#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "file.h"
#include "levigate/surface.h"
#include "unit.h"

static inline void golden_path(const char *name, char out[512])
{
    const char *folder = getenv("GOLDEN");
    (void)snprintf(out, 512, "%s/%s", folder != NULL ? folder : "tests/golden", name);
}

static inline json_t *golden_json(const char *name)
{
    char path[512];
    json_error_t e;
    golden_path(name, path);
    json_t *j = json_load_file(path, 0, &e);
    if (j == NULL)
        fail_msg("%s: %s", path, e.text);
    return j;
}

/* Number at a path of keys parted by dots, array places as numbers; NaN if absent. */
static inline double golden_number(const json_t *j, const char *path)
{
    char key[128];
    while (*path != '\0' && j != NULL) {
        const size_t n = strcspn(path, ".");
        (void)snprintf(key, sizeof key, "%.*s", (int)n, path);
        j = json_is_array(j) ? json_array_get(j, (size_t)atoi(key))
                             : json_object_get(j, key);
        path += n + (path[n] == '.');
    }
    if (json_is_string(j))
        return strtod(json_string_value(j), NULL);
    return json_is_number(j) ? json_number_value(j) : (double)NAN;
}

/* Column `column` (from 0) of a CSV file; lines that do not begin with a number or a
 * comma are skipped, empty cells are NaN. Returns the number of rows. */
static inline ptrdiff_t golden_column(const char *name, int column, double **out)
{
    char path[512];
    lev_error err = {0};
    lev_bytes b = {0};
    golden_path(name, path);
    assert_ok(lev_bytes_read(path, 1 << 26, &b, &err), &err);
    double *x = calloc(b.n + 1, sizeof *x);
    ptrdiff_t n = 0;
    for (char *line = strtok(b.data, "\r\n"); line != NULL;
         line = strtok(NULL, "\r\n")) {
        if (strchr("-+.,0123456789", *line) == NULL)
            continue;
        const char *cell = line;
        for (int i = 0; i < column && cell != NULL; i++) {
            cell = strchr(cell, ',');
            cell = cell != NULL ? cell + 1 : NULL;
        }
        char *end = NULL;
        const double v = cell != NULL ? strtod(cell, &end) : 0.0;
        x[n++] = cell == NULL || end == cell ? (double)NAN : v;
    }
    lev_bytes_release(&b);
    *out = x;
    return n;
}

static inline void golden_trace(const char *name, double dx_um, int column,
                                lev_trace *t)
{
    double *z = NULL;
    lev_error err = {0};
    const ptrdiff_t n = golden_column(name, column, &z);
    assert_ok(lev_trace_init(t, n, dx_um, &err), &err);
    memcpy(t->z_um, z, (size_t)n * sizeof *z);
    free(z);
}

#endif
