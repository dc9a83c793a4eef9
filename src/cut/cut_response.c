/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quadratics of the logarithms over the groups, as tools/mkresponse and tools/mkratio
 * fitted them. Outside the range the nearest point of it is taken: a factor on the
 * closed form then stays what it is at the border, and says so. */
#include "cut_response.h"

#include <assert.h>
#include <math.h>
#include <string.h>

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
        outside = outside || share < -1e-6 || share > 1.0 + 1e-6;
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
                          .clear_tenth = value_at("clear_tenth", x),
                          .ra_lnsd = left_out("ra_ratio"),
                          .outside = outside};
}

/* Each part from the other in turn: at 1/10 the short one has all but gone, so that few
 * turns do. Bounded, since both depths scatter by a tenth: slower than the long part
 * the short one cannot be. */
cut_two_parts cut_response_parts(const cut_response *r, double share)
{
    enum { TURNS = 20 };
    const double fastest = 100.0; /* times the long part */
    double a_long = log(share / 0.1) / r->clear_tenth, a_short = fastest * a_long;
    for (int i = 0; i < TURNS; i++) {
        const double rest =
            (0.5 - share * exp(-a_long * r->clear_half)) / (1.0 - share);
        a_short = rest > 0.0 ? -log(rest) / r->clear_half : fastest * a_long;
        a_short = fmin(fmax(a_short, a_long), fastest * a_long);
        const double tenth = 0.1 - (1.0 - share) * exp(-a_short * r->clear_tenth);
        if (tenth > 0.0)
            a_long = log(share / tenth) / r->clear_tenth;
    }
    return (cut_two_parts){.rho_short = 1.0 / a_short, .rho_long = 1.0 / a_long};
}
