/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The texts of the reservations. */
#include "levigate/note.h"

const char *lev_note_text(unsigned bit)
{
    switch (bit) {
#define CASE(name, value, text)                                                        \
    case value:                                                                        \
        return text;
        LEV_NOTE_LIST(CASE)
#undef CASE
    default:
        return "";
    }
}
