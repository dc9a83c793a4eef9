/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Status texts and the one place where messages are written. */
#include "levigate/status.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const char *lev_status_text(lev_status st)
{
    switch (st) {
#define CASE(name, value, text)                                                        \
    case name:                                                                         \
        return text;
        LEV_STATUS_LIST(CASE)
#undef CASE
    }
    return "unknown status";
}

/* Drop a UTF-8 sequence that the cut at the end of the buffer left incomplete. */
static void trim_partial_char(char *text, size_t size)
{
    size_t n = strlen(text);
    if (n + 1 < size)
        return;
    size_t i = n;
    while (i > 0 && ((unsigned char)text[i - 1] & 0xC0U) == 0x80U)
        i--;
    if (i > 0 && ((unsigned char)text[i - 1] & 0x80U) != 0)
        text[i - 1] = '\0';
}

lev_status lev_fail(lev_error *err, lev_status st, const char *format, ...)
{
    if (err == NULL)
        return st;
    va_list ap;
    va_start(ap, format);
    err->status = st;
    (void)vsnprintf(err->text, sizeof err->text, format, ap);
    va_end(ap);
    trim_partial_char(err->text, sizeof err->text);
    return st;
}

lev_status lev_fail_at(lev_error *err, lev_status st, const char *where)
{
    if (err != NULL && st < 0 && err->where[0] == '\0') {
        (void)snprintf(err->where, sizeof err->where, "%s", where);
        trim_partial_char(err->where, sizeof err->where);
    }
    return st;
}
