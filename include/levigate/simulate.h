/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The face, grain by grain: what a step of one abrasive does to a map of heights.
 *
 * Each grain is a cone (tip rounded if asked) on a spring; it digs in until the spring
 * balances the plastic resistance of the surface as it is there; a share of the groove
 * is removed, the rest is raised beside it. The sheet's height follows the load. The
 * model, its sources and its check values: doc/physics/kernel.md.
 * Random numbers are counter-based: the same seed gives the same bits for any number of
 * threads, and on any processor. */
#ifndef LEVIGATE_SIMULATE_H
#define LEVIGATE_SIMULATE_H

#include <stddef.h>
#include <stdint.h>

#include "levigate/cut.h"
#include "levigate/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* The model and its rounding: results carry it; it grows whenever bits change. */
enum { LEV_SIM_MODEL = 2 };
enum { LEV_SIM_TEXTURES = 64 }; /* most that a grid may ask to follow */

typedef enum lev_lay {
    LEV_LAY_SECTION = 0, /* rows are independent sections across a one-way lay */
    LEV_LAY_STRAIGHT,    /* one way, at angle_rad */
    LEV_LAY_CROSS,       /* strokes in turn at +angle_rad and -angle_rad */
    LEV_LAY_ORBITAL,     /* circles of radius_um about random centres */
    LEV_LAY_CIRCULAR,    /* concentric about the middle of the map: turned, disc */
    LEV_LAY_ARCS         /* random direction, radius radius_um, either side */
} lev_lay;

/* The map. Heights wrap round at its edges. Zero-initialised members: see each. */
typedef struct lev_sim_grid {
    ptrdiff_t nx, ny;    /* columns and rows, nx >= 16, ny >= 1 */
    double pitch_um;     /* between columns and between rows, > 0 */
    size_t memory_bytes; /* refuse to allocate more; 0 = 1 GiB */
    int threads;         /* 0 = 1 */
    int plain;           /* non-zero: only the plain C kernels */
    int textures;        /* most textures followed apart over the steps; 0 = none */
} lev_sim_grid;

/* One abrasive. */
typedef struct lev_sim_grains {
    double d50_um;     /* median size by volume, > 0 */
    double ln_sigma;   /* spread of sizes by volume, >= 0 (0.2 is usual) */
    double largest_um; /* none above this; 0 = d50 exp(3 ln_sigma) */
    double coverage;   /* share of the sheet under grains, 0..1; 0 = 0.6 (closed) */
    double
        height_spread; /* tip height = size (1 + this * normal); 0 = 0.10; < 0 = none */
    double half_angle_rad; /* of a tip's cone, 0..pi/2; 0 = 70 degrees */
    double angle_lnsd;     /* spread of its tangent from grain to grain, log, >= 0 */
    double tip_round;      /* radius of the tip over the grain's size, >= 0 */
    double dressed;  /* run in: share 0..1 of the tips that touch a flat face under this
                        load, cut down to one height, tallest first */
    ptrdiff_t count; /* grains on the sheet; 0 = 262144 */
} lev_sim_grains;

/* What stands behind the sheet. Zero-initialised: nothing gives, the sheet is flat. */
typedef struct lev_sim_pad {
    double modulus_mpa; /* of the layer, E / (1 - nu^2); 0 = it does not give */
    double thick_um;    /* of the layer, held at its hard back; 0 = deeper than any
                           wave of the map is long */
    double poisson;     /* of the layer, 0 < .. < 0.5; 0 = 0.4 */
    double side_um;     /* of the square in contact, free to rise and tilt as it moves
                           about the face; 0 = wider than the map and not tilting */
    double grain_share; /* share of the layer's give that one grain feels through the
                           sheet, >= 0: 1/E_b = 1/backing_mpa + this/modulus_mpa.
                           0 = backing_mpa has it already */
} lev_sim_pad;

/* One step. */
typedef struct lev_sim_step {
    lev_sim_grains grains;
    lev_sim_pad pad;
    double hardness_mpa; /* indentation hardness of the work, > 0 */
    double
        backing_mpa; /* modulus of what carries one grain, > 0; spring = this * size */
    double pressure_kpa;  /* on the area in contact, > 0 */
    double removed_share; /* of a groove's section, 0 < .. <= 1; 0 = 1 */
    double ridge_width;   /* width of a ridge over half the groove's, > 0; 0 = 2 */
    double wear;          /* height a grain loses per sliding distance over the share of
                             its size that its spring gives way, >= 0 */
    lev_lay lay;
    double angle_rad;  /* of the lay against the columns, -pi/2..pi/2 */
    double radius_um;  /* of circles and arcs, > 0 where the lay has them */
    double distance_m; /* sliding distance of each point of the sheet, > 0 */
    double depth_um;   /* stop once this much is removed; 0 = never */
    int records;       /* wanted in the result, evenly spread; 0 = 32 */
    uint64_t seed;
} lev_sim_step;

/* The face at one moment of a step; depths from the mean of the map. */
typedef struct lev_sim_record {
    double distance_m;
    double removed_um;   /* mean depth since the step began */
    double pressure_kpa; /* carried, mean since the last record */
    double Ra_um, Rq_um; /* about the mean plane, no filter */
    double deepest_um;   /* lowest height below the mean */
    double old_share;    /* of the face, not yet recut in this step */
    double
        old_deepest_um; /* deepest of what is not yet recut; 0 when nothing is left */
    double
        old_amplitude; /* what is left of the texture found: its projection, 1 = all */
    double old_long;   /* the same of its part longer than the grain size ... */
    double old_short;  /* ... and of the rest */
    double sheet_um;   /* the sheet's mean height above the mean of the face */
    double bulge_um;   /* its shape over that mean, which the pad gives it, rms */
    double contacts_per_mm2; /* grains touching at once, mean since the last record */
} lev_sim_record;

typedef struct lev_sim_result {
    lev_sim_record *record; /* n of them, the first before the step; owned */
    ptrdiff_t n;
    double removed_um3;  /* volume removed, summed groove by groove */
    double lost_um3;     /* volume missing from the map: equal but for rounding */
    double grain_metres; /* sliding distance of grains that could touch, summed */
    double cut_metres;   /* of it, touching */
    double pixels;       /* heights visited by the kernels */
    uint64_t seed;
    int model;
} lev_sim_result;

void lev_sim_result_release(lev_sim_result *r);

typedef struct lev_sim lev_sim;

/* What is left of one texture, followed as itself: its map when made is projected out
 * of the face now, never a difference of Ra. A texture is what a step made over the
 * remains of the earlier ones, so the maps are orthogonal and the shares do not count
 * anything twice. */
typedef struct lev_sim_texture {
    int step;          /* that made it; 0 = as found */
    double Rq_um;      /* of its own map when made */
    double left;       /* amplitude left over that when made: 1 = all */
    double left_long;  /* the same of its waves longer than cut_um ... */
    double left_short; /* ... and of the rest */
    double chance;     /* sd of `left` that the newest texture gives by mere chance */
    double cut_um; /* grain size of the first step that worked over it; 0 = none yet */
    double share;  /* of the face: its own lines, not recut since */
    double deepest_um; /* lowest of these points below the mean; 0 when none is left */
} lev_sim_texture;

/* Called now and then with 0..1 done; non-zero cancels. May be NULL. */
typedef int (*lev_sim_progress)(void *payload, double done);

/** Working memory in bytes that a map of this size takes; SIZE_MAX when it cannot be.
 */
size_t lev_sim_bytes(const lev_sim_grid *grid);

/**
 * A flat face.
 * @return LEV_OK; LEV_E_RANGE for a bad grid; LEV_E_LIMIT when the map would take more
 *         than memory_bytes, before anything is allocated; LEV_E_MEMORY
 */
lev_status lev_sim_new(const lev_sim_grid *grid, lev_sim **out, lev_error *err);
void lev_sim_free(lev_sim *sim);

/** Heights as found, row by row, nx * ny finite numbers; the steps run so far are
 * forgotten.
 * @return LEV_OK; LEV_E_RANGE names the first point that is no number; LEV_E_MEMORY;
 * the face is as before on failure */
lev_status lev_sim_set_heights(lev_sim *sim, const float *h_um, lev_error *err);

/** Heights now, into nx * ny floats, about their mean; h_um may not be NULL. */
void lev_sim_heights(const lev_sim *sim, float *h_um);

/** Number of the step (1, 2 ...) that cut each point last, 0 = none; borrowed. */
const uint8_t *lev_sim_age(const lev_sim *sim);

/** The textures followed, oldest first, as of the last whole step (the one it made
 * stands last); borrowed until the next call. When more than grid.textures would stand,
 * the one of which least is left is dropped. */
const lev_sim_texture *lev_sim_textures(const lev_sim *sim, ptrdiff_t *n);

/**
 * Run one step.
 *
 * On failure or cancel the face is what it was before the call.
 * @param out  released by the caller; untouched on failure
 * @return LEV_OK; LEV_E_RANGE for bad input, or a pitch too coarse for these grooves
 *         (the message names the pitch needed); LEV_E_LIMIT after 250 steps;
 *         LEV_E_CANCEL; LEV_E_MEMORY
 */
lev_status lev_sim_run(lev_sim *sim, const lev_sim_step *step,
                       lev_sim_progress progress, void *payload, lev_sim_result *out,
                       lev_error *err);

/** The step a pass of grains amounts to, down to depth_um > 0: the same grains, load,
 * work, backing and pad; lay and seed are the caller's. The distance is what the load
 * balance needs for this depth and a half more.
 * @return LEV_OK; LEV_E_RANGE for a pass without grains */
lev_status lev_sim_step_of_pass(const lev_cut_pass *pass, double depth_um,
                                lev_sim_step *out, lev_error *err);

/** Coarsest pitch at which this step's grooves are resolved, um (see lev_sim_run). */
lev_status lev_sim_pitch_um(const lev_sim_step *step, double *pitch_um, lev_error *err);

/**
 * Light from one side on a map of heights: 8-bit grey, nx * ny, row by row.
 *
 * @param h_um          heights, NaN drawn black
 * @param azimuth_rad   the lamp stands this way, from the columns' direction
 * @param altitude_rad  above the face, 0 < .. <= pi/2
 * @param stretch       heights are multiplied by this first; 0 = so that slopes show
 */
lev_status lev_relief_shade(const float *h_um, ptrdiff_t nx, ptrdiff_t ny,
                            double pitch_um, double azimuth_rad, double altitude_rad,
                            double stretch, uint8_t *grey, lev_error *err);

#ifdef __cplusplus
}
#endif
#endif
