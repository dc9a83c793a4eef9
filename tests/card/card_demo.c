/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Draws the demonstration views through the module itself, loaded as the program loads
 * it: card_demo MODULE WHAT PAPER FORMAT FILE. */
#include <dlfcn.h>
#include <stdio.h>
#include <string.h>

#include "demo.h"

static int to_file(void *to, const unsigned char *bytes, size_t n)
{
    return fwrite(bytes, 1, n, to) == n ? 0 : -1;
}

static int find(const char *const *name, const char *wanted)
{
    for (int i = 0; name[i] != NULL; i++)
        if (strcmp(name[i], wanted) == 0)
            return i;
    return -1;
}

static lev_status draw(const lev_card_api *api, const char *what, lev_card_paper paper,
                       const lev_card_out *out, lev_error *err)
{
    const lev_card_job job = demo_job(paper);
    const lev_card_chart chart = demo_chart(paper);
    const lev_card_labels labels = demo_labels();
    if (strcmp(what, "job") == 0)
        return api->job(&job, out, err);
    if (strcmp(what, "chart") == 0)
        return api->chart(&chart, out, err);
    return api->labels(&labels, out, err);
}

int main(int argc, char **argv)
{
    static const char *const papers[] = {"A4", "Letter", "A5", "A3", "A2", NULL};
    static const char *const formats[] = {"pdf", "svg", "png", NULL};
    if (argc != 6)
        return 2;
    void *module = dlopen(argv[1], RTLD_NOW | RTLD_LOCAL);
    if (module == NULL) {
        (void)fprintf(stderr, "%s\n", dlerror());
        return 3;
    }
    lev_card_entry_fn entry = NULL;
    *(void **)&entry = dlsym(module, LEV_CARD_ENTRY_NAME);
    FILE *f = fopen(argv[5], "wb");
    if (entry == NULL || f == NULL || entry()->version != LEV_CARD_API)
        return 3;
    lev_error err = {0};
    const lev_card_out out = {
        .format = (lev_card_format)find(formats, argv[4]), .write = to_file, .to = f};
    const lev_status st =
        draw(entry(), argv[2], (lev_card_paper)find(papers, argv[3]), &out, &err);
    if (fclose(f) != 0 || st < 0) {
        (void)fprintf(stderr, "%s\n", err.text);
        return 1;
    }
    return 0;
}
