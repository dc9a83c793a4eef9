/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The log for a terminal. */
#include "app_log_words.h"

#include <math.h>
#include <string.h>

/* What was told, in the one figure that says most. */
static void main_figure(lev_text *t, const lev_log_line *l)
{
    if (l->work_s > 0.0) {
        lev_text_add(t, l->about ? "ABOUT " : "");
        lev_words_time(t, l->work_s);
    } else if (l->sheets > 0.0) {
        lev_words_sheets(t, l->sheets, "sheet");
    } else if (l->ra_um > 0.0) {
        lev_text_print(t, "Ra %.3g um", l->ra_um);
    } else if (l->verdict[0] != '\0') {
        lev_text_add(t, l->verdict);
    } else {
        lev_text_add(t, "NOTED");
    }
}

void lev_log_first_line(lev_text *t, const lev_log_answer *a)
{
    switch (a->act) {
    case LEV_LOG_ADD:
        main_figure(t, &a->line);
        lev_text_print(t, " LOGGED FOR %.30s", a->step.step[0].face);
        return;
    case LEV_LOG_UNDO:
        lev_text_print(t, "TAKEN BACK: %.20s, STEP %d", a->undone.face,
                       a->undone.number);
        return;
    case LEV_LOG_SHOW:
        break;
    }
    if (a->entries == 0)
        lev_text_add(t, "NOTHING LOGGED YET");
    else
        lev_text_print(t, "THE NEWEST %td ENTR%s", a->entries,
                       a->entries > 1 ? "IES" : "Y");
}

static void go_on(lev_text *t, const lev_log_answer *a)
{
    const lev_store_step *s = &a->step.step[0];
    if (strcmp(a->line.verdict, "next-grit") == 0 && a->next != NULL) {
        lev_text_print(t, "next: clean down, then step %d, %s", a->next->number,
                       a->next->words);
    } else if (strcmp(a->line.verdict, "next-grit") == 0) {
        lev_text_add(t, "next: that was the last step; full check with the lens");
    } else if (strcmp(a->line.verdict, "cannot-tell") == 0) {
        lev_text_add(t, "check: wash the face, turn the lamp low and across, look "
                        "again");
    } else if (s->predicted_s > s->done_s) {
        lev_text_add(t, "check: look again after ");
        lev_words_time(t, s->predicted_s - s->done_s);
        lev_text_add(t, "; `levigate log undo` takes this back");
    } else {
        lev_text_add(t, "check: is the old direction gone? `levigate log undo` takes "
                        "this back");
    }
}

void lev_log_second_line(lev_text *t, const lev_log_answer *a)
{
    if (a->act == LEV_LOG_ADD)
        go_on(t, a);
    else if (a->act == LEV_LOG_UNDO)
        lev_text_add(t, "check: its paper is back in the drawer, nothing is learned "
                        "from it");
    else if (a->entries == 0)
        lev_text_add(t, "next: levigate log RB case-side 3 ~10m 1/2 sheet next-grit");
    else
        lev_text_add(t, "next: `levigate log undo` takes the newest back");
}

/* ---- the rest ---- */

static void against_plan(lev_text *t, const lev_log_answer *a)
{
    const lev_store_step *s = &a->step.step[0];
    lev_text_print(t, "  step %d, %s\n", s->number, s->words);
    if (s->done_s > 0.0 && s->predicted_s > 0.0) {
        lev_text_add(t, "  in all ");
        lev_words_time(t, s->done_s);
        lev_text_add(t, ", planned ");
        lev_words_time(t, s->predicted_s);
        lev_text_add(t, "\n");
    }
    if (s->done_sheets > 0.0) {
        lev_text_print(t, "  paper in all %.3g", s->done_sheets);
        if (s->predicted_sheets > 0.0)
            lev_text_print(t, ", planned %.2g", s->predicted_sheets);
        if (a->paper.medium_id != 0)
            lev_text_print(t, "; %.3g left in line %lld", a->paper.left,
                           (long long)a->paper.medium_id);
        else if (a->line.sheets > 0.0)
            lev_text_add(t, "; none of it stood in the drawer");
        lev_text_add(t, "\n");
    }
}

static void added(lev_text *t, const lev_log_answer *a, lev_units units)
{
    static const char *const more[LEV_QUANTITY_N] = {
        "cuts faster", "paper lasts longer", "leaves coarser lines", "shines more"};
    static const char *const less[LEV_QUANTITY_N] = {
        "cuts slower", "paper lasts less", "leaves finer lines", "shines less"};
    against_plan(t, a);
    if (a->off_um > 0.0) {
        lev_text_add(t, "  off the face ");
        lev_words_depth_like(t, a->off_um, units);
        lev_text_add(t, "\n");
    }
    for (ptrdiff_t i = 0; i < a->facts; i++) {
        const lev_store_fact *f = &a->fact[i];
        lev_text_print(t, "  learned: %s than the model, %.2g times\n",
                       f->ln_ratio >= 0.0 ? more[f->quantity] : less[f->quantity],
                       exp(fabs(f->ln_ratio)));
    }
}

static void one_entry(lev_text *t, const lev_store_entry *e)
{
    lev_text_add(t, "  ");
    lev_words_day(t, e->at_s, true);
    lev_text_print(t, "  %s%s%s %d, %s", e->who, e->who[0] != '\0' ? " " : "", e->face,
                   e->number, e->step);
    if (e->work_s > 0.0) {
        lev_text_add(t, e->about ? ": about " : ": ");
        lev_words_time(t, e->work_s);
    }
    if (e->sheets > 0.0) {
        lev_text_add(t, ", ");
        lev_words_sheets(t, e->sheets, "sheet");
    }
    if (e->ra_um > 0.0)
        lev_text_print(t, ", Ra %.3g um", e->ra_um);
    if (e->gloss_gu > 0.0)
        lev_text_print(t, ", gloss %.3g", e->gloss_gu);
    if (e->verdict[0] != '\0')
        lev_text_print(t, ", %s", e->verdict);
    if (e->words[0] != '\0')
        lev_text_print(t, "; %s", e->words);
    lev_text_add(t, e->undone ? " (taken back)\n" : "\n");
}

void lev_app_log_text(lev_text *t, const lev_log_answer *a, lev_units units)
{
    lev_log_first_line(t, a);
    lev_text_add(t, "\n");
    lev_log_second_line(t, a);
    lev_text_add(t, "\n");
    if (a->act == LEV_LOG_ADD)
        added(t, a, units);
    for (ptrdiff_t i = 0; i < a->entries; i++)
        one_entry(t, &a->entry[i]);
}
