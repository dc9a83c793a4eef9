/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The drawer: reading what was asked, changing one line. See app_drawer.h. */
#include "app_drawer.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "levigate/note.h"
#include "mem.h"
#include "num.h"

static const char *const WORDS[LEV_DRAWER_ACTS] = {
#define LEV_DRAWER_WORD(name, word) word,
    LEV_DRAWER_LIST(LEV_DRAWER_WORD)
#undef LEV_DRAWER_WORD
};

lev_status lev_drawer_act_read(const char *word, lev_drawer_act *out, lev_error *err)
{
    int best = 0;
    for (int i = 0; i < LEV_DRAWER_ACTS; i++) {
        if (lev_text_same(word, WORDS[i])) {
            *out = (lev_drawer_act)i;
            return LEV_OK;
        }
        if (lev_text_distance(word, WORDS[i]) < lev_text_distance(word, WORDS[best]))
            best = i;
    }
    return lev_fail(err, LEV_E_USAGE,
                    "\"%.40s\" is nothing a drawer does; did you mean %s (known: list, "
                    "add, take, count, correct, set, remove, like, order, history)",
                    word, WORDS[best]);
}

const char *lev_drawer_act_word(lev_drawer_act act)
{
    return WORDS[act];
}

bool lev_drawer_act_writes(lev_drawer_act act)
{
    return act != LEV_DRAWER_SHOW && act != LEV_DRAWER_LIKE &&
           act != LEV_DRAWER_ORDER && act != LEV_DRAWER_HISTORY;
}

void lev_drawer_ask_init(lev_drawer_ask *ask)
{
    *ask = (lev_drawer_ask){.pieces = NAN,
                            .reorder_at = NAN,
                            .waterproof = -1,
                            .open_coat = -1,
                            .anti_clog = -1};
}

static bool told(const char *s)
{
    return s != NULL && s[0] != '\0';
}

static lev_status need_pieces(const lev_drawer_ask *ask, double least, lev_error *err)
{
    if (!(ask->pieces >= least && ask->pieces <= 1e6))
        return lev_fail(err, LEV_E_USAGE,
                        "%s wants how many pieces, %s; a part of a sheet is 0.25",
                        WORDS[ask->act], least > 0.0 ? "more than 0" : "0 or more");
    return LEV_OK;
}

/* ---- add ---- */

/* "P600", "F600", "JIS #600": the system once. */
static void name_grit(lev_text *t, const lev_grit *g)
{
    if (lev_text_begins(g->label, g->system))
        lev_text_add(t, g->label);
    else
        lev_text_print(t, "%s %s", g->system, g->label);
}

static lev_status say_readings(const lev_grit_reading *r, const char *marking,
                               lev_error *err)
{
    lev_text t = {0};
    bool one_system = true;
    for (int i = 0; i < r->n && i < 5; i++) {
        one_system = one_system && strcmp(r->match[i].system, r->match[0].system) == 0;
        lev_text_add(&t, i > 0 ? ", " : "");
        name_grit(&t, &r->match[i]);
        lev_text_print(&t, " (%.3g um, %s)", r->match[i].d50_um, r->match[i].method);
    }
    const lev_status st =
        lev_fail(err, LEV_E_USAGE, "\"%.40s\" could be %s; say which with --%s",
                 marking, lev_text_get(&t), one_system ? "method" : "system");
    lev_text_release(&t);
    return st;
}

/* Only the readings measured by the method that was told. */
static void keep_method(lev_grit_reading *r, const char *method)
{
    int n = 0;
    for (int i = 0; i < r->n; i++)
        if (lev_text_same(r->match[i].method, method))
            r->match[n++] = r->match[i];
    if (n > 0) {
        r->n = n;
        r->ambiguous = n > 1 && r->ambiguous;
    }
}

/* One grit, of which published sources give several sizes. */
static bool one_key(const lev_grit_reading *r)
{
    bool one = true;
    for (int i = 1; i < r->n; i++)
        one = one && strcmp(r->match[i].system, r->match[0].system) == 0 &&
              lev_text_same(r->match[i].label, r->match[0].label) &&
              strcmp(r->match[i].method, r->match[0].method) == 0;
    return one;
}

static lev_status read_grit(const lev_drawer_ask *ask, lev_grit *out, unsigned *notes,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    lev_grit_reading r;
    if (!told(ask->what))
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "%s wants a marking as printed, such as P240 or 9um",
                         WORDS[ask->act]));
    LEV_TRY(lev_grit_read(ask->what, told(ask->system) ? ask->system : NULL, &r, err));
    if (told(ask->method))
        keep_method(&r, ask->method);
    if (r.ambiguous && !one_key(&r))
        LEV_TRY(say_readings(&r, ask->what, err));
    *notes |= r.ambiguous ? LEV_NOTE_DISAGREE : 0U;
    *out = r.match[0];
    if (told(ask->method))
        LEV_TRY(lev_grit_find(out->system, out->label, ask->method, out, err));
out:
    return st;
}

/* The word as it is kept, whatever its case; NULL where it is none of them. */
static const char *as_kept(const char *word, const char *const words[])
{
    while (*words != NULL && !lev_text_same(*words, word))
        words++;
    return *words;
}

static const char *const carriers[] = {"paper",  "cloth", "film",  "foam",  "nonwoven",
                                       "belt",   "disc",  "stone", "stick", "file",
                                       "powder", "paste", "wool",  NULL};
static const char *const states[] = {"fresh", "run-in", "tired", NULL};

static lev_status check_word(const char *name, const char *word,
                             const char *const words[], lev_error *err)
{
    lev_text known = {0};
    if (!told(word) || as_kept(word, words) != NULL)
        return LEV_OK;
    for (; *words != NULL; words++) {
        lev_text_add(&known, known.n > 0 ? ", " : "");
        lev_text_add(&known, *words);
    }
    const lev_status st =
        lev_fail(err, LEV_E_USAGE, "%s \"%.40s\" is not known; known: %s", name, word,
                 lev_text_get(&known));
    lev_text_release(&known);
    return st;
}

static lev_status check_words(const lev_drawer_ask *ask, lev_error *err)
{
    lev_status st = LEV_OK;
    LEV_TRY(check_word("carrier", ask->carrier, carriers, err));
    LEV_TRY(check_word("state", ask->state, states, err));
    if (told(ask->bought) && isnan(lev_days_since(ask->bought, 0)))
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "bought \"%.40s\" should be a day, such as 2026-01-31",
                         ask->bought));
    if (!isnan(ask->reorder_at) && !(ask->reorder_at >= 0.0))
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "re-order point %g should be 0 or more",
                         ask->reorder_at));
out:
    return st;
}

/* The price, and the currency it settles; *minor stays when none was told. */
static lev_status read_price(const lev_shop *shop, const lev_drawer_ask *ask,
                             int64_t *minor, lev_error *err)
{
    lev_status st = LEV_OK;
    char has[4], given[4];
    if (!told(ask->price))
        goto out;
    LEV_TRY(lev_shop_currency(shop, has, err));
    LEV_TRY(lev_read_price(ask->price, has, shop->comma_ok, minor, given, err));
    if (given[0] == '\0' && has[0] == '\0')
        LEV_TRY(
            lev_fail(err, LEV_E_USAGE,
                     "price %.40s: the first price names the currency of the store, "
                     "such as 1.10 EUR",
                     ask->price));
    LEV_TRY(lev_shop_settle_currency(shop, given, err));
out:
    return st;
}

static lev_status add_line(const lev_shop *shop, const lev_drawer_ask *ask,
                           lev_drawer_answer *a, int64_t *id, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_row_mineral *mineral = NULL;
    lev_store_medium m = {.width_mm = NAN, .height_mm = NAN};
    LEV_TRY(read_grit(ask, &a->asked, &a->notes, err));
    LEV_TRY(need_pieces(ask, 1e-6, err));
    LEV_TRY(check_words(ask, err));
    LEV_TRY(lev_resolve_mineral(ask->mineral, &a->asked, "", &mineral, err));
    if (!told(ask->mineral) || !told(ask->carrier))
        a->notes |= LEV_NOTE_DEFAULT;
    if (told(ask->size))
        LEV_TRY(
            lev_read_size(ask->size, shop->comma_ok, &m.width_mm, &m.height_mm, err));
    LEV_TRY(read_price(shop, ask, &m.price_minor, err));
    m.marking = ask->what;
    m.system = a->asked.system;
    m.label = a->asked.label;
    m.method = a->asked.method;
    m.d50_um = a->asked.d50_um;
    m.mineral = mineral->id;
    m.carrier = told(ask->carrier) ? as_kept(ask->carrier, carriers) : carriers[0];
    m.count = ask->pieces;
    m.state = told(ask->state) ? as_kept(ask->state, states) : states[0];
    m.waterproof = ask->waterproof;
    m.open_coat = ask->open_coat > 0;
    m.anti_clog = ask->anti_clog > 0;
    m.holes = ask->holes;
    m.lot = ask->lot;
    m.bought = ask->bought;
    m.reorder_at = ask->reorder_at;
    LEV_TRY(lev_store_drawer_add(shop->store, &m, shop->now_s, id, &a->joined, err));
out:
    return st;
}

/* ---- one line changes ---- */

typedef struct seen_line {
    double count;
} seen_line;

static int take_count(void *to, const lev_store_medium *m)
{
    ((seen_line *)to)->count = m->count;
    return 0;
}

static lev_status change_line(const lev_shop *shop, const lev_drawer_ask *ask,
                              lev_drawer_answer *a, int64_t id, lev_error *err)
{
    lev_status st = LEV_OK;
    seen_line now = {0};
    double left = 0.0;
    const bool take = ask->act == LEV_DRAWER_TAKE;
    LEV_TRY(need_pieces(ask, take ? 1e-6 : 0.0, err));
    if (ask->act == LEV_DRAWER_CORRECT && !told(ask->reason))
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "correct wants --reason: what was wrong with the number that "
                         "stood there"));
    LEV_TRY(lev_store_drawer_get(shop->store, id, take_count, &now, err));
    a->before = now.count;
    if (take && ask->pieces > now.count + 1e-9)
        LEV_TRY(lev_fail(err, LEV_E_RANGE,
                         "%g taken, but line %lld has %g; `levigate drawer count %lld "
                         "N` sets what is really there",
                         ask->pieces, (long long)id, now.count, (long long)id));
    LEV_TRY(lev_store_drawer_change(shop->store, id, WORDS[ask->act],
                                    take ? -ask->pieces : ask->pieces - now.count,
                                    ask->reason, shop->now_s, &left, err));
out:
    return st;
}

static lev_status set_line(const lev_shop *shop, const lev_drawer_ask *ask, int64_t id,
                           lev_error *err)
{
    lev_status st = LEV_OK;
    int64_t minor = -1;
    LEV_TRY(check_words(ask, err));
    if (!told(ask->price) && !told(ask->state) && isnan(ask->reorder_at) &&
        ask->waterproof < 0)
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "set wants --price, --state, --reorder-at or --waterproof"));
    LEV_TRY(read_price(shop, ask, &minor, err));
    LEV_TRY(lev_store_drawer_set(shop->store, id, minor,
                                 told(ask->state) ? as_kept(ask->state, states)
                                                  : ask->state,
                                 ask->reorder_at, ask->waterproof, err));
out:
    return st;
}

static lev_status do_line(const lev_shop *shop, const lev_drawer_ask *ask,
                          lev_drawer_answer *a, int64_t *id, lev_error *err)
{
    lev_status st = LEV_OK;
    seen_line now = {0};
    if (ask->act == LEV_DRAWER_ADD)
        return add_line(shop, ask, a, id, err);
    if (ask->act == LEV_DRAWER_HISTORY && told(ask->what) &&
        strspn(ask->what, "0123456789") == strlen(ask->what)) {
        *id = strtoll(ask->what, NULL, 10); /* also of a line that is gone */
        goto out;
    }
    LEV_TRY(lev_drawer_find(shop, ask->what, id, err));
    if (ask->act == LEV_DRAWER_SET)
        LEV_TRY(set_line(shop, ask, *id, err));
    else if (ask->act == LEV_DRAWER_REMOVE) {
        LEV_TRY(lev_store_drawer_get(shop->store, *id, take_count, &now, err));
        a->before = now.count;
        LEV_TRY(
            lev_store_drawer_remove(shop->store, *id, ask->reason, shop->now_s, err));
    } else if (ask->act != LEV_DRAWER_HISTORY)
        LEV_TRY(change_line(shop, ask, a, *id, err));
out:
    return st;
}

/* ---- history ---- */

typedef struct keep_events {
    lev_drawer_answer *a;
    ptrdiff_t room;
    lev_status st;
    lev_error *err;
} keep_events;

static int keep_event(void *to, const lev_store_event *e)
{
    keep_events *k = to;
    lev_drawer_answer *a = k->a;
    if (a->events == k->room) {
        void *p = a->event;
        const ptrdiff_t wanted = k->room > 0 ? 2 * k->room : 16;
        k->st =
            lev_mem_grow(&p, (size_t)k->room, (size_t)wanted, sizeof *a->event, k->err);
        if (k->st < 0)
            return 1;
        a->event = p;
        k->room = wanted;
    }
    lev_drawer_event *x = &a->event[a->events++];
    x->e = *e;
    x->e.kind = lev_shop_copy(&a->arena, e->kind, &k->st, k->err);
    x->e.reason = lev_shop_copy(&a->arena, e->reason, &k->st, k->err);
    return k->st < 0;
}

static lev_status read_history(const lev_shop *shop, lev_drawer_answer *a, int64_t id,
                               lev_error *err)
{
    keep_events k = {.a = a, .err = err};
    const lev_status st =
        lev_store_drawer_history(shop->store, id, keep_event, &k, err);
    return st < 0 ? st : k.st;
}

/* ---- the verb ---- */

/* Only the line that was touched stays in the answer. */
static void keep_line(lev_drawer_answer *a, int64_t id)
{
    ptrdiff_t n = 0;
    for (ptrdiff_t i = 0; i < a->n; i++)
        if (a->line[i].m.id == id)
            a->line[n++] = a->line[i];
    a->n = n;
}

static void add_up(lev_drawer_answer *a)
{
    a->worth_minor = 0;
    for (ptrdiff_t i = 0; i < a->n; i++)
        a->worth_minor +=
            llround(a->line[i].m.count * (double)a->line[i].m.price_minor);
}

static lev_status answer(const lev_shop *shop, const lev_drawer_ask *ask,
                         lev_drawer_answer *a, lev_error *err)
{
    lev_status st = LEV_OK;
    int64_t id = 0;
    const bool one = lev_drawer_act_writes(ask->act) || ask->act == LEV_DRAWER_HISTORY;
    a->act = ask->act;
    a->now_s = shop->now_s;
    if (ask->act == LEV_DRAWER_LIKE)
        LEV_TRY(read_grit(ask, &a->asked, &a->notes, err));
    if (ask->act == LEV_DRAWER_REMOVE)
        LEV_TRY(lev_drawer_read_lines(shop, a, err)); /* as it was */
    if (one)
        LEV_TRY(do_line(shop, ask, a, &id, err));
    if (ask->act == LEV_DRAWER_HISTORY)
        LEV_TRY(lev_drawer_read_one(shop, id, a, err));
    if (a->line == NULL)
        LEV_TRY(lev_drawer_read_lines(shop, a, err));
    if (one)
        keep_line(a, id);
    if (ask->act == LEV_DRAWER_HISTORY)
        LEV_TRY(read_history(shop, a, id, err));
    if (ask->act == LEV_DRAWER_LIKE)
        LEV_TRY(lev_drawer_rank(a, lev_entry_figure("alike_least"), err));
    LEV_TRY(lev_shop_currency(shop, a->currency, err));
    add_up(a);
out:
    return st;
}

lev_status lev_app_drawer(const lev_shop *shop, const lev_drawer_ask *ask,
                          lev_drawer_answer *out, lev_error *err)
{
    lev_drawer_answer a = {.asked_grit_um = NAN};
    const lev_status st = answer(shop, ask, &a, err);
    if (st >= 0) {
        *out = a;
        a = (lev_drawer_answer){0};
    }
    lev_drawer_answer_release(&a);
    return st;
}

void lev_drawer_answer_release(lev_drawer_answer *a)
{
    if (a == NULL)
        return;
    lev_mem_free(a->line);
    lev_mem_free(a->event);
    lev_arena_release(&a->arena);
    *a = (lev_drawer_answer){0};
}
