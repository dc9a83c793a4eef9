/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every word that the drawing itself puts on paper, in one place. */
#ifndef CARD_WORDS_H
#define CARD_WORDS_H

#define WORD_DANGER  "DANGER"
#define WORD_WARNING "WARNING"
#define WORD_NOTE    "NOTE"

#define WORD_START "Now"
#define WORD_WANT  "Wanted"
#define WORD_NEXT  "Then"

#define WORD_BEFORE    "BEFORE YOU TOUCH IT"
#define WORD_RECOVER   "GO BACK"
#define WORD_NOT_SO    "NOT THIS WAY"
#define WORD_LEAVE     "LEAVE IT ALONE"
#define WORD_WHY       "Why"
#define WORD_HELP      "What would help"
#define WORD_INSTEAD   "Do this instead"
#define WORD_MORE      "More cautions"
#define WORD_MORE_BACK "More cautions on the last page of this face."
#define WORD_MORE_ALL                                                                  \
    "More cautions at the end of this face and on the last page of the card."
#define WORD_EVERY   "every face"
#define WORD_FOR_ALL "Cautions for every face of this job"

#define WORD_FLUID   "Fluid"
#define WORD_UNTIL   "UNTIL"
#define WORD_STOP_IF "STOP IF"
#define WORD_GATE    "GATE: full check with lens"
#define WORD_CLEAN   "Clean down: hands, cloth, bench"
#define WORD_GLUE    "glue a\ncorner of\nthis paper\nhere"
#define WORD_LENGTH  "\xE2\x86\x90 length \xE2\x86\x92"
#define WORD_MINUTES "min"
#define WORD_BY      "by"

#define WORD_STROKE_FRO     "To and fro"
#define WORD_STROKE_ONE     "One way only"
#define WORD_STROKE_CIRCLES "Small circles"
#define WORD_STROKE_ORBITAL "Along the arrow"
#define WORD_STROKE_ANY     "Any direction"

#define WORD_HANDS_ON "Hands on"
#define WORD_WAITING  "Waiting"
#define WORD_PAPER    "Paper"
#define WORD_COST     "Cost"
#define WORD_REMOVAL  "Takes off"
#define WORD_REALLY   "in fact"
#define WORD_TOTAL    "The whole face"

#define WORD_WRONG "What went wrong:"
#define WORD_NOTES "Notes:"
#define WORD_SCALE "100 mm over 4 in, when printed at true size"
#define WORD_PAGE  "page %d of %d"
#define WORD_SHEET "sheet %d"

#define WORD_FINER     "finer"
#define WORD_COARSER   "coarser"
#define WORD_AXIS      "grain size, \xC2\xB5m"
#define WORD_KEY_BAR   "bar: from the fine limit to the coarse limit of the grit"
#define WORD_KEY_TICK  "tick: median, half the grains (by volume) on each side"
#define WORD_KEY_ALONE "tick alone: only a middle or average size is published"
#define WORD_KEY_OPEN  "no tick: only a range is published"
#define WORD_KEY_HATCH "hatched or hollow: figures from memory, not to be trusted alone"

#endif
