/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The rules of data/README.md, one function each: what makes mkdata refuse a table, and
 * what only earns a warning.
 */
#include <ctype.h>
#include <errno.h>
#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "levigate/trust.h"
#include "mkdata.h"

/* ---- cells ---- */

/* Index of the row of t whose first column is id, -1 if there is none. */
int find_id(const table *t, const char *id)
{
    for (int i = 0; i < t->n_row; i++)
        if (strcmp(t->row[i].cell[0], id) == 0)
            return i;
    return -1;
}

int find_mark(const char *text)
{
    static const char *const names[] = {
#define MARK_TEXT(name, mark_text, rank, meaning) mark_text,
        LEV_MARK_LIST(MARK_TEXT)
#undef MARK_TEXT
    };

    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (strcmp(names[i], text) == 0)
            return (int)i + 1;
    return -1;
}

/* A decimal number: sign, digits with a point, exponent. Not nan, inf or hexadecimal.
 */
static bool is_number(const char *s, bool whole)
{
    const bool plain =
        strspn(s, whole ? "+-0123456789" : "+-.0123456789eE") == strlen(s);
    char *end;
    double x;

    if (!plain || !isdigit((unsigned char)s[strlen(s) - 1]))
        return false;
    errno = 0;
    x = strtod(s, &end);
    return !*end && isfinite(x) && errno == 0 &&
           (!whole || (x > INT_MIN && x <= INT_MAX));
}

/* The unit the column's name is or ends with, the longest one; NULL if none. */
static const char *suffix_of(const char *name, const table *unit)
{
    if (find_id(unit, name) >= 0)
        return name;
    for (const char *s = strchr(name, '_'); s; s = strchr(s + 1, '_'))
        if (find_id(unit, s + 1) >= 0)
            return s + 1;
    return NULL;
}

static void check_suffixes(base *b, const table *t, const table *unit)
{
    for (int i = 0; i < t->n_col; i++) {
        const column *const c = &t->col[i];
        const char *const suffix = suffix_of(c->name, unit);

        if (c->kind == KEY && c->arg && !find_table(b, c->arg))
            refuse(t->file, t->line, "the name of a table among the files",
                   "column \"%s\" points to the unknown table %s", c->name, c->arg);
        if (c->kind != REAL)
            continue;
        if (c->arg && find_id(unit, c->arg) < 0)
            refuse(t->file, t->line, "a suffix of the unit table",
                   "column \"%s\" has the unknown unit \"%s\"", c->name, c->arg);
        if (c->arg && (!suffix || strcmp(suffix, c->arg) != 0))
            refuse(t->file, t->line, "a name that ends with its unit",
                   "column \"%s\" does not end with _%s", c->name, c->arg);
        if (!c->arg && suffix)
            refuse(t->file, t->line, "type real:UNIT, or a name without a unit suffix",
                   "column \"%s\" ends with the unit %s but is a pure number", c->name,
                   suffix);
    }
}

static void check_cell(base *b, const column *c, const row *r, const char *text)
{
    const char *right = NULL;

    if (!*text && c->required)
        refuse(r->file, r->line, "a value in every row", "column \"%s\" is empty",
               c->name);
    if (c->kind == ID && !*text)
        refuse(r->file, r->line, "a value in every row", "column \"%s\" is empty",
               c->name);
    if (!*text)
        return;
    if (c->kind == INT && !is_number(text, true))
        right = "a whole number or nothing";
    else if (c->kind == REAL && !is_number(text, false))
        right = "a finite decimal number with a point, or nothing";
    else if (c->kind == FLAG && strcmp(text, "0") != 0 && strcmp(text, "1") != 0)
        right = "0 or 1";
    else if (c->kind == UNIT && find_id(find_table(b, "unit"), text) < 0)
        right = "a suffix of the unit table, or nothing for a pure number";
    else if (c->kind == MARK && find_mark(text) < 0)
        right = "a mark of include/levigate/trust.h";
    else if (c->kind == SOURCE && find_id(find_table(b, "source"), text) < 0)
        right = "an id of the source table";
    else if (c->kind == KEY && c->arg && find_id(find_table(b, c->arg), text) < 0)
        right = "an id of the table the column points to";
    if (right)
        refuse(r->file, r->line, right, "column \"%s\" holds \"%s\"", c->name, text);
}

const char *cell_of(const table *t, const row *r, const char *name)
{
    return r->cell[find_column(t, name) - t->col];
}

/* "none" is honest only beside a mark that claims no reading, and practice needs it. */
static void check_claim(base *b, const table *t, const row *r)
{
    const table *const sources = find_table(b, "source");
    const char *source, *mark, *kind_text;

    if (t == sources)
        return;
    source = cell_of(t, r, "source");
    mark = cell_of(t, r, "mark");
    kind_text = cell_of(sources, &sources->row[find_id(sources, source)], "kind");
    if (strcmp(source, "none") == 0) {
        if (strcmp(mark, "read") == 0 || strcmp(mark, "abstract") == 0 ||
            strcmp(mark, "second-hand") == 0)
            refuse(r->file, r->line, "the id of what was read",
                   "a row marked %s has the source none", mark);
    } else if (strcmp(mark, "practice") == 0 && strcmp(kind_text, "text") != 0) {
        refuse(r->file, r->line, "source none, or a source of kind text (a shop text)",
               "a row marked practice claims the source %s", source);
    }
}

static void check_unique(const table *t, int i_col)
{
    for (int i = 0; i < t->n_row; i++)
        for (int k = 0; k < i; k++)
            if (strcmp(t->row[i].cell[i_col], t->row[k].cell[i_col]) == 0)
                refuse(t->row[i].file, t->row[i].line, "each id once in a table",
                       "id \"%s\" stands already in %s:%d", t->row[i].cell[i_col],
                       t->row[k].file, t->row[k].line);
}

static void check_table(base *b, const table *t)
{
    if (t->n_row == 0)
        refuse(t->file, t->line, "at least one row", "table %s is empty", t->name);
    for (int i = 0; i < t->n_row; i++) {
        for (int k = 0; k < t->n_col; k++)
            check_cell(b, &t->col[k], &t->row[i], t->row[i].cell[k]);
        check_claim(b, t, &t->row[i]);
    }
    for (int k = 0; k < t->n_col; k++)
        if (t->col[k].kind == ID)
            check_unique(t, k);
}

void check_base(base *b)
{
    const char *const needed[] = {"source", "unit"};

    for (size_t i = 0; i < 2; i++) {
        const table *const t = find_table(b, needed[i]);

        if (!t)
            refuse_file(needed[i], "no file holds this table",
                        "give its CSV file as well");
        if (t->col[0].kind != ID || (i == 0 && !find_column(t, "kind")))
            refuse(t->file, t->line, "an id as first column; a column kind in source",
                   "table %s has no id or no kind", t->name);
    }
    for (int i = 0; i < b->n; i++)
        check_suffixes(b, &b->tab[i], find_table(b, "unit"));
    check_table(b, find_table(b, "source"));
    for (int i = 0; i < b->n; i++)
        check_table(b, &b->tab[i]);
}

/* ---- warnings ---- */

static void warn_unused(base *b)
{
    const table *const sources = find_table(b, "source");
    bool *const used = take((size_t)sources->n_row);

    for (int i = 0; i < b->n; i++) {
        const table *const t = &b->tab[i];

        for (int k = 0; k < t->n_col; k++)
            for (int n = 0; t->col[k].kind == SOURCE && n < t->n_row; n++)
                if (*t->row[n].cell[k])
                    used[find_id(sources, t->row[n].cell[k])] = true;
    }
    for (int i = 0; i < sources->n_row; i++)
        if (!used[i])
            fprintf(stderr, "mkdata: %s:%d: warning: no row uses the source %s\n",
                    sources->row[i].file, sources->row[i].line,
                    sources->row[i].cell[0]);
}

/* The number in a grit label; NAN when it has none. P220, #240, 1 1/2 and 60/40 (upper
 * size) read as they look, 0-2 as 2; aughts count down: 0, 2/0, 0000 are 0, -1, -3. */
static double label_number(const char *s)
{
    const size_t zeros = strspn(s += strcspn(s, "0123456789"), "0");
    char *end;
    double x, y;

    if (!*s)
        return (double)NAN;
    if (zeros > 1 && !s[zeros])
        return 1.0 - (double)zeros;
    x = strtod(s, &end);
    if (*end == '-' && isdigit((unsigned char)end[1]))
        return strtod(end + 1, NULL);
    if (*end == ' ' && isdigit((unsigned char)end[1]))
        return x + label_number(end + 1);
    if (*end != '/')
        return x;
    y = strtod(end + 1, NULL);
    return y > 0.0 ? (x < y ? x / y : x) : 1.0 - x;
}

/* The row of the grit table with the next higher number of the same system and source.
 */
static const row *next_grit(const table *t, const row *a)
{
    const double from = label_number(cell_of(t, a, "label"));
    const row *next = NULL;
    double least = HUGE_VAL;

    for (int i = 0; i < t->n_row; i++) {
        const row *const z = &t->row[i];
        const double number = label_number(cell_of(t, z, "label"));

        if (number > from && number < least && *cell_of(t, z, "d50_um") &&
            strcmp(cell_of(t, a, "system"), cell_of(t, z, "system")) == 0 &&
            strcmp(cell_of(t, a, "source"), cell_of(t, z, "source")) == 0) {
            next = z;
            least = number;
        }
    }
    return next;
}

static void warn_backwards(base *b)
{
    const char *const needed[] = {"system", "label", "d50_um"};
    const table *const t = find_table(b, "grit"), *const s = find_table(b, "system");

    for (size_t i = 0; i < 3; i++)
        if (!t || !s || !find_column(t, needed[i]) || !find_column(s, "order"))
            return;
    for (int i = 0; i < t->n_row; i++) {
        const row *const a = &t->row[i], *const z = next_grit(t, a);
        const int i_system = find_id(s, cell_of(t, a, "system"));
        const char *d_a = cell_of(t, a, "d50_um"), *order, *d_z;
        double step;

        if (!z || i_system < 0 || !*d_a)
            continue;
        d_z = cell_of(t, z, "d50_um");
        step = strtod(d_z, NULL) - strtod(d_a, NULL);
        order = cell_of(s, &s->row[i_system], "order");
        if ((strcmp(order, "falling") == 0 && step > 0.0) ||
            (strcmp(order, "rising") == 0 && step < 0.0))
            fprintf(stderr,
                    "mkdata: %s:%d: warning: sizes of %s run backwards from %s (%s um) "
                    "to %s (%s um)\n",
                    z->file, z->line, cell_of(t, a, "system"), cell_of(t, a, "label"),
                    d_a, cell_of(t, z, "label"), d_z);
    }
}

void warn_base(base *b)
{
    warn_unused(b);
    warn_backwards(b);
}
