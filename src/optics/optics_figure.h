/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The single figures of data/optics/light_figure.csv, by name. */
#ifndef OPTICS_FIGURE_H
#define OPTICS_FIGURE_H

#include "units.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The figure of this id; asserts that the table has it. */
double lev_light_figure(const char *id);

static inline double lev_light_rad(double deg)
{
    return deg * (LEV_PI / 180.0);
}

#ifdef __cplusplus
}
#endif
#endif
