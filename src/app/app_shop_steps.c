/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps of a frozen plan. See app_shop_steps.h. */
#include "app_shop_steps.h"

#include <math.h>

#include "json.h"
#include "mem.h"

typedef struct keep_steps {
    lev_shop_steps *s;
    ptrdiff_t room;
    lev_status st;
    lev_error *err;
} keep_steps;

static int keep_step(void *to, const lev_store_step *x)
{
    keep_steps *k = to;
    lev_shop_steps *s = k->s;
    if (s->n == k->room) {
        void *p = s->step;
        const ptrdiff_t wanted = k->room > 0 ? 2 * k->room : 16;
        k->st =
            lev_mem_grow(&p, (size_t)k->room, (size_t)wanted, sizeof *s->step, k->err);
        if (k->st < 0)
            return 1;
        s->step = p;
        k->room = wanted;
    }
    lev_store_step *t = &s->step[s->n++];
    *t = *x;
    const char **const texts[] = {&t->face,    &t->words,   &t->kind,     &t->system,
                                  &t->label,   &t->mineral, &t->carrier,  &t->drive,
                                  &t->push,    &t->fluid,   &t->material, &t->family,
                                  &t->verdict, &t->said};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        *texts[i] = lev_shop_copy(&s->arena, *texts[i], &k->st, k->err);
    return k->st < 0;
}

lev_store_step lev_shop_step_none(void)
{
    return (lev_store_step){.face = "",
                            .words = "",
                            .kind = "",
                            .system = "",
                            .label = "",
                            .mineral = "",
                            .carrier = "",
                            .drive = "",
                            .push = "",
                            .fluid = "",
                            .material = "",
                            .family = "",
                            .area_mm2 = NAN,
                            .budget_um = NAN,
                            .predicted_s = NAN,
                            .predicted_sheets = NAN,
                            .predicted_um = NAN,
                            .predicted_ra_um = NAN,
                            .predicted_gu = NAN,
                            .removal_factor = 1.0,
                            .life_factor = 1.0,
                            .texture_factor = 1.0,
                            .gloss_factor = 1.0,
                            .verdict = "",
                            .said = ""};
}

static lev_status hand_over(keep_steps *k, lev_status st, lev_shop_steps *all,
                            lev_shop_steps *out)
{
    if (st >= 0)
        st = k->st;
    if (st >= 0)
        *out = *all;
    else
        lev_shop_steps_release(all);
    return st;
}

lev_status lev_shop_read_steps(const lev_shop *shop, int64_t job_id,
                               lev_shop_steps *out, lev_error *err)
{
    lev_shop_steps all = {0};
    keep_steps k = {.s = &all, .err = err};
    const lev_status st = lev_store_steps(shop->store, job_id, keep_step, &k, err);
    return hand_over(&k, st, &all, out);
}

lev_status lev_shop_read_step(const lev_shop *shop, int64_t step_id,
                              lev_shop_steps *out, lev_error *err)
{
    lev_shop_steps all = {0};
    keep_steps k = {.s = &all, .err = err};
    const lev_status st = lev_store_step_get(shop->store, step_id, keep_step, &k, err);
    return hand_over(&k, st, &all, out);
}

void lev_shop_steps_release(lev_shop_steps *s)
{
    if (s == NULL)
        return;
    lev_mem_free(s->step);
    lev_arena_release(&s->arena);
    *s = (lev_shop_steps){0};
}

static int put_planned(json_t *o, const lev_store_step *s)
{
    int bad = lev_json_put_number(o, "predicted_s", s->predicted_s);
    bad |= lev_json_put_number(o, "predicted_sheets", s->predicted_sheets);
    bad |= lev_json_put_number(o, "predicted_um", s->predicted_um);
    bad |= lev_json_put_number(o, "predicted_Ra_um", s->predicted_ra_um);
    bad |= lev_json_put_number(o, "predicted_gu", s->predicted_gu);
    bad |= lev_json_put_number(o, "removal_factor", s->removal_factor);
    bad |= lev_json_put_number(o, "life_factor", s->life_factor);
    return bad | lev_json_put_number(o, "texture_factor", s->texture_factor);
}

static int put_done(json_t *o, const lev_store_step *s)
{
    int bad = lev_json_put_int(o, "entries", s->entries);
    bad |= lev_json_put_number(o, "done_s", s->done_s);
    bad |= lev_json_put_number(o, "done_sheets", s->done_sheets);
    bad |= lev_json_put_number(o, "done_um", s->done_um);
    bad |= lev_json_put_text(o, "verdict", s->verdict);
    return bad | lev_json_put_text(o, "said", s->said);
}

json_t *lev_shop_step_json(const lev_store_step *s, int *failed)
{
    json_t *o = json_object();
    int bad = lev_json_put_text(o, "face", s->face);
    bad |= lev_json_put_int(o, "number", s->number);
    bad |= lev_json_put_text(o, "words", s->words);
    bad |= lev_json_put_text(o, "kind", s->kind);
    bad |= lev_json_put_text(o, "system", s->system);
    bad |= lev_json_put_text(o, "label", s->label);
    bad |= lev_json_put_text(o, "mineral", s->mineral);
    bad |= lev_json_put_text(o, "carrier", s->carrier);
    bad |= lev_json_put_text(o, "drive", s->drive);
    bad |= lev_json_put_text(o, "push", s->push);
    bad |= lev_json_put_text(o, "fluid", s->fluid);
    bad |= lev_json_put_text(o, "material", s->material);
    bad |= lev_json_put_number(o, "area_mm2", s->area_mm2);
    bad |= put_planned(o, s);
    bad |= put_done(o, s);
    *failed |= bad;
    return o;
}
