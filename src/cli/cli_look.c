/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate look */
#include "app_look.h"
#include "cli_out.h"
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

static lev_status say(const lev_args *args, const lev_look_answer *a, lev_error *err)
{
    if (lev_args_has(args, "json")) {
        int failed = 0;
        json_t *reply = lev_json_reply();
        lev_app_look_json(a, reply, &failed);
        return lev_out_json(reply, failed, err);
    }
    lev_text t = {0};
    unsigned notes = 0;
    for (int i = 0; i < a->states; i++)
        notes |= a->state[i].look.notes;
    lev_app_look_text(&t, a);
    lev_out_notes(&t, notes);
    return lev_out_text(&t, err);
}

static lev_status look(const lev_args *args, lev_look_answer *a, lev_error *err)
{
    lev_status st = LEV_OK;
    double ra[LEV_LOOKS_MAX];
    const char *path = lev_args_text(args, "file");
    const char *picture = lev_args_text(args, "output");
    lev_look_ask ask = {.material = lev_args_text(args, "material"),
                        .type_mm = lev_args_number(args, "type-mm", 0.0),
                        .card_mm = lev_args_number(args, "card-mm", 0.0),
                        .dx_um = lev_args_number(args, "pitch-um", 0.0),
                        .no_lay = lev_args_has(args, "no-lay"),
                        .picture = picture != NULL,
                        .ra_um = ra};
    LEV_TRY(read_ra(args, ra, &ask.ra_n, err));
    if ((path == NULL) == (ask.ra_n == 0))
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "look wants a surface file or --ra, one of the two"));
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
