/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A quote: what a job costs the shop, with its spread, and one figure for the customer.
 *
 * The ladders give the time and paper of each face; rows of data/shop give what no
 * ladder counts. Low, likely and high are the 10th, 50th and 90th of 100 cases. The
 * spreads of the lines are added end to end, as if all went well or badly together:
 * what makes one face slow (material, hand, paper) makes the others slow, so the band
 * is on the wide side. Faces are planned for one piece; in a batch the setting up is
 * done once. Money is in minor units. */
#ifndef APP_QUOTE_H
#define APP_QUOTE_H

#include "app_plan.h"
#include "bounds.h"

enum { LEV_QUOTE_LINES = LEV_LIMIT_FACES + 16, LEV_QUOTE_BREAKS = 4 };

/* Zero means not told. */
typedef struct lev_quote_ask {
    const lev_job *job;
    lev_plan_from from;
    int count;               /* pieces; 0: the job's */
    double rate_minor_per_h; /* 0: the job's */
    double margin_pct;
    double minimum_minor;       /* NaN: by the rule */
    double subcontract_minor;   /* a piece */
    int corners, holes, masked; /* a piece */
    double edge_m, weld_mm;     /* a piece */
    int readings;               /* a piece; -1: by the limits of the job */
    bool first_article;
    double given_minor; /* price of a piece as told to the customer; NaN: worked out */
} lev_quote_ask;

typedef struct lev_quote_line {
    char words[120];
    lev_spread time_s, cost_minor; /* of all pieces */
    bool is_face;
} lev_quote_line;

/* The price for so many pieces. */
typedef struct lev_quote_price {
    int count;
    lev_spread cost_minor; /* all pieces: what the shop expects, with margin */
    int64_t each_minor;    /* the one figure: a piece, rounded up */
    bool is_minimum;       /* the least charge stands in its place */
} lev_quote_price;

/* What the store knows of the same job. */
typedef struct lev_quote_past {
    bool known;
    lev_store_quote last; /* newest quote kept; at_s 0 when there is none */
    char currency[8];     /* of it */
    double work_s, sheets;
    int64_t entries;
} lev_quote_past;

typedef struct lev_quote_answer {
    const lev_job *job;
    int count;
    double rate_minor_per_h, minimum_minor;
    lev_quote_line line[LEV_QUOTE_LINES]; /* of the count asked for */
    int lines;
    lev_quote_price price;
    lev_quote_price breaks[LEV_QUOTE_BREAKS];
    int breaks_n;
    lev_spread time_s;
    int readings;
    lev_plan_answer plan; /* of one piece */
    lev_quote_past past;
    int64_t now_s;
} lev_quote_answer;

/**
 * Work it out.
 * @return LEV_OK, also with faces that cannot be done: they have no line, and the plan
 * says why; LEV_E_USAGE without an hourly rate; what lev_app_plan_from says
 */
lev_status lev_app_quote(const lev_quote_ask *ask, lev_quote_answer *out,
                         lev_error *err);
void lev_quote_answer_release(lev_quote_answer *a);

/** What the store knows of the job of this name: the last quote and the work logged. */
lev_status lev_quote_look_back(const lev_shop *shop, lev_quote_answer *a,
                               lev_error *err);
/** Keep the quote with the job of this name; LEV_E_UNKNOWN when the store has none. */
lev_status lev_quote_keep(const lev_shop *shop, const lev_quote_answer *a,
                          lev_error *err);

json_t *lev_app_quote_json(const lev_quote_answer *a, int *failed);
/** For the shop: every line with its band. */
void lev_app_quote_text(lev_text *t, const lev_quote_answer *a, lev_units units);
/** For the customer: one figure, what is in it and what is not; goes into a mail. */
void lev_quote_customer(lev_text *t, const lev_quote_answer *a, lev_units units);

#endif
