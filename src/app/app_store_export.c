/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything out. The same store gives the same bytes: rows in order of their key, one
 * a line; numbers as short as they read back the same, real ones always with a point or
 * an exponent; what is not known is left out (JSON) or an empty cell (CSV). */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "app_store.h"
#include "csv_io.h"
#include "json.h"
#include "mem.h"
#include "num.h"

typedef struct table_out {
    lev_text *t;
    bool json;
    lev_store_table_info table;
    lev_store_column column[LEV_STORE_COLUMNS];
    int64_t rows;
    lev_status st;
    lev_error *err;
} table_out;

void lev_store_columns(lev_store_table_info table,
                       lev_store_column out[LEV_STORE_COLUMNS])
{
    const char *p = table.columns;
    for (int i = 0; i < table.columns_n; i++) {
        const size_t n = strcspn(p, ",");
        const char kind = table.kinds[i];
        out[i] = (lev_store_column){.kind = (char)(kind | 0x20),
                                    .never_null = (kind & 0x20) == 0};
        memcpy(out[i].name, p, n < sizeof out[i].name ? n : sizeof out[i].name - 1);
        p += p[n] == ',' ? n + 1 : n;
    }
}

static void put_real(lev_text *t, double x)
{
    char digits[LEV_NUM_TEXT];
    lev_num_write(x, 0, digits);
    lev_text_add(t, digits);
    if (strpbrk(digits, ".e") == NULL)
        lev_text_add(t, ".0");
}

static lev_status put_json_text(lev_text *t, const char *s, lev_error *err)
{
    json_t *text = json_string(s);
    char *written = text != NULL ? json_dumps(text, JSON_ENCODE_ANY) : NULL;
    if (written != NULL)
        lev_text_add(t, written);
    lev_mem_free(written);
    json_decref(text);
    return written != NULL
               ? LEV_OK
               : lev_fail(err, LEV_E_FORMAT, "holds a text that is not UTF-8");
}

static lev_status put_csv_text(lev_text *t, const char *s, lev_error *err)
{
    if (!lev_text_is_utf8(s, strlen(s)))
        return lev_fail(err, LEV_E_FORMAT,
                        "holds a text with control characters, which CSV cannot carry; "
                        "export to a .json file");
    lev_csv_put_text(t, s);
    return LEV_OK;
}

static lev_status put_value(table_out *o, const lev_store_value *v)
{
    switch (v->kind) {
    case LEV_STORE_INT:
        lev_text_print(o->t, "%lld", (long long)v->i);
        break;
    case LEV_STORE_REAL:
        if (!isfinite(v->real))
            return lev_fail(o->err, LEV_E_FORMAT, "holds a number that is not finite");
        put_real(o->t, v->real);
        break;
    case LEV_STORE_TEXT:
        return o->json ? put_json_text(o->t, v->text, o->err)
                       : put_csv_text(o->t, v->text, o->err);
    case LEV_STORE_NULL:
        break;
    }
    return LEV_OK;
}

static void before_value(table_out *o, int i, bool first)
{
    if (!o->json)
        lev_text_add(o->t, i > 0 ? "," : "");
    else
        lev_text_print(o->t, "%s\"%s\": ", first ? "" : ", ", o->column[i].name);
}

static int put_row(void *to, const lev_store_value *value, int n)
{
    table_out *o = to;
    bool first = true;
    if (o->json)
        lev_text_add(o->t, o->rows > 0 ? ",\n   {" : "\n   {");
    for (int i = 0; i < n && o->st >= 0; i++) {
        if (o->json && value[i].kind == LEV_STORE_NULL)
            continue;
        before_value(o, i, first);
        o->st = put_value(o, &value[i]);
        first = false;
    }
    lev_text_add(o->t, o->json ? "}" : "\n");
    o->rows++;
    if (o->st >= 0 && o->t->st < 0)
        o->st = lev_fail(o->err, o->t->st, "out of memory");
    return o->st < 0;
}

static lev_status put_table(lev_store *s, int table, bool json, lev_text *t,
                            int64_t *rows, lev_error *err)
{
    lev_status st = LEV_OK;
    char where[80];
    table_out o = {.t = t, .json = json, .table = lev_store_table(table), .err = err};
    lev_store_columns(o.table, o.column);
    LEV_TRY(lev_store_read_table(s, table, put_row, &o, err));
    LEV_TRY(o.st);
    *rows = o.rows;
out:
    (void)snprintf(where, sizeof where, "table %s, row %lld", o.table.name,
                   (long long)o.rows);
    return o.st < 0 ? lev_fail_at(err, st, where) : st;
}

static lev_status write_json(lev_store *s, const char *path, lev_store_reply *r,
                             lev_error *err)
{
    lev_status st = LEV_OK;
    lev_text t = {0};
    lev_sink sink = {.fd = -1};
    LEV_TRY(lev_sink_open(&sink, path, err));
    lev_text_print(&t,
                   "{\n \"levigate_json\": 1,\n \"store_schema\": %d,\n \"tables\": {",
                   lev_store_schema());
    for (int i = 0; i < lev_store_tables(); i++) {
        lev_text_print(&t, "%s\n  \"%s\": [", i > 0 ? "," : "",
                       lev_store_table(i).name);
        LEV_TRY(put_table(s, i, true, &t, &r->rows[i], err));
        lev_text_add(&t, r->rows[i] > 0 ? "\n  ]" : "]");
        LEV_TRY(lev_sink_write(&sink, lev_text_get(&t), t.n, err));
        t.n = 0;
    }
    lev_text_add(&t, "\n }\n}\n");
    LEV_TRY(t.st < 0 ? lev_fail(err, t.st, "out of memory") : LEV_OK);
    LEV_TRY(lev_sink_write(&sink, lev_text_get(&t), t.n, err));
    LEV_TRY(lev_sink_commit(&sink, err));
out:
    lev_sink_release(&sink);
    lev_text_release(&t);
    return st;
}

static lev_status write_csv(lev_store *s, const char *path, lev_store_reply *r,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    lev_text t = {0};
    lev_folder folder = {0};
    char name[80];
    LEV_TRY(lev_folder_open(&folder, path, err));
    for (int i = 0; i < lev_store_tables(); i++) {
        t.n = 0;
        lev_text_print(&t, "%s\n", lev_store_table(i).columns);
        LEV_TRY(put_table(s, i, false, &t, &r->rows[i], err));
        (void)snprintf(name, sizeof name, "%s.csv", lev_store_table(i).name);
        LEV_TRY(lev_folder_put(&folder, name, lev_text_get(&t), t.n, err));
    }
    t.n = 0;
    lev_text_print(&t, "store_schema\n%d\n", lev_store_schema());
    LEV_TRY(t.st < 0 ? lev_fail(err, t.st, "out of memory") : LEV_OK);
    LEV_TRY(lev_folder_put(&folder, LEV_STORE_MARK_FILE, lev_text_get(&t), t.n, err));
    LEV_TRY(lev_folder_commit(&folder, err));
out:
    lev_folder_release(&folder);
    lev_text_release(&t);
    return st;
}

lev_status lev_store_export(lev_store *s, const char *path, lev_store_reply *r,
                            lev_error *err)
{
    lev_status st = lev_store_read_begin(s, err);
    if (st < 0)
        return st;
    st = lev_store_is_json(path) ? write_json(s, path, r, err)
                                 : write_csv(s, path, r, err);
    lev_store_read_end(s);
    return st;
}
