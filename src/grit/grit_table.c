/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The tables of data/ as grits and systems. Look-up is linear: a few hundred rows. */
#include "grit_table.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "lev_tables.h"
#include "levigate/note.h"
#include "num.h"

static_assert((int)LEV_TAB_GRIT_N + (int)LEV_TAB_FILE_CUT_N <= (int)LEV_GRIT_STATE_MAX,
              "the state of identify holds every grit and file");

double lev_grit_default(const char *id, lev_mark *mark)
{
    for (int i = 0; i < LEV_TAB_GRIT_DEFAULT_N; i++) {
        if (strcmp(lev_tab_grit_default[i].id, id) == 0) {
            *mark = lev_mark_weaker(*mark, lev_tab_grit_default[i].mark);
            return lev_tab_grit_default[i].value;
        }
    }
    assert(false && "a default of data/grit/defaults.csv is missing");
    return NAN;
}

static const lev_row_grit_likely *likely_row(const char *system)
{
    for (int i = 0; i < LEV_TAB_GRIT_LIKELY_N; i++)
        if (strcmp(lev_tab_grit_likely[i].system, system) == 0)
            return &lev_tab_grit_likely[i];
    return NULL;
}

double lev_grit_likely(const char *system)
{
    const lev_row_grit_likely *row = likely_row(system);
    return row != NULL ? row->likely : 0.0;
}

bool lev_grit_stands_bare(const char *system)
{
    const lev_row_grit_likely *row = likely_row(system);
    return row != NULL && row->bare;
}

bool lev_grit_is_twin(const char *system_a, const char *system_b)
{
    const lev_row_grit_likely *row = likely_row(system_a);
    return row != NULL && strcmp(row->twin, system_b) == 0;
}

static const lev_row_system *system_row(const char *system)
{
    for (int i = 0; i < LEV_TAB_SYSTEM_N; i++)
        if (lev_text_same(lev_tab_system[i].id, system))
            return &lev_tab_system[i];
    return NULL;
}

const char *lev_grit_prefix(const char *system)
{
    const lev_row_system *row = system_row(system);
    return row != NULL ? row->prefix : "";
}

const char *lev_grit_carrier(const char *system)
{
    const lev_row_system *row = system_row(system);
    return row != NULL ? row->carrier_hint : "";
}

int lev_grit_systems(void)
{
    return LEV_TAB_SYSTEM_N;
}

const char *lev_grit_system_id(int i)
{
    return lev_tab_system[i].id;
}

const char *lev_grit_system_name(int i)
{
    return lev_tab_system[i].name;
}

const char *lev_grit_system_where(int i)
{
    return lev_tab_system[i].where;
}

int lev_grit_system_find(const char *name)
{
    for (int i = 0; i < LEV_TAB_SYSTEM_N; i++)
        if (lev_text_same(lev_tab_system[i].id, name))
            return i;
    for (int i = 0; i < LEV_TAB_SYSTEM_N; i++)
        if (lev_text_same(lev_tab_system[i].name, name) ||
            lev_text_in_list(name, lev_tab_system[i].alias))
            return i;
    return -1;
}

lev_grit lev_grit_blank(void)
{
    return (lev_grit){.system = "",
                      .method = "",
                      .kind = "",
                      .max_um = NAN,
                      .coarse_um = NAN,
                      .coarse_pct = NAN,
                      .d50_um = NAN,
                      .d50_tol_um = NAN,
                      .fine_um = NAN,
                      .fine_pct = NAN,
                      .pitch_um = NAN,
                      .source = "",
                      .note = "",
                      .row = -1};
}

int lev_grit_count(void)
{
    return LEV_TAB_GRIT_N;
}

static unsigned notes_of(const lev_row_grit *r)
{
    unsigned notes = 0;
    if (r->mark == LEV_MARK_MEMORY)
        notes |= LEV_NOTE_MEMORY;
    if (r->mark == LEV_MARK_PRACTICE)
        notes |= LEV_NOTE_PRACTICE;
    if (strcmp(r->confidence, "low") == 0)
        notes |= LEV_NOTE_LOW;
    if (strcmp(r->method, "range") == 0 ||
        (!lev_known(r->d50_um) && lev_known(r->coarse_um)))
        notes |= LEV_NOTE_RANGE_ONLY;
    return notes;
}

lev_grit lev_grit_at(int i)
{
    assert(i >= 0 && i < LEV_TAB_GRIT_N);
    const lev_row_grit *r = &lev_tab_grit[i];
    lev_grit g = lev_grit_blank();
    g.system = r->system;
    (void)snprintf(g.label, sizeof g.label, "%s", r->label);
    g.method = r->method;
    g.kind = r->kind;
    g.max_um = r->max_um;
    g.coarse_um = r->coarse_um;
    g.coarse_pct = r->coarse_pct;
    g.d50_um = r->d50_um;
    g.d50_tol_um = r->d50_tol_um;
    g.fine_um = r->fine_um;
    g.fine_pct = r->fine_pct;
    g.mark = r->mark;
    g.source = lev_tab_source[r->source].citation;
    g.note = r->note;
    g.notes = notes_of(r);
    g.row = i;
    return g;
}

/* The key of a label without the letter of its system. */
static const char *without_prefix(const char *key, const char *prefix)
{
    const size_t n = strlen(prefix);
    return n > 0 && lev_text_begins(key, prefix) ? key + n : key;
}

/* A bare size or a file, by the reader of markings. */
static lev_status find_elsewhere(const char *system, const char *label, lev_grit *out,
                                 lev_error *err)
{
    lev_grit_reading r;
    const lev_status st = lev_grit_read(label, system, &r, err);
    if (st == LEV_OK)
        *out = r.match[0];
    return st;
}

lev_status lev_grit_find(const char *system, const char *label, const char *method,
                         lev_grit *out, lev_error *err)
{
    char want[LEV_GRIT_KEY];
    const int s = lev_grit_system_find(system);
    if (s < 0)
        return find_elsewhere(system, label, out, err);
    const char *const id = lev_tab_system[s].id, *const prefix =
                                                     lev_tab_system[s].prefix;
    lev_grit_key(label, want);
    for (int i = 0; i < LEV_TAB_GRIT_N; i++) {
        const lev_row_grit *r = &lev_tab_grit[i];
        char have[LEV_GRIT_KEY];
        if (strcmp(r->system, id) != 0)
            continue;
        if (method != NULL && *method != '\0' && !lev_text_same(method, r->method))
            continue;
        lev_grit_key(r->label, have);
        if (strcmp(without_prefix(want, prefix), without_prefix(have, prefix)) == 0) {
            *out = lev_grit_at(i);
            return LEV_OK;
        }
    }
    return lev_grit_unknown(label, want, id, err);
}

lev_status lev_grit_bare(double size_um, lev_grit *out, lev_error *err)
{
    if (!(size_um >= 0.001 && size_um <= 1e5)) /* a nanometre to ten centimetres */
        return lev_fail(err, LEV_E_RANGE,
                        "a grain of %g um is no abrasive; 0.001 to 100000 um", size_um);
    char number[LEV_NUM_TEXT];
    lev_grit g = lev_grit_blank();
    g.system = "um";
    lev_num_write(size_um, 6, number);
    (void)snprintf(g.label, sizeof g.label, "%.20s um", number);
    g.method = "nominal";
    g.kind = "bare";
    g.d50_um = size_um;
    g.mark = LEV_MARK_DERIVED;
    g.note = "a size alone: no standard's limits stand behind it";
    g.notes = LEV_NOTE_NO_SPREAD;
    *out = g;
    return LEV_OK;
}
