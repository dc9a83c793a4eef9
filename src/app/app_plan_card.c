/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A plan as the views the drawing module takes: every text made, every number rounded.
 * All of it lives in one arena for the length of the drawing. */
#include "app_plan.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "app_backend.h"
#include "app_plan_look.h"
#include "levigate/levigate.h"
#include "levigate/note.h"
#include "mem.h"

typedef struct maker {
    lev_arena arena;
    lev_error *err;
    lev_units units;
    lev_status st;
} maker;

/* The text so far, kept in the arena; t is emptied. */
static const char *keep(maker *m, lev_text *t)
{
    const char *s = "";
    if (m->st >= 0)
        m->st = t->st < 0
                    ? lev_fail(m->err, t->st, "out of memory")
                    : lev_arena_text(&m->arena, lev_text_get(t), t->n, &s, m->err);
    lev_text_release(t);
    return m->st < 0 ? "" : s;
}

/* The same as a sentence of its own: a capital in front, a full stop behind. */
static const char *keep_sentence(maker *m, lev_text *t)
{
    if (t->n > 0 && t->s[0] >= 'a' && t->s[0] <= 'z')
        t->s[0] = (char)(t->s[0] - 'a' + 'A');
    if (t->n > 0)
        lev_text_add(t, ".");
    return keep(m, t);
}

static void *array(maker *m, size_t n, size_t size)
{
    void *p = NULL;
    if (m->st >= 0)
        m->st = lev_arena_new(&m->arena, n, size, &p, m->err);
    return m->st < 0 ? NULL : p;
}

static lev_card_stroke card_stroke(const lev_face_step *s)
{
    switch (s->stroke) {
    case LEV_STROKE_TO_AND_FRO:
        return LEV_CARD_TO_AND_FRO;
    case LEV_STROKE_ONE_WAY:
        return LEV_CARD_ONE_WAY;
    case LEV_STROKE_CIRCLES:
        return LEV_CARD_CIRCLES;
    case LEV_STROKE_MACHINE:
        break;
    }
    return LEV_CARD_ORBITAL;
}

static lev_card_step card_step(maker *m, int number, const lev_face_step *s, bool last)
{
    lev_text t = {0};
    lev_card_step c = {.number = number,
                       .stroke = card_stroke(s),
                       .angle_deg = s->direction_deg,
                       .old_angle_deg = s->old_direction_deg,
                       .d50_um = s->medium != NULL ? s->medium->d50_um : (double)NAN,
                       .lnsd = s->medium != NULL ? s->medium->grain.sigma_ln : 0.0,
                       .gate = s->gate,
                       .clean_down = s->clean_down && !last};
    lev_step_use(&t, s);
    c.use = keep(m, &t);
    lev_step_push(&t, s);
    c.push = keep(m, &t);
    lev_step_amount(&t, s);
    c.amount = keep_sentence(m, &t);
    lev_words_time_spread(&t, s->time_s);
    c.time = keep_sentence(m, &t);
    lev_step_fluid(&t, s);
    c.fluid = keep(m, &t);
    lev_step_check(&t, s);
    c.check = keep(m, &t);
    lev_step_stop_if(&t, s);
    c.stop_if = keep(m, &t);
    lev_text_add(&t, "Takes off ");
    lev_words_depth_like(&t, s->remove_um, m->units);
    c.takes_off = keep_sentence(m, &t);
    return c;
}

static const lev_card_step *card_steps(maker *m, const lev_face_ladder *l)
{
    lev_card_step *steps = array(m, (size_t)l->steps, sizeof *steps);
    for (int i = 0; steps != NULL && i < l->steps; i++)
        steps[i] = card_step(m, i + 1, &l->step[i], i + 1 == l->steps);
    return steps;
}

static double sum_sheets(const lev_face_ladder *l)
{
    double sum = 0.0;
    for (int i = 0; i < l->steps; i++)
        sum +=
            l->step[i].medium != NULL ? ceil(4.0 * l->step[i].sheets.p50) / 4.0 : 0.0;
    return sum;
}

static lev_card_totals card_totals(maker *m, const lev_plan_answer *a,
                                   const lev_face_ladder *l)
{
    lev_text t = {0};
    lev_card_totals c = {0};
    lev_words_time_spread(&t, l->time_s);
    c.hands_on = keep(m, &t);
    const double wait_s = l->elapsed_s.p50 - l->time_s.p50;
    if (wait_s > 60.0) {
        lev_words_time(&t, wait_s);
        c.waiting = keep(m, &t);
    }
    lev_words_sheets(&t, sum_sheets(l), "piece");
    c.paper = keep(m, &t);
    lev_text_add(&t, "about ");
    lev_words_money(&t, l->cost_minor.p50, a->job->currency);
    c.cost = keep(m, &t);
    lev_words_depth_like(&t, l->remove_um.p50, m->units);
    c.removal = keep(m, &t);
    return c;
}

static lev_card_texts lines(maker *m, const char *const *text, ptrdiff_t n)
{
    const char **line = array(m, (size_t)n, sizeof *line);
    lev_card_texts c = {line, 0};
    for (ptrdiff_t i = 0; line != NULL && i < n; i++)
        if (text[i] != NULL && text[i][0] != '\0')
            line[c.n++] = text[i];
    return c;
}

static lev_card_texts whys(maker *m, const lev_plan_face_answer *f)
{
    const char *text[2 * LEV_FACE_STEPS];
    ptrdiff_t n = 0;
    if (f->leave != NULL) {
        text[n++] = f->leave->reason;
    } else if (!f->result.feasible) {
        text[n++] = f->result.why_not;
    } else {
        const lev_face_ladder *l = lev_plan_chosen(f);
        for (int i = 0; i < l->steps; i++) {
            lev_text t = {0};
            if (l->step[i].why[0] == '\0')
                continue;
            lev_text_print(&t, "%d: %s.", i + 1, l->step[i].why);
            if (l->step[i].if_skipped[0] != '\0')
                lev_text_print(&t, " If skipped: %s.", l->step[i].if_skipped);
            text[n++] = keep(m, &t);
        }
    }
    return lines(m, text, n);
}

static lev_card_texts helps(maker *m, const lev_plan_face_answer *f)
{
    const char *text[1] = {f->leave != NULL      ? f->leave->instead
                           : !f->result.feasible ? f->result.would_help
                                                 : ""};
    return lines(m, text, 1);
}

static const lev_card_caution *card_cautions(maker *m, const lev_plan_face_answer *f)
{
    lev_card_caution *c = array(m, (size_t)f->own_cautions, sizeof *c);
    for (int i = 0; c != NULL && i < f->own_cautions; i++) {
        const char *severity = f->own_caution[i]->severity;
        c[i].severity = strcmp(severity, "danger") == 0    ? LEV_CARD_DANGER
                        : strcmp(severity, "warning") == 0 ? LEV_CARD_WARNING
                                                           : LEV_CARD_NOTE;
        lev_text t = {0};
        lev_caution_words(&t, f->own_caution[i]);
        c[i].text = keep(m, &t);
    }
    return c;
}

static const char *rests_on(maker *m, const lev_plan_answer *a,
                            const lev_plan_face_answer *f)
{
    lev_text t = {0};
    const lev_figure *h = &f->sources.work.material.hardness_gpa;
    lev_text_print(&t, "Rests on: hardness of the work by %s (%s; %s). ",
                   f->sources.work.hardness_from, lev_mark_name(h->mark),
                   h->source[0] != '\0' ? h->source : "no source");
    for (unsigned bit = 1; bit != 0; bit <<= 1)
        if ((f->notes & bit) != 0)
            lev_text_print(&t, "It %s%s. ",
                           strncmp(lev_note_text(bit), "rests", 5) == 0 ? ""
                                                                        : "is so that ",
                           lev_note_text(bit));
    if (a->catalogue)
        lev_text_add(&t, "Prices are usual ones. ");
    if (a->asked_log)
        lev_text_print(&t, "From the shop's log: %.0f %%. ", 100.0 * f->from_log);
    lev_text_print(&t, "Weakest figure: %s.", lev_mark_name(f->mark));
    return keep(m, &t);
}

static lev_card_kind card_kind(const lev_plan_face_answer *f)
{
    return f->leave != NULL      ? LEV_CARD_LEAVE_ALONE
           : !f->result.feasible ? LEV_CARD_INFEASIBLE
                                 : LEV_CARD_LADDER;
}

static lev_card_face card_face(maker *m, const lev_plan_answer *a,
                               const lev_plan_face_answer *f)
{
    lev_text t = {0};
    lev_card_face c = {.kind = card_kind(f),
                       .name = f->asked->name,
                       .material = f->face.material,
                       .start = f->face.start.words,
                       .target = f->face.target.words,
                       .next = f->asked->next,
                       .caution = card_cautions(m, f),
                       .cautions = f->own_cautions};
    lev_words_area(&t, f->asked->area_mm2, f->asked->length_mm, f->asked->width_mm,
                   m->units);
    c.size = keep(m, &t);
    lev_plan_first_line(&t, f);
    c.first_line = keep(m, &t);
    lev_plan_second_line(&t, f);
    c.second_line = keep_sentence(m, &t);
    if (f->leave != NULL)
        c.leave_alone = f->leave->reason;
    const lev_face_ladder *l = lev_plan_chosen(f);
    if (l != NULL) {
        c.step = card_steps(m, l);
        c.steps = l->steps;
        c.totals = card_totals(m, a, l);
        if (m->st >= 0)
            m->st = lev_plan_look(f, m->units, &m->arena, &c, m->err);
    }
    c.why = whys(m, f);
    c.help = helps(m, f);
    c.rests_on = rests_on(m, a, f);
    return c;
}

static lev_card_paper paper_of(const char *paper)
{
    return strcmp(paper, "Letter") == 0 ? LEV_CARD_LETTER
           : strcmp(paper, "A5") == 0   ? LEV_CARD_A5
                                        : LEV_CARD_A4;
}

/* Draw faces that were made into a file that appears only when it is whole. */
static lev_status draw(maker *m, const lev_plan_answer *a, const char *title,
                       const lev_card_face *faces, const char *path, const char *paper,
                       lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_card_api *card = NULL;
    lev_drawing d = {.sink = {.fd = -1}};
    char today[11], version[40];
    LEV_TRY(m->st);
    lev_today(today);
    (void)snprintf(version, sizeof version, "levigate %s", lev_version());
    const lev_card_job view = {.head = {.title = title,
                                        .date = today,
                                        .version = version,
                                        .paper = paper_of(paper)},
                               .piece = a->job->name,
                               .currency = a->job->currency,
                               .deference = lev_deference(),
                               .face = faces,
                               .faces = a->faces};
    LEV_TRY(lev_backend_card(&card, err));
    LEV_TRY(lev_drawing_open(&d, path, err));
    LEV_TRY(card->job(&view, &d.out, err));
    LEV_TRY(lev_drawing_commit(&d, err));
out:
    lev_drawing_release(&d);
    lev_arena_release(&m->arena);
    return st;
}

lev_status lev_app_plan_card(const lev_plan_answer *a, const char *path,
                             const char *paper, lev_units units, lev_error *err)
{
    maker m = {.err = err, .units = units};
    lev_card_face *faces = array(&m, (size_t)a->faces, sizeof *faces);
    for (ptrdiff_t i = 0; faces != NULL && i < a->faces; i++)
        faces[i] = card_face(&m, a, &a->face[i]);
    return draw(&m, a, "Job card", faces, path, paper, err);
}

lev_status lev_app_ladder_card(const lev_plan_answer *a,
                               const lev_plan_special *special, const char *path,
                               const char *paper, lev_units units, lev_error *err)
{
    maker m = {.err = err, .units = units};
    lev_card_face face = card_face(&m, a, &a->face[0]);
    face.kind = LEV_CARD_RECOVER;
    face.first_line = special->first_line;
    face.second_line = special->second_line;
    face.step = card_steps(&m, special->ladder);
    face.steps = special->ladder->steps;
    face.totals = card_totals(&m, a, special->ladder);
    face.why = (lev_card_texts){NULL, 0};
    return draw(&m, a, "Back from a line found late", &face, path, paper, err);
}
