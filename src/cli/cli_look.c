/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate look */
#include <string.h>

#include "app_look_job.h"
#include "cli_out.h"
#include "job_io.h"
#include "json.h"
#include "mem.h"
#include "num.h"

static lev_status read_ra(const lev_args *args, double *ra, int *n, lev_error *err)
{
    const char *s;
    for (*n = 0; (s = lev_args_nth(args, "ra", *n)) != NULL; ++*n) {
        if (*n == LEV_LOOKS_MAX)
            return lev_fail(err, LEV_E_LIMIT, "more than %d times --ra", LEV_LOOKS_MAX);
        if (!lev_num_parse(s, false, &ra[*n]))
            return lev_fail(err, LEV_E_USAGE, "--ra %s; a number of micrometres", s);
    }
    return LEV_OK;
}

/* Text of one face; its reservations behind it. */
static void say_face(lev_text *t, const lev_look_answer *a, lev_units units)
{
    unsigned notes = 0;
    for (int i = 0; i < a->states; i++)
        notes |= a->state[i].look.notes;
    lev_app_look_text(t, a, units);
    lev_out_notes(t, notes);
}

static lev_status say(const lev_args *args, const lev_look_answer *a, lev_error *err)
{
    if (lev_args_has(args, "json")) {
        int failed = 0;
        json_t *reply = lev_json_reply();
        lev_app_look_json(a, reply, &failed);
        return lev_out_json(reply, failed, err);
    }
    lev_text t = {0};
    say_face(&t, a, lev_out_units(args));
    return lev_out_text(&t, err);
}

static lev_status say_job(const lev_args *args, const lev_look_answer *a, ptrdiff_t n,
                          lev_error *err)
{
    if (lev_args_has(args, "json")) {
        int failed = 0;
        json_t *reply = lev_json_reply();
        json_t *faces = json_array();
        for (ptrdiff_t k = 0; k < n; k++) {
            json_t *o = json_object();
            lev_app_look_json(&a[k], o, &failed);
            failed |= lev_json_add(faces, o);
        }
        failed |= lev_json_put(reply, "faces", faces);
        return lev_out_json(reply, failed, err);
    }
    lev_text t = {0};
    for (ptrdiff_t k = 0; k < n; k++) {
        say_face(&t, &a[k], lev_out_units(args));
        lev_text_add(&t, k + 1 < n ? "\n" : "");
    }
    return lev_out_text(&t, err);
}

/* ---- a job: each step of each ladder ---- */

static bool is_job(const char *path)
{
    const size_t n = strlen(path);
    return strcmp(path, "-") == 0 || (n > 5 && strcmp(path + n - 5, ".json") == 0);
}

static lev_status look_job(const lev_args *args, const lev_look_ask *ask,
                           const char *path, lev_error *err)
{
    lev_status st;
    lev_job job = {0};
    lev_plan_answer plan = {0};
    void *p = NULL;
    const char *picture = lev_args_text(args, "output");
    LEV_TRY(lev_job_load(path, &job, err));
    LEV_TRY(lev_app_plan(&job, &plan, err));
    LEV_TRY(lev_mem_new((size_t)plan.faces, sizeof(lev_look_answer), &p, err));
    LEV_TRY(lev_app_look_job(ask, &plan, p, err));
    if (picture != NULL)
        LEV_TRY(lev_app_look_png(p, (int)plan.faces, picture, err));
    LEV_TRY(say_job(args, p, plan.faces, err));
out:
    for (ptrdiff_t k = 0; p != NULL && k < plan.faces; k++)
        lev_look_answer_release((lev_look_answer *)p + k);
    lev_mem_free(p);
    lev_plan_answer_release(&plan);
    lev_job_release(&job);
    return st;
}

/* ---- a file, or finishes by Ra ---- */

/* Micrometres in the unit of heights that was told; 0 when none was. */
static double z_unit_um(const lev_args *args)
{
    static const char *const units[] = {"nm", "um", "mm", "m"};
    static const double um[] = {1e-3, 1.0, 1e3, 1e6};
    const char *told = lev_args_text(args, "z-unit");
    for (size_t i = 0; told != NULL && i < sizeof um / sizeof *um; i++)
        if (strcmp(told, units[i]) == 0)
            return um[i];
    return 0.0;
}

static lev_look_ask ask_of(const lev_args *args, const double *ra_um)
{
    return (lev_look_ask){.material = lev_args_text(args, "material"),
                          .type_mm = lev_args_number(args, "type-mm", 0.0),
                          .card_mm = lev_args_number(args, "card-mm", 0.0),
                          .dx_um = lev_args_number(args, "dx-um", 0.0),
                          .z_unit_um = z_unit_um(args),
                          .no_lay = lev_args_has(args, "no-lay"),
                          .picture = lev_args_has(args, "output"),
                          .ra_um = ra_um};
}

static lev_status look(const lev_args *args, lev_look_answer *a, lev_error *err)
{
    lev_status st = LEV_OK;
    double ra[LEV_LOOKS_MAX];
    const char *path = lev_args_text(args, "file");
    const char *picture = lev_args_text(args, "output");
    lev_look_ask ask = ask_of(args, ra);
    LEV_TRY(read_ra(args, ra, &ask.ra_n, err));
    if ((path == NULL) == (ask.ra_n == 0))
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "nothing to look at; a surface file, a job (.json) or --ra"));
    if (path != NULL && is_job(path)) {
        st = look_job(args, &ask, path, err);
        goto out;
    }
    LEV_TRY(path != NULL ? lev_app_look_file(&ask, path, a, err)
                         : lev_app_look_ra(&ask, a, err));
    if (picture != NULL)
        LEV_TRY(lev_app_look_png(a, 1, picture, err));
    LEV_TRY(say(args, a, err));
out:
    return st;
}

int lev_cmd_look(const lev_args *args)
{
    lev_error err = {0};
    void *a = NULL;
    lev_status st = lev_mem_new(1, sizeof(lev_look_answer), &a, &err);
    if (st >= 0)
        st = look(args, a, &err);
    lev_look_answer_release(a);
    lev_mem_free(a);
    (void)lev_fail_at(&err, st, "look");
    return st < 0 ? lev_out_error(st, &err) : LEV_EXIT_DONE;
}
