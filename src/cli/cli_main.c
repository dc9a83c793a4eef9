/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate VERB ...: read the command line, run the verb. */
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli_out.h"
#include "cli_verbs.h"
#include "json.h"
#include "levigate/levigate.h"
#include "text.h"

static const struct {
    const char *verb;
    lev_verb_run *run;
} VERBS[] = {
    /* clang-format off */ /* one verb a line */
    {"chart", lev_cmd_chart},
    {"drawer", lev_cmd_drawer},
    {"factor", lev_cmd_factor},
    {"grit", lev_cmd_grit},
    {"job", lev_cmd_job},
    {"log", lev_cmd_log},
    {"look", lev_cmd_look},
    {"material", lev_cmd_material},
    {"plan", lev_cmd_plan},
    {"recover", lev_cmd_recover},
    {"serve", lev_cmd_serve},
    {"step", lev_cmd_step},
    {"trace", lev_cmd_trace},
    {"verify", lev_cmd_verify},
    {"store", lev_cmd_store},
    {"exercise", lev_cmd_exercise},
    {"quote", lev_cmd_quote},
    {"picture", lev_cmd_picture},
    /* clang-format off: one verb a line */
    {"chart", lev_cmd_chart},   {"grit", lev_cmd_grit},
    {"look", lev_cmd_look},     {"material", lev_cmd_material},
    {"plan", lev_cmd_plan},     {"recover", lev_cmd_recover},
    {"relief", lev_cmd_relief}, {"serve", lev_cmd_serve},
    {"step", lev_cmd_step},     {"trace", lev_cmd_trace},
    /* clang-format on */
};

static void show_params(lev_text *t, const char *verb)
{
    for (int i = 0; i < lev_verb_rows_n; i++) {
        const lev_verb_row *r = &lev_verb_rows[i];
        if (r->kind == LEV_VERB_VERB || strcmp(r->verb, verb) != 0)
            continue;
        lev_text left = {0};
        lev_text_print(&left, "  %s%s%s%s", r->kind == LEV_VERB_ARG ? "" : "--",
                       r->param, r->kind == LEV_VERB_OPTION ? " " : "",
                       r->kind == LEV_VERB_OPTION ? r->value : "");
        lev_text_print(t, "%-26s %s", lev_text_get(&left), r->help);
        lev_text_release(&left);
        if (r->values[0] != '\0')
            lev_text_print(t, " (%s)", r->values);
        lev_text_add(t, "\n");
    }
}

static void show_usage(lev_text *t, const char *verb)
{
    lev_text_print(t, "levigate %s", verb);
    for (int i = 0; i < lev_verb_rows_n; i++) {
        const lev_verb_row *r = &lev_verb_rows[i];
        if (strcmp(r->verb, verb) == 0 && r->kind == LEV_VERB_ARG)
            lev_text_print(t, " %s", r->value[0] != '\0' ? r->value : r->param);
    }
    lev_text_add(t, " [options]\n");
}

static int show_help(const char *verb)
{
    lev_text t = {0};
    lev_error err = {0};
    if (verb[0] != '\0') {
        show_usage(&t, verb);
        lev_text_print(&t, "  %s\n\n", lev_verb_find(verb)->help);
        show_params(&t, verb);
        lev_text_add(&t, "\nevery verb:\n");
    } else {
        lev_text_add(&t, "levigate VERB ...: make a face smooth, by the shortest safe "
                         "run of grits\n\n");
        for (int i = 0; i < lev_verb_rows_n; i++)
            if (lev_verb_rows[i].kind == LEV_VERB_VERB)
                lev_text_print(&t, "  %-10s %s\n", lev_verb_rows[i].verb,
                               lev_verb_rows[i].help);
        lev_text_add(&t,
                     "\n`levigate VERB --help` tells the rest. Every verb takes:\n");
    }
    show_params(&t, "*");
    lev_text_add(&t, "\nexit: 0 done; 1 not ready, or a face that cannot be done;\n"
                     "2 wrong input; 3 file, memory or system\n");
    const lev_status st = lev_out_text(&t, &err);
    return st < 0 ? lev_out_error(st, &err) : LEV_EXIT_DONE;
}

static int run_verb(const lev_args *a)
{
    for (size_t i = 0; i < sizeof VERBS / sizeof *VERBS; i++)
        if (strcmp(VERBS[i].verb, a->verb) == 0)
            return VERBS[i].run(a);
    return show_help("");
}

int main(int argc, char **argv)
{
    static lev_args args;
    lev_error err = {0};
    lev_json_init();
    (void)signal(SIGPIPE, SIG_IGN); /* a closed pipe is an error we report once */

    if (argc == 2 && strcmp(argv[1], "--version") == 0) {
        (void)printf("levigate %s\n", lev_version());
        return fflush(stdout) == 0 ? LEV_EXIT_DONE : LEV_EXIT_SYSTEM;
    }
    const lev_status st = lev_args_read(&args, argc, argv, &err);
    if (st < 0)
        return lev_out_error(st, &err);
    if (lev_args_has(&args, "help"))
        return show_help(args.verb);
    if (args.verb[0] == '\0') {
        (void)show_help("");
        return argc > 1 ? LEV_EXIT_INPUT : LEV_EXIT_DONE;
    }
    return run_verb(&args);
}
