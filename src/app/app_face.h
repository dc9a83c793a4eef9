/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A face of a job in the planner's terms. */
#ifndef APP_FACE_H
#define APP_FACE_H

#include "arena.h"
#include "app_resolve.h"
#include "levigate/job.h"
#include "levigate/plan_face.h"

/* Media to plan from, and where they come from. */
typedef struct lev_media {
    lev_face_medium *medium; /* [n], in the arena */
    ptrdiff_t n;
    bool catalogue; /* no drawer was named: everything a shop could buy, usual prices */
} lev_media;

/** The drawer of a job. LEV_E_USAGE when it is empty or holds nothing countable. */
lev_status lev_media_drawer(const lev_job_medium *drawer, ptrdiff_t n, lev_arena *arena,
                            lev_media *out, lev_error *err);

/** Everything of data/plan/medium_kind.csv for a family of material. */
lev_status lev_media_catalogue(const char *family, lev_arena *arena, lev_media *out,
                               lev_error *err);

/* What was looked up on the way, for cautions, cards and words. */
typedef struct lev_face_sources {
    lev_resolved_work work;
    const lev_row_ready *ready; /* what goes on afterwards; NULL: nothing said */
    const lev_row_look *look;   /* NULL: target is no look */
    const lev_row_hold *hold;   /* NULL: not told */
    const lev_row_process_start *start; /* NULL: start is no process */
    unsigned notes;
} lev_face_sources;

/**
 * Look up and turn into figures everything a face names. Texts are made in the arena.
 * @return LEV_E_UNKNOWN, LEV_E_RANGE with the face's name in the message
 */
lev_status lev_face_resolve(const lev_job *job, const lev_job_face *f, lev_arena *arena,
                            lev_face *out, lev_face_sources *sources, lev_error *err);

/* The parts, shared by the files of this module. */
lev_status lev_face_start_of(const lev_job_face *f, const lev_material *m,
                             lev_arena *arena, lev_face_start *out,
                             lev_face_sources *sources, lev_error *err);
lev_status lev_face_target_of(const lev_job_face *f, const lev_material *m,
                              lev_arena *arena, lev_face_target *out,
                              lev_face_sources *sources, lev_error *err);

/** Gloss and reading targets, as the Ra they need. */
lev_status lev_face_target_light(const lev_job_face *f, const lev_material *m,
                                 lev_arena *arena, lev_face_target *out,
                                 lev_face_sources *sources, lev_error *err);

/** A figure of data/practice/habit.csv: middle of its band. */
double lev_habit(const char *id);

#endif
