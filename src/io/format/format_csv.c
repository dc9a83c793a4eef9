/* SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV and TSV: profiles with named columns (x_mm, z_um) or maps as a table of heights.
 *
 * Cells are parted by tab, semicolon, comma or blanks; the comma may be the decimal
 * sign unless it parts cells, and in quotes even then. Lines that begin with # may say
 * `dx_um 2`, `dy_um 2`, `z_unit um`. Spacing and unit are never guessed: what neither
 * the file nor the caller says is asked for. An empty cell, NaN or BAD is a missing
 * point. */
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "bounds.h"
#include "csv.h"
#include "mem.h"
#include "num.h"
#include "text.h"

enum { SNIFF_BYTES = 4096 };

/* Text: no control bytes but blanks among the first few thousand. */
static bool sniff(const unsigned char *data, size_t n)
{
    for (size_t i = 0; i < n && i < SNIFF_BYTES; i++)
        if (data[i] < 32 && data[i] != '\t' && data[i] != '\n' && data[i] != '\r')
            return false;
    return true;
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t';
}

/* The next line in *s, *n, without blanks round it; false at the end. */
static bool take_line(csv_table *t, const char **s, size_t *n)
{
    const unsigned char *p = t->in.at;
    if (p >= t->in.end)
        return false;
    while (t->in.at < t->in.end && *t->in.at != '\n' && *t->in.at != '\r')
        t->in.at++;
    *s = (const char *)p;
    *n = (size_t)(t->in.at - p);
    if (t->in.at < t->in.end && *t->in.at++ == '\r' && t->in.at < t->in.end &&
        *t->in.at == '\n')
        t->in.at++;
    t->line++;
    while (*n > 0 && (*s)[*n - 1] == ' ')
        --*n;
    for (; *n > 0 && **s == ' '; ++*s)
        --*n;
    return true;
}

/* What parts the cells of this file, told from one line. */
static char parting(const char *s, size_t n)
{
    if (memchr(s, '\t', n) != NULL)
        return '\t';
    if (memchr(s, ';', n) != NULL)
        return ';';
    for (size_t i = 1; i + 1 < n; i++) /* "0,5 1,2": blanks part, commas are decimal */
        if (is_blank(s[i]) && isdigit((unsigned char)s[i - 1]) && s[i + 1] != ',' &&
            memchr(s, ',', i) != NULL && s[i - 1] != ',')
            return ' ';
    return memchr(s, ',', n) != NULL ? ',' : ' ';
}

static bool parts(const csv_table *t, char c)
{
    return c == t->parted || (t->parted == ' ' && c == '\t');
}

typedef struct csv_cell {
    char text[CSV_CELL_BYTES]; /* without blanks round it and without its quotes */
    bool quoted;               /* then a comma in it does not part */
} csv_cell;

/* The cell at *s; moves *s to the next one. Returns false after the last. */
static bool take_cell(const csv_table *t, const char **s, const char *end,
                      csv_cell *cell)
{
    size_t n = 0;
    bool within = false;
    const char *p = *s;
    cell->quoted = false;
    if (p > end)
        return false;
    for (; p < end && (within || !parts(t, *p)); p++) {
        if (*p == '"') {
            within = !within;
            cell->quoted = true;
        } else if (n + 1 < CSV_CELL_BYTES && (n > 0 || !is_blank(*p))) {
            cell->text[n++] = *p;
        }
    }
    while (n > 0 && is_blank(cell->text[n - 1]))
        n--;
    cell->text[n] = '\0';
    if (t->parted == ' ') {
        while (p + 1 < end && parts(t, p[1]))
            p++;
        if (p + 1 == end) /* blanks at the end of a line part nothing */
            p = end;
    }
    *s = p + 1;
    return true;
}

/* Nothing, or a word for a height that was not measured. */
static bool is_missing(const char *cell)
{
    const char *word = cell + (*cell == '-' || *cell == '+');
    return *cell == '\0' || lev_text_in_list(word, "nan;bad;inf;infinity");
}

/* A height or position; NaN for a missing one; false for what is none. */
static bool cell_value(const csv_table *t, const csv_cell *cell, double *v)
{
    *v = (double)NAN;
    return is_missing(cell->text) ||
           lev_num_parse(cell->text, t->parted != ',' || cell->quoted, v);
}

/* "# dx_um 2" */
static lev_status read_remark(csv_table *t, const char *s, size_t n, lev_error *err)
{
    char text[CSV_CELL_BYTES], key[16] = "", value[24] = "";
    (void)snprintf(text, sizeof text, "%.*s", (int)(n - 1), s + 1);
    if (sscanf(text, " %15[a-z_] %23s", key, value) < 2)
        return LEV_OK;
    double *to = NULL;
    if (strcmp(key, "dx_um") == 0)
        to = &t->dx_um;
    else if (strcmp(key, "dy_um") == 0)
        to = &t->dy_um;
    else if (strcmp(key, "z_unit") == 0)
        to = &t->z_um;
    else
        return LEV_OK;
    if (to == &t->z_um)
        *to = lev_format_unit(value, strlen(value));
    else if (!lev_num_parse(value, true, to))
        return lev_fail(err, LEV_E_FORMAT, "line %td: %s \"%s\" is not a number",
                        t->line, key, value);
    if (!(*to > 0.0))
        return lev_fail(err, LEV_E_FORMAT, "line %td: %s \"%s\"; %s", t->line, key,
                        value, to == &t->z_um ? "nm, um, mm or m" : "a number above 0");
    return LEV_OK;
}

static bool is_heading(const csv_table *t, const char *s, size_t n)
{
    csv_cell cell;
    const char *p = s;
    double v = 0.0;
    while (take_cell(t, &p, s + n, &cell))
        if (!cell_value(t, &cell, &v))
            return true;
    return false;
}

/* "mm", "[mm]", "(mm)", "in mm": the unit in um; 0 for what is none. */
static double unit_of(const char *s)
{
    s += strspn(s, "_[(/ ");
    if (lev_text_begins(s, "in ")) /* alone it is the inch */
        s += 3;
    return lev_format_unit(s, strcspn(s, ")] "));
}

/* "x_mm", "z [um]", "Height (nm)": what the column is and the unit behind it. */
static void read_name(csv_table *t, int column, const char *name)
{
    char word[CSV_CELL_BYTES];
    const size_t n = strcspn(name, "_[(/ ");
    const double um = unit_of(name + n);
    (void)snprintf(word, sizeof word, "%.*s", (int)n, name);
    if (lev_text_in_list(word, "x;distance;position") && t->x_column < 0) {
        t->x_column = column;
        t->x_um = um;
    } else if (lev_text_in_list(word, "z;height;heights") && t->z_column < 0) {
        t->z_column = column;
        t->z_um = um > 0.0 ? um : t->z_um;
    }
}

static lev_status read_heading(csv_table *t, const char *s, size_t n, lev_error *err)
{
    csv_cell cell;
    const char *p = s;
    for (int i = 0; take_cell(t, &p, s + n, &cell); i++) {
        read_name(t, i, cell.text);
        if (cell.text[0] != '\0')
            t->headings = i + 1;
    }
    t->named = true;
    if (t->z_column < 0)
        return lev_fail(err, LEV_E_FORMAT,
                        "line %td: no column of heights; a heading such as x_mm,z_um",
                        t->line);
    return LEV_OK;
}

/* A second heading that holds nothing but units; false for any other line. */
static bool read_units(csv_table *t, const char *s, size_t n)
{
    csv_cell cell;
    const char *p = s;
    double x_um = 0.0, z_um = 0.0;
    for (int i = 0; take_cell(t, &p, s + n, &cell); i++) {
        const double um = unit_of(cell.text);
        if (cell.text[0] != '\0' && !(um > 0.0))
            return false;
        x_um = i == t->x_column ? um : x_um;
        z_um = i == t->z_column ? um : z_um;
    }
    t->x_um = x_um > 0.0 ? x_um : t->x_um;
    t->z_um = z_um > 0.0 ? z_um : t->z_um;
    return z_um > 0.0;
}

static lev_status add_value(csv_table *t, double v, lev_error *err)
{
    if (t->n == t->cap) {
        void *p = t->v;
        const ptrdiff_t cap = 2 * t->cap + 1024;
        if (t->n >= 2 * (ptrdiff_t)LEV_LIMIT_SURFACE_POINTS)
            return lev_fail(err, LEV_E_LIMIT, "line %td: more than %d points", t->line,
                            LEV_LIMIT_SURFACE_POINTS);
        const lev_status st =
            lev_mem_grow(&p, (size_t)t->cap, (size_t)cap, sizeof *t->v, err);
        if (st < 0)
            return st;
        t->v = p;
        t->cap = cap;
    }
    t->v[t->n++] = v;
    return LEV_OK;
}

/* The cells of this line are as many as the first line had, or as the heading names
 * and nothing but empty ones more. */
static lev_status check_cells(csv_table *t, ptrdiff_t cells, ptrdiff_t filled,
                              lev_error *err)
{
    if (t->named && filled > t->headings)
        return lev_fail(
            err, LEV_E_FORMAT,
            "line %td: %td cells where the heading names %d; a decimal comma "
            "needs cells parted by semicolon or tab",
            t->line, filled, t->headings);
    if (t->rows == 0)
        t->columns = cells;
    if (cells != t->columns)
        return lev_fail(err, LEV_E_FORMAT,
                        "line %td: %td cells where the first has %td", t->line, cells,
                        t->columns);
    t->tails = t->tails || filled == cells;
    t->rows++;
    return LEV_OK;
}

/* One line of numbers; in a named table only the columns x and z are kept. */
static lev_status read_numbers(csv_table *t, const char *s, size_t n, lev_error *err)
{
    csv_cell cell;
    const char *p = s;
    ptrdiff_t columns = 0, filled = 0;
    for (; take_cell(t, &p, s + n, &cell); columns++) {
        double v = 0.0;
        if (cell.text[0] != '\0')
            filled = columns + 1;
        if (t->named && columns != t->x_column && columns != t->z_column)
            continue;
        if (!cell_value(t, &cell, &v))
            return lev_fail(err, LEV_E_FORMAT, "line %td: \"%.40s\" is not a number",
                            t->line, cell.text);
        t->points = t->points || strchr(cell.text, '.') != NULL;
        const lev_status st = add_value(t, v, err);
        if (st < 0)
            return st;
    }
    return check_cells(t, columns, filled, err);
}

static lev_status read_lines(csv_table *t, lev_error *err)
{
    lev_status st = LEV_OK;
    const char *s = NULL;
    size_t n = 0;
    while (take_line(t, &s, &n)) {
        if (n == 0 && (t->parted == '\0' || t->columns != 1))
            continue;
        if (n > 0 && *s == '#') {
            LEV_TRY(read_remark(t, s, n, err));
            continue;
        }
        if (t->parted == '\0') {
            t->parted = parting(s, n);
            if (is_heading(t, s, n)) {
                LEV_TRY(read_heading(t, s, n, err));
                continue;
            }
        }
        if (t->named && t->rows == 0 && read_units(t, s, n))
            continue;
        LEV_TRY(read_numbers(t, s, n, err));
    }
    if (t->rows == 0)
        LEV_TRY(lev_fail(err, LEV_E_FORMAT, "no heights in the file"));
out:
    return st;
}

static lev_status read(lev_cursor in, const lev_surface_hint *hint, lev_surface *out,
                       lev_error *err)
{
    csv_table t = {.in = in, .x_column = -1, .z_column = -1};
    if (in.end - in.at >= 3 && memcmp(in.at, "\xEF\xBB\xBF", 3) == 0)
        t.in.at += 3;
    lev_status st = read_lines(&t, err);
    if (st == LEV_OK)
        st = csv_to_surface(&t, hint, out, err);
    lev_mem_free(t.v);
    return st;
}

const lev_format lev_format_csv = {"csv", sniff, read};

/* ---- writing ---- */

static void pack_height(lev_pack *p, double z)
{
    if (!isnan(z))
        lev_pack_number(p, z, 0);
}

lev_status lev_csv_pack(const lev_surface *s, char parted_by, lev_bytes *out,
                        lev_error *err)
{
    lev_pack p = {0};
    const char part[2] = {parted_by, '\0'};
    if (lev_surface_is_map(s)) {
        lev_pack_text(&p, "# dx_um ");
        lev_pack_number(&p, s->map.dx_um, 0);
        lev_pack_text(&p, "\n# dy_um ");
        lev_pack_number(&p, s->map.dy_um, 0);
        lev_pack_text(&p, "\n# z_unit um\n");
        for (ptrdiff_t i = 0; i < s->map.nx * s->map.ny; i++) {
            pack_height(&p, lev_format_get(s, i));
            lev_pack_text(&p, (i + 1) % s->map.nx == 0 ? "\n" : part);
        }
    } else {
        lev_pack_text(&p, "# dx_um ");
        lev_pack_number(&p, s->trace.dx_um, 0);
        lev_pack_print(&p, "\nx_um%sz_um\n", part);
        for (ptrdiff_t i = 0; i < s->trace.n; i++) {
            lev_pack_number(&p, (double)i * s->trace.dx_um, 0);
            lev_pack_text(&p, part);
            pack_height(&p, s->trace.z_um[i]);
            lev_pack_text(&p, "\n");
        }
    }
    return lev_pack_take(&p, out, err);
}
