/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Reads CSV files (UTF-8, RFC 4180 quotes, # comments) into the tables of mkdata.h:
 * cells are whole and counted here, but not yet checked against their types.
 */
#include <ctype.h>
#include <errno.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "mkdata.h"

static const char *const kind_names[N_KINDS] = {"text", "id",   "key",  "int",   "real",
                                                "unit", "flag", "mark", "source"};

typedef struct reader {
    const char *file;
    char *p, *end;
    int line; /* of the next character */
} reader;

/* ---- memory: kept on one chain until the end, as befits a program of a second ---- */

typedef union block {
    union block *next;
    max_align_t align;
} block;

static block *chain;

void release_all(void)
{
    while (chain) {
        block *const next = chain->next;
        free(chain);
        chain = next;
    }
}

void *take(size_t size)
{
    block *const b = calloc(1, sizeof(block) + size);

    if (!b) {
        fprintf(stderr, "mkdata: memory: none left; a smaller table\n");
        exit(1);
    }
    b->next = chain;
    chain = b;
    return b + 1;
}

/* ---- messages ---- */

_Noreturn void refuse(const char *file, int line, const char *right, const char *fmt,
                      ...)
{
    va_list ap;

    fprintf(stderr, "mkdata: %s:%d: ", file, line);
    va_start(ap, fmt);
    vfprintf(stderr, fmt, ap);
    va_end(ap);
    fprintf(stderr, "; %s\n", right);
    exit(1);
}

_Noreturn void refuse_file(const char *file, const char *what, const char *right)
{
    fprintf(stderr, "mkdata: %s: %s; %s\n", file, what, right);
    exit(1);
}

/* ---- reading a file ---- */

static reader load(const char *file)
{
    FILE *const f = fopen(file, "rb");
    size_t cap = 1 << 16, n = 0;
    char *buf = take(cap + 1);

    if (!f)
        refuse_file(file, strerror(errno), "a readable CSV file");
    for (;;) {
        n += fread(buf + n, 1, cap - n, f);
        if (n < cap)
            break;
        buf = memcpy(take(2 * cap + 1), buf, n);
        cap *= 2;
    }
    if (ferror(f))
        refuse_file(file, "cannot be read to its end", "a readable CSV file");
    fclose(f);
    return (reader){.file = file, .p = buf, .end = buf + n, .line = 1};
}

/* Length of the UTF-8 sequence at p, 0 if it is malformed. */
static int utf8_length(const unsigned char *p, ptrdiff_t left)
{
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    const int n = *p < 0x80 ? 1 : *p >= 0xf0 ? 4 : *p >= 0xe0 ? 3 : *p >= 0xc2 ? 2 : 0;
    uint32_t c = n < 2 ? *p : *p & (0x7fu >> n);

    if (n == 0 || n > left)
        return 0;
    for (int i = 1; i < n; i++) {
        if ((p[i] & 0xc0) != 0x80)
            return 0;
        c = c << 6 | (p[i] & 0x3fu);
    }
    return c < least[n > 1 ? n : 0] || c > 0x10ffff || (c >= 0xd800 && c < 0xe000) ? 0
                                                                                   : n;
}

static void check_text(const reader *r)
{
    int line = 1;

    for (const char *p = r->p; p < r->end;) {
        const int n = utf8_length((const unsigned char *)p, r->end - p);
        const unsigned char c = (unsigned char)*p;

        if (n == 0)
            refuse(r->file, line, "text in UTF-8", "byte 0x%02x is not UTF-8", c);
        if (c == 0x7f || (c < 0x20 && c != '\n' && c != '\r'))
            refuse(r->file, line, "text without control characters or tabs",
                   "control character 0x%02x", c);
        line += c == '\n';
        p += n;
    }
}

static bool at_eol(const reader *r)
{
    return r->p < r->end && (*r->p == '\n' || *r->p == '\r');
}

static void skip_eol(reader *r)
{
    if (r->p < r->end && *r->p == '\r')
        r->p++;
    if (r->p < r->end && *r->p == '\n')
        r->p++;
    r->line++;
}

/* The rest of the line, as text of its own. */
static char *take_line(reader *r)
{
    const char *const start = r->p;
    char *text;

    while (r->p < r->end && !at_eol(r))
        r->p++;
    text = take((size_t)(r->p - start) + 1);
    memcpy(text, start, (size_t)(r->p - start));
    skip_eol(r);
    return text;
}

/* Bytes between the quotes, doubled ones counted twice. */
static size_t quoted_size(const reader *r)
{
    const char *p = r->p + 1;

    while (p < r->end && (*p != '"' || (p + 1 < r->end && p[1] == '"')))
        p += *p == '"' ? 2 : 1;
    if (p >= r->end)
        refuse(r->file, r->line, "a closing \" before the end of the file",
               "quote is never closed");
    return (size_t)(p - r->p - 1);
}

static char *take_quoted(reader *r)
{
    const size_t most = quoted_size(r);
    char *const text = take(most + 1);
    char *out = text;

    for (r->p++;; r->p++) {
        if (*r->p == '"' && (r->p + 1 >= r->end || r->p[1] != '"'))
            break;
        if (*r->p == '"')
            r->p++;
        r->line += *r->p == '\n';
        *out++ = *r->p;
    }
    r->p++;
    if (r->p < r->end && *r->p != ',' && !at_eol(r))
        refuse(r->file, r->line, "a comma or the end of the line after \"",
               "text after a closing quote");
    return text;
}

static char *take_plain(reader *r)
{
    const char *const start = r->p;
    char *text;

    while (r->p < r->end && *r->p != ',' && !at_eol(r)) {
        if (*r->p == '"')
            refuse(r->file, r->line, "the whole cell in quotes, inner ones doubled",
                   "quote inside an unquoted cell");
        r->p++;
    }
    text = take((size_t)(r->p - start) + 1);
    return memcpy(text, start, (size_t)(r->p - start));
}

static row take_record(reader *r)
{
    row rec = {
        .cell = take(MAX_COLUMNS * sizeof(char *)), .line = r->line, .file = r->file};

    for (;;) {
        if (rec.n == MAX_COLUMNS)
            refuse(r->file, rec.line, "a table with fewer columns", "over %d columns",
                   MAX_COLUMNS);
        rec.cell[rec.n++] =
            r->p < r->end && *r->p == '"' ? take_quoted(r) : take_plain(r);
        if (r->p >= r->end || at_eol(r))
            break;
        r->p++;
    }
    skip_eol(r);
    return rec;
}

/* ---- header and types ---- */

static bool is_name(const char *s)
{
    static const char *const reserved[] = {
        "auto",    "bool",     "break",   "case",   "catch",    "char",   "class",
        "const",   "continue", "default", "delete", "do",       "double", "else",
        "enum",    "export",   "extern",  "float",  "for",      "friend", "goto",
        "if",      "inline",   "int",     "long",   "new",      "not",    "operator",
        "or",      "and",      "private", "public", "register", "return", "short",
        "signed",  "sizeof",   "static",  "struct", "switch",   "this",   "template",
        "typedef", "typename", "union",   "using",  "virtual",  "void",   "while"};

    for (size_t i = 0; i < sizeof reserved / sizeof *reserved; i++)
        if (strcmp(s, reserved[i]) == 0)
            return false;
    if (!islower((unsigned char)*s))
        return false;
    for (; *s; s++)
        if (!islower((unsigned char)*s) && !isdigit((unsigned char)*s) && *s != '_')
            return false;
    return true;
}

static void set_type(column *c, char *text, const row *at)
{
    const size_t n = strlen(text);
    char *const arg = strchr(text, ':');

    if (n && text[n - 1] == '!') {
        c->required = true;
        text[n - 1] = '\0';
    }
    if (arg) {
        *arg = '\0';
        c->arg = arg + 1;
    }
    for (size_t i = 0; i < N_KINDS; i++) {
        if (strcmp(text, kind_names[i]) == 0) {
            c->kind = (kind)i;
            if (!c->arg || (*c->arg && (c->kind == REAL || c->kind == KEY)))
                return;
        }
    }
    refuse(at->file, at->line,
           "text, id, key, key:TABLE, int, real, real:UNIT, unit, flag, mark or source",
           "column \"%s\" has the unknown type \"%s%s%s\"", c->name, text,
           arg ? ":" : "", arg ? arg + 1 : "");
}

const column *find_column(const table *t, const char *name)
{
    for (int i = 0; i < t->n_col; i++)
        if (strcmp(t->col[i].name, name) == 0)
            return &t->col[i];
    return NULL;
}

table *find_table(base *b, const char *name)
{
    for (int i = 0; i < b->n; i++)
        if (strcmp(b->tab[i].name, name) == 0)
            return &b->tab[i];
    return NULL;
}

static void set_columns(table *t, const row *head, char *types, int type_line)
{
    reader r = {.file = head->file, .p = types, .end = types + strlen(types)};
    const row type = take_record(&r);
    const row at = {.file = head->file, .line = type_line};

    if (type.n != head->n)
        refuse(at.file, at.line, "one type for each column of the header",
               "%d types for %d columns", type.n, head->n);
    for (int i = 0; i < head->n; i++) {
        if (!is_name(head->cell[i]))
            refuse(head->file, head->line,
                   "lower case letters, digits and _, no word reserved in C or C++",
                   "column name \"%s\"", head->cell[i]);
        if (find_column(t, head->cell[i]))
            refuse(head->file, head->line, "each column once", "column \"%s\" twice",
                   head->cell[i]);
        t->col[i].name = head->cell[i];
        t->n_col = i + 1;
        set_type(&t->col[i], type.cell[i], &at);
    }
}

static bool same_columns(const table *a, const table *b)
{
    bool same = a->n_col == b->n_col;

    for (int i = 0; same && i < a->n_col; i++) {
        const column *const x = &a->col[i], *const y = &b->col[i];

        same = strcmp(x->name, y->name) == 0 && x->kind == y->kind &&
               x->required == y->required && !x->arg == !y->arg &&
               (!x->arg || strcmp(x->arg, y->arg) == 0);
    }
    return same;
}

static void check_marked(const table *t)
{
    const column *const source = find_column(t, "source");
    const column *const mark = find_column(t, "mark");

    if (strcmp(t->name, "source") == 0)
        return;
    if (!source || source->kind != SOURCE || !source->required)
        refuse(t->file, t->line, "a column source of type source!",
               "table %s does not say its source", t->name);
    if (!mark || mark->kind != MARK || !mark->required)
        refuse(t->file, t->line, "a column mark of type mark!",
               "table %s does not say its mark", t->name);
}

static table *join_table(base *b, const table *t)
{
    table *old = find_table(b, t->name);

    if (!is_name(t->name))
        refuse(t->file, t->line, "#table NAME in lower case letters, digits and _",
               "table name \"%s\"", t->name);
    if (old && !same_columns(old, t))
        refuse(t->file, t->line,
               "the same header and #type line in every file of a table",
               "table %s has other columns in %s", t->name, old->file);
    if (old)
        return old;
    if (b->n == MAX_TABLES)
        refuse(t->file, t->line, "fewer tables", "over %d tables", MAX_TABLES);
    check_marked(t);
    old = &b->tab[b->n++];
    *old = *t;
    return old;
}

static void add_row(table *t, row rec)
{
    if (rec.n != t->n_col)
        refuse(rec.file, rec.line, "one cell for each column; quotes round a comma",
               "%d cells for the %d columns of table %s", rec.n, t->n_col, t->name);
    if (t->n_row == t->cap) {
        row *const old = t->row;

        t->cap = t->cap ? 2 * t->cap : 64;
        t->row = take((size_t)t->cap * sizeof(row));
        if (old)
            memcpy(t->row, old, (size_t)t->n_row * sizeof(row));
    }
    t->row[t->n_row++] = rec;
}

/* Comments, #table, header, #type, then rows: the order the reader insists on. */
void read_file(base *b, const char *file)
{
    reader r = load(file);
    table fresh = {.file = file};
    table *t = NULL;
    row head = {0};

    check_text(&r);
    while (r.p < r.end) {
        const int line = r.line;

        if (*r.p == '#') {
            char *const text = take_line(&r);

            if (strncmp(text, "#table ", 7) == 0 && !fresh.name) {
                fresh.name = text + 7;
            } else if (strncmp(text, "#type ", 6) == 0 && head.n && !t) {
                fresh.line = head.line;
                set_columns(&fresh, &head, text + 6, line);
                t = join_table(b, &fresh);
            } else if (strncmp(text, "#table", 6) == 0 ||
                       strncmp(text, "#type", 5) == 0) {
                refuse(file, line,
                       "#table NAME, the header row, #type T,T,... in this order",
                       "\"%.6s\" out of place", text);
            }
        } else if (!fresh.name) {
            refuse(file, line, "a line #table NAME before the header",
                   "row before #table");
        } else if (!head.n) {
            head = take_record(&r);
        } else if (!t) {
            refuse(file, line, "a line #type T,T,... after the header",
                   "row before #type");
        } else {
            add_row(t, take_record(&r));
        }
    }
    if (!t)
        refuse(file, r.line, "#table NAME, the header row, #type T,T,...",
               "file ends before its #type line");
}
