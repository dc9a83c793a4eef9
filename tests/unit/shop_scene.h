/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A shop in a folder of its own, with plates to make and to log. Shared by the tests of
 * the shop's memory; everything in it is invented. */
#ifndef SHOP_SCENE_H
#define SHOP_SCENE_H

#include "unit.h"

#include <dirent.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "app_log.h"
#include "app_shop_job.h"
#include "json.h"

static const int64_t START_S = 1767225600; /* 2026-01-01, UTC */
static char folder[64], path[96];

static inline int make_folder(void **state)
{
    (void)state;
    (void)snprintf(folder, sizeof folder, "%s", "/tmp/levigate-shop-XXXXXX");
    if (mkdtemp(folder) == NULL)
        return -1;
    (void)snprintf(path, sizeof path, "%s/shop.db", folder);
    return 0;
}

static inline void empty_folder(const char *name)
{
    char full[600];
    DIR *d = opendir(name);
    if (d == NULL)
        return;
    for (struct dirent *e = readdir(d); e != NULL; e = readdir(d)) {
        if (strcmp(e->d_name, ".") == 0 || strcmp(e->d_name, "..") == 0)
            continue;
        (void)snprintf(full, sizeof full, "%.200s/%.300s", name, e->d_name);
        if (e->d_type == DT_DIR)
            empty_folder(full);
        (void)remove(full);
    }
    (void)closedir(d);
}

static inline int drop_folder(void **state)
{
    (void)state;
    empty_folder(folder);
    return rmdir(folder);
}

static inline lev_shop open_shop(void)
{
    lev_shop shop;
    lev_error err = {0};
    assert_ok(lev_shop_open(path, true, START_S, &shop, &err), &err);
    return shop;
}

/* One brass face, to a satin, by hand; `media` is a JSON list or "". */
static inline const char *job_text(double length_mm, double width_mm, const char *media)
{
    static char text[4000];
    (void)snprintf(
        text, sizeof text,
        "{\"levigate\": 1, \"name\": \"plate\", \"currency\": \"EUR\", "
        "\"labour_minor_per_h\": 0, %s%s%s \"faces\": [{\"name\": \"top\", "
        "\"material\": \"brass_360\", \"size_mm\": [%g, %g], \"shape\": \"flat\", "
        "\"start\": {\"kind\": \"grit\", \"system\": \"P\", \"label\": \"P120\"}, "
        "\"target\": {\"kind\": \"limit\", \"symbol\": \"Ra\", \"max_um\": 0.5, "
        "\"rule\": \"mean\"}, \"drives\": [\"hand-wood\"]}]}",
        media[0] != '\0' ? "\"drawer\": [" : "", media, media[0] != '\0' ? "]," : "",
        length_mm, width_mm);
    return text;
}

static inline lev_shop_job_answer job(const lev_shop *shop, const lev_shop_job_ask *ask)
{
    lev_shop_job_answer a = {.jobs = 0};
    lev_error err = {0};
    assert_ok(lev_app_shop_job(shop, ask, &a, &err), &err);
    return a;
}

static inline void do_job(const lev_shop *shop, lev_shop_job_act act, const char *name,
                          const char *body)
{
    const lev_shop_job_ask ask = {.act = act,
                                  .name = name,
                                  .body = body,
                                  .body_n = body != NULL ? strlen(body) : 0,
                                  .body_name = "job"};
    lev_shop_job_answer a = job(shop, &ask);
    lev_shop_job_answer_release(&a);
}

static inline void start_plate(const lev_shop *shop, const char *name)
{
    do_job(shop, LEV_SHOP_JOB_ADD, name, job_text(100, 80, ""));
    do_job(shop, LEV_SHOP_JOB_START, name, NULL);
}

static inline lev_shop_steps steps_of(const lev_shop *shop, const char *name)
{
    int64_t id = 0;
    char state[8];
    lev_shop_steps s = {.n = 0};
    lev_error err = {0};
    assert_ok(lev_store_job_find(shop->store, name, &id, state, &err), &err);
    assert_ok(lev_shop_read_steps(shop, id, &s, &err), &err);
    return s;
}

static inline lev_status log_line(const lev_shop *shop, const char *name,
                                  const char *line, bool *question, lev_error *err)
{
    lev_log_answer a = {.id = 0};
    const lev_log_ask ask = {.act = LEV_LOG_ADD, .line = line, .job = name};
    const lev_status st = lev_app_log(shop, &ask, question, &a, err);
    lev_log_answer_release(&a);
    return st;
}

static inline void log_ok(const lev_shop *shop, const char *name, const char *line)
{
    lev_error err = {0};
    assert_ok(log_line(shop, name, line, NULL, &err), &err);
}

static inline lev_factor factor_of(const lev_shop *shop, const lev_store_step *s,
                                   lev_quantity q, const char *who)
{
    lev_shop_factors *f = NULL;
    lev_factor out = {.factor = NAN};
    lev_error err = {0};
    const lev_store_cell cell = {s->family, s->material,
                                 s->drive[0] != '\0' ? s->drive : s->kind, s->mineral,
                                 who};
    assert_ok(lev_shop_factors_read(shop, &f, &err), &err);
    assert_ok(lev_shop_factor(f, q, &cell, &out, &err), &err);
    lev_shop_factors_free(f);
    return out;
}

/* Log the last step of a plate done in so many times what was planned. */
static inline void log_times(const lev_shop *shop, const char *name, double times,
                             const char *more)
{
    char line[120];
    lev_shop_steps s = steps_of(shop, name);
    assert_true(s.n >= 1);
    const lev_store_step *last = &s.step[s.n - 1];
    (void)snprintf(line, sizeof line, "RB top %d %.6fs next-grit %s", last->number,
                   last->predicted_s * times, more);
    log_ok(shop, name, line);
    lev_shop_steps_release(&s);
}

#define IN_FOLDER(f) cmocka_unit_test_setup_teardown(f, make_folder, drop_folder)

#endif
