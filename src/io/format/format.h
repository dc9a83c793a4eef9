/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Surface files: heights in, heights out, in the open formats of doc/formats.md.
 *
 * The format of a file is told by its content, never by its name. Declared sizes are
 * held against the bytes that are there and against LEV_LIMIT_SURFACE_POINTS before
 * anything is allocated. Lengths in files become micrometres here, once. */
#ifndef IO_FORMAT_H
#define IO_FORMAT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "file.h"
#include "levigate/surface.h"
#include "photo_small.h"

/* One measured thing: a map when map.z_um is set, otherwise a trace. */
typedef struct lev_surface {
    lev_trace trace;
    lev_map map;
    const char *format; /* name of the format it was read from */
    char warning[160];  /* "" or one sentence: a checksum that does not fit ... */
} lev_surface;

/* What a file may leave unsaid. Zero = not given; what a file says itself wins. */
typedef struct lev_surface_hint {
    double dx_um, dy_um; /* spacing of samples; dy 0 = dx */
    double z_unit_um;    /* micrometres in one unit of height */
    bool has_z_unit;
} lev_surface_hint;

bool lev_surface_is_map(const lev_surface *s);
void lev_surface_release(lev_surface *s);

/** Read a file of any format; `name` in messages. LEV_E_FORMAT with one line that says
 * where and what; LEV_E_USAGE when a spacing or unit must be told. */
lev_status lev_surface_read(const char *path, const lev_surface_hint *hint,
                            lev_surface *out, lev_error *err);
/** The same from memory. */
lev_status lev_surface_parse(const void *data, size_t n, const lev_surface_hint *hint,
                             lev_surface *out, lev_error *err);

/** Bytes of a file in a named format: x3p, sdf, sdf-ascii, smd, csv, tsv, tiff, png.
 * smd holds traces only, tiff and png maps only. */
lev_status lev_surface_pack(const lev_surface *s, const char *format, lev_bytes *out,
                            lev_error *err);
/** Write a file whole or not at all; the format by the ending of its name. */
lev_status lev_surface_write(const char *path, const lev_surface *s, lev_error *err);

/* The formats live in a module that the program loads on first use: their libraries
 * cost more to start than most verbs take. */
enum { LEV_FORMAT_API = 2 }; /* raised when a struct above changes */

typedef struct lev_format_api {
    int version; /* compare before use */
    lev_status (*read)(const char *path, const lev_surface_hint *hint, lev_surface *out,
                       lev_error *err);
    lev_status (*write)(const char *path, const lev_surface *s, lev_error *err);
    lev_status (*photo_small)(const void *data, size_t n, int side,
                              lev_photo_facts *facts, lev_bytes *out, lev_error *err);
} lev_format_api;

typedef const lev_format_api *(*lev_format_entry_fn)(void);
#define LEV_FORMAT_ENTRY_NAME "lev_format_entry"

/* ---- for the formats themselves ---- */

/* What is left of the input. */
typedef struct lev_cursor {
    const unsigned char *at, *end;
} lev_cursor;

typedef struct lev_format {
    const char *name;
    bool (*sniff)(const unsigned char *data, size_t n);
    lev_status (*read)(lev_cursor in, const lev_surface_hint *hint, lev_surface *out,
                       lev_error *err);
} lev_format;

/* Bytes being put together; a failure is remembered and told once, at the end. */
typedef struct lev_pack {
    lev_bytes b;
    size_t cap;
    lev_status st;
} lev_pack;

void lev_pack_add(lev_pack *p, const void *data, size_t n);
void lev_pack_text(lev_pack *p, const char *s);
#if defined(__GNUC__)
__attribute__((format(printf, 2, 3)))
#endif
void lev_pack_print(lev_pack *p, const char *format, ...);
/** A number that reads back the same, without the locale's say. */
void lev_pack_number(lev_pack *p, double x, int digits);
void lev_pack_le(lev_pack *p, double x, int type); /* see lev_cell_bytes */
/** Hand the bytes over, or the failure. */
lev_status lev_pack_take(lev_pack *p, lev_bytes *out, lev_error *err);

/* Types of a stored number, as SDF counts them. */
enum {
    LEV_CELL_U8,
    LEV_CELL_U16,
    LEV_CELL_U32,
    LEV_CELL_F32,
    LEV_CELL_I8,
    LEV_CELL_I16,
    LEV_CELL_I32,
    LEV_CELL_F64,
    LEV_CELLS
};

size_t lev_cell_bytes(int type);
/** Little-endian number at p. */
double lev_cell_read(const unsigned char *p, int type);

/** nx times ny points, both at least 1, within the limit. */
lev_status lev_format_size(double nx, double ny, lev_error *err);
/** A spacing read from a file: positive and finite. */
lev_status lev_format_spacing(double dx_um, const char *axis, lev_error *err);
/** Make room for nx x ny heights, a trace when ny is 1. */
lev_status lev_format_room(lev_surface *s, ptrdiff_t nx, ptrdiff_t ny, double dx_um,
                           double dy_um, lev_error *err);
/** Put height i (counted along x first); not finite becomes NaN. */
void lev_format_put(lev_surface *s, ptrdiff_t i, double z_um);
/** Height i, and the sizes of either kind. */
double lev_format_get(const lev_surface *s, ptrdiff_t i);

/** Heights are all there, but the file ends within the last: it may have been cut. */
void lev_format_warn_cut(lev_surface *s);
/** Numbers follow where the announced heights should have ended. */
void lev_format_warn_more(lev_surface *s, double announced);
ptrdiff_t lev_format_nx(const lev_surface *s);
ptrdiff_t lev_format_ny(const lev_surface *s);

/** Micrometres in a unit of length by its name (m mm um nm, with the sign for micro);
 * 0 when it is none. */
double lev_format_unit(const char *s, size_t n);

/** RFC 1321 digest as 32 small hexadecimal digits and a zero. */
void lev_md5(const void *data, size_t n, char out[33]);

extern const lev_format lev_format_x3p, lev_format_sdf, lev_format_smd, lev_format_tiff,
    lev_format_png, lev_format_csv;

lev_status lev_x3p_pack(const lev_surface *s, lev_bytes *out, lev_error *err);
lev_status lev_sdf_pack(const lev_surface *s, bool ascii, lev_bytes *out,
                        lev_error *err);
lev_status lev_smd_pack(const lev_surface *s, lev_bytes *out, lev_error *err);
lev_status lev_csv_pack(const lev_surface *s, char parted_by, lev_bytes *out,
                        lev_error *err);
lev_status lev_tiff_pack(const lev_surface *s, lev_bytes *out, lev_error *err);
lev_status lev_png_pack(const lev_surface *s, lev_bytes *out, lev_error *err);

#endif
