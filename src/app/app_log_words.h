/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The first two lines of an answer about the log. */
#ifndef APP_LOG_WORDS_H
#define APP_LOG_WORDS_H

#include "app_log.h"

void lev_log_first_line(lev_text *t, const lev_log_answer *a);
void lev_log_second_line(lev_text *t, const lev_log_answer *a);

#endif
