/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bins of a scatter, turned into the plane of incidence; and its line spread. */
#ifndef OPTICS_COLLECT_H
#define OPTICS_COLLECT_H

#include "levigate/optics.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Direction cosines a step of one bin makes, and the width of a bin. */
typedef struct lev_turn {
    double in_p, in_q, cross_p, cross_q;
    double width_in, width_cross;
} lev_turn;

lev_turn lev_turn_of(const lev_scatter *s, double azimuth_rad);

/* w[half + i]: share sent to a direction cosine i * step off the mirror direction. */
typedef struct lev_line {
    double *w;
    ptrdiff_t half;
    double step;
    double mirror;
} lev_line;

lev_status lev_line_new(const lev_scatter *s, double azimuth_rad, bool cross,
                        lev_line *out, lev_error *err);
void lev_line_release(lev_line *l);

/** Contrast kept at so many cycles a unit of direction cosine. */
double lev_line_mtf(const lev_line *l, double cycles);

#ifdef __cplusplus
}
#endif
#endif
