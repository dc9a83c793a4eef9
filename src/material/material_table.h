/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the parts of material/ share. */
#ifndef MATERIAL_TABLE_H
#define MATERIAL_TABLE_H

enum { LEV_MATERIAL_NAME = 160 }; /* bytes of the longest name compared */

/**
 * Lower case with every run of other signs than letters, digits and decimal points one
 * blank: the form in which names are compared.
 */
void lev_material_plain(const char *text, char out[LEV_MATERIAL_NAME]);

#endif
