/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Who may ask what: checks on one request before anything else looks at it. Pure
 * functions of its headers, so that each rule has its test. */
#ifndef HTTP_GATE_H
#define HTTP_GATE_H

#include <stdbool.h>
#include <stddef.h>

enum { LEV_GATE_HOSTS = 40, LEV_GATE_HOST = 100, LEV_GATE_KEY = 33 };

typedef struct lev_gate {
    char host[LEV_GATE_HOSTS][LEV_GATE_HOST]; /* what Host may say, with the port */
    int hosts;
    bool tls;
    char key[LEV_GATE_KEY]; /* "" on loopback: none is asked for */
    char cookie[24];        /* name of the cookie that holds it */
} lev_gate;

/* Headers of one request; NULL: not sent. */
typedef struct lev_gate_ask {
    const char *method, *path, *host, *origin, *cookie, *type, *encoding, *own,
        *fetch_site;
    int hosts;    /* how many Host lines */
    bool strange; /* a control byte in some header */
} lev_gate_ask;

/** Allow a host name with a port; the port is left out where it is the usual one. */
void lev_gate_allow(lev_gate *gate, const char *name, int port);

/** 0 to go on, else the HTTP status to refuse with; *why = one sentence. */
int lev_gate_check(const lev_gate *gate, const lev_gate_ask *ask, const char **why);

/** The path is /k/ and the key: the visitor may have the cookie. */
bool lev_gate_is_key(const lev_gate *gate, const char *path);

/** A file comes here, not a job: it goes to the disk, not to memory. */
bool lev_gate_is_upload(const char *path);

/** Bytes of body this path takes. */
size_t lev_gate_body_max(const char *path);

#endif
