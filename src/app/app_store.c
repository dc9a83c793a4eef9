/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Keeping the store. See app_store.h. */
#include "app_store.h"

#include <string.h>
#include <unistd.h>

#include "app_shop_job.h"
#include "json.h"

bool lev_store_is_json(const char *path)
{
    const size_t n = strlen(path);
    return n > 5 && lev_text_same(path + n - 5, ".json");
}

static int count_row(void *to, const lev_store_value *value, int n)
{
    (void)value;
    (void)n;
    *(int64_t *)to += 1;
    return 0;
}

static lev_status check(lev_store *s, lev_store_reply *r, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_shop shop = {.store = s, .path = r->store};
    LEV_TRY(lev_store_check(s, err));
    LEV_TRY(lev_shop_check_files(&shop, &r->files, err));
    for (int i = 0; i < lev_store_tables(); i++)
        LEV_TRY(lev_store_read_table(s, i, count_row, &r->rows[i], err));
out:
    return st;
}

static lev_status act_on(lev_store *s, const lev_store_ask *ask, lev_store_reply *r,
                         lev_error *err)
{
    switch (ask->act) {
    case LEV_STORE_EXPORT:
        return lev_store_export(s, ask->file, r, err);
    case LEV_STORE_IMPORT:
        return lev_store_import(s, ask->file, ask->replace, r, err);
    case LEV_STORE_BACKUP:
        return lev_store_backup(s, ask->file, err);
    case LEV_STORE_CHECK:
        return check(s, r, err);
    case LEV_STORE_RESTORE:
        break;
    }
    return lev_store_restore(s, ask->file, err);
}

lev_status lev_app_store(const lev_store_ask *ask, lev_store_reply *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_store *s = NULL;
    lev_store_reply r = {.act = ask->act, .store = ask->store, .file = ask->file};
    const lev_store_options o = {.write = ask->act == LEV_STORE_IMPORT};
    if (o.write == false && ask->act != LEV_STORE_RESTORE &&
        access(ask->store, F_OK) != 0)
        LEV_TRY(lev_fail(err, LEV_E_IO, "no store is there; name it with --db FILE"));
    if (ask->act == LEV_STORE_RESTORE) {
        LEV_TRY(lev_store_restore_file(ask->store, &o, ask->file, &r.aside, err));
    } else {
        LEV_TRY(lev_store_open(ask->store, &o, &s, err));
        LEV_TRY(act_on(s, ask, &r, err));
    }
    for (int i = 0; i < lev_store_tables(); i++)
        r.all += r.rows[i];
    *out = r;
out:
    lev_store_close(s);
    return lev_fail_at(err, st, ask->store);
}

static const char *act_word(lev_store_act act)
{
    static const char *const words[] = {
#define ACT_WORD(name, word) [name] = word,
        LEV_STORE_ACT_LIST(ACT_WORD)
#undef ACT_WORD
    };
    return words[act];
}

static bool counts_rows(const lev_store_reply *r)
{
    return r->act != LEV_STORE_BACKUP && r->act != LEV_STORE_RESTORE;
}

json_t *lev_app_store_json(const lev_store_reply *r, int *failed)
{
    json_t *o = lev_json_reply();
    int bad = lev_json_put_text(o, "done", act_word(r->act));
    bad |= lev_json_put_text(o, "store", r->store);
    bad |= lev_json_put_text(o, "file", r->file);
    bad |= lev_json_put_int(o, "store_schema", lev_store_schema());
    if (counts_rows(r)) {
        json_t *rows = json_object();
        for (int i = 0; i < lev_store_tables(); i++)
            bad |= lev_json_put_int(rows, lev_store_table(i).name, r->rows[i]);
        bad |= lev_json_put(o, "rows", rows);
    }
    if (r->act == LEV_STORE_CHECK)
        bad |= lev_json_put_int(o, "files", r->files);
    if (r->aside)
        bad |= lev_json_put_flag(o, "damaged_put_aside", true);
    *failed |= bad;
    return o;
}

static int64_t rows_of(const lev_store_reply *r, const char *table)
{
    for (int i = 0; i < lev_store_tables(); i++)
        if (strcmp(lev_store_table(i).name, table) == 0)
            return r->rows[i];
    return 0;
}

void lev_app_store_text(lev_text *t, const lev_store_reply *r)
{
    switch (r->act) {
    case LEV_STORE_EXPORT:
        lev_text_print(t,
                       "EXPORTED %lld ROWS\nto %s; `levigate store import` reads it\n",
                       (long long)r->all, r->file);
        break;
    case LEV_STORE_IMPORT:
        lev_text_print(
            t, "IMPORTED %lld ROWS\nfrom %s; `levigate store check` proves it\n",
            (long long)r->all, r->file);
        break;
    case LEV_STORE_BACKUP:
        lev_text_print(t, "COPIED\nto %s; `levigate store restore` brings it back\n",
                       r->file);
        break;
    case LEV_STORE_RESTORE:
        lev_text_print(t, "RESTORED\nfrom %s; what was there is kept as %s.%s\n",
                       r->file, r->store, r->aside ? "damaged" : "before-restore");
        break;
    case LEV_STORE_CHECK:
        lev_text_print(t,
                       "SOUND, %lld ROWS\nevery page, index, constraint, reference "
                       "and kept file was read\n",
                       (long long)r->all);
        break;
    }
    if (counts_rows(r))
        lev_text_print(t,
                       "  %lld media, %lld jobs, %lld log entries, %lld quotes, %lld "
                       "exercises\n",
                       (long long)rows_of(r, "medium"), (long long)rows_of(r, "job"),
                       (long long)rows_of(r, "log"), (long long)rows_of(r, "quote"),
                       (long long)rows_of(r, "exercise"));
}
