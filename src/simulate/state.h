/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The face between steps, and one step under way. */
#ifndef SIMULATE_STATE_H
#define SIMULATE_STATE_H

#include "pad.h"
#include "path.h"
#include "pool.h"
#include "rng.h"
#include "sheet.h"

/* One texture: its map when made and what is known of it now. */
typedef struct sim_texture {
    float *map_um; /* nx * ny about 0; owned */
    double square; /* sum of its squares */
    bool both;     /* parts are told apart in both directions */
    lev_sim_texture seen;
} sim_texture;

/* Those followed apart, oldest first. */
typedef struct sim_follow {
    sim_texture *texture;  /* grid.textures of them and one to spare; owned */
    lev_sim_texture *seen; /* copies in a row, to be lent out; owned */
    int n;
} sim_follow;

struct lev_sim {
    lev_sim_grid grid; /* with defaults filled in */
    lev_groove_kern kern;
    double *h_um; /* nx * ny */
    uint8_t *age;
    int steps;
    sim_follow follow;
};

/* Sums of one tile over one block; added in the order of the tiles. */
typedef struct sim_total {
    double force_path; /* uN um */
    double cover_um2;  /* width of grooves times their length */
    double removed_um; /* heights */
    double path_um;    /* of grains that could touch */
    double touch_um;   /* of those that did */
    double pixels;
} sim_total;

/* What is left of the texture found: its record and the parts of it. */
typedef struct sim_old {
    float *all, *wide, *narrow;                    /* nx * ny each */
    double all_square, wide_square, narrow_square; /* what they give with themselves */
} sim_old;

typedef struct sim_run {
    const lev_sim *sim;
    lev_sim_step step; /* with defaults filled in */
    sim_sheet sheet;
    sim_lay lay;
    sim_pad pad;
    sim_pool *pool;
    lev_rng rng;
    double *h_um; /* working copies: the face is changed only by a whole step */
    uint8_t *age;
    uint8_t stamp;
    double *top_row_um, *top_col_um; /* ny, nx */
    double *over_row_um; /* ny: greatest height of a row over the sheet's own shape */
    ptrdiff_t row_tiles, col_tiles, tile_rows;
    double *spare_um; /* of each tile: max(nx, ny) */
    uint8_t *spare_age;
    sim_total *total;  /* of each tile, rows first */
    double *tile_load; /* of each tile and cell of the pad's net: uN um */
    double *worn_um;   /* of each tile and path of the block, when grains wear */
    ptrdiff_t worn_cap;
    sim_old old;
    double sheet_um; /* height of the sheet */
    double tail_um;  /* load falls e-fold when the sheet rises by this */
    double block_um; /* sliding distance of a block */
    uint64_t block;
    ptrdiff_t standing; /* grains that could touch */
    double paths;       /* mean number of paths in this block (per row: sections) */
    double start_mean_um;
} sim_run;

enum { SIM_TILE = 32 }; /* rows or columns of a tile: eight cache lines of bytes */

/** Defaults filled in, everything checked. */
lev_status sim_step_check(const lev_sim_step *step, lev_sim_step *out, lev_error *err);
lev_status sim_grid_check(const lev_sim_grid *grid, lev_sim_grid *out, lev_error *err);

/** Coarsest pitch for this step: see lev_sim_pitch_um. */
double sim_pitch_of(const sim_sheet *sheet, const lev_sim_step *step);

/** One block: every tile does its part of the same paths. */
sim_total sim_block(sim_run *r);

/** Greatest height of each row, and of all over the sheet's own shape (a flat sheet:
 * over nothing). */
double sim_find_tops(sim_run *r);

/** Texture found, cut in two at waves of the grain's size. */
lev_status sim_old_init(sim_old *o, const sim_run *r, lev_error *err);
void sim_old_release(sim_old *o);

/** The smoothing that parts long waves from short ones: a box mean of size_um along
 * rows, and along columns if both, taken twice. */
void sim_smooth(const sim_run *r, float *h_um, double size_um, bool both);
/** h becomes what that smoothing takes away; work: nx * ny. */
void sim_sharpen(const sim_run *r, float *h_um, float *work, double size_um, bool both);

/** Room for the textures of a flat face. */
lev_status sim_follow_init(sim_follow *f, const lev_sim *s, lev_error *err);
/** Start anew from a face with these heights; f stays as it was on failure. */
lev_status sim_follow_found(sim_follow *f, const lev_sim *s, const float *h_um,
                            lev_error *err);
void sim_follow_release(sim_follow *f, const lev_sim *s);

/* The news of a step, kept apart until the step is whole. */
typedef struct sim_news {
    lev_sim_texture seen[LEV_SIM_TEXTURES];
    sim_texture made;
} sim_news;

/** What a step that has just ended left of each texture, and the one it made. */
lev_status sim_follow_step(sim_news *news, const sim_run *r, lev_error *err);
void sim_follow_take(sim_follow *f, sim_news *news, const lev_sim *s);
void sim_news_release(sim_news *news);

/** Measure the face. */
lev_sim_record sim_record_of(const sim_run *r);

double sim_mean_um(const sim_run *r);

static inline ptrdiff_t sim_points(const lev_sim *s)
{
    return s->grid.nx * s->grid.ny;
}

#endif
