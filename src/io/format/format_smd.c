/* SPDX-License-Identifier: GPL-3.0-or-later */
/* SMD, ISO 5436-2, software gauges of type F1: one profile as text in four records,
 * each closed by ETX. A missing ETX or a checksum that differs is no reason to refuse
 * (checksum and keywords from memory). */
#include "format.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "num.h"
#include "text.h"
#include "units.h"

enum { LINE_MAX_BYTES = 200, WORDS_MAX = 8 };

typedef struct axis {
    char type; /* I, A or R; 0: not seen */
    double n, unit_um, scale, step;
} axis;

static bool sniff(const unsigned char *data, size_t n)
{
    return n >= 10 && memcmp(data, "ISO 5436 -", 10) == 0;
}

/* The next line, trimmed, cut at LINE_MAX_BYTES; false at the end of the input. */
static bool take_line(lev_cursor *c, char line[LINE_MAX_BYTES])
{
    size_t n = 0;
    if (c->at >= c->end)
        return false;
    while (c->at < c->end && *c->at != '\n' && *c->at != '\r') {
        const unsigned char b = *c->at++;
        if (n + 1 < LINE_MAX_BYTES && (n > 0 || !isspace(b)))
            line[n++] = (char)b;
    }
    if (c->at < c->end && *c->at++ == '\r' && c->at < c->end && *c->at == '\n')
        c->at++;
    while (n > 0 && isspace((unsigned char)line[n - 1]))
        n--;
    line[n] = '\0';
    return true;
}

/* Cut a line into words in place. */
static int split(char *line, char *word[WORDS_MAX])
{
    int n = 0;
    for (char *p = line; *p != '\0' && n < WORDS_MAX;) {
        while (isspace((unsigned char)*p))
            p++;
        if (*p == '\0')
            break;
        word[n++] = p;
        while (*p != '\0' && !isspace((unsigned char)*p))
            p++;
        if (*p != '\0')
            *p++ = '\0';
    }
    return n;
}

/* "CX I 22401 mm 1.0e0 D 2.5e-4". */
static lev_status read_axis(char *line, axis *x, axis *z, lev_error *err)
{
    char *w[WORDS_MAX];
    char copy[LINE_MAX_BYTES];
    axis a = {0};
    (void)snprintf(copy, sizeof copy, "%s", line);
    const int n = split(line, w);
    if (n < 6)
        return lev_fail(err, LEV_E_FORMAT, "axis line \"%s\" of %d words; 6 or 7", copy,
                        n);
    a.type = w[1][0];
    a.unit_um = lev_format_unit(w[3], strlen(w[3]));
    if (!lev_num_parse(w[2], false, &a.n) || !lev_num_parse(w[4], false, &a.scale) ||
        !(a.unit_um > 0.0))
        return lev_fail(err, LEV_E_FORMAT,
                        "axis line \"%s\": a count, a unit and a factor are wanted",
                        copy);
    if (a.type == 'I' && (n < 7 || !lev_num_parse(w[6], false, &a.step)))
        return lev_fail(err, LEV_E_FORMAT, "axis line \"%s\" without its increment",
                        copy);
    if (strcmp(w[0], "CX") == 0)
        *x = a;
    else if (strcmp(w[0], "CZ") == 0)
        *z = a;
    else
        return lev_fail(err, LEV_E_FORMAT, "axis %s; a profile has CX and CZ", w[0]);
    return LEV_OK;
}

static lev_status read_head(lev_cursor *c, axis *x, axis *z, lev_error *err)
{
    char line[LINE_MAX_BYTES];
    while (take_line(c, line)) {
        if (strchr(line, 3) != NULL)
            break;
        if (line[0] == 'C' && line[1] != '\0' && isspace((unsigned char)line[2])) {
            const lev_status st = read_axis(line, x, z, err);
            if (st < 0)
                return st;
        }
    }
    if (x->type != 'I')
        return lev_fail(err, LEV_E_FORMAT, "CX of type %c; I (even spacing) is read",
                        x->type != '\0' ? x->type : '-');
    if (z->type != 'A')
        return lev_fail(err, LEV_E_FORMAT, "CZ of type %c; A (heights) is read",
                        z->type != '\0' ? z->type : '-');
    return LEV_OK;
}

static lev_status read_heights(lev_cursor *c, const axis *z, ptrdiff_t n,
                               lev_surface *out, lev_error *err)
{
    char line[LINE_MAX_BYTES];
    for (ptrdiff_t i = 0; i < n; i++) {
        double v = (double)NAN;
        if (!take_line(c, line) || line[0] == 3)
            return lev_fail(err, LEV_E_FORMAT, "%td heights where the header has %td",
                            i, n);
        if (!lev_num_parse(line, false, &v) && !lev_text_same(line, "BAD") &&
            !lev_text_same(line, "NaN"))
            return lev_fail(err, LEV_E_FORMAT, "height %td, \"%.40s\", is not a number",
                            i + 1, line);
        lev_format_put(out, i, v * (z->scale * z->unit_um));
    }
    const lev_cursor behind = *c;
    double more = 0.0;
    if (take_line(c, line) && lev_num_parse(line, false, &more))
        lev_format_warn_more(out, (double)n);
    *c = behind;
    return LEV_OK;
}

static lev_status read(lev_cursor in, const lev_surface_hint *hint, lev_surface *out,
                       lev_error *err)
{
    lev_status st = LEV_OK;
    axis x = {0}, z = {0};
    char line[LINE_MAX_BYTES];
    (void)hint;
    LEV_TRY(read_head(&in, &x, &z, err));
    while (take_line(&in, line)) /* record 2 */
        if (strchr(line, 3) != NULL)
            break;
    LEV_TRY(lev_format_size(z.n, 1.0, err));
    if (z.n > (double)(in.end - in.at))
        LEV_TRY(lev_fail(err, LEV_E_FORMAT,
                         "%td bytes cannot hold the %.0f heights of the header",
                         in.end - in.at, z.n));
    LEV_TRY(lev_format_room(out, (ptrdiff_t)z.n, 1, x.step * x.scale * x.unit_um, 0.0,
                            err));
    LEV_TRY(read_heights(&in, &z, (ptrdiff_t)z.n, out, err));
    if (in.at == in.end && in.end[-1] != '\n')
        lev_format_warn_cut(out);
out:
    return st;
}

const lev_format lev_format_smd = {"smd", sniff, read};

lev_status lev_smd_pack(const lev_surface *s, lev_bytes *out, lev_error *err)
{
    lev_pack p = {0};
    unsigned sum = 0;
    if (lev_surface_is_map(s))
        return lev_fail(err, LEV_E_USAGE, "SMD holds one profile, not a map");
    lev_pack_print(&p,
                   "ISO 5436 - 2000 levigate\r\nPRF 1 ISO5436\r\nCX I %td um 1.0e0 D ",
                   s->trace.n);
    lev_pack_number(&p, s->trace.dx_um, 0);
    lev_pack_print(&p,
                   "\r\nCZ A %td um 1.0e0 D\r\n\x03\r\nCREATED_BY levigate\r\n"
                   "\x03\r\n",
                   s->trace.n);
    const size_t body = p.b.n;
    for (ptrdiff_t i = 0; i < s->trace.n; i++) {
        if (isnan(s->trace.z_um[i]))
            lev_pack_text(&p, "BAD");
        else
            lev_pack_number(&p, s->trace.z_um[i], 0);
        lev_pack_text(&p, "\r\n");
    }
    for (size_t i = body; i < p.b.n; i++)
        sum = (sum + (unsigned char)p.b.data[i]) % 65535U;
    lev_pack_print(&p, "\x03\r\n%u\r\n\x03\r\n\x1a", sum);
    return lev_pack_take(&p, out, err);
}
