/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the search for lines shares between its files. */
#ifndef SURFACE_LINES_H
#define SURFACE_LINES_H

#include "levigate/surface.h"

/* The answer of the line filter at every point of a map of depths. */
typedef struct lev_response {
    const lev_map *depth;     /* below the neighbourhood, um; NaN where missing */
    float *best;              /* largest mean depth over the window; -infinity: none */
    unsigned char *direction; /* in steps of 180 / directions degrees from +x */
    double *sum, *count;      /* scratch: max(nx, ny) + 1 each */
    double *spread;           /* root mean square of the answers, one a direction */
    double length_um;         /* of the window */
    int directions;           /* at most 256 */
} lev_response;

void lev_respond(lev_response *r);

/** Sort n lines and hand a copy of the `most` deepest over. */
lev_status lev_lines_take(lev_line *line, ptrdiff_t n, ptrdiff_t most, lev_lines *out,
                          lev_error *err);

#endif
