/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate relief */
#include <unistd.h>

#include "app_relief.h"
#include "cli_out.h"
#include "cli_progress.h"
#include "job_io.h"
#include "json.h"

enum { USUAL_SEED = 1, MOST_THREADS = 16 };

int lev_cli_threads(void)
{
    const long n = sysconf(_SC_NPROCESSORS_ONLN);
    return n < 1 ? 1 : n > MOST_THREADS ? MOST_THREADS : (int)n;
}

static lev_relief_request request_of(const lev_args *args)
{
    const char *const kern = lev_args_text(args, "kern");
    return (lev_relief_request){
        .face = lev_args_text(args, "face"),
        .from = {.goal = lev_args_text(args, "goal")},
        .steps = lev_args_text(args, "steps"),
        .material = lev_args_text(args, "material"),
        .state = lev_args_text(args, "state"),
        .drive = lev_args_text(args, "drive"),
        .push = lev_args_text(args, "push"),
        .system = lev_args_text(args, "system"),
        .mineral = lev_args_text(args, "mineral"),
        .fluid = lev_args_text(args, "fluid"),
        .lay = lev_args_text(args, "lay"),
        .pitch_um = lev_args_number(args, "pitch-um", 0.0),
        .size_mm = lev_args_number(args, "size-mm", 0.0),
        .memory_mb = lev_args_number(args, "memory-mb", 0.0),
        .points = (ptrdiff_t)lev_args_number(args, "points", 0.0),
        .threads = lev_cli_threads(),
        .plain = kern != NULL && kern[0] == 'c',
        .seed = (uint64_t)lev_args_number(args, "seed", USUAL_SEED),
        .progress = lev_progress_watch,
    };
}

static lev_status relief(const lev_args *args, lev_job *job, lev_relief_answer *a,
                         lev_error *err)
{
    lev_status st;
    lev_relief_request req = request_of(args);
    const char *const path = lev_args_text(args, "job");
    const char *const output = lev_args_text(args, "output");
    if ((path == NULL) == (req.steps == NULL))
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "no job; a JOB, or --steps with --material and --drive"));
    if (output != NULL)
        LEV_TRY(lev_app_relief_check(output, err));
    if (path != NULL) {
        LEV_TRY(lev_job_load(path, job, err));
        req.job = job;
    }
    lev_progress_begin();
    LEV_TRY(lev_app_relief(&req, a, err));
    if (output != NULL)
        LEV_TRY(lev_app_relief_write(a, output, err));
out:
    lev_progress_end();
    return st;
}

static lev_status print_relief(const lev_args *args, const lev_relief_answer *a,
                               lev_error *err)
{
    if (lev_args_has(args, "json")) {
        int failed = 0;
        json_t *const reply = lev_app_relief_json(a, &failed);
        return lev_out_json(reply, failed, err);
    }
    lev_text t = {0};
    lev_app_relief_text(&t, a, lev_out_units(args));
    lev_out_notes(&t, a->notes);
    return lev_out_text(&t, err);
}

int lev_cmd_relief(const lev_args *args)
{
    lev_error err = {0};
    lev_job job = {0};
    lev_relief_answer a = {0};
    lev_status st = relief(args, &job, &a, &err);
    if (st >= 0)
        st = print_relief(args, &a, &err);
    lev_relief_answer_release(&a);
    lev_job_release(&job);
    (void)lev_fail_at(&err, st, "relief");
    return st < 0 ? lev_out_error(st, &err) : LEV_EXIT_DONE;
}
