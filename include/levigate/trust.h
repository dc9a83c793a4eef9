/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a figure is known. Every row of data/ carries one of these marks, and a result
 * carries the weakest mark of all the figures it rests on.
 */
#ifndef LEVIGATE_TRUST_H
#define LEVIGATE_TRUST_H

#ifdef __cplusplus
extern "C" {
#endif

/**
 * The closed list of marks: name, text as written in data/, rank, meaning.
 * Rank 1 is the strongest; a larger rank is weaker, and no two ranks are equal.
 */
#define LEV_MARK_LIST(X)                                                               \
    X(READ, "read", 1, "seen in the source or in a faithful reproduction of it")       \
    X(ABSTRACT, "abstract", 3, "only the abstract or first page of the source seen")   \
    X(SECOND_HAND, "second-hand", 4, "seen quoted elsewhere")                          \
    X(DERIVED, "derived", 5, "computed from other rows or from geometry")              \
    X(FITTED, "fitted", 6, "fitted to published data")                                 \
    X(PRACTICE, "practice", 7, "common practice, no published source")                 \
    X(MEMORY, "memory", 8, "recalled, not checked against the source")                 \
    X(LOG, "log", 2, "learned from the shop's own log")                                \
    X(INVENTED, "invented", 9, "made up for an example")

/** Zero is no mark at all, so that a cleared struct never claims to have been read. */
typedef enum lev_mark {
    LEV_MARK_UNSET = 0,
#define LEV_MARK_ENUM(name, text, rank, meaning) LEV_MARK_##name,
    LEV_MARK_LIST(LEV_MARK_ENUM)
#undef LEV_MARK_ENUM
        LEV_MARK_END
} lev_mark;

/** The mark as written in data/, "unset" for LEV_MARK_UNSET or a value outside the
 * list. */
const char *lev_mark_name(lev_mark mark);

/** What the mark means, in words for a person; "" outside the list. */
const char *lev_mark_meaning(lev_mark mark);

/**
 * The weaker of two marks. LEV_MARK_UNSET (or a value outside the list) counts as
 * nothing known yet: the other mark is returned, so a loop may start from it.
 */
lev_mark lev_mark_weaker(lev_mark a, lev_mark b);

#ifdef __cplusplus
}
#endif

#endif
