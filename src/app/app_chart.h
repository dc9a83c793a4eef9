/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The wall chart of all grit systems. */
#ifndef APP_CHART_H
#define APP_CHART_H

#include "levigate/status.h"

/** Write the chart to path (.pdf, .svg, .png). @param paper  "A2" or "A3" */
lev_status lev_app_chart(const char *path, const char *paper, lev_error *err);

#endif
