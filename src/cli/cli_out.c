/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Output and exit codes of the command line. */
#include "cli_out.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include "json.h"
#include "levigate/note.h"
#include "mem.h"

int lev_exit_code(lev_status st)
{
    switch (st) {
    case LEV_OK:
        return LEV_EXIT_DONE;
    case LEV_E_RANGE:
    case LEV_E_FORMAT:
    case LEV_E_UNKNOWN:
    case LEV_E_USAGE:
    case LEV_E_LIMIT:
        return LEV_EXIT_INPUT;
    case LEV_E_MEMORY:
    case LEV_E_IO:
    case LEV_E_SYSTEM:
    case LEV_E_CANCEL:
        break;
    }
    return LEV_EXIT_SYSTEM;
}

int lev_out_error(lev_status st, const lev_error *err)
{
    const char *text = err->text[0] != '\0' ? err->text : lev_status_text(st);
    if (err->where[0] != '\0')
        (void)fprintf(stderr, "levigate: %s: %s\n", err->where, text);
    else
        (void)fprintf(stderr, "levigate: %s\n", text);
    return lev_exit_code(st);
}

static lev_status put(const char *s, size_t n, lev_error *err)
{
    if (fwrite(s, 1, n, stdout) == n && fflush(stdout) == 0)
        return LEV_OK;
    (void)lev_fail(err, LEV_E_IO, "cannot be written: %s", strerror(errno));
    return lev_fail_at(err, LEV_E_IO, "standard output");
}

lev_status lev_out_text(lev_text *t, lev_error *err)
{
    const lev_status st = t->st < 0 ? lev_fail(err, t->st, "out of memory")
                                    : put(lev_text_get(t), t->n, err);
    lev_text_release(t);
    return st;
}

lev_status lev_out_json(json_t *reply, int failed, lev_error *err)
{
    char *s = NULL;
    lev_status st = lev_json_write(reply, failed, &s, err);
    json_decref(reply);
    if (st >= 0)
        st = put(s, strlen(s), err);
    lev_mem_free(s);
    return st;
}

int lev_out_columns(void)
{
    enum { USUAL = 80, LEAST = 40, MOST = 200 };
    struct winsize size = {0};
    const char *given = getenv("COLUMNS");
    long n = given != NULL ? strtol(given, NULL, 10) : 0;
    if (n <= 0 && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0)
        n = size.ws_col;
    if (n <= 0)
        n = USUAL;
    return (int)(n < LEAST ? LEAST : n > MOST ? MOST : n);
}

lev_units lev_out_units(const lev_args *a)
{
    const char *units = lev_args_text(a, "units");
    return units != NULL && lev_text_same(units, "inch") ? LEV_UNITS_INCH
                                                         : LEV_UNITS_METRIC;
}

void lev_out_notes(lev_text *t, unsigned notes)
{
    for (unsigned bit = 1; bit != 0; bit <<= 1)
        if ((notes & bit) != 0)
            lev_text_print(t, "note     %s\n", lev_note_text(bit));
}
