/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which format is it, and what all formats share. See format.h. */
#include "format.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "bounds.h"
#include "mem.h"
#include "text.h"
#include "units.h"

/* In this order: the text formats without a signature come last. */
enum { FORMATS_N = 6 };
static const lev_format *const FORMATS[FORMATS_N] = {&lev_format_x3p,  &lev_format_png,
                                                     &lev_format_tiff, &lev_format_sdf,
                                                     &lev_format_smd,  &lev_format_csv};

double lev_format_unit(const char *s, size_t n)
{
    static const struct {
        const char *name;
        double um;
    } units[] = {
        {"m", LEV_UM_PER_M}, {"mm", LEV_UM_PER_MM},   {"um", 1.0},
        {"\xC2\xB5m", 1.0},  {"\xCE\xBCm", 1.0},      {"\xB5m", 1.0},
        {"nm", 1e-3},        {"in", LEV_UM_PER_INCH}, {"inch", LEV_UM_PER_INCH},
        {"micron", 1.0},     {"microns", 1.0},        {"micrometer", 1.0},
        {"micrometre", 1.0}, {"micrometers", 1.0},    {"micrometres", 1.0}};
    char word[16];
    if (n >= sizeof word)
        return 0.0;
    memcpy(word, s, n);
    word[n] = '\0';
    for (size_t i = 0; i < sizeof units / sizeof *units; i++)
        if (lev_text_same(units[i].name, word))
            return units[i].um;
    return 0.0;
}

void lev_format_warn_cut(lev_surface *s)
{
    (void)snprintf(s->warning, sizeof s->warning,
                   "the file ends within its last height, which may be cut short");
}

void lev_format_warn_more(lev_surface *s, double announced)
{
    (void)snprintf(s->warning, sizeof s->warning,
                   "more heights than the %.0f of the header; the rest is left out",
                   announced);
}

lev_status lev_surface_parse(const void *data, size_t n, const lev_surface_hint *hint,
                             lev_surface *out, lev_error *err)
{
    static const lev_surface_hint none = {0};
    const unsigned char *p = data;
    lev_surface s = {0};
    if (n == 0)
        return lev_fail(err, LEV_E_FORMAT, "an empty file; heights are wanted");
    if (n >= 2 && (memcmp(p, "\xFF\xFE", 2) == 0 || memcmp(p, "\xFE\xFF", 2) == 0))
        return lev_fail(err, LEV_E_FORMAT,
                        "text of two bytes a letter (UTF-16); UTF-8 is read");
    for (int i = 0; i < FORMATS_N; i++) {
        if (!FORMATS[i]->sniff(p, n))
            continue;
        const lev_status st = FORMATS[i]->read((lev_cursor){p, p + n},
                                               hint != NULL ? hint : &none, &s, err);
        if (st < 0) {
            lev_surface_release(&s);
            return st;
        }
        s.format = FORMATS[i]->name;
        *out = s;
        return LEV_OK;
    }
    return lev_fail(err, LEV_E_FORMAT,
                    "no surface file; X3P, SDF, SMD, CSV, TIFF or PNG is read");
}

lev_status lev_surface_read(const char *path, const lev_surface_hint *hint,
                            lev_surface *out, lev_error *err)
{
    lev_bytes b = {0};
    lev_status st = lev_bytes_read(path, LEV_LIMIT_SURFACE_BYTES, &b, err);
    if (st == LEV_OK)
        st = lev_surface_parse(b.data, b.n, hint, out, err);
    lev_bytes_release(&b);
    return lev_fail_at(err, st, path);
}

lev_status lev_surface_pack(const lev_surface *s, const char *format, lev_bytes *out,
                            lev_error *err)
{
    if (strcmp(format, "x3p") == 0)
        return lev_x3p_pack(s, out, err);
    if (strcmp(format, "sdf") == 0 || strcmp(format, "sdf-ascii") == 0)
        return lev_sdf_pack(s, strcmp(format, "sdf") != 0, out, err);
    if (strcmp(format, "smd") == 0)
        return lev_smd_pack(s, out, err);
    if (strcmp(format, "csv") == 0 || strcmp(format, "tsv") == 0)
        return lev_csv_pack(s, *format == 'c' ? ',' : '\t', out, err);
    if (strcmp(format, "tiff") == 0 || strcmp(format, "tif") == 0)
        return lev_tiff_pack(s, out, err);
    if (strcmp(format, "png") == 0)
        return lev_png_pack(s, out, err);
    return lev_fail(err, LEV_E_USAGE,
                    "no format named \"%s\"; x3p, sdf, smd, csv, tsv, tiff or png",
                    format);
}

lev_status lev_surface_write(const char *path, const lev_surface *s, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_bytes b = {0};
    lev_sink sink = {0};
    const char *dot = strrchr(path, '.');
    LEV_TRY(lev_surface_pack(s, dot != NULL ? dot + 1 : "", &b, err));
    LEV_TRY(lev_sink_open(&sink, path, err));
    LEV_TRY(lev_sink_write(&sink, b.data, b.n, err));
    LEV_TRY(lev_sink_commit(&sink, err));
out:
    lev_sink_release(&sink);
    lev_bytes_release(&b);
    return lev_fail_at(err, st, path);
}
