/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a drive brings: usual push, contact, speed, and what stands behind the sheet. */
#ifndef CUT_DRIVE_H
#define CUT_DRIVE_H

#include "cut_coef.h"

typedef struct cut_drive {
    const char *id;
    int slot; /* of its removal factor */
    double push_n;
    double contact_mm2;
    double speed_m_s;
    double change_s;
    double pad_mpa, pad_mm; /* E / (1 - nu^2); 0 where nothing soft stands behind */
} cut_drive;

/** Drive by id of the drive table, its pad replaced by backing (id of the backing
 * table) where that is not NULL. */
lev_status cut_drive_find(const char *drive, const char *backing, cut_trust *trust,
                          cut_drive *out, lev_error *err);

#endif
