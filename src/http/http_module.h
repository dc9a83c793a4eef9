/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The network side: a module loaded on first use, so that other verbs do not pay for
 * the HTTP and TLS libraries. It exports one symbol and is handed the function that
 * makes the answers. */
#ifndef HTTP_MODULE_H
#define HTTP_MODULE_H

#include "http.h"

typedef struct lev_http_setup {
    int port;                         /* 0: any free one */
    bool lan;                         /* every interface, behind a key; else loopback */
    bool open;                        /* show it in the desktop's browser */
    const char *certificate, *secret; /* PEM texts for TLS; NULL: plain HTTP */
    const char *shop;                 /* path of the shop's store, NULL: none */
    void (*answer)(const lev_http_ask *ask, lev_http_reply *reply);
} lev_http_setup;

enum { LEV_HTTP_API = 4 }; /* raised when a struct here or in http.h changes */

typedef struct lev_http_api {
    int version;
    /* Serve until SIGINT or SIGTERM. */
    lev_status (*serve)(const lev_http_setup *setup, lev_error *err);
} lev_http_api;

typedef const lev_http_api *(*lev_http_entry_fn)(void);
#define LEV_HTTP_ENTRY_NAME "lev_http_entry"

#endif
