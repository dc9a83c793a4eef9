/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Several readings of one face judged together, and judged by a step of a job: what the
 * plan says that step leaves, and the target of the face. */
#ifndef APP_TRACE_SET_H
#define APP_TRACE_SET_H

#include "app_plan.h"
#include "app_trace.h"

/* Which step of which face the readings were taken after. */
typedef struct lev_trace_step {
    const lev_job *job;
    const char *face;
    const char *goal;  /* which ladder, as lev_plan_goal_for reads it; NULL: usual */
    int step;          /* from 1 */
    double length_deg; /* direction of the length of the face in the maps */
} lev_trace_step;

typedef struct lev_trace_set {
    lev_trace_answer *reading; /* [n], owned */
    ptrdiff_t n;
    const char *const *path; /* [n], borrowed */
    lev_trace_held held[LEV_TRACE_LIMITS];
    int helds;
    bool due;            /* a missed limit is an answer of no */
    char not_held[120];  /* why the target could not be held; "" */
    char step_words[96]; /* "P240, step 3 of 5 of front-plate"; "" without a job */
    bool has_verdict;
    lev_judgement verdict;
    ptrdiff_t decides; /* the reading the verdict comes from */
} lev_trace_set;

/**
 * Measure every file and judge them together: the verdict is that of the worst, and the
 * limits are held over all readings in the order given.
 * @param step  NULL: by the request alone; else what the plan says the step leaves,
 * and, unless the request has limits of its own, the target of the face. accept: rule
 * to hold that by, NULL: the target's own.
 * @return LEV_E_USAGE for a face or step that is none of the job's, or a limit asked of
 *         readings that do not have it; LEV_E_RANGE for a face without a ladder
 */
lev_status lev_app_trace_set(const lev_trace_request *req, const char *const *path,
                             ptrdiff_t n, const lev_trace_step *step,
                             const lev_accept_rule *accept, lev_trace_set *out,
                             lev_error *err);
void lev_trace_set_release(lev_trace_set *s);

/** A verdict other than next-grit, or a limit missed that is due. */
bool lev_trace_set_is_no(const lev_trace_set *s);
json_t *lev_app_trace_set_json(const lev_trace_set *s, int *failed);
void lev_app_trace_set_text(const lev_trace_set *s, lev_units units, lev_text *t);

/** What the step should leave and what the face must become, into the request: the part
 * of the above that needs a plan. *due: it is the last step of its ladder. */
lev_status lev_app_trace_step(const lev_trace_step *step, const lev_accept_rule *accept,
                              lev_trace_request *req, lev_trace_set *set,
                              lev_error *err);

#endif
