/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Equivalents by common area of the size distributions; like is put beside like. */
#include <math.h>
#include <string.h>

#include "grit_table.h"
#include "levigate/note.h"
#include "num.h"

/* Sieve and sieve, tube and tube: a derived or nominal size is like nothing. */
static bool is_same_method(const lev_grit *a, const lev_grit *b)
{
    return strcmp(a->method, b->method) == 0 && strcmp(a->method, "nominal") != 0;
}

/* Same-method rows go first, but only where they have something in common. */
static bool is_before(const lev_grit_alike *a, const lev_grit_alike *b)
{
    lev_mark mark = LEV_MARK_UNSET;
    const double floor_share = lev_grit_default("like_floor", &mark);
    const bool a_first = a->same_method && a->overlap >= floor_share;
    const bool b_first = b->same_method && b->overlap >= floor_share;
    if (a_first != b_first)
        return a_first;
    return a->overlap > b->overlap;
}

static void insert(lev_grit_alike *list, int *n, const lev_grit_alike *a)
{
    int k = *n < LEV_GRIT_ALIKE ? (*n)++ : LEV_GRIT_ALIKE - 1;
    if (k == LEV_GRIT_ALIKE - 1 && *n == LEV_GRIT_ALIKE &&
        list[k].grit.system != NULL && !is_before(a, &list[k]))
        return;
    while (k > 0 && is_before(a, &list[k - 1])) {
        list[k] = list[k - 1];
        k--;
    }
    list[k] = *a;
}

/* Size of the same label in the twin system over this one's. */
static double instrument_gap(const lev_grit *g)
{
    for (int i = 0; i < lev_grit_count(); i++) {
        const lev_grit other = lev_grit_at(i);
        if (lev_grit_is_twin(g->system, other.system) &&
            strcmp(g->label, other.label) == 0)
            return other.d50_um / g->d50_um;
    }
    return NAN;
}

lev_status lev_grit_like(const lev_grit *g, const char *system,
                         lev_grit_alike out[LEV_GRIT_ALIKE], int *n, double *gap,
                         lev_error *err)
{
    lev_grit_size mine;
    lev_grit_alike list[LEV_GRIT_ALIKE] = {0};
    lev_status st = LEV_OK;
    int found = 0;
    const int s = lev_grit_system_find(system);
    if (s < 0)
        return lev_fail(err, LEV_E_UNKNOWN, "no grit system is called \"%.40s\"",
                        system);
    LEV_TRY(lev_grit_size_of(g, &mine, err));
    for (int i = 0; i < lev_grit_count(); i++) {
        lev_grit_alike a = {.grit = lev_grit_at(i)};
        lev_grit_size size;
        const bool asked = strcmp(a.grit.system, lev_grit_system_id(s)) == 0 ||
                           lev_grit_is_twin(lev_grit_system_id(s), a.grit.system);
        if (!asked || lev_grit_size_of(&a.grit, &size, NULL) < 0)
            continue;
        a.overlap = lev_grit_overlap(&mine, &size);
        a.larger_pct = 100.0 * (size.median_um / mine.median_um - 1.0);
        a.same_method = is_same_method(g, &a.grit);
        a.notes = size.notes | (a.same_method ? 0U : (unsigned)LEV_NOTE_METHODS);
        insert(list, &found, &a);
    }
    if (found == 0)
        LEV_TRY(lev_fail(err, LEV_E_UNKNOWN, "%s has no grit with a size",
                         lev_grit_system_id(s)));
    memcpy(out, list, sizeof list);
    *n = found;
    if (gap != NULL)
        *gap = instrument_gap(g);
out:
    return st;
}
