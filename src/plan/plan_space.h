/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a face to a table: every medium on every drive with every push that fits, and
 * the steps without grit, each with the model's pass; then needs, marks and costs.
 *
 * Depths and costs are at the median. What must hold with the joint chance is put into
 * the rules: the target is asked of the unfavourable texture, and the budget is charged
 * with the unfavourable relaxation, which multiplies every depth alike. */
#ifndef PLAN_SPACE_H
#define PLAN_SPACE_H

#include "levigate/plan_face.h"
#include "lev_tables.h"

enum {
    SPACE_LEVELS = 256,
    SPACE_KNOTS = 9,
    SPACE_MARK_GRID =
        96 /* each step rounds what is left of a mark up to one of these */
};

typedef struct space_option {
    const lev_face_medium *medium; /* NULL: a step without grit */
    const lev_row_cut_step *form;
    const lev_row_drive *drive; /* NULL: a step without grit */
    const lev_row_push *push;
    lev_cut_tool tool;
    lev_cut_pass pass;
    double grain_um; /* what its texture counts as in grain size */
    double order;
    double lay_s;        /* final one-way strokes behind it: how long; 0: none */
    double lay_um;       /* what they take off */
    lev_cut_pass lay;    /* and what they leave */
    lev_cut_lines lines; /* of its texture */
    bool meets;          /* the target, as last step */
} space_option;

typedef struct space {
    const lev_face *face;
    space_option *option; /* coarse to fine */
    int n;
    double quantile;       /* of each factor */
    double relax;          /* by which depths may have to grow at that quantile */
    double deep_per_grain; /* deepest line over grain size, usual in this space */
    double best_ra_um;     /* least Ra at the quantile of any option */
    lev_plan_table table;
    double *time_s, *money, *need_short, *need_long; /* owned rows of the table */
    unsigned short *arc;
    lev_plan_last *last;
    lev_plan_option *row;
    unsigned char *barred;
} space;

/** A row of data/plan/rule.csv. */
double space_rule(const char *id);

/** Words and limit of a step without grit; NULL when there are none. */
const lev_row_form_word *space_form_word(const char *form);

/** All options of a face; release also after a failure. */
lev_status space_init(space *s, const lev_face *face, lev_error *err);
void space_release(space *s);

/** Options only, coarse to fine (first half of space_init). */
lev_status space_find_options(space *s, lev_error *err);

/** The table of the options (second half). */
lev_status space_fill_table(space *s, lev_error *err);

bool space_by_hand(const space_option *o);

/** The pass as this shop has it, by what its log has taught of this drive and mineral.
 */
void space_apply_learned(const space *s, const char *drive, const char *mineral,
                         lev_cut_pass *pass);

/** Append an option. */
lev_status space_add(space *s, const space_option *o, int *cap, lev_error *err);

/** For a straight grain: every way to end by hand again, with the final one-way strokes
 * behind it; see plan_space_lay.c. */
lev_status space_add_lays(space *s, int *cap, lev_error *err);

/** Share of a fresh sheet that the final strokes take for one piece. */
double space_lay_sheets(const space_option *o);

/** Does the option meet the target as a last step? */
bool space_meets(const space *s, const space_option *o);

/** Time and sheets of one step on one piece, without setting up and looking. */
lev_status space_cost(const space *s, const space_option *o, double remove_um,
                      lev_cut_cost *out, lev_error *err);

/** Seconds of a step besides cutting, for one piece: setting up, cleaning, looking. */
double space_aside_s(const space *s, const space_option *o);

/** The grain whose texture the start carries; 0 none. */
double space_start_grain_um(const space *s);

/** Measures that bring a texture to what the full check lets pass under a
 * last option. */
lev_cut_measures space_need(const space *s, lev_cut_lines lines, double deepest_um,
                            const space_option *last);

#endif
