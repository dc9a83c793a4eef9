/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See http_kept.h. */
#include "http_kept.h"

#include <pthread.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>

#include "app_shop_job.h"
#include "mem.h"

typedef struct kept {
    char key[LEV_KEPT_KEY]; /* "": free */
    char *body;
    size_t n;
    unsigned long used; /* when it was asked for last */
} kept;

static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static kept all[LEV_KEPT_MAX];
static size_t bytes;
static unsigned long clock_of_asks;

/* A file of the store as it stands; false when it changed so lately that another change
 * might look the same. */
static bool add_state(lev_text *t, const char *store, const char *ending)
{
    struct stat s = {0};
    char path[LEV_SHOP_PATH];
    (void)snprintf(path, sizeof path, "%.4000s%s", store, ending);
    if (stat(path, &s) != 0) {
        lev_text_add(t, "none;");
        return true;
    }
    lev_text_print(t, "%lld.%09ld %lld %llu;", (long long)s.st_mtim.tv_sec,
                   s.st_mtim.tv_nsec, (long long)s.st_size,
                   (unsigned long long)s.st_ino);
    return (long long)s.st_mtim.tv_sec + LEV_KEPT_SETTLED_S <= (long long)time(NULL);
}

bool lev_http_kept_key(const lev_http_ask *ask, char key[LEV_KEPT_KEY])
{
    lev_text t = {0};
    bool good = true;
    lev_text_print(&t, "%s\n", ask->path);
    for (int i = 0; i < ask->params; i++)
        if (strcmp(ask->name[i], "work") != 0) /* a name for cancelling it */
            lev_text_print(&t, "%s=%s\n", ask->name[i], ask->value[i]);
    if (lev_http_param(ask, "log") != NULL || lev_http_param(ask, "drawer") != NULL)
        good = ask->shop != NULL && add_state(&t, ask->shop, "") &&
               add_state(&t, ask->shop, "-wal");
    lev_text_add(&t, "\n");
    lev_text_add_n(&t, ask->body, ask->body_n);
    good = good && t.st >= 0;
    if (good)
        lev_sha256(lev_text_get(&t), t.n, key);
    lev_text_release(&t);
    return good;
}

static void drop(kept *k)
{
    bytes -= k->n;
    lev_mem_free(k->body);
    *k = (kept){0};
}

static kept *find(const char *key)
{
    for (int i = 0; i < LEV_KEPT_MAX; i++)
        if (strcmp(all[i].key, key) == 0)
            return &all[i];
    return NULL;
}

bool lev_http_kept_find(const char *key, lev_http_reply *reply)
{
    char *body = NULL;
    size_t n = 0;
    (void)pthread_mutex_lock(&lock);
    kept *k = find(key);
    if (k != NULL && lev_mem_text(k->body, k->n, &body, NULL) >= 0) {
        n = k->n;
        k->used = ++clock_of_asks;
    }
    (void)pthread_mutex_unlock(&lock);
    if (body == NULL)
        return false;
    *reply = (lev_http_reply){
        .status = 200, .type = "application/json", .body = body, .n = n};
    return true;
}

/* A free place with room for n bytes; the longest unasked go. */
static kept *make_room(size_t n)
{
    for (;;) {
        kept *place = NULL, *oldest = NULL;
        for (int i = 0; i < LEV_KEPT_MAX; i++) {
            if (all[i].key[0] == '\0')
                place = &all[i];
            else if (oldest == NULL || all[i].used < oldest->used)
                oldest = &all[i];
        }
        if ((place != NULL && bytes + n <= LEV_KEPT_BYTES) || oldest == NULL)
            return place;
        drop(oldest);
    }
}

void lev_http_kept_add(const char *key, const lev_http_reply *reply)
{
    char *body = NULL;
    if (reply->status != 200 || reply->n > LEV_KEPT_ONE_BYTES ||
        lev_mem_text(reply->body, reply->n, &body, NULL) < 0)
        return;
    (void)pthread_mutex_lock(&lock);
    kept *k = find(key) == NULL ? make_room(reply->n) : NULL;
    if (k != NULL) {
        *k = (kept){.body = body, .n = reply->n, .used = ++clock_of_asks};
        memcpy(k->key, key, sizeof k->key);
        bytes += k->n;
        body = NULL;
    }
    (void)pthread_mutex_unlock(&lock);
    lev_mem_free(body);
}

void lev_http_kept_clear(void)
{
    (void)pthread_mutex_lock(&lock);
    for (int i = 0; i < LEV_KEPT_MAX; i++)
        if (all[i].key[0] != '\0')
            drop(&all[i]);
    (void)pthread_mutex_unlock(&lock);
}
