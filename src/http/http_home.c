/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The first screen: the questions of the first hour with their answers, whole without
 * scripting; and what makes the page installable. */
#include "http.h"

#include <string.h>

#include "lev_tables.h"
#include "levigate/levigate.h"

static const char HEAD[] =
    "<!doctype html><html lang=en><head><meta charset=utf-8>"
    "<meta name=viewport content=\"width=device-width,initial-scale=1\">"
    "<meta name=color-scheme content=\"light dark\">"
    "<meta name=theme-color content=\"#20343a\">"
    "<link rel=icon href=/web/icon.svg type=image/svg+xml>"
    "<link rel=manifest href=/manifest.webmanifest>"
    "<link rel=stylesheet href=/web/style.css>";

void lev_html_add(lev_text *t, const char *s)
{
    for (; *s != '\0'; s++)
        switch (*s) {
        case '&':
            lev_text_add(t, "&amp;");
            break;
        case '<':
            lev_text_add(t, "&lt;");
            break;
        case '>':
            lev_text_add(t, "&gt;");
            break;
        case '"':
            lev_text_add(t, "&quot;");
            break;
        case '\'':
            lev_text_add(t, "&#39;");
            break;
        default:
            lev_text_add_n(t, s, 1);
        }
}

void lev_html_open(lev_text *t, const char *title)
{
    lev_text_add(t, HEAD);
    lev_text_add(t, "<title>");
    lev_html_add(t, title);
    lev_text_add(t, "</title></head><body><header class=top><a class=brand href=/>"
                    "levigate</a><nav aria-label=Plain><a href=/plain/grit>Grits</a>"
                    "<a href=/plain/plan>Ladder</a><a href=/plain/drawer>Drawer</a>"
                    "<a href=/plain/log>Log</a><a "
                    "href=/plain/safety>Safety</a></nav></header><main class=plain>");
}

void lev_html_close(lev_text *t)
{
    lev_text_add(t, "</main></body></html>\n");
}

static const char *question(const char *id)
{
    for (int i = 0; i < LEV_TAB_QUESTION_N; i++)
        if (strcmp(lev_tab_question[i].id, id) == 0)
            return lev_tab_question[i].words;
    return "";
}

static void add_answer(lev_text *t, const lev_row_answer *r)
{
    lev_text_print(t, "<details class=q id=%s data-to=%s><summary>", r->question,
                   r->leads_to);
    lev_html_add(t, question(r->question));
    lev_text_add(t, "</summary><div><p class=answer>");
    lev_html_add(t, r->answer);
    lev_text_add(t, "</p><p class=proof>");
    lev_html_add(t, r->check);
    lev_text_add(t, "</p><p>");
    lev_html_add(t, r->more);
    lev_text_print(t, "</p><p class=from>Known from: %s</p></div></details>",
                   lev_mark_name(r->mark));
}

static void add_plain_ways(lev_text *t)
{
    lev_text_add(
        t,
        "<noscript><section class=ways><form action=/plain/grit><label for=pm>What is "
        "printed on the back?</label><input id=pm name=marking required maxlength=80>"
        "<button>What is it</button></form><p><a class=button href=/plain/plan>"
        "A ladder of grits for one face</a> <a class=button href=/plain/safety>Safety"
        "</a> <a class=button href=/plain/drawer>The drawer</a> <a class=button "
        "href=/plain/log>The log</a></p></section></noscript>");
}

lev_status lev_http_home(const lev_http_ask *ask, lev_http_reply *reply, lev_error *err)
{
    lev_text t = {0};
    (void)ask;
    lev_text_add(&t, HEAD);
    lev_text_print(&t,
                   "<title>levigate</title></head><body data-version=\"%s\">"
                   "<a class=skip href=#view>To the content</a>"
                   "<div id=bar></div><main id=view tabindex=-1></main>"
                   "<main id=home><h1>I want to know</h1><div class=\"list two\">",
                   lev_version());
    for (int i = 0; i < LEV_TAB_ANSWER_N; i++)
        add_answer(&t, &lev_tab_answer[i]);
    lev_text_add(&t, "</div>");
    add_plain_ways(&t);
    lev_text_add(&t, "</main><div id=over></div>"
                     "<script type=module src=/web/begin.js></script></body></html>\n");
    return lev_http_text(reply, &t, "text/html; charset=utf-8", err);
}

lev_status lev_http_manifest(const lev_http_ask *ask, lev_http_reply *reply,
                             lev_error *err)
{
    lev_text t = {0};
    (void)ask;
    lev_text_add(&t, "{\"name\":\"levigate\",\"short_name\":\"levigate\","
                     "\"start_url\":\"/\",\"display\":\"standalone\","
                     "\"background_color\":\"#f4f1ea\",\"theme_color\":\"#20343a\","
                     "\"icons\":[{\"src\":\"/web/icon.svg\",\"sizes\":\"any\","
                     "\"type\":\"image/svg+xml\"}]}\n");
    return lev_http_text(reply, &t, "application/manifest+json", err);
}
