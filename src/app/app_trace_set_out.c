/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings judged together, as JSON and in words. One reading looks as it does alone,
 * with the job's part added. */
#include "app_trace_set.h"

#include <math.h>
#include <string.h>

#include "json.h"

static lev_rule rule_of(const lev_trace_set *s)
{
    return s->reading[0].set.rule;
}

static const char *base_name(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash != NULL ? slash + 1 : path;
}

/* ---- JSON ---- */

static json_t *readings_json(const lev_trace_set *s, int *failed)
{
    json_t *list = json_array();
    for (ptrdiff_t i = 0; i < s->n; i++) {
        json_t *o = lev_app_trace_json(&s->reading[i], failed);
        *failed |= json_object_del(o, "levigate_json");
        *failed |= lev_json_put_text(o, "file", s->path[i]);
        *failed |= lev_json_add(list, o);
    }
    return list;
}

static void put_verdict(json_t *r, const lev_trace_set *s, int *failed)
{
    *failed |= lev_json_put_text(r, "verdict", lev_verdict_text(s->verdict.verdict));
    *failed |= lev_json_put_text(r, "reason", s->verdict.reason);
    *failed |= lev_json_put_int(r, "old_lines", s->verdict.old_lines);
    *failed |= lev_json_put_text(r, "file", s->path[s->decides]);
}

json_t *lev_app_trace_set_json(const lev_trace_set *s, int *failed)
{
    static const char *const key[LEV_TRACE_LIMITS] = {"limit", "second_limit"};
    json_t *r =
        s->n == 1 ? lev_app_trace_json(&s->reading[0], failed) : lev_json_reply();
    if (s->n > 1) {
        if (s->has_verdict)
            put_verdict(r, s, failed);
        *failed |= lev_json_put(r, "readings", readings_json(s, failed));
    }
    for (int i = 0; i < s->helds && i < LEV_TRACE_LIMITS; i++)
        *failed |=
            lev_json_put(r, key[i], lev_app_held_json(&s->held[i], rule_of(s), failed));
    if (s->step_words[0] != '\0') {
        *failed |= lev_json_put_text(r, "step", s->step_words);
        *failed |= lev_json_put_flag(r, "limit_due", s->due);
    }
    if (s->not_held[0] != '\0')
        *failed |= lev_json_put_text(r, "limit_not_held", s->not_held);
    return r;
}

/* ---- words ---- */

static void say_verdict(const lev_trace_set *s, lev_text *t)
{
    lev_app_verdict_text(&s->verdict, t);
    if (s->n > 1)
        lev_text_print(t, "  by %s, the worst of %td files\n",
                       base_name(s->path[s->decides]), s->n);
    if (s->step_words[0] != '\0')
        lev_text_print(t, "after %s\n", s->step_words);
}

static void say_limits(const lev_trace_set *s, lev_units units, lev_text *t)
{
    for (int i = 0; i < s->helds; i++)
        lev_app_held_text(&s->held[i], rule_of(s), units, t);
    if (s->helds > 0 && !s->due)
        lev_text_add(t, "  not due before the last step\n");
    if (s->not_held[0] != '\0')
        lev_text_print(t, "target not held: %s\n", s->not_held);
}

static void say_reading(const lev_trace_answer *a, const char *path, lev_units units,
                        lev_text *t)
{
    lev_text_print(t, "%-20s %s ", base_name(path), a->is_map ? "Sa" : "Ra");
    lev_words_size(t, a->is_map ? a->areal.a.h.Sa_um : a->profile.p.Ra_um, units);
    if (a->lines.n > 0) {
        lev_text_add(t, ", deepest ");
        lev_words_size(t, a->lines.line[0].depth_um, units);
    }
    if (a->has_verdict)
        lev_text_print(t, ", %s", lev_verdict_text(a->verdict.verdict));
    lev_text_add(t, "\n");
}

void lev_app_trace_set_text(const lev_trace_set *s, lev_units units, lev_text *t)
{
    if (s->n == 1 && !s->has_verdict && s->helds == 0) {
        lev_app_trace_text(&s->reading[0], units, t);
        return;
    }
    if (s->has_verdict)
        say_verdict(s, t);
    say_limits(s, units, t);
    if (s->n == 1) {
        lev_app_trace_values_text(&s->reading[0], units, t);
        return;
    }
    lev_text_add(t, "\n");
    for (ptrdiff_t i = 0; i < s->n; i++)
        say_reading(&s->reading[i], s->path[i], units, t);
}
