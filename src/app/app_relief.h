/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A face simulated through a ladder, step by step with its own lay: height map, what
 * the standards call it, what is left of every earlier texture, a shaded picture. */
#ifndef APP_RELIEF_H
#define APP_RELIEF_H

#include <jansson.h>

#include "app_plan.h"
#include "levigate/simulate.h"
#include "levigate/surface.h"

enum { LEV_RELIEF_STEPS = LEV_FACE_STEPS + 1 }; /* the texture found is one too */

/* A job and its face, or steps. Texts that are NULL mean the usual. */
typedef struct lev_relief_request {
    const lev_job *job;
    const char *face;             /* NULL: the job's only one */
    lev_plan_from from;           /* of a job: which ladder, what it is planned from */
    const char *steps;            /* "P120:15,P240,P400": marking and depth in um */
    const char *material, *state; /* with steps */
    const char *drive, *push, *system, *mineral, *fluid;
    const char *lay; /* of every step of grit, a row of the lay table */
    double pitch_um, size_mm, memory_mb; /* 0: usual */
    ptrdiff_t points;                    /* columns and rows; 0: usual */
    int threads;
    bool plain; /* only the plain C kernels */
    uint64_t seed;
    lev_sim_progress progress;
    void *payload;
} lev_relief_request;

/* One step, worked out before anything is simulated. */
typedef struct lev_relief_step {
    char label[48];
    lev_cut_pass pass; /* no grains: the step is drawn, not simulated */
    char drive[24];
    lev_lay lay;
    double radius_mm, spread_deg;
    double direction_deg; /* of the lines, from the rows of the map to its columns */
    double remove_um;
    double pitch_um;    /* of the map it ran on ... */
    ptrdiff_t points;   /* ... and its columns and rows */
    lev_sim_record end; /* the face after it */
    double distance_m;
    lev_sim_texture left[LEV_RELIEF_STEPS]; /* every texture that stands, after it */
    int made_by[LEV_RELIEF_STEPS];          /* index of its step; -1: the start */
    ptrdiff_t lefts;
} lev_relief_step;

typedef struct lev_relief_answer {
    lev_relief_step *step; /* owned */
    int steps;
    int first;                  /* steps before it do not fit on the map: left out */
    double mark_um, spacing_um; /* marks drawn at the start; NaN: none */
    const char *material;
    char face[48]; /* of a job; "" */
    lev_map map;   /* owned */
    lev_areal areal;
    uint64_t seed;
    double pixels; /* heights visited */
    unsigned notes;
    lev_mark mark;
} lev_relief_answer;

/**
 * Simulate.
 * @return LEV_E_USAGE, LEV_E_UNKNOWN, LEV_E_RANGE for what cannot be meant: a pitch too
 *         coarse for a grit (with the pitch needed), a face without a ladder;
 *         LEV_E_LIMIT for more memory than allowed, before it is allocated;
 *         LEV_E_CANCEL
 */
lev_status lev_app_relief(const lev_relief_request *req, lev_relief_answer *out,
                          lev_error *err);
void lev_relief_answer_release(lev_relief_answer *a);

/** Before anything is run: refuse an output whose ending is none of .x3p .sdf .csv .tsv
 * .tiff .png; load the module that writes it. */
lev_status lev_app_relief_check(const char *path, lev_error *err);
/** Write the map, and the shaded picture beside it under the same name with .png; a
 * path that ends in .png: the picture alone. */
lev_status lev_app_relief_write(const lev_relief_answer *a, const char *path,
                                lev_error *err);
json_t *lev_app_relief_json(const lev_relief_answer *a, int *failed);
void lev_app_relief_text(lev_text *t, const lev_relief_answer *a, lev_units units);

/* One of the maps that the steps run on. */
typedef struct lev_relief_stage {
    int first; /* step */
    lev_sim_grid grid;
} lev_relief_stage;

/* Shared by the files of this module. */

/** The maps of all steps, first to last, at most one each; sets a->first. Refuses a
 * pitch too coarse, a map too narrow for the last grit, and a map that takes more
 * memory than allowed, before anything is allocated. */
lev_status lev_relief_stages(const lev_relief_request *req, lev_relief_answer *a,
                             lev_relief_stage *stage, int *n, lev_error *err);
/** A part of a square map that wraps round, at another pitch, wrapping round itself. */
void lev_relief_zoom(const float *from, const lev_sim_grid *old, const lev_sim_grid *to,
                     float *out);
lev_status lev_relief_plan_steps(const lev_relief_request *req, lev_relief_answer *a,
                                 lev_error *err);
double lev_relief_rule(const char *id);

#endif
