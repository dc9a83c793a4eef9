/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Paths of grains over the map, cut into pieces that are functions of one coordinate:
 * by rows (x as a function of y) where the path is steeper than 45 degrees, by columns
 * (y as a function of x) elsewhere. Everything in pitches. */
#ifndef SIMULATE_PATH_H
#define SIMULATE_PATH_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "levigate/simulate.h"

/* minor(u) = offset + slope u on a line; offset + side sqrt(radius^2 - (u - centre)^2)
 * on a circle (radius > 0). */
typedef struct sim_piece {
    bool by_rows;
    double from, to; /* u from..to, one crossing at each whole number in [from, to) */
    double offset, slope;
    double radius, centre, side;
} sim_piece;

enum { SIM_PIECES = 4 };

typedef struct sim_path {
    sim_piece piece[SIM_PIECES];
    int n;
} sim_path;

/* What a lay asks of the map. */
typedef struct sim_lay {
    lev_lay lay;
    double angle_rad, radius; /* radius in pitches */
    ptrdiff_t nx, ny;
} sim_lay;

/** The path of a grain with four uniform numbers of its own; stroke counts the blocks,
 * for lays that turn about. Not for LEV_LAY_SECTION. */
sim_path sim_path_of(const sim_lay *lay, const double u[4], uint64_t stroke);

/** Paths per grain over the map and pitch of sliding distance: area over the length of
 * a path (LEV_LAY_SECTION: columns, each row apart). */
double sim_path_rate(const sim_lay *lay);

/** Where a piece crosses line u, and the cosine of its angle to the line's normal. */
double sim_piece_at(const sim_piece *p, double u, double *cosine);

#endif
