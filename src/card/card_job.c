/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The job card: the answer, the cautions, the steps, the totals, the small print. */
#include "card_job.h"

#include <math.h>
#include <string.h>

#include "card_draw.h"
#include "card_words.h"
#include "bounds.h"
#include "text.h"

enum { FRONT_CAUTIONS = 3, STEPS_MAX = 60 };

static const double PAD_MM = 2.5;

/* ---- blocks ---- */

/* A word in a black band: what kind of page this is. */
static double banner_block(card_flow *f, const void *what)
{
    const lev_type type = {.size_pt = 26.0, .bold = true, .white = true};
    const lev_rect bar = {f->left_mm, f->y_mm, card_flow_width(f), 15.0};
    lev_canvas_fill_rect(f->c, bar, LEV_FILL_SOLID);
    lev_canvas_text(f->c, f->left_mm + 4.0, f->y_mm + 1.8, &type, NULL, what);
    return bar.h_mm + 3.0;
}

/* The largest type in which the answer stays one line; the middle size when none. */
static double answer_pt(card_flow *f, const char *text, bool big)
{
    const double most_pt = big ? 26.0 : 20.0;
    for (int less = 0; less <= 4; less++) {
        const double pt = most_pt - less;
        double w_mm = 0.0;
        double h_mm = 0.0;
        const lev_type type = {.size_pt = pt, .bold = true};
        lev_canvas_text_size(f->c, &type, NULL, text, &w_mm, &h_mm);
        if (w_mm <= card_flow_width(f))
            return pt;
    }
    return most_pt - 2.0;
}

/* The answer in large type, the check that proves it below. */
static double answer_block(card_flow *f, const void *what)
{
    const lev_card_face *face = what;
    const bool big = face->kind != LEV_CARD_LADDER;
    const double w_mm = card_flow_width(f);
    const lev_type type = {
        .size_pt = answer_pt(f, face->first_line, big), .bold = true, .width_mm = w_mm};
    double y = f->y_mm;
    y += lev_canvas_text(f->c, f->left_mm, y, &type, NULL, face->first_line) + 0.8;
    y += card_para(f, f->left_mm, y, w_mm, big ? 20.0 : CARD_INSTRUCTION_PT, NULL,
                   face->second_line);
    return y - f->y_mm + 2.0;
}

/* Now, wanted, then: three lines with one left edge. */
static double route_block(card_flow *f, const void *what)
{
    const lev_card_face *face = what;
    const char *const word[] = {WORD_START, WORD_WANT, WORD_NEXT};
    const char *const text[] = {face->start, face->target, face->next};
    const lev_type lead = {.size_pt = CARD_INSTRUCTION_PT, .bold = true};
    const double column_mm = 25.0;
    double y = f->y_mm;
    for (int i = 0; i < 3; i++) {
        if (!card_has(text[i]))
            continue;
        lev_canvas_text(f->c, f->left_mm, y, &lead, NULL, word[i]);
        y += card_para(f, f->left_mm + column_mm, y, card_flow_width(f) - column_mm,
                       CARD_INSTRUCTION_PT, NULL, text[i]);
    }
    return y - f->y_mm + 2.0;
}

static const char *severity_word(lev_card_severity severity)
{
    if (severity == LEV_CARD_DANGER)
        return WORD_DANGER;
    return severity == LEV_CARD_WARNING ? WORD_WARNING : WORD_NOTE;
}

/* Bars and word at the left (white on black for danger), text at the right. */
static double caution_block(card_flow *f, const void *what)
{
    const lev_card_caution *caution = what;
    const bool danger = caution->severity == LEV_CARD_DANGER;
    const double tag_mm = 41.0;
    const double x_mm = f->left_mm + tag_mm + PAD_MM;
    const double text_mm =
        card_para(f, x_mm, f->y_mm + 1.2, f->right_mm - x_mm - PAD_MM,
                  CARD_INSTRUCTION_PT, NULL, caution->text);
    const double h_mm = fmax(text_mm, 6.0) + 2.4;
    const lev_rect all = {f->left_mm, f->y_mm, card_flow_width(f), h_mm};
    const lev_rect tag = {f->left_mm, f->y_mm, tag_mm, h_mm};
    const lev_type word = {
        .size_pt = CARD_INSTRUCTION_PT, .bold = true, .white = danger};

    if (danger)
        lev_canvas_fill_rect(f->c, tag, LEV_FILL_SOLID);
    lev_draw_severity(f->c, (lev_rect){f->left_mm + 2.0, f->y_mm + 2.0, 7.0, 5.0},
                      caution->severity, danger);
    lev_canvas_text(f->c, f->left_mm + 11.0, f->y_mm + 1.2, &word, NULL,
                    severity_word(caution->severity));
    lev_canvas_rect(
        f->c, all,
        (lev_pen){.width_mm = caution->severity == LEV_CARD_NOTE ? 0.35 : 0.8});
    return h_mm + 1.6;
}

/* A reason to stop before starting, in a double frame. */
static double before_block(card_flow *f, const void *what)
{
    const double w_mm = card_flow_width(f) - 4.0 * PAD_MM;
    const lev_type head = {.size_pt = 16.0, .bold = true};
    double y = f->y_mm + PAD_MM;
    y += lev_canvas_text(f->c, f->left_mm + 2.0 * PAD_MM, y, &head, NULL, WORD_BEFORE);
    y += card_para(f, f->left_mm + 2.0 * PAD_MM, y, w_mm, CARD_INSTRUCTION_PT, NULL,
                   what);
    y += PAD_MM;
    const lev_rect r = {f->left_mm, f->y_mm, card_flow_width(f), y - f->y_mm};
    const lev_rect inner = {r.x_mm + 1.2, r.y_mm + 1.2, r.w_mm - 2.4, r.h_mm - 2.4};
    lev_canvas_rect(f->c, r, (lev_pen){.width_mm = 0.6});
    lev_canvas_rect(f->c, inner, (lev_pen){.width_mm = 0.3});
    return y - f->y_mm + 2.5;
}

typedef struct texts_view {
    const char *head;
    const lev_card_texts *texts;
    double size_pt;
} texts_view;

static double texts_block(card_flow *f, const void *what)
{
    const texts_view *v = what;
    const double x_mm = f->left_mm + 5.0;
    const lev_type head = {.size_pt = v->size_pt, .bold = true};
    const double dot_mm = v->size_pt * 0.1;
    double y = f->y_mm + 1.5;
    y += lev_canvas_text(f->c, f->left_mm, y, &head, NULL, v->head) + 0.5;
    for (ptrdiff_t i = 0; i < v->texts->n; i++) {
        const double line_mm = v->size_pt * 1.16 * LEV_CANVAS_MM_PER_PT;
        lev_canvas_fill_rect(
            f->c,
            (lev_rect){f->left_mm + 1.0, y + (line_mm - dot_mm) / 2.0, dot_mm, dot_mm},
            LEV_FILL_SOLID);
        y += card_para(f, x_mm, y, f->right_mm - x_mm, v->size_pt, NULL,
                       v->texts->line[i]) +
             0.7;
    }
    return y - f->y_mm + 1.0;
}

static void total_row(card_flow *f, double *y_mm, const char *word, const char *text)
{
    const double x_mm = f->left_mm + PAD_MM;
    const double text_x_mm = x_mm + 30.0;
    const double fact_mm = f->narrow ? 26.0 : 42.0;
    const lev_type lead = {.size_pt = CARD_INSTRUCTION_PT, .bold = true};
    const lev_type small = {.size_pt = CARD_PLAIN_PT};
    if (!card_has(text))
        return;
    lev_canvas_text(f->c, x_mm, *y_mm, &lead, NULL, word);
    lev_canvas_text(f->c, f->right_mm - fact_mm, *y_mm + 1.0, &small, NULL,
                    WORD_REALLY);
    lev_canvas_line(f->c, (lev_point){f->right_mm - fact_mm + 13.0, *y_mm + 5.6},
                    (lev_point){f->right_mm - PAD_MM, *y_mm + 5.6},
                    (lev_pen){.width_mm = 0.3});
    *y_mm += card_para(f, text_x_mm, *y_mm, f->right_mm - fact_mm - 2.0 - text_x_mm,
                       CARD_INSTRUCTION_PT, NULL, text) +
             0.8;
}

/* The cost, with the currency of the job unless the text names it. */
static void cost_row(card_flow *f, double *y_mm, const char *cost)
{
    const lev_card_job *job = f->view;
    lev_text t = {0};
    if (!card_has(cost))
        return;
    lev_text_add(&t, cost);
    if (card_has(job->currency) && strstr(cost, job->currency) == NULL)
        lev_text_print(&t, " %s", job->currency);
    if (t.st < 0)
        lev_canvas_fail(f->c, t.st, "out of memory");
    total_row(f, y_mm, WORD_COST, lev_text_get(&t));
    lev_text_release(&t);
}

/* Totals in a frame, with room beside each for what it really was. */
static double totals_block(card_flow *f, const void *what)
{
    const lev_card_totals *t = what;
    const lev_type head = {.size_pt = 16.0, .bold = true};
    double y = f->y_mm + 3.0;
    y += lev_canvas_text(f->c, f->left_mm + PAD_MM, y, &head, NULL, WORD_TOTAL) + 0.5;
    total_row(f, &y, WORD_HANDS_ON, t->hands_on);
    total_row(f, &y, WORD_WAITING, t->waiting);
    total_row(f, &y, WORD_PAPER, t->paper);
    cost_row(f, &y, t->cost);
    total_row(f, &y, WORD_REMOVAL, t->removal);
    y += 1.0;
    lev_canvas_rect(
        f->c,
        (lev_rect){f->left_mm, f->y_mm + 1.5, card_flow_width(f), y - f->y_mm - 1.5},
        (lev_pen){.width_mm = 0.6});
    return y - f->y_mm + 2.0;
}

static double small_block(card_flow *f, const void *what)
{
    return card_para(f, f->left_mm, f->y_mm + 0.5, card_flow_width(f),
                     CARD_SMALL_PT + 0.5, NULL, what) +
           1.5;
}

static double plain_block(card_flow *f, const void *what)
{
    return card_para(f, f->left_mm, f->y_mm, card_flow_width(f), 11.0, NULL, what) +
           2.0;
}

static double heading_block(card_flow *f, const void *what)
{
    const lev_type head = {.size_pt = 16.0, .bold = true};
    return lev_canvas_text(f->c, f->left_mm, f->y_mm + 1.0, &head, NULL, what) + 2.5;
}

/* ---- pages of a face ---- */

/* The index-th caution when danger goes first and each rank keeps its order. */
static const lev_card_caution *ranked(const lev_card_face *face, ptrdiff_t index)
{
    ptrdiff_t left = index;
    for (int rank = LEV_CARD_DANGER; rank <= LEV_CARD_NOTE; rank++)
        for (ptrdiff_t i = 0; i < face->cautions; i++)
            if ((int)face->caution[i].severity == rank && left-- == 0)
                return &face->caution[i];
    return NULL;
}

/* Which of the ranked it is on this face; the number of them where it is none. */
static ptrdiff_t place_on(const lev_card_face *face, const char *text)
{
    ptrdiff_t i = 0;
    while (i < face->cautions && strcmp(ranked(face, i)->text, text) != 0)
        i++;
    return i;
}

/* Of several faces each has it, and not each in front: it is printed once, on the last
 * page of the card. */
static bool for_all(const lev_card_job *job, const lev_card_caution *caution)
{
    bool in_front = true;
    for (ptrdiff_t i = 0; i < job->faces; i++) {
        const ptrdiff_t at = place_on(&job->face[i], caution->text);
        if (at == job->face[i].cautions)
            return false;
        in_front = in_front && at < FRONT_CAUTIONS;
    }
    return job->faces > 1 && !in_front;
}

static bool any_for_all(const lev_card_job *job)
{
    for (ptrdiff_t i = 0; i < job->face[0].cautions; i++)
        if (for_all(job, &job->face[0].caution[i]))
            return true;
    return false;
}

static void lay_front_cautions(card_flow *f, const lev_card_face *face)
{
    for (ptrdiff_t i = 0; i < FRONT_CAUTIONS; i++) {
        const lev_card_caution *caution = ranked(face, i);
        if (caution != NULL)
            card_flow_block(f, caution_block, caution);
    }
}

static void lay_texts(card_flow *f, const char *head, const lev_card_texts *texts,
                      double size_pt)
{
    const texts_view v = {head, texts, size_pt};
    if (texts->n > 0)
        card_flow_block(f, texts_block, &v);
}

static void lay_steps(card_flow *f, const lev_card_face *face)
{
    const double m = card_common_magnification(face->step, face->steps);
    for (ptrdiff_t i = 0; i < face->steps; i++) {
        const card_step_view v = {&face->step[i], m, i + 1 == face->steps};
        card_flow_block(f, card_step_block, &v);
    }
}

static bool has_totals(const lev_card_totals *t)
{
    return card_has(t->hands_on) || card_has(t->waiting) || card_has(t->paper) ||
           card_has(t->cost) || card_has(t->removal);
}

static const char *banner_word(lev_card_kind kind)
{
    if (kind == LEV_CARD_RECOVER)
        return WORD_RECOVER;
    if (kind == LEV_CARD_INFEASIBLE)
        return WORD_NOT_SO;
    return kind == LEV_CARD_LEAVE_ALONE ? WORD_LEAVE : NULL;
}

static void lay_front(card_flow *f, const lev_card_face *face)
{
    const char *banner = banner_word(face->kind);
    if (banner != NULL)
        card_flow_block(f, banner_block, banner);
    card_flow_block(f, answer_block, face);
    card_flow_block(f, route_block, face);
    const bool said = face->kind == LEV_CARD_LEAVE_ALONE && face->why.n > 0;
    if (card_has(face->leave_alone) && !said)
        card_flow_block(f, before_block, face->leave_alone);
    lay_front_cautions(f, face);
    if (face->cautions > FRONT_CAUTIONS)
        card_flow_block(f, plain_block,
                        any_for_all(f->view) ? WORD_MORE_ALL : WORD_MORE_BACK);
}

/* Reasons are read while standing there on a page that says no; on a ladder they are
 * for the evening. */
static void lay_reasons(card_flow *f, const lev_card_face *face)
{
    const bool ladder = face->kind == LEV_CARD_LADDER;
    const double size_pt = ladder ? 11.0 : CARD_INSTRUCTION_PT + 4.0;
    lay_texts(f, WORD_WHY, &face->why, size_pt);
    lay_texts(f, face->kind == LEV_CARD_LEAVE_ALONE ? WORD_INSTEAD : WORD_HELP,
              &face->help, size_pt);
}

/* The cautions that the front has no room for stand on the last page, never in front;
 * those of every face on the last page of the card. */
static void lay_back(card_flow *f, const lev_card_job *job, const lev_card_face *face,
                     int front)
{
    bool headed = false;
    for (ptrdiff_t i = FRONT_CAUTIONS; i < face->cautions; i++) {
        const lev_card_caution *caution = ranked(face, i);
        if (caution == NULL || for_all(job, caution))
            continue;
        if (!headed) {
            if (f->page == front)
                card_flow_page(f);
            card_flow_need(f, 28.0);
            card_flow_block(f, heading_block, WORD_MORE);
        }
        headed = true;
        card_flow_block(f, caution_block, caution);
    }
    if (card_has(face->rests_on))
        card_flow_block(f, small_block, face->rests_on);
    if (card_has(job->deference))
        card_flow_block(f, small_block, job->deference);
}

/* A page of its own; the frame asks for a face, so this is one by that name. */
static void lay_for_all(card_flow *f, const lev_card_job *job)
{
    static const lev_card_face every = {.name = WORD_EVERY,
                                        .kind = LEV_CARD_INFEASIBLE};
    if (!any_for_all(job))
        return;
    f->face = &every;
    card_flow_page(f);
    card_flow_block(f, heading_block, WORD_FOR_ALL);
    for (ptrdiff_t i = 0; i < job->face[0].cautions; i++) {
        const lev_card_caution *caution = ranked(&job->face[0], i);
        if (caution != NULL && for_all(job, caution))
            card_flow_block(f, caution_block, caution);
    }
    if (card_has(job->deference))
        card_flow_block(f, small_block, job->deference);
}

static void lay_face(card_flow *f, const lev_card_job *job, const lev_card_face *face)
{
    f->face = face;
    card_flow_page(f);
    const int front = f->page;
    lay_front(f, face);
    if (face->kind != LEV_CARD_LADDER)
        lay_reasons(f, face);
    lay_steps(f, face);
    if (has_totals(&face->totals))
        card_flow_block(f, totals_block, &face->totals);
    if (face->looks > 0)
        card_flow_block(f, card_look_block, face);
    if (face->kind == LEV_CARD_LADDER)
        lay_reasons(f, face);
    lay_back(f, job, face, front);
}

static void lay_job(card_flow *f, const void *view)
{
    const lev_card_job *job = view;
    f->frame = card_job_frame;
    for (ptrdiff_t i = 0; i < job->faces; i++)
        lay_face(f, job, &job->face[i]);
    lay_for_all(f, job);
}

static lev_status check_face(const lev_card_face *face, lev_error *err)
{
    if (!card_has(face->name))
        return lev_fail(err, LEV_E_USAGE, "a face without a name has no card");
    if (face->steps < 0 || face->steps > STEPS_MAX)
        return lev_fail(err, LEV_E_LIMIT,
                        "face \"%.40s\" has %td steps, at most %d fit", face->name,
                        face->steps, STEPS_MAX);
    for (ptrdiff_t i = 0; i < face->looks; i++)
        if (face->looks > 2 || face->look[i].image.width <= 0)
            return lev_fail(err, LEV_E_LIMIT,
                            "face \"%.40s\" has %td looks; a before and an after fit",
                            face->name, face->looks);
    for (ptrdiff_t i = 0; i < face->cautions; i++)
        if (face->caution[i].text == NULL ||
            (int)face->caution[i].severity < LEV_CARD_DANGER ||
            (int)face->caution[i].severity > LEV_CARD_NOTE)
            return lev_fail(
                err, LEV_E_USAGE,
                "face \"%.40s\" has a caution without words or of unknown severity %d",
                face->name, (int)face->caution[i].severity);
    return LEV_OK;
}

lev_status card_job(const lev_card_job *v, const lev_card_out *to, lev_error *err)
{
    lev_status st = LEV_OK;
    if (v->faces < 1 || v->faces > LEV_LIMIT_FACES)
        LEV_TRY(lev_fail(err, LEV_E_LIMIT, "%td faces on a card, 1 to %d fit", v->faces,
                         LEV_LIMIT_FACES));
    if (v->head.paper == LEV_CARD_A3 || v->head.paper == LEV_CARD_A2)
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "a job card is printed on A4, Letter or A5 paper"));
    for (ptrdiff_t i = 0; i < v->faces; i++)
        LEV_TRY(check_face(&v->face[i], err));
    LEV_TRY(card_print(lay_job, v, &v->head, to, err));
out:
    return st;
}
