/* SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV in and out. See csv_io.h. Cells are decoded where they stand: a quoted cell only
 * grows shorter, and the separator behind it has been read before it is overwritten. */
#include "csv_io.h"

#include <stdio.h>
#include <string.h>

lev_status lev_csv_fail_at(const lev_csv *c, int line, int column, lev_status st,
                           lev_error *err)
{
    if (err != NULL) {
        (void)snprintf(err->where, sizeof err->where, "%.150s:%d:%d", c->name, line,
                       column);
        err->status = st;
    }
    return st;
}

static char part_of(const char *s)
{
    const size_t n = strcspn(s, ",;\t\r\n");
    return s[n] == ';' || s[n] == '\t' ? s[n] : ',';
}

lev_status lev_csv_open(lev_csv *c, const char *name, lev_bytes *bytes, lev_error *err)
{
    *c = (lev_csv){.name = name, .bytes = *bytes, .line = 1, .column = 1};
    *bytes = (lev_bytes){0};
    if (!lev_text_is_utf8(c->bytes.data, c->bytes.n)) {
        (void)lev_fail(err, LEV_E_FORMAT, "not UTF-8 text");
        lev_csv_release(c);
        return lev_fail_at(err, LEV_E_FORMAT, name);
    }
    if (strncmp(c->bytes.data, "\xEF\xBB\xBF", 3) == 0)
        c->at = 3;
    c->part = part_of(c->bytes.data + c->at);
    return LEV_OK;
}

void lev_csv_release(lev_csv *c)
{
    lev_bytes_release(&c->bytes);
}

static char now(const lev_csv *c)
{
    return c->at < c->bytes.n ? c->bytes.data[c->at] : '\0';
}

static char take(lev_csv *c)
{
    const char b = now(c);
    c->at++;
    if (b == '\n') {
        c->line++;
        c->column = 1;
    } else if (((unsigned char)b & 0xC0U) != 0x80U) {
        c->column++;
    }
    return b;
}

static bool at_end_of_line(const lev_csv *c)
{
    return c->at >= c->bytes.n || now(c) == '\n' ||
           (now(c) == '\r' && c->bytes.data[c->at + 1] == '\n');
}

static void end_line(lev_csv *c)
{
    if (c->at < c->bytes.n && now(c) == '\r')
        (void)take(c);
    if (c->at < c->bytes.n)
        (void)take(c);
}

static lev_status read_quoted(lev_csv *c, lev_csv_cell *cell, char **end,
                              lev_error *err)
{
    (void)take(c);
    char *to = c->bytes.data + c->at;
    cell->text = to;
    cell->quoted = true;
    for (;;) {
        if (c->at >= c->bytes.n) {
            (void)lev_fail(err, LEV_E_FORMAT, "quote is never closed");
            return lev_csv_fail_at(c, cell->line, cell->column, LEV_E_FORMAT, err);
        }
        const char b = take(c);
        if (b != '"') {
            *to++ = b;
        } else if (now(c) == '"') {
            *to++ = take(c);
        } else {
            break;
        }
    }
    *end = to;
    if (at_end_of_line(c) || now(c) == c->part)
        return LEV_OK;
    (void)lev_fail(err, LEV_E_FORMAT, "text stands behind a closed quote");
    return lev_csv_fail_at(c, c->line, c->column, LEV_E_FORMAT, err);
}

static lev_status read_cell(lev_csv *c, lev_csv_cell *cell, char **end, lev_error *err)
{
    *cell = (lev_csv_cell){
        .text = c->bytes.data + c->at, .line = c->line, .column = c->column};
    if (now(c) == '"')
        return read_quoted(c, cell, end, err);
    while (!at_end_of_line(c) && now(c) != c->part)
        (void)take(c);
    *end = c->bytes.data + c->at;
    return LEV_OK;
}

lev_status lev_csv_next(lev_csv *c, bool *row, lev_error *err)
{
    lev_status st = LEV_OK;
    char *end = NULL;
    c->cells = 0;
    while (c->at < c->bytes.n && at_end_of_line(c))
        end_line(c);
    *row = c->at < c->bytes.n;
    for (bool more = *row; more;) {
        if (c->cells == LEV_CSV_CELLS) {
            (void)lev_fail(err, LEV_E_LIMIT, "more than %d cells", LEV_CSV_CELLS);
            LEV_TRY(lev_csv_fail_at(c, c->line, c->column, LEV_E_LIMIT, err));
        }
        LEV_TRY(read_cell(c, &c->cell[c->cells++], &end, err));
        more = !at_end_of_line(c);
        if (more)
            (void)take(c);
        else
            end_line(c);
        *end = '\0';
    }
out:
    return st;
}

void lev_csv_put_text(lev_text *t, const char *s)
{
    lev_text_add(t, "\"");
    while (*s != '\0') {
        const size_t n = strcspn(s, "\"");
        lev_text_add_n(t, s, n);
        s += n;
        if (*s == '"') {
            lev_text_add(t, "\"\"");
            s++;
        }
    }
    lev_text_add(t, "\"");
}
