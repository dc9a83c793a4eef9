/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What scattering has to know of a map before it begins. */
#ifndef OPTICS_RELIEF_H
#define OPTICS_RELIEF_H

#include "levigate/optics.h"

#ifdef __cplusplus
extern "C" {
#endif

/* z = mean + slope_i (i - centre) + slope_j (j - centre), um and um a point. */
typedef struct lev_plane {
    double mean_um, slope_i, slope_j;
} lev_plane;

/** Pitch, size, gaps and equal shapes of an ensemble: one clear line each. */
lev_status lev_relief_check(const lev_height_view *maps, ptrdiff_t n, lev_error *err);

/** The mean plane; only its mean when the map repeats. No gaps allowed. */
lev_plane lev_relief_plane(const lev_height_view *m, bool repeats);

/** Share of the steps between neighbours larger than limit_um. */
double lev_relief_step_share(const lev_height_view *m, double limit_um);

#ifdef __cplusplus
}
#endif
#endif
