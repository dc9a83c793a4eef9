/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which cut-off belongs to which roughness: data/surface/cutoff.csv. */
#include "levigate/surface.h"

#include <math.h>
#include <string.h>

#include "levigate/note.h"
#include "levigate/trust.h"
#include "lev_tables.h"
#include "num.h"
#include "text.h"
#include "surface_inner.h"
#include "units.h"

static const char *rule_key(lev_rule rule)
{
    return rule == LEV_RULE_ISO4287 ? "iso4287" : "iso21920";
}

/* Ends of the row's interval for a symbol, um; NaN for an end the row has not. */
static bool row_interval(const lev_row_cutoff *r, const char *symbol, double *from_um,
                         double *to_um)
{
    if (lev_text_same(symbol, "Ra")) {
        *from_um = r->ra_from_um;
        *to_um = r->ra_to_um;
    } else if (lev_text_same(symbol, "Rz")) {
        *from_um = r->rz_from_um;
        *to_um = r->rz_to_um;
    } else if (lev_text_same(symbol, "RSm")) {
        *from_um = r->rsm_from_mm * LEV_UM_PER_MM;
        *to_um = r->rsm_to_mm * LEV_UM_PER_MM;
    } else {
        return false;
    }
    return true;
}

static void fill_cutoff(const lev_row_cutoff *r, double to_um, lev_cutoff *out)
{
    *out = (lev_cutoff){
        .id = r->id,
        .lc_mm = r->lc_mm,
        .ls_um = r->ls_um,
        .le_mm = r->lc_mm * lev_texture("sections"),
        .tip_um = r->tip_um,
        .spacing_um = r->spacing_um,
        .to_um = lev_known(to_um) ? to_um : (double)INFINITY,
        .notes = r->mark == LEV_MARK_MEMORY ? LEV_NOTE_MEMORY : LEV_NOTE_NONE,
    };
}

lev_status lev_cutoff_choose(lev_rule rule, const char *symbol, double value_um,
                             lev_cutoff *out, lev_error *err)
{
    double from = 0.0, to = 0.0;
    if (!(value_um >= 0.0) || !isfinite(value_um))
        return lev_fail(err, LEV_E_RANGE, "%s of %g um; a number above 0", symbol,
                        value_um);
    for (int i = 0; i < LEV_TAB_CUTOFF_N; i++) {
        const lev_row_cutoff *r = &lev_tab_cutoff[i];
        if (strcmp(r->rule, rule_key(rule)) != 0)
            continue;
        if (!row_interval(r, symbol, &from, &to))
            return lev_fail(err, LEV_E_UNKNOWN,
                            "no cut-off table for %s; Ra, Rz or RSm", symbol);
        if (!lev_known(from))
            continue;
        if (value_um <= to || !lev_known(to)) {
            fill_cutoff(r, to, out);
            return LEV_OK;
        }
    }
    return lev_fail(err, LEV_E_RANGE, "%s of %g um is outside the table of %s", symbol,
                    value_um, rule == LEV_RULE_ISO4287 ? "ISO 4288" : "ISO 21920-3");
}

lev_status lev_cutoff_at_most(lev_rule rule, double lc_mm, lev_cutoff *out,
                              lev_error *err)
{
    const lev_row_cutoff *best = NULL;
    for (int i = 0; i < LEV_TAB_CUTOFF_N; i++) {
        const lev_row_cutoff *r = &lev_tab_cutoff[i];
        if (strcmp(r->rule, rule_key(rule)) == 0 &&
            (best == NULL || r->lc_mm <= lc_mm * (1.0 + 1e-9)))
            best = r;
    }
    if (!(lc_mm > 0.0) || !isfinite(lc_mm) || best == NULL)
        return lev_fail(err, LEV_E_RANGE, "cut-off of %g mm; a number above 0", lc_mm);
    fill_cutoff(best, best->ra_to_um, out);
    return LEV_OK;
}

lev_status lev_cutoff_of_lc(lev_rule rule, double lc_mm, lev_cutoff *out,
                            lev_error *err)
{
    const lev_status st = lev_cutoff_at_most(rule, lc_mm, out, err);
    if (st < 0)
        return st;
    out->lc_mm = lc_mm;
    out->le_mm = lc_mm * lev_texture("sections");
    return LEV_OK;
}
