/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a finish reflects: one picture of a lettered card in faces of the given Ra. */
#include "http.h"

#include "app_look.h"
#include "http_drawing.h"
#include "mem.h"
#include "num.h"

static lev_status draw(const void *what, const char *path, lev_error *err)
{
    return lev_app_look_png(what, 1, path, err);
}

lev_status lev_http_looks(const lev_http_ask *ask, lev_http_reply *reply,
                          lev_error *err)
{
    lev_status st = LEV_OK;
    double ra_um[LEV_LOOKS_MAX];
    void *p = NULL;
    lev_look_ask q = {.material = lev_http_param(ask, "material"),
                      .picture = true,
                      .ra_um = ra_um,
                      .no_lay = lev_http_param(ask, "no_lay") != NULL};
    while (q.ra_n < LEV_LOOKS_MAX && lev_http_param_nth(ask, "ra_um", q.ra_n) != NULL) {
        const char *s = lev_http_param_nth(ask, "ra_um", q.ra_n);
        if (!lev_num_parse(s, true, &ra_um[q.ra_n]))
            return lev_fail(err, LEV_E_USAGE, "ra_um \"%.20s\" should be a number", s);
        q.ra_n++;
    }
    if (q.material == NULL || q.ra_n == 0)
        return lev_fail(err, LEV_E_USAGE, "look wants material and ra_um");
    LEV_TRY(lev_mem_new(1, sizeof(lev_look_answer), &p, err));
    LEV_TRY(lev_app_look_ra(&q, p, err));
    ((lev_look_answer *)p)->untitled = true;
    reply->keep = true;
    LEV_TRY(lev_http_draw(reply, NULL, "png", draw, p, err));
out:
    if (p != NULL)
        lev_look_answer_release(p);
    lev_mem_free(p);
    return st;
}
