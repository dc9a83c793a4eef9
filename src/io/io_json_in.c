/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Strict reading of JSON written by people. See json.h. */
#include "json.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "text.h"

static const char *kind_name(const json_t *v)
{
    switch (json_typeof(v)) {
    case JSON_OBJECT:
        return "an object";
    case JSON_ARRAY:
        return "a list";
    case JSON_STRING:
        return "a text";
    case JSON_INTEGER:
    case JSON_REAL:
        return "a number";
    case JSON_TRUE:
    case JSON_FALSE:
        return "true or false";
    case JSON_NULL:
        break;
    }
    return "null";
}

static lev_status at_position(const lev_json_in *in, int line, int column)
{
    if (in->err != NULL) {
        in->err->where[0] = '\0';
        char where[sizeof in->err->where];
        (void)snprintf(where, sizeof where, "%.150s:%d:%d", in->name, line, column);
        return lev_fail_at(in->err, in->err->status, where);
    }
    return LEV_E_FORMAT;
}

static lev_status fail_at_path(const lev_json_in *in, const char *path, bool key_itself,
                               const char *message)
{
    int line = 1, column = 1;
    (void)lev_json_locate(in->text.data, path, key_itself, &line, &column);
    (void)lev_fail(in->err, LEV_E_FORMAT, "%s", message);
    return at_position(in, line, column);
}

lev_status lev_json_fail(const lev_json_in *in, const char *path, const char *format,
                         ...)
{
    char message[LEV_ERROR_MAX];
    va_list ap;
    va_start(ap, format);
    (void)vsnprintf(message, sizeof message, format, ap);
    va_end(ap);
    return fail_at_path(in, path, false, message);
}

void lev_json_path_key(lev_json_path out, const char *path, const char *key)
{
    const char *dot = path[0] != '\0' ? "." : "";
    if (snprintf(out, LEV_JSON_PATH, "%s%s%s", path, dot, key) >= LEV_JSON_PATH)
        out[0] = '\0'; /* the top of the text then stands for it */
}

void lev_json_path_index(lev_json_path out, const char *path, size_t index)
{
    if (snprintf(out, LEV_JSON_PATH, "%s[%zu]", path, index) >= LEV_JSON_PATH)
        out[0] = '\0';
}

/* null is no value of ours: absent means unknown. */
static lev_status refuse_null(const lev_json_in *in, json_t *v, const char *path)
{
    lev_status st = LEV_OK;
    lev_json_path sub;
    if (json_is_null(v))
        return lev_json_fail(in, path, "%s is null; leave the key out instead", path);
    if (json_is_object(v)) {
        const char *key = NULL;
        json_t *item = NULL;
        json_object_foreach(v, key, item)
        {
            lev_json_path_key(sub, path, key);
            LEV_TRY(refuse_null(in, item, sub));
        }
    }
    for (size_t i = 0; json_is_array(v) && i < json_array_size(v); i++) {
        lev_json_path_index(sub, path, i);
        LEV_TRY(refuse_null(in, json_array_get(v, i), sub));
    }
out:
    return st;
}

lev_status lev_json_in_open(lev_json_in *in, const char *name, lev_bytes *text,
                            lev_arena *arena, lev_error *err)
{
    lev_status st = LEV_OK;
    json_error_t why;
    *in = (lev_json_in){.name = name, .text = *text, .arena = arena, .err = err};
    *text = (lev_bytes){0};
    in->root = json_loadb(in->text.data, in->text.n, JSON_REJECT_DUPLICATES, &why);
    if (in->root == NULL) {
        const char *near = strstr(why.text, " near '");
        const int n = near != NULL ? (int)(near - why.text) : (int)strlen(why.text);
        (void)lev_fail(err, LEV_E_FORMAT, "not valid JSON: %.*s", n, why.text);
        LEV_TRY(at_position(in, why.line > 0 ? why.line : 1,
                            why.column > 0 ? why.column : 1));
        LEV_TRY(LEV_E_FORMAT);
    }
    if (!json_is_object(in->root))
        LEV_TRY(lev_json_fail(in, "",
                              "the file holds %s; it should hold an object {...}",
                              kind_name(in->root)));
    LEV_TRY(refuse_null(in, in->root, ""));
out:
    if (st < 0)
        lev_json_in_release(in);
    return st;
}

void lev_json_in_release(lev_json_in *in)
{
    if (in == NULL)
        return;
    json_decref(in->root);
    in->root = NULL;
    lev_bytes_release(&in->text);
}

/* The word of a semicolon-separated list that lies nearest to s, "" when none is near.
 */
static void nearest_word(const char *s, const char *list, char out[64])
{
    int best = 4;
    out[0] = '\0';
    while (*list != '\0') {
        char word[64];
        const size_t n = strcspn(list, ";");
        (void)snprintf(word, sizeof word, "%.*s", (int)n, list);
        const int d = lev_text_distance(s, word);
        if (d < best) {
            best = d;
            memcpy(out, word, sizeof word);
        }
        list += n;
        list += *list == ';';
    }
}

lev_status lev_json_keys(const lev_json_in *in, const json_t *obj, const char *path,
                         const char *allowed)
{
    const char *key = NULL;
    json_t *item = NULL;
    json_object_foreach((json_t *)(uintptr_t)obj, key, item)
    {
        if (strchr(key, ';') == NULL && lev_text_in_list(key, allowed)) {
            char exact[64];
            nearest_word(key, allowed, exact);
            if (strcmp(exact, key) == 0)
                continue;
        }
        lev_json_path sub;
        char near[64], message[LEV_ERROR_MAX];
        lev_json_path_key(sub, path, key);
        nearest_word(key, allowed, near);
        if (near[0] != '\0')
            (void)snprintf(message, sizeof message,
                           "key \"%.60s\" is not known here; did you mean \"%s\"", key,
                           near);
        else
            (void)snprintf(message, sizeof message,
                           "key \"%.60s\" is not known here; known: %.250s", key,
                           allowed);
        return fail_at_path(in, sub, true, message);
    }
    return LEV_OK;
}

/* The value of a key, or NULL; a missing required one is an error at the object. */
static lev_status get(const lev_json_in *in, const json_t *obj, const char *path,
                      const char *key, bool need, const json_t **out)
{
    *out = json_object_get(obj, key);
    if (*out == NULL && need)
        return lev_json_fail(in, path, "%s%s\"%s\" is missing", path,
                             path[0] != '\0' ? ": " : "", key);
    return LEV_OK;
}

lev_status lev_json_get_number(const lev_json_in *in, const json_t *obj,
                               const char *path, const char *key, bool need, double low,
                               double high, double *out)
{
    lev_status st = LEV_OK;
    const json_t *v = NULL;
    lev_json_path sub;
    lev_json_path_key(sub, path, key);
    LEV_TRY(get(in, obj, path, key, need, &v));
    if (v == NULL)
        goto out;
    if (!json_is_number(v))
        LEV_TRY(lev_json_fail(in, sub, "%s is %s; it should be a number", sub,
                              kind_name(v)));
    const double x = json_number_value(v);
    if (!(x >= low && x <= high))
        LEV_TRY(lev_json_fail(in, sub, "%s is %g; it should be from %g to %g", sub, x,
                              low, high));
    *out = x;
out:
    return st;
}

lev_status lev_json_get_int(const lev_json_in *in, const json_t *obj, const char *path,
                            const char *key, bool need, int64_t low, int64_t high,
                            int64_t *out)
{
    lev_status st = LEV_OK;
    const json_t *v = NULL;
    lev_json_path sub;
    lev_json_path_key(sub, path, key);
    LEV_TRY(get(in, obj, path, key, need, &v));
    if (v == NULL)
        goto out;
    if (!json_is_integer(v))
        LEV_TRY(
            lev_json_fail(in, sub, "%s is %s; it should be a whole number", sub,
                          json_is_real(v) ? "a number with a fraction" : kind_name(v)));
    const int64_t x = json_integer_value(v);
    if (x < low || x > high)
        LEV_TRY(lev_json_fail(in, sub, "%s is %lld; it should be from %lld to %lld",
                              sub, (long long)x, (long long)low, (long long)high));
    *out = x;
out:
    return st;
}

lev_status lev_json_get_flag(const lev_json_in *in, const json_t *obj, const char *path,
                             const char *key, bool *out)
{
    const json_t *v = json_object_get(obj, key);
    lev_json_path sub;
    lev_json_path_key(sub, path, key);
    if (v == NULL)
        return LEV_OK;
    if (!json_is_boolean(v))
        return lev_json_fail(in, sub, "%s is %s; it should be true or false", sub,
                             kind_name(v));
    *out = json_is_true(v);
    return LEV_OK;
}

lev_status lev_json_get_text(const lev_json_in *in, const json_t *obj, const char *path,
                             const char *key, bool need, size_t max_bytes,
                             const char **out)
{
    lev_status st = LEV_OK;
    const json_t *v = NULL;
    lev_json_path sub;
    lev_json_path_key(sub, path, key);
    LEV_TRY(get(in, obj, path, key, need, &v));
    if (v == NULL)
        goto out;
    if (!json_is_string(v))
        LEV_TRY(
            lev_json_fail(in, sub, "%s is %s; it should be a text", sub, kind_name(v)));
    const size_t n = json_string_length(v);
    if (n > max_bytes)
        LEV_TRY(
            lev_json_fail(in, sub, "%s has %zu bytes; at most %zu", sub, n, max_bytes));
    if (n == 0 && need)
        LEV_TRY(lev_json_fail(in, sub, "%s is empty", sub));
    if (!lev_text_is_utf8(json_string_value(v), n))
        LEV_TRY(lev_json_fail(in, sub, "%s holds control characters", sub));
    LEV_TRY(lev_arena_text(in->arena, json_string_value(v), n, out, in->err));
out:
    return st;
}

lev_status lev_json_get_word(const lev_json_in *in, const json_t *obj, const char *path,
                             const char *key, bool need, const char *words,
                             const char **out)
{
    lev_status st = LEV_OK;
    const char *word = NULL;
    lev_json_path sub;
    char near[64];
    lev_json_path_key(sub, path, key);
    LEV_TRY(lev_json_get_text(in, obj, path, key, need, 100, &word));
    if (word == NULL)
        goto out;
    nearest_word(word, words, near);
    if (strcmp(near, word) != 0) {
        if (near[0] != '\0')
            LEV_TRY(lev_json_fail(in, sub,
                                  "%s \"%.60s\" is not known; did you mean \"%s\"", sub,
                                  word, near));
        LEV_TRY(lev_json_fail(in, sub, "%s \"%.60s\" is not known; known: %.220s", sub,
                              word, words));
    }
    *out = word;
out:
    return st;
}

lev_status lev_json_get_object(const lev_json_in *in, const json_t *obj,
                               const char *path, const char *key, bool need,
                               const json_t **out)
{
    lev_json_path sub;
    lev_json_path_key(sub, path, key);
    const lev_status st = get(in, obj, path, key, need, out);
    if (st < 0 || *out == NULL || json_is_object(*out))
        return st;
    return lev_json_fail(in, sub, "%s is %s; it should be an object {...}", sub,
                         kind_name(*out));
}

lev_status lev_json_get_array(const lev_json_in *in, const json_t *obj,
                              const char *path, const char *key, bool need, size_t most,
                              const json_t **out)
{
    lev_json_path sub;
    lev_json_path_key(sub, path, key);
    const lev_status st = get(in, obj, path, key, need, out);
    if (st < 0 || *out == NULL)
        return st;
    if (!json_is_array(*out))
        return lev_json_fail(in, sub, "%s is %s; it should be a list [...]", sub,
                             kind_name(*out));
    if (json_array_size(*out) > most)
        return lev_json_fail(in, sub, "%s has %zu entries; at most %zu", sub,
                             json_array_size(*out), most);
    return LEV_OK;
}
