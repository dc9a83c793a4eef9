/* SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON out. See json.h. */
#include "json.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "levigate/note.h"
#include "mem.h"
#include "text.h"

enum { DIGITS = 12 }; /* significant digits of a real: more is noise in every field */

static void *counted(size_t n)
{
    void *p = NULL;
    return lev_mem_new(n, 1, &p, NULL) < 0 ? NULL : p;
}

void lev_json_init(void)
{
    json_set_alloc_funcs(counted, lev_mem_free);
}

json_t *lev_json_reply(void)
{
    json_t *obj = json_object();
    if (obj != NULL &&
        json_object_set_new(obj, "levigate_json", json_integer(1)) != 0) {
        json_decref(obj);
        return NULL;
    }
    return obj;
}

int lev_json_put(json_t *obj, const char *key, json_t *value)
{
    if (obj == NULL) {
        json_decref(value);
        return -1;
    }
    return json_object_set_new(obj, key, value);
}

int lev_json_put_text(json_t *obj, const char *key, const char *s)
{
    if (s == NULL || s[0] == '\0')
        return obj == NULL ? -1 : 0;
    return lev_json_put(obj, key, json_string(s));
}

int lev_json_put_number(json_t *obj, const char *key, double x)
{
    if (!isfinite(x))
        return obj == NULL ? -1 : 0;
    return lev_json_put(obj, key, json_real(x));
}

int lev_json_put_int(json_t *obj, const char *key, int64_t x)
{
    return lev_json_put(obj, key, json_integer(x));
}

int lev_json_put_flag(json_t *obj, const char *key, bool x)
{
    return lev_json_put(obj, key, json_boolean(x));
}

int lev_json_put_spread(json_t *obj, const char *key, lev_spread x)
{
    if (!isfinite(x.p50))
        return obj == NULL ? -1 : 0;
    json_t *s = json_object();
    int bad = lev_json_put_number(s, "p10", x.p10);
    bad |= lev_json_put_number(s, "p50", x.p50);
    bad |= lev_json_put_number(s, "p90", x.p90);
    return lev_json_put(obj, key, s) | bad;
}

int lev_json_add(json_t *array, json_t *value)
{
    if (array == NULL) {
        json_decref(value);
        return -1;
    }
    return json_array_append_new(array, value);
}

int lev_json_put_notes(json_t *obj, unsigned notes)
{
    if (notes == 0)
        return obj == NULL ? -1 : 0;
    json_t *array = json_array();
    int bad = 0;
    for (unsigned bit = 1; bit != 0; bit <<= 1)
        if ((notes & bit) != 0)
            bad |= lev_json_add(array, json_string(lev_note_text(bit)));
    return lev_json_put(obj, "notes", array) | bad;
}

/* Collects what jansson prints. */
static int collect(const char *s, size_t n, void *to)
{
    lev_text *t = to;
    lev_text_add_n(t, s, n);
    return t->st < 0 ? -1 : 0;
}

lev_status lev_json_write(const json_t *value, int failed, char **out, lev_error *err)
{
    lev_text t = {0};
    const size_t flags = JSON_INDENT(1) | JSON_REAL_PRECISION(DIGITS) | JSON_ENCODE_ANY;
    if (failed != 0 || value == NULL ||
        json_dump_callback(value, collect, &t, flags) != 0)
        t.st = LEV_E_MEMORY;
    lev_text_add(&t, "\n");
    if (t.st < 0) {
        lev_text_release(&t);
        return lev_fail(err, LEV_E_MEMORY, "out of memory while writing JSON");
    }
    *out = t.s;
    return LEV_OK;
}
