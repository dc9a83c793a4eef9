/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The pad behind the sheet: it lets the sheet bulge where the face presses harder. The
 * shape is kept at the middles of a coarse net of cells over the map, straight between
 * them; map and net wrap round together. */
#ifndef SIMULATE_PAD_H
#define SIMULATE_PAD_H

#include <stddef.h>

#include "levigate/simulate.h"

enum { SIM_PAD_ROW = 128, SIM_PAD_SIDE = 32, SIM_PAD_COLUMNS = 8 };

typedef struct sim_pad {
    ptrdiff_t nx, ny, n; /* cells along rows, along columns, in all; n 0 = no pad */
    double *bulge_um;    /* n: the sheet above its own mean; owned */
    double *wave_um;     /* n: the same, wave by wave; owned */
    double *load;        /* n: uN um since the last turn; owned */
    double *give_um_mpa; /* n: of each wave, for the layer; owned */
    double *tilt;        /* n: share of each wave that the whole pad follows; owned */
    double *cas_x, *cas_y, *work; /* owned */
    double cell_um2;
    double slid_um; /* since the last turn */
    int blocks;     /* since the last turn */
} sim_pad;

/** Sections: one shape for all rows, for the pad lies across them all. No pad in the
 * step: n stays 0. */
lev_status sim_pad_init(sim_pad *p, const lev_sim_grid *grid, const lev_sim_step *step,
                        lev_error *err);
void sim_pad_release(sim_pad *p);

/** Height of the sheet over its own mean; x and y in shares of the map, 0..1. */
double sim_pad_at(const sim_pad *p, double x, double y);

/** Cell that a place lies in. */
ptrdiff_t sim_pad_cell(const sim_pad *p, double x, double y);

/** Least height of the sheet over its mean anywhere in a cell. */
double sim_pad_low(const sim_pad *p, ptrdiff_t ix, ptrdiff_t iy);

/** Let the loads gathered in p->load (uN um over p->slid_um) move the sheet's shape by
 * this share of the way to balance, and forget them. tail_um: the load falls e-fold
 * when the sheet rises by this. */
void sim_pad_turn(sim_pad *p, double share, double pressure_mpa, double tail_um);

/** Root mean square of the shape, um. */
double sim_pad_rms_um(const sim_pad *p);

#endif
