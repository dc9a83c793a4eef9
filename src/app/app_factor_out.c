/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Factors as JSON and for a terminal. */
#include "app_factor.h"

#include <math.h>

#include "json.h"

/* ---- JSON ---- */

static int put_factor(json_t *o, const lev_factor *f)
{
    int bad = lev_json_put_number(o, "factor", f->factor);
    bad |= lev_json_put_spread(o, "factor_spread", f->factor_band);
    bad |= lev_json_put_spread(o, "next_spread", f->next);
    bad |= lev_json_put_number(o, "lnsd", f->lnsd);
    return bad |
           lev_json_put_number(o, "from_log_pct", f->all > 0 ? 100.0 * f->share : 0.0);
}

static json_t *row_json(const lev_factor_row *x, int *failed)
{
    json_t *o = json_object();
    int bad = lev_json_put_text(o, "family", x->cell.family);
    bad |= lev_json_put_text(o, "material", x->cell.material);
    bad |= lev_json_put_text(o, "drive", x->cell.drive);
    bad |= lev_json_put_text(o, "mineral", x->cell.mineral);
    bad |= lev_json_put_text(o, "who", x->cell.who);
    bad |= lev_json_put_int(o, "entries", x->f.same);
    bad |= put_factor(o, &x->f);
    *failed |= bad;
    return o;
}

static json_t *month_json(const lev_factor_month *m, int *failed)
{
    json_t *o = json_object();
    lev_text name = {0};
    lev_text_print(&name, "%04d-%02d", m->year, m->month);
    int bad = lev_json_put_text(o, "month", lev_text_get(&name));
    lev_text_release(&name);
    bad |= lev_json_put_int(o, "entries", m->entries);
    bad |= lev_json_put_number(o, "model_miss", m->model_times);
    bad |= lev_json_put_number(o, "log_miss", m->log_times);
    bad |= lev_json_put_int(o, "inside_8_of_10", m->inside);
    *failed |= bad;
    return o;
}

static json_t *odd_json(const lev_factor_odd *x, int *failed)
{
    json_t *o = json_object();
    int bad = lev_json_put_int(o, "entry", x->log_id);
    bad |= lev_json_put_int(o, "at_s", x->at_s);
    bad |= lev_json_put_number(o, "actual_over_model", x->actual_over_model);
    bad |= lev_json_put_number(o, "weight", x->weight);
    *failed |= bad;
    return o;
}

json_t *lev_app_factor_json(const lev_factor_answer *a, int *failed)
{
    json_t *r = lev_json_reply(), *before = json_object(), *shop = json_object();
    json_t *rows = json_array(), *months = json_array(), *odd = json_array();
    lev_text first = {0}, second = {0};
    int bad = lev_json_put_text(r, "quantity", lev_quantity_name(a->quantity));
    lev_factor_first_line(&first, a);
    lev_factor_second_line(&second, a);
    bad |= lev_json_put_lines(r, &first, &second);
    bad |= lev_json_put_int(r, "entries", a->entries);
    bad |= put_factor(before, &a->before);
    bad |= lev_json_put(r, "before", before);
    bad |= put_factor(shop, &a->shop);
    bad |= lev_json_put(r, "shop", shop);
    for (ptrdiff_t i = 0; i < a->rows; i++)
        bad |= lev_json_add(rows, row_json(&a->row[i], failed));
    bad |= lev_json_put(r, "factors", rows);
    for (ptrdiff_t i = 0; i < a->months; i++)
        bad |= lev_json_add(months, month_json(&a->month[i], failed));
    bad |= lev_json_put(r, "months", months);
    for (ptrdiff_t i = 0; i < a->odds; i++)
        bad |= lev_json_add(odd, odd_json(&a->odd[i], failed));
    bad |= lev_json_put(r, "doubted", odd);
    *failed |= bad;
    return r;
}

/* ---- text ---- */

void lev_factor_first_line(lev_text *t, const lev_factor_answer *a)
{
    static const char *const words[LEV_QUANTITY_N][2] = {
        {"THIS SHOP CUTS ", " TIMES AS FAST AS THE MODEL"},
        {"PAPER LASTS ", " TIMES AS LONG AS THE MODEL SAYS"},
        {"LINES ARE ", " TIMES AS DEEP AS THE MODEL SAYS"},
        {"FACES SHINE ", " TIMES AS MUCH AS THE MODEL SAYS"}};
    if (a->entries == 0)
        lev_text_print(t, "NOTHING LEARNED YET ABOUT %s",
                       lev_quantity_name(a->quantity));
    else
        lev_text_print(t, "%s%.2g%s", words[a->quantity][0], a->shop.factor,
                       words[a->quantity][1]);
}

void lev_factor_second_line(lev_text *t, const lev_factor_answer *a)
{
    ptrdiff_t inside = 0, all = 0;
    for (ptrdiff_t i = 0; i < a->months; i++) {
        inside += a->month[i].inside;
        all += a->month[i].entries;
    }
    if (all == 0)
        lev_text_add(t, "next: log a step with its time and next-grit");
    else
        lev_text_print(t, "check: %td of %td entries fell where 8 in 10 should", inside,
                       all);
}

static void one_factor(lev_text *t, const lev_factor *f)
{
    lev_text_print(t,
                   "%.2g times, 8 in 10 from %.2g to %.2g; a next entry from %.2g to "
                   "%.2g",
                   f->factor, f->factor_band.p10, f->factor_band.p90, f->next.p10,
                   f->next.p90);
}

static void or_any(lev_text *t, const char *name, const char *any)
{
    lev_text_add(t, name != NULL && name[0] != '\0' ? name : any);
}

static void one_row(lev_text *t, const lev_factor_row *x)
{
    lev_text_add(t, "  ");
    or_any(t, x->cell.who, "anybody");
    lev_text_add(t, ", ");
    or_any(t, x->cell.drive, "any drive");
    lev_text_add(t, ", ");
    or_any(t, x->cell.mineral, "no grit");
    lev_text_add(t, " on ");
    or_any(t, x->cell.material, "any material");
    lev_text_print(t, ": %td entr%s\n     ", x->f.same, x->f.same == 1 ? "y" : "ies");
    one_factor(t, &x->f);
    lev_text_print(t, "\n     %.0f %% of it is from the log\n", 100.0 * x->f.share);
}

void lev_app_factor_text(lev_text *t, const lev_factor_answer *a)
{
    lev_factor_first_line(t, a);
    lev_text_add(t, "\n");
    lev_factor_second_line(t, a);
    lev_text_print(t, "\n  %s, before any entry: ", lev_quantity_name(a->quantity));
    one_factor(t, &a->before);
    lev_text_print(t, "\n  the shop as a whole, %td entr%s: ", a->entries,
                   a->entries == 1 ? "y" : "ies");
    one_factor(t, &a->shop);
    lev_text_add(t, "\n");
    for (ptrdiff_t i = 0; i < a->rows; i++)
        one_row(t, &a->row[i]);
    for (ptrdiff_t i = 0; i < a->months; i++) {
        const lev_factor_month *m = &a->month[i];
        lev_text_print(t,
                       "  %04d-%02d: %td entr%s, the model missed by %.2g times, the "
                       "log by then by %.2g\n",
                       m->year, m->month, m->entries, m->entries == 1 ? "y" : "ies",
                       m->model_times, m->log_times);
    }
    for (ptrdiff_t i = 0; i < a->odds; i++) {
        const lev_factor_odd *x = &a->odd[i];
        lev_text_print(t, "  entry %lld of ", (long long)x->log_id);
        lev_words_day(t, x->at_s, false);
        lev_text_print(t, " is hardly believed: %.2g times the model, weight %.2g\n",
                       x->actual_over_model, x->weight);
    }
}
