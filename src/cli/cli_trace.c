/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate trace */
#include "app_trace.h"
#include "cli_out.h"
#include "json.h"
#include "levigate/note.h"

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
    e->old_deg = lev_args_number(args, "old-deg", NAN);
    e->new_deg = lev_args_number(args, "new-deg", NAN);
    e->has_direction = isfinite(e->old_deg) && isfinite(e->new_deg);
    e->no_lay = lev_args_has(args, "no-lay");
    req->has_expected =
        ra > 0.0 || e->deepest_um > 0.0 || e->has_direction || e->no_lay;
}

static lev_status read_limit(const lev_args *args, lev_trace_request *req,
                             lev_error *err)
{
    static const char *const rules[] = {"max", "16pct", "median", "mean", NULL};
    const double most = lev_args_number(args, "max-um", NAN);
    const double least = lev_args_number(args, "min-um", NAN);
    if (!isfinite(most) && !isfinite(least))
        return LEV_OK;
    if (isfinite(most) && isfinite(least))
        return lev_fail(err, LEV_E_USAGE, "--max-um and --min-um together; one limit");
    req->limit_symbol = lev_args_text(args, "symbol");
    if (req->limit_symbol == NULL)
        req->limit_symbol = "Ra";
    req->limit_um = isfinite(most) ? most : least;
    req->limit_below = isfinite(least);
    req->accept = (lev_accept_rule)place(lev_args_text(args, "accept"), rules);
    return LEV_OK;
}

static lev_status write_files(const lev_args *args, const lev_trace_answer *a,
                              lev_error *err)
{
    const char *report = lev_args_text(args, "output");
    const char *save = lev_args_text(args, "save");
    lev_status st = LEV_OK;
    if (report != NULL)
        st = lev_app_trace_report(a, report, err);
    if (st >= 0 && save != NULL)
        st = lev_app_trace_save(a, save, err);
    return st;
}

static lev_status print_answer(const lev_args *args, const lev_trace_answer *a,
                               lev_error *err)
{
    lev_text t = {0};
    if (lev_args_has(args, "json")) {
        int failed = 0;
        json_t *reply = lev_app_trace_json(a, &failed);
        return lev_out_json(reply, failed, err);
    }
    lev_app_trace_text(a, lev_out_units(args), &t);
    lev_out_notes(&t, a->notes);
    return lev_out_text(&t, err);
}

int lev_cmd_trace(const lev_args *args)
{
    lev_error err = {0};
    lev_trace_answer a = {0};
    lev_trace_request req = {
        .path = lev_args_text(args, "file"),
        .profile_at = lev_args_text(args, "profile-at"),
        .lines = (ptrdiff_t)lev_args_number(args, "lines", 0.0),
    };
    lev_status st = LEV_OK;
    read_settings(args, &req.set);
    read_hint(args, &req.hint);
    read_expected(args, &req);
    st = read_limit(args, &req, &err);
    if (st >= 0 && req.path == NULL)
        st = lev_fail(&err, LEV_E_USAGE, "no file; trace FILE");
    if (st >= 0)
        st = lev_app_trace(&req, &a, &err);
    if (st >= 0)
        st = write_files(args, &a, &err);
    if (st >= 0)
        st = print_answer(args, &a, &err);
    (void)lev_fail_at(&err, st, "trace");
    const bool no = (a.has_verdict && a.verdict.verdict != LEV_VERDICT_NEXT_GRIT) ||
                    (a.has_limit && !a.limit.accepted);
    lev_trace_answer_release(&a);
    if (st < 0)
        return lev_out_error(st, &err);
    return no ? LEV_EXIT_ANSWER_NO : LEV_EXIT_DONE;
}
