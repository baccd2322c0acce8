/*
 * An adapter of a format of this test: the line TINY, then lines of theta, phi and dBm of the theta polarisation.
 * The options are offset-db, which is added to each level, and marks, which makes a remark.
 */
#ifndef TINY_H
#define TINY_H

#include "spheresum.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int32_t tiny_look(const char *name, const char *text, size_t length, char *reason, size_t capacity, void *user)
{
    (void)name;
    (void)user;
    if (length >= 5 && memcmp(text, "TINY\n", 5) == 0) {
        snprintf(reason, capacity, "its first line is TINY");
        return SPHERESUM_CONFIDENCE_CERTAIN;
    }
    snprintf(reason, capacity, "its first line is not TINY");
    return SPHERESUM_CONFIDENCE_NONE;
}

static int32_t tiny_read(const char *name, const char *text, size_t length, spheresum_sink *sink, void *user)
{
    const char *offset = spheresum_sink_option(sink, "offset-db");
    char *copy = (char *)malloc(length + 1), *line;
    uint64_t number = 1;
    int32_t status;
    (void)name;
    (void)user;
    if (copy == NULL) {
        (void)spheresum_sink_fail(sink, SPHERESUM_STATUS_LIMIT, "there is no memory for a copy", "close other programs",
                                  0, 0, NULL);
        return SPHERESUM_STATUS_LIMIT;
    }
    memcpy(copy, text, length);
    copy[length] = 0;
    status = spheresum_sink_begin(sink, SPHERESUM_QUANTITY_EIRP, NULL);
    line = strchr(copy, '\n');
    while (status == SPHERESUM_STATUS_OK && line != NULL && line[1] != 0) {
        double theta, phi, level;
        number++;
        if (sscanf(line + 1, "%lf %lf %lf", &theta, &phi, &level) != 3) {
            (void)spheresum_sink_fail(sink, SPHERESUM_STATUS_INPUT, "a line has not three numbers",
                                      "write theta, phi and level", number, 1, NULL);
            status = SPHERESUM_STATUS_INPUT;
            break;
        }
        level += offset != NULL ? strtod(offset, NULL) : 0.0;
        status = spheresum_sink_add(sink, -1, 0.0, theta, phi, level, SPHERESUM_UNIT_DECIBEL, SPHERESUM_SAMPLE_MEASURED,
                                    number, NULL);
        line = strchr(line + 1, '\n');
    }
    if (status == SPHERESUM_STATUS_OK && spheresum_sink_option(sink, "marks") != NULL) {
        status = spheresum_sink_remark(sink, SPHERESUM_SEVERITY_WARNING, "tiny", "it is tiny", 1, NULL);
    }
    free(copy);
    return status;
}

#endif
