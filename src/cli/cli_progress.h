/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Long work at a terminal: how far it is, and an end in order when it is interrupted.
 */
#ifndef CLI_PROGRESS_H
#define CLI_PROGRESS_H

/** From now on an interrupt (SIGINT, SIGTERM) makes lev_progress_watch say stop, so
 * that nothing is left half-written. */
void lev_progress_begin(void);

/** A lev_sim_progress: non-zero once interrupted. Where standard error is a terminal
 * and the work takes longer than two seconds, keeps one line there up to date. */
int lev_progress_watch(void *payload, double done);

/** Wipe that line. */
void lev_progress_end(void);

#endif
