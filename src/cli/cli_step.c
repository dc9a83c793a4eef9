/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate step */
#include "app_step.h"
#include "app_words.h"
#include "cli_out.h"
#include "cli_progress.h"
#include "json.h"
#include "levigate/note.h"

#include <math.h>

static void print_step(lev_text *t, const lev_step_answer *a, lev_units units)
{
    lev_text_print(t, "%s LEAVES RA ", a->grit.label);
    lev_words_size(t, a->ra_um.p50, units);
    lev_text_print(t, " ON THIS, DEEPEST LINE ");
    lev_words_depth(t, a->deepest_um.p50, units);
    lev_text_add(
        t, "\ncheck: turn the work a quarter, lamp low: all lines run the new way\n\n");
    lev_text_print(t, "work     %s, by %s\n", a->work.material.name,
                   a->work.hardness_from);
    lev_text_print(t, "grit     %s %s, ", a->grit.system, a->grit.label);
    lev_words_size(t, a->grit.d50_um, units);
    lev_text_print(t, ", %s\n", a->mineral->name);
    lev_text_print(t, "push     %s, ", a->push != NULL ? a->push->words : "as given");
    lev_text_number(t, lev_round_digits(a->push_n / 9.80665, 2), 3);
    lev_text_add(t, " kg on a scale, ");
    lev_text_print(t, "%s\n", a->drive->words);
    lev_text_add(t, "cuts     ");
    lev_words_depth(t, a->pass.face_um_per_min, units);
    lev_text_add(t, " a minute off ");
    lev_words_area(t, a->area_mm2, NAN, NAN, units);
    lev_text_add(t, ", fresh\n");
    lev_text_add(t, "paper    good for ");
    lev_words_depth(t, a->pass.patch_life_um, units);
    lev_text_add(t, " off its own area\n");
    if (!a->has_after)
        return;
    if (isfinite(a->clear_um)) {
        lev_text_print(t, "after    %s: ", a->after.label);
        lev_words_depth_like(t, a->clear_um, units);
        lev_text_add(t, " to take off, ");
        lev_words_time_spread(t, a->clear_s);
        lev_text_add(t, "\n");
    } else {
        lev_text_print(t, "after    %s: never clear\n", a->after.label);
    }
}

static void say_differs(lev_text *t, const char *what, double kernel, double surface)
{
    const double pct = lev_step_differs_pct(kernel, surface);
    if (isfinite(pct))
        lev_text_print(t, "%s %+.0f %%", what, pct);
}

static void print_surface(lev_text *t, const lev_step_answer *a)
{
    const lev_step_surface *const s = &a->surface;
    lev_text_add(t, "kernel   grain by grain; over the response surface ");
    say_differs(t, "Ra", a->ra_um.p50, s->ra_um);
    say_differs(t, ", deepest", a->deepest_um.p50, s->deepest_um);
    say_differs(t, ", rate", a->pass.patch_um_per_m, s->removal_um_per_m);
    say_differs(t, ", to clear", a->clear_um, s->clear_um);
    lev_text_print(t, "; seed %llu\n", (unsigned long long)a->seed);
}

int lev_cmd_step(const lev_args *args)
{
    lev_error err = {0};
    lev_step_answer a;
    const lev_step_request req = {
        .material = lev_args_text(args, "material"),
        .state = lev_args_text(args, "state"),
        .grit = lev_args_text(args, "grit"),
        .system = lev_args_text(args, "system"),
        .drive = lev_args_text(args, "drive"),
        .push = lev_args_text(args, "push"),
        .after = lev_args_text(args, "after"),
        .mineral = lev_args_text(args, "mineral"),
        .fluid = lev_args_text(args, "fluid"),
        .area_mm2 = lev_args_number(args, "area-mm2", 0.0),
        .simulate = lev_args_has(args, "simulate"),
        .seed = (uint64_t)lev_args_number(args, "seed", 1.0),
        .threads = lev_cli_threads(),
        .progress = lev_progress_watch,
    };
    lev_status st = LEV_OK;
    if (req.material == NULL || req.grit == NULL || req.drive == NULL)
        st = lev_fail(&err, LEV_E_USAGE,
                      "%s is missing; step wants --material, --grit and "
                      "--drive",
                      req.material == NULL ? "--material"
                      : req.grit == NULL   ? "--grit"
                                           : "--drive");
    if (st >= 0) {
        lev_progress_begin();
        st = lev_app_step(&req, &a, &err);
        lev_progress_end();
    }
    if (st >= 0 && lev_args_has(args, "json")) {
        int failed = 0;
        json_t *reply = lev_app_step_json(&a, &failed);
        st = lev_out_json(reply, failed, &err);
    } else if (st >= 0) {
        lev_text t = {0};
        print_step(&t, &a, lev_out_units(args));
        if (a.simulated)
            print_surface(&t, &a);
        lev_out_notes(&t, a.notes);
        st = lev_out_text(&t, &err);
    }
    (void)lev_fail_at(&err, st, "step");
    return st < 0 ? lev_out_error(st, &err) : LEV_EXIT_DONE;
}
