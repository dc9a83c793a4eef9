/* SPDX-License-Identifier: GPL-3.0-or-later */
/* main.xml of an X3P file, by expat. Any namespace prefix is taken, elements are known
 * by their path below the root; a document type is refused, so no entity can grow. */
#include <expat.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "num.h"
#include "text.h"
#include "x3p.h"

enum { DEPTH_MAX = 16, TEXT_MAX = 512, PATH_MAX_BYTES = 256 };

typedef struct reader {
    XML_Parser xml;
    x3p_head *head;
    x3p_points *points;
    lev_error *err;
    lev_status st;
    char path[PATH_MAX_BYTES]; /* of the open element: "/Record1/Axes/CX" */
    int depth;
    char text[TEXT_MAX];
    size_t n;
    bool too_long, list_open;
} reader;

static void stop(reader *r, lev_status st)
{
    if (r->st == LEV_OK)
        r->st = st;
    (void)XML_StopParser(r->xml, XML_FALSE);
}

/* Name without its prefix; with namespaces on, expat parts them by a blank. */
static const char *local_name(const char *name)
{
    const char *p = strrchr(name, ' ');
    return p != NULL ? p + 1 : name;
}

static void XMLCALL on_start(void *user, const XML_Char *name, const XML_Char **atts)
{
    reader *r = user;
    (void)atts;
    r->depth++;
    r->n = 0;
    r->too_long = false;
    const char *local = local_name(name);
    if (r->depth == 1) {
        if (strcmp(local, "ISO5436_2") != 0)
            stop(r, lev_fail(r->err, LEV_E_FORMAT,
                             "root element %.60s; ISO5436_2 is wanted", local));
        return;
    }
    const size_t at = strlen(r->path);
    if (r->depth > DEPTH_MAX || at + strlen(local) + 2 > sizeof r->path) {
        stop(r, lev_fail(r->err, LEV_E_FORMAT, "elements nested deeper than %d",
                         DEPTH_MAX));
        return;
    }
    (void)snprintf(r->path + at, sizeof r->path - at, "/%s", local);
    if (strcmp(r->path, "/Record3/DataList") == 0)
        r->head->has_list = true;
}

static void XMLCALL on_text(void *user, const XML_Char *s, int n)
{
    reader *r = user;
    if (r->n + (size_t)n >= sizeof r->text) {
        r->too_long = true;
        return;
    }
    memcpy(r->text + r->n, s, (size_t)n);
    r->n += (size_t)n;
}

/* The text of the element, trimmed, zero-terminated. */
static char *trimmed(reader *r)
{
    char *p = r->text;
    while (r->n > 0 && strchr(" \t\r\n", r->text[r->n - 1]) != NULL)
        r->n--;
    r->text[r->n] = '\0';
    while (*p != '\0' && strchr(" \t\r\n", *p) != NULL)
        p++;
    return p;
}

static lev_status take_number(reader *r, double *out)
{
    const char *s = trimmed(r);
    if (lev_num_parse(s, false, out))
        return LEV_OK;
    return lev_fail(r->err, LEV_E_FORMAT, "%s: \"%.60s\" is not a number", r->path, s);
}

static lev_status take_text(reader *r, char *out, size_t size)
{
    const char *s = trimmed(r);
    if (r->too_long || strlen(s) >= size)
        return lev_fail(r->err, LEV_E_FORMAT, "%s: text longer than %zu bytes", r->path,
                        size - 1);
    memcpy(out, s, strlen(s) + 1);
    return LEV_OK;
}

static lev_status end_axis(reader *r, x3p_axis *a, const char *field)
{
    static const struct {
        char letter;
        int type;
    } types[] = {{'I', LEV_CELL_I16},
                 {'L', LEV_CELL_I32},
                 {'F', LEV_CELL_F32},
                 {'D', LEV_CELL_F64}};
    a->seen = true;
    if (strcmp(field, "Increment") == 0) {
        a->stepped = true;
        return take_number(r, &a->increment);
    }
    if (strcmp(field, "Offset") == 0)
        return take_number(r, &a->offset);
    const char *s = trimmed(r);
    if (strcmp(field, "AxisType") == 0) {
        if (strcmp(s, "I") != 0 && strcmp(s, "A") != 0)
            return lev_fail(r->err, LEV_E_FORMAT, "%s: \"%.20s\"; I or A", r->path, s);
        a->absolute = *s == 'A';
    } else if (strcmp(field, "DataType") == 0) {
        for (size_t i = 0; i < sizeof types / sizeof *types; i++)
            if (*s == types[i].letter && s[1] == '\0')
                a->type = types[i].type;
        if (a->type < 0)
            return lev_fail(r->err, LEV_E_FORMAT, "%s: \"%.20s\"; I, L, F or D",
                            r->path, s);
    }
    return LEV_OK;
}

/* Heights of a list: "x;y;z" of the absolute axes; empty = missing. */
static lev_status end_datum(reader *r)
{
    double v[X3P_AXES] = {0};
    int n = 0, want = 0;
    const char *p = trimmed(r);
    if (!r->list_open) {
        r->list_open = true;
        const lev_status st = x3p_open_points(r->points, SIZE_MAX, r->err);
        if (st < 0)
            return st;
    }
    if (*p == '\0' && !r->too_long)
        return x3p_put_point(r->points, NULL, r->err);
    for (int i = 0; i < X3P_AXES; i++)
        want += r->head->axis[i].absolute;
    while (n < want) {
        const char *end = p;
        v[n] = lev_num_read(p, false, &end);
        if (end == p)
            break;
        n++;
        p = end;
        while (*p == ' ' || *p == ';')
            p++;
    }
    if (n != want || *p != '\0' || r->too_long)
        return lev_fail(r->err, LEV_E_FORMAT,
                        "point %td of the list, \"%.40s\": %d numbers are wanted",
                        r->points->filled + 1, trimmed(r), want);
    return x3p_put_point(r->points, v, r->err);
}

static lev_status end_rotation(reader *r)
{
    double v = 0.0;
    const lev_status st = take_number(r, &v);
    const char *name = strrchr(r->path, '/') + 1;
    const double want = strlen(name) == 3 && name[1] == name[2] ? 1.0 : 0.0;
    if (st == LEV_OK && fabs(v - want) > 1e-9)
        r->head->turned = true;
    return st;
}

static lev_status end_record3(reader *r, const char *field)
{
    x3p_head *h = r->head;
    static const char *const sizes[] = {
        "MatrixDimension/SizeX", "MatrixDimension/SizeY", "MatrixDimension/SizeZ"};
    for (int i = 0; i < X3P_AXES; i++) {
        if (strcmp(field, sizes[i]) == 0) {
            h->is_matrix = true;
            return take_number(r, &h->size[i]);
        }
    }
    if (strcmp(field, "DataLink/PointDataLink") == 0)
        return take_text(r, h->points, sizeof h->points);
    if (strcmp(field, "DataLink/MD5ChecksumPointData") == 0)
        return take_text(r, h->points_md5, sizeof h->points_md5);
    if (strcmp(field, "DataLink/ValidPointsLink") == 0)
        return take_text(r, h->valid, sizeof h->valid);
    if (strcmp(field, "DataLink/MD5ChecksumValidPoints") == 0)
        return take_text(r, h->valid_md5, sizeof h->valid_md5);
    if (strcmp(field, "DataList/Datum") == 0)
        return end_datum(r);
    return LEV_OK;
}

static lev_status end_element(reader *r)
{
    static const char axes[] = "/Record1/Axes/C";
    const char *p = r->path;
    if (strncmp(p, axes, sizeof axes - 1) == 0) {
        const char letter = p[sizeof axes - 1];
        if (letter >= 'X' && letter <= 'Z' && p[sizeof axes] == '/')
            return end_axis(r, &r->head->axis[letter - 'X'], p + sizeof axes + 1);
    }
    if (strcmp(p, "/Record1/FeatureType") == 0)
        return take_text(r, r->head->feature, sizeof r->head->feature);
    if (strncmp(p, "/Record1/Axes/Rotation/", 23) == 0)
        return end_rotation(r);
    if (strncmp(p, "/Record3/", 9) == 0)
        return end_record3(r, p + 9);
    if (strcmp(p, "/Record4/ChecksumFile") == 0)
        return take_text(r, r->head->checksum_file, sizeof r->head->checksum_file);
    return LEV_OK;
}

static void XMLCALL on_end(void *user, const XML_Char *name)
{
    reader *r = user;
    (void)name;
    if (r->depth-- > 1) {
        const lev_status st = end_element(r);
        char *slash = strrchr(r->path, '/');
        if (st < 0)
            stop(r, st);
        if (slash != NULL)
            *slash = '\0';
    }
    r->n = 0;
    r->too_long = false;
}

static void XMLCALL on_doctype(void *user, const XML_Char *name, const XML_Char *sysid,
                               const XML_Char *pubid, int has_subset)
{
    reader *r = user;
    (void)name, (void)sysid, (void)pubid, (void)has_subset;
    stop(r, lev_fail(r->err, LEV_E_FORMAT, "main.xml declares a document type"));
}

lev_status x3p_read_xml(const char *xml, size_t n, x3p_head *head, x3p_points *points,
                        lev_error *err)
{
    reader r = {.head = head, .points = points, .err = err};
    *head = (x3p_head){0};
    for (int i = 0; i < X3P_AXES; i++) {
        head->axis[i].type = -1;
        head->axis[i].increment = 1.0;
        head->size[i] = i == 2 ? 1.0 : 0.0;
    }
    r.xml = XML_ParserCreateNS(NULL, ' ');
    if (r.xml == NULL)
        return lev_fail(err, LEV_E_MEMORY, "out of memory");
    XML_SetUserData(r.xml, &r);
    XML_SetElementHandler(r.xml, on_start, on_end);
    XML_SetCharacterDataHandler(r.xml, on_text);
    XML_SetStartDoctypeDeclHandler(r.xml, on_doctype);
    if (XML_Parse(r.xml, xml, (int)n, 1) == XML_STATUS_ERROR && r.st == LEV_OK)
        r.st = lev_fail(err, LEV_E_FORMAT, "main.xml:%lu:%lu: %s",
                        (unsigned long)XML_GetCurrentLineNumber(r.xml),
                        (unsigned long)XML_GetCurrentColumnNumber(r.xml) + 1,
                        XML_ErrorString(XML_GetErrorCode(r.xml)));
    XML_ParserFree(r.xml);
    if (r.st == LEV_OK && head->has_list) {
        if (!r.list_open)
            r.st = x3p_open_points(points, SIZE_MAX, err);
        if (r.st == LEV_OK)
            r.st = x3p_close_points(points, err);
    }
    return r.st;
}
