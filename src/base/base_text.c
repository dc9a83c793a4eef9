/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Growing text and comparisons. See text.h. */
#include "text.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "mem.h"
#include "num.h"

static bool reserve(lev_text *t, size_t more)
{
    if (t->st < 0)
        return false;
    if (t->cap - t->n > more)
        return true;
    size_t cap = t->cap > 0 ? t->cap * 2 : 128;
    while (cap - t->n <= more)
        cap *= 2;
    void *p = t->s;
    t->st = lev_mem_grow(&p, t->cap, cap, 1, NULL);
    if (t->st < 0)
        return false;
    t->s = p;
    t->cap = cap;
    return true;
}

void lev_text_add_n(lev_text *t, const char *s, size_t n)
{
    if (!reserve(t, n))
        return;
    memcpy(t->s + t->n, s, n);
    t->n += n;
    t->s[t->n] = '\0';
}

void lev_text_add(lev_text *t, const char *s)
{
    lev_text_add_n(t, s, strlen(s));
}

void lev_text_print(lev_text *t, const char *format, ...)
{
    va_list ap, again;
    va_start(ap, format);
    va_copy(again, ap);
    const int n = vsnprintf(NULL, 0, format, ap);
    va_end(ap);
    if (n >= 0 && reserve(t, (size_t)n)) {
        (void)vsnprintf(t->s + t->n, (size_t)n + 1, format, again);
        t->n += (size_t)n;
    }
    va_end(again);
}

void lev_text_number(lev_text *t, double value, int digits)
{
    char buf[LEV_NUM_TEXT];
    lev_num_write(value, digits, buf);
    lev_text_add(t, buf);
}

void lev_text_pad(lev_text *t, char c, ptrdiff_t n)
{
    for (ptrdiff_t i = 0; i < n; i++)
        lev_text_add_n(t, &c, 1);
}

void lev_text_add_words(lev_text *t, const char *s, size_t most)
{
    enum { TELLING = 5 }; /* a shorter word is mostly one that joins */
    size_t n = strlen(s), at = most;
    for (; n > most && at > 0; at--) {
        if (s[at] != ' ')
            continue;
        size_t word = 0;
        while (word < at && s[at - 1 - word] != ' ')
            word++;
        if (word >= TELLING)
            break;
    }
    if (n > most)
        n = at > 0 ? at : most;
    lev_text_add_n(t, s, n);
}

void lev_text_capitals(lev_text *t, size_t from)
{
    for (size_t i = from; t->s != NULL && i < t->n; i++)
        if (t->s[i] >= 'a' && t->s[i] <= 'z')
            t->s[i] = (char)(t->s[i] - 'a' + 'A');
}

void lev_text_base64(lev_text *t, const void *bytes, size_t n)
{
    static const char digits[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    const unsigned char *b = bytes;
    for (size_t i = 0; i < n; i += 3) {
        const size_t left = n - i;
        const unsigned long x = ((unsigned long)b[i] << 16) |
                                ((left > 1 ? (unsigned long)b[i + 1] : 0UL) << 8) |
                                (left > 2 ? (unsigned long)b[i + 2] : 0UL);
        char four[4] = {digits[x >> 18 & 63], digits[x >> 12 & 63], digits[x >> 6 & 63],
                        digits[x & 63]};
        if (left < 3)
            four[3] = '=';
        if (left < 2)
            four[2] = '=';
        lev_text_add_n(t, four, sizeof four);
    }
}

const char *lev_text_get(const lev_text *t)
{
    return t->s != NULL ? t->s : "";
}

void lev_text_release(lev_text *t)
{
    if (t == NULL)
        return;
    lev_mem_free(t->s);
    *t = (lev_text){0};
}

static int fold(char c)
{
    return c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : (unsigned char)c;
}

bool lev_text_same(const char *a, const char *b)
{
    while (*a != '\0' && fold(*a) == fold(*b)) {
        a++;
        b++;
    }
    return *a == '\0' && *b == '\0';
}

bool lev_text_begins(const char *s, const char *prefix)
{
    while (*prefix != '\0' && fold(*s) == fold(*prefix)) {
        s++;
        prefix++;
    }
    return *prefix == '\0';
}

bool lev_text_in_list(const char *needle, const char *list)
{
    const size_t n = strlen(needle);
    while (*list != '\0') {
        while (*list == ' ' || *list == ';')
            list++;
        size_t len = strcspn(list, ";");
        size_t trimmed = len;
        while (trimmed > 0 && list[trimmed - 1] == ' ')
            trimmed--;
        if (trimmed == n && n > 0 && lev_text_begins(list, needle))
            return true;
        list += len;
    }
    return false;
}

static int least(int a, int b, int c)
{
    const int m = a < b ? a : b;
    return m < c ? m : c;
}

int lev_text_distance(const char *a, const char *b)
{
    enum { MAX = 63 };
    int rows[3][MAX + 1];
    int *before = rows[0], *last = rows[1], *now = rows[2];
    const int na = (int)strnlen(a, MAX), nb = (int)strnlen(b, MAX);

    for (int j = 0; j <= nb; j++)
        last[j] = j;
    for (int i = 1; i <= na; i++) {
        now[0] = i;
        for (int j = 1; j <= nb; j++) {
            const int change = fold(a[i - 1]) != fold(b[j - 1]);
            now[j] = least(last[j] + 1, now[j - 1] + 1, last[j - 1] + change);
            if (i > 1 && j > 1 && fold(a[i - 1]) == fold(b[j - 2]) &&
                fold(a[i - 2]) == fold(b[j - 1]) && before[j - 2] + 1 < now[j])
                now[j] = before[j - 2] + 1;
        }
        int *spare = before;
        before = last;
        last = now;
        now = spare;
    }
    return last[nb];
}

ptrdiff_t lev_text_columns(const char *s)
{
    ptrdiff_t n = 0;
    for (; *s != '\0'; s++)
        n += ((unsigned char)*s & 0xC0U) != 0x80U;
    return n;
}

/* Bytes of the character at s, 0 when it is malformed, overlong or a surrogate. */
static size_t utf8_length(const unsigned char *s, size_t n)
{
    if (s[0] < 0x80U)
        return 1;
    const size_t len = s[0] >= 0xF0U ? 4 : s[0] >= 0xE0U ? 3 : s[0] >= 0xC2U ? 2 : 0;
    if (len == 0 || len > n || s[0] > 0xF4U)
        return 0;
    for (size_t i = 1; i < len; i++)
        if ((s[i] & 0xC0U) != 0x80U)
            return 0;
    const bool overlong =
        (s[0] == 0xE0U && s[1] < 0xA0U) || (s[0] == 0xF0U && s[1] < 0x90U);
    const bool outside =
        (s[0] == 0xEDU && s[1] > 0x9FU) || (s[0] == 0xF4U && s[1] > 0x8FU);
    return overlong || outside ? 0 : len;
}

bool lev_text_is_utf8(const char *s, size_t n)
{
    const unsigned char *p = (const unsigned char *)s;
    for (size_t i = 0; i < n;) {
        const bool control =
            p[i] < 0x20U && p[i] != '\t' && p[i] != '\n' && p[i] != '\r';
        const size_t len = utf8_length(p + i, n - i);
        if (len == 0 || control || p[i] == 0x7FU)
            return false;
        i += len;
    }
    return true;
}
