/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quadratics of the logarithms over the groups, as tools/mkresponse and tools/mkratio
 * fitted them. Outside the range the nearest point of it is taken: a factor on the
 * closed form then stays what it is at the border, and says so. */
#include "cut_response.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "cut_coef.h"
#include "lev_tables.h"

enum { TERMS = 1 + CUT_GROUPS + CUT_GROUPS * (CUT_GROUPS + 1) / 2 };

/* The rows of one quantity stand together, in the order of the terms. */
static const lev_row_response_fit *rows_of(const char *quantity)
{
    int i = 0;
    while (i < LEV_TAB_RESPONSE_FIT_N &&
           strcmp(lev_tab_response_fit[i].quantity, quantity) != 0)
        i += TERMS;
    assert(i < LEV_TAB_RESPONSE_FIT_N);
    return &lev_tab_response_fit[i];
}

static double left_out(const char *quantity)
{
    for (int i = 0; i < LEV_TAB_RESPONSE_ERROR_N; i++)
        if (strcmp(lev_tab_response_error[i].id, quantity) == 0)
            return lev_tab_response_error[i].left_out_lnsd;
    return 0.0;
}

static bool terms_at(const double group[CUT_GROUPS], double x[TERMS])
{
    double u[CUT_GROUPS];
    bool outside = false;
    int n = 1;
    static_assert((int)LEV_TAB_RESPONSE_GROUP_N == (int)CUT_GROUPS, "six groups");
    for (int g = 0; g < CUT_GROUPS; g++) {
        const lev_row_response_group *const r = &lev_tab_response_group[g];
        const double share = r->logarithm
                                 ? log(group[g] / r->low) / log(r->high / r->low)
                                 : (group[g] - r->low) / (r->high - r->low);
        const bool narrow =
            g == CUT_LN_SIGMA && group[g] >= cut_coef_get("narrow", "sigma", NULL);
        outside = outside || (share < -1e-6 && !narrow) || share > 1.0 + 1e-6;
        u[g] = 2.0 * fmin(fmax(share, 0.0), 1.0) - 1.0;
    }
    x[0] = 1.0;
    for (int g = 0; g < CUT_GROUPS; g++)
        x[n++] = u[g];
    for (int g = 0; g < CUT_GROUPS; g++)
        for (int k = g; k < CUT_GROUPS; k++)
            x[n++] = u[g] * u[k];
    return outside;
}

static double value_at(const char *quantity, const double x[TERMS])
{
    const lev_row_response_fit *const row = rows_of(quantity);
    double y = 0.0;
    for (int i = 0; i < TERMS; i++)
        y += row[i].value * x[i];
    return exp(y);
}

cut_response cut_response_at(const double group[CUT_GROUPS])
{
    double x[TERMS];
    const bool outside = terms_at(group, x);
    return (cut_response){.ra = value_at("ra_ratio", x),
                          .deepest = value_at("deepest_ratio", x),
                          .rho_long = value_at("rho_long_ratio", x),
                          .clear_half = value_at("clear_half", x),
                          .clear_fifth = value_at("clear_fifth", x),
                          .ra_lnsd = left_out("ra_ratio"),
                          .clear_lnsd = left_out("clear_fifth"),
                          .outside = outside};
}

/* The short part is gone at 1/5, so the share of the long part follows from there;
 * bounded, since both depths scatter by a tenth. */
cut_two_parts cut_response_parts(const cut_response *r, double rho_long)
{
    const double least = 0.3, most = 0.9;
    const double share = fmin(fmax(0.2 * exp(r->clear_fifth / rho_long), least), most);
    const double short_left =
        (0.5 - share * exp(-r->clear_half / rho_long)) / (1.0 - share);
    const double e_folds =
        short_left > 0.0 && short_left < 1.0 ? -log(short_left) : 0.0;
    return (cut_two_parts){
        .share = share,
        /* slower than the long part it cannot be, nor faster than a tenth of it */
        .rho_short = fmin(
            fmax(e_folds > 0.0 ? r->clear_half / e_folds : rho_long, 0.1 * rho_long),
            rho_long)};
}
