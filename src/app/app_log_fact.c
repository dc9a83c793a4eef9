/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What one entry of the log tells about the model, and what about it is odd.
 *
 * A step's predictions hold the factors known when it was planned. They are taken out
 * again here, so that each fact compares with the bare model and nothing is learned
 * twice. Removal comes from the scale where the piece was weighed, else from the time
 * it took until the verdict was "next grit"; that time says what is wanted of a plan,
 * but lumps the rate with the depth the old lines really needed. */
#include "app_log.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "lev_tables.h"
#include "levigate/cut.h"
#include "num.h"

static const lev_row_learn_pool *pool_row(lev_quantity q)
{
    for (int i = 0; i < LEV_TAB_LEARN_POOL_N; i++)
        if (strcmp(lev_tab_learn_pool[i].quantity, lev_quantity_name(q)) == 0)
            return &lev_tab_learn_pool[i];
    return &lev_tab_learn_pool[0];
}

static double square(double x)
{
    return x * x;
}

static double or_zero(double x)
{
    return isnan(x) ? 0.0 : x;
}

/* Variance of ln of a time somebody guessed: the band it stands for (8 in 10), and the
 * step people round to. */
static double about_variance(double time_s)
{
    const lev_row_learn_pool *row = pool_row(LEV_QUANTITY_REMOVAL);
    const double sd = log1p(row->about) / lev_norm_quantile(0.9);
    return sd * sd + square(row->about_step_s / time_s) / 12.0;
}

/* A number read to a step is off by up to half of it, evenly. */
static double rounding_variance(double step, double value)
{
    return square(step / value) / 12.0;
}

static bool cleared(const char *verdict)
{
    return verdict != NULL && strcmp(verdict, "next-grit") == 0;
}

static bool by_weight(const lev_store_step *s, const lev_store_entry *e,
                      double weight_step_g, double lost_g, lev_store_fact *f)
{
    if (!(e->off_um > 0.0) || !(e->work_s > 0.0) || !(s->predicted_s > 0.0) ||
        !(s->predicted_um > 0.0))
        return false;
    const double rate = e->off_um / e->work_s;
    const double model = s->predicted_um / s->predicted_s / s->removal_factor;
    f->quantity = LEV_QUANTITY_REMOVAL;
    f->ln_ratio = log(rate / model);
    f->variance = e->about ? about_variance(e->work_s) : 0.0;
    if (lost_g > 0.0 && weight_step_g > 0.0) /* two readings of the scale */
        f->variance += 2.0 * rounding_variance(weight_step_g, lost_g);
    return true;
}

static bool by_time(const lev_store_step *s, const lev_store_entry *e, bool about,
                    lev_store_fact *f)
{
    const double all_s = or_zero(s->done_s) + e->work_s;
    if (!(all_s > 0.0) || !(s->predicted_s > 0.0))
        return false;
    f->quantity = LEV_QUANTITY_REMOVAL;
    f->ln_ratio = log(s->predicted_s * s->removal_factor / all_s);
    f->variance = about ? about_variance(all_s) : 0.0;
    return true;
}

static bool by_paper(const lev_store_step *s, const lev_store_entry *e,
                     lev_store_fact *f)
{
    const double step = lev_entry_figure("sheet_step");
    const double used = or_zero(s->done_sheets) + or_zero(e->sheets);
    if (!(used > 0.0) || !(s->predicted_sheets > 0.0) ||
        (used <= step && s->predicted_sheets <= step))
        return false; /* less than a torn piece: the paper was not worn out */
    f->quantity = LEV_QUANTITY_LIFE;
    f->ln_ratio = log(fmax(s->predicted_sheets, step) * s->life_factor / used);
    f->variance = rounding_variance(step, used);
    return true;
}

/* Lines of the step alone: the pores of a wood do not come from the grit. */
static bool by_texture(const lev_store_step *s, const lev_store_entry *e,
                       lev_store_fact *f)
{
    const double pores =
        strcmp(s->family, "wood") == 0 ? lev_cut_pore_floor_um(s->material) : 0.0;
    const double read2 = square(e->ra_um) - square(pores);
    const double said2 = square(s->predicted_ra_um) - square(pores);
    if (!(read2 > 0.1 * square(e->ra_um)) || !(said2 > 0.0))
        return false;
    f->quantity = LEV_QUANTITY_TEXTURE;
    f->ln_ratio = 0.5 * log(read2 / said2) + log(s->texture_factor);
    f->variance = 0.0;
    return true;
}

static bool by_gloss(const lev_store_step *s, const lev_store_entry *e,
                     lev_store_fact *f)
{
    if (!(e->gloss_gu > 0.0) || !(s->predicted_gu > 0.0))
        return false;
    f->quantity = LEV_QUANTITY_GLOSS;
    f->ln_ratio = log(e->gloss_gu * s->gloss_factor / s->predicted_gu);
    f->variance = 0.0;
    return true;
}

ptrdiff_t lev_log_facts(const lev_store_step *step, const lev_store_entry *e,
                        double weight_step_g, double lost_g, bool about, bool whole,
                        lev_store_fact *out)
{
    ptrdiff_t n = 0;
    const bool now = cleared(e->verdict), before = cleared(step->verdict);
    const bool first = now && !before;                     /* a step is cleared once */
    const bool counted = strcmp(step->kind, "grain") == 0; /* strokes, not depth */
    if (counted)
        whole = false;
    if (!counted && by_weight(step, e, weight_step_g, lost_g, &out[n]))
        n++;
    else if (first && whole && by_time(step, e, about, &out[n]))
        n++;
    if (first && !counted && by_paper(step, e, &out[n]))
        n++;
    if (now && by_texture(step, e, &out[n]))
        n++;
    if (now && by_gloss(step, e, &out[n]))
        n++;
    return n;
}

/* ---- what is odd ---- */

static bool odd_ratio(double actual, double planned)
{
    return planned > 0.0 && actual > lev_entry_figure("doubt_times") * planned;
}

static void say(char out[LEV_LOG_TEXT], const char *what, double is, double planned,
                const char *unit)
{
    (void)snprintf(out, LEV_LOG_TEXT, "%s %.3g %s where %.3g %s was planned", what, is,
                   unit, planned, unit);
}

void lev_log_doubt(const lev_store_step *s, const lev_store_entry *e,
                   char out[LEV_LOG_TEXT])
{
    const double min = 60.0, all_s = or_zero(s->done_s) + or_zero(e->work_s);
    const double used = or_zero(s->done_sheets) + or_zero(e->sheets);
    const double off = or_zero(s->done_um) + or_zero(e->off_um);
    out[0] = '\0';
    if (off > s->budget_um)
        (void)snprintf(out, LEV_LOG_TEXT,
                       "%.3g um off the face in all is more than its budget of %.3g um",
                       off, s->budget_um);
    else if (e->work_s > lev_entry_figure("long_stint"))
        (void)snprintf(out, LEV_LOG_TEXT, "%.3g h at one go is very long",
                       e->work_s / 3600.0);
    else if (odd_ratio(all_s, s->predicted_s))
        say(out, "the time comes to", all_s / min, s->predicted_s / min, "min");
    else if (cleared(e->verdict) && e->work_s > 0.0 && odd_ratio(s->predicted_s, all_s))
        say(out, "the step was cleared in", all_s / min, s->predicted_s / min, "min");
    else if (odd_ratio(used - 1.0, s->predicted_sheets))
        say(out, "the paper comes to", used, s->predicted_sheets, "sheets");
    else if (odd_ratio(e->off_um, s->predicted_um))
        say(out, "the depth comes to", e->off_um, s->predicted_um, "um");
    else if (odd_ratio(e->ra_um, s->predicted_ra_um) ||
             (cleared(e->verdict) && odd_ratio(s->predicted_ra_um, e->ra_um)))
        say(out, "the reading is Ra", e->ra_um, s->predicted_ra_um, "um");
}
