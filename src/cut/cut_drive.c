/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drives and backings by id, from data/practice/. */
#include "cut_drive.h"

#include <math.h>
#include <string.h>

#include "lev_tables.h"
#include "num.h"

_Static_assert((int)LEV_TAB_DRIVE_N < (int)LEV_CUT_DRIVE_SLOTS,
               "a removal factor for each drive");

static int drive_row(const char *id)
{
    for (int i = 0; i < LEV_TAB_DRIVE_N; i++)
        if (strcmp(lev_tab_drive[i].id, id) == 0)
            return i;
    return -1;
}

static const lev_row_backing *backing_row(const char *id)
{
    for (int i = 0; i < LEV_TAB_BACKING_N; i++)
        if (strcmp(lev_tab_backing[i].id, id) == 0)
            return &lev_tab_backing[i];
    return NULL;
}

static double usual_push_n(const char *id)
{
    for (int i = 0; i < LEV_TAB_PUSH_N; i++)
        if (strcmp(lev_tab_push[i].id, id) == 0)
            return sqrt(lev_tab_push[i].low_n * lev_tab_push[i].high_n);
    return NAN;
}

static void set_pad(const lev_row_backing *row, cut_trust *trust, cut_drive *out)
{
    cut_trust_add(trust, row->mark);
    if (row->own_stack || !lev_known(row->pad_low_mpa))
        return;
    const double nu = cut_coef_get("poisson", "pad", trust);
    out->pad_mpa = sqrt(row->pad_low_mpa * row->pad_high_mpa) / (1.0 - nu * nu);
    out->pad_mm = lev_known(row->thickness_mm) ? row->thickness_mm : 0.0;
}

lev_status cut_drive_find(const char *drive, const char *backing, cut_trust *trust,
                          cut_drive *out, lev_error *err)
{
    const int slot = drive_row(drive);
    if (slot < 0)
        return lev_fail(err, LEV_E_UNKNOWN, "drive \"%.40s\" is not known", drive);
    const lev_row_drive *row = &lev_tab_drive[slot];
    const lev_row_backing *pad = backing_row(backing != NULL ? backing : row->backing);
    if (pad == NULL)
        return lev_fail(err, LEV_E_UNKNOWN, "backing \"%.40s\" is not known", backing);
    *out = (cut_drive){
        .id = row->id,
        .slot = slot,
        .push_n = sqrt(usual_push_n(row->push_low) * usual_push_n(row->push_high)),
        .contact_mm2 = row->contact_mm2,
        .speed_m_s = row->speed_m_s,
        .change_s = row->change_s};
    cut_trust_add(trust, row->mark);
    set_pad(pad, trust, out);
    return LEV_OK;
}
