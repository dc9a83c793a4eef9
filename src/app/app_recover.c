/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A line found late. See app_recover.h. */
#include "app_recover.h"

#include <math.h>
#include <string.h>

#include "app_trace.h"
#include "json.h"
#include "text.h"

static const lev_row_felt_start *felt_row(const char *id)
{
    for (int i = 0; id != NULL && i < LEV_TAB_FELT_START_N; i++)
        if (strcmp(lev_tab_felt_start[i].id, id) == 0 ||
            strcmp(lev_tab_felt_start[i].how, id) == 0)
            return &lev_tab_felt_start[i];
    return NULL;
}

/* The deepest line of a measured face; its direction to the length of the face. */
static lev_status measure_line(const lev_recover_ask *ask, lev_recover_reply *r,
                               lev_error *err)
{
    lev_status st = LEV_OK;
    lev_trace_answer a = {0};
    const lev_trace_request q = {.path = ask->trace, .lines = 1};
    LEV_TRY(lev_app_trace(&q, &a, err));
    if (a.lines.n == 0)
        LEV_TRY(lev_fail(err, LEV_E_RANGE,
                         "no line stands out in %.200s; give --depth-um", ask->trace));
    const lev_line *l = &a.lines.line[0];
    r->measured = true;
    r->depth_um = l->depth_um;
    r->line_mm = l->length_mm;
    if (isnan(r->direction_deg))
        r->direction_deg = lev_app_trace_to_face(&a, l->direction_deg, ask->length_deg);
out:
    lev_trace_answer_release(&a);
    return st;
}

static lev_status find_depth(const lev_recover_ask *ask, lev_recover_reply *r,
                             lev_error *err)
{
    r->depth_um = ask->depth_um;
    r->direction_deg = ask->direction_deg;
    r->line_mm = NAN;
    if (isfinite(ask->depth_um))
        return LEV_OK;
    if (ask->trace != NULL)
        return measure_line(ask, r, err);
    r->felt = felt_row(ask->felt);
    if (r->felt == NULL)
        return lev_fail(
            err, LEV_E_USAGE,
            "give --depth-um, --trace, or --felt or --seen with one of nail, "
            "nail-tick, needle, fingertip, eye, lamp, haze");
    const double low = fmax(r->felt->depth_low_um, 0.1 * r->felt->depth_high_um);
    r->depth_um = sqrt(low * r->felt->depth_high_um);
    return LEV_OK;
}

static lev_status find_way(const lev_recover_ask *ask, lev_recover_reply *r,
                           lev_error *err)
{
    const lev_plan_face_answer *f = &r->plan.face[0];
    if (f->result.ladders == 0)
        return lev_fail(err, LEV_E_RANGE, "face %s has no ladder to go back on: %s",
                        ask->face,
                        f->leave != NULL ? f->leave->reason : f->result.why_not);
    const lev_face_ladder *ladder = lev_plan_chosen(f);
    if (ask->found_after > ladder->steps)
        return lev_fail(err, LEV_E_USAGE,
                        "--found-after %d: the ladder of %s has %d steps",
                        ask->found_after, ask->face, ladder->steps);
    const lev_recover_request q = {.face = &f->face,
                                   .ladder = ladder,
                                   .found_after = ask->found_after,
                                   .depth_um = r->depth_um,
                                   .lone = ask->lone,
                                   .direction_deg = r->direction_deg,
                                   .length_mm = r->line_mm};
    return lev_face_recover(&q, &r->answer, err);
}

lev_status lev_app_recover(const lev_recover_ask *ask, lev_recover_reply *out,
                           lev_error *err)
{
    lev_status st = LEV_OK;
    lev_recover_reply r = {0};
    LEV_TRY(find_depth(ask, &r, err));
    LEV_TRY(lev_plan_one_face(ask->job, ask->face, &ask->from, &r.plan, err));
    LEV_TRY(find_way(ask, &r, err));
    *out = r;
    r = (lev_recover_reply){0};
out:
    lev_recover_reply_release(&r);
    return st;
}

void lev_recover_reply_release(lev_recover_reply *r)
{
    if (r == NULL)
        return;
    lev_plan_answer_release(&r->plan);
    *r = (lev_recover_reply){0};
}

json_t *lev_app_recover_json(const lev_recover_reply *r, int *failed)
{
    const lev_recover_answer *a = &r->answer;
    json_t *o = lev_json_reply();
    int bad = lev_json_put_text(o, "face", r->plan.face[0].asked->name);
    bad |= lev_json_put_number(o, "depth_um", r->depth_um);
    if (r->measured) {
        bad |= lev_json_put_text(o, "found_by", "trace");
        bad |= lev_json_put_number(o, "line_mm", r->line_mm);
        bad |= lev_json_put_number(o, "direction_deg", r->direction_deg);
    }
    bad |= lev_json_put_text(o, "cause", a->cause);
    bad |= lev_json_put_text(o, "because", a->because);
    bad |= lev_json_put_int(o, "back_to_step", a->back_to_step);
    bad |= lev_json_put_text(o, "mode", a->spot ? "spot" : "whole");
    bad |= lev_json_put_number(o, "spot_mm", a->spot_mm);
    bad |= lev_json_put_number(o, "feather_mm", a->feather_mm);
    bad |= lev_json_put_number(o, "dish_um", a->dish_um);
    bad |= lev_json_put(
        o, "ladder", lev_plan_ladder_json(&r->plan.face[0].face, &a->ladder, failed));
    *failed |= bad;
    return o;
}

static void first_line(lev_text *t, const lev_recover_reply *r)
{
    const lev_recover_answer *a = &r->answer;
    const size_t from = t->n;
    lev_text_add(t, "back to ");
    lev_text_add_words(t, a->ladder.step[0].label, a->spot ? 26 : 18);
    lev_text_add(t, a->spot ? ", a spot, about " : ", the whole face, about ");
    lev_words_time(t, a->ladder.time_s.p50);
    lev_text_capitals(t, from);
}

void lev_app_recover_text(lev_text *t, const lev_recover_reply *r, lev_units units)
{
    const lev_recover_answer *a = &r->answer;
    first_line(t, r);
    lev_text_print(t, "\ncause: %s\n", a->because);
    lev_text_add(t, "  the line is ");
    lev_words_depth_like(t, r->depth_um, units);
    lev_text_print(t, " deep%s%s\n",
                   r->felt != NULL ? "; told by: "
                   : r->measured   ? ", measured"
                                   : "",
                   r->felt != NULL ? r->felt->words : "");
    if (r->measured && isfinite(r->line_mm))
        lev_text_print(t,
                       "  %.2g mm of it lie in the map, %.0f degrees to the length\n",
                       r->line_mm, r->direction_deg);
    lev_text_add(t, "  first: wash the face, hands, bench and block; take new paper\n");
    if (a->spot) {
        lev_text_print(t,
                       "  work a spot of %.0f mm, feather out to %.0f mm; it leaves a "
                       "hollow of ",
                       a->spot_mm, a->feather_mm);
        lev_words_depth(t, a->dish_um, units);
        lev_text_add(t, "\n");
    }
    lev_plan_ladder_text(t, &a->ladder, r->plan.job->currency, units);
}

lev_status lev_app_recover_card(const lev_recover_reply *r, const char *path,
                                const char *paper, lev_units units, lev_error *err)
{
    lev_text first = {0}, second = {0};
    first_line(&first, r);
    lev_text_print(&second, "Cause: %s", r->answer.because);
    const lev_plan_special special = {.first_line = lev_text_get(&first),
                                      .second_line = lev_text_get(&second),
                                      .ladder = &r->answer.ladder};
    const lev_status st =
        lev_app_ladder_card(&r->plan, &special, path, paper, units, err);
    lev_text_release(&first);
    lev_text_release(&second);
    return st;
}
