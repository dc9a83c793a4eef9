/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A measured face in words. */
#include "app_trace.h"

#include <math.h>

#include "units.h"

typedef struct shown {
    const char *symbol;
    double value;
    bool is_length;
} shown;

enum { COLUMNS = 3, COLUMN_WIDTH = 22 };

static void one_value(lev_text *t, const shown *v, lev_units units)
{
    lev_text_print(t, "%-6s", v->symbol);
    if (!isfinite(v->value))
        lev_text_add(t, "-");
    else if (v->is_length)
        lev_words_size(t, v->value, units);
    else
        lev_text_number(t, fabs(v->value) < 1e-9 ? 0.0 : v->value, 3);
}

/* Three to a line, in columns. */
static void values(lev_text *t, const shown *v, int n, lev_units units)
{
    for (int i = 0; i < n; i++) {
        const ptrdiff_t from = (ptrdiff_t)t->n;
        one_value(t, &v[i], units);
        const ptrdiff_t wide = (ptrdiff_t)t->n - from;
        if (i % COLUMNS == COLUMNS - 1 || i + 1 == n)
            lev_text_add(t, "\n");
        else
            lev_text_pad(t, ' ', wide < COLUMN_WIDTH ? COLUMN_WIDTH - wide : 1);
    }
}

void lev_app_verdict_text(const lev_judgement *j, lev_text *t)
{
    static const char *const words[] = {"GO ON TO THE NEXT GRIT", "KEEP AT IT",
                                        "CANNOT TELL"};
    lev_text_print(t, "%s\ncheck: %s\n", words[j->verdict], j->reason);
}

void lev_app_held_text(const lev_trace_held *h, lev_rule rule, lev_units units,
                       lev_text *t)
{
    const char *standard = lev_app_accept_standard(h->limit.rule, rule);
    lev_text_print(t, "%s: %s %s ",
                   h->outcome.accepted ? "MEETS ITS LIMIT" : "MISSES ITS LIMIT",
                   h->limit.symbol, h->limit.below ? "at least" : "at most");
    lev_words_size(t, h->limit.um, units);
    lev_text_print(t, "\ncheck: %s (%s%s%s)\n", h->outcome.how, standard,
                   standard[0] != '\0' ? ", " : "", lev_app_accept_text(h->limit.rule));
}

static void first_lines(const lev_trace_answer *a, lev_units units, lev_text *t)
{
    if (a->has_verdict)
        lev_app_verdict_text(&a->verdict, t);
    for (int i = 0; i < a->helds; i++)
        lev_app_held_text(&a->held[i], a->set.rule, units, t);
    if (a->has_verdict || a->helds > 0)
        return;
    lev_text_add(t, a->is_map ? "SA " : "RA ");
    lev_words_size(t, a->is_map ? a->areal.a.h.Sa_um : a->profile.p.Ra_um, units);
    lev_text_add(t, "\ncheck: lamp low across the face; does the deepest line show?\n");
}

static void trace_values(const lev_trace_answer *a, lev_units units, lev_text *t)
{
    const lev_profile *p = &a->profile.p;
    const shown v[] = {{"Ra", p->Ra_um, true},       {"Rq", p->Rq_um, true},
                       {"Rz", p->Rz_um, true},       {"Rt", p->Rt_um, true},
                       {"Rzx", p->Rzx_um, true},     {"RSm", p->RSm_um, true},
                       {"Rsk", p->Rsk, false},       {"Rku", p->Rku, false},
                       {"Rdq", p->Rdq, false},       {"Rk", p->core.k_um, true},
                       {"Rpk", p->core.pk_um, true}, {"Rvk", p->core.vk_um, true}};
    values(t, v, (int)(sizeof v / sizeof *v), units);
    if (!isnan(p->plateau.pq_um)) {
        const shown two[] = {{"Rpq", p->plateau.pq_um, true},
                             {"Rvq", p->plateau.vq_um, true}};
        values(t, two, 2, units);
        lev_text_print(t, "plateaus over dales: %.0f %% of the line is plateau\n",
                       p->plateau.mq_pct);
    }
    lev_text_print(t, "\n%s, ",
                   a->set.rule == LEV_RULE_ISO4287 ? "ISO 4287" : "ISO 21920");
    if (a->set.as_is)
        lev_text_add(t, "taken as it is, ");
    else
        lev_text_print(t, "%s filter, cut-off %g mm, ",
                       lev_app_filter_text(a->set.filter), a->profile.lc_mm);
    lev_text_print(t, "%d sections, %g mm\n", p->sections, a->profile.le_mm);
    if (a->profile.ls_skipped)
        lev_text_add(t, "points stand too far apart for the short-wave filter\n");
    if (a->profile.short_trace)
        lev_text_add(t, "the trace is too short for all sections\n");
}

static void map_values(const lev_trace_answer *a, lev_units units, lev_text *t)
{
    const lev_areal *s = &a->areal.a;
    const shown v[] = {{"Sa", s->h.Sa_um, true},     {"Sq", s->h.Sq_um, true},
                       {"Sz", s->h.Sz_um, true},     {"Ssk", s->h.Ssk, false},
                       {"Sku", s->h.Sku, false},     {"Sdq", s->Sdq, false},
                       {"Sal", s->Sal_um, true},     {"Str", s->Str, false},
                       {"Std", s->Std_deg, false},   {"Sk", s->core.k_um, true},
                       {"Spk", s->core.pk_um, true}, {"Svk", s->core.vk_um, true}};
    values(t, v, (int)(sizeof v / sizeof *v), units);
    lev_text_print(t, "\nISO 25178-2, %td x %td points", a->nx, a->ny);
    if (a->set.as_is)
        lev_text_add(t, ", taken as it is");
    else if (a->set.lc_mm > 0.0)
        lev_text_print(t, ", L-filter %g mm", a->set.lc_mm);
    lev_text_print(t, "\nmarks run at %.0f degrees\n", s->lay_deg);
}

static void line_list(const lev_lines *l, lev_units units, lev_text *t)
{
    if (l->n == 0) {
        lev_text_add(t, "\nno line stands out\n");
        return;
    }
    lev_text_add(t, "\ndeepest lines\n");
    for (ptrdiff_t i = 0; i < l->n; i++) {
        const lev_line *x = &l->line[i];
        lev_text_add(t, "  ");
        lev_words_size(t, x->depth_um, units);
        if (isnan(x->length_mm))
            lev_text_print(t, " deep, at %.3g mm",
                           0.5 * (x->x0_um + x->x1_um) / LEV_UM_PER_MM);
        else
            lev_text_print(t, " deep, %.2g mm long, at %.0f degrees", x->length_mm,
                           x->direction_deg);
        lev_text_add(t, "\n");
    }
}

static void curve_values(const lev_trace_answer *a, lev_units units, lev_text *t)
{
    const char s = a->is_map ? 'S' : 'R';
    if (!isnan(a->mr_pct))
        lev_text_print(t, "%cmr at the height asked %.3g %%\n", s, a->mr_pct);
    for (int i = 0; i < 2; i++)
        if (!isnan(a->mc_um[i])) {
            lev_text_print(t, "%cmc at the %s share asked ", s,
                           i > 0 ? "second" : "first");
            lev_words_size(t, a->mc_um[i], units);
            lev_text_add(t, "\n");
        }
}

void lev_app_trace_values_text(const lev_trace_answer *a, lev_units units, lev_text *t)
{
    lev_text_add(t, "\n");
    if (a->is_map)
        map_values(a, units, t);
    else
        trace_values(a, units, t);
    curve_values(a, units, t);
    if (a->missing > 0)
        lev_text_print(t, "%td points were not measured and are left out\n",
                       a->missing);
    if (a->warning[0] != '\0')
        lev_text_print(t, "warning: %s\n", a->warning);
    line_list(&a->lines, units, t);
}

void lev_app_trace_text(const lev_trace_answer *a, lev_units units, lev_text *t)
{
    first_lines(a, units, t);
    lev_app_trace_values_text(a, units, t);
}
