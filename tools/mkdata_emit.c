/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Writes the checked tables as const C arrays. Same input, same bytes: tables stand in
 * order of name, rows in order of file and line.
 */
#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "levigate/trust.h"
#include "mkdata.h"

enum { MAX_PATH = 4096 };

static const char *const field_types[N_KINDS] = {
    "const char *", "const char *", "const char *", "int ", "double ",
    "const char *", "bool ",        "lev_mark ",    "int "};

/* ---- writing ---- */

static const char *const mark_enums[] = {"LEV_MARK_UNSET",
#define MARK_ENUM(name, text, rank, meaning) "LEV_MARK_" #name,
                                         LEV_MARK_LIST(MARK_ENUM)
#undef MARK_ENUM
};

static int by_name(const void *a, const void *b)
{
    const table *const x = a, *const y = b;

    return strcmp(x->name, y->name);
}

static void print_upper(FILE *f, const char *s)
{
    for (; *s; s++)
        fputc(toupper((unsigned char)*s), f);
}

static void print_header(FILE *f, const base *b)
{
    fputs(
        "/* Made from data/ by tools/mkdata.c; edit the CSV files instead. */\n"
        "#ifndef LEV_TABLES_H\n#define LEV_TABLES_H\n\n#include <stdbool.h>\n\n"
        "#include \"levigate/trust.h\"\n\n#ifdef __cplusplus\nextern \"C\" {\n#endif\n",
        f);
    for (int i = 0; i < b->n; i++) {
        const table *const t = &b->tab[i];

        fprintf(f, "\ntypedef struct lev_row_%s {\n", t->name);
        for (int k = 0; k < t->n_col; k++)
            fprintf(f, "    %s%s;\n", field_types[t->col[k].kind], t->col[k].name);
        fprintf(f, "} lev_row_%s;\nenum { LEV_TAB_", t->name);
        print_upper(f, t->name);
        fprintf(f, "_N = %d };\nextern const lev_row_%s lev_tab_%s[];\n", t->n_row,
                t->name, t->name);
    }
    fputs("\n#ifdef __cplusplus\n}\n#endif\n\n#endif\n", f);
}

static void print_text(FILE *f, const char *s)
{
    fputc('"', f);
    for (; *s; s++) {
        if (*s == '"' || *s == '\\' || *s == '?')
            fputc('\\', f);
        if (*s == '\n')
            fputs("\\n", f);
        else if (*s != '\r')
            fputc(*s, f);
    }
    fputc('"', f);
}

static void print_cell(FILE *f, base *b, const column *c, const char *s)
{
    if (c->kind == INT) {
        fputs(*s ? "" : "NO_INT", f);
        if (*s)
            fprintf(f, "%ld", strtol(s, NULL, 10));
    } else if (c->kind == REAL) {
        char text[32] = "UNKNOWN";

        for (int digits = 15; *s && digits <= 17; digits++) {
            snprintf(text, sizeof text, "%.*g", digits, strtod(s, NULL));
            if (!(fabs(strtod(text, NULL) - strtod(s, NULL)) > 0.0))
                break;
        }
        fprintf(f, "%s%s", text, *s && !strpbrk(text, ".e") ? ".0" : "");
    } else if (c->kind == FLAG) {
        fputs(*s == '1' ? "true" : "false", f);
    } else if (c->kind == MARK) {
        fputs(mark_enums[*s ? find_mark(s) : 0], f);
    } else if (c->kind == SOURCE) {
        fprintf(f, "%d", *s ? find_id(find_table(b, "source"), s) : -1);
    } else {
        print_text(f, s);
    }
}

static void print_tables(FILE *f, base *b)
{
    fputs("/* Made from data/ by tools/mkdata.c; edit the CSV files instead. */\n"
          "#include \"lev_tables.h\"\n\n#include <math.h>\n\n"
          "/* Empty cells; no <limits.h>, whose name a folder of the tree may shadow. "
          "*/\n"
          "#define UNKNOWN ((double)NAN)\n#define NO_INT (-2147483647 - 1)\n"
          "_Static_assert(sizeof(int) == 4, \"NO_INT is INT_MIN\");\n",
          f);
    for (int i = 0; i < b->n; i++) {
        const table *const t = &b->tab[i];

        fprintf(f, "\nconst lev_row_%s lev_tab_%s[] = {\n", t->name, t->name);
        for (int n = 0; n < t->n_row; n++) {
            fputs("    {", f);
            for (int k = 0; k < t->n_col; k++) {
                fputs(k ? ", " : "", f);
                print_cell(f, b, &t->col[k], t->row[n].cell[k]);
            }
            fputs("},\n", f);
        }
        fputs("};\n", f);
    }
}

/* Writes beside the target and renames, so that a failure leaves the old file whole. */
static void write_file(const char *dir, const char *name, base *b, bool header)
{
    char path[MAX_PATH], part[MAX_PATH];
    FILE *f;

    if (snprintf(path, sizeof path, "%s/%s", dir, name) >= MAX_PATH ||
        snprintf(part, sizeof part, "%s/%s.part", dir, name) >= MAX_PATH)
        refuse_file(dir, "path is too long", "a shorter OUTDIR");
    f = fopen(part, "wb");
    if (!f)
        refuse_file(part, strerror(errno), "an OUTDIR that exists and can be written");
    if (header)
        print_header(f, b);
    else
        print_tables(f, b);
    if (ferror(f) || fclose(f) != 0 || rename(part, path) != 0)
        refuse_file(path, strerror(errno), "room and permission to write");
}

void write_base(const char *dir, base *b)
{
    qsort(b->tab, (size_t)b->n, sizeof *b->tab, by_name);
    write_file(dir, "lev_tables.c", b, false);
    write_file(dir, "lev_tables.h", b, true);
}
