/*
 * The format: a first line with the frequency in MHz, then a line for each direction, with theta and phi in degrees and the EIRP
 * of both polarisations in dBm. A level that begins with < was too weak to be seen, and is at most that.
 *
 *     SCANLOG 868.3
 *     30 45 -12.5 -14
 *     30 60 -12.1 <-40
 *
 * The text that the functions get does not end in a zero byte, so every line is copied first.
 */
#include "scanlog.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char FIRST[] = "SCANLOG ";
enum { MOST = 256 };

/* What the fields of a direction are. */
static const char *const WANTED[] = {"theta in degrees", "phi in degrees", "the theta level in dBm", "the phi level in dBm"};

static int32_t look(const char *name, const char *text, size_t length, char *reason, size_t capacity, void *user)
{
    (void)name;
    (void)user;
    if (length < sizeof FIRST - 1 || memcmp(text, FIRST, sizeof FIRST - 1) != 0) {
        snprintf(reason, capacity, "the first word is not SCANLOG");
        return SPHERESUM_CONFIDENCE_NONE;
    }
    snprintf(reason, capacity, "it begins with SCANLOG");
    return SPHERESUM_CONFIDENCE_CERTAIN;
}

/* Says where and why the text cannot be read, and gives what read has to return. Columns count from 1. */
static int32_t fail(spheresum_sink *sink, const char *message, const char *hint, uint64_t line, size_t column)
{
    spheresum_sink_fail(sink, SPHERESUM_STATUS_INPUT, message, hint, line, column, NULL);
    return SPHERESUM_STATUS_INPUT;
}

/* Hands a reading over; where the sink refuses it, its reason is the reason of the text. */
static int32_t add(spheresum_sink *sink, int32_t polarisation, const double field[4], double level_dbm, uint8_t state,
                   double frequency_hz, uint64_t line)
{
    spheresum_error *error;
    int32_t status = spheresum_sink_add(sink, polarisation, frequency_hz, field[0], field[1], level_dbm,
                                        SPHERESUM_UNIT_DECIBEL, state, line, &error);
    if (status != SPHERESUM_STATUS_OK)
        spheresum_sink_fail(sink, status, spheresum_error_message(error), spheresum_error_hint(error), line, 0, NULL);
    spheresum_error_free(error);
    return status;
}

/* Reads the line of a direction. */
static int32_t direction(spheresum_sink *sink, const char *start, double frequency_hz, uint64_t line)
{
    double field[4];
    uint8_t state[4] = {SPHERESUM_SAMPLE_MEASURED, SPHERESUM_SAMPLE_MEASURED, SPHERESUM_SAMPLE_MEASURED,
                        SPHERESUM_SAMPLE_MEASURED};
    const char *at = start;
    char *end;
    for (int i = 0; i < 4; i++) {
        at += strspn(at, " \t");
        const char *number = at;
        if (i >= 2 && *at == '<') {
            state[i] = SPHERESUM_SAMPLE_AT_MOST;
            number++;
        }
        field[i] = strtod(number, &end);
        if (end == number || strchr(" \t", *end) == NULL) {
            char message[64];
            snprintf(message, sizeof message, "this is not %s", WANTED[i]);
            return fail(sink, message, "write a line such as 30 45 -12.5 -14", line, (size_t)(at - start) + 1);
        }
        at = end;
    }
    at += strspn(at, " \t");
    if (*at != '\0')
        return fail(sink, "there is more than two angles and two levels", "write a line such as 30 45 -12.5 -14", line,
                    (size_t)(at - start) + 1);
    int32_t status = add(sink, SPHERESUM_POLARISATION_THETA, field, field[2], state[2], frequency_hz, line);
    if (status == SPHERESUM_STATUS_OK)
        status = add(sink, SPHERESUM_POLARISATION_PHI, field, field[3], state[3], frequency_hz, line);
    return status;
}

static int32_t read(const char *name, const char *text, size_t length, spheresum_sink *sink, void *user)
{
    (void)name;
    (void)user;
    double frequency_hz = 0;
    uint64_t line = 0;
    int32_t status = spheresum_sink_begin(sink, SPHERESUM_QUANTITY_EIRP, NULL);
    for (size_t at = 0, next; at < length && status == SPHERESUM_STATUS_OK; at = next) {
        const char *stop = memchr(text + at, '\n', length - at);
        size_t size = (stop == NULL ? length : (size_t)(stop - text)) - at;
        next = at + size + 1;
        line++;
        if (size >= MOST)
            return fail(sink, "the line is too long", "a line has at most 255 characters", line, MOST);
        char copy[MOST];
        memcpy(copy, text + at, size);
        copy[size > 0 && text[at + size - 1] == '\r' ? size - 1 : size] = '\0';
        if (line > 1) {
            if (copy[strspn(copy, " \t")] != '\0')
                status = direction(sink, copy, frequency_hz, line);
            continue;
        }
        char *end = copy;
        if (strncmp(copy, FIRST, sizeof FIRST - 1) == 0)
            frequency_hz = 1e6 * strtod(copy + sizeof FIRST - 1, &end);
        if (*end != '\0' || !(frequency_hz > 0 && frequency_hz < 1e15))
            return fail(sink, "this is not SCANLOG and a frequency in MHz", "write a first line such as SCANLOG 868.3", line,
                        strncmp(copy, FIRST, sizeof FIRST - 1) == 0 ? sizeof FIRST : 1);
    }
    return status;
}

const spheresum_adapter scanlog = {sizeof(spheresum_adapter), "scanlog", "EIRP of both polarisations, a line for each direction",
                                   look, read, NULL};
