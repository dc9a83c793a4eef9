/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate grit */
#include "app_grit.h"
#include "bounds.h"
#include "cli_out.h"
#include "json.h"
#include "num.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { BAR = 40, LABEL = 26, TESTS_MAX = 32, SHOWN = 10 };

/* Column of a size on a log axis from 0.1 um to 10 mm, eight columns a decade. */
static ptrdiff_t column(double um)
{
    const double at = (log10(um) + 1.0) / 5.0 * BAR;
    return at < 0.0 ? 0 : at >= BAR ? BAR - 1 : (ptrdiff_t)at;
}

/* From the fine limit to the coarse one, o at the size told. */
static void add_range(lev_text *t, const lev_grit *g, double size_um)
{
    const ptrdiff_t middle = column(size_um);
    ptrdiff_t from = middle, to = middle;
    if (lev_known(g->fine_um) && column(g->fine_um) < from)
        from = column(g->fine_um);
    if (lev_known(g->coarse_um) && column(g->coarse_um) > to)
        to = column(g->coarse_um);
    lev_text_add(t, " |");
    lev_text_pad(t, ' ', from);
    lev_text_pad(t, '=', middle - from);
    lev_text_add(t, "o");
    lev_text_pad(t, '=', to - middle);
    lev_text_pad(t, ' ', BAR - 1 - to);
    lev_text_add(t, "| ");
}

static void add_bar(lev_text *t, const lev_grit *g, const char *tail, lev_units units)
{
    const double x = lev_known(g->d50_um)     ? g->d50_um
                     : lev_known(g->pitch_um) ? g->pitch_um
                                              : g->max_um;
    char name[96];
    (void)snprintf(name, sizeof name, "%s %s", g->system, g->label);
    lev_text_add(t, name);
    lev_text_pad(t, ' ', LABEL - lev_text_columns(name));
    if (!lev_known(x)) {
        lev_text_print(t, " no published size%s\n", tail);
        return;
    }
    add_range(t, g, x);
    lev_words_size(t, x, units);
    lev_text_print(t, "%s\n", tail);
}

static void print_axis(lev_text *t)
{
    lev_text_pad(t, ' ', LABEL + 2);
    lev_text_add(t, "0.1     1       10      100     1000   10000 um\n");
}

static void print_reading(lev_text *t, const lev_grit_answer *a, lev_units units)
{
    const lev_grit_reading *r = &a->reading;
    const lev_grit *g = &r->match[0];
    lev_text_print(t, "%s%s: ", r->ambiguous ? "MOST LIKELY " : "", g->label);
    lev_text_add(t, lev_known(g->pitch_um) ? "TEETH EVERY "
                    : lev_known(g->d50_um) ? "GRAINS OF "
                                           : "NOTHING ABOVE ");
    lev_words_size(t,
                   lev_known(g->pitch_um) ? g->pitch_um
                   : lev_known(g->d50_um) ? g->d50_um
                                          : g->max_um,
                   units);
    lev_text_print(t, "\ncheck: %s\n\n",
                   r->n_tests > 0 ? r->test[0]
                                  : "one stroke on brass beside a grit you know");
    print_axis(t);
    for (int i = 0; i < r->n; i++)
        add_bar(t, &r->match[i], "", units);
    if (r->n > 1)
        lev_text_print(t, "\nlargest is %.2g times the smallest\n", r->spread);
    if (r->n_tests > 1)
        lev_text_print(t, "or: %s\n", r->test[1]);
    if (r->warning[0] != '\0')
        lev_text_print(t, "note: %s\n", r->warning);
    if (a->n_alike > 0)
        lev_text_add(t, "\nalike, by common share of sizes\n");
    for (int i = 0; i < a->n_alike; i++) {
        char tail[80];
        const lev_grit_alike *k = &a->alike[i];
        (void)snprintf(tail, sizeof tail, "  %.0f %% shared, %+.0f %%%s",
                       100.0 * k->overlap, k->larger_pct,
                       k->same_method ? "" : ", other method");
        add_bar(t, &k->grit, tail, units);
    }
    if (lev_known(a->gap))
        lev_text_print(t, "one powder, two instruments: %.2g times apart\n", a->gap);
}

static void print_identify(lev_text *t, const lev_identify_answer *a, lev_units units)
{
    lev_grit g;
    double weight = 0.0;
    lev_text_print(t, "%s%d CANDIDATES LEFT\n",
                   a->contradicts ? "TESTS CONTRADICT: " : "", a->last.remaining);
    lev_text_print(t, "check: %s\n\n",
                   a->contradicts ? a->last.text
                                  : "one more test, such as like=, finer= or lines=");
    print_axis(t);
    for (int k = 0; k < SHOWN && lev_grit_candidate(&a->state, k, &g, &weight); k++) {
        char tail[32];
        (void)snprintf(tail, sizeof tail, "  weight %.2f", weight);
        add_bar(t, &g, tail, units);
    }
}

static void print_list(lev_text *t, int system, lev_units units)
{
    for (int i = 0; system < 0 && i < lev_grit_systems(); i++)
        lev_text_print(t, "%-16s %s; %s\n", lev_grit_system_id(i),
                       lev_grit_system_name(i), lev_grit_system_where(i));
    if (system >= 0)
        print_axis(t);
    for (int i = 0; system >= 0 && i < lev_grit_count(); i++) {
        const lev_grit g = lev_grit_at(i);
        if (strcmp(g.system, lev_grit_system_id(system)) == 0)
            add_bar(t, &g, "", units);
    }
}

/* ---- the three ways to ask ---- */

static lev_status say(const lev_args *args, lev_text *t, json_t *reply, int failed,
                      lev_error *err)
{
    if (lev_args_has(args, "json"))
        return lev_out_json(reply, failed, err);
    return lev_out_text(t, err);
}

static lev_status list(const lev_args *args, lev_error *err)
{
    const char *name = lev_args_nth(args, "marking", 0);
    const int system = name != NULL ? lev_grit_system_find(name) : -1;
    int failed = 0;
    lev_text t = {0};
    json_t *reply = NULL;
    if (name != NULL && system < 0)
        return lev_fail(err, LEV_E_UNKNOWN,
                        "no grit system is called \"%.40s\"; `levigate grit --list` "
                        "names them",
                        name);
    if (lev_args_has(args, "json"))
        reply = lev_app_grit_list_json(system, &failed);
    else
        print_list(&t, system, lev_out_units(args));
    return say(args, &t, reply, failed, err);
}

static lev_status identify(const lev_args *args, lev_error *err)
{
    const char *tests[TESTS_MAX];
    lev_identify_answer a;
    int n = 0, failed = 0;
    lev_text t = {0};
    json_t *reply = NULL;
    while (n < TESTS_MAX && lev_args_nth(args, "marking", n) != NULL) {
        tests[n] = lev_args_nth(args, "marking", n);
        n++;
    }
    const lev_status st = lev_app_identify(tests, n, &a, err);
    if (st < 0)
        return st;
    if (lev_args_has(args, "json"))
        reply = lev_app_identify_json(&a, &failed);
    else
        print_identify(&t, &a, lev_out_units(args));
    return say(args, &t, reply, failed, err);
}

static lev_status read_marking(const lev_args *args, lev_error *err)
{
    char marking[4 * LEV_LIMIT_MARKING_BYTES] = "";
    lev_grit_answer a;
    int failed = 0;
    lev_text t = {0};
    json_t *reply = NULL;
    for (int i = 0; lev_args_nth(args, "marking", i) != NULL; i++) {
        const size_t n = strlen(marking);
        (void)snprintf(marking + n, sizeof marking - n, "%s%s", i > 0 ? " " : "",
                       lev_args_nth(args, "marking", i));
    }
    const lev_status st = lev_app_grit(marking, lev_args_text(args, "system"),
                                       lev_args_text(args, "like"), &a, err);
    if (st < 0)
        return st;
    if (lev_args_has(args, "json")) {
        reply = lev_app_grit_json(&a, &failed);
    } else {
        print_reading(&t, &a, lev_out_units(args));
        lev_out_notes(&t, a.reading.notes);
    }
    return say(args, &t, reply, failed, err);
}

int lev_cmd_grit(const lev_args *args)
{
    lev_error err = {0};
    lev_status st = LEV_OK;
    if (lev_args_has(args, "list"))
        st = list(args, &err);
    else if (lev_args_has(args, "identify"))
        st = identify(args, &err);
    else
        st = read_marking(args, &err);
    (void)lev_fail_at(&err, st, "grit");
    return st < 0 ? lev_out_error(st, &err) : LEV_EXIT_DONE;
}
