/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Markings into tokens, and the normal form in which labels are compared. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "grit_table.h"
#include "lev_tables.h"
#include "bounds.h"
#include "num.h"

/* Letters and signs that stand for plain ones: both micro signs, dashes, the number
 * sign, fractions, the inch marks, and the Russian letters met on abrasives. */
static const struct {
    const char *from, *to;
    bool cyrillic;
} plain[] = {
    {"\xC2\xB5", "U", false},
    {"\xCE\xBC", "U", false},
    {"\xE2\x80\x90", "-", false},
    {"\xE2\x80\x91", "-", false},
    {"\xE2\x80\x92", "-", false},
    {"\xE2\x80\x93", "-", false},
    {"\xE2\x80\x94", "-", false},
    {"\xE2\x88\x92", "-", false},
    {"\xE2\x84\x96", " No ", false},
    {"\xC2\xBA", " ", false},
    {"\xC2\xB0", " ", false},
    {"\xC2\xA0", " ", false},
    {"\xE2\x80\xAF", " ", false},
    {"\xC2\xBD", " 1/2", false},
    {"\xC2\xBC", " 1/4", false},
    {"\xC2\xBE", " 3/4", false},
    {"\xE2\x81\x84", "/", false},
    {"\xE2\x80\xB3", " in ", false},
    {"\xE2\x80\x9D", " in ", false},
    {"\"", " in ", false},
    {"\xD0\xBC\xD0\xBA\xD0\xBC", "UM", true},
    {"\xD0\xBC\xD0\xBC", "MM", true},
    {"\xD0\x93\xD0\x9E\xD0\xA1\xD0\xA2", "GOST", true},
    {"\xD0\x90", "A", true},
    {"\xD0\x92", "V", true},
    {"\xD0\x94", "D", true},
    {"\xD0\x95", "E", true},
    {"\xD0\x98", "I", true},
    {"\xD0\x9A", "K", true},
    {"\xD0\x9C", "M", true},
    {"\xD0\xBC", "M", true},
    {"\xD0\x9D", "N", true},
    {"\xD0\xBD", "N", true},
    {"\xD0\x9E", "O", true},
    {"\xD0\x9F", "P", true},
    {"\xD0\xA0", "P", true},
    {"\xD0\xA1", "S", true},
    {"\xD0\xA2", "T", true},
    {"\xC3\xB6", "O", false},
    {"\xC3\x96", "O", false},
    {"\xE2\x80\x99", "", false},
    {"'", "", false},
};

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
    return (c >= 'A' && c <= 'Z') || ((unsigned char)c & 0x80U) != 0;
}

static char capital(char c)
{
    return c >= 'a' && c <= 'z' ? (char)(c - 'a' + 'A') : c;
}

/* Plain capitals; a comma between digits becomes the decimal point. */
static bool make_plain(const char *s, char *out, size_t size, bool *cyrillic)
{
    size_t n = 0;
    while (*s != '\0') {
        const char *add = NULL;
        char one[2] = {capital(*s), '\0'};
        size_t used = 1;
        const bool odd = ((unsigned char)*s & 0x80U) != 0 || *s == '"' || *s == '\'';
        for (size_t i = 0; odd && add == NULL && i < sizeof plain / sizeof *plain;
             i++) {
            if (strncmp(s, plain[i].from, strlen(plain[i].from)) == 0) {
                add = plain[i].to;
                used = strlen(plain[i].from);
                *cyrillic = *cyrillic || plain[i].cyrillic;
            }
        }
        if (add == NULL)
            add = one;
        for (; *add != '\0'; add++) {
            if (n + 1 >= size)
                return false;
            out[n++] = capital(*add);
        }
        s += used;
    }
    out[n] = '\0';
    for (size_t i = 1; i + 1 < n; i++)
        if (out[i] == ',' && is_digit(out[i - 1]) && is_digit(out[i + 1]))
            out[i] = '.';
    return true;
}

static size_t number_length(const char *s)
{
    size_t n = strspn(s, "0123456789");
    if (s[n] == '.' && is_digit(s[n + 1]))
        n += 1 + strspn(s + n + 1, "0123456789");
    return n;
}

static size_t word_length(const char *s)
{
    size_t n = 0;
    while (is_letter(s[n]))
        n++;
    return n;
}

static void cut(const char *p, lev_grit_tokens *out)
{
    bool glued = false;
    while (*p != '\0' && out->n < LEV_GRIT_TOKENS) {
        if (strchr(" \t\r\n.,;:()", *p) != NULL && !(*p == '.' && is_digit(p[1]))) {
            p++;
            glued = false;
            continue;
        }
        lev_grit_token *t = &out->t[out->n++];
        size_t n = 1;
        t->type = LEV_TOKEN_SIGN;
        if (is_digit(*p) || *p == '.') {
            n = *p == '.' ? 1 + number_length(p + 1) : number_length(p);
            t->type = LEV_TOKEN_NUMBER;
        } else if (is_letter(*p)) {
            n = word_length(p);
            t->type = LEV_TOKEN_WORD;
        }
        (void)snprintf(t->text, sizeof t->text, "%.*s", (int)n, p);
        if (t->type == LEV_TOKEN_NUMBER && !lev_num_parse(t->text, false, &t->value))
            t->value = NAN;
        t->glued = glued;
        glued = true;
        p += n;
    }
}

lev_status lev_grit_tokenise(const char *marking, lev_grit_tokens *out, lev_error *err)
{
    char text[4 * LEV_LIMIT_MARKING_BYTES];
    const size_t n = strnlen(marking, LEV_LIMIT_MARKING_BYTES + 1);
    *out = (lev_grit_tokens){0};
    if (n > LEV_LIMIT_MARKING_BYTES)
        return lev_fail(err, LEV_E_LIMIT,
                        "a marking of over %d bytes; give only what names the grit",
                        (int)LEV_LIMIT_MARKING_BYTES);
    if (!lev_text_is_utf8(marking, n))
        return lev_fail(err, LEV_E_FORMAT, "the marking is not plain UTF-8 text");
    if (!make_plain(marking, text, sizeof text, &out->cyrillic))
        return lev_fail(err, LEV_E_LIMIT, "the marking is too long");
    cut(text, out);
    if (out->n == 0)
        return lev_fail(err, LEV_E_FORMAT,
                        "the marking is empty; give it as printed, such as P220");
    return LEV_OK;
}

void lev_grit_token_drop(lev_grit_tokens *t, int i, int n)
{
    for (int k = i; k + n < t->n; k++)
        t->t[k] = t->t[k + n];
    t->n -= n;
    if (i < t->n)
        t->t[i].glued = false;
}

/* A run of zeros is its length over nought, as 4/0 is read. */
static void add_aught(const char *text, char *key, size_t *n)
{
    const size_t zeros = strlen(text);
    const int wrote = snprintf(key + *n, LEV_GRIT_KEY - *n, "%zu/0", zeros);
    *n += wrote > 0 ? (size_t)wrote : 0;
}

void lev_grit_token_join(const lev_grit_tokens *t, int i, int n, char key[LEV_GRIT_KEY])
{
    size_t len = 0;
    for (int k = i; k < i + n && len + 8 < LEV_GRIT_KEY; k++) {
        const lev_grit_token *now = &t->t[k];
        const lev_grit_token *last = k > i ? &t->t[k - 1] : NULL;
        const bool number = now->type == LEV_TOKEN_NUMBER;
        const char *text = now->text;
        if (strcmp(text, "-") == 0) {
            const bool range = last != NULL && last->type == LEV_TOKEN_NUMBER &&
                               k + 1 < i + n && t->t[k + 1].type == LEV_TOKEN_NUMBER;
            text = range ? "-" : "";
        }
        if (number && last != NULL && last->type == LEV_TOKEN_NUMBER)
            key[len++] = ' ';
        if (number && strlen(text) > 1 && strspn(text, "0") == strlen(text)) {
            add_aught(text, key, &len);
            continue;
        }
        const size_t room = LEV_GRIT_KEY - 1 - len, m = strlen(text);
        memcpy(key + len, text, m < room ? m : room);
        len += m < room ? m : room;
    }
    key[len < LEV_GRIT_KEY ? len : LEV_GRIT_KEY - 1] = '\0';
}

void lev_grit_key(const char *text, char key[LEV_GRIT_KEY])
{
    lev_grit_tokens t;
    key[0] = '\0';
    if (lev_grit_tokenise(text, &t, NULL) == LEV_OK)
        lev_grit_token_join(&t, 0, t.n, key);
}

double lev_grit_key_number(const char *key)
{
    const char *p = key + strcspn(key, "0123456789"), *end = p;
    if (*p == '\0')
        return NAN;
    const double x = lev_num_read(p, false, &end);
    return isfinite(x) ? x : (double)NAN;
}

const char *lev_grit_word_role(const char *word, const char **value)
{
    for (int i = 0; i < LEV_TAB_GRIT_WORD_N; i++) {
        if (strcmp(lev_tab_grit_word[i].word, word) == 0) {
            *value = lev_tab_grit_word[i].value;
            return lev_tab_grit_word[i].role;
        }
    }
    *value = "";
    return "";
}
