/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parts of the program that are loaded on first use, so that a verb which draws nothing
 * does not pay for the drawing libraries. */
#ifndef APP_BACKEND_H
#define APP_BACKEND_H

#include "file.h"
#include "format.h"
#include "levigate/card.h"
#include "levigate/status.h"

/** The drawing module; it stays loaded. LEV_E_SYSTEM when it is missing or of another
 * build, saying where it was looked for. */
lev_status lev_backend_card(const lev_card_api **out, lev_error *err);

/** The module of surface formats, in the same way. */
lev_status lev_backend_formats(const lev_format_api **out, lev_error *err);

/** A symbol of the module that serves the page, which stands in a row above this one
 * (http_module.h); it stays loaded. */
lev_status lev_backend_serve(const char *entry, void **out, lev_error *err);

/** Format by the ending of a file name: .pdf, .svg, .png; LEV_E_USAGE otherwise. */
lev_status lev_backend_format(const char *path, lev_card_format *out, lev_error *err);

/* What a drawing writes to: a file that appears only when it is whole. */
typedef struct lev_drawing {
    lev_sink sink;
    lev_error *err;
    lev_card_out out;
} lev_drawing;

/** Open path for a drawing; give &d->out to the module, then commit. */
lev_status lev_drawing_open(lev_drawing *d, const char *path, lev_error *err);
lev_status lev_drawing_commit(lev_drawing *d, lev_error *err);
void lev_drawing_release(lev_drawing *d);

/** Today for printed things, from SOURCE_DATE_EPOCH or the clock: YYYY-MM-DD. */
void lev_today(char out[11]);

#endif
