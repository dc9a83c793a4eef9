/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The verbs as addresses: the same functions and the same JSON as the command line. */
#include "http.h"

#include <string.h>

#include "app_backend.h"
#include "app_chart.h"
#include "app_grit.h"
#include "bounds.h"
#include "json.h"
#include "levigate/levigate.h"
#include "levigate/material.h"
#include "mem.h"

enum { TESTS_MAX = 32 };

lev_status lev_http_about(const lev_http_ask *ask, lev_http_reply *reply,
                          lev_error *err)
{
    json_t *o = lev_json_reply();
    (void)ask;
    const int bad = lev_json_put_text(o, "version", lev_version());
    return lev_http_json(reply, o, bad, err);
}

lev_status lev_http_grit(const lev_http_ask *ask, lev_http_reply *reply, lev_error *err)
{
    lev_grit_answer a;
    int failed = 0;
    const char *marking = lev_http_param(ask, "marking");
    if (marking == NULL)
        return lev_fail(err, LEV_E_USAGE, "type what is printed on the back");
    const lev_status st = lev_app_grit(marking, lev_http_param(ask, "system"),
                                       lev_http_param(ask, "like"), &a, err);
    if (st < 0)
        return st;
    json_t *json = lev_app_grit_json(&a, &failed);
    return lev_http_json(reply, json, failed, err);
}

lev_status lev_http_grit_list(const lev_http_ask *ask, lev_http_reply *reply,
                              lev_error *err)
{
    const char *name = lev_http_param(ask, "system");
    const int system = name != NULL ? lev_grit_system_find(name) : -1;
    int failed = 0;
    if (name != NULL && system < 0)
        return lev_fail(err, LEV_E_UNKNOWN, "no grit system is called \"%.40s\"", name);
    json_t *json = lev_app_grit_list_json(system, &failed);
    return lev_http_json(reply, json, failed, err);
}

lev_status lev_http_identify(const lev_http_ask *ask, lev_http_reply *reply,
                             lev_error *err)
{
    const char *tests[TESTS_MAX];
    lev_status st = LEV_OK;
    void *p = NULL;
    int n = 0, failed = 0;
    while (n < TESTS_MAX && lev_http_param_nth(ask, "test", n) != NULL) {
        tests[n] = lev_http_param_nth(ask, "test", n);
        n++;
    }
    LEV_TRY(lev_mem_new(1, sizeof(lev_identify_answer), &p, err));
    LEV_TRY(lev_app_identify(tests, n, p, err));
    json_t *json = lev_app_identify_json(p, &failed);
    LEV_TRY(lev_http_json(reply, json, failed, err));
out:
    lev_mem_free(p);
    return st;
}

static lev_status all_materials(lev_http_reply *reply, lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    int failed = 0;
    const int n = lev_material_count();
    LEV_TRY(lev_mem_new((size_t)n, sizeof(lev_material), &p, err));
    lev_material *list = p;
    for (int i = 0; i < n; i++)
        list[i] = lev_material_at(i);
    json_t *json = lev_app_material_json(list, n, "", &failed);
    LEV_TRY(lev_http_json(reply, json, failed, err));
out:
    lev_mem_free(p);
    return st;
}

lev_status lev_http_material(const lev_http_ask *ask, lev_http_reply *reply,
                             lev_error *err)
{
    lev_material_reading r;
    int failed = 0;
    const char *name = lev_http_param(ask, "name");
    if (name == NULL)
        return all_materials(reply, err);
    const lev_status st = lev_material_read(name, &r, err);
    if (st < 0)
        return st;
    json_t *json = lev_app_material_json(r.match, r.n, r.warning, &failed);
    return lev_http_json(reply, json, failed, err);
}
