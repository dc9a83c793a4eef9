/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The HTTP library alone, run as levigate runs it: what bench_http.py compares with. */
#include <microhttpd.h>
#include <signal.h>
#include <stdio.h>

static enum MHD_Result hello(void *cls, struct MHD_Connection *c, const char *url,
                             const char *method, const char *version, const char *data,
                             size_t *n, void **slot)
{
    static char text[] = "{\"hello\":1}\n";
    (void)cls, (void)url, (void)method, (void)version, (void)data, (void)n, (void)slot;
    struct MHD_Response *r =
        MHD_create_response_from_buffer(sizeof text - 1, text, MHD_RESPMEM_PERSISTENT);
    const enum MHD_Result queued = MHD_queue_response(c, MHD_HTTP_OK, r);
    MHD_destroy_response(r);
    return queued;
}

int main(void)
{
    int got = 0;
    sigset_t stop;
    (void)sigemptyset(&stop);
    (void)sigaddset(&stop, SIGTERM);
    (void)sigprocmask(SIG_BLOCK, &stop, NULL);
    struct MHD_Daemon *d = MHD_start_daemon(
        MHD_USE_THREAD_PER_CONNECTION | MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_POLL,
        0, NULL, NULL, hello, NULL, MHD_OPTION_END);
    if (d == NULL)
        return 3;
    (void)printf("http://127.0.0.1:%d/\n",
                 MHD_get_daemon_info(d, MHD_DAEMON_INFO_BIND_PORT)->port);
    (void)fflush(stdout);
    (void)sigwait(&stop, &got);
    MHD_stop_daemon(d);
    return 0;
}
