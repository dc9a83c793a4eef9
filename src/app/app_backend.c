/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Loading the drawing module. See app_backend.h. */
#include "app_backend.h"

#include <dlfcn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "num.h"
#include "text.h"

enum { PATH_BYTES = 4096 };

/* The folder of this program, "" when unknown. */
static void own_folder(char out[PATH_BYTES])
{
    const ssize_t n = readlink("/proc/self/exe", out, PATH_BYTES - 1);
    out[n > 0 ? n : 0] = '\0';
    char *slash = strrchr(out, '/');
    if (slash != NULL)
        *slash = '\0';
    else
        out[0] = '\0';
}

/* Beside the program in a build tree, else where it was installed. */
static void *open_module(const char *name, char tried[PATH_BYTES])
{
    char folder[PATH_BYTES];
    own_folder(folder);
    static const char *const places[] = {"/src/card/", "/src/io/format/", "/src/http/",
                                         "/../lib/levigate/", "/"};
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        if ((size_t)snprintf(tried, PATH_BYTES, "%.3900s%s%s", folder, places[i],
                             name) >= PATH_BYTES ||
            access(tried, R_OK) != 0)
            continue;
        return dlopen(tried, RTLD_NOW | RTLD_LOCAL);
    }
    (void)snprintf(tried, PATH_BYTES, "%s/%s", LEV_LIBDIR, name);
    return dlopen(tried, RTLD_NOW | RTLD_LOCAL);
}

lev_status lev_backend_card(const lev_card_api **out, lev_error *err)
{
    char tried[PATH_BYTES];
    void *module = open_module("levigate-card.so", tried);
    if (module == NULL)
        return lev_fail(err, LEV_E_SYSTEM, "drawing module not usable: %.300s",
                        dlerror());
    void *symbol = dlsym(module, LEV_CARD_ENTRY_NAME);
    lev_card_entry_fn entry = NULL;
    if (symbol != NULL)
        memcpy(&entry, &symbol, sizeof entry); /* an object pointer holds a function */
    const lev_card_api *api = entry != NULL ? entry() : NULL;
    if (api == NULL || api->version != LEV_CARD_API)
        return lev_fail(err, LEV_E_SYSTEM, "drawing module %.200s is of another build",
                        tried);
    *out = api;
    return LEV_OK;
}

lev_status lev_backend_formats(const lev_format_api **out, lev_error *err)
{
    char tried[PATH_BYTES];
    void *module = open_module("levigate-format.so", tried);
    if (module == NULL)
        return lev_fail(err, LEV_E_SYSTEM,
                        "module of surface formats not usable: %.300s", dlerror());
    void *symbol = dlsym(module, LEV_FORMAT_ENTRY_NAME);
    lev_format_entry_fn entry = NULL;
    if (symbol != NULL)
        memcpy(&entry, &symbol, sizeof entry); /* an object pointer holds a function */
    const lev_format_api *api = entry != NULL ? entry() : NULL;
    if (api == NULL || api->version != LEV_FORMAT_API)
        return lev_fail(err, LEV_E_SYSTEM,
                        "module of surface formats %.200s is of another build", tried);
    *out = api;
    return LEV_OK;
}

lev_status lev_backend_serve(const char *entry, void **out, lev_error *err)
{
    char tried[PATH_BYTES];
    void *module = open_module("levigate-http.so", tried);
    *out = module != NULL ? dlsym(module, entry) : NULL;
    if (*out == NULL)
        return lev_fail(err, LEV_E_SYSTEM, "module of the page not usable: %.300s",
                        dlerror());
    return LEV_OK;
}

static bool ends_with(const char *path, const char *ending)
{
    const size_t n = strlen(path), m = strlen(ending);
    return n > m && lev_text_same(path + n - m, ending);
}

lev_status lev_backend_format(const char *path, lev_card_format *out, lev_error *err)
{
    if (ends_with(path, ".pdf"))
        *out = LEV_CARD_PDF;
    else if (ends_with(path, ".svg"))
        *out = LEV_CARD_SVG;
    else if (ends_with(path, ".png"))
        *out = LEV_CARD_PNG;
    else
        return lev_fail(err, LEV_E_USAGE,
                        "-o \"%.120s\" should end in .pdf, .svg or .png", path);
    return LEV_OK;
}

static int write_run(void *to, const unsigned char *bytes, size_t n)
{
    lev_drawing *d = to;
    return lev_sink_write(&d->sink, bytes, n, d->err) < 0 ? -1 : 0;
}

lev_status lev_drawing_open(lev_drawing *d, const char *path, lev_error *err)
{
    lev_card_format format = LEV_CARD_PDF;
    lev_status st = lev_backend_format(path, &format, err);
    *d = (lev_drawing){.sink = {.fd = -1}, .err = err};
    if (st >= 0)
        st = lev_sink_open(&d->sink, path, err);
    d->out = (lev_card_out){.format = format, .write = write_run, .to = d};
    return st;
}

lev_status lev_drawing_commit(lev_drawing *d, lev_error *err)
{
    return lev_sink_commit(&d->sink, err);
}

void lev_drawing_release(lev_drawing *d)
{
    lev_sink_release(&d->sink);
}

void lev_today(char out[11])
{
    const char *given = getenv("SOURCE_DATE_EPOCH");
    double seconds = 0.0;
    time_t now = time(NULL);
    struct tm day = {0};
    if (given != NULL && lev_num_parse(given, false, &seconds))
        now = (time_t)seconds;
    if (gmtime_r(&now, &day) == NULL || strftime(out, 11, "%Y-%m-%d", &day) == 0)
        memcpy(out, "1970-01-01", 11);
}
