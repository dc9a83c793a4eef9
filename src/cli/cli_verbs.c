/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading the command line by the table of verbs.
 *
 * getopt_long does the walking; argp would print two lines of its own for a wrong
 * option, and we owe one line that says what would be right. */
#include "cli_verbs.h"

#include <getopt.h>
#include <stdio.h>
#include <string.h>

#include "num.h"
#include "text.h"

enum { OPTIONS_MAX = 64, FIRST_CODE = 1000 };

static bool has_verb(const lev_verb_row *row, const char *verb)
{
    return strcmp(row->verb, "*") == 0 || strcmp(row->verb, verb) == 0;
}

const lev_verb_row *lev_verb_find(const char *verb)
{
    for (int i = 0; i < lev_verb_rows_n; i++)
        if (lev_verb_rows[i].kind == LEV_VERB_VERB &&
            strcmp(lev_verb_rows[i].verb, verb) == 0)
            return &lev_verb_rows[i];
    return NULL;
}

static bool repeats(const lev_verb_row *row)
{
    const size_t n = strlen(row->value);
    return n >= 3 && strcmp(row->value + n - 3, "...") == 0;
}

/* ---- one value ---- */

static lev_status check_number(const lev_verb_row *row, const char *name,
                               const char *value, lev_error *err)
{
    double x = 0.0;
    if (!lev_num_parse(value, false, &x))
        return lev_fail(err, LEV_E_USAGE,
                        "%s \"%.60s\" is not a number (decimal point)", name, value);
    if (row->type == LEV_VALUE_INT && (x > rint(x) || x < rint(x)))
        return lev_fail(err, LEV_E_USAGE, "%s %s is not a whole number", name, value);
    if (!(x >= row->low && x <= row->high))
        return lev_fail(err, LEV_E_USAGE,
                        "%s %s is out of range; it should be from %g to %g", name,
                        value, row->low, row->high);
    return LEV_OK;
}

/* A word of the list, in the list's own spelling from here on: the verbs compare to
 * the letter. The command line is ours to write in. */
static bool spell(char *value, const char *list)
{
    const size_t n = strlen(value);
    if (!lev_text_in_list(value, list))
        return false;
    for (const char *p = list; *p != '\0'; p += strcspn(p, ";")) {
        p += strspn(p, "; ");
        if (!lev_text_begins(p, value) || strcspn(p, "; ") != n)
            continue;
        if (memcmp(value, p, n) != 0)
            memcpy(value, p, n);
        break;
    }
    return true;
}

static lev_status check_value(const lev_verb_row *row, char *value, lev_error *err)
{
    char name[64];
    (void)snprintf(name, sizeof name, "%s%s", row->kind == LEV_VERB_ARG ? "" : "--",
                   row->param);
    if (!lev_text_is_utf8(value, strlen(value)))
        return lev_fail(err, LEV_E_USAGE, "%s is not clean UTF-8 text", name);
    switch (row->type) {
    case LEV_VALUE_NUMBER:
    case LEV_VALUE_INT:
        return check_number(row, name, value, err);
    case LEV_VALUE_WORD:
        if (!spell(value, row->values))
            return lev_fail(err, LEV_E_USAGE, "%s \"%.60s\" is not known; known: %s",
                            name, value, row->values);
        return LEV_OK;
    case LEV_VALUE_TEXT:
    case LEV_VALUE_NONE:
        break;
    }
    return LEV_OK;
}

static lev_status keep(lev_args *a, const lev_verb_row *row, char *value,
                       lev_error *err)
{
    lev_status st = LEV_OK;
    if (row->kind != LEV_VERB_FLAG)
        LEV_TRY(check_value(row, value, err));
    if (lev_args_has(a, row->param) && row->kind != LEV_VERB_FLAG && !repeats(row))
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "%s is given twice", row->param));
    if (a->n == LEV_ARGS_MAX)
        LEV_TRY(lev_fail(err, LEV_E_LIMIT, "more than %d arguments", LEV_ARGS_MAX));
    a->name[a->n] = row->param;
    a->value[a->n] = value;
    a->n++;
out:
    return st;
}

/* ---- the walk ---- */

/* Long options of a verb (of every verb for ""), coded by their row. */
static int collect_options(const char *verb, struct option out[OPTIONS_MAX])
{
    int n = 0;
    for (int i = 0; i < lev_verb_rows_n && n + 1 < OPTIONS_MAX; i++) {
        const lev_verb_row *row = &lev_verb_rows[i];
        if (!has_verb(row, verb) ||
            (row->kind != LEV_VERB_OPTION && row->kind != LEV_VERB_FLAG))
            continue;
        out[n++] = (struct option){
            row->param, row->kind == LEV_VERB_OPTION ? required_argument : no_argument,
            NULL, FIRST_CODE + i};
    }
    out[n] = (struct option){0};
    return n;
}

static lev_status unknown_option(const char *given, const struct option *options,
                                 int options_n, lev_error *err)
{
    const char *best = NULL;
    int least = 5;
    char name[80];
    (void)snprintf(name, sizeof name, "%.*s", (int)strcspn(given, "="), given);
    for (int i = 0; i < options_n; i++) {
        const int d = lev_text_distance(name + strspn(name, "-"), options[i].name);
        if (d < least) {
            least = d;
            best = options[i].name;
        }
    }
    if (best != NULL)
        return lev_fail(err, LEV_E_USAGE, "no option %s here; did you mean --%s", name,
                        best);
    return lev_fail(err, LEV_E_USAGE, "no option %s here; --help lists them", name);
}

/* The row behind a code of getopt: a long option, or -o for --output. */
static const lev_verb_row *row_of(int code, const char *verb)
{
    if (code >= FIRST_CODE)
        return &lev_verb_rows[code - FIRST_CODE];
    for (int i = 0; i < lev_verb_rows_n && code == 'o'; i++)
        if (has_verb(&lev_verb_rows[i], verb) &&
            strcmp(lev_verb_rows[i].param, "output") == 0)
            return &lev_verb_rows[i];
    return NULL;
}

/* The first word that is no option is the verb; its options are known from there on. */
static lev_status walk(lev_args *a, int argc, char **argv, char *words[], int *words_n,
                       lev_error *err)
{
    lev_status st = LEV_OK;
    struct option options[OPTIONS_MAX];
    int options_n = collect_options(a->verb, options), code = 0;

    optind = 0; /* glibc: start anew */
    opterr = 0;
    while ((code = getopt_long(argc, argv, "-:o:", options, NULL)) != -1) {
        const lev_verb_row *row = row_of(code, a->verb);
        if (code == 1) { /* a word that is no option */
            if (a->verb[0] == '\0') {
                if (lev_verb_find(optarg) == NULL)
                    LEV_TRY(lev_fail(err, LEV_E_USAGE, "no verb \"%.40s\"", optarg));
                a->verb = optarg;
                options_n = collect_options(a->verb, options);
            } else if (*words_n < LEV_ARGS_MAX) {
                words[(*words_n)++] = optarg;
            }
        } else if (row != NULL) {
            LEV_TRY(keep(a, row, optarg, err));
        } else if (code == ':') {
            LEV_TRY(lev_fail(err, LEV_E_USAGE, "%s wants a value", argv[optind - 1]));
        } else {
            const char *given = argv[optind > 0 ? optind - 1 : 1];
            LEV_TRY(unknown_option(given, options, options_n, err));
        }
    }
    for (; optind < argc && *words_n < LEV_ARGS_MAX; optind++) /* behind "--" */
        words[(*words_n)++] = argv[optind];
out:
    return st;
}

/* Give the words to the positional parameters, the last of which may repeat. */
static lev_status place_words(lev_args *a, char *const words[], int words_n,
                              lev_error *err)
{
    lev_status st = LEV_OK;
    int used = 0;
    for (int i = 0; i < lev_verb_rows_n; i++) {
        const lev_verb_row *row = &lev_verb_rows[i];
        if (strcmp(row->verb, a->verb) != 0 || row->kind != LEV_VERB_ARG)
            continue;
        for (bool more = true; more && used < words_n; more = repeats(row))
            LEV_TRY(keep(a, row, words[used++], err));
    }
    if (used < words_n)
        LEV_TRY(
            lev_fail(err, LEV_E_USAGE,
                     "\"%.60s\" is one word too many; quote a marking of several words",
                     words[used]));
out:
    return st;
}

lev_status lev_args_read(lev_args *out, int argc, char **argv, lev_error *err)
{
    lev_status st = LEV_OK;
    char *words[LEV_ARGS_MAX];
    int words_n = 0;
    *out = (lev_args){.verb = ""};
    LEV_TRY(walk(out, argc, argv, words, &words_n, err));
    LEV_TRY(place_words(out, words, words_n, err));
out:
    if (st < 0)
        (void)lev_fail_at(err, st, out->verb[0] != '\0' ? out->verb : "usage");
    return st;
}

/* ---- look-up ---- */

bool lev_args_has(const lev_args *a, const char *name)
{
    return lev_args_nth(a, name, 0) != NULL;
}

const char *lev_args_nth(const lev_args *a, const char *name, int i)
{
    for (int k = 0; k < a->n; k++)
        if (strcmp(a->name[k], name) == 0 && i-- == 0)
            return a->value[k] != NULL ? a->value[k] : "";
    return NULL;
}

const char *lev_args_text(const lev_args *a, const char *name)
{
    return lev_args_nth(a, name, 0);
}

double lev_args_number(const lev_args *a, const char *name, double otherwise)
{
    const char *s = lev_args_text(a, name);
    double x = otherwise;
    if (s != NULL)
        (void)lev_num_parse(s, false, &x); /* checked when it was read */
    return x;
}
