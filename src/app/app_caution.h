/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cautions: which rows of data/safety apply to a piece of work, danger first. */
#ifndef APP_CAUTION_H
#define APP_CAUTION_H

#include <stdbool.h>
#include <stddef.h>

#include "levigate/status.h"
#include "lev_tables.h"
#include "text.h"

enum { LEV_WORK_WORDS = 32, LEV_CAUTIONS_MAX = 128 };

/* Words a piece of work answers to: material ids and families, processes, tools. */
typedef struct lev_work_words {
    const char *material[LEV_WORK_WORDS], *process[LEV_WORK_WORDS],
        *tool[LEV_WORK_WORDS];
    int materials, processes, tools;
    const char *said[LEV_WORK_WORDS]; /* names and states as the person told them */
    int sayings;
} lev_work_words;

/* Each adds one word once; words are borrowed. */
void lev_work_material(lev_work_words *w, const char *word);
void lev_work_process(lev_work_words *w, const char *word);
void lev_work_tool(lev_work_words *w, const char *word);

/** Add a text the person gave: rows that fit any work but name a circumstance ("clock
 * or other spring-driven work") apply when one of its words was said. */
void lev_work_said(lev_work_words *w, const char *text);

/** Add what a drive means in processes and tools, dry or wet. */
void lev_work_drive(lev_work_words *w, const char *drive, bool wet);
/** Add what goes on afterwards: oil brings rags, lacquer brings lacquer. */
void lev_work_next(lev_work_words *w, const char *next);
/** Add a material by its id, its family and the kinds its id stands for. */
void lev_work_material_id(lev_work_words *w, const char *id, const char *family);

/** The rows that apply: danger, warning, info; within these what is about the material
 * first, then about the process or tool, then general; then by rank. */
int lev_cautions(const lev_work_words *w, const lev_row_safety *out[LEV_CAUTIONS_MAX]);

/** The caution as it is shown, after the case it is for. */
void lev_caution_words(lev_text *t, const lev_row_safety *row);

/* ---- leave it alone ---- */

/** The rule of data/safety/leave_alone.csv that this face falls under, NULL for none.
 * @param state  the words a person gave for the state of the face */
const lev_row_leave_alone *lev_leave_alone(const char *material, const char *state);

/** The standing line of deference, printed on every card. */
const char *lev_deference(void);

#endif
