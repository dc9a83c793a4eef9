/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A file sent by the page: read and measured by this program in a fenced child, whose
 * JSON, or whose drawing, is the reply. */
#include "http.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "child.h"
#include "file.h"
#include "http_drawing.h"
#include "mem.h"
#include "num.h"

enum {
    CPU_S = 60,
    WALL_S = 120,
    OPTION = 80,            /* bytes of one option with its value */
    REPORT_BYTES = 32 << 20 /* a drawing of a surface */
};

/* Parameters of the address and the options of the verb they become. */
typedef enum kind { WORD, NUMBER, FLAG } kind;

static const struct option {
    const char *param, *option;
    kind kind;
} OPTIONS[] = {
    {"symbol", "symbol", WORD},
    {"max_um", "max-um", NUMBER},
    {"min_um", "min-um", NUMBER},
    {"accept", "accept", WORD},
    {"rule", "rule", WORD},
    {"filter", "filter", WORD},
    {"form", "form", WORD},
    {"lc_mm", "lc-mm", NUMBER},
    {"ls_um", "ls-um", NUMBER},
    {"dx_um", "dx-um", NUMBER},
    {"dy_um", "dy-um", NUMBER},
    {"z_unit", "z-unit", WORD},
    {"z_step_um", "z-step-um", NUMBER},
    {"expect_ra_um", "expect-ra-um", NUMBER},
    {"expect_ra_most_um", "expect-ra-most-um", NUMBER},
    {"expect_deepest_um", "expect-deepest-um", NUMBER},
    {"old_deg", "old-deg", NUMBER},
    {"new_deg", "new-deg", NUMBER},
    {"length_deg", "length-deg", NUMBER},
    {"profile_at", "profile-at", WORD},
    {"no_lay", "no-lay", FLAG},
    {"as_is", "as-is", FLAG},
};
enum { OPTIONS_N = sizeof OPTIONS / sizeof *OPTIONS };

typedef struct command {
    char option[OPTIONS_N][OPTION];
    const char *args[OPTIONS_N + 8];
    int n;
} command;

static bool is_word(const char *s)
{
    for (; *s != '\0'; s++)
        if (!((*s >= 'a' && *s <= 'z') || (*s >= 'A' && *s <= 'Z') ||
              (*s >= '0' && *s <= '9')))
            return false;
    return true;
}

/* A value as the command line takes it: a comma becomes a point. */
static lev_status add_option(command *c, int i, const char *value, lev_error *err)
{
    char text[LEV_NUM_TEXT];
    double x = 0.0;
    const struct option *o = &OPTIONS[i];
    if (o->kind == NUMBER && lev_num_parse(value, true, &x))
        lev_num_write(x, 0, text);
    else if (o->kind == WORD && is_word(value) && strlen(value) < sizeof text)
        (void)snprintf(text, sizeof text, "%s", value);
    else if (!(o->kind == FLAG && strcmp(value, "1") == 0))
        return lev_fail(err, LEV_E_USAGE, "%s \"%.40s\" should be %s", o->param, value,
                        o->kind == NUMBER ? "a number"
                        : o->kind == WORD ? "a word"
                                          : "1, or not there");
    if (o->kind == FLAG)
        (void)snprintf(c->option[i], OPTION, "--%s", o->option);
    else
        (void)snprintf(c->option[i], OPTION, "--%s=%s", o->option, text);
    c->args[c->n++] = c->option[i];
    return LEV_OK;
}

static lev_status make_command(const lev_http_ask *ask, const char *output, command *c,
                               lev_error *err)
{
    *c = (command){.args = {"trace", "/dev/stdin", "--json"}, .n = 3};
    if (output != NULL) {
        c->args[c->n++] = "--output";
        c->args[c->n++] = output;
    }
    for (int i = 0; i < OPTIONS_N; i++) {
        const char *value = lev_http_param(ask, OPTIONS[i].param);
        const lev_status st = value != NULL ? add_option(c, i, value, err) : LEV_OK;
        if (st < 0)
            return st;
    }
    return LEV_OK;
}

static int still_wanted(void *to)
{
    const lev_http_watch *w = to;
    return w->unwanted == NULL || w->unwanted(w->to, 0) == 0;
}

/* Exit 1 is a verdict, not a failure; its message names the file by our name for it. */
static lev_status complain(const lev_child_reply *r, lev_error *err)
{
    const bool file = strcmp(r->where, "/dev/stdin") == 0 || r->where[0] == '\0';
    if (r->exit <= 1)
        return LEV_OK;
    const lev_status st = r->exit == 2 ? LEV_E_FORMAT : LEV_E_SYSTEM;
    (void)lev_fail(err, st, "%s", r->what[0] != '\0' ? r->what : "it was not read");
    return lev_fail_at(err, st, file ? "the file" : r->where);
}

static lev_status run(const lev_http_ask *ask, const char *output, size_t file_bytes,
                      lev_child_reply *r, lev_error *err)
{
    command c;
    lev_http_watch watch = ask->watch;
    if (ask->file < 0)
        return lev_fail(err, LEV_E_USAGE, "no file came with it");
    lev_status st = make_command(ask, output, &c, err);
    if (st < 0)
        return st;
    const lev_child_ask child = {.args = c.args,
                                 .in = ask->file,
                                 .cpu_s = CPU_S,
                                 .wall_s = WALL_S,
                                 .file_bytes = file_bytes,
                                 .wanted = still_wanted,
                                 .to = &watch};
    st = lev_child_run(&child, r, err);
    return st < 0 ? lev_fail_at(err, st, "the file") : complain(r, err);
}

static lev_status draw_report(const void *what, const char *path, lev_error *err)
{
    lev_child_reply r = {0};
    const lev_status st = run(what, path, REPORT_BYTES, &r, err);
    lev_child_reply_release(&r);
    return st;
}

lev_status lev_http_trace(const lev_http_ask *ask, lev_http_reply *reply,
                          lev_error *err)
{
    lev_child_reply r = {0};
    const char *ending = NULL;
    if (lev_http_param(ask, "format") != NULL) {
        const lev_status st = lev_http_ending(ask, "svg", &ending, err);
        return st < 0 ? st : lev_http_draw_apart(reply, ending, draw_report, ask, err);
    }
    const lev_status st = run(ask, NULL, 0, &r, err);
    if (st >= 0) {
        *reply = (lev_http_reply){
            .status = 200, .type = "application/json", .body = r.out, .n = r.out_n};
        r.out = NULL;
    }
    lev_child_reply_release(&r);
    return st;
}
