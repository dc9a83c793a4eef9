/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The contact in SI units, between the step and the solver in lengths of d50. */
#ifndef CUT_TOUCH_H
#define CUT_TOUCH_H

#include "cut_contact.h"

typedef struct cut_touch {
    double d50_um, tangent;
    double hardness_pa, backing_pa, pressure_pa;
    double xi, coverage;
    double level, level_pa; /* share of the touching tips levelled, and at what push */
} cut_touch;

/** The steady surface; returns the grains per d50^2 of the sheet. */
double cut_touch_solve(const lev_grain_dist *grain, const cut_touch *in, cut_steady *s);

/** tan of an angle in degrees. */
double cut_tangent(double cone_deg);

#endif
