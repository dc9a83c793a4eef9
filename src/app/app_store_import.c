/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything in, all or nothing. Every value is checked against the kind of its column
 * before the store sees it, and whatever the store refuses is reported at the line of
 * its row. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "app_store.h"
#include "bounds.h"
#include "csv_io.h"
#include "json.h"
#include "num.h"

typedef struct table_in {
    lev_store *s;
    int number;
    lev_store_table_info table;
    lev_store_column column[LEV_STORE_COLUMNS];
    lev_store_value value[LEV_STORE_COLUMNS];
    int64_t rows;
} table_in;

static table_in table_at(lev_store *s, int number)
{
    table_in t = {.s = s, .number = number, .table = lev_store_table(number)};
    lev_store_columns(t.table, t.column);
    return t;
}

static lev_status check_schema(int64_t schema, lev_error *err)
{
    if (schema > lev_store_schema())
        return lev_fail(err, LEV_E_SYSTEM,
                        "was written by a newer version of this program (schema %lld, "
                        "this one knows %d)",
                        (long long)schema, lev_store_schema());
    return LEV_OK;
}

static const char *kind_words(char kind)
{
    return kind == 'i' ? "a whole number" : kind == 'r' ? "a number" : "a text";
}

/* ---- JSON ---- */

static bool json_value(const json_t *v, char kind, lev_store_value *out)
{
    if (kind == 't' && json_is_string(v)) {
        *out = (lev_store_value){.kind = LEV_STORE_TEXT, .text = json_string_value(v)};
        return true;
    }
    if (kind == 'i' && json_is_integer(v)) {
        *out = (lev_store_value){.kind = LEV_STORE_INT, .i = json_integer_value(v)};
        return true;
    }
    if (kind == 'r' && json_is_number(v)) {
        *out = (lev_store_value){.kind = LEV_STORE_REAL, .real = json_number_value(v)};
        return true;
    }
    return false;
}

/* Names of the columns parted by semicolons, as the reader of keys wants them. */
static void key_list(const table_in *t, char out[1024])
{
    size_t n = 0;
    for (const char *p = t->table.columns; *p != '\0' && n + 1 < 1024; p++)
        out[n++] = *p == ',' ? ';' : *p;
    out[n] = '\0';
}

static lev_status json_row(const lev_json_in *in, table_in *t, const json_t *row,
                           const char *path, const char *keys)
{
    lev_status st = LEV_OK;
    lev_json_path sub;
    lev_error why = {0};
    if (!json_is_object(row))
        LEV_TRY(lev_json_fail(in, path, "%s should be an object {...}", path));
    LEV_TRY(lev_json_keys(in, row, path, keys));
    for (int i = 0; i < t->table.columns_n; i++) {
        const lev_store_column *c = &t->column[i];
        const json_t *v = json_object_get(row, c->name);
        t->value[i] = (lev_store_value){.kind = LEV_STORE_NULL};
        lev_json_path_key(sub, path, c->name);
        if (v == NULL && c->never_null)
            LEV_TRY(lev_json_fail(in, path, "%s: \"%s\" is missing", path, c->name));
        if (v != NULL && !json_value(v, c->kind, &t->value[i]))
            LEV_TRY(
                lev_json_fail(in, sub, "%s should be %s", sub, kind_words(c->kind)));
    }
    st = lev_store_import_row(t->s, t->number, t->value, t->table.columns_n, &why);
    if (st == LEV_E_FORMAT)
        LEV_TRY(lev_json_fail(in, path, "%s", why.text));
    if (st < 0)
        st = lev_fail(in->err, st, "%s", why.text);
out:
    return st;
}

static lev_status json_table(const lev_json_in *in, lev_store *s, int number,
                             const json_t *tables, bool must, int64_t *rows)
{
    lev_status st = LEV_OK;
    table_in t = table_at(s, number);
    const json_t *list = NULL;
    lev_json_path path, at;
    char keys[1024];
    key_list(&t, keys);
    LEV_TRY(
        lev_json_get_array(in, tables, "tables", t.table.name, must, SIZE_MAX, &list));
    lev_json_path_key(path, "tables", t.table.name);
    for (size_t i = 0; i < json_array_size(list); i++) {
        lev_json_path_index(at, path, i);
        LEV_TRY(json_row(in, &t, json_array_get(list, i), at, keys));
    }
    *rows = (int64_t)json_array_size(list);
out:
    return st;
}

static void table_list(char out[1024])
{
    size_t n = 0;
    out[0] = '\0';
    for (int i = 0; i < lev_store_tables(); i++) {
        const int wrote = snprintf(out + n, 1024 - n, "%s%s", i > 0 ? ";" : "",
                                   lev_store_table(i).name);
        n += wrote > 0 && (size_t)wrote < 1024 - n ? (size_t)wrote : 0;
    }
}

static lev_status read_json(lev_store *s, const char *path, lev_store_reply *r,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    lev_bytes bytes = {0};
    lev_arena arena = {0};
    lev_json_in in = {0};
    const json_t *tables = NULL;
    int64_t schema = 0, version = 0;
    char names[1024];
    table_list(names);
    LEV_TRY(lev_bytes_read(path, LEV_LIMIT_FILE_BYTES, &bytes, err));
    LEV_TRY(lev_json_in_open(&in, path, &bytes, &arena, err));
    LEV_TRY(lev_json_keys(&in, in.root, "", "levigate_json;store_schema;tables"));
    LEV_TRY(lev_json_get_int(&in, in.root, "", "levigate_json", true, 1, 1, &version));
    LEV_TRY(lev_json_get_int(&in, in.root, "", "store_schema", true, 1, INT32_MAX,
                             &schema));
    LEV_TRY(lev_fail_at(err, check_schema(schema, err), path));
    LEV_TRY(lev_json_get_object(&in, in.root, "", "tables", true, &tables));
    LEV_TRY(lev_json_keys(&in, tables, "tables", names));
    for (int i = 0; i < lev_store_tables(); i++)
        LEV_TRY(
            json_table(&in, s, i, tables, schema == lev_store_schema(), &r->rows[i]));
out:
    lev_json_in_release(&in);
    lev_bytes_release(&bytes);
    lev_arena_release(&arena);
    return st;
}

/* ---- CSV ---- */

static bool read_int(const char *s, int64_t *out)
{
    const bool minus = *s == '-';
    int64_t x = 0;
    const char *p = s + minus;
    if (*p == '\0')
        return false;
    for (; *p != '\0'; p++) { /* below zero all the way: there is one more of them */
        if (*p < '0' || *p > '9' || __builtin_mul_overflow(x, 10, &x) ||
            __builtin_sub_overflow(x, *p - '0', &x))
            return false;
    }
    if (!minus && x == INT64_MIN)
        return false;
    *out = minus ? x : -x;
    return true;
}

/* A table program that dropped the quotes has done no harm: the column says what its
 * cells are, and a text is never "not known". */
static bool csv_value(const lev_csv_cell *cell, const lev_store_column *c,
                      lev_store_value *out)
{
    const bool empty = cell->text[0] == '\0';
    *out = (lev_store_value){.kind = LEV_STORE_NULL};
    if (c->kind == 't') {
        out->kind =
            empty && !cell->quoted && !c->never_null ? LEV_STORE_NULL : LEV_STORE_TEXT;
        out->text = cell->text;
        return true;
    }
    if (empty)
        return !c->never_null;
    if (c->kind == 'i') {
        out->kind = LEV_STORE_INT;
        return read_int(cell->text, &out->i);
    }
    out->kind = LEV_STORE_REAL;
    return lev_num_parse(cell->text, true, &out->real);
}

static lev_status csv_row(const lev_csv *in, table_in *t, const int *from,
                          lev_error *err)
{
    for (int i = 0; i < t->table.columns_n; i++) {
        const lev_store_column *c = &t->column[i];
        t->value[i] = (lev_store_value){.kind = LEV_STORE_NULL};
        if (from[i] < 0)
            continue;
        const lev_csv_cell *cell = &in->cell[from[i]];
        if (csv_value(cell, c, &t->value[i]))
            continue;
        (void)lev_fail(err, LEV_E_FORMAT, "%s \"%.60s\" should be %s", c->name,
                       cell->text, kind_words(c->kind));
        return lev_csv_fail_at(in, cell->line, cell->column, LEV_E_FORMAT, err);
    }
    const lev_status st =
        lev_store_import_row(t->s, t->number, t->value, t->table.columns_n, err);
    return st == LEV_E_FORMAT
               ? lev_csv_fail_at(in, in->cell[0].line, in->cell[0].column, st, err)
               : st;
}

static lev_status csv_head(const lev_csv *in, const table_in *t, int *from,
                           lev_error *err)
{
    for (int i = 0; i < t->table.columns_n; i++)
        from[i] = -1;
    for (int k = 0; k < in->cells; k++) {
        int i = 0;
        while (i < t->table.columns_n &&
               strcmp(t->column[i].name, in->cell[k].text) != 0)
            i++;
        if (i < t->table.columns_n && from[i] < 0) {
            from[i] = k;
            continue;
        }
        (void)lev_fail(err, LEV_E_FORMAT, "column \"%.60s\" %s; known: %.200s",
                       in->cell[k].text,
                       i < t->table.columns_n ? "stands twice" : "is not known here",
                       t->table.columns);
        return lev_csv_fail_at(in, in->cell[k].line, in->cell[k].column, LEV_E_FORMAT,
                               err);
    }
    for (int i = 0; i < t->table.columns_n; i++)
        if (from[i] < 0 && t->column[i].never_null) {
            (void)lev_fail(err, LEV_E_FORMAT, "column \"%s\" is missing",
                           t->column[i].name);
            return lev_csv_fail_at(in, 1, 1, LEV_E_FORMAT, err);
        }
    return LEV_OK;
}

static lev_status csv_rows(lev_csv *in, table_in *t, lev_error *err)
{
    lev_status st = LEV_OK;
    int from[LEV_STORE_COLUMNS], head = 0;
    bool more = false;
    LEV_TRY(lev_csv_next(in, &more, err));
    LEV_TRY(csv_head(in, t, from, err));
    head = in->cells;
    for (;;) {
        LEV_TRY(lev_csv_next(in, &more, err));
        if (!more)
            break;
        if (in->cells != head) {
            (void)lev_fail(err, LEV_E_FORMAT, "%d cells; the first line names %d",
                           in->cells, head);
            LEV_TRY(lev_csv_fail_at(in, in->cell[0].line, 1, LEV_E_FORMAT, err));
        }
        LEV_TRY(csv_row(in, t, from, err));
        t->rows++;
    }
out:
    return st;
}

static lev_status csv_open(const char *folder, const char *file, char path[4096],
                           lev_csv *in, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_bytes bytes = {0};
    if (snprintf(path, 4096, "%s/%s", folder, file) >= 4096)
        LEV_TRY(lev_fail(err, LEV_E_LIMIT, "path of the folder is too long"));
    LEV_TRY(lev_bytes_read(path, LEV_LIMIT_FILE_BYTES, &bytes, err));
    LEV_TRY(lev_csv_open(in, path, &bytes, err));
out:
    lev_bytes_release(&bytes);
    return st;
}

static lev_status csv_schema(const char *folder, int64_t *schema, lev_error *err)
{
    lev_status st = LEV_OK;
    char path[4096];
    lev_csv in = {0};
    bool more = false;
    LEV_TRY(csv_open(folder, LEV_STORE_MARK_FILE, path, &in, err));
    LEV_TRY(lev_csv_next(&in, &more, err));
    LEV_TRY(lev_csv_next(&in, &more, err));
    if (!more || in.cells != 1 || !read_int(in.cell[0].text, schema) || *schema < 1) {
        (void)lev_fail(err, LEV_E_FORMAT,
                       "should hold the line store_schema and below it a number");
        LEV_TRY(lev_csv_fail_at(&in, 2, 1, LEV_E_FORMAT, err));
    }
    LEV_TRY(lev_fail_at(err, check_schema(*schema, err), path));
out:
    lev_csv_release(&in);
    return st;
}

static lev_status csv_table(lev_store *s, int number, const char *folder, int64_t *rows,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    char path[4096], name[80];
    lev_csv in = {0};
    table_in t = table_at(s, number);
    (void)snprintf(name, sizeof name, "%s.csv", t.table.name);
    LEV_TRY(csv_open(folder, name, path, &in, err));
    LEV_TRY(csv_rows(&in, &t, err));
    *rows = t.rows;
out:
    lev_csv_release(&in);
    return st;
}

static lev_status read_csv(lev_store *s, const char *path, lev_store_reply *r,
                           lev_error *err)
{
    lev_status st = LEV_OK;
    int64_t schema = 0;
    LEV_TRY(csv_schema(path, &schema, err));
    for (int i = 0; i < lev_store_tables(); i++)
        LEV_TRY(csv_table(s, i, path, &r->rows[i], err));
out:
    return st;
}

lev_status lev_store_import(lev_store *s, const char *path, bool replace,
                            lev_store_reply *r, lev_error *err)
{
    lev_status st = lev_store_import_begin(s, replace, err);
    if (st < 0)
        return st;
    st = lev_store_is_json(path) ? read_json(s, path, r, err)
                                 : read_csv(s, path, r, err);
    if (st >= 0)
        return lev_store_import_end(s, true, err);
    (void)lev_store_import_end(s, false, NULL);
    return st;
}
