/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Jobs in the store: versions, the plan frozen when work starts, what was really done,
 * photos and readings beside it, and the same again on another piece. */
#ifndef APP_SHOP_JOB_H
#define APP_SHOP_JOB_H

#include "app_plan.h"
#include "app_shop_steps.h"

#define LEV_SHOP_JOB_LIST(X)                                                           \
    X(LEV_SHOP_JOB_SHOW_ALL, "list")                                                   \
    X(LEV_SHOP_JOB_SHOW, "show")                                                       \
    X(LEV_SHOP_JOB_ADD, "add")                                                         \
    X(LEV_SHOP_JOB_CHANGE, "change")                                                   \
    X(LEV_SHOP_JOB_VERSIONS, "versions")                                               \
    X(LEV_SHOP_JOB_FILE, "file")                                                       \
    X(LEV_SHOP_JOB_START, "start")                                                     \
    X(LEV_SHOP_JOB_DONE, "done")                                                       \
    X(LEV_SHOP_JOB_RECIPE, "recipe")                                                   \
    X(LEV_SHOP_JOB_REPEAT, "repeat")                                                   \
    X(LEV_SHOP_JOB_ATTACH, "attach")

typedef enum lev_shop_job_act {
#define LEV_SHOP_JOB_ENUM(name, word) name,
    LEV_SHOP_JOB_LIST(LEV_SHOP_JOB_ENUM)
#undef LEV_SHOP_JOB_ENUM
        LEV_SHOP_JOB_ACTS
} lev_shop_job_act;

/** The act by its word; LEV_E_USAGE with the nearest. */
lev_status lev_shop_job_act_read(const char *word, lev_shop_job_act *out,
                                 lev_error *err);
const char *lev_shop_job_act_word(lev_shop_job_act act);
bool lev_shop_job_act_writes(lev_shop_job_act act);
/** Does the act take the text of a job (add, change; repeat may)? */
bool lev_shop_job_act_body(lev_shop_job_act act);

/* Texts that are NULL or "" were not told. */
typedef struct lev_shop_job_ask {
    lev_shop_job_act act;
    const char *name; /* of the job; add: taken from the body when not told */
    const char *as;   /* repeat: name of the new one */
    const char *body; /* add, change, repeat: JSON of a job */
    size_t body_n;
    const char *body_name; /* file name for messages */
    const char *why;       /* change: reason; attach: words */
    const char *goal;      /* start: which ladders, as lev_plan_goal_for reads it */
    const char *who;       /* start: whose factors */
    const char *face;      /* attach: of which face */
    const char *file;      /* attach: path of the photo or reading */
    const char *file_name; /* attach: what it is called, if not as in the path */
    bool from_drawer;      /* start: plan from the shop's drawer */
    bool no_log;           /* start: the model alone, without factors */
    int version;           /* file: which one; 0 the newest */
    int (*unwanted)(void *to, ptrdiff_t begun); /* start: as of lev_plan_from */
    void *to;
} lev_shop_job_ask;

typedef struct lev_shop_version {
    int64_t number, at_s;
    const char *body, *why;
} lev_shop_version;

typedef struct lev_shop_job_answer {
    lev_shop_job_act act;
    lev_store_job *job; /* [jobs]: all, or the one; texts in the arena */
    ptrdiff_t jobs;
    lev_shop_version *version; /* [versions] */
    ptrdiff_t versions;
    lev_shop_steps steps; /* of the newest plan; none before work started */
    lev_store_file *file; /* [files] */
    ptrdiff_t files;
    ptrdiff_t not_feasible; /* start: faces without a ladder */
    const char *why_not;    /* start: of the first of them, with its name */
    double from_log;        /* start: share of the figures from the log */
    double done_s, done_sheets, planned_s; /* NaN: not known */
    ptrdiff_t steps_done;                  /* with the verdict next-grit */
    lev_arena arena;
} lev_shop_job_answer;

/**
 * Do it.
 * @return LEV_OK, also with faces that cannot be done (not_feasible); LEV_E_UNKNOWN for
 * no such job; LEV_E_USAGE for a name that stands already, a plan already frozen, work
 * not started; errors of the job reader, the planner, the store
 */
lev_status lev_app_shop_job(const lev_shop *shop, const lev_shop_job_ask *ask,
                            lev_shop_job_answer *out, lev_error *err);
void lev_shop_job_answer_release(lev_shop_job_answer *a);

json_t *lev_app_shop_job_json(const lev_shop_job_answer *a, int *failed);
void lev_app_shop_job_text(lev_text *t, const lev_shop_job_answer *a, lev_units units);
void lev_shop_job_first_line(lev_text *t, const lev_shop_job_answer *a);
void lev_shop_job_second_line(lev_text *t, const lev_shop_job_answer *a);

/* ---- files beside the store ---- */

enum { LEV_SHA256_TEXT = 65, LEV_SHOP_PATH = 4200 };

/** Where the file of this content stands: STORE-files/HASH. */
void lev_shop_file_path(const char *store_path, const char *sha256,
                        char out[LEV_SHOP_PATH]);
/** SHA-256 of bytes, in hexadecimal (FIPS 180-4). */
void lev_sha256(const void *data, size_t n, char out[LEV_SHA256_TEXT]);
/** Keep a copy of a file; the same content is kept once. LEV_E_IO, LEV_E_LIMIT. */
lev_status lev_shop_keep_file(const lev_shop *shop, const char *path,
                              lev_store_file *out, char sha256[LEV_SHA256_TEXT],
                              lev_error *err);
/** Every file kept is there and has its hash; LEV_E_IO with the first that has not. */
lev_status lev_shop_check_files(const lev_shop *shop, ptrdiff_t *seen, lev_error *err);

/* ---- shared by the files of this verb ---- */

/** Read the text of a job. */
lev_status lev_shop_read_job(const char *name, const char *body, size_t n, lev_job *out,
                             lev_error *err);
/** Plan the newest version and freeze the ladders of one goal. */
lev_status lev_shop_job_freeze(const lev_shop *shop, const lev_shop_job_ask *ask,
                               int64_t id, lev_shop_job_answer *a, lev_error *err);
/** Freeze what was really done of one job as the plan of another. */
lev_status lev_shop_job_again(const lev_shop *shop, const lev_shop_job_ask *ask,
                              int64_t from, lev_shop_job_answer *a, int64_t *id,
                              lev_error *err);
/** The newest version's text, in the answer's arena. */
lev_status lev_shop_job_body(const lev_shop *shop, int64_t id, lev_arena *arena,
                             const char **out, lev_error *err);

#endif
