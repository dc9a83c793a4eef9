/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The module's only exported symbol. */
#include "card_job.h"

__attribute__((visibility("default"))) const lev_card_api *lev_card_entry(void);

const lev_card_api *lev_card_entry(void)
{
    static const lev_card_api api = {LEV_CARD_API, card_job,    card_chart,
                                     card_labels,  card_report, card_sheet};
    return &api;
}
