/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Scanning a line of the log: each function takes what it knows off the front of *p,
 * skipping blanks, or leaves it alone. */
#ifndef APP_LOG_SCAN_H
#define APP_LOG_SCAN_H

#include <stddef.h>

#include "app_log_line.h"

typedef struct lev_log_reader {
    const char *p;
    bool comma_ok, about;
    bool span;  /* the time was two times of the clock */
    bool huge;  /* a number beyond all reason was met */
    bool comma; /* a decimal comma was met that may not stand there */
    lev_log_line *line;
    lev_error *err;
} lev_log_reader;

/* A word as it stands, for messages. */
typedef char lev_scan_name[LEV_LOG_NAME];

bool lev_scan_blank(char c);
bool lev_scan_digit(char c);
/** Blanks, and commas before blanks. */
void lev_scan_skip(lev_log_reader *r);
/** Bytes up to the next blank, comma before a blank, or semicolon. */
size_t lev_scan_length(const char *p);
void lev_scan_word(const char *p, lev_scan_name out);
/** The next run of letters, when it stands in the list (parted by semicolons). */
bool lev_scan_unit(const char **p, const char *list);
bool lev_scan_sign(const char **p, const char *sign);
/** A number without sign; notes a decimal comma where none is allowed. */
bool lev_scan_number(lev_log_reader *r, const char **p, double *out);
/** The unit of time behind a number, and minutes behind hours. */
bool lev_scan_time(lev_log_reader *r, const char **p, double number, double *time_s);
/** "9:10-9:45"; past midnight too. */
bool lev_scan_clock(const char **p, double *time_s);
/** Worth of the last digit of a number as written: 0.1 for "11.9". */
double lev_scan_last_place(const char *from, const char *to);
/** Micrometres of a number by the unit behind it; um when there is none. */
double lev_scan_um(const char **p, double number);

#endif
