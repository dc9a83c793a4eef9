/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What main.xml of an X3P file says, and what its two readers share. */
#ifndef FORMAT_X3P_H
#define FORMAT_X3P_H

#include "format.h"

enum { X3P_NAME_BYTES = 256, X3P_AXES = 3 };

typedef struct x3p_axis {
    bool seen, absolute, stepped; /* stepped: it has an increment */
    int type; /* LEV_CELL_I16, _I32, _F32, _F64; -1: none or not known */
    double increment, offset; /* metres */
} x3p_axis;

typedef struct x3p_head {
    char feature[8];
    x3p_axis axis[X3P_AXES];
    double size[X3P_AXES]; /* points along x, y, layers */
    bool is_matrix, turned, has_list;
    char points[X3P_NAME_BYTES], points_md5[40];
    char valid[X3P_NAME_BYTES], valid_md5[40];
    char checksum_file[X3P_NAME_BYTES];
} x3p_head;

/* Puts points in their order along x, then y. */
typedef struct x3p_points {
    const x3p_head *head;
    lev_surface *out;
    double *cross[2]; /* positions of columns and rows where those axes are absolute */
    ptrdiff_t n, filled;
} x3p_points;

/** Read main.xml. A list of points in it is handed to list, after the head is known and
 * room was made; list may fail. */
lev_status x3p_read_xml(const char *xml, size_t n, x3p_head *head, x3p_points *points,
                        lev_error *err);

/** Check the head and make room; called once before the first point. */
lev_status x3p_open_points(x3p_points *p, size_t bytes_there, lev_error *err);
/** One point: one stored number per absolute axis in x, y, z order; v NULL = missing.
 */
lev_status x3p_put_point(x3p_points *p, const double *v, lev_error *err);
/** All points there; positions of absolute x and y must be evenly spaced. */
lev_status x3p_close_points(x3p_points *p, lev_error *err);
void x3p_points_release(x3p_points *p);

#endif
