/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate plan */
#include "app_backend.h"
#include "app_drawer.h"
#include "app_plan.h"
#include "cli_out.h"
#include "cli_shop.h"
#include "job_io.h"
#include "json.h"

static lev_status print_plan(const lev_args *args, const lev_plan_answer *a,
                             lev_error *err)
{
    if (lev_args_has(args, "json")) {
        int failed = 0;
        json_t *reply = lev_app_plan_json(a, &failed);
        return lev_out_json(reply, failed, err);
    }
    lev_text t = {0};
    lev_app_plan_text(&t, a, lev_out_units(args), lev_args_has(args, "all"));
    return lev_out_text(&t, err);
}

/* What the plan is made from: the job, and the store where the command says so. */
typedef struct sources {
    lev_job job;
    lev_shop shop;
    lev_shop_factors *factors;
    lev_arena arena;
    lev_plan_from from;
    char path[LEV_CLI_PATH];
} sources;

static void release_sources(sources *s)
{
    lev_shop_factors_free(s->factors);
    lev_shop_close(&s->shop);
    lev_arena_release(&s->arena);
    lev_job_release(&s->job);
}

/* --db, --who and --log ask for the factors; --drawer for the media, unless the job has
 * its own. Nothing else opens the store. */
static lev_status open_store(const lev_args *args, sources *s, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_job_medium *media = NULL;
    const bool drawer = lev_args_has(args, "drawer") && !s->job.has_drawer;
    const bool log = !lev_args_has(args, "no-log") &&
                     (lev_args_has(args, "log") || lev_args_has(args, "who") ||
                      lev_args_has(args, "db"));
    if (!drawer && !log)
        goto out;
    LEV_TRY(lev_cli_shop(args, false, s->path, &s->shop, err));
    if (log) {
        LEV_TRY(lev_shop_factors_read(&s->shop, &s->factors, err));
        s->from.factors = s->factors;
        s->from.who = lev_args_text(args, "who");
    }
    if (drawer) {
        LEV_TRY(lev_drawer_for_job(&s->shop, &s->job, &s->arena, &media,
                                   &s->from.drawer_n, err));
        s->from.drawer = media;
        s->from.has_drawer = true;
    }
out:
    return st;
}

static lev_status plan(const lev_args *args, sources *s, lev_plan_answer *a,
                       lev_error *err)
{
    lev_status st = LEV_OK;
    lev_card_format format;
    const char *path = lev_args_text(args, "job");
    const char *card = lev_args_text(args, "output");
    const char *paper = lev_args_text(args, "paper");
    if (path == NULL)
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "JOB is missing; plan wants a job file, see "
                         "examples/clock.json"));
    if (card != NULL)
        LEV_TRY(lev_backend_format(card, &format, err));
    LEV_TRY(lev_job_load(path, &s->job, err));
    s->from.goal = lev_args_text(args, "goal");
    LEV_TRY(open_store(args, s, err));
    LEV_TRY(lev_app_plan_from(&s->job, &s->from, a, err));
    if (card != NULL)
        LEV_TRY(lev_app_plan_card(a, card, paper != NULL ? paper : "A4",
                                  lev_out_units(args), err));
    LEV_TRY(print_plan(args, a, err));
out:
    return st;
}

int lev_cmd_plan(const lev_args *args)
{
    lev_error err = {0};
    sources s = {0};
    lev_plan_answer a = {0};
    const lev_status st = plan(args, &s, &a, &err);
    const bool feasible = a.all_feasible;
    lev_plan_answer_release(&a);
    release_sources(&s);
    (void)lev_fail_at(&err, st, "plan");
    return st < 0     ? lev_out_error(st, &err)
           : feasible ? LEV_EXIT_DONE
                      : LEV_EXIT_ANSWER_NO;
}
