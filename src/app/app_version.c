/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The version, from the build. */
#include "levigate/levigate.h"

const char *lev_version(void)
{
    return LEV_VERSION;
}
