/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The drawer for a terminal. */
#include "app_drawer.h"

#include <math.h>
#include <string.h>

#include "levigate/note.h"

static ptrdiff_t low_lines(const lev_drawer_answer *a)
{
    ptrdiff_t n = 0;
    for (ptrdiff_t i = 0; i < a->n; i++)
        n += a->line[i].order;
    return n;
}

/* 3, 0.25, 2.5: as people count pieces. */
static void pieces(lev_text *t, double n)
{
    lev_text_number(t, lev_round_digits(n, 4), 4);
}

static void first_of_line(lev_text *t, const lev_drawer_answer *a)
{
    const lev_store_medium *m = &a->line[0].m;
    if (a->act == LEV_DRAWER_REMOVE) {
        lev_text_print(t, "%.20s IS OUT OF THE DRAWER", m->label);
        return;
    }
    lev_text_print(t, "%.20s: ", m->label);
    pieces(t, m->count);
    lev_text_add(t, a->act == LEV_DRAWER_TAKE ? " LEFT" : " IN THE DRAWER");
}

static void first_like(lev_text *t, const lev_drawer_answer *a)
{
    if (a->n == 0)
        lev_text_print(t, "NOTHING IN THE DRAWER STANDS IN FOR %.20s", a->asked.label);
    else
        lev_text_print(t, "USE %.20s: %.0f %% OF THE SAME GRAINS", a->line[0].m.label,
                       100.0 * a->line[0].overlap);
}

void lev_drawer_first_line(lev_text *t, const lev_drawer_answer *a)
{
    const ptrdiff_t low = low_lines(a);
    switch (a->act) {
    case LEV_DRAWER_LIKE:
        first_like(t, a);
        return;
    case LEV_DRAWER_ORDER:
        if (low == 0)
            lev_text_add(t, "NOTHING TO ORDER");
        else
            lev_text_print(t, "%td LINE%s TO ORDER", low, low > 1 ? "S" : "");
        return;
    case LEV_DRAWER_SHOW:
        if (a->n == 0)
            lev_text_add(t, "THE DRAWER IS EMPTY");
        else
            lev_text_print(t, "%td LINE%s IN THE DRAWER", a->n, a->n > 1 ? "S" : "");
        return;
    case LEV_DRAWER_ADD:
    case LEV_DRAWER_TAKE:
    case LEV_DRAWER_COUNT:
    case LEV_DRAWER_CORRECT:
    case LEV_DRAWER_SET:
    case LEV_DRAWER_REMOVE:
    case LEV_DRAWER_HISTORY:
    case LEV_DRAWER_ACTS:
        break;
    }
    if (a->n > 0)
        first_of_line(t, a);
}

static void second_like(lev_text *t, const lev_drawer_answer *a)
{
    if (a->n == 0) {
        lev_text_print(t, "next: levigate grit %s --like SYSTEM names what to buy",
                       a->asked.label);
        return;
    }
    const lev_drawer_line *l = &a->line[0];
    lev_text_add(t, "check: rub an offcut with each; ");
    lev_text_add(t, l->larger_pct > 5.0    ? "this one is coarser, its lines go deeper"
                    : l->larger_pct < -5.0 ? "this one is finer, it takes longer"
                                           : "the lines should look the same");
}

static void second_of_line(lev_text *t, const lev_drawer_answer *a)
{
    const lev_drawer_line *l = &a->line[0];
    const double old = lev_entry_figure("old_years") * 365.25;
    if (l->order) {
        lev_text_add(t, "next: order more, ");
        pieces(t, l->order_at);
        lev_text_add(t, " is the re-order point");
    } else if (l->age_days > old) {
        lev_text_add(t, "check: it is old; bend it, no grain should fall off");
    } else if (a->act == LEV_DRAWER_ADD && l->m.price_minor == 0) {
        lev_text_print(t,
                       "next: give line %lld its --price; until then it costs nothing",
                       (long long)l->m.id);
    } else if (a->joined) {
        lev_text_print(t, "check: they went to line %lld, which was there already",
                       (long long)l->m.id);
    } else {
        lev_text_print(t, "check: count line %lld on the shelf", (long long)l->m.id);
    }
}

void lev_drawer_second_line(lev_text *t, const lev_drawer_answer *a)
{
    const ptrdiff_t low = low_lines(a);
    if (a->act == LEV_DRAWER_LIKE)
        second_like(t, a);
    else if (a->n == 0)
        lev_text_add(t, "next: levigate drawer add P240 10 --carrier paper");
    else if (a->act == LEV_DRAWER_SHOW && low > 0)
        lev_text_print(t, "next: %td to order, see `levigate drawer order`", low);
    else if (a->act == LEV_DRAWER_SHOW)
        lev_text_add(t, "check: count one line on the shelf; `drawer count` sets it");
    else if (a->act == LEV_DRAWER_ORDER)
        lev_text_add(t, low > 0 ? "check: look on the shelf before you order"
                                : "check: only what was taken or logged is counted");
    else if (a->act == LEV_DRAWER_REMOVE)
        lev_text_add(t, "next: what was done with it stays in `drawer history`");
    else
        second_of_line(t, a);
}

/* ---- lines ---- */

static void size(lev_text *t, const lev_store_medium *m, lev_units units)
{
    if (isnan(m->width_mm))
        return;
    lev_text_add(t, ", ");
    lev_words_area(t, m->width_mm * m->height_mm, m->width_mm, m->height_mm, units);
}

static void traits(lev_text *t, const lev_store_medium *m)
{
    if (strcmp(m->state, "fresh") != 0)
        lev_text_print(t, ", %s", m->state);
    if (m->waterproof > 0)
        lev_text_add(t, ", waterproof");
    if (m->waterproof == 0)
        lev_text_add(t, ", not waterproof");
    if (m->open_coat)
        lev_text_add(t, ", open coat");
    if (m->anti_clog)
        lev_text_add(t, ", against clogging");
    if (m->holes[0] != '\0')
        lev_text_print(t, ", holes %s", m->holes);
    if (m->lot[0] != '\0')
        lev_text_print(t, ", lot %s", m->lot);
}

static void one_line(lev_text *t, const lev_drawer_answer *a, const lev_drawer_line *l,
                     lev_units units)
{
    lev_text left = {0};
    pieces(&left, l->m.count);
    lev_text_print(t, "%4lld  %-10s %6s  ", (long long)l->m.id, l->m.label,
                   lev_text_get(&left));
    lev_text_release(&left);
    if (!isnan(l->m.d50_um)) {
        lev_words_size(t, l->m.d50_um, units);
        lev_text_add(t, ", ");
    }
    lev_text_print(t, "%s %s %s", l->m.system, l->m.mineral, l->m.carrier);
    size(t, &l->m, units);
    traits(t, &l->m);
    if (l->m.price_minor > 0) {
        lev_text_add(t, ", ");
        lev_words_money(t, (double)l->m.price_minor, a->currency);
    } else {
        lev_text_add(t, ", no price");
    }
    if (l->age_days >= 0.0)
        lev_text_print(t, ", %.0f days old", floor(l->age_days));
    lev_text_add(t, "\n");
}

static void use_of(lev_text *t, const lev_drawer_line *l)
{
    if (l->per_day > 0.0) {
        lev_text_add(t, "      about ");
        pieces(t, lev_round_digits(7.0 * l->per_day, 2));
        lev_text_print(t, " a week, %.0f days left", floor(l->days_left));
    } else {
        lev_text_add(t, "      never taken");
    }
    if (!isnan(l->order_at)) {
        lev_text_add(t, "; order at ");
        pieces(t, lev_round_digits(l->order_at, 2));
    }
    lev_text_add(t, "\n");
}

static void events(lev_text *t, const lev_drawer_answer *a)
{
    for (ptrdiff_t i = 0; i < a->events; i++) {
        const lev_store_event *e = &a->event[i].e;
        lev_text change = {0};
        lev_text_add(t, "  ");
        lev_words_day(t, e->at_s, true);
        lev_text_add(&change, e->change >= 0.0 ? "+" : "-");
        pieces(&change, fabs(e->change));
        lev_text_print(t, "  %-8s %6s, left ", e->kind, lev_text_get(&change));
        lev_text_release(&change);
        pieces(t, e->left);
        if (e->reason[0] != '\0')
            lev_text_print(t, "; %s", e->reason);
        lev_text_add(t, "\n");
    }
}

void lev_app_drawer_text(lev_text *t, const lev_drawer_answer *a, lev_units units)
{
    lev_drawer_first_line(t, a);
    lev_text_add(t, "\n");
    lev_drawer_second_line(t, a);
    lev_text_add(t, "\n");
    for (ptrdiff_t i = 0; i < a->n; i++) {
        const lev_drawer_line *l = &a->line[i];
        if (a->act == LEV_DRAWER_ORDER && !l->order)
            continue;
        one_line(t, a, l, units);
        if (a->act == LEV_DRAWER_ORDER)
            use_of(t, l);
        if (a->act == LEV_DRAWER_LIKE)
            lev_text_print(t, "      %.0f %% of the same grains, median %+.0f %%%s\n",
                           100.0 * l->overlap, l->larger_pct,
                           l->same_method ? "" : ", measured another way");
    }
    events(t, a);
    if (a->act == LEV_DRAWER_SHOW && a->worth_minor > 0) {
        lev_text_add(t, "      worth ");
        lev_words_money(t, (double)a->worth_minor, a->currency);
        lev_text_add(t, "\n");
    }
    for (unsigned bit = 1; bit != 0; bit <<= 1)
        if ((a->notes & bit) != 0)
            lev_text_print(t, "  note: %s\n", lev_note_text(bit));
}
