/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A plan in the words of the bench, shared by the terminal and the card. */
#include "app_plan.h"

#include <math.h>
#include <string.h>

#include "units.h"

const char *lev_stroke_words(lev_face_stroke stroke)
{
    switch (stroke) {
    case LEV_STROKE_TO_AND_FRO:
        return "to and fro";
    case LEV_STROKE_ONE_WAY:
        return "one way, off the edge";
    case LEV_STROKE_CIRCLES:
        return "small circles";
    case LEV_STROKE_MACHINE:
        break;
    }
    return "slow lanes, half overlapping";
}

const char *lev_fluid_word(lev_cut_fluid fluid)
{
    static const char *const words[LEV_CUT_FLUIDS] = {"dry", "water", "spirit", "oil",
                                                      "wax"};
    return words[fluid];
}

void lev_step_fluid(lev_text *t, const lev_face_step *s)
{
    static const char *const words[LEV_CUT_FLUIDS] = {
        "dry", "water with a drop of soap", "white spirit", "light oil",
        "wax or chalk"};
    lev_text_add(t, words[s->fluid]);
}

static const char *drive_words(const char *id)
{
    for (int i = 0; i < LEV_TAB_DRIVE_N; i++)
        /* NOLINTNEXTLINE: by_hand has a drive */
        if (strcmp(lev_tab_drive[i].id, id) == 0)
            return lev_tab_drive[i].words;
    return id;
}

static const char *backing_words(const char *id)
{
    for (int i = 0; id != NULL && i < LEV_TAB_BACKING_N; i++)
        if (strcmp(lev_tab_backing[i].id, id) == 0)
            return lev_tab_backing[i].words;
    return "";
}

void lev_step_use(lev_text *t, const lev_face_step *s)
{
    const bool by_hand = s->drive != NULL && strncmp(s->drive, "hand", 4) == 0;
    lev_text_add(t, s->label);
    if (s->medium == NULL)
        return;
    if (strcmp(s->medium->system, "P") != 0 && strcmp(s->medium->system, "um") != 0 &&
        strcmp(s->medium->system, "F") != 0)
        lev_text_print(t, " %s", s->medium->system);
    if (strcmp(s->medium->carrier, "paper") != 0)
        lev_text_print(t, " %s", s->medium->carrier);
    if (by_hand)
        lev_text_print(t, " on %s", backing_words(s->backing));
    else
        lev_text_print(t, ", %s", drive_words(s->drive));
}

void lev_step_push(lev_text *t, const lev_face_step *s)
{
    const char *words = "";
    for (int i = 0; i < LEV_TAB_PUSH_N; i++)
        if (strcmp(lev_tab_push[i].id, s->push) == 0)
            words = lev_tab_push[i].words;
    lev_text_add(t, words);
    lev_text_add(t, ", ");
    const double kg = s->push_n / LEV_N_PER_KGF;
    if (kg < 1.0) {
        lev_text_number(t, lev_round_digits(kg * 1000.0, 1), 3);
        lev_text_add(t, " g");
    } else {
        lev_text_number(t, lev_round_digits(kg, 1 + (kg >= 10.0)), 3);
        lev_text_add(t, " kg");
    }
    lev_text_add(t, " on a scale");
}

void lev_step_amount(lev_text *t, const lev_face_step *s)
{
    if (isfinite(s->strokes_per_lane)) {
        lev_text_number(t, s->strokes_per_lane, 2);
        lev_text_add(t, " strokes a lane");
        return;
    }
    lev_text_add(t, "look after ");
    lev_words_time(t, s->look_s);
}

bool lev_step_has_lay(const lev_face_step *s)
{
    const bool spins =
        strcmp(s->drive, "orbital") == 0 || strcmp(s->drive, "disc") == 0;
    return s->stroke != LEV_STROKE_CIRCLES && !spins;
}

void lev_step_check(lev_text *t, const lev_face_step *s)
{
    if (s->kind == LEV_CUT_GRAIN) {
        lev_text_add(t, "lines run edge to edge, none crosses");
        return;
    }
    if (s->stroke == LEV_STROKE_MACHINE && strcmp(s->drive, "orbital") == 0) {
        lev_text_add(t,
                     "wipe with spirit, look low to the window: no curl, no old line");
        return;
    }
    if (s->gate) {
        lev_text_add(t, "10x lens, lamp low: not one old line anywhere");
        return;
    }
    lev_text_add(t, isfinite(s->old_direction_deg)
                        ? "lamp low, square to the old lines: none flashes"
                        : "lamp low, turn the piece: no deeper mark flashes");
}

void lev_step_stop_if(lev_text *t, const lev_face_step *s)
{
    for (int i = 0; s->stop_if != NULL && i < LEV_TAB_STOP_SIGN_N; i++)
        if (strcmp(lev_tab_stop_sign[i].id, s->stop_if) == 0)
            lev_text_add(t, lev_tab_stop_sign[i].words);
}

/* ---- first and second line of an answer ---- */

/* One sentence, at most 60 characters, one number: the time. */
void lev_plan_first_line(lev_text *t, const lev_plan_face_answer *f)
{
    const size_t from = t->n;
    if (f->leave != NULL) {
        lev_text_add(t, "leave it alone");
    } else if (!f->result.feasible) {
        lev_text_add(t, "not with this: see why and what would help");
    } else {
        const lev_face_ladder *l = lev_plan_chosen(f);
        lev_text_add(t, "start with ");
        lev_text_add_words(t, l->step[0].label, 31);
        lev_text_add(t, ", about ");
        lev_words_time(t, l->time_s.p50);
    }
    lev_text_capitals(t, from);
}

void lev_plan_second_line(lev_text *t, const lev_plan_face_answer *f)
{
    if (f->leave != NULL)
        lev_text_print(t, "instead: %s", f->leave->instead);
    else if (!f->result.feasible)
        lev_text_add(t, f->result.would_help);
    else
        lev_text_print(t, "done when: %s", f->face.target.check);
}
