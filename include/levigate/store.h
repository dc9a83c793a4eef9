/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's memory: drawer, jobs, log, what the log taught, quotes, exercises.
 *
 * One SQLite file. An acknowledged change survives a power cut: write-ahead log with
 * full synchronisation; each function below that changes anything is one transaction.
 * One writer at a time, any number of readers; another writer is waited for, then
 * LEV_E_SYSTEM. Instants are given by the caller. Texts handed to a callback are valid
 * during the call; a callback that returns anything but 0 ends the list early. NaN is
 * "not known"; texts are never NULL on the way out, NULL counts as "" on the way in. */
#ifndef LEVIGATE_STORE_H
#define LEVIGATE_STORE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "levigate/status.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct lev_store lev_store;

typedef struct lev_store_options {
    bool write;  /* false: nothing is made or changed; an absent file reads as empty */
    int busy_ms; /* how long another writer is waited for; 0 = 5000 */
    const char *vfs; /* SQLite file layer by name, for tests; NULL = the system's */
} lev_store_options;

/**
 * Open a store, make it when it is absent, bring an older one up to date. Before that a
 * copy of the old one is put beside it, named FILE.schema-N.
 * @return LEV_E_IO for a file that cannot be opened, is damaged or on a full disk;
 *         LEV_E_SYSTEM when it is locked or of a newer version; LEV_E_FORMAT when it is
 *         something else's file
 */
lev_status lev_store_open(const char *path, const lev_store_options *o, lev_store **out,
                          lev_error *err);
void lev_store_close(lev_store *s);

/** Number of the schema this program knows. */
int lev_store_schema(void);

/** Every page, index, constraint and reference; LEV_E_IO with the first complaint. */
lev_status lev_store_check(lev_store *s, lev_error *err);

/** A whole copy under another name, made while others may work; refuses to overwrite.
 */
lev_status lev_store_backup(lev_store *s, const char *path, lev_error *err);

/** Put a copy in the place of everything in the store; the copy is checked first. What
 * stood there is kept beside it, named FILE.before-restore. */
lev_status lev_store_restore(lev_store *s, const char *path, lev_error *err);

/** The same for a store that may be too damaged to be opened: it is put aside as it is,
 * named FILE.damaged (*aside), once the copy has been checked. */
lev_status lev_store_restore_file(const char *path, const lev_store_options *o,
                                  const char *copy, bool *aside, lev_error *err);

/** A setting; "" when it was never set. Free *out with lev_store_text_free. */
lev_status lev_store_get(lev_store *s, const char *key, char **out, lev_error *err);
lev_status lev_store_set(lev_store *s, const char *key, const char *value,
                         lev_error *err);
void lev_store_text_free(char *text);

/* ---- everything, out and in ---- */

typedef enum lev_store_kind {
    LEV_STORE_NULL,
    LEV_STORE_INT,
    LEV_STORE_REAL,
    LEV_STORE_TEXT
} lev_store_kind;

typedef struct lev_store_value {
    lev_store_kind kind;
    int64_t i;
    double real;
    const char *text;
} lev_store_value;

enum { LEV_STORE_COLUMNS = 40 }; /* most columns of a table */

/* A table as it is exported. */
typedef struct lev_store_table_info {
    const char *name;
    const char *columns; /* parted by commas */
    const char *kinds;   /* a letter a column: i, r, t; capital where NULL may not be */
    int columns_n;
} lev_store_table_info;

/** Tables in an order in which they can be written. */
int lev_store_tables(void);
lev_store_table_info lev_store_table(int table);

/** From begin to end all tables are read as they were at one instant, whoever writes.
 */
lev_status lev_store_read_begin(lev_store *s, lev_error *err);
void lev_store_read_end(lev_store *s);

typedef int lev_store_row_fn(void *to, const lev_store_value *value, int n);
lev_status lev_store_read_table(lev_store *s, int table, lev_store_row_fn *see,
                                void *to, lev_error *err);

/** Import: begin, rows of any table, end. One transaction; end with keep = false
 * forgets everything. A store that is not empty is refused (LEV_E_USAGE), unless it is
 * to be replaced: then a copy of it is put beside it first, named FILE.before-import.
 * LEV_E_FORMAT for a row that the schema refuses. */
lev_status lev_store_import_begin(lev_store *s, bool replace, lev_error *err);
lev_status lev_store_import_row(lev_store *s, int table, const lev_store_value *value,
                                int n, lev_error *err);
lev_status lev_store_import_end(lev_store *s, bool keep, lev_error *err);

/* ---- drawer ---- */

typedef struct lev_store_medium {
    int64_t id;
    const char *marking, *system, *label, *method, *mineral, *carrier;
    double d50_um, width_mm, height_mm;
    double count; /* pieces left */
    int64_t price_minor;
    const char *state; /* fresh, run-in, tired */
    int waterproof;    /* 0, 1, -1 not known */
    bool open_coat, anti_clog;
    const char *holes, *lot, *bought; /* bought: YYYY-MM-DD or "" */
    double reorder_at;                /* pieces; NaN none set */
} lev_store_medium;

typedef int lev_store_medium_fn(void *to, const lev_store_medium *m);
lev_status lev_store_drawer(lev_store *s, lev_store_medium_fn *see, void *to,
                            lev_error *err);
/** One line by number, also one that is gone; LEV_E_UNKNOWN. */
lev_status lev_store_drawer_get(lev_store *s, int64_t id, lev_store_medium_fn *see,
                                void *to, lev_error *err);
/** Add; what is alike in everything joins the line that stands (*joined). */
lev_status lev_store_drawer_add(lev_store *s, const lev_store_medium *m, int64_t at_s,
                                int64_t *id, bool *joined, lev_error *err);
/** change pieces (negative: taken), kind take, count or correct; LEV_E_RANGE when too
 * little is left, LEV_E_UNKNOWN for no such line. */
lev_status lev_store_drawer_change(lev_store *s, int64_t id, const char *kind,
                                   double change, const char *reason, int64_t at_s,
                                   double *left, lev_error *err);
/** price < 0, state "", reorder NaN, waterproof -1 leave that alone. */
lev_status lev_store_drawer_set(lev_store *s, int64_t id, int64_t price_minor,
                                const char *state, double reorder_at, int waterproof,
                                lev_error *err);
lev_status lev_store_drawer_remove(lev_store *s, int64_t id, const char *reason,
                                   int64_t at_s, lev_error *err);

typedef struct lev_store_use {
    int64_t medium_id, first_s;
    double used; /* pieces since the instant asked for */
} lev_store_use;
typedef int lev_store_use_fn(void *to, const lev_store_use *u);
lev_status lev_store_drawer_used(lev_store *s, int64_t since_s, lev_store_use_fn *see,
                                 void *to, lev_error *err);

typedef struct lev_store_event {
    int64_t at_s;
    const char *kind, *reason;
    double change, left;
} lev_store_event;
typedef int lev_store_event_fn(void *to, const lev_store_event *e);
lev_status lev_store_drawer_history(lev_store *s, int64_t id, lev_store_event_fn *see,
                                    void *to, lev_error *err);

/* ---- jobs ---- */

typedef struct lev_store_job {
    int64_t id, made_s, versions, entries;
    const char *name, *state; /* open, started, done */
} lev_store_job;
typedef int lev_store_job_fn(void *to, const lev_store_job *j);
lev_status lev_store_jobs(lev_store *s, lev_store_job_fn *see, void *to,
                          lev_error *err);

/** LEV_E_UNKNOWN when there is none of the name; state as above, at most 8 bytes. */
lev_status lev_store_job_find(lev_store *s, const char *name, int64_t *id,
                              char state[8], lev_error *err);
/** LEV_E_USAGE when the name stands already. */
lev_status lev_store_job_add(lev_store *s, const char *name, const char *body,
                             const char *why, int64_t at_s, int64_t *id,
                             lev_error *err);
lev_status lev_store_job_change(lev_store *s, int64_t id, const char *body,
                                const char *why, int64_t at_s, lev_error *err);
lev_status lev_store_job_state(lev_store *s, int64_t id, const char *state,
                               lev_error *err);

typedef struct lev_store_version {
    int64_t id, number, at_s;
    const char *body, *why;
} lev_store_version;
typedef int lev_store_version_fn(void *to, const lev_store_version *v);
lev_status lev_store_versions(lev_store *s, int64_t job_id, bool last_only,
                              lev_store_version_fn *see, void *to, lev_error *err);

/* One step of a frozen plan, and what was done of it. */
typedef struct lev_store_step {
    int64_t id;
    const char *face;
    int number;
    const char *words, *kind, *system, *label, *mineral, *carrier, *drive, *push,
        *fluid, *material, *family;
    double area_mm2, budget_um, predicted_s, predicted_sheets, predicted_um,
        predicted_ra_um, predicted_gu;
    double removal_factor, life_factor, texture_factor, gloss_factor; /* already in */
    /* filled on the way out: entries not undone */
    int64_t entries;
    double done_s, done_sheets, done_um; /* done_um of lev_store_step_get: whole face */
    const char *verdict, *said;          /* of the newest entry */
} lev_store_step;
typedef int lev_store_step_fn(void *to, const lev_store_step *s);

/** Freeze a plan of the newest version; the job is under way from now on. */
lev_status lev_store_plan_freeze(lev_store *s, int64_t job_id, const char *goal,
                                 const char *body, const lev_store_step *steps,
                                 ptrdiff_t steps_n, int64_t at_s, lev_error *err);
/** Steps of the newest plan; LEV_E_UNKNOWN when none was frozen. */
lev_status lev_store_steps(lev_store *s, int64_t job_id, lev_store_step_fn *see,
                           void *to, lev_error *err);
/** A step by face and number among the jobs under way; job "" = any. LEV_E_UNKNOWN, or
 * LEV_E_USAGE when several jobs have such a face. */
lev_status lev_store_step_find(lev_store *s, const char *job, const char *face,
                               int number, int64_t *id, lev_error *err);
lev_status lev_store_step_get(lev_store *s, int64_t id, lev_store_step_fn *see,
                              void *to, lev_error *err);

/** The job a step belongs to. */
typedef struct lev_store_of_job {
    int64_t id;
    char name[256];
} lev_store_of_job;
lev_status lev_store_step_job(lev_store *s, int64_t step_id, lev_store_of_job *out,
                              lev_error *err);

typedef struct lev_store_file {
    const char *face, *name, *sha256, *words;
    int64_t at_s, bytes;
} lev_store_file;
typedef int lev_store_file_fn(void *to, const lev_store_file *f);
lev_status lev_store_attach(lev_store *s, int64_t job_id, const lev_store_file *f,
                            lev_error *err);
lev_status lev_store_files(lev_store *s, int64_t job_id, lev_store_file_fn *see,
                           void *to, lev_error *err);
/** Every distinct file of all jobs: name and sha256 only. */
lev_status lev_store_all_files(lev_store *s, lev_store_file_fn *see, void *to,
                               lev_error *err);

/* ---- log ---- */

typedef enum lev_quantity {
    LEV_QUANTITY_REMOVAL,
    LEV_QUANTITY_LIFE,
    LEV_QUANTITY_TEXTURE,
    LEV_QUANTITY_GLOSS,
    LEV_QUANTITY_N
} lev_quantity;

/** removal, life, texture, gloss. */
const char *lev_quantity_name(lev_quantity q);

typedef struct lev_store_cell {
    const char *family, *material, *drive, *mineral, *who;
} lev_store_cell;

typedef struct lev_store_fact {
    lev_quantity quantity;
    double ln_ratio, variance;
} lev_store_fact;

typedef struct lev_store_entry {
    int64_t id, step_id, at_s;
    const char *who;
    double work_s, pause_s; /* pauses are not in work_s */
    bool about;             /* "~10m" */
    double sheets, before_g, after_g, off_um, ra_um, rq_um, rz_um, rt_um, gloss_gu;
    const char *verdict; /* next-grit, keep-at-it, cannot-tell or "" */
    const char *words;
    /* filled on the way out */
    const char *job, *face, *step;
    int number;
    bool undone;
} lev_store_entry;

typedef struct lev_store_logged {
    int64_t id;
    int64_t medium_id; /* line the paper came from, 0 none */
    double left;       /* pieces left there */
} lev_store_logged;

/** One entry, what it says about the factors, and the paper it took (pieces; NaN: none)
 * from the drawer: all or nothing. Paper the drawer does not have is not taken. */
lev_status lev_store_log_add(lev_store *s, const lev_store_entry *e,
                             const lev_store_cell *cell, const lev_store_fact *facts,
                             ptrdiff_t facts_n, lev_store_logged *out, lev_error *err);

typedef struct lev_store_undone {
    int64_t id, at_s;
    char face[64], who[64];
    int number;
} lev_store_undone;

/** Take back the newest entry (of one person where who is not ""): its facts are
 * forgotten, its paper returns. LEV_E_UNKNOWN when there is none. */
lev_status lev_store_log_undo(lev_store *s, const char *who, int64_t at_s,
                              lev_store_undone *out, lev_error *err);

typedef int lev_store_entry_fn(void *to, const lev_store_entry *e);
/** Newest first; face "" = all. */
lev_status lev_store_log(lev_store *s, const char *face, int most,
                         lev_store_entry_fn *see, void *to, lev_error *err);

/** What a job has really taken; NaN where nothing says. */
lev_status lev_store_actual(lev_store *s, int64_t job_id, double *work_s,
                            double *sheets, int64_t *entries, lev_error *err);

/** Entries of a step whose time was "about", and entries without any time. */
lev_status lev_store_step_times(lev_store *s, int64_t step_id, int64_t *about,
                                int64_t *without, lev_error *err);

/* ---- what the log says about the model ---- */

typedef int lev_store_cell_fn(void *to, int64_t id, const lev_store_cell *c);
lev_status lev_store_cells(lev_store *s, lev_store_cell_fn *see, void *to,
                           lev_error *err);
typedef int lev_store_fact_fn(void *to, int64_t cell_id, double ln_ratio,
                              double variance);
/** In the order they were logged. */
lev_status lev_store_facts(lev_store *s, lev_quantity q, lev_store_fact_fn *see,
                           void *to, lev_error *err);
typedef struct lev_store_dated {
    int64_t cell_id, at_s, log_id;
    double ln_ratio, variance;
} lev_store_dated;
typedef int lev_store_dated_fn(void *to, const lev_store_dated *f);
/** The newest `most` of them, with the instant and number of each entry. */
lev_status lev_store_facts_dated(lev_store *s, lev_quantity q, int most,
                                 lev_store_dated_fn *see, void *to, lev_error *err);
lev_status lev_store_fact_count(lev_store *s, lev_quantity q, int64_t *n,
                                lev_error *err);

/* ---- quotes ---- */

typedef struct lev_store_quote {
    int64_t at_s, count, low_minor, likely_minor, high_minor, given_minor;
    const char *currency;
    double predicted_s;
} lev_store_quote;
typedef int lev_store_quote_fn(void *to, const lev_store_quote *q);
lev_status lev_store_quote_add(lev_store *s, int64_t job_id, const lev_store_quote *q,
                               lev_error *err);
lev_status lev_store_quotes(lev_store *s, int64_t job_id, lev_store_quote_fn *see,
                            void *to, lev_error *err);

/* ---- exercises ---- */

typedef struct lev_store_coupon {
    const char *code, *words;
    double truth;
} lev_store_coupon;

typedef struct lev_store_exercise {
    int64_t id, at_s, seed, coupons, guesses;
    const char *kind, *unit;
} lev_store_exercise;

typedef struct lev_store_guess {
    const char *code;
    int sheet, round; /* number of the sheet of paper, 1 before and 2 after measuring */
    double value;     /* NaN: unsure */
    double truth;     /* filled on the way out */
} lev_store_guess;

typedef int lev_store_coupon_fn(void *to, const lev_store_coupon *c);
typedef int lev_store_exercise_fn(void *to, const lev_store_exercise *e);
typedef int lev_store_guess_fn(void *to, const lev_store_guess *g);

lev_status lev_store_exercise_add(lev_store *s, const lev_store_exercise *e,
                                  const lev_store_coupon *c, ptrdiff_t n, int64_t *id,
                                  lev_error *err);
lev_status lev_store_exercises(lev_store *s, lev_store_exercise_fn *see, void *to,
                               lev_error *err);
lev_status lev_store_exercise_get(lev_store *s, int64_t id, lev_store_exercise_fn *see,
                                  void *to, lev_error *err);
lev_status lev_store_coupons(lev_store *s, int64_t id, lev_store_coupon_fn *see,
                             void *to, lev_error *err);
/** All guesses or none; LEV_E_UNKNOWN for a code the exercise does not have. */
lev_status lev_store_guess_add(lev_store *s, int64_t id, const lev_store_guess *g,
                               ptrdiff_t n, int64_t at_s, lev_error *err);
lev_status lev_store_guesses(lev_store *s, int64_t id, lev_store_guess_fn *see,
                             void *to, lev_error *err);

#ifdef __cplusplus
}
#endif
#endif
