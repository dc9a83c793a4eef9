/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Outcomes and messages.
 *
 * 0 is a result, a negative number is none. The message is written once, where the
 * facts are, into the caller's lev_error and handed up unchanged: one line, no full
 * stop, naming the offending value and what would be right. A reservation is not an
 * error: see lev_note in trust.h. */
#ifndef LEVIGATE_STATUS_H
#define LEVIGATE_STATUS_H

#ifdef __cplusplus
extern "C" {
#endif

#define LEV_STATUS_LIST(X)                                                             \
    X(LEV_OK, 0, "done")                                                               \
    X(LEV_E_RANGE, -1, "value outside the permitted range")                            \
    X(LEV_E_FORMAT, -2, "input is not in the expected format")                         \
    X(LEV_E_UNKNOWN, -3, "name not known")                                             \
    X(LEV_E_USAGE, -4, "wrong usage")                                                  \
    X(LEV_E_LIMIT, -5, "input larger than the limit")                                  \
    X(LEV_E_MEMORY, -6, "out of memory")                                               \
    X(LEV_E_IO, -7, "file could not be read or written")                               \
    X(LEV_E_SYSTEM, -8, "part of the system missing or refused")                       \
    X(LEV_E_CANCEL, -9, "cancelled")

#define LEV_STATUS_ENUM(name, value, text) name = value,
typedef enum lev_status { LEV_STATUS_LIST(LEV_STATUS_ENUM) } lev_status;
#undef LEV_STATUS_ENUM

/* Longest message kept, bytes with the final zero; longer ones are cut at a character.
 */
enum { LEV_ERROR_MAX = 400 };

typedef struct lev_error {
    lev_status status;
    char where[200]; /* file, file:line:column or a JSON path; "" when the caller adds
                        it */
    char text[LEV_ERROR_MAX];
} lev_error;

/** The text of a status, never NULL. */
const char *lev_status_text(lev_status st);

/** Write a message into err (may be NULL) and return st unchanged. */
#if defined(__GNUC__)
__attribute__((format(printf, 3, 4)))
#endif
lev_status
lev_fail(lev_error *err, lev_status st, const char *format, ...);

/** Note where the failure of st happened, unless that is already known; returns st. */
lev_status lev_fail_at(lev_error *err, lev_status st, const char *where);

/* Leave for `out:` with st set when an expression fails. */
#define LEV_TRY(expr)                                                                  \
    do {                                                                               \
        st = (expr);                                                                   \
        if (st < 0)                                                                    \
            goto out;                                                                  \
    } while (0)

#ifdef __cplusplus
}
#endif
#endif
