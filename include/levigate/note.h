/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reservations: what a result owes to guesses. They are ORed upward from everything a
 * result used and shown to the person; they are no errors. */
#ifndef LEVIGATE_NOTE_H
#define LEVIGATE_NOTE_H

#ifdef __cplusplus
extern "C" {
#endif

#define LEV_NOTE_LIST(X)                                                               \
    X(LEV_NOTE_EXTRAPOLATED, 0x001U, "outside the range the model was fitted in")      \
    X(LEV_NOTE_MEMORY, 0x002U, "rests on figures from memory, not yet checked")        \
    X(LEV_NOTE_PRACTICE, 0x004U, "rests on common practice without published source")  \
    X(LEV_NOTE_DEFAULT, 0x008U, "a usual value was assumed where none was given")      \
    X(LEV_NOTE_METHODS, 0x010U, "sizes were measured by different methods")            \
    X(LEV_NOTE_NO_SPREAD, 0x020U, "no published spread of sizes: a usual one assumed") \
    X(LEV_NOTE_LOW, 0x040U, "the published figure itself is uncertain")                \
    X(LEV_NOTE_RANGE_ONLY, 0x080U, "only a range of sizes is published, no median")    \
    X(LEV_NOTE_DISAGREE, 0x100U, "published sources disagree")                         \
    X(LEV_NOTE_OUTSIDE, 0x200U, "the model does not claim to hold here")               \
    X(LEV_NOTE_LOG, 0x400U, "corrected by the shop's own log")                         \
    X(LEV_NOTE_NOT_EXACT, 0x800U, "search stopped early: good, not proved best")       \
    X(LEV_NOTE_SHORT, 0x1000U, "the paper at hand may run out")                        \
    X(LEV_NOTE_JUMP, 0x2000U, "a bigger jump in size than shops make: look twice there")

#define LEV_NOTE_ENUM(name, value, text) name = value,
typedef enum lev_note { LEV_NOTE_NONE = 0, LEV_NOTE_LIST(LEV_NOTE_ENUM) } lev_note;
#undef LEV_NOTE_ENUM

/** The text of one bit, "" for none. */
const char *lev_note_text(unsigned bit);

#ifdef __cplusplus
}
#endif
#endif
