/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The response surface of the groove kernel (data/cut/response*.csv), evaluated. */
#ifndef CUT_RESPONSE_H
#define CUT_RESPONSE_H

#include "levigate/cut.h"

/* The dimensionless groups, in the order of the table response_group. */
enum {
    CUT_HARDNESS_RATIO, /* H / E_b */
    CUT_PRESSURE_RATIO, /* p / E_b */
    CUT_TIP_SPREAD,     /* tan of the half-angle */
    CUT_REMOVED_SHARE,
    CUT_LN_SIGMA,
    CUT_LEVELLED,
    CUT_GROUPS
};

typedef struct cut_response {
    /* kernel over closed form at the same groups */
    double ra, deepest, rho_long;
    /* over d50: depth that leaves 1/2, 1/5, 1/10 of a texture of grains twice the size
     */
    double clear_half, clear_fifth, clear_tenth;
    double ra_lnsd; /* what points left out miss by */
    bool outside;   /* a group lies outside the fitted range: its end was taken */
} cut_response;

cut_response cut_response_at(const double group[CUT_GROUPS]);

/* How a texture of grains twice the size dies, with this share of long waves:
 * left = (1 - share) exp(-r / rho_short) + share exp(-r / rho_long), so that 1/2 and
 * 1/10 are met; lengths over d50. */
typedef struct cut_two_parts {
    double rho_short, rho_long;
} cut_two_parts;

cut_two_parts cut_response_parts(const cut_response *r, double share);

#endif
