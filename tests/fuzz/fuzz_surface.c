/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a surface file of any format: read or refused with one line, never a
 * fault. The content picks the format, so one corpus folder a format drives them all.
 */
#include "fuzz.h"

#include "format.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const lev_surface_hint hint = {.dx_um = 1.0, .z_unit_um = 1.0};
    lev_surface s = {0};
    lev_error err = {0};
    if (lev_surface_parse(data, size, &hint, &s, &err) < 0 &&
        (err.text[0] == '\0' || strchr(err.text, '\n') != NULL))
        abort();
    lev_surface_release(&s);
    return 0;
}
