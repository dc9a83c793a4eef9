/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Printed things as replies. */
#ifndef HTTP_DRAWING_H
#define HTTP_DRAWING_H

#include "http.h"

/* Writes `what` to path, whose ending names the format. */
typedef lev_status lev_http_draw_fn(const void *what, const char *path, lev_error *err);

/** Draw and take the bytes. @param name  to save it under, NULL: to be shown */
lev_status lev_http_draw(lev_http_reply *reply, const char *name, const char *ending,
                         lev_http_draw_fn *draw, const void *what, lev_error *err);

/** The same where drawing is another process's work, which waits for nobody. */
lev_status lev_http_draw_apart(lev_http_reply *reply, const char *ending,
                               lev_http_draw_fn *draw, const void *what,
                               lev_error *err);

/** The parameter `format`: svg, pdf or png. */
lev_status lev_http_ending(const lev_http_ask *ask, const char *usual,
                           const char **ending, lev_error *err);

#endif
