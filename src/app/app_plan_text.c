/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A plan for the terminal. */
#include "app_plan.h"

#include <math.h>
#include <string.h>

#include "levigate/note.h"

/* A direction as people lay a hand: along, across, slanting. */
static const char *direction_words(double deg)
{
    const double d = fabs(fmod(deg, 180.0));
    const double away = d > 90.0 ? 180.0 - d : d;
    if (away < 15.0)
        return "along";
    return away > 75.0 ? "across" : "slanting";
}

static void one_step(lev_text *t, int number, const lev_face_step *s, lev_units units)
{
    lev_text use = {0};
    lev_step_use(&use, s);
    lev_text_print(t, "  %d  %s\n", number, lev_text_get(&use));
    lev_text_release(&use);
    lev_text_print(t, "     %s, %s; ", direction_words(s->direction_deg),
                   lev_stroke_words(s->stroke));
    lev_step_push(t, s);
    lev_text_add(t, "; ");
    lev_step_fluid(t, s);
    lev_text_add(t, "\n     ");
    lev_step_amount(t, s);
    lev_text_add(t, "; ");
    lev_words_time_spread(t, s->time_s);
    lev_text_add(t, "\n     takes off ");
    lev_words_depth_like(t, s->remove_um, units);
    if (s->medium != NULL) {
        lev_text_add(t, "; ");
        lev_words_sheets(t, s->sheets.p50,
                         strcmp(s->medium->carrier, "disc") == 0   ? "disc"
                         : strcmp(s->medium->carrier, "belt") == 0 ? "belt"
                         : strcmp(s->medium->carrier, "paste") == 0 ||
                                 strcmp(s->medium->carrier, "powder") == 0
                             ? "pinch"
                         : strcmp(s->medium->carrier, "stick") == 0 ? "stick"
                         : strcmp(s->medium->carrier, "stone") == 0 ? "stone"
                                                                    : "sheet");
    }
    lev_text_add(t, "\n     until: ");
    lev_step_check(t, s);
    if (s->why[0] != '\0')
        lev_text_print(t, "\n     why: %s", s->why);
    if (s->if_skipped[0] != '\0')
        lev_text_print(t, "\n     if skipped: %s", s->if_skipped);
    lev_text_add(t, s->gate ? "\n     GATE: full check with the lens before going on\n"
                            : "\n");
    if (s->clean_down)
        lev_text_add(t, "     -- clean down: hands, cloth, bench --\n");
}

void lev_plan_ladder_text(lev_text *t, const lev_face_ladder *l, const char *currency,
                          lev_units units)
{
    for (int i = 0; i < l->steps; i++)
        one_step(t, i + 1, &l->step[i], units);
    lev_text_add(t, "  in all ");
    lev_words_time_spread(t, l->time_s);
    lev_text_add(t, "; about ");
    lev_words_money(t, l->cost_minor.p50, currency);
    lev_text_add(t, "; off the face ");
    lev_words_depth_like(t, l->remove_um.p50, units);
    lev_text_add(t, "\n");
}

static void cautions(lev_text *t, const lev_plan_face_answer *f)
{
    enum { FRONT = 3 };
    for (int i = 0; i < f->own_cautions && i < FRONT; i++) {
        const char *severity = f->own_caution[i]->severity;
        lev_text_print(t, "  %s: ",
                       strcmp(severity, "danger") == 0    ? "DANGER"
                       : strcmp(severity, "warning") == 0 ? "WARNING"
                                                          : "NOTE");
        lev_caution_words(t, f->own_caution[i]);
        lev_text_add(t, "\n");
    }
    if (f->own_cautions > FRONT)
        lev_text_print(t, "  and %d more cautions on the card\n",
                       f->own_cautions - FRONT);
}

static void one_face(lev_text *t, const lev_plan_answer *a,
                     const lev_plan_face_answer *f, lev_units units, bool every_goal)
{
    lev_plan_first_line(t, f);
    lev_text_add(t, "\n");
    lev_plan_second_line(t, f);
    lev_text_print(t, "\n  %s: %s, ", f->asked->name, f->face.material);
    lev_words_area(t, f->asked->area_mm2, f->asked->length_mm, f->asked->width_mm,
                   units);
    lev_text_print(t, "\n  now: %s; wanted: %s; then: %s\n", f->face.start.words,
                   f->face.target.words, f->asked->next);
    cautions(t, f);
    if (f->leave != NULL)
        lev_text_print(t, "  why: %s\n", f->leave->reason);
    else if (!f->result.feasible)
        lev_text_print(t, "  why: %s\n", f->result.why_not);
    for (int i = 0; i < f->result.ladders; i++) {
        if (!every_goal && i != f->result.chosen)
            continue;
        if (every_goal || i > 0)
            lev_text_print(t, "  -- %s --\n", f->result.ladder[i].goal);
        lev_plan_ladder_text(t, &f->result.ladder[i], a->job->currency, units);
    }
    if (f->short_of[0] != '\0')
        lev_text_print(t, "  paper: %s\n", f->short_of);
    if (a->asked_log && f->leave == NULL)
        lev_text_print(t, "  from the log: %.0f %%, %td entr%s of this work\n",
                       100.0 * f->from_log, f->log_entries,
                       f->log_entries == 1 ? "y" : "ies");
    for (unsigned bit = 1; bit != 0; bit <<= 1)
        if ((f->notes & bit) != 0)
            lev_text_print(t, "  note: %s\n", lev_note_text(bit));
    lev_text_print(t, "  weakest figure it rests on: %s\n\n", lev_mark_name(f->mark));
}

void lev_app_plan_text(lev_text *t, const lev_plan_answer *a, lev_units units,
                       bool every_goal)
{
    for (ptrdiff_t i = 0; i < a->faces; i++)
        one_face(t, a, &a->face[i], units, every_goal);
    if (a->catalogue)
        lev_text_add(
            t, "Planned from all media at usual prices: name a drawer to plan from "
               "yours.\n");
    if (a->asked_log)
        lev_text_print(t, "From the shop's log: %td entr%s in all.\n", a->log_all,
                       a->log_all == 1 ? "y" : "ies");
    else
        lev_text_add(t,
                     "From the shop's log: nothing; these are the model's figures.\n");
    lev_text_print(t, "%s\n", lev_deference());
}
