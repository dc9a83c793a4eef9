/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A photo checked and made small. */
#ifndef APP_PICTURE_H
#define APP_PICTURE_H

#include <jansson.h>

#include "app_words.h"
#include "photo_small.h"

enum { LEV_PICTURE_SIDE = 480 }; /* of a small one, when nothing is said */

/** Read a photo whole; write it small to `output` (NULL: only look). */
lev_status lev_app_picture(const char *path, int side, const char *output,
                           lev_photo_facts *out, lev_error *err);
json_t *lev_app_picture_json(const lev_photo_facts *f, int *failed);
void lev_app_picture_text(lev_text *t, const lev_photo_facts *f);

#endif
