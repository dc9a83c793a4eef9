/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Is everything as it should be: tables, model, store, files kept beside it. */
#ifndef APP_VERIFY_H
#define APP_VERIFY_H

#include "app_shop.h"

typedef enum lev_verify_part {
    LEV_VERIFY_DATA,
    LEV_VERIFY_MODEL,
    LEV_VERIFY_STORE,
    LEV_VERIFY_FILES,
    LEV_VERIFY_PARTS
} lev_verify_part;

typedef struct lev_verify_answer {
    ptrdiff_t checks[LEV_VERIFY_PARTS]; /* made; of a store that is not there none */
    bool good[LEV_VERIFY_PARTS];
    char wrong[LEV_VERIFY_PARTS]
              [LEV_ERROR_MAX + 200]; /* the first complaint; "" none */
    bool absent;                     /* there is no store yet */
} lev_verify_answer;

/** Check everything; a complaint is in the answer, not in the status.
 * @param path  of the store; one that cannot be opened is a complaint too */
lev_status lev_app_verify(const char *path, lev_verify_answer *out, lev_error *err);
bool lev_verify_is_good(const lev_verify_answer *a);

json_t *lev_app_verify_json(const lev_verify_answer *a, int *failed);
void lev_app_verify_text(lev_text *t, const lev_verify_answer *a);

#endif
