/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One line of the log, as a tired person writes it:
 *
 *     RB case-side 3 ~10m 1/2 sheet 12.3g>11.9g Ra 0.4 next-grit; lamp from the left
 *
 * Who and face and step come first, the rest in any order. Pure text work: no store. */
#ifndef APP_LOG_LINE_H
#define APP_LOG_LINE_H

#include <stdbool.h>

#include "levigate/status.h"

enum { LEV_LOG_NAME = 64, LEV_LOG_WORDS = 400 };

/* What a line says; NaN and "" are not told. */
typedef struct lev_log_line {
    char who[LEV_LOG_NAME], face[LEV_LOG_NAME];
    int number;             /* of the step, from 1; 0 not told */
    double work_s, pause_s; /* pauses are not in work_s */
    bool about;             /* "~10m": the time is a guess */
    double sheets, before_g, after_g, off_um;
    double lost_g;        /* "lost 0.4g"; or before less after */
    double weight_step_g; /* worth of the last digit the scale showed */
    double ra_um, rq_um, rz_um, rt_um, gloss_gu;
    char verdict[16];
    char words[LEV_LOG_WORDS];
    bool sure; /* the person means it, however odd it looks */
} lev_log_line;

/**
 * Read a line.
 *
 *     WHO FACE STEP   or FACE STEP; left out when `headed`
 *     ~10m  10 min  1h20  1 h 20 min  90s  9:10-9:45   "~" or "about": roughly
 *     pause 5m                       not work; taken off a span of clock times
 *     2 sheets  1/4 sheet  1 1/2 discs  half a sheet
 *     12.3g>11.9g  12.3g to 11.9g  lost 0.4g  off 12um
 *     Ra 0.4  Rz 3.1um  Rt Rq  gloss 45
 *     next-grit  keep-at-it  cannot-tell
 *     sure                           keep it although it looks odd
 *     ; words of one's own, to the end of the line
 *
 * @param headed    who, face and step are known: the line starts behind them
 * @param comma_ok  a decimal comma is taken
 * @return LEV_OK; LEV_E_USAGE for a word that is not understood, with the nearest, or
 * for what is told twice; LEV_E_RANGE for what cannot be: no minutes, weight gained,
 * Rt below Rz, Rq below Ra, Rz below twice Ra; LEV_E_LIMIT, LEV_E_FORMAT for the text
 */
lev_status lev_log_line_read(const char *text, bool headed, bool comma_ok,
                             lev_log_line *out, lev_error *err);

#endif
