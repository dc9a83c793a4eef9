/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See app_plan_look.h. */
#include "app_plan_look.h"

#include <string.h>

#include "app_look_job.h"
#include "levigate/note.h"
#include "text.h"

static lev_status keep(lev_text *t, lev_arena *arena, const char **out, lev_error *err)
{
    const lev_status st = t->st < 0
                              ? lev_fail(err, t->st, "out of memory")
                              : lev_arena_text(arena, lev_text_get(t), t->n, out, err);
    lev_text_release(t);
    return st;
}

static lev_status code_picture(const lev_picture *p, lev_arena *arena,
                               lev_card_image *out, lev_error *err)
{
    lev_status st = LEV_OK;
    void *rgb = NULL;
    LEV_TRY(lev_arena_new(arena, (size_t)(p->nx * p->ny), 3, &rgb, err));
    lev_picture_code(p, rgb);
    *out = (lev_card_image){rgb, p->nx, p->ny, 3 * p->nx, 3};
out:
    return st;
}

/* What the picture does not hold; NULL: nothing to say. The colour of a body that gives
 * light back itself, as bare wood does, is a usual one of its kind. */
static const char *doubt_of(const lev_look *k, const lev_optic *o)
{
    const bool outside = (k->notes & LEV_NOTE_OUTSIDE) != 0U;
    if (o->body > 0.0)
        return outside
                   ? "The light model does not claim to hold here, and the colour is a "
                     "usual one of its kind: a hint, no promise."
                   : "The colour is a usual one of its kind.";
    return outside ? "The light model does not claim to hold here: a hint, no promise."
                   : NULL;
}

static lev_status one_state(const lev_look_state *s, const lev_optic *o, bool found,
                            lev_units units, lev_arena *arena, lev_card_look *out,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    lev_text t = {0};
    if (found)
        lev_text_add(&t, "Now");
    else
        lev_text_print(&t, "After %s", s->label);
    LEV_TRY(keep(&t, arena, &out->caption, err));
    lev_look_gloss_words(&t, &s->look);
    LEV_TRY(keep(&t, arena, &out->gloss, err));
    lev_look_reads_words(&t, &s->look, units);
    LEV_TRY(keep(&t, arena, &out->reads, err));
    out->doubt = doubt_of(&s->look, o);
out:
    lev_text_release(&t);
    return st;
}

lev_status lev_plan_look(const lev_plan_face_answer *f, lev_units units,
                         lev_arena *arena, lev_card_face *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_text t = {0};
    void *p = NULL;
    lev_look_answer *a = NULL;
    lev_card_look *look = NULL;
    const lev_look_ask ask = {.picture = true, .ends = true};
    lev_optic known;
    if (lev_optics_find(f->sources.work.material.id, &known, err) < 0)
        goto out; /* nobody has measured how it reflects: no picture */
    LEV_TRY(lev_mem_new(1, sizeof *a, &p, err));
    a = p;
    LEV_TRY(lev_app_look_face(&ask, f, a, err));
    if (a->states == 0)
        goto out;
    LEV_TRY(lev_arena_new(arena, (size_t)a->states, sizeof *look, &p, err));
    look = p;
    for (int i = 0; i < a->states; i++) {
        LEV_TRY(code_picture(&a->picture[i], arena, &look[i].image, err));
        LEV_TRY(one_state(&a->state[i], &known, i + 1 < a->states, units, arena,
                          &look[i], err));
    }
    lev_text_add(&t, "A lettered card seen in it, held ");
    lev_words_length(&t, a->card_mm, units);
    lev_text_add(&t, " off, looking across the lines");
    LEV_TRY(keep(&t, arena, &out->look_title, err));
    out->look = look;
    out->looks = a->states;
out:
    lev_text_release(&t);
    if (a != NULL)
        lev_look_answer_release(a);
    lev_mem_free(a);
    return st;
}
