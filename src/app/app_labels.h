/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Labels for the drawer: what each medium is in micrometres, to be stuck on its back.
 */
#ifndef APP_LABELS_H
#define APP_LABELS_H

#include "app_shop.h"

/**
 * One label a line of the drawer (or of the one line, when `line` is not 0): marking,
 * true size, system and method, mineral and carrier, a QR square that says the same.
 * @param path   .pdf, .svg or .png
 * @param paper  "A4" or "Letter"
 * @param labels how many were drawn
 * @return LEV_E_UNKNOWN for no such line, LEV_E_USAGE for an empty drawer; what the
 *         drawing says
 */
lev_status lev_app_labels(const lev_shop *shop, int64_t line, const char *path,
                          const char *paper, lev_units units, ptrdiff_t *labels,
                          lev_error *err);

#endif
