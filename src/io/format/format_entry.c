/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The module's only symbol. */
#include "format.h"

/* Loaded by name at run time, hence declared here and not in a header. */
__attribute__((visibility("default"))) const lev_format_api *lev_format_entry(void);

const lev_format_api *lev_format_entry(void)
{
    static const lev_format_api api = {LEV_FORMAT_API, lev_surface_read,
                                       lev_surface_write, lev_photo_small};
    return &api;
}
