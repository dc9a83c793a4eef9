/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers that belong to the definitions of the parameters. */
#include "surface_inner.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "lev_tables.h"

double lev_texture(const char *id)
{
    for (int i = 0; i < LEV_TAB_TEXTURE_N; i++)
        if (strcmp(lev_tab_texture[i].id, id) == 0)
            return lev_tab_texture[i].value;
    assert(false && "a row of data/surface/texture.csv");
    return (double)NAN;
}
