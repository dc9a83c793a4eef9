/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The drawer: lines of media, and every change with its reason. */
#include "store_own.h"

#include <math.h>

typedef struct see_medium {
    lev_store_medium_fn *fn;
    void *to;
} see_medium;

static int each_medium(void *to, store_row *r)
{
    const see_medium *see = to;
    lev_store_medium m = {0};
    m.id = lev_store_int(r);
    m.marking = lev_store_text(r);
    m.system = lev_store_text(r);
    m.label = lev_store_text(r);
    m.method = lev_store_text(r);
    m.d50_um = lev_store_real(r);
    m.mineral = lev_store_text(r);
    m.carrier = lev_store_text(r);
    m.width_mm = lev_store_real(r);
    m.height_mm = lev_store_real(r);
    m.count = lev_store_real(r);
    m.price_minor = lev_store_int(r);
    m.state = lev_store_text(r);
    const double waterproof = lev_store_real(r);
    m.waterproof = isnan(waterproof) ? -1 : (int)waterproof;
    m.open_coat = lev_store_int(r) != 0;
    m.anti_clog = lev_store_int(r) != 0;
    m.holes = lev_store_text(r);
    m.lot = lev_store_text(r);
    m.bought = lev_store_text(r);
    m.reorder_at = lev_store_real(r);
    return see->fn(see->to, &m);
}

lev_status lev_store_drawer(lev_store *s, lev_store_medium_fn *see, void *to,
                            lev_error *err)
{
    see_medium all = {see, to};
    return lev_store_each(s, LEV_SQL_DRAWER_LIST, NULL, 0, each_medium, &all, NULL,
                          err);
}

static lev_status no_line(int64_t id, lev_error *err)
{
    return lev_fail(err, LEV_E_UNKNOWN,
                    "no line %lld in the drawer; `levigate drawer` lists them",
                    (long long)id);
}

lev_status lev_store_drawer_get(lev_store *s, int64_t id, lev_store_medium_fn *see,
                                void *to, lev_error *err)
{
    int seen = 0;
    see_medium one = {see, to};
    const lev_status st =
        lev_store_each(s, LEV_SQL_DRAWER_GET, BINDS(BIND_INT("id", id)), each_medium,
                       &one, &seen, err);
    return st >= 0 && seen == 0 ? no_line(id, err) : st;
}

static int take_id(void *to, store_row *r)
{
    *(int64_t *)to = lev_store_int(r);
    return 0;
}

static double waterproof_of(const lev_store_medium *m)
{
    if (m->waterproof < 0)
        return NAN;
    return m->waterproof != 0 ? 1.0 : 0.0;
}

static lev_status find_alike(lev_store *s, const lev_store_medium *m, int64_t *id,
                             lev_error *err)
{
    return lev_store_each(
        s, LEV_SQL_DRAWER_ALIKE,
        BINDS(BIND_TEXT("system", m->system), BIND_TEXT("label", m->label),
              BIND_TEXT("method", m->method), BIND_TEXT("mineral", m->mineral),
              BIND_TEXT("carrier", m->carrier), BIND_REAL("width_mm", m->width_mm),
              BIND_REAL("height_mm", m->height_mm), BIND_TEXT("state", m->state),
              BIND_REAL("waterproof", waterproof_of(m)),
              BIND_INT("open_coat", m->open_coat), BIND_INT("anti_clog", m->anti_clog),
              BIND_TEXT("holes", m->holes), BIND_TEXT("lot", m->lot)),
        take_id, id, NULL, err);
}

static lev_status insert_medium(lev_store *s, const lev_store_medium *m, lev_error *err)
{
    return lev_store_run(
        s, LEV_SQL_DRAWER_INSERT,
        BINDS(BIND_TEXT("marking", m->marking), BIND_TEXT("system", m->system),
              BIND_TEXT("label", m->label), BIND_TEXT("method", m->method),
              BIND_REAL("d50_um", m->d50_um), BIND_TEXT("mineral", m->mineral),
              BIND_TEXT("carrier", m->carrier), BIND_REAL("width_mm", m->width_mm),
              BIND_REAL("height_mm", m->height_mm), BIND_REAL("count", m->count),
              BIND_INT("price_minor", m->price_minor), BIND_TEXT("state", m->state),
              BIND_REAL("waterproof", waterproof_of(m)),
              BIND_INT("open_coat", m->open_coat), BIND_INT("anti_clog", m->anti_clog),
              BIND_TEXT("holes", m->holes), BIND_TEXT("lot", m->lot),
              BIND_TEXT("bought", m->bought), BIND_REAL("reorder_at", m->reorder_at)),
        NULL, err);
}

static lev_status note_event(lev_store *s, int64_t id, const char *kind, double change,
                             const char *reason, int64_t at_s, lev_error *err)
{
    return lev_store_run(s, LEV_SQL_DRAWER_EVENT,
                         BINDS(BIND_INT("id", id), BIND_INT("at_s", at_s),
                               BIND_TEXT("kind", kind), BIND_REAL("change", change),
                               BIND_TEXT("reason", reason), BIND_REAL("log_id", NAN)),
                         NULL, err);
}

static lev_status change_count(lev_store *s, int64_t id, double change, lev_error *err)
{
    int changed = 0;
    const lev_status st = lev_store_run(
        s, LEV_SQL_DRAWER_CHANGE,
        BINDS(BIND_INT("id", id), BIND_REAL("change", change)), &changed, err);
    return st < 0         ? st
           : changed == 0 ? lev_fail(err, LEV_E_RANGE,
                                     "line %lld has not that much left, or is gone; "
                                     "`levigate drawer` says how much there is",
                                     (long long)id)
                          : LEV_OK;
}

/* No price told leaves the one that stands. */
static store_bind price_of(const lev_store_medium *m)
{
    return m->price_minor > 0 ? (store_bind)BIND_INT("price_minor", m->price_minor)
                              : (store_bind)BIND_REAL("price_minor", NAN);
}

lev_status lev_store_drawer_add(lev_store *s, const lev_store_medium *m, int64_t at_s,
                                int64_t *id, bool *joined, lev_error *err)
{
    int64_t line = 0;
    lev_status st = lev_store_begin(s, err);
    if (st < 0)
        return st;
    LEV_TRY(find_alike(s, m, &line, err));
    *joined = line != 0;
    if (line != 0) {
        LEV_TRY(change_count(s, line, m->count, err));
        LEV_TRY(lev_store_run(
            s, LEV_SQL_DRAWER_SETTINGS,
            BINDS(BIND_INT("id", line), price_of(m), BIND_REAL("state", NAN),
                  BIND_REAL("reorder_at", m->reorder_at), BIND_REAL("waterproof", NAN)),
            NULL, err));
    } else {
        LEV_TRY(insert_medium(s, m, err));
        line = sqlite3_last_insert_rowid(s->db);
    }
    LEV_TRY(note_event(s, line, "add", m->count, "", at_s, err));
    *id = line;
out:
    return lev_store_end(s, st, err);
}

static int take_count(void *to, const lev_store_medium *m)
{
    *(double *)to = m->count;
    return 0;
}

lev_status lev_store_drawer_change(lev_store *s, int64_t id, const char *kind,
                                   double change, const char *reason, int64_t at_s,
                                   double *left, lev_error *err)
{
    lev_status st = lev_store_begin(s, err);
    if (st < 0)
        return st;
    LEV_TRY(lev_store_drawer_get(s, id, take_count, left, err));
    LEV_TRY(change_count(s, id, change, err));
    LEV_TRY(note_event(s, id, kind, change, reason, at_s, err));
    LEV_TRY(lev_store_drawer_get(s, id, take_count, left, err));
out:
    return lev_store_end(s, st, err);
}

lev_status lev_store_drawer_set(lev_store *s, int64_t id, int64_t price_minor,
                                const char *state, double reorder_at, int waterproof,
                                lev_error *err)
{
    int changed = 0;
    lev_status st = lev_store_begin(s, err);
    if (st < 0)
        return st;
    store_bind b[] = {BIND_INT("id", id), BIND_INT("price_minor", price_minor),
                      BIND_TEXT("state", state), BIND_REAL("reorder_at", reorder_at),
                      BIND_INT("waterproof", waterproof)};
    if (price_minor < 0)
        b[1] = (store_bind)BIND_REAL("price_minor", NAN);
    if (state == NULL || state[0] == '\0')
        b[2] = (store_bind)BIND_REAL("state", NAN);
    if (waterproof < 0)
        b[4] = (store_bind)BIND_REAL("waterproof", NAN);
    st = lev_store_run(s, LEV_SQL_DRAWER_SETTINGS, b, 5, &changed, err);
    if (st >= 0 && changed == 0)
        st = no_line(id, err);
    return lev_store_end(s, st, err);
}

lev_status lev_store_drawer_remove(lev_store *s, int64_t id, const char *reason,
                                   int64_t at_s, lev_error *err)
{
    int changed = 0;
    double had = 0.0;
    lev_status st = lev_store_begin(s, err);
    if (st < 0)
        return st;
    LEV_TRY(lev_store_drawer_get(s, id, take_count, &had, err));
    LEV_TRY(lev_store_run(s, LEV_SQL_DRAWER_REMOVE, BINDS(BIND_INT("id", id)), &changed,
                          err));
    if (changed == 0)
        LEV_TRY(no_line(id, err));
    LEV_TRY(note_event(s, id, "remove", -had, reason, at_s, err));
out:
    return lev_store_end(s, st, err);
}

typedef struct see_use {
    lev_store_use_fn *fn;
    void *to;
} see_use;

static int each_use(void *to, store_row *r)
{
    const see_use *see = to;
    lev_store_use u = {.medium_id = lev_store_int(r)};
    u.used = lev_store_real(r);
    u.first_s = lev_store_int(r);
    return see->fn(see->to, &u);
}

lev_status lev_store_drawer_used(lev_store *s, int64_t since_s, lev_store_use_fn *see,
                                 void *to, lev_error *err)
{
    see_use all = {see, to};
    return lev_store_each(s, LEV_SQL_DRAWER_USED, BINDS(BIND_INT("since_s", since_s)),
                          each_use, &all, NULL, err);
}

typedef struct see_event {
    lev_store_event_fn *fn;
    void *to;
} see_event;

static int each_event(void *to, store_row *r)
{
    const see_event *see = to;
    lev_store_event e = {0};
    e.at_s = lev_store_int(r);
    e.kind = lev_store_text(r);
    e.change = lev_store_real(r);
    e.left = lev_store_real(r);
    e.reason = lev_store_text(r);
    return see->fn(see->to, &e);
}

lev_status lev_store_drawer_history(lev_store *s, int64_t id, lev_store_event_fn *see,
                                    void *to, lev_error *err)
{
    see_event all = {see, to};
    return lev_store_each(s, LEV_SQL_DRAWER_HISTORY, BINDS(BIND_INT("id", id)),
                          each_event, &all, NULL, err);
}
