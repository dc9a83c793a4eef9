/* SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON out and in, on jansson.
 *
 * Out: keys keep the order they were put in; unknown numbers and empty texts are left
 * out (absent = unknown, never null or NaN); a failed allocation is remembered in the
 * writer, so it is checked once. In: strict reading of hand-written files, where every
 * complaint names the path and line:column of the value. */
#ifndef IO_JSON_H
#define IO_JSON_H

#include <jansson.h>
#include <stdbool.h>
#include <stdint.h>

#include "arena.h"
#include "file.h"
#include "levigate/spread.h"
#include "levigate/status.h"

/** Let jansson take its memory from base/mem.h. Call once, before any other use. */
void lev_json_init(void);

/* ---- out ---- */

/** A new object whose first key is "levigate_json": 1; NULL without memory. */
json_t *lev_json_reply(void);
/* Each puts one value and returns 0, or -1 without memory (obj NULL counts as that). */
int lev_json_put(json_t *obj, const char *key, json_t *value); /* takes value over */
int lev_json_put_text(json_t *obj, const char *key, const char *s);
int lev_json_put_number(json_t *obj, const char *key, double x);
int lev_json_put_int(json_t *obj, const char *key, int64_t x);
int lev_json_put_flag(json_t *obj, const char *key, bool x);
/** {"p10","p50","p90"}; left out when the median is not finite. */
int lev_json_put_spread(json_t *obj, const char *key, lev_spread x);
int lev_json_add(json_t *array, json_t *value); /* takes value over */
/** The notes as an array of texts under "notes"; nothing when there are none. */
int lev_json_put_notes(json_t *obj, unsigned notes);
/** Text of a value with a line feed; LEV_E_MEMORY when any put before had failed. */
lev_status lev_json_write(const json_t *value, int failed, char **out, lev_error *err);

/* ---- in ---- */

typedef struct lev_json_in {
    const char *name; /* file name for messages */
    lev_bytes text;
    json_t *root;
    lev_arena *arena; /* receives the texts */
    lev_error *err;
} lev_json_in;

/** Read a JSON text (taken over) whose top is an object; syntax errors, duplicate keys,
 * null and numbers out of range are refused with line:column. */
lev_status lev_json_in_open(lev_json_in *in, const char *name, lev_bytes *text,
                            lev_arena *arena, lev_error *err);
void lev_json_in_release(lev_json_in *in);

/* A path such as faces[2].start.depth_um; longer ones are cut. */
enum { LEV_JSON_PATH = 200 };
typedef char lev_json_path[LEV_JSON_PATH];

/** path.key, or key alone when path is "". */
void lev_json_path_key(lev_json_path out, const char *path, const char *key);
/** path[index]. */
void lev_json_path_index(lev_json_path out, const char *path, size_t index);

/** Fail with the position of the value at path (its key when key_itself). */
#if defined(__GNUC__)
__attribute__((format(printf, 3, 4)))
#endif
lev_status
lev_json_fail(const lev_json_in *in, const char *path, const char *format, ...);

/** Refuse keys of obj that do not stand in the semicolon-separated list. */
lev_status lev_json_keys(const lev_json_in *in, const json_t *obj, const char *path,
                         const char *allowed);

/* One value of an object. `low`, `high` are inclusive; `need` makes it required. Absent
 * optional values leave *out alone. */
lev_status lev_json_get_number(const lev_json_in *in, const json_t *obj,
                               const char *path, const char *key, bool need, double low,
                               double high, double *out);
lev_status lev_json_get_int(const lev_json_in *in, const json_t *obj, const char *path,
                            const char *key, bool need, int64_t low, int64_t high,
                            int64_t *out);
lev_status lev_json_get_flag(const lev_json_in *in, const json_t *obj, const char *path,
                             const char *key, bool *out);
lev_status lev_json_get_text(const lev_json_in *in, const json_t *obj, const char *path,
                             const char *key, bool need, size_t max_bytes,
                             const char **out);
/** One of the words of a semicolon-separated list. */
lev_status lev_json_get_word(const lev_json_in *in, const json_t *obj, const char *path,
                             const char *key, bool need, const char *words,
                             const char **out);
lev_status lev_json_get_object(const lev_json_in *in, const json_t *obj,
                               const char *path, const char *key, bool need,
                               const json_t **out);
lev_status lev_json_get_array(const lev_json_in *in, const json_t *obj,
                              const char *path, const char *key, bool need, size_t most,
                              const json_t **out);

/** Line and column (from 1, columns in characters) of the value at path, such as
 * faces[2].start.depth_um; of its key when key_itself. The text must be valid JSON. */
bool lev_json_locate(const char *text, const char *path, bool key_itself, int *line,
                     int *column);

#endif
