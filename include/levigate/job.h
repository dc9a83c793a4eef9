/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The job: what a person asks for. It is the JSON object that files carry, the page
 * edits and the store keeps; io_job reads and writes it.
 *
 * Numbers that were not given are NaN, texts that were not given are "". All texts and
 * arrays live in the job's arena. */
#ifndef LEVIGATE_JOB_H
#define LEVIGATE_JOB_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "levigate/status.h"

#ifdef __cplusplus
extern "C" {
#endif

#define LEV_START_LIST(X)                                                              \
    X(LEV_START_DEPTH, "depth")                                                        \
    X(LEV_START_PROCESS, "process")                                                    \
    X(LEV_START_GRIT, "grit")                                                          \
    X(LEV_START_TRACE, "trace")

#define LEV_TARGET_LIST(X)                                                             \
    X(LEV_TARGET_LIMIT, "limit")                                                       \
    X(LEV_TARGET_N_GRADE, "n-grade")                                                   \
    X(LEV_TARGET_CLASS, "class")                                                       \
    X(LEV_TARGET_LOOK, "look")                                                         \
    X(LEV_TARGET_GLOSS, "gloss")                                                       \
    X(LEV_TARGET_READABLE, "readable")                                                 \
    X(LEV_TARGET_LAST_GRIT, "last-grit")

#define LEV_JOB_ENUM(name, text) name,
typedef enum lev_start_kind { LEV_START_LIST(LEV_JOB_ENUM) } lev_start_kind;
typedef enum lev_target_kind { LEV_TARGET_LIST(LEV_JOB_ENUM) } lev_target_kind;
#undef LEV_JOB_ENUM

/* The face as found. */
typedef struct lev_job_start {
    lev_start_kind kind;
    double depth_um;   /* depth: worst mark below the mean, > 0 */
    double spacing_um; /* depth: distance of the marks, > 0 or NaN */
    const char *how;   /* depth: nail|needle|eye|gauge|replica|trace|photo|guess */
    const char *process;
    double coat_um; /* process coat: thickness of the old coat */
    const char *system, *label, *method;
    const char *file; /* trace: path as written in the job */
} lev_job_start;

/* What it must become. */
typedef struct lev_job_target {
    lev_target_kind kind;
    const char *symbol; /* limit: Ra|Rz|Sa */
    double max_um, min_um;
    const char *rule; /* limit: max|16pct|mean */
    int readings; /* limit: number of readings the rule is applied to; 0 = not given */
    int n;        /* n-grade: 1..12 */
    const char *standard, *class_name;
    const char *look;
    double gu, angle_deg;
    const char *lay; /* gloss: along|across */
    double type_mm, distance_mm;
    const char *system, *label;
} lev_job_target;

/* One line of the drawer. */
typedef struct lev_job_medium {
    const char *system, *label, *method, *mineral, *carrier, *state;
    double width_mm, height_mm; /* size of one piece */
    double count;
    int64_t price_minor; /* of one piece */
    bool waterproof, open_coat, anti_clog;
    bool waterproof_given;
} lev_job_medium;

typedef struct lev_job_face {
    const char *name, *material, *state, *shape, *hold, *next, *fluid;
    double area_mm2, length_mm, width_mm; /* area, or both sides */
    double thickness_mm, budget_um;
    lev_job_start start;
    lev_job_target target;
    const char **drives;
    ptrdiff_t drives_n; /* 0 = any */
} lev_job_face;

typedef struct lev_job {
    const char *name, *currency;
    int count;
    int64_t labour_minor_per_h;
    bool has_drawer;
    lev_job_medium *drawer;
    ptrdiff_t drawer_n;
    lev_job_face *faces;
    ptrdiff_t faces_n;
    void *memory; /* owns everything above */
} lev_job;

/** Free what a job owns; NULL or zeroed allowed. */
void lev_job_release(lev_job *job);

#ifdef __cplusplus
}
#endif
#endif
