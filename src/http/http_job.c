/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Answers that start from a job: ladders, card, the way back from a late line. */
#include "http.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "app_plan.h"
#include "app_recover.h"
#include "app_step.h"
#include "http_drawing.h"
#include "http_kept.h"
#include "http_sources.h"
#include "json.h"

static lev_units units_of(const lev_http_ask *ask)
{
    const char *s = lev_http_param(ask, "units");
    return s != NULL && strcmp(s, "inch") == 0 ? LEV_UNITS_INCH : LEV_UNITS_METRIC;
}

lev_status lev_http_plan(const lev_http_ask *ask, lev_http_reply *reply, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_http_sources s = {0};
    lev_plan_answer a = {0};
    int failed = 0;
    char key[LEV_KEPT_KEY];
    const bool keep = lev_http_kept_key(ask, key);
    if (keep && lev_http_kept_find(key, reply)) /* while this one waited its turn */
        return LEV_OK;
    LEV_TRY(lev_http_sources_open(ask, &s, err));
    LEV_TRY(lev_app_plan_from(&s.job, &s.from, &a, err));
    json_t *json = lev_app_plan_json(&a, &failed);
    LEV_TRY(lev_http_json(reply, json, failed, err));
    if (keep)
        lev_http_kept_add(key, reply);
out:
    lev_plan_answer_release(&a);
    lev_http_sources_release(&s);
    return st;
}

typedef struct card_ask {
    const lev_plan_answer *plan;
    const char *paper;
    lev_units units;
} card_ask;

static lev_status draw_card(const void *what, const char *path, lev_error *err)
{
    const card_ask *c = what;
    return lev_app_plan_card(c->plan, path, c->paper, c->units, err);
}

static lev_status draw_plan(const lev_http_ask *ask, const lev_http_sources *s,
                            lev_http_reply *reply, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_plan_answer a = {0};
    const char *ending = NULL, *paper = lev_http_param(ask, "paper");
    if (paper == NULL)
        paper = "A4";
    if (strcmp(paper, "A4") != 0 && strcmp(paper, "A5") != 0 &&
        strcmp(paper, "Letter") != 0)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "paper \"%.20s\" should be A4, A5 or Letter",
                         paper));
    LEV_TRY(lev_http_ending(ask, "pdf", &ending, err));
    LEV_TRY(lev_app_plan_from(&s->job, &s->from, &a, err));
    const card_ask c = {&a, paper, units_of(ask)};
    LEV_TRY(lev_http_draw(reply, NULL, ending, draw_card, &c, err));
out:
    lev_plan_answer_release(&a);
    return st;
}

lev_status lev_http_card(const lev_http_ask *ask, lev_http_reply *reply, lev_error *err)
{
    lev_http_sources s = {0};
    lev_status st = lev_http_sources_open(ask, &s, err);
    if (st >= 0)
        st = draw_plan(ask, &s, reply, err);
    lev_http_sources_release(&s);
    return st;
}

lev_status lev_http_recover(const lev_http_ask *ask, lev_http_reply *reply,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    lev_http_sources s = {0};
    lev_recover_reply r = {0};
    double after = 1.0;
    int failed = 0;
    lev_recover_ask q = {.job = &s.job,
                         .face = lev_http_param(ask, "face"),
                         .felt = lev_http_param(ask, "felt"),
                         .lone = lev_http_param(ask, "many") == NULL};
    if (q.face == NULL)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "say on which face the line was found"));
    LEV_TRY(lev_http_number(ask, "after", 1, 24, 1, &after, err));
    LEV_TRY(lev_http_number(ask, "depth_um", 0.01, 1e4, (double)NAN, &q.depth_um, err));
    LEV_TRY(lev_http_number(ask, "direction", -360, 360, (double)NAN, &q.direction_deg,
                            err));
    q.found_after = (int)after;
    LEV_TRY(lev_http_sources_open(ask, &s, err));
    q.from = s.from;
    LEV_TRY(lev_app_recover(&q, &r, err));
    json_t *json = lev_app_recover_json(&r, &failed);
    LEV_TRY(lev_http_json(reply, json, failed, err));
out:
    lev_recover_reply_release(&r);
    lev_http_sources_release(&s);
    return st;
}

lev_status lev_http_step(const lev_http_ask *ask, lev_http_reply *reply, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_step_answer a;
    int failed = 0;
    lev_step_request q = {.material = lev_http_param(ask, "material"),
                          .state = lev_http_param(ask, "state"),
                          .grit = lev_http_param(ask, "grit"),
                          .system = lev_http_param(ask, "system"),
                          .drive = lev_http_param(ask, "drive"),
                          .push = lev_http_param(ask, "push"),
                          .after = lev_http_param(ask, "after"),
                          .fluid = lev_http_param(ask, "fluid")};
    if (q.material == NULL || q.grit == NULL || q.drive == NULL)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "step wants material, grit and drive"));
    LEV_TRY(lev_http_number(ask, "area_mm2", 0.01, 1e9, 0, &q.area_mm2, err));
    LEV_TRY(lev_app_step(&q, &a, err));
    json_t *json = lev_app_step_json(&a, &failed);
    LEV_TRY(lev_http_json(reply, json, failed, err));
out:
    return st;
}

/* ---- without scripting: one face told by a form ---- */

static void add_json(lev_text *t, const char *s)
{
    lev_text_add(t, "\"");
    for (; *s != '\0'; s++) {
        if (*s == '"' || *s == '\\')
            lev_text_add(t, "\\");
        if ((unsigned char)*s >= ' ')
            lev_text_add_n(t, s, 1);
    }
    lev_text_add(t, "\"");
}

static const char *or_else(const lev_http_ask *ask, const char *name, const char *usual)
{
    const char *s = lev_http_param(ask, name);
    return s != NULL ? s : usual;
}

/* The job a form tells, through the same reader as any other. */
static lev_status form_job(const lev_http_ask *ask, lev_job *job, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_text t = {0};
    double length = 0, width = 0, depth = 0;
    const char *start = or_else(ask, "start", "sawn");
    LEV_TRY(lev_http_number(ask, "length_mm", 1, 1e4, 100, &length, err));
    LEV_TRY(lev_http_number(ask, "width_mm", 1, 1e4, 50, &width, err));
    LEV_TRY(lev_http_number(ask, "depth_um", 0.1, 5000, 0, &depth, err));
    lev_text_add(&t, "{\"levigate\":1,\"name\":\"one face\",\"currency\":\"EUR\","
                     "\"labour_minor_per_h\":0,\"faces\":[{\"name\":\"face\","
                     "\"material\":");
    add_json(&t, or_else(ask, "material", "brass_360"));
    lev_text_add(&t, ",\"shape\":\"flat\",\"size_mm\":[");
    lev_text_number(&t, length, 6);
    lev_text_add(&t, ",");
    lev_text_number(&t, width, 6);
    if (depth > 0) {
        lev_text_add(&t, "],\"start\":{\"kind\":\"depth\",\"how\":\"guess\","
                         "\"depth_um\":");
        lev_text_number(&t, depth, 6);
    } else {
        lev_text_add(&t, "],\"start\":{\"kind\":\"process\",\"process\":");
        add_json(&t, start);
    }
    lev_text_add(&t, "},\"target\":{\"kind\":\"look\",\"look\":");
    add_json(&t, or_else(ask, "look", "satin"));
    lev_text_add(&t, "},\"next\":");
    add_json(&t, or_else(ask, "next", "none"));
    lev_text_add(&t, "}]}");
    LEV_TRY(t.st);
    const lev_http_ask body = {.body = lev_text_get(&t), .body_n = t.n};
    LEV_TRY(lev_http_read_job(&body, job, err));
out:
    lev_text_release(&t);
    return st;
}

static void add_choice(lev_text *t, const char *label, const char *name,
                       const char *words, const char *chosen)
{
    lev_text_print(t, "<label>%s<select name=%s>", label, name);
    while (*words != '\0') {
        const size_t n = strcspn(words, ";");
        const bool on = strlen(chosen) == n && strncmp(chosen, words, n) == 0;
        lev_text_print(t, "<option%s>%.*s", on ? " selected" : "", (int)n, words);
        words += n + (words[n] == ';' ? 1 : 0);
    }
    lev_text_add(t, "</select></label>");
}

static void add_plan_form(lev_text *t, const lev_http_ask *ask)
{
    lev_text_add(t, "<form class=ways action=/plain/plan><label>What is it?<select "
                    "name=material>");
    const char *chosen = or_else(ask, "material", "brass_360");
    for (int i = 0; i < lev_material_count(); i++) {
        const lev_material m = lev_material_at(i);
        lev_text_print(t, "<option value=\"%s\"%s>", m.id,
                       strcmp(m.id, chosen) == 0 ? " selected" : "");
        lev_html_add(t, m.name);
    }
    lev_text_add(t, "</select></label>");
    add_choice(t, "How does it look now?", "start",
               "sawn;milled;turned;filed;planed;scraped;cast;rolled;ground;eroded;rust;"
               "coat",
               or_else(ask, "start", "sawn"));
    add_choice(t, "What should it look like?", "look",
               "clean;satin;grained;sheen;bright;mirror;black-polish;matt",
               or_else(ask, "look", "satin"));
    add_choice(t, "What goes on afterwards?", "next",
               "none;paint;oil;stain;wax;lacquer;plate;adhesive",
               or_else(ask, "next", "none"));
    lev_text_print(t,
                   "<label>Length, mm<input name=length_mm inputmode=decimal value=%s>"
                   "</label><label>Width, mm<input name=width_mm inputmode=decimal "
                   "value=%s></label>",
                   "100", "50");
    lev_text_add(t, "<button>Work out the ladder</button></form>");
}

static void add_row(lev_text *t, const lev_face_step *s, int number)
{
    lev_text cell = {0};
    static void (*const part[])(lev_text *, const lev_face_step *) = {
        lev_step_use, lev_step_push, lev_step_amount, lev_step_fluid, lev_step_check};
    lev_text_print(t, "<tr><th scope=row>%d</th>", number);
    for (size_t i = 0; i < sizeof part / sizeof *part; i++) {
        part[i](&cell, s);
        lev_text_add(t, "<td>");
        lev_html_add(t, lev_text_get(&cell));
        lev_text_add(t, "</td>");
        lev_text_release(&cell);
        cell = (lev_text){0};
    }
    lev_text_add(t, "<td>");
    lev_html_add(t, s->why);
    lev_text_add(t, "</td></tr>");
}

static void add_cautions(lev_text *t, const lev_plan_face_answer *f)
{
    lev_text_add(t, "<h2>Cautions, danger first</h2><ul>");
    for (int i = 0; i < f->cautions; i++) {
        lev_text_print(t, "<li><strong>%s</strong>: ", f->caution[i]->severity);
        lev_html_add(t, f->caution[i]->caution);
        lev_text_add(t, "</li>");
    }
    lev_text_add(t, "</ul><p>");
    lev_html_add(t, lev_deference());
    lev_text_add(t, "</p>");
}

static void add_face(lev_text *t, const lev_plan_face_answer *f)
{
    lev_text line = {0};
    lev_plan_first_line(&line, f);
    lev_text_add(t, "<p class=answer>");
    lev_html_add(t, lev_text_get(&line));
    lev_text_release(&line);
    line = (lev_text){0};
    lev_plan_second_line(&line, f);
    lev_text_add(t, "</p><p class=proof>");
    lev_html_add(t, lev_text_get(&line));
    lev_text_release(&line);
    lev_text_add(t, "</p>");
    if (f->result.ladders > 0) {
        lev_text_add(t, "<div class=scroll tabindex=0><table><caption>The ladder"
                        "</caption><thead><tr><th scope=col>Step<th scope=col>With"
                        "<th scope=col>Push<th scope=col>How long<th scope=col>Wet or "
                        "dry<th scope=col>Check<th scope=col>Why</tr></thead><tbody>");
        for (int i = 0; i < f->result.ladder[0].steps; i++)
            add_row(t, &f->result.ladder[0].step[i], i + 1);
        lev_text_add(t, "</tbody></table></div>");
    }
    add_cautions(t, f);
}

lev_status lev_http_plain_plan(const lev_http_ask *ask, lev_http_reply *reply,
                               lev_error *err)
{
    lev_status st = LEV_OK;
    lev_job job = {0};
    lev_plan_answer a = {0};
    lev_text t = {0};
    lev_html_open(&t, "Ladder");
    lev_text_add(&t, "<h1>A ladder of grits for one face</h1>");
    add_plan_form(&t, ask);
    if (lev_http_param(ask, "material") != NULL) {
        LEV_TRY(form_job(ask, &job, err));
        LEV_TRY(lev_app_plan(&job, &a, err));
        add_face(&t, &a.face[0]);
        lev_text_add(&t, "<p><a class=button href=\"/plain/card?");
        for (int i = 0; i < ask->params; i++) {
            lev_html_add(&t, ask->name[i]);
            lev_text_add(&t, "=");
            lev_html_add(&t, ask->value[i]);
            lev_text_add(&t, "&amp;");
        }
        lev_text_add(&t, "format=pdf\">The job card to print</a></p>");
    }
    lev_html_close(&t);
    LEV_TRY(lev_http_text(reply, &t, "text/html; charset=utf-8", err));
out:
    lev_text_release(&t);
    lev_plan_answer_release(&a);
    lev_job_release(&job);
    return st;
}

lev_status lev_http_plain_card(const lev_http_ask *ask, lev_http_reply *reply,
                               lev_error *err)
{
    lev_http_sources s = {.from = {.step = ask->watch.step,
                                   .unwanted = ask->watch.unwanted,
                                   .to = ask->watch.to}};
    lev_status st = form_job(ask, &s.job, err);
    if (st >= 0)
        st = draw_plan(ask, &s, reply, err);
    lev_http_sources_release(&s);
    return st;
}
