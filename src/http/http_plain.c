/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Grits without scripting: a form and its answer as one page. */
#include "http.h"

#include "app_grit.h"
#include "app_words.h"
#include "num.h"

static void add_form(lev_text *t, const char *marking)
{
    lev_text_add(t, "<form class=ways action=/plain/grit><label for=m>What is printed "
                    "on the back?</label><input id=m name=marking required "
                    "maxlength=80 value=\"");
    lev_html_add(t, marking);
    lev_text_add(t, "\"><button>What is it</button></form>");
}

static double size_of(const lev_grit *g)
{
    return lev_known(g->d50_um)     ? g->d50_um
           : lev_known(g->pitch_um) ? g->pitch_um
                                    : g->max_um;
}

static void add_size(lev_text *t, double size_um)
{
    if (lev_known(size_um))
        lev_words_size(t, size_um, LEV_UNITS_METRIC);
    else
        lev_text_add(t, "not published");
}

static void add_match(lev_text *t, const lev_grit *g)
{
    lev_text_add(t, "<tr><th scope=row>");
    lev_html_add(t, g->label);
    lev_text_add(t, "</th><td>");
    const int i = lev_grit_system_find(g->system);
    lev_html_add(t, i >= 0 ? lev_grit_system_name(i) : g->system);
    lev_text_add(t, "</td><td class=num>");
    add_size(t, size_of(g));
    lev_text_add(t, "</td><td>");
    lev_html_add(t, g->method);
    lev_text_print(t, "</td><td>%s</td></tr>", lev_mark_name(g->mark));
}

static void add_reading(lev_text *t, const lev_grit_reading *r)
{
    lev_text_add(t, "<p class=answer>");
    lev_html_add(t, r->match[0].label);
    lev_text_add(t, r->ambiguous ? " is most likely " : " is ");
    add_size(t, size_of(&r->match[0]));
    lev_text_add(t, "</p>");
    for (int i = 0; i < r->n_tests; i++) {
        lev_text_add(t, "<p class=proof>");
        lev_html_add(t, r->test[i]);
        lev_text_add(t, "</p>");
    }
    if (r->warning[0] != '\0') {
        lev_text_add(t, "<p class=warn>");
        lev_html_add(t, r->warning);
        lev_text_add(t, "</p>");
    }
    lev_text_add(t, "<div class=scroll tabindex=0><table><caption>All it can be"
                    "</caption><thead><tr><th scope=col>Marking<th scope=col>System"
                    "<th scope=col>Middle grain<th scope=col>Measured by"
                    "<th scope=col>Known from</tr></thead><tbody>");
    for (int i = 0; i < r->n; i++)
        add_match(t, &r->match[i]);
    lev_text_add(t, "</tbody></table></div>");
}

lev_status lev_http_plain_grit(const lev_http_ask *ask, lev_http_reply *reply,
                               lev_error *err)
{
    lev_grit_reading r;
    const char *marking = lev_http_param(ask, "marking");
    lev_status st = LEV_OK;
    if (marking != NULL)
        st = lev_grit_read(marking, lev_http_param(ask, "system"), &r, err);
    if (st < 0)
        return st;
    lev_text t = {0};
    lev_html_open(&t, "Grits");
    lev_text_add(&t, "<h1>What is this grit?</h1>");
    add_form(&t, marking != NULL ? marking : "");
    if (marking != NULL)
        add_reading(&t, &r);
    lev_html_close(&t);
    return lev_http_text(reply, &t, "text/html; charset=utf-8", err);
}
