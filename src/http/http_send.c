/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Replies: the headers every reply has, the files of the page, the stream of news. */
#include "http_server.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "mem.h"

enum { WAIT_S = 10, BLOCK = 4096 };

enum MHD_Result lev_server_send(struct MHD_Connection *c, int status,
                                struct MHD_Response *r)
{
    static const char *const headers[][2] = {
        {"X-Content-Type-Options", "nosniff"},
        {"X-Frame-Options", "DENY"},
        {"Referrer-Policy", "same-origin"},
        {"Cross-Origin-Opener-Policy", "same-origin"},
        {"Cross-Origin-Resource-Policy", "same-origin"},
        {"Content-Security-Policy",
         "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' "
         "blob: data:; connect-src 'self'; manifest-src 'self'; worker-src 'self'; "
         "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"},
    };
    if (r == NULL)
        return MHD_NO;
    for (size_t i = 0; i < sizeof headers / sizeof *headers; i++)
        (void)MHD_add_response_header(r, headers[i][0], headers[i][1]);
    const enum MHD_Result queued = MHD_queue_response(c, (unsigned)status, r);
    MHD_destroy_response(r);
    return queued;
}

enum MHD_Result lev_server_refuse(struct MHD_Connection *c, const char *path,
                                  int status, const char *why)
{
    char body[400];
    const bool api = strncmp(path, "/api/", 5) == 0;
    const int n =
        api ? snprintf(body, sizeof body,
                       "{\"levigate_json\":1,\"code\":\"%s\",\"error\":{\"text\":"
                       "\"%s\"}}\n",
                       lev_http_code(status), why)
            : snprintf(body, sizeof body,
                       "<!doctype html><html lang=en><title>levigate</title>"
                       "<p>%s\n",
                       why);
    struct MHD_Response *r =
        MHD_create_response_from_buffer((size_t)n, body, MHD_RESPMEM_MUST_COPY);
    if (r == NULL)
        return MHD_NO;
    (void)MHD_add_response_header(
        r, "Content-Type", api ? "application/json" : "text/html; charset=utf-8");
    (void)MHD_add_response_header(r, "Cache-Control", "no-store");
    return lev_server_send(c, status, r);
}

/* ---- files of the page ---- */

static bool takes_gzip(struct MHD_Connection *c)
{
    const char *s = MHD_lookup_connection_value(c, MHD_HEADER_KIND, "Accept-Encoding");
    const char *at = s != NULL ? strstr(s, "gzip") : NULL;
    return at != NULL && strncmp(at + 4, ";q=0", 4) != 0;
}

static enum MHD_Result send_asset(struct MHD_Connection *c, const lev_asset *a)
{
    const char *known =
        MHD_lookup_connection_value(c, MHD_HEADER_KIND, "If-None-Match");
    const bool same = known != NULL && strcmp(known, a->etag) == 0;
    const bool gzip = takes_gzip(c);
    const unsigned char *from = gzip ? a->packed : a->plain;
    const unsigned char *end = gzip ? a->packed_end : a->plain_end;
    struct MHD_Response *r = MHD_create_response_from_buffer(
        same ? 0 : (size_t)(end - from), (void *)(uintptr_t)from,
        MHD_RESPMEM_PERSISTENT);
    if (r == NULL)
        return MHD_NO;
    if (gzip && !same)
        (void)MHD_add_response_header(r, "Content-Encoding", "gzip");
    (void)MHD_add_response_header(r, "Content-Type", a->type);
    (void)MHD_add_response_header(r, "ETag", a->etag);
    (void)MHD_add_response_header(r, "Vary", "Accept-Encoding");
    (void)MHD_add_response_header(r, "Cache-Control", "no-cache");
    if (strcmp(a->path, "/sw.js") == 0)
        (void)MHD_add_response_header(r, "Service-Worker-Allowed", "/");
    return lev_server_send(c, same ? 304 : 200, r);
}

enum MHD_Result lev_server_asset(struct MHD_Connection *c, const char *path,
                                 bool *found)
{
    *found = false;
    for (int i = 0; i < lev_assets_n; i++)
        if (strcmp(lev_assets[i].path, path) == 0) {
            *found = true;
            return send_asset(c, &lev_assets[i]);
        }
    return MHD_NO;
}

/* ---- news ---- */

typedef struct listener {
    lev_server *server;
    unsigned long seen;
} listener;

static ssize_t next_news(void *cls, uint64_t at, char *out, size_t max)
{
    listener *l = cls;
    (void)at;
    const long n = lev_events_next(&l->server->events, &l->seen, WAIT_S, out, max);
    if (n < 0)
        return MHD_CONTENT_READER_END_OF_STREAM;
    return n < (long)max ? n : (ssize_t)max;
}

static void leave(void *cls)
{
    listener *l = cls;
    lev_events_leave(&l->server->events);
    lev_mem_free(l);
}

enum MHD_Result lev_server_listen(lev_server *s, struct MHD_Connection *c)
{
    const char *seen = MHD_lookup_connection_value(c, MHD_HEADER_KIND, "Last-Event-ID");
    void *p = NULL;
    if (lev_mem_new(1, sizeof(listener), &p, NULL) < 0)
        return MHD_NO;
    if (!lev_events_join(&s->events)) {
        lev_mem_free(p);
        return lev_server_refuse(c, "/api/", 503, "too many pages listen already");
    }
    listener *l = p;
    *l = (listener){.server = s, .seen = s->events.last};
    if (seen != NULL)
        l->seen = strtoul(seen, NULL, 10);
    struct MHD_Response *r =
        MHD_create_response_from_callback(MHD_SIZE_UNKNOWN, BLOCK, next_news, l, leave);
    if (r == NULL) {
        leave(l);
        return MHD_NO;
    }
    (void)MHD_add_response_header(r, "Content-Type", "text/event-stream");
    (void)MHD_add_response_header(r, "Cache-Control", "no-store");
    return lev_server_send(c, 200, r);
}
