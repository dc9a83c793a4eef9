/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the two parts of mkresponse share: runs of the kernel, and where to write. */
#ifndef TOOLS_MKRESPONSE_H
#define TOOLS_MKRESPONSE_H

#include <stdbool.h>
#include <stdio.h>

#include "levigate/simulate.h"

_Noreturn void give_up(const char *what);

/** Element i of the sequence of this base, 0..1. */
double halton(int i, int base);

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

#endif
