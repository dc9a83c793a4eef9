/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the parts of mkresponse share: runs of the kernel, and where to write. */
#ifndef TOOLS_MKRESPONSE_H
#define TOOLS_MKRESPONSE_H

#include <stdbool.h>
#include <stdio.h>

#include "levigate/simulate.h"
#include "quadfit.h"

/* The groups: name in the file, ends of the range, whether its logarithm counts. */
extern const quad_group RESPONSE_GROUP[GROUPS];
extern const double RESPONSE_D50_UM; /* of the grains worked with */

_Noreturn void give_up(const char *what);

/** Element i of the sequence of this base, 0..1. */
double halton(int i, int base);

/** Element i of the sequence over the groups. */
void response_place(double group[GROUPS], int i);

/** Grains of this size at these groups, until a depth is off. */
lev_sim_step response_step(const double group[GROUPS], double d50_um, double remove_um,
                           uint64_t seed);

lev_sim *face(double width_um, double pitch_um, int rows, int threads);
lev_sim_result run(lev_sim *s, const lev_sim_step *step);

/** The face becomes `waves` waves of this half height, alike in all rows. */
void set_waves(lev_sim *s, double width_um, double pitch_um, int rows, int waves,
               double half_um);

/** Depth removed when a share of the old texture (its long waves) is left, between
 * records in logarithms; NaN when it never is. */
double depth_at(const lev_sim_result *r, double share, bool wide);

FILE *open_in(const char *dir, const char *name);

/** Runs the pad's points and writes pad_response.csv and pad_error.csv. */
void write_pad(const char *dir, int threads);

/** Runs textures of other grains and writes old_response.csv. */
void write_old(const char *dir, int threads);

#endif
