/* SPDX-License-Identifier: GPL-3.0-or-later */
/* SDF, ISO 25178-71: header, heights, trailer, as text or as packed bytes.
 *
 * Lengths are metres; height = value x Zscale. Missing points are "BAD" in text and the
 * extreme value of the type in bytes (from memory; no published sample could be had).
 * Names are compared without case, blanks round "=" vary. */
#include "format.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "num.h"
#include "text.h"
#include "units.h"

enum { HEADER_BYTES = 81, VERSION_BYTES = 8, NAME_MAX_BYTES = 40 };

typedef struct header {
    double nx, ny, xscale, yscale, zscale, compression, type, check;
} header;

static bool sniff(const unsigned char *data, size_t n)
{
    return n >= VERSION_BYTES && (data[0] == 'a' || data[0] == 'b') &&
           (memcmp(data + 1, "BCR-", 4) == 0 || memcmp(data + 1, "ISO-", 4) == 0);
}

static lev_status check_header(const header *h, lev_error *err)
{
    if (h->compression < 0.0 || h->compression > 0.0)
        return lev_fail(err, LEV_E_FORMAT, "compression %g; only 0 (none) is read",
                        h->compression);
    if (!(h->type >= 0.0 && h->type < LEV_CELLS))
        return lev_fail(err, LEV_E_FORMAT, "data type %g; 0 to 7", h->type);
    if (!isfinite(h->zscale) || !(fabs(h->zscale) > 0.0))
        return lev_fail(err, LEV_E_FORMAT, "Zscale %g; not 0", h->zscale);
    return lev_format_size(h->nx, h->ny, err);
}

static lev_status make_room(const header *h, lev_surface *out, lev_error *err)
{
    return lev_format_room(out, (ptrdiff_t)h->nx, (ptrdiff_t)h->ny,
                           h->xscale * LEV_UM_PER_M, h->yscale * LEV_UM_PER_M, err);
}

/* ---- bytes ---- */

/* The value that stands for "missing": the lowest of signed, the highest of unsigned
 * types. */
static bool is_missing(double v, int type)
{
    static const double extreme[LEV_CELLS] = {255.0,  65535.0,  4294967295.0,  0.0,
                                              -128.0, -32768.0, -2147483648.0, 0.0};
    if (type == LEV_CELL_F32 || type == LEV_CELL_F64)
        return !isfinite(v) || fabs(v) > 3e38;
    return fabs(v - extreme[type]) < 0.5;
}

static lev_status read_bytes(lev_cursor in, lev_surface *out, lev_error *err)
{
    lev_status st = LEV_OK;
    const unsigned char *p = in.at;
    if (in.end - in.at < HEADER_BYTES)
        return lev_fail(err, LEV_E_FORMAT, "header ends after %td of %d bytes",
                        in.end - in.at, HEADER_BYTES);
    const header h = {.nx = lev_cell_read(p + 42, LEV_CELL_U16),
                      .ny = lev_cell_read(p + 44, LEV_CELL_U16),
                      .xscale = lev_cell_read(p + 46, LEV_CELL_F64),
                      .yscale = lev_cell_read(p + 54, LEV_CELL_F64),
                      .zscale = lev_cell_read(p + 62, LEV_CELL_F64),
                      .compression = lev_cell_read(p + 78, LEV_CELL_U8),
                      .type = lev_cell_read(p + 79, LEV_CELL_U8)};
    LEV_TRY(check_header(&h, err));
    const int type = (int)h.type;
    const double have = (double)(in.end - in.at - HEADER_BYTES);
    const double want = h.nx * h.ny * (double)lev_cell_bytes(type);
    if (have < want)
        LEV_TRY(lev_fail(err, LEV_E_FORMAT,
                         "%.0f bytes of heights where the header asks for %.0f", have,
                         want));
    LEV_TRY(make_room(&h, out, err));
    p += HEADER_BYTES;
    for (ptrdiff_t i = 0; i < (ptrdiff_t)(h.nx * h.ny);
         i++, p += lev_cell_bytes(type)) {
        const double v = lev_cell_read(p, type);
        lev_format_put(
            out, i, is_missing(v, type) ? (double)NAN : v * (h.zscale * LEV_UM_PER_M));
    }
out:
    return st;
}

/* ---- text ---- */

static void skip_blanks(lev_cursor *c)
{
    while (c->at < c->end && (isspace(*c->at) || *c->at == '\0'))
        c->at++;
}

/* The line at the cursor without its end; the cursor moves behind it. */
static size_t take_line(lev_cursor *c, const unsigned char **line)
{
    *line = c->at;
    while (c->at < c->end && *c->at != '\n' && *c->at != '\r')
        c->at++;
    const size_t n = (size_t)(c->at - *line);
    while (c->at < c->end && (*c->at == '\n' || *c->at == '\r'))
        c->at++;
    return n;
}

static double *field_of(header *h, const char *name)
{
    const struct {
        const char *name;
        double *field;
    } fields[] = {{"NumPoints", &h->nx},  {"NumProfiles", &h->ny},
                  {"Xscale", &h->xscale}, {"Yscale", &h->yscale},
                  {"Zscale", &h->zscale}, {"Compression", &h->compression},
                  {"DataType", &h->type}, {"CheckType", &h->check}};
    for (size_t i = 0; i < sizeof fields / sizeof *fields; i++)
        if (lev_text_same(fields[i].name, name))
            return fields[i].field;
    return NULL;
}

/* Split "name = value" into two trimmed texts; false without "=". */
static bool split_line(const unsigned char *line, size_t n, char name[NAME_MAX_BYTES],
                       char value[NAME_MAX_BYTES])
{
    const unsigned char *eq = memchr(line, '=', n);
    if (eq == NULL)
        return false;
    size_t k = 0;
    for (const unsigned char *p = line; p < eq && k + 1 < NAME_MAX_BYTES; p++)
        if (!isspace(*p))
            name[k++] = (char)*p;
    name[k] = '\0';
    k = 0;
    for (const unsigned char *p = eq + 1; p < line + n && k + 1 < NAME_MAX_BYTES; p++)
        if (!isspace(*p))
            value[k++] = (char)*p;
    value[k] = '\0';
    return true;
}

/* The line that ends a section. */
static bool is_star(const unsigned char *line, size_t n)
{
    while (n > 0 && isspace(*line)) {
        line++;
        n--;
    }
    return n > 0 && *line == '*';
}

static lev_status read_text_header(lev_cursor *c, header *h, lev_error *err)
{
    const unsigned char *line = NULL;
    (void)take_line(c, &line); /* the version */
    while (c->at < c->end) {
        char name[NAME_MAX_BYTES], value[NAME_MAX_BYTES];
        const size_t n = take_line(c, &line);
        if (is_star(line, n))
            return LEV_OK;
        if (!split_line(line, n, name, value))
            continue;
        double *field = field_of(h, name);
        if (field != NULL && !lev_num_parse(value, false, field))
            return lev_fail(err, LEV_E_FORMAT, "%s \"%s\" is not a number", name,
                            value);
    }
    return lev_fail(err, LEV_E_FORMAT, "header without its closing *");
}

/* The next height; false at "*", at the end, or at what is no number. */
static bool take_height(lev_cursor *c, double *v)
{
    char text[64];
    size_t n = 0;
    skip_blanks(c);
    while (c->at < c->end && !isspace(*c->at) && *c->at != '\0' && n + 1 < sizeof text)
        text[n++] = (char)*c->at++;
    text[n] = '\0';
    if (lev_text_same(text, "BAD") || lev_text_same(text, "nan")) {
        *v = (double)NAN;
        return true;
    }
    return lev_num_parse(text, false, v);
}

static lev_status read_text(lev_cursor in, lev_surface *out, lev_error *err)
{
    lev_status st = LEV_OK;
    header h = {.zscale = 1.0};
    LEV_TRY(read_text_header(&in, &h, err));
    LEV_TRY(check_header(&h, err));
    if (h.nx * h.ny > (double)(in.end - in.at)) /* a height takes a digit and a blank */
        LEV_TRY(lev_fail(err, LEV_E_FORMAT,
                         "%td bytes cannot hold the %.0f heights the header asks for",
                         in.end - in.at, h.nx * h.ny));
    LEV_TRY(make_room(&h, out, err));
    for (ptrdiff_t i = 0; i < (ptrdiff_t)(h.nx * h.ny); i++) {
        double v = 0.0;
        if (!take_height(&in, &v))
            LEV_TRY(lev_fail(err, LEV_E_FORMAT, "height %td of %.0f is not a number",
                             i + 1, h.nx * h.ny));
        lev_format_put(out, i, v * (h.zscale * LEV_UM_PER_M));
    }
    double more = 0.0;
    if (in.at == in.end)
        lev_format_warn_cut(out);
    else if (take_height(&in, &more))
        lev_format_warn_more(out, h.nx * h.ny);
out:
    return st;
}

static lev_status read(lev_cursor in, const lev_surface_hint *hint, lev_surface *out,
                       lev_error *err)
{
    (void)hint;
    return in.at[0] == 'a' ? read_text(in, out, err) : read_bytes(in, out, err);
}

const lev_format lev_format_sdf = {"sdf", sniff, read};

/* ---- writing ---- */

static void pack_text(const lev_surface *s, ptrdiff_t nx, ptrdiff_t ny, double dx_um,
                      double dy_um, lev_pack *p)
{
    lev_pack_print(p,
                   "aISO-1.0\r\nManufacID = levigate\r\nCreateDate = 010120000000\r\n"
                   "ModDate = 010120000000\r\nNumPoints = %td\r\nNumProfiles = %td\r\n",
                   nx, ny);
    lev_pack_text(p, "Xscale = ");
    lev_pack_number(p, dx_um / LEV_UM_PER_M, 0);
    lev_pack_text(p, "\r\nYscale = ");
    lev_pack_number(p, dy_um / LEV_UM_PER_M, 0);
    lev_pack_print(p, "\r\nZscale = 1e-06\r\nZresolution = -1\r\nCompression = 0\r\n"
                      "DataType = 7\r\nCheckType = 0\r\n*\r\n");
    for (ptrdiff_t i = 0; i < nx * ny; i++) {
        const double z = lev_format_get(s, i);
        if (isnan(z))
            lev_pack_text(p, "BAD");
        else
            lev_pack_number(p, z, 0);
        lev_pack_text(p, (i + 1) % nx == 0 ? "\r\n" : " ");
    }
    lev_pack_text(p, "*\r\n*\r\n");
}

static void pack_bytes(const lev_surface *s, ptrdiff_t nx, ptrdiff_t ny, double dx_um,
                       double dy_um, lev_pack *p)
{
    const int type = ny == 1 ? LEV_CELL_F64 : LEV_CELL_F32;
    lev_pack_text(p, "bISO-1.0levigate  010120000000010120000000");
    lev_pack_le(p, (double)nx, LEV_CELL_U16);
    lev_pack_le(p, (double)ny, LEV_CELL_U16);
    lev_pack_le(p, dx_um / LEV_UM_PER_M, LEV_CELL_F64);
    lev_pack_le(p, dy_um / LEV_UM_PER_M, LEV_CELL_F64);
    lev_pack_le(p, 1.0 / LEV_UM_PER_M, LEV_CELL_F64);
    lev_pack_le(p, -1.0, LEV_CELL_F64);
    lev_pack_le(p, 0.0, LEV_CELL_U8);
    lev_pack_le(p, type, LEV_CELL_U8);
    lev_pack_le(p, 0.0, LEV_CELL_U8);
    for (ptrdiff_t i = 0; i < nx * ny; i++)
        lev_pack_le(p, lev_format_get(s, i), type);
}

lev_status lev_sdf_pack(const lev_surface *s, bool ascii, lev_bytes *out,
                        lev_error *err)
{
    lev_pack p = {0};
    const ptrdiff_t nx = lev_format_nx(s), ny = lev_format_ny(s);
    const bool map = lev_surface_is_map(s);
    const double dx = map ? s->map.dx_um : s->trace.dx_um,
                 dy = map ? s->map.dy_um : 0.0;
    if (ascii) {
        pack_text(s, nx, ny, dx, dy, &p);
    } else {
        if (nx > 65535 || ny > 65535)
            return lev_fail(err, LEV_E_LIMIT,
                            "%td x %td points; this format counts to 65535", nx, ny);
        pack_bytes(s, nx, ny, dx, dy, &p);
    }
    return lev_pack_take(&p, out, err);
}
