/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a line of the log: read or refused with one line; what is read can be.
 */
#include "fuzz.h"

#include "app_log_line.h"
#include "mem.h"

static void look(const char *text, bool headed, bool comma_ok)
{
    lev_log_line l;
    lev_error err = {0};
    if (lev_log_line_read(text, headed, comma_ok, &l, &err) < 0) {
        if (err.text[0] == '\0' || strchr(err.text, '\n') != NULL)
            abort();
        return;
    }
    if (l.work_s <= 0.0 || l.after_g > l.before_g || l.rt_um < l.rz_um ||
        l.rq_um < l.ra_um || (!headed && l.number < 1))
        abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = NULL;
    if (lev_mem_text((const char *)data, size, &text, NULL) < 0)
        return 0;
    look(text, false, false);
    look(text, true, true);
    lev_mem_free(text);
    return 0;
}
