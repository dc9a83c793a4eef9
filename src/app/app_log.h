/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The log: one line for what was really done. */
#ifndef APP_LOG_H
#define APP_LOG_H

#include "app_log_line.h"
#include "app_shop_steps.h"

typedef enum lev_log_act { LEV_LOG_ADD, LEV_LOG_UNDO, LEV_LOG_SHOW } lev_log_act;

/* Texts that are NULL or "" were not told. */
typedef struct lev_log_ask {
    lev_log_act act;
    const char *line; /* as in app_log_line.h */
    const char *job;  /* which job, when several under way have such a face */
    const char *who;  /* when the line does not begin with it; undo: whose entry */
    const char *face; /* with number: the line starts behind who, face and step */
    int number;
    bool sure; /* as if the line said so */
    int most;  /* show: entries, newest first; 0 = 20 */
} lev_log_ask;

enum { LEV_LOG_TEXT = 160 };

typedef struct lev_log_answer {
    lev_log_act act;
    /* add */
    int64_t id, at_s;
    lev_log_line line;
    double off_um;         /* depth this entry took off, from weight or told; NaN */
    lev_shop_steps step;   /* the step, with what is done of it now */
    lev_shop_steps around; /* all steps of its job */
    const lev_store_step *next; /* step of the face after this one; NULL: the last */
    char job[LEV_LOG_NAME];
    lev_store_fact fact[LEV_QUANTITY_N]; /* what it says about the model */
    ptrdiff_t facts;
    lev_store_logged paper;
    /* undo */
    lev_store_undone undone;
    /* show */
    lev_store_entry *entry; /* texts in the arena */
    ptrdiff_t entries;
    lev_arena arena;
} lev_log_answer;

/**
 * Log, take back, or list.
 *
 * *question (may be NULL) is set when what is told can be but is odd (many times over
 * plan, a stint of more than ten hours, more off than the budget): nothing is kept
 * then, the message says what is odd, and the same with `sure` is taken.
 * @return LEV_OK; LEV_E_USAGE, LEV_E_RANGE for the line; LEV_E_UNKNOWN for no such face
 * or step under way, or nothing to undo; what the store says
 */
lev_status lev_app_log(const lev_shop *shop, const lev_log_ask *ask, bool *question,
                       lev_log_answer *out, lev_error *err);
void lev_log_answer_release(lev_log_answer *a);

json_t *lev_app_log_json(const lev_log_answer *a, int *failed);
void lev_app_log_text(lev_text *t, const lev_log_answer *a, lev_units units);

/* Shared by the files of this verb. */

/** What an entry tells about the model. `step` as it was before the entry.
 * @param about    some of the step's times are guesses
 * @param whole    every entry of the step has its time
 * @param out      room for LEV_QUANTITY_N */
ptrdiff_t lev_log_facts(const lev_store_step *step, const lev_store_entry *e,
                        double weight_step_g, double lost_g, bool about, bool whole,
                        lev_store_fact *out);

/** What is odd about an entry, in one sentence; "" for nothing. */
void lev_log_doubt(const lev_store_step *step, const lev_store_entry *e,
                   char out[LEV_LOG_TEXT]);

#endif
