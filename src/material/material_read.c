/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names of materials as people write them. A row is scored by the words it shares with
 * what was asked: an id or a whole name or alias is exact; otherwise all words must be
 * found, state words also by what they stand for. */
#include "levigate/material.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "lev_tables.h"
#include "bounds.h"
#include "material_table.h"
#include "text.h"

enum { EXACT_ID = 100, EXACT_NAME = 90, EXACT_ALIAS = 80, ALL_WORDS = 40, NEAREST = 3 };

static bool is_kept(unsigned char c)
{
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '.' || c == '_' ||
           c == '/' || c >= 0x80U;
}

void lev_material_plain(const char *text, char out[LEV_MATERIAL_NAME])
{
    size_t n = 0;
    bool gap = false;
    for (; *text != '\0' && n + 2 < LEV_MATERIAL_NAME; text++) {
        unsigned char c = (unsigned char)*text;
        if (c >= 'A' && c <= 'Z')
            c = (unsigned char)(c - 'A' + 'a');
        if (!is_kept(c)) {
            gap = n > 0;
            continue;
        }
        if (gap)
            out[n++] = ' ';
        gap = false;
        out[n++] = (char)c;
    }
    out[n] = '\0';
}

/* needle stands in hay as whole words. */
static bool has_words(const char *hay, const char *needle)
{
    const size_t n = strlen(needle);
    for (const char *p = strstr(hay, needle); n > 0 && p != NULL;
         p = strstr(p + 1, needle)) {
        const bool starts = p == hay || p[-1] == ' ';
        if (starts && (p[n] == '\0' || p[n] == ' '))
            return true;
    }
    return false;
}

/* Item k of a list parted by semicolons, in plain form; false beyond the last. */
static bool item(const char *list, int k, char out[LEV_MATERIAL_NAME])
{
    char one[LEV_MATERIAL_NAME];
    for (; k > 0; k--) {
        list = strchr(list, ';');
        if (list == NULL)
            return false;
        list++;
    }
    (void)snprintf(one, sizeof one, "%.*s", (int)strcspn(list, ";"), list);
    lev_material_plain(one, out);
    return true;
}

static bool word_fits(const char *hay, const char *word)
{
    char means[LEV_MATERIAL_NAME];
    if (has_words(hay, word))
        return true;
    for (int i = 0; i < LEV_TAB_MATERIAL_STATE_N; i++)
        if (strcmp(lev_tab_material_state[i].word, word) == 0)
            for (int k = 0; item(lev_tab_material_state[i].means, k, means); k++)
                if (has_words(hay, means))
                    return true;
    return false;
}

/* Every word of the name is found; *found counts them. */
static bool all_words(const char *hay, const char *name, int *found)
{
    char word[LEV_MATERIAL_NAME];
    *found = 0;
    while (*name != '\0') {
        const size_t n = strcspn(name, " ");
        (void)snprintf(word, sizeof word, "%.*s", (int)n, name);
        if (!word_fits(hay, word))
            return false;
        (*found)++;
        name += n + (name[n] == ' ');
    }
    return *found > 0;
}

static int score(const lev_row_material *r, const char *name)
{
    char plain[LEV_MATERIAL_NAME], all[4 * LEV_MATERIAL_NAME] = "";
    int found = 0, best = 0;
    lev_material_plain(r->id, plain);
    if (strcmp(plain, name) == 0)
        return EXACT_ID;
    (void)snprintf(all, sizeof all, "%s", plain);
    lev_material_plain(r->name, plain);
    if (strcmp(plain, name) == 0)
        return EXACT_NAME;
    (void)snprintf(all + strlen(all), sizeof all - strlen(all), " %s", plain);
    for (int k = 0; item(r->alias, k, plain); k++) {
        if (strcmp(plain, name) == 0) /* what it is called first counts most */
            best = EXACT_ALIAS - (k < 9 ? k : 9);
        (void)snprintf(all + strlen(all), sizeof all - strlen(all), " %s", plain);
    }
    if (best > 0)
        return best;
    return all_words(all, name, &found) ? ALL_WORDS + found : 0;
}

static void add(lev_material_reading *r, int scores[LEV_MATERIAL_MATCHES], int row,
                int points)
{
    int k = r->n < LEV_MATERIAL_MATCHES ? r->n++ : LEV_MATERIAL_MATCHES - 1;
    if (k == LEV_MATERIAL_MATCHES - 1 && r->match[k].id != NULL && scores[k] >= points)
        return;
    for (; k > 0 && scores[k - 1] < points; k--) {
        scores[k] = scores[k - 1];
        r->match[k] = r->match[k - 1];
    }
    scores[k] = points;
    r->match[k] = lev_material_at(row);
}

static void find_rows(const char *name, lev_material_reading *r)
{
    int scores[LEV_MATERIAL_MATCHES] = {0};
    for (int i = 0; i < LEV_TAB_MATERIAL_N; i++) {
        const int points = score(&lev_tab_material[i], name);
        if (points > 0)
            add(r, scores, i, points);
    }
    if (r->n > 0 && scores[0] >= EXACT_NAME)
        r->n = 1;
    r->ambiguous = r->n > 1 && scores[1] == scores[0];
}

/* Without the last word, when that is a state nobody lists for this material. */
static bool find_without_state(const char *name, lev_material_reading *r)
{
    char base[LEV_MATERIAL_NAME], word[LEV_MATERIAL_NAME];
    for (int i = 0; i < LEV_TAB_MATERIAL_STATE_N; i++) {
        const char *state = lev_tab_material_state[i].word;
        const size_t n = strlen(name), m = strlen(state);
        if (n <= m + 1 || strcmp(name + n - m, state) != 0 || name[n - m - 1] != ' ')
            continue;
        (void)snprintf(base, sizeof base, "%.*s", (int)(n - m - 1), name);
        (void)snprintf(word, sizeof word, "%s", state);
        find_rows(base, r);
        if (r->n > 0) {
            (void)snprintf(r->warning, sizeof r->warning,
                           "no figures for \"%.40s\" in the state \"%.20s\": those of "
                           "%.80s are given",
                           base, word, r->match[0].name);
            return true;
        }
    }
    return false;
}

static int nearness(const lev_row_material *r, const char *name)
{
    char plain[LEV_MATERIAL_NAME];
    int best = lev_text_distance(r->id, name);
    for (int k = 0; item(r->alias, k, plain); k++)
        best = best < lev_text_distance(plain, name) ? best
                                                     : lev_text_distance(plain, name);
    return best;
}

static lev_status unknown(const char *asked, const char *name, lev_error *err)
{
    int best[NEAREST], n = 0;
    const int most = (int)strlen(name) / 3 + 1;
    for (int slips = 0; slips <= most && n < NEAREST; slips++)
        for (int i = 0; i < LEV_TAB_MATERIAL_N && n < NEAREST; i++)
            if (nearness(&lev_tab_material[i], name) == slips)
                best[n++] = i;
    if (n == 0)
        return lev_fail(err, LEV_E_UNKNOWN,
                        "no material is called \"%.80s\"; a name such as brass, walnut "
                        "or mild steel",
                        asked);
    return lev_fail(err, LEV_E_UNKNOWN,
                    "no material is called \"%.80s\"; nearest: %s%s%s%s%s", asked,
                    lev_tab_material[best[0]].id, n > 1 ? "; " : "",
                    n > 1 ? lev_tab_material[best[1]].id : "", n > 2 ? "; " : "",
                    n > 2 ? lev_tab_material[best[2]].id : "");
}

lev_status lev_material_read(const char *name, lev_material_reading *out,
                             lev_error *err)
{
    char plain[LEV_MATERIAL_NAME];
    lev_material_reading r = {0};
    const size_t n = strnlen(name, LEV_LIMIT_MARKING_BYTES + 1);
    if (n > LEV_LIMIT_MARKING_BYTES)
        return lev_fail(err, LEV_E_LIMIT, "a name of over %d bytes is no material",
                        (int)LEV_LIMIT_MARKING_BYTES);
    if (!lev_text_is_utf8(name, n))
        return lev_fail(err, LEV_E_FORMAT, "the name is not plain UTF-8 text");
    lev_material_plain(name, plain);
    if (plain[0] == '\0')
        return lev_fail(err, LEV_E_FORMAT,
                        "the name is empty; such as brass or walnut");
    find_rows(plain, &r);
    if (r.n == 0 && !find_without_state(plain, &r))
        return unknown(name, plain, err);
    *out = r;
    return LEV_OK;
}

lev_status lev_material_find(const char *name, lev_material *out, lev_error *err)
{
    lev_material_reading r;
    const lev_status st = lev_material_read(name, &r, err);
    if (st == LEV_OK)
        *out = r.match[0];
    return st;
}
