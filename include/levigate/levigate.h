/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The library as a whole. */
#ifndef LEVIGATE_LEVIGATE_H
#define LEVIGATE_LEVIGATE_H

#include "levigate/job.h"
#include "levigate/note.h"
#include "levigate/spread.h"
#include "levigate/status.h"
#include "levigate/trust.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Version of the program and the library, such as "0.1.0". */
const char *lev_version(void);

#ifdef __cplusplus
}
#endif
#endif
