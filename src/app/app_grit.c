/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a marking means, its equivalents, and an abrasive without a marking. */
#include "app_grit.h"

#include <math.h>
#include <string.h>

#include "json.h"

enum { SHOWN = 20 }; /* candidates listed */

lev_status lev_app_grit(const char *marking, const char *system, const char *like,
                        lev_grit_answer *out, lev_error *err)
{
    lev_grit_answer a = {.gap = NAN};
    lev_status st = LEV_OK;
    LEV_TRY(lev_grit_read(marking, system, &a.reading, err));
    if (like != NULL)
        LEV_TRY(
            lev_grit_like(&a.reading.match[0], like, a.alike, &a.n_alike, &a.gap, err));
    *out = a;
out:
    return st;
}

lev_status lev_app_identify(const char *const *tests, int n, lev_identify_answer *out,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    out->contradicts = false;
    lev_grit_identify_begin(&out->state);
    if (n == 0)
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "no test is given; such as coarser=P220 or grains=seen"));
    for (int i = 0; i < n; i++) {
        LEV_TRY(lev_grit_identify(&out->state, tests[i], &out->last, err));
        out->contradicts = out->contradicts || out->last.contradicts;
    }
out:
    return st;
}

static json_t *grit_json(const lev_grit *g, int *failed)
{
    json_t *o = json_object();
    *failed |= lev_json_put_text(o, "system", g->system);
    *failed |= lev_json_put_text(o, "label", g->label);
    *failed |= lev_json_put_text(o, "method", g->method);
    *failed |= lev_json_put_text(o, "kind", g->kind);
    *failed |= lev_json_put_number(o, "d50_um", g->d50_um);
    *failed |= lev_json_put_number(o, "d50_tol_um", g->d50_tol_um);
    *failed |= lev_json_put_number(o, "max_um", g->max_um);
    *failed |= lev_json_put_number(o, "coarse_um", g->coarse_um);
    *failed |= lev_json_put_number(o, "coarse_pct", g->coarse_pct);
    *failed |= lev_json_put_number(o, "fine_um", g->fine_um);
    *failed |= lev_json_put_number(o, "fine_pct", g->fine_pct);
    *failed |= lev_json_put_number(o, "pitch_um", g->pitch_um);
    *failed |= lev_json_put_text(o, "mark", lev_mark_name(g->mark));
    *failed |= lev_json_put_text(o, "source", g->source);
    *failed |= lev_json_put_text(o, "note", g->note);
    return o;
}

static void put_alike(json_t *r, const lev_grit_answer *a, int *failed)
{
    json_t *list = json_array();
    for (int i = 0; i < a->n_alike; i++) {
        json_t *o = grit_json(&a->alike[i].grit, failed);
        *failed |= lev_json_put_number(o, "overlap", a->alike[i].overlap);
        *failed |= lev_json_put_number(o, "larger_pct", a->alike[i].larger_pct);
        *failed |= lev_json_put_flag(o, "same_method", a->alike[i].same_method);
        *failed |= lev_json_put_notes(o, a->alike[i].notes);
        *failed |= lev_json_add(list, o);
    }
    *failed |= lev_json_put(r, "alike", list);
    *failed |= lev_json_put_number(r, "instrument_gap", a->gap);
}

static void put_wheel(json_t *r, const lev_grit_wheel *w, int *failed)
{
    if (w->hardness[0] == '\0' && w->mineral[0] == '\0')
        return;
    json_t *o = json_object();
    *failed |= lev_json_put_text(o, "mineral", w->mineral);
    *failed |= lev_json_put_text(o, "hardness", w->hardness);
    if (w->structure >= 0)
        *failed |= lev_json_put_int(o, "structure", w->structure);
    *failed |= lev_json_put_text(o, "bond", w->bond);
    *failed |= lev_json_put(r, "wheel", o);
}

json_t *lev_app_grit_json(const lev_grit_answer *a, int *failed)
{
    json_t *r = lev_json_reply(), *matches = json_array(), *tests = json_array();
    for (int i = 0; i < a->reading.n; i++)
        *failed |= lev_json_add(matches, grit_json(&a->reading.match[i], failed));
    for (int i = 0; i < a->reading.n_tests; i++)
        *failed |= lev_json_add(tests, json_string(a->reading.test[i]));
    *failed |= lev_json_put(r, "matches", matches);
    *failed |= lev_json_put_flag(r, "ambiguous", a->reading.ambiguous);
    *failed |= lev_json_put_number(r, "spread", a->reading.spread);
    *failed |= lev_json_put(r, "tests", tests);
    put_alike(r, a, failed);
    put_wheel(r, &a->reading.wheel, failed);
    *failed |= lev_json_put_text(r, "warning", a->reading.warning);
    *failed |= lev_json_put_notes(r, a->reading.notes);
    return r;
}

json_t *lev_app_identify_json(const lev_identify_answer *a, int *failed)
{
    json_t *r = lev_json_reply(), *list = json_array();
    lev_grit g;
    double weight = 0.0;
    *failed |= lev_json_put_int(r, "remaining", a->last.remaining);
    *failed |= lev_json_put_number(r, "low_um", a->last.low_um);
    *failed |= lev_json_put_number(r, "high_um", a->last.high_um);
    *failed |= lev_json_put_flag(r, "contradicts", a->contradicts);
    *failed |= lev_json_put_text(r, "text", a->last.text);
    for (int k = 0; k < SHOWN && lev_grit_candidate(&a->state, k, &g, &weight); k++) {
        json_t *o = grit_json(&g, failed);
        *failed |= lev_json_put_number(o, "weight", weight);
        *failed |= lev_json_add(list, o);
    }
    *failed |= lev_json_put(r, "candidates", list);
    *failed |= lev_json_put_notes(r, a->last.notes);
    return r;
}

json_t *lev_app_grit_list_json(int system, int *failed)
{
    json_t *r = lev_json_reply(), *list = json_array();
    for (int i = 0; system < 0 && i < lev_grit_systems(); i++) {
        json_t *o = json_object();
        *failed |= lev_json_put_text(o, "id", lev_grit_system_id(i));
        *failed |= lev_json_put_text(o, "name", lev_grit_system_name(i));
        *failed |= lev_json_put_text(o, "where", lev_grit_system_where(i));
        *failed |= lev_json_add(list, o);
    }
    for (int i = 0; system >= 0 && i < lev_grit_count(); i++) {
        const lev_grit g = lev_grit_at(i);
        if (strcmp(g.system, lev_grit_system_id(system)) == 0)
            *failed |= lev_json_add(list, grit_json(&g, failed));
    }
    *failed |= lev_json_put(r, system < 0 ? "systems" : "grits", list);
    return r;
}
