/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The ladder for one face: from what is there, what is wanted and what is in the drawer
 * to steps a person can work from.
 *
 * Plain structs: names have been looked up and words turned into figures by the caller.
 * Numbers that are not given are NaN. The search itself is plan.h. */
#ifndef LEVIGATE_PLAN_FACE_H
#define LEVIGATE_PLAN_FACE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "levigate/cut.h"
#include "levigate/plan.h"
#include "levigate/spread.h"
#include "levigate/status.h"

#ifdef __cplusplus
extern "C" {
#endif

enum {
    LEV_FACE_DRIVES = 16,
    LEV_FACE_MEDIA = 2000,
    LEV_FACE_STEPS = 24,
    LEV_FACE_LADDERS = 5, /* one a goal, and the usual one; choices stand behind */
    LEV_FACE_GOAL = 20,   /* bytes of a ladder's name with its final zero */
    LEV_FACE_PARETO = 64,
    LEV_FACE_TEXT = 240 /* bytes of one sentence with its final zero */
};

/* One medium that may be used. Texts are borrowed for the life of the result. */
typedef struct lev_face_medium {
    const char *system, *label, *method;
    lev_grain_dist grain;
    double d50_um;
    const char *mineral; /* id */
    double mineral_hardness_gpa;
    const char *carrier;
    double sheet_mm2; /* abrasive on one piece; 0: one patch of the drive */
    double count;     /* pieces at hand; INFINITY: any number */
    double price_minor;
    lev_cut_state state;
    bool waterproof, open_coat, anti_clog;
    const char *drives; /* ids of drives that take it, parted by semicolons; "": by
                           carrier */
    lev_mark mark;
    unsigned notes;
} lev_face_medium;

/* The face as found. Any of these may stand together. */
typedef struct lev_face_start {
    double texture_d50_um; /* grit whose texture it carries; NaN: none */
    const char *texture_label;
    double mark_um;    /* deep marks: worst below the mean, um; NaN: none */
    double mark_hi_um; /* and the deepest it may well be (1 in 10) */
    double spacing_um; /* their distance; NaN: not known */
    double strip_um;   /* what must go whole: coat, skin, scale; 0: nothing */
    const char *words; /* "rolled, dents of 20 um" */
    double lay_deg;    /* direction of the marks to the length; NaN: not known */
} lev_face_start;

typedef enum lev_face_rule {
    LEV_RULE_MEAN,
    LEV_RULE_16PCT,
    LEV_RULE_MAX
} lev_face_rule;
typedef enum lev_face_lay { LEV_LAY_ANY, LEV_LAY_ONE_WAY, LEV_LAY_NONE } lev_face_lay;

/* What it must become, resolved to figures. */
typedef struct lev_face_target {
    double ra_max_um, ra_min_um; /* NaN: no limit */
    double
        ra_max_lnsd; /* log-sd of ra_max_um where it stands for light; 0: it is told */
    double rz_max_um;
    lev_face_rule rule;
    int readings;           /* 0: one */
    double last_coarse_um;  /* d50 of the last grit: not above ... */
    double last_fine_um;    /* ... nor below; NaN: no rule */
    const char *last_label; /* the very last grit, "" for none */
    const char *last_system;
    lev_face_lay lay;
    const char *words; /* "fine straight grain" */
    const char *check; /* what proves it, in words */
} lev_face_target;

/* What the shop's log has taught of one way to work: the median by which it differs
 * from the model, and how much of the model's log-sd is left. Relaxation is left alone.
 */
typedef struct lev_face_factor {
    const char *drive;               /* id; of a step without grit its kind ("file") */
    const char *mineral;             /* id; "" of a step without grit */
    double factor[LEV_CUT_FACTORS];  /* > 0 */
    double sd_left[LEV_CUT_FACTORS]; /* 0..1 */
} lev_face_factor;

typedef struct lev_face {
    const char *name;
    lev_cut_work work;
    const char *material; /* words */
    double area_mm2;
    double length_mm, width_mm; /* NaN: only the area is known */
    const char *shape;          /* flat, turned, curved, inside, edge */
    double shape_time;          /* how many times a flat face's time, >= 1 */
    double thickness_mm;        /* NaN: thick */
    double budget_um;           /* depth that may go at the thinnest spot; NaN: any */
    double edge_wear;           /* local wear at edges over the mean, >= 1 */
    const char *fluid;          /* any, wet, dry */
    const char *drives[LEV_FACE_DRIVES];
    int drives_n; /* 0: any that take this family and shape */
    lev_face_start start;
    lev_face_target target;
    const lev_face_medium *media;
    ptrdiff_t media_n;
    const lev_face_factor
        *learned; /* [learned_n]; what stands in none is the model's */
    ptrdiff_t learned_n;
    int count; /* pieces alike, worked together grit by grit */
    double labour_minor_per_s;
    bool steps_without_grit; /* file, scraper, plane, lathe cut, burnisher allowed */
    const char *check;       /* id of the check table that ends a step */
    double miss;             /* what that check lets pass, times the new deepest line */
    double full_miss;        /* the same for the full check at a gate */
    double full_look_s;      /* how long the full check takes */
    const char *goal; /* the ladder that was chosen, by its name; NULL: the usual one */
} lev_face;

typedef enum lev_face_stroke {
    LEV_STROKE_TO_AND_FRO,
    LEV_STROKE_ONE_WAY,
    LEV_STROKE_CIRCLES,
    LEV_STROKE_MACHINE
} lev_face_stroke;

typedef struct lev_face_step {
    lev_cut_kind kind;
    const lev_face_medium *medium; /* NULL: a step without grit ... */
    const char *form;              /* ... of this row of data/cut/steps.csv */
    const char *label;             /* "P240", "second-cut file" */
    const char *drive, *backing, *push;
    double push_n, pressure_kpa;
    double direction_deg;     /* of the stroke to the length of the face */
    double old_direction_deg; /* of the lines to be taken out; NaN: none */
    lev_face_stroke stroke;
    double strokes;          /* double strokes in all, by hand; NaN by machine */
    double strokes_per_lane; /* one-way final strokes; NaN else */
    lev_cut_fluid fluid;
    double remove_um;
    lev_spread time_s; /* hands-on, all pieces, without setting up */
    double look_s;     /* first look: the early end of the time */
    lev_spread sheets;
    int64_t media_changes;
    double cost_minor; /* media and labour of the step, median */
    lev_spread ra_after_um;
    double residue_um; /* deepest old line that the check may leave */
    const char *check; /* id of the check table */
    bool gate;         /* the full check stands after this step */
    bool clean_down;
    const char *stop_if;     /* id of the stop signs: heat, colour, rounding, ... */
    char why[LEV_FACE_TEXT]; /* what forces this step */
    char if_skipped[LEV_FACE_TEXT]; /* what leaving it out costs */
    lev_cut_pass pass;
    unsigned notes;
} lev_face_step;

typedef struct lev_face_ladder {
    char goal[LEV_FACE_GOAL]; /* usual, time, money, removal, steps, choice-1 ... */
    lev_face_step step[LEV_FACE_STEPS];
    int steps;
    lev_spread time_s;     /* hands-on, with setting up and changes */
    lev_spread elapsed_s;  /* with waiting (drying, cooling) */
    lev_spread cost_minor; /* labour and abrasive used */
    lev_spread remove_um;
    unsigned notes;
    lev_mark mark;
} lev_face_ladder;

typedef struct lev_face_point { /* one ladder nothing else beats */
    double time_s, cost_minor, remove_um;
    int steps;
    int ladder;                 /* index of its ladder */
    char labels[LEV_FACE_TEXT]; /* "P240 P400 P800" */
} lev_face_point;

typedef struct lev_face_result {
    bool feasible;
    char why_not[LEV_FACE_TEXT];    /* which constraint, with figures */
    char would_help[LEV_FACE_TEXT]; /* the single change that makes it feasible */
    lev_face_ladder *ladder;        /* [ladders], owned; [0] is the usual one, then one
                                       a goal, then those of the Pareto set that no goal
                                       asks for */
    int ladders;
    int chosen;             /* index of the ladder that face->goal names */
    lev_face_point *pareto; /* [points], owned; rising by time */
    int points;
    bool pareto_whole; /* nothing is missing from it: not thinned, no limit cut it */
    unsigned notes;
    lev_mark mark;
} lev_face_result;

/**
 * Plan one face: the ladders for each goal, each with the joint chance of 0.95 that
 * target and budget hold; the Pareto set, each with its ladder; or why there is none
 * and what would help. What leaving a step out costs is worked out for the chosen
 * ladder.
 * @return LEV_OK, also when infeasible; LEV_E_RANGE for figures out of range;
 *         LEV_E_UNKNOWN for a chosen ladder that is none of them; LEV_E_LIMIT,
 *         LEV_E_MEMORY, LEV_E_CANCEL
 */
lev_status lev_face_plan(const lev_face *face, const lev_plan_limits *limits,
                         lev_face_result *out, lev_error *err);

void lev_face_result_release(lev_face_result *r);

/* ---- a line found late ---- */

typedef struct lev_recover_request {
    const lev_face *face;
    const lev_face_ladder *ladder; /* the one that was followed */
    int found_after;               /* step number, from 1, or 0: before any */
    double depth_um;               /* of the line, median; > 0 */
    bool lone;                     /* one line or a few, not a set */
    double direction_deg;          /* of the line; NaN: not told */
    double length_mm;              /* of the line or spot; NaN or 0: not told */
} lev_recover_request;

typedef struct lev_recover_answer {
    const char *cause; /* id: stray-grain, left-too-soon, start-mark, swarf */
    char because[LEV_FACE_TEXT];
    int back_to_step;           /* number of the step to go back to, from 1 */
    bool spot;                  /* a spot will do; else the whole face */
    double spot_mm, feather_mm; /* NaN for the whole face */
    double dish_um;             /* hollow that a spot leaves */
    lev_face_ladder ladder;     /* what to do, from that step on */
} lev_recover_answer;

/** @return LEV_OK; LEV_E_RANGE when the step is none of the ladder's or no step of it
 *          can clear the line */
lev_status lev_face_recover(const lev_recover_request *req, lev_recover_answer *out,
                            lev_error *err);

#ifdef __cplusplus
}
#endif
#endif
