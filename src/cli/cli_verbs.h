/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table made from data/verbs.csv, and the command line read by it. */
#ifndef CLI_VERBS_H
#define CLI_VERBS_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "levigate/status.h"

typedef enum lev_verb_kind {
    LEV_VERB_VERB,
    LEV_VERB_ARG,
    LEV_VERB_OPTION,
    LEV_VERB_FLAG
} lev_verb_kind;

typedef enum lev_value_type {
    LEV_VALUE_NONE,
    LEV_VALUE_TEXT,
    LEV_VALUE_NUMBER,
    LEV_VALUE_INT,
    LEV_VALUE_WORD
} lev_value_type;

typedef struct lev_verb_row {
    const char *verb, *param;
    lev_verb_kind kind;
    lev_value_type type;
    const char *value; /* placeholder in the help; ends in "..." when it may repeat */
    double low, high;
    const char *values, *help;
} lev_verb_row;

extern const lev_verb_row lev_verb_rows[];
extern const int lev_verb_rows_n;

enum { LEV_ARGS_MAX = 256 };

/* A command line that was read: pairs in the order given; texts point into argv. */
typedef struct lev_args {
    const char *verb;
    const char *name[LEV_ARGS_MAX], *value[LEV_ARGS_MAX];
    int n;
} lev_args;

/** Read a command line by the table: every value is checked for type, range and words.
 * LEV_E_USAGE with a message that names what would be right. */
lev_status lev_args_read(lev_args *out, int argc, char **argv, lev_error *err);

bool lev_args_has(const lev_args *a, const char *name);
/** The value of an option or argument given last, NULL when it was not given. */
const char *lev_args_text(const lev_args *a, const char *name);
/** Value number i (from 0) of one that may repeat, NULL beyond the last. */
const char *lev_args_nth(const lev_args *a, const char *name, int i);
/** The number, or `otherwise` when it was not given. */
double lev_args_number(const lev_args *a, const char *name, double otherwise);

/** The row of a verb, NULL when there is none. */
const lev_verb_row *lev_verb_find(const char *verb);

#endif
