/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Markings as people find them. The words round the label are taken off one kind after
 * another (systems, carriers, minerals, ...), then what is left must be a label: with
 * its letter in any system that has it, as a bare number in every system it may be. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "grit_table.h"
#include "lev_tables.h"
#include "levigate/note.h"
#include "num.h"
#include "units.h"

/* What the words of a marking say beside its label. */
typedef struct hints {
    char systems[160]; /* only these, semicolons; "" for all */
    char prefer[64];   /* these first */
    const char *carrier;
    char mineral[8];
} hints;

void lev_grit_reading_add(lev_grit_reading *r, const lev_grit *g)
{
    for (int i = 0; i < r->n; i++)
        if (g->row >= 0 && r->match[i].row == g->row)
            return;
    if (r->n < LEV_GRIT_MATCHES)
        r->match[r->n++] = *g;
}

static bool allowed(const char *system, const char *systems)
{
    return *systems == '\0' || lev_text_in_list(system, systems);
}

/* A row without any size says nothing when the same label has one elsewhere. */
static bool is_empty_twice(const lev_row_grit *r)
{
    if (lev_known(r->d50_um) || lev_known(r->coarse_um))
        return false;
    for (int i = 0; i < LEV_TAB_GRIT_N; i++)
        if (strcmp(lev_tab_grit[i].system, r->system) == 0 &&
            strcmp(lev_tab_grit[i].label, r->label) == 0 &&
            lev_known(lev_tab_grit[i].d50_um))
            return true;
    return false;
}

typedef enum how { WITH_LETTER, BARE, BARE_EVEN_LETTERED } how;

static bool row_fits(const lev_row_grit *r, const char *key, how way)
{
    char have[LEV_GRIT_KEY];
    lev_grit_key(r->label, have);
    if (strcmp(have, key) == 0)
        return true;
    if (way == WITH_LETTER || (way == BARE && !lev_grit_stands_bare(r->system)))
        return false;
    const char *prefix = lev_grit_prefix(r->system);
    const size_t n = strlen(prefix);
    return n > 0 && strncmp(have, prefix, n) == 0 && strcmp(have + n, key) == 0;
}

static bool match_label(const char *key, const char *systems, how way,
                        lev_grit_reading *out)
{
    const int before = out->n;
    if (*key == '\0')
        return false;
    for (int i = 0; i < LEV_TAB_GRIT_N; i++) {
        const lev_row_grit *r = &lev_tab_grit[i];
        if (!allowed(r->system, systems) || is_empty_twice(r) || !row_fits(r, key, way))
            continue;
        const lev_grit g = lev_grit_at(i);
        lev_grit_reading_add(out, &g);
    }
    return out->n > before;
}

/* With its letter, then bare where numbers stand bare, then anywhere among systems
 * that were named. */
static bool match_any_way(const char *key, const char *systems, lev_grit_reading *out)
{
    const bool number = strspn(key, "0123456789./- ") == strlen(key);
    char pair[LEV_GRIT_KEY];
    if (!number)
        return match_label(key, systems, WITH_LETTER, out);
    (void)snprintf(pair, sizeof pair, "%s", key);
    char *hyphen = strchr(pair, '-');
    if (hyphen != NULL)
        *hyphen = '/'; /* 28-20 for 28/20, but never 1/2 for 1-2 */
    if (hyphen != NULL && !match_label(key, systems, BARE, out))
        return match_label(pair, systems, BARE, out);
    return match_label(key, systems, BARE, out) ||
           (*systems != '\0' && match_label(key, systems, BARE_EVEN_LETTERED, out));
}

/* ---- words ---- */

static void take_system(const char *value, hints *h)
{
    if (h->systems[0] == '\0') {
        (void)snprintf(h->systems, sizeof h->systems, "%s", value);
        return;
    }
    char both[sizeof h->systems] = ""; /* two words: what they share, else the first */
    for (int i = 0; i < LEV_TAB_SYSTEM_N; i++) {
        const char *id = lev_tab_system[i].id;
        const size_t n = strlen(both);
        if (lev_text_in_list(id, value) && lev_text_in_list(id, h->systems))
            (void)snprintf(both + n, sizeof both - n, "%s;", id);
    }
    if (both[0] != '\0')
        (void)snprintf(h->systems, sizeof h->systems, "%s", both);
}

/* Take in what token i says; true when it is no part of the label. */
static bool take_word(const lev_grit_tokens *t, int i, hints *h)
{
    const char *value = "";
    const char *role = lev_grit_word_role(t->t[i].text, &value);
    if (strcmp(role, "system") == 0)
        take_system(value, h);
    else if (strcmp(role, "prefer") == 0)
        (void)snprintf(h->prefer, sizeof h->prefer, "%s", value);
    else if (strcmp(role, "carrier") == 0)
        h->carrier = value;
    else if (strcmp(role, "mineral") == 0)
        (void)snprintf(h->mineral, sizeof h->mineral, "%.7s", value);
    else if (strcmp(role, "wheel") == 0 && i + 1 < t->n &&
             t->t[i + 1].type == LEV_TOKEN_NUMBER)
        (void)snprintf(h->mineral, sizeof h->mineral, "%.7s", t->t[i].text);
    else
        return strcmp(role, "drop") == 0;
    return true;
}

/* "J weight" and "A-wt" say how thick the cloth or paper is. */
static void drop_weights(lev_grit_tokens *t)
{
    const char *value = "";
    for (int i = 0; i < t->n; i++) {
        if (strcmp(lev_grit_word_role(t->t[i].text, &value), "weight") != 0)
            continue;
        int first = i;
        if (first > 0 && strcmp(t->t[first - 1].text, "-") == 0)
            first--;
        if (first > 0 && t->t[first - 1].type == LEV_TOKEN_WORD &&
            strlen(t->t[first - 1].text) == 1)
            first--;
        lev_grit_token_drop(t, first, i - first + 1);
        i = first - 1;
    }
}

/* 40-N: the letter behind an old Soviet grain says how narrow its main fraction is. */
static void take_soviet(lev_grit_tokens *t, hints *h)
{
    for (int i = 0; i + 1 < t->n; i++) {
        const bool hyphen = strcmp(t->t[i + 1].text, "-") == 0;
        const int k = hyphen ? i + 2 : i + 1;
        if (t->t[i].type != LEV_TOKEN_NUMBER || k >= t->n ||
            strlen(t->t[k].text) != 1 || strchr("NHPVD", t->t[k].text[0]) == NULL)
            continue;
        if (!t->cyrillic && (!hyphen || strchr("NH", t->t[k].text[0]) == NULL))
            continue;
        take_system("GOST;GOST-M", h);
        lev_grit_token_drop(t, i + 1, k - i);
        return;
    }
    if (t->cyrillic)
        take_system("GOST;GOST-M;GOST-9206-micro;GOST-9206-sieve", h);
}

static void take_words(lev_grit_tokens *t, hints *h)
{
    drop_weights(t);
    for (int i = 0; i < t->n;) {
        if (t->t[i].type == LEV_TOKEN_WORD && take_word(t, i, h))
            lev_grit_token_drop(t, i, 1);
        else if (t->t[i].type == LEV_TOKEN_SIGN &&
                 strchr("/-#", t->t[i].text[0]) == NULL)
            lev_grit_token_drop(t, i, 1);
        else
            i++;
    }
    while (t->n > 0 && strchr("-/", t->t[t->n - 1].text[0]) != NULL)
        t->n--;
    while (t->n > 0 && strchr("-/", t->t[0].text[0]) != NULL)
        lev_grit_token_drop(t, 0, 1);
}

/* ---- readings ---- */

/* A number with a unit of length. */
static bool read_size(const lev_grit_tokens *t, const char *systems,
                      lev_grit_reading *out, lev_status *st, lev_error *err)
{
    static const struct {
        const char *unit;
        double um;
    } units[] = {{"um", 1.0}, {"mm", LEV_UM_PER_MM}, {"nm", 1.0 / LEV_UM_PER_MM}};
    for (int i = 0; i + 1 < t->n; i++) {
        const char *unit = "";
        if (t->t[i].type != LEV_TOKEN_NUMBER ||
            strcmp(lev_grit_word_role(t->t[i + 1].text, &unit), "unit") != 0)
            continue;
        for (size_t k = 0; k < sizeof units / sizeof *units; k++) {
            lev_grit g;
            char key[LEV_GRIT_KEY];
            if (strcmp(units[k].unit, unit) != 0)
                continue;
            *st = lev_grit_bare(t->t[i].value * units[k].um, &g, err);
            if (*st == LEV_OK && !lev_text_in_list("diamond-paste", systems))
                lev_grit_reading_add(out, &g);
            (void)snprintf(key, sizeof key, "%.60sUM", t->t[i].text);
            if (*st == LEV_OK && strcmp(unit, "um") == 0)
                (void)match_label(key, systems, WITH_LETTER, out);
            if (*st == LEV_OK && out->n == 0)
                lev_grit_reading_add(out, &g);
            return true;
        }
    }
    return false;
}

/* Names without a number: rows whose label holds every word that is left, or all rows
 * of the one system named. */
static bool read_name(const lev_grit_tokens *t, const char *systems,
                      lev_grit_reading *out)
{
    for (int i = 0; i < LEV_TAB_GRIT_N; i++) {
        const lev_row_grit *r = &lev_tab_grit[i];
        lev_grit_tokens have;
        bool all = t->n > 0 || *systems != '\0';
        if (!allowed(r->system, systems) ||
            lev_grit_tokenise(r->label, &have, NULL) < 0)
            continue;
        for (int k = 0; k < t->n; k++) {
            bool found = false;
            for (int j = 0; j < have.n; j++)
                found = found || strcmp(have.t[j].text, t->t[k].text) == 0;
            all = all && found && t->t[k].type == LEV_TOKEN_WORD &&
                  strlen(t->t[k].text) > 2;
        }
        if (!all)
            continue;
        const lev_grit g = lev_grit_at(i);
        lev_grit_reading_add(out, &g);
    }
    return out->n > 0;
}

/* What stands round a label must be words that say nothing to us. */
static bool is_idle(const lev_grit_tokens *t, int from, int to)
{
    for (int i = from; i < to; i++)
        if (t->t[i].type == LEV_TOKEN_NUMBER ||
            (t->t[i].type == LEV_TOKEN_WORD && strlen(t->t[i].text) < 3))
            return false;
    return true;
}

static bool read_span(const lev_grit_tokens *t, const char *systems,
                      lev_grit_reading *out)
{
    for (int n = t->n; n > 0; n--) {
        for (int i = 0; i + n <= t->n; i++) {
            char key[LEV_GRIT_KEY];
            lev_grit_token_join(t, i, n, key);
            if (is_idle(t, 0, i) && is_idle(t, i + n, t->n) &&
                match_any_way(key, systems, out))
                return true;
        }
    }
    return false;
}

/* A powder's letter before a range: M 10/7 is the range 10/7. */
static bool read_range(const lev_grit_tokens *t, const char *systems,
                       lev_grit_reading *out)
{
    char key[LEV_GRIT_KEY];
    if (t->n != 4 || t->t[0].type != LEV_TOKEN_WORD ||
        strchr("/-", t->t[2].text[0]) == NULL)
        return false;
    lev_grit_token_join(t, 1, 3, key);
    return match_any_way(key, systems, out);
}

/* ---- order, spread, warnings ---- */

static double rank_of(const lev_grit *g, const hints *h)
{
    double rank = lev_grit_likely(g->system);
    if (lev_text_in_list(g->system, h->prefer))
        rank += 2.0;
    if (h->carrier != NULL && strcmp(lev_grit_carrier(g->system), h->carrier) == 0)
        rank += 1.0;
    return rank;
}

static void sort_matches(lev_grit_reading *r, const hints *h)
{
    for (int i = 1; i < r->n; i++) {
        const lev_grit g = r->match[i];
        int k = i;
        while (k > 0 && rank_of(&r->match[k - 1], h) < rank_of(&g, h)) {
            r->match[k] = r->match[k - 1];
            k--;
        }
        r->match[k] = g;
    }
}

static double size_of(const lev_grit *g)
{
    return g->kind != NULL && strcmp(g->kind, "file") == 0 ? g->pitch_um : g->d50_um;
}

static bool is_same_thing(const lev_grit *a, const lev_grit *b)
{
    lev_mark mark = LEV_MARK_UNSET;
    if (strcmp(a->system, b->system) == 0 || lev_grit_is_twin(a->system, b->system))
        return true;
    const double x = size_of(a), y = size_of(b);
    return fmax(x, y) <= lev_grit_default("same_size_ratio", &mark) * fmin(x, y);
}

static void judge(lev_grit_reading *r)
{
    double low = INFINITY, high = 0.0;
    for (int i = 0; i < r->n; i++) {
        const double x = size_of(&r->match[i]);
        r->notes |= r->match[i].notes;
        low = lev_known(x) ? fmin(low, x) : low;
        high = lev_known(x) ? fmax(high, x) : high;
        for (int k = 0; k < i; k++)
            if (!is_same_thing(&r->match[i], &r->match[k]))
                r->ambiguous = true;
    }
    r->spread = high > 0.0 ? high / low : 1.0;
}

static void warn(lev_grit_reading *r)
{
    lev_mark mark = LEV_MARK_UNSET;
    const double end = lev_grit_default("p_list_end", &mark);
    for (int i = 0; i < r->n && r->warning[0] == '\0'; i++) {
        char key[LEV_GRIT_KEY];
        const lev_grit *g = &r->match[i];
        lev_grit_key(g->label, key);
        if (strcmp(g->system, "P") == 0 && lev_grit_key_number(key) > end)
            (void)snprintf(r->warning, sizeof r->warning,
                           "%s is beyond P%g, where the lists with known sizes end: "
                           "judge it by a test, not by its number",
                           g->label, end);
        for (int k = 0; k < i && !r->ambiguous; k++)
            if (lev_grit_is_twin(g->system, r->match[k].system)) {
                r->notes |= LEV_NOTE_METHODS;
                (void)snprintf(r->warning, sizeof r->warning,
                               "one powder, two instruments: %g um by %s, %g um by %s",
                               r->match[k].d50_um, r->match[k].method, g->d50_um,
                               g->method);
            } else if (strcmp(g->system, r->match[k].system) == 0 && r->spread > 1.0) {
                r->notes |= LEV_NOTE_DISAGREE;
                (void)snprintf(r->warning, sizeof r->warning,
                               "published sizes disagree: %g and %g um",
                               r->match[k].d50_um, g->d50_um);
            }
    }
}

static bool read_labels(lev_grit_tokens *t, hints *h, lev_grit_reading *out)
{
    char key[LEV_GRIT_KEY];
    lev_grit_token_join(t, 0, t->n, key);
    if (!t->cyrillic && match_any_way(key, h->systems, out))
        return true;
    take_soviet(t, h);
    take_words(t, h);
    return read_span(t, h->systems, out) || read_range(t, h->systems, out) ||
           read_name(t, h->systems, out);
}

static lev_status read_tokens(const char *marking, lev_grit_tokens *t, hints *h,
                              lev_grit_reading *out, lev_error *err)
{
    lev_status st = LEV_OK;
    hints words = *h;
    lev_grit_tokens rest = *t;
    if (lev_grit_read_wheel(t, &out->wheel)) {
        h->carrier = "bonded";
        (void)snprintf(h->prefer, sizeof h->prefer, "F;F-tube");
        take_system("F;F-tube;ANSI-bonded;ANSI-micro;JIS", h);
    } else if (*h->systems == '\0' && (lev_grit_read_file(t, out, &st, err) ||
                                       lev_grit_read_sieve(t, out, &st, err))) {
        return st;
    } else {
        char key[LEV_GRIT_KEY];
        lev_grit_token_join(t, 0, t->n, key);
        /* A name that ends in a size is still a name: alumina 0.3 um. */
        if (!t->cyrillic && t->t[0].type == LEV_TOKEN_WORD &&
            match_label(key, h->systems, WITH_LETTER, out))
            return LEV_OK;
        take_words(&rest, &words);
        if (read_size(t, words.systems, out, &st, err))
            return st;
    }
    if (read_labels(t, h, out))
        return LEV_OK;
    char key[LEV_GRIT_KEY];
    lev_grit_token_join(t, 0, t->n, key);
    return lev_grit_unknown(marking, key, h->systems, err);
}

/* "um" takes a number as it stands; the lists of files are systems only here. */
static lev_status read_elsewhere(const char *marking, const char *system,
                                 lev_grit_reading *r, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_grit_tokens t;
    LEV_TRY(lev_grit_tokenise(marking, &t, err));
    if (lev_text_same(system, "um")) {
        lev_grit g;
        if (t.t[0].type != LEV_TOKEN_NUMBER)
            LEV_TRY(lev_fail(err, LEV_E_FORMAT, "\"%s\" is no size in um", marking));
        LEV_TRY(lev_grit_bare(t.t[0].value, &g, err));
        lev_grit_reading_add(r, &g);
    } else if (lev_grit_is_file_list(system)) {
        int n = 0;
        if (lev_grit_read_file(&t, r, &st, err))
            for (int i = 0; i < r->n; i++)
                if (lev_text_same(r->match[i].system, system))
                    r->match[n++] = r->match[i];
        r->n = n;
        if (n == 0)
            LEV_TRY(
                lev_fail(err, LEV_E_UNKNOWN, "%s has no file \"%s\"", system, marking));
    } else {
        LEV_TRY(
            lev_fail(err, LEV_E_UNKNOWN, "no grit system is called \"%.40s\"", system));
    }
out:
    return st;
}

static void finish(lev_grit_reading *r, const hints *h)
{
    sort_matches(r, h);
    judge(r);
    warn(r);
    if (r->wheel.mineral[0] == '\0')
        memcpy(r->wheel.mineral, h->mineral, sizeof r->wheel.mineral);
    if (r->ambiguous)
        lev_grit_bench_tests(r);
}

lev_status lev_grit_read(const char *marking, const char *system, lev_grit_reading *out,
                         lev_error *err)
{
    lev_grit_tokens t;
    lev_grit_reading r = {.spread = 1.0, .wheel = {.structure = -1}};
    hints h = {.systems = ""};
    lev_status st = LEV_OK;
    const bool named = system != NULL && *system != '\0';
    const int s = named ? lev_grit_system_find(system) : -1;
    if (named && s < 0) {
        LEV_TRY(read_elsewhere(marking, system, &r, err));
    } else {
        if (s >= 0)
            (void)snprintf(h.systems, sizeof h.systems, "%s", lev_tab_system[s].id);
        LEV_TRY(lev_grit_tokenise(marking, &t, err));
        LEV_TRY(read_tokens(marking, &t, &h, &r, err));
    }
    finish(&r, &h);
    *out = r;
out:
    return st;
}
