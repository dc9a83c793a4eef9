/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The log, and what it says about the model. An entry, its facts and the paper it took
 * stand or fall together. */
#include "store_own.h"

#include <math.h>
#include <stdio.h>

#include "store_step.h"

const char *lev_quantity_name(lev_quantity q)
{
    static const char *const names[LEV_QUANTITY_N] = {"removal", "life", "texture",
                                                      "gloss"};
    return (int)q >= 0 && q < LEV_QUANTITY_N ? names[q] : "";
}

static int take_id(void *to, store_row *r)
{
    *(int64_t *)to = lev_store_int(r);
    return 0;
}

static lev_status insert_entry(lev_store *s, const lev_store_entry *e, lev_error *err)
{
    return lev_store_run(
        s, LEV_SQL_LOG_INSERT,
        BINDS(BIND_INT("step_id", e->step_id), BIND_INT("at_s", e->at_s),
              BIND_TEXT("who", e->who), BIND_REAL("work_s", e->work_s),
              BIND_REAL("pause_s", isnan(e->pause_s) ? 0.0 : e->pause_s),
              BIND_INT("about", e->about), BIND_REAL("sheets", e->sheets),
              BIND_REAL("before_g", e->before_g), BIND_REAL("after_g", e->after_g),
              BIND_REAL("off_um", e->off_um), BIND_REAL("ra_um", e->ra_um),
              BIND_REAL("rq_um", e->rq_um), BIND_REAL("rz_um", e->rz_um),
              BIND_REAL("rt_um", e->rt_um), BIND_REAL("gloss_gu", e->gloss_gu),
              BIND_TEXT("verdict", e->verdict), BIND_TEXT("words", e->words)),
        NULL, err);
}

static lev_status cell_number(lev_store *s, const lev_store_cell *c, int64_t *id,
                              lev_error *err)
{
    lev_status st = LEV_OK;
    int seen = 0;
    const store_bind b[] = {BIND_TEXT("family", c->family),
                            BIND_TEXT("material", c->material),
                            BIND_TEXT("drive", c->drive),
                            BIND_TEXT("mineral", c->mineral), BIND_TEXT("who", c->who)};
    LEV_TRY(lev_store_each(s, LEV_SQL_CELL_FIND, b, 5, take_id, id, &seen, err));
    if (seen > 0)
        goto out;
    LEV_TRY(lev_store_run(s, LEV_SQL_CELL_INSERT, b, 5, NULL, err));
    *id = sqlite3_last_insert_rowid(s->db);
out:
    return st;
}

static lev_status insert_facts(lev_store *s, int64_t log_id, const lev_store_cell *cell,
                               const lev_store_fact *facts, ptrdiff_t n, lev_error *err)
{
    lev_status st = LEV_OK;
    int64_t cell_id = 0;
    if (n == 0)
        goto out;
    LEV_TRY(cell_number(s, cell, &cell_id, err));
    for (ptrdiff_t i = 0; i < n; i++)
        LEV_TRY(lev_store_run(
            s, LEV_SQL_FACT_INSERT,
            BINDS(BIND_TEXT("quantity", lev_quantity_name(facts[i].quantity)),
                  BIND_INT("log_id", log_id), BIND_INT("cell_id", cell_id),
                  BIND_REAL("ln_ratio", facts[i].ln_ratio),
                  BIND_REAL("variance", facts[i].variance)),
            NULL, err));
out:
    return st;
}

static int take_count(void *to, const lev_store_medium *m)
{
    *(double *)to = m->count;
    return 0;
}

static lev_status move_paper(lev_store *s, int64_t line, double change,
                             const char *kind, int64_t log_id, int64_t at_s,
                             double *left, lev_error *err)
{
    lev_status st = LEV_OK;
    LEV_TRY(lev_store_run(s, LEV_SQL_DRAWER_CHANGE,
                          BINDS(BIND_INT("id", line), BIND_REAL("change", change)),
                          NULL, err));
    LEV_TRY(lev_store_run(s, LEV_SQL_DRAWER_EVENT,
                          BINDS(BIND_INT("id", line), BIND_INT("at_s", at_s),
                                BIND_TEXT("kind", kind), BIND_REAL("change", change),
                                BIND_TEXT("reason", "log"), BIND_INT("log_id", log_id)),
                          NULL, err));
    LEV_TRY(lev_store_drawer_get(s, line, take_count, left, err));
out:
    return st;
}

typedef struct step_paper {
    lev_store *s;
    int64_t line;
    lev_status st;
    lev_error *err;
} step_paper;

static int find_paper(void *to, const lev_store_step *t)
{
    step_paper *p = to;
    p->st = lev_store_each(
        p->s, LEV_SQL_DRAWER_FOR_STEP,
        BINDS(BIND_TEXT("system", t->system), BIND_TEXT("label", t->label),
              BIND_TEXT("mineral", t->mineral), BIND_TEXT("carrier", t->carrier)),
        take_id, &p->line, NULL, p->err);
    return 1;
}

/* Paper goes off the drawer as far as the drawer has it: the shelf may be behind. */
static lev_status take_paper(lev_store *s, const lev_store_entry *e,
                             lev_store_logged *out, lev_error *err)
{
    lev_status st = LEV_OK;
    double left = 0.0;
    step_paper p = {.s = s, .err = err};
    LEV_TRY(lev_store_step_get(s, e->step_id, find_paper, &p, err));
    LEV_TRY(p.st);
    if (p.line == 0)
        goto out;
    LEV_TRY(lev_store_drawer_get(s, p.line, take_count, &left, err));
    LEV_TRY(move_paper(s, p.line, -fmin(e->sheets, left), "take", out->id, e->at_s,
                       &left, err));
    out->medium_id = p.line;
    out->left = left;
out:
    return st;
}

lev_status lev_store_log_add(lev_store *s, const lev_store_entry *e,
                             const lev_store_cell *cell, const lev_store_fact *facts,
                             ptrdiff_t facts_n, lev_store_logged *out, lev_error *err)
{
    lev_store_logged done = {.left = NAN};
    lev_status st = lev_store_begin(s, err);
    if (st < 0)
        return st;
    LEV_TRY(insert_entry(s, e, err));
    done.id = sqlite3_last_insert_rowid(s->db);
    LEV_TRY(insert_facts(s, done.id, cell, facts, facts_n, err));
    if (e->sheets > 0.0)
        LEV_TRY(take_paper(s, e, &done, err));
out:
    st = lev_store_end(s, st, err);
    if (st >= 0)
        *out = done;
    return st;
}

static int take_last(void *to, store_row *r)
{
    lev_store_undone *u = to;
    u->id = lev_store_int(r);
    (void)snprintf(u->face, sizeof u->face, "%s", lev_store_text(r));
    u->number = (int)lev_store_int(r);
    (void)snprintf(u->who, sizeof u->who, "%s", lev_store_text(r));
    u->at_s = lev_store_int(r);
    return 0;
}

typedef struct taken {
    int64_t line;
    double change;
} taken;

static int take_taken(void *to, store_row *r)
{
    taken *t = to;
    t->line = lev_store_int(r);
    t->change = lev_store_real(r);
    return 0;
}

lev_status lev_store_log_undo(lev_store *s, const char *who, int64_t at_s,
                              lev_store_undone *out, lev_error *err)
{
    lev_store_undone last = {0};
    taken paper = {0};
    double left = 0.0;
    int seen = 0;
    lev_status st = lev_store_begin(s, err);
    if (st < 0)
        return st;
    LEV_TRY(lev_store_each(s, LEV_SQL_LOG_LAST, BINDS(BIND_TEXT("who", who)), take_last,
                           &last, &seen, err));
    if (seen == 0)
        LEV_TRY(
            lev_fail(err, LEV_E_UNKNOWN, "nothing is in the log that could be undone"));
    LEV_TRY(lev_store_run(s, LEV_SQL_LOG_UNDO,
                          BINDS(BIND_INT("id", last.id), BIND_INT("at_s", at_s)), NULL,
                          err));
    LEV_TRY(lev_store_run(s, LEV_SQL_FACT_DELETE, BINDS(BIND_INT("log_id", last.id)),
                          NULL, err));
    LEV_TRY(lev_store_each(s, LEV_SQL_LOG_TAKES, BINDS(BIND_INT("id", last.id)),
                           take_taken, &paper, NULL, err));
    if (paper.line != 0)
        LEV_TRY(move_paper(s, paper.line, -paper.change, "undo", last.id, at_s, &left,
                           err));
    *out = last;
out:
    return lev_store_end(s, st, err);
}

typedef struct see_entry {
    lev_store_entry_fn *fn;
    void *to;
} see_entry;

static int each_entry(void *to, store_row *r)
{
    const see_entry *see = to;
    lev_store_entry e = {
        .before_g = NAN, .after_g = NAN, .rq_um = NAN, .rz_um = NAN, .rt_um = NAN};
    e.id = lev_store_int(r);
    e.at_s = lev_store_int(r);
    e.who = lev_store_text(r);
    e.job = lev_store_text(r);
    e.face = lev_store_text(r);
    e.number = (int)lev_store_int(r);
    e.step = lev_store_text(r);
    e.work_s = lev_store_real(r);
    e.about = lev_store_int(r) != 0;
    e.sheets = lev_store_real(r);
    e.off_um = lev_store_real(r);
    e.ra_um = lev_store_real(r);
    e.gloss_gu = lev_store_real(r);
    e.verdict = lev_store_text(r);
    e.words = lev_store_text(r);
    e.undone = lev_store_int(r) != 0;
    return see->fn(see->to, &e);
}

lev_status lev_store_log(lev_store *s, const char *face, int most,
                         lev_store_entry_fn *see, void *to, lev_error *err)
{
    see_entry all = {see, to};
    return lev_store_each(s, LEV_SQL_LOG_LIST,
                          BINDS(BIND_TEXT("face", face), BIND_INT("most", most)),
                          each_entry, &all, NULL, err);
}

typedef struct actual {
    double work_s, sheets;
    int64_t entries;
} actual;

static int take_actual(void *to, store_row *r)
{
    actual *a = to;
    a->work_s = lev_store_real(r);
    a->sheets = lev_store_real(r);
    a->entries = lev_store_int(r);
    return 0;
}

lev_status lev_store_actual(lev_store *s, int64_t job_id, double *work_s,
                            double *sheets, int64_t *entries, lev_error *err)
{
    actual a = {NAN, NAN, 0};
    const lev_status st =
        lev_store_each(s, LEV_SQL_LOG_ACTUAL, BINDS(BIND_INT("id", job_id)),
                       take_actual, &a, NULL, err);
    *work_s = a.work_s;
    *sheets = a.sheets;
    *entries = a.entries;
    return st;
}

static int take_times(void *to, store_row *r)
{
    int64_t *two = to;
    two[0] = lev_store_int(r);
    two[1] = lev_store_int(r);
    return 0;
}

lev_status lev_store_step_times(lev_store *s, int64_t step_id, int64_t *about,
                                int64_t *without, lev_error *err)
{
    int64_t two[2] = {0, 0};
    const lev_status st =
        lev_store_each(s, LEV_SQL_LOG_ABOUT, BINDS(BIND_INT("id", step_id)), take_times,
                       two, NULL, err);
    *about = two[0];
    *without = two[1];
    return st;
}

/* ---- facts ---- */

typedef struct see_cell {
    lev_store_cell_fn *fn;
    void *to;
} see_cell;

static int each_cell(void *to, store_row *r)
{
    const see_cell *see = to;
    lev_store_cell c = {0};
    const int64_t id = lev_store_int(r);
    c.family = lev_store_text(r);
    c.material = lev_store_text(r);
    c.drive = lev_store_text(r);
    c.mineral = lev_store_text(r);
    c.who = lev_store_text(r);
    return see->fn(see->to, id, &c);
}

lev_status lev_store_cells(lev_store *s, lev_store_cell_fn *see, void *to,
                           lev_error *err)
{
    see_cell all = {see, to};
    return lev_store_each(s, LEV_SQL_CELL_LIST, NULL, 0, each_cell, &all, NULL, err);
}

typedef struct see_fact {
    lev_store_fact_fn *fn;
    void *to;
} see_fact;

static int each_fact(void *to, store_row *r)
{
    const see_fact *see = to;
    const int64_t cell = lev_store_int(r);
    const double ln_ratio = lev_store_real(r);
    return see->fn(see->to, cell, ln_ratio, lev_store_real(r));
}

lev_status lev_store_facts(lev_store *s, lev_quantity q, lev_store_fact_fn *see,
                           void *to, lev_error *err)
{
    see_fact all = {see, to};
    return lev_store_each(s, LEV_SQL_FACT_LIST,
                          BINDS(BIND_TEXT("quantity", lev_quantity_name(q))), each_fact,
                          &all, NULL, err);
}

typedef struct see_dated {
    lev_store_dated_fn *fn;
    void *to;
} see_dated;

static int each_dated(void *to, store_row *r)
{
    const see_dated *see = to;
    lev_store_dated f = {.cell_id = lev_store_int(r)};
    f.ln_ratio = lev_store_real(r);
    f.variance = lev_store_real(r);
    f.at_s = lev_store_int(r);
    f.log_id = lev_store_int(r);
    return see->fn(see->to, &f);
}

lev_status lev_store_facts_dated(lev_store *s, lev_quantity q, int most,
                                 lev_store_dated_fn *see, void *to, lev_error *err)
{
    see_dated all = {see, to};
    return lev_store_each(
        s, LEV_SQL_FACT_DATED,
        BINDS(BIND_TEXT("quantity", lev_quantity_name(q)), BIND_INT("most", most)),
        each_dated, &all, NULL, err);
}

lev_status lev_store_fact_count(lev_store *s, lev_quantity q, int64_t *n,
                                lev_error *err)
{
    return lev_store_each(s, LEV_SQL_FACT_COUNT,
                          BINDS(BIND_TEXT("quantity", lev_quantity_name(q))), take_id,
                          n, NULL, err);
}
