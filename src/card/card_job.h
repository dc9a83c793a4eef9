/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of a job card: frame, steps, pages. */
#ifndef CARD_JOB_H
#define CARD_JOB_H

#include "card_page.h"

/* Type sizes, points. Nothing to be read while working is under INSTRUCTION. */
#define CARD_INSTRUCTION_PT 14.0
#define CARD_USE_PT         17.0
#define CARD_NUMBER_PT      24.0
#define CARD_PLAIN_PT       10.0
#define CARD_SMALL_PT       8.0

/* The 25 mm that a punch or a clip takes, and the other edges. */
#define CARD_CLIP_MM 25.0
#define CARD_EDGE_MM 10.0

/** Title, page number and foot of one page of the job in f->view. */
void card_job_frame(card_flow *f);

/* A step and how it is to be drawn among the others. */
typedef struct card_step_view {
    const lev_card_step *step;
    double magnification;
    bool last;
} card_step_view;

/** Block: one step with its drawings, gate and clean-down line; what: card_step_view.
 */
double card_step_block(card_flow *f, const void *what);

/** Block: before and after, by what the face reflects; what: lev_card_face. */
double card_look_block(card_flow *f, const void *what);

/** One magnification for all steps when every grain can be seen at it, else 0. */
double card_common_magnification(const lev_card_step *step, ptrdiff_t n);

lev_status card_job(const lev_card_job *v, const lev_card_out *to, lev_error *err);
lev_status card_chart(const lev_card_chart *v, const lev_card_out *to, lev_error *err);
lev_status card_labels(const lev_card_labels *v, const lev_card_out *to,
                       lev_error *err);
lev_status card_report(const lev_card_report *v, const lev_card_out *to,
                       lev_error *err);
lev_status card_sheet(const lev_card_sheet *v, const lev_card_out *to, lev_error *err);

#endif
