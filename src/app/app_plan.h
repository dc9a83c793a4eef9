/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ladders for every face of a job. */
#ifndef APP_PLAN_H
#define APP_PLAN_H

#include <jansson.h>

#include "app_caution.h"
#include "app_face.h"
#include "app_factor.h"
#include "app_words.h"

typedef struct lev_plan_face_answer {
    const lev_job_face *asked;
    lev_face face;
    lev_face_sources sources;
    const lev_row_leave_alone *leave; /* not NULL: no plan was made, and why */
    lev_face_result result;
    const lev_row_safety *caution[LEV_CAUTIONS_MAX]; /* of all its ladders */
    int cautions;
    const lev_row_safety *own_caution[LEV_CAUTIONS_MAX]; /* of the chosen one */
    int own_cautions;
    double from_log;       /* share of the removal factors that the log gave, by time */
    ptrdiff_t log_entries; /* entries of the very combinations of the ladder */
    char short_of[LEV_FACE_TEXT]; /* paper that may run out; "" for none */
    unsigned notes;
    lev_mark mark;
} lev_plan_face_answer;

/* What a job is planned from. Zeroed: from its own drawer, else from everything a shop
 * could buy, by the model alone. */
typedef struct lev_plan_from {
    const lev_job_medium *drawer; /* the shop's; a drawer in the job goes first */
    ptrdiff_t drawer_n;
    bool has_drawer;
    const lev_shop_factors *factors; /* NULL: the model alone */
    const char *who;                 /* whose factors; NULL or "": anybody's */
    const char *goal; /* which ladder each face takes, as lev_plan_goal_for reads it;
                         NULL: the usual ones */
    int (*step)(void *to, int done, int all, const char *face);
    /* Asked often within a face, with how many ladders were begun by then to find the
     * best, of all faces; it only rises. Non-zero cancels. */
    int (*unwanted)(void *to, ptrdiff_t begun);
    void *to;
} lev_plan_from;

typedef struct lev_plan_answer {
    const lev_job *job; /* borrowed */
    lev_plan_face_answer *face;
    ptrdiff_t faces;
    bool all_feasible;
    bool catalogue;    /* planned from everything, at usual prices */
    bool asked_log;    /* the shop's factors were asked for ... */
    ptrdiff_t log_all; /* ... and this many entries stand behind them */
    lev_media drawer;  /* what is planned from, with what the faces so far leave */
    lev_plan_from from;
    ptrdiff_t begun, begun_last; /* ladders, of all searches and of the one under way */
    lev_arena arena;
} lev_plan_answer;

/** Plan a job. @return LEV_OK, also with faces that cannot be done; LEV_E_UNKNOWN,
 * LEV_E_RANGE, LEV_E_USAGE with the face's name */
lev_status lev_app_plan(const lev_job *job, lev_plan_answer *out, lev_error *err);
/** The same from what is named. Faces share the drawer: what the usual ladder of one
 * takes is not there for the next. */
lev_status lev_app_plan_from(const lev_job *job, const lev_plan_from *from,
                             lev_plan_answer *out, lev_error *err);
/**
 * The ladder that a text of goals names for a face: one goal for every face ("time"),
 * or faces with theirs, parted by commas ("front=time,back=choice-1"); the others take
 * the usual one. *out is NULL for the usual one, else its name, in the arena.
 * @return LEV_E_USAGE for a word that is no goal or a face that is none of the job's
 */
lev_status lev_plan_goal_for(const char *text, const lev_job *job, const char *face,
                             lev_arena *arena, const char **out, lev_error *err);

/** The ladder of a face that was chosen; NULL when it has none. */
const lev_face_ladder *lev_plan_chosen(const lev_plan_face_answer *f);

/**
 * Plan one face of a job: the ladder it has in a plan of all; *out, which has this face
 * only, borrows from the job. From a drawer the faces before it are planned too, as
 * they take paper that it then lacks.
 * @param face  NULL: the job's only one
 * @param from  its goal may name other faces of the job too; the others are left aside
 * @return as lev_app_plan_from; LEV_E_USAGE for a face that is none of the job's
 */
lev_status lev_plan_one_face(const lev_job *job, const char *face,
                             const lev_plan_from *from, lev_plan_answer *out,
                             lev_error *err);

/** As lev_app_plan, telling after each face how many of all are done; a non-zero return
 * of the call-back (NULL: none) cancels with LEV_E_CANCEL. */
lev_status lev_app_plan_watched(const lev_job *job,
                                int (*step)(void *to, int done, int all,
                                            const char *face),
                                void *to, lev_plan_answer *out, lev_error *err);
void lev_plan_answer_release(lev_plan_answer *a);

/** The job with one of its faces only; *one borrows from it. LEV_E_USAGE for a name
 * that is none of them, with the nearest. */
lev_status lev_job_one_face(const lev_job *job, const char *name, lev_job *one,
                            lev_error *err);

/** The answer as JSON; *failed is ORed. */
json_t *lev_app_plan_json(const lev_plan_answer *a, int *failed);
json_t *lev_plan_ladder_json(const lev_face *face, const lev_face_ladder *ladder,
                             int *failed);

/** Write the job card (.pdf, .svg, .png). @param paper  "A4", "Letter" or "A5" */
lev_status lev_app_plan_card(const lev_plan_answer *a, const char *path,
                             const char *paper, lev_units units, lev_error *err);

/* A card page for another ladder than the usual one. */
typedef struct lev_plan_special {
    const char *first_line, *second_line;
    const lev_face_ladder *ladder;
} lev_plan_special;

/** Write one page for the first face of the answer with the ladder given. */
lev_status lev_app_ladder_card(const lev_plan_answer *a,
                               const lev_plan_special *special, const char *path,
                               const char *paper, lev_units units, lev_error *err);

/** Steps and totals of one ladder for a terminal. */
void lev_plan_ladder_text(lev_text *t, const lev_face_ladder *l, const char *currency,
                          lev_units units);

/** The answer for a terminal. */
void lev_app_plan_text(lev_text *t, const lev_plan_answer *a, lev_units units,
                       bool every_goal);

/* Words shared by text and card; each adds to t. */
void lev_plan_first_line(lev_text *t, const lev_plan_face_answer *f);
void lev_plan_second_line(lev_text *t, const lev_plan_face_answer *f);
void lev_step_use(lev_text *t, const lev_face_step *s);    /* "P240, hardwood block" */
void lev_step_push(lev_text *t, const lev_face_step *s);   /* "a normal push, 2 kg" */
void lev_step_amount(lev_text *t, const lev_face_step *s); /* "look after 3 min" */
void lev_step_check(lev_text *t, const lev_face_step *s);
void lev_step_stop_if(lev_text *t, const lev_face_step *s);
void lev_step_fluid(lev_text *t, const lev_face_step *s);
/** The step leaves its lines in one direction: not circles, no spinning pad. */
bool lev_step_has_lay(const lev_face_step *s);
const char *lev_stroke_words(lev_face_stroke stroke);
const char *lev_fluid_word(lev_cut_fluid fluid);
const char *lev_cut_kind_word(lev_cut_kind kind);

#endif
