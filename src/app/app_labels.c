/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Labels for the drawer. See app_labels.h. */
#include "app_labels.h"

#include <math.h>
#include <string.h>

#include "app_backend.h"
#include "bounds.h"
#include "lev_tables.h"
#include "levigate/levigate.h"
#include "mem.h"

/* The labels in the making. */
typedef struct label_list {
    lev_card_label *label; /* [LEV_LIMIT_DRAWER] */
    ptrdiff_t n;
    int64_t only;
    lev_units units;
    lev_arena arena;
    lev_status st;
    lev_error *err;
} label_list;

static const char *mineral_words(const char *id)
{
    for (int i = 0; i < LEV_TAB_MINERAL_N; i++)
        if (strcmp(lev_tab_mineral[i].id, id) == 0)
            return lev_tab_mineral[i].name;
    return id;
}

/* "P, sedimentation" or what of it is known. */
static void system_words(lev_text *t, const lev_store_medium *m)
{
    lev_text_add(t, m->system);
    if (m->method[0] != '\0')
        lev_text_print(t, ", %s", m->method);
}

static const char *take_text(label_list *l, lev_text *t)
{
    const char *copy = "";
    if (l->st >= 0)
        l->st = t->st < 0
                    ? lev_fail(l->err, t->st, "out of memory")
                    : lev_arena_text(&l->arena, lev_text_get(t), t->n, &copy, l->err);
    lev_text_release(t);
    return l->st >= 0 ? copy : "";
}

static int add_label(void *to, const lev_store_medium *m)
{
    label_list *l = to;
    lev_text name = {0}, size = {0}, text = {0}, qr = {0};
    if (l->only != 0 && m->id != l->only)
        return 0;
    if (l->n == LEV_LIMIT_DRAWER) {
        l->st = lev_fail(l->err, LEV_E_LIMIT, "more than %d labels", LEV_LIMIT_DRAWER);
        return 1;
    }
    lev_text_add(&name, m->marking);
    if (isfinite(m->d50_um))
        lev_words_size(&size, m->d50_um, l->units);
    system_words(&text, m);
    lev_text_print(&text, "\n%s, %s", mineral_words(m->mineral), m->carrier);
    if (m->lot[0] != '\0')
        lev_text_print(&text, "\nlot %s", m->lot);
    lev_text_print(&qr, "%s; ", m->marking);
    system_words(&qr, m);
    lev_text_print(&qr, "; %s; %s; %s; line %lld",
                   size.n > 0 ? lev_text_get(&size) : "size unknown",
                   mineral_words(m->mineral), m->carrier, (long long)m->id);
    l->label[l->n] = (lev_card_label){take_text(l, &name), take_text(l, &size),
                                      take_text(l, &text), take_text(l, &qr)};
    l->n++;
    return l->st < 0;
}

static lev_status draw_labels(const label_list *l, const char *path, const char *paper,
                              lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_card_api *card = NULL;
    char today[11], version[40] = "levigate ";
    lev_drawing d = {.sink = {.fd = -1}};
    lev_today(today);
    strncat(version, lev_version(), sizeof version - strlen(version) - 1);
    const lev_card_labels view = {
        .head = {.title = "Drawer labels",
                 .date = today,
                 .version = version,
                 .paper = strcmp(paper, "Letter") == 0 ? LEV_CARD_LETTER : LEV_CARD_A4},
        .label = l->label,
        .labels = l->n};
    LEV_TRY(lev_backend_card(&card, err));
    LEV_TRY(lev_drawing_open(&d, path, err));
    LEV_TRY(card->labels(&view, &d.out, err));
    LEV_TRY(lev_drawing_commit(&d, err));
out:
    lev_drawing_release(&d);
    return st;
}

lev_status lev_app_labels(const lev_shop *shop, int64_t line, const char *path,
                          const char *paper, lev_units units, ptrdiff_t *labels,
                          lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    lev_card_format format;
    label_list l = {.only = line, .units = units, .err = err};
    LEV_TRY(lev_backend_format(path, &format, err));
    LEV_TRY(lev_mem_new(LEV_LIMIT_DRAWER, sizeof *l.label, &p, err));
    l.label = p;
    LEV_TRY(lev_store_drawer(shop->store, add_label, &l, err));
    LEV_TRY(l.st);
    if (l.n == 0 && line != 0)
        LEV_TRY(lev_fail(err, LEV_E_UNKNOWN, "no line %lld in the drawer",
                         (long long)line));
    if (l.n == 0)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "the drawer is empty: nothing to label"));
    LEV_TRY(draw_labels(&l, path, paper, err));
    *labels = l.n;
out:
    lev_arena_release(&l.arena);
    lev_mem_free(p);
    return st;
}
