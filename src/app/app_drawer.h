/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The drawer: what abrasives the shop has, and what became of them. */
#ifndef APP_DRAWER_H
#define APP_DRAWER_H

#include "app_face.h"
#include "app_shop.h"

/* What is wanted of the drawer, with its word. */
#define LEV_DRAWER_LIST(X)                                                             \
    X(LEV_DRAWER_SHOW, "list")                                                         \
    X(LEV_DRAWER_ADD, "add")                                                           \
    X(LEV_DRAWER_TAKE, "take")                                                         \
    X(LEV_DRAWER_COUNT, "count")                                                       \
    X(LEV_DRAWER_CORRECT, "correct")                                                   \
    X(LEV_DRAWER_SET, "set")                                                           \
    X(LEV_DRAWER_REMOVE, "remove")                                                     \
    X(LEV_DRAWER_LIKE, "like")                                                         \
    X(LEV_DRAWER_ORDER, "order")                                                       \
    X(LEV_DRAWER_HISTORY, "history")

typedef enum lev_drawer_act {
#define LEV_DRAWER_ENUM(name, word) name,
    LEV_DRAWER_LIST(LEV_DRAWER_ENUM)
#undef LEV_DRAWER_ENUM
        LEV_DRAWER_ACTS
} lev_drawer_act;

/** The act by its word; LEV_E_USAGE with the nearest. */
lev_status lev_drawer_act_read(const char *word, lev_drawer_act *out, lev_error *err);
const char *lev_drawer_act_word(lev_drawer_act act);
/** Does it change anything? */
bool lev_drawer_act_writes(lev_drawer_act act);

/* Texts that are NULL or "" were not told; so are NaN and -1. */
typedef struct lev_drawer_ask {
    lev_drawer_act act;
    const char *what; /* marking (add, like), else number of a line or a marking */
    double pieces;    /* add, take: how many; count, correct: how many there are */
    const char *system, *method, *mineral, *carrier, *size, *price, *state, *holes,
        *lot, *bought, *reason;
    double reorder_at;
    int waterproof, open_coat, anti_clog; /* 0, 1, -1 not told */
} lev_drawer_ask;

/** Everything not told. */
void lev_drawer_ask_init(lev_drawer_ask *ask);

typedef struct lev_drawer_line {
    lev_store_medium m; /* texts in the answer's arena */
    double age_days;    /* NaN: not known when it was bought */
    double used;        /* pieces in the days use is counted over */
    double per_day;     /* NaN: never used */
    double days_left;   /* NaN: never used */
    double order_at;   /* pieces at which more is ordered: set, or from use; NaN none */
    bool order;        /* it is that low */
    double overlap;    /* like: with what was asked for, 0..1 */
    double larger_pct; /* like: its median against that, + coarser */
    bool same_method;
} lev_drawer_line;

typedef struct lev_drawer_event {
    lev_store_event e; /* texts in the answer's arena */
} lev_drawer_event;

typedef struct lev_drawer_answer {
    lev_drawer_act act;
    lev_drawer_line *line; /* [n]: all, or the one that was changed */
    ptrdiff_t n;
    lev_drawer_event *event; /* [events]: history only */
    ptrdiff_t events;
    bool joined;          /* add: went to a line that stood already */
    double before;        /* pieces before the change */
    lev_grit asked;       /* like, add: what the marking was taken for */
    bool ambiguous;       /* ... and other readings fit too */
    double asked_grit_um; /* like: its median, NaN unknown */
    int64_t worth_minor;  /* of all that is listed */
    char currency[4];
    int64_t now_s;
    unsigned notes;
    lev_arena arena;
} lev_drawer_answer;

/**
 * Do it.
 * @return LEV_OK; LEV_E_UNKNOWN for a marking, mineral or line that is not known, with
 * the nearest; LEV_E_USAGE for what is missing; LEV_E_RANGE when too little is left;
 * what the store says
 */
lev_status lev_app_drawer(const lev_shop *shop, const lev_drawer_ask *ask,
                          lev_drawer_answer *out, lev_error *err);
void lev_drawer_answer_release(lev_drawer_answer *a);

/** The answer as JSON; *failed is ORed. */
json_t *lev_app_drawer_json(const lev_drawer_answer *a, int *failed);
/** The answer for a terminal. */
void lev_app_drawer_text(lev_text *t, const lev_drawer_answer *a, lev_units units);
void lev_drawer_first_line(lev_text *t, const lev_drawer_answer *a);
void lev_drawer_second_line(lev_text *t, const lev_drawer_answer *a);

/** Every line of the drawer as a job carries them, in the arena; lines that are alike
 * in all but lot and price are one, at the dearer price. */
lev_status lev_drawer_media(const lev_shop *shop, lev_arena *arena,
                            lev_job_medium **out, ptrdiff_t *n, lev_error *err);

/** The same for a job: LEV_E_USAGE when the drawer is empty or counts in another
 * currency. */
lev_status lev_drawer_for_job(const lev_shop *shop, const lev_job *job,
                              lev_arena *arena, lev_job_medium **out, ptrdiff_t *n,
                              lev_error *err);

/* Shared by the files of this verb. */
lev_status lev_drawer_read_lines(const lev_shop *shop, lev_drawer_answer *a,
                                 lev_error *err);
/** One line by its number, also one that is gone. */
lev_status lev_drawer_read_one(const lev_shop *shop, int64_t id, lev_drawer_answer *a,
                               lev_error *err);
/** The line a number or a marking names; LEV_E_UNKNOWN with the nearest. */
lev_status lev_drawer_find(const lev_shop *shop, const char *what, int64_t *id,
                           lev_error *err);
/** Fill overlap and sort by it; lines with less than the least are dropped. */
lev_status lev_drawer_rank(lev_drawer_answer *a, double least, lev_error *err);

#endif
