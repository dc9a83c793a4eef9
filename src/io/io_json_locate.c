/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where a value stands in a JSON text. The parser keeps no positions, so a complaint
 * about a value walks the text again along the path. The text has been parsed before:
 * this walk only has to be right on valid JSON, and safe on any. */
#include "json.h"

#include <string.h>

static const char *skip_blanks(const char *p)
{
    while (*p == ' ' || *p == '\t' || *p == '\n' || *p == '\r')
        p++;
    return p;
}

/* Behind the string that begins at p. */
static const char *skip_string(const char *p)
{
    for (p++; *p != '\0' && *p != '"'; p++)
        if (*p == '\\' && p[1] != '\0')
            p++;
    return *p == '"' ? p + 1 : p;
}

/* Behind the value that begins at p. */
static const char *skip_value(const char *p)
{
    int depth = 0;
    for (;;) {
        p = skip_blanks(p);
        if (*p == '\0')
            return p;
        if (*p == '"') {
            p = skip_string(p);
        } else if (*p == '{' || *p == '[') {
            depth++;
            p++;
            continue;
        } else if (*p == '}' || *p == ']') {
            depth--;
            p++;
        } else if (*p == ',' || *p == ':') {
            p++;
            continue;
        } else {
            p += strcspn(p, ",:]} \t\r\n");
        }
        if (depth <= 0)
            return p;
    }
}

/* The value of key in the object at p, or NULL; *key_at = where the key stands. */
static const char *enter_key(const char *p, const char *key, size_t n,
                             const char **key_at)
{
    if (*p != '{')
        return NULL;
    p = skip_blanks(p + 1);
    while (*p == '"') {
        const char *name = p;
        p = skip_string(p);
        const bool same = (size_t)(p - name) == n + 2 && memcmp(name + 1, key, n) == 0;
        p = skip_blanks(p);
        p = *p == ':' ? skip_blanks(p + 1) : p;
        if (same) {
            *key_at = name;
            return p;
        }
        p = skip_blanks(skip_value(p));
        p = *p == ',' ? skip_blanks(p + 1) : p;
    }
    return NULL;
}

static const char *enter_index(const char *p, long index)
{
    if (*p != '[')
        return NULL;
    p = skip_blanks(p + 1);
    for (long i = 0; *p != '\0' && *p != ']'; i++) {
        if (i == index)
            return p;
        p = skip_blanks(skip_value(p));
        p = *p == ',' ? skip_blanks(p + 1) : p;
    }
    return NULL;
}

static void count_lines(const char *text, const char *at, int *line, int *column)
{
    *line = 1;
    *column = 1;
    for (const char *p = text; p < at; p++) {
        if (*p == '\n') {
            (*line)++;
            *column = 1;
        } else if (((unsigned char)*p & 0xC0U) != 0x80U) {
            (*column)++;
        }
    }
}

bool lev_json_locate(const char *text, const char *path, bool key_itself, int *line,
                     int *column)
{
    const char *p = skip_blanks(text), *key_at = p;
    while (*path != '\0') {
        if (*path == '[') {
            long index = 0;
            for (path++; *path >= '0' && *path <= '9'; path++)
                index = index * 10 + (*path - '0');
            path += *path == ']';
            p = enter_index(p, index);
            key_at = p;
        } else {
            const size_t n = strcspn(path, ".[");
            p = enter_key(p, path, n, &key_at);
            path += n;
        }
        if (p == NULL)
            return false;
        path += *path == '.';
    }
    count_lines(text, key_itself ? key_at : p, line, column);
    return true;
}
