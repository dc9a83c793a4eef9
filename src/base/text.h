/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Growing UTF-8 text, and the few comparisons that markings and names need. */
#ifndef BASE_TEXT_H
#define BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#include "levigate/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Zero-initialised is ready for use. A failure to grow is remembered in st and makes
 * every later call a no-op: check once, at the end. */
typedef struct lev_text {
    char *s; /* zero-terminated once anything was added; NULL before */
    size_t n, cap;
    lev_status st;
} lev_text;

void lev_text_add(lev_text *t, const char *s);
void lev_text_add_n(lev_text *t, const char *s, size_t n);
#if defined(__GNUC__)
__attribute__((format(printf, 2, 3)))
#endif
void lev_text_print(lev_text *t, const char *format, ...);
/** Add s as a number without the locale's say; digits = significant digits, 0 = exact.
 */
void lev_text_number(lev_text *t, double value, int digits);
/** Add c n times. */
void lev_text_pad(lev_text *t, char c, ptrdiff_t n);
/** Add s, of a longer one the words that fit into `most` bytes; no "with" or "a" is
 * left hanging at the cut. One word alone is cut where it must be. */
void lev_text_add_words(lev_text *t, const char *s, size_t most);
/** From byte `from` on, ASCII letters become capitals. */
void lev_text_capitals(lev_text *t, size_t from);
/** Add bytes in base 64, filled up with "=". Source: RFC 4648 section 4. */
void lev_text_base64(lev_text *t, const void *bytes, size_t n);
/** The text so far, "" when empty. */
const char *lev_text_get(const lev_text *t);
void lev_text_release(lev_text *t);

/** Equal but for the case of ASCII letters. */
bool lev_text_same(const char *a, const char *b);
/** Begins with prefix, but for the case of ASCII letters. */
bool lev_text_begins(const char *s, const char *prefix);
/** needle stands in the semicolon-separated list, but for case and outer blanks. */
bool lev_text_in_list(const char *needle, const char *list);
/** Restricted edit distance (insert, drop, change, swap of neighbours), ASCII case
 * folded; texts longer than 63 bytes are compared in their first 63. */
int lev_text_distance(const char *a, const char *b);
/** Columns on a terminal: code points, which serves the letters we print. */
ptrdiff_t lev_text_columns(const char *s);
/** true when s[0..n) is well-formed UTF-8 without control characters but tab, line feed
 * and carriage return. */
bool lev_text_is_utf8(const char *s, size_t n);

#ifdef __cplusplus
}
#endif
#endif
