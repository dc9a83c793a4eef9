/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the parts of the network side share. */
#ifndef HTTP_SERVER_H
#define HTTP_SERVER_H

#include <microhttpd.h>

#include "http_events.h"
#include "http_gate.h"
#include "http_module.h"
#include "http_rate.h"

/* A file of the page, in the program: packed and as it is. */
typedef struct lev_asset {
    const char *path, *type, *etag;
    const unsigned char *packed, *packed_end, *plain, *plain_end;
} lev_asset;

extern const lev_asset lev_assets[];
extern const int lev_assets_n;

typedef struct lev_server {
    const lev_http_setup *setup;
    lev_gate gate;
    lev_events events;
    lev_rate rate;
} lev_server;

/* Call-backs of the HTTP library; cls is the lev_server. */
enum MHD_Result lev_server_ask(void *cls, struct MHD_Connection *c, const char *url,
                               const char *method, const char *version,
                               const char *data, size_t *n, void **request);
void *lev_server_line(void *cls, const char *uri, struct MHD_Connection *c);
void lev_server_done(void *cls, struct MHD_Connection *c, void **request,
                     enum MHD_RequestTerminationCode how);

/** Serve one file of the page; MHD_NO when there is none of that path. */
enum MHD_Result lev_server_asset(struct MHD_Connection *c, const char *path,
                                 bool *found);
/** The stream of news. */
enum MHD_Result lev_server_listen(lev_server *s, struct MHD_Connection *c);
/** Queue a reply with the headers every reply has, and drop it. */
enum MHD_Result lev_server_send(struct MHD_Connection *c, int status,
                                struct MHD_Response *r);
/** The same for a sentence, as JSON under /api/. */
enum MHD_Result lev_server_refuse(struct MHD_Connection *c, const char *path,
                                  int status, const char *why);

#endif
