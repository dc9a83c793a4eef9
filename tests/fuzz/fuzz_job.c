/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a job file: read or refused with one line, never a fault. */
#include "fuzz.h"

#include "job_io.h"
#include "mem.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    lev_job job = {0};
    lev_error err = {0};
    lev_bytes b = {.n = size};
    if (lev_mem_text((const char *)data, size, &b.data, &err) < 0)
        return 0;
    if (lev_job_read("job.json", &b, &job, &err) < 0 &&
        (err.text[0] == '\0' || strchr(err.text, '\n') != NULL))
        abort();
    lev_job_release(&job);
    return 0;
}
