/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the names people give to the structs the models take. */
#ifndef APP_RESOLVE_H
#define APP_RESOLVE_H

#include "lev_tables.h"
#include "levigate/cut.h"
#include "levigate/grit.h"
#include "levigate/material.h"

/* A work material with its state applied. */
typedef struct lev_resolved_work {
    lev_material material;
    lev_cut_work work;
    const char *hardness_from; /* words: what set the hardness */
    unsigned notes;
} lev_resolved_work;

/**
 * @param material  id, name or alias
 * @param state     words such as "tempered to blue", "half hard"; "" or NULL for none
 */
lev_status lev_resolve_work(const char *material, const char *state,
                            lev_resolved_work *out, lev_error *err);

/** The grains of a grit; notes are ORed into *notes. */
lev_status lev_resolve_grain(const lev_grit *g, lev_grain_dist *out, unsigned *notes,
                             lev_error *err);

/** The first reading of a marking; *notes gets LEV_NOTE_DEFAULT when others fit too. */
lev_status lev_resolve_marking(const char *marking, const char *system, lev_grit *out,
                               unsigned *notes, lev_error *err);

/** A drive by its id, with the nearest when it is none. */
lev_status lev_resolve_drive(const char *id, const lev_row_drive **out, lev_error *err);

/** A push in words of the push table or in kg on a kitchen scale; NULL: the drive's
 * usual. *row = the words it comes to (NULL beyond all of them). */
lev_status lev_resolve_push(const char *words, const lev_row_drive *drive,
                            double *push_n, const lev_row_push **row, lev_error *err);

/** The mineral by id, or the usual one for this grit on this family when id is "". */
lev_status lev_resolve_mineral(const char *id, const lev_grit *g, const char *family,
                               const lev_row_mineral **out, lev_error *err);

/** A fluid in people's words ("oil", "water with a drop of dish soap"). */
lev_status lev_resolve_fluid(const char *words, lev_cut_fluid *out, lev_error *err);

/** What a check can miss, as a multiple of the new grit's deepest line: the middle of
 * its band. Id of the check table. */
double lev_resolve_miss(const char *check);

#endif
