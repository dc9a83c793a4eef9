/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate trace */
#include "app_trace_set.h"
#include "cli_out.h"
#include "job_io.h"
#include "json.h"
#include "levigate/note.h"
#include "num.h"

#include <math.h>
#include <string.h>

/* Place of a word in a list that ends with NULL; 0 when it was not given. */
static int place(const char *word, const char *const *words)
{
    for (int i = 0; word != NULL && words[i] != NULL; i++)
        if (strcmp(word, words[i]) == 0)
            return i;
    return 0;
}

static void read_settings(const lev_args *args, lev_profile_settings *set)
{
    static const char *const rules[] = {"iso21920", "iso4287", NULL};
    static const char *const filters[] = {"gauss", "regression", "robust", "spline",
                                          NULL};
    static const char *const forms[] = {"usual",      "mean",   "line",
                                        "polynomial", "circle", NULL};
    set->as_is = lev_args_has(args, "as-is");
    set->lc_mm = lev_args_number(args, "lc-mm", 0.0);
    set->ls_um = lev_args_number(args, "ls-um", 0.0);
    if (lev_args_text(args, "ls-um") != NULL && !(set->ls_um > 0.0))
        set->ls_um = -1.0; /* 0 asks for none */
    set->rule = (lev_rule)place(lev_args_text(args, "rule"), rules);
    set->filter = (lev_filter_kind)place(lev_args_text(args, "filter"), filters);
    set->form = (lev_form)place(lev_args_text(args, "form"), forms);
    set->degree = (int)lev_args_number(args, "degree", 2.0);
    set->sections = (int)lev_args_number(args, "sections", 0.0);
}

static lev_status read_curve(const lev_args *args, lev_trace_request *req,
                             lev_error *err)
{
    const char *s;
    req->has_ratio_at = lev_args_has(args, "ratio-at-um");
    req->ratio_at_um = lev_args_number(args, "ratio-at-um", 0.0);
    while ((s = lev_args_nth(args, "height-at-pct", req->heights)) != NULL) {
        if (req->heights == 2)
            return lev_fail(err, LEV_E_USAGE,
                            "--height-at-pct a third time; one share or two");
        if (!lev_num_parse(s, false, &req->height_at_pct[req->heights++]))
            return lev_fail(err, LEV_E_USAGE, "--height-at-pct %.20s; a number", s);
    }
    return LEV_OK;
}

static void read_hint(const lev_args *args, lev_surface_hint *hint)
{
    static const char *const units[] = {"", "nm", "um", "mm", "m", NULL};
    static const double um[] = {0.0, 1e-3, 1.0, 1e3, 1e6};
    hint->dx_um = lev_args_number(args, "dx-um", 0.0);
    hint->dy_um = lev_args_number(args, "dy-um", 0.0);
    hint->z_unit_um = um[place(lev_args_text(args, "z-unit"), units)];
    hint->z_unit_um = lev_args_number(args, "z-step-um", hint->z_unit_um);
}

static void read_expected(const lev_args *args, lev_trace_request *req)
{
    lev_expected *e = &req->expected;
    const double ra = lev_args_number(args, "expect-ra-um", 0.0);
    e->Ra_um = (lev_spread){ra, ra, lev_args_number(args, "expect-ra-most-um", ra)};
    e->deepest_um = lev_args_number(args, "expect-deepest-um", 0.0);
    e->old_deg = lev_args_number(args, "old-deg", (double)NAN);
    e->new_deg = lev_args_number(args, "new-deg", (double)NAN);
    e->has_direction = isfinite(e->old_deg) && isfinite(e->new_deg);
    e->no_lay = lev_args_has(args, "no-lay");
    req->has_expected =
        ra > 0.0 || e->deepest_um > 0.0 || e->has_direction || e->no_lay;
}

static void add_limit(lev_trace_request *req, const lev_args *args, double um,
                      bool below, lev_accept_rule rule)
{
    const char *symbol = lev_args_text(args, "symbol");
    if (isfinite(um))
        req->limit[req->limits++] =
            (lev_trace_limit){.symbol = symbol != NULL ? symbol : "Ra",
                              .um = um,
                              .below = below,
                              .rule = rule};
}

/* true when a rule was told; without it a job's target has its own. */
static bool read_limits(const lev_args *args, lev_trace_request *req,
                        lev_accept_rule *rule)
{
    static const char *const rules[] = {"max", "16pct", "median", "mean", NULL};
    *rule = (lev_accept_rule)place(lev_args_text(args, "accept"), rules);
    add_limit(req, args, lev_args_number(args, "max-um", (double)NAN), false, *rule);
    add_limit(req, args, lev_args_number(args, "min-um", (double)NAN), true, *rule);
    return lev_args_has(args, "accept");
}

/* Options that mean nothing alone, or nothing together: [0] wants [1] or [2]. */
static lev_status check_company(const lev_args *args, lev_error *err)
{
    static const char *const wants[][3] = {
        {"symbol", "max-um", "min-um"},
        {"accept", "max-um", "min-um"},
        {"length-deg", "job", "job"},
        {"old-deg", "new-deg", "new-deg"},
        {"new-deg", "old-deg", "old-deg"},
        {"expect-ra-most-um", "expect-ra-um", "expect-ra-um"},
    };
    static const char *const shaping[] = {"lc-mm", "ls-um", "filter", "form"};
    const char *form = lev_args_text(args, "form");
    for (size_t i = 0; i < sizeof wants / sizeof *wants; i++) {
        const bool job =
            strcmp(wants[i][0], "accept") == 0 && lev_args_has(args, "job");
        if (lev_args_has(args, wants[i][0]) && !lev_args_has(args, wants[i][1]) &&
            !lev_args_has(args, wants[i][2]) && !job)
            return lev_fail(err, LEV_E_USAGE, "--%s without --%s", wants[i][0],
                            wants[i][1]);
    }
    for (size_t i = 0; i < sizeof shaping / sizeof *shaping; i++)
        if (lev_args_has(args, "as-is") && lev_args_has(args, shaping[i]))
            return lev_fail(err, LEV_E_USAGE,
                            "--as-is takes the file as it is; no --%s", shaping[i]);
    if (lev_args_has(args, "degree") &&
        (form == NULL || strcmp(form, "polynomial") != 0))
        return lev_fail(err, LEV_E_USAGE, "--degree without --form polynomial");
    if (lev_args_has(args, "z-unit") && lev_args_has(args, "z-step-um"))
        return lev_fail(err, LEV_E_USAGE, "--z-unit or --z-step-um, not both");
    return LEV_OK;
}

static lev_status check_order(const lev_args *args, lev_error *err)
{
    static const char *const pairs[][2] = {{"min-um", "max-um"},
                                           {"expect-ra-um", "expect-ra-most-um"}};
    for (int i = 0; i < 2; i++) {
        const double low = lev_args_number(args, pairs[i][0], 0.0);
        const double high = lev_args_number(args, pairs[i][1], (double)INFINITY);
        if (low > high)
            return lev_fail(err, LEV_E_USAGE, "--%s %g is above --%s %g", pairs[i][0],
                            low, pairs[i][1], high);
    }
    return LEV_OK;
}

/* ---- a step of a job ---- */

static lev_status read_step(const lev_args *args, lev_job *job, lev_trace_step *step,
                            bool *has, lev_error *err)
{
    const bool path = lev_args_has(args, "job");
    *has = path;
    if (path != lev_args_has(args, "face") || path != lev_args_has(args, "step"))
        return lev_fail(err, LEV_E_USAGE,
                        "--job FILE --face NAME --step K go together");
    if (!path && lev_args_has(args, "goal"))
        return lev_fail(err, LEV_E_USAGE, "--goal goes with --job");
    if (!path)
        return LEV_OK;
    *step = (lev_trace_step){.job = job,
                             .face = lev_args_text(args, "face"),
                             .goal = lev_args_text(args, "goal"),
                             .step = (int)lev_args_number(args, "step", 1.0),
                             .length_deg = lev_args_number(args, "length-deg", 0.0)};
    return lev_job_load(lev_args_text(args, "job"), job, err);
}

/* ---- the answer ---- */

static lev_status write_files(const lev_args *args, const lev_trace_set *s,
                              lev_error *err)
{
    const char *report = lev_args_text(args, "output");
    const char *save = lev_args_text(args, "save");
    lev_status st = LEV_OK;
    if ((report != NULL || save != NULL) && s->n > 1)
        return lev_fail(err, LEV_E_USAGE, "--output and --save take one file, not %td",
                        s->n);
    if (report != NULL)
        st = lev_app_trace_report(&s->reading[0], report, err);
    if (st >= 0 && save != NULL)
        st = lev_app_trace_save(&s->reading[0], save, err);
    return st;
}

static lev_status print_answer(const lev_args *args, const lev_trace_set *s,
                               lev_error *err)
{
    unsigned notes = 0U;
    lev_text t = {0};
    if (lev_args_has(args, "json")) {
        int failed = 0;
        json_t *reply = lev_app_trace_set_json(s, &failed);
        return lev_out_json(reply, failed, err);
    }
    for (ptrdiff_t i = 0; i < s->n; i++)
        notes |= s->reading[i].notes;
    lev_app_trace_set_text(s, lev_out_units(args), &t);
    lev_out_notes(&t, notes);
    return lev_out_text(&t, err);
}

/* Paths given; *n of them. */
static lev_status read_paths(const lev_args *args, const char **path, ptrdiff_t *n,
                             lev_error *err)
{
    const char *one;
    for (*n = 0; (one = lev_args_nth(args, "file", (int)*n)) != NULL; ++*n)
        path[*n] = one;
    return *n > 0 ? LEV_OK : lev_fail(err, LEV_E_USAGE, "no file; trace FILE");
}

static lev_status trace(const lev_args *args, lev_job *job, const char **path,
                        lev_trace_set *s, lev_error *err)
{
    lev_status st = LEV_OK;
    ptrdiff_t n = 0;
    bool judged = false;
    lev_trace_step step;
    lev_accept_rule rule = LEV_ACCEPT_MAX;
    lev_trace_request req = {
        .profile_at = lev_args_text(args, "profile-at"),
        .lines = (ptrdiff_t)lev_args_number(args, "lines", 0.0),
    };
    LEV_TRY(check_company(args, err));
    LEV_TRY(check_order(args, err));
    read_settings(args, &req.set);
    read_hint(args, &req.hint);
    LEV_TRY(read_curve(args, &req, err));
    read_expected(args, &req);
    const bool told = read_limits(args, &req, &rule);
    LEV_TRY(read_paths(args, path, &n, err));
    LEV_TRY(read_step(args, job, &step, &judged, err));
    LEV_TRY(lev_app_trace_set(&req, path, n, judged ? &step : NULL, told ? &rule : NULL,
                              s, err));
    LEV_TRY(write_files(args, s, err));
    LEV_TRY(print_answer(args, s, err));
out:
    return st;
}

int lev_cmd_trace(const lev_args *args)
{
    lev_error err = {0};
    lev_job job = {0};
    lev_trace_set s = {0};
    const char *path[LEV_ARGS_MAX];
    const lev_status st = trace(args, &job, path, &s, &err);
    const bool no = lev_trace_set_is_no(&s);
    (void)lev_fail_at(&err, st, "trace");
    lev_trace_set_release(&s);
    lev_job_release(&job);
    if (st < 0)
        return lev_out_error(st, &err);
    return no ? LEV_EXIT_ANSWER_NO : LEV_EXIT_DONE;
}
