/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the parts of grit/ share: the tables behind the markings, and the one form in
 * which labels are compared. */
#ifndef GRIT_TABLE_H
#define GRIT_TABLE_H

#include <stdbool.h>

#include "levigate/grit.h"
#include "text.h"

enum {
    LEV_GRIT_KEY = 96, /* bytes of a normalised marking; markings are 80 at most */
    LEV_GRIT_TOKENS = 48
};

/** A figure of data/grit/defaults.csv, which must be there; its mark into *mark. */
double lev_grit_default(const char *id, lev_mark *mark);

/** How likely a system is on a thing without a letter, 0..1; 0 without a row. */
double lev_grit_likely(const char *system);
/** The number stands alone on things of this system: "600", not "D46". */
bool lev_grit_stands_bare(const char *system);
/** Both systems are the same powders measured by two instruments. */
bool lev_grit_is_twin(const char *system_a, const char *system_b);
/** What stands before the number, "" for nothing. */
const char *lev_grit_prefix(const char *system);
/** What carries grains of this system: "coated", "bonded", ... */
const char *lev_grit_carrier(const char *system);

/** An empty grit: no figures, no texts missing. */
lev_grit lev_grit_blank(void);

/**
 * The form in which markings are compared: capitals, no blanks but between two numbers,
 * no hyphen but there, aughts as n/0 ("0000" is "4/0"), µ as U.
 */
void lev_grit_key(const char *text, char key[LEV_GRIT_KEY]);

/** The number in a normalised label, NAN when it has none. */
double lev_grit_key_number(const char *key);

/* A piece of a marking: a number, a word, or one sign. */
typedef struct lev_grit_token {
    enum { LEV_TOKEN_NUMBER, LEV_TOKEN_WORD, LEV_TOKEN_SIGN } type;
    char text[LEV_GRIT_KEY];
    double value; /* of a number */
    bool glued;   /* no blank before it */
} lev_grit_token;

typedef struct lev_grit_tokens {
    lev_grit_token t[LEV_GRIT_TOKENS];
    int n;
    bool cyrillic; /* had letters of the Russian alphabet */
} lev_grit_tokens;

/** Cut a marking into tokens; LEV_E_FORMAT, LEV_E_LIMIT. */
lev_status lev_grit_tokenise(const char *marking, lev_grit_tokens *out, lev_error *err);

/** Drop tokens i .. i + n - 1. */
void lev_grit_token_drop(lev_grit_tokens *t, int i, int n);

/** The tokens i .. i + n - 1 written without blanks but between two numbers. */
void lev_grit_token_join(const lev_grit_tokens *t, int i, int n,
                         char key[LEV_GRIT_KEY]);

/** Role of a word in data/grit/words.csv, "" for none; its value into *value. */
const char *lev_grit_word_role(const char *word, const char **value);

/** Add a match unless the reading is full or has it already. */
void lev_grit_reading_add(lev_grit_reading *r, const lev_grit *g);

/** "P225" is no marking in use; nearest: ... @return LEV_E_UNKNOWN */
lev_status lev_grit_unknown(const char *marking, const char *key, const char *systems,
                            lev_error *err);

/* Ways to read that need no label. Each returns true when the marking was of its kind;
 * the result (which may be a failure) is then in *st. */
bool lev_grit_read_file(const lev_grit_tokens *t, lev_grit_reading *out, lev_status *st,
                        lev_error *err);
bool lev_grit_read_sieve(const lev_grit_tokens *t, lev_grit_reading *out,
                         lev_status *st, lev_error *err);
bool lev_grit_read_wheel(lev_grit_tokens *t, lev_grit_wheel *out);

/** Files as grits: their number, and the i-th. */
int lev_grit_file_count(void);
lev_grit lev_grit_file_at(int i);
/** The name is that of a list of files, such as ISO-234-2. */
bool lev_grit_is_file_list(const char *system);

/** Two bench tests that tell the matches apart, into r->test. */
void lev_grit_bench_tests(lev_grit_reading *r);

#endif
