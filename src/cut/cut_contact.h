/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The contact of springy grains with the surface they themselves leave, in lengths of
 * the volume median d50. See cut_contact.c. */
#ifndef CUT_CONTACT_H
#define CUT_CONTACT_H

#include "levigate/cut.h"

enum { CUT_TIPS = 96, CUT_SIZES = 22, CUT_GRID = 44 };

/* How many grains of a sheet reach how far. */
typedef struct cut_tips {
    double low, step;       /* heights low + i step, in d50 */
    double reach[CUT_TIPS]; /* share of grains whose tip stands above that height */
    double size[CUT_TIPS];  /* mean size of these grains, in d50 */
    double mean_square;     /* mean of D^2 by number, in d50^2 */
    double top;             /* no tip stands above it */
} cut_tips;

/* The depth distribution of the steady surface: point i lies at y0 + i step below the
 * sheet's plane, G = exp(-rate) is the share of the surface not deeper. */
typedef struct cut_steady {
    double y0, step;
    double rate[CUT_GRID];  /* Lambda(y) */
    double slope[CUT_GRID]; /* -dLambda/dy, >= 0 */
    double mean, sd, ra;
    double tangent;   /* t = tan of the cone's half-angle */
    double touching;  /* share of the grains that reach the mean height */
    double stand_out; /* of these, mean height above it: I / reach */
} cut_steady;

/** Nodes of the size distribution by number, in d50, with weights that add to one;
 * returns how many. *top receives the largest grain. */
int cut_size_nodes(const lev_grain_dist *grain, double d[CUT_SIZES],
                   double weight[CUT_SIZES], double *top);

/** Tips of a fresh sheet: heights D (1 + xi g). */
void cut_tips_init(const lev_grain_dist *grain, double xi, cut_tips *out);

/** Level a sheet: of the tips that would touch at this pressure over (n E_b), in d50^3,
 * the tallest `share` (0..1) are cut down to one height. */
void cut_tips_level(cut_tips *tips, double xi, double share, double pressure_over_k);

/** Steady surface. stiffness = pi H t / (2 E_b); load = pi n t^2 H / p in d50. */
void cut_steady_solve(const cut_tips *tips, double tangent, double stiffness,
                      double load, cut_steady *out);

/** Depth below the mean, in d50, which `share` of the length exceeds (0 < share < 1).
 */
double cut_steady_depth(const cut_steady *s, double share);

/** Depth below the mean (side +1) or height above it (side -1), in d50, which the
 * expected number of grooves (ridges) over a line of this length passes `count`
 * times. */
double cut_steady_extreme(const cut_steady *s, double length, double count, int side);

#endif
