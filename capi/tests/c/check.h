/*
 * What the C programs share: checks that count, and spheres whose results are known in closed form.
 * A program prints what failed and, last, "N passed, N failed".
 */
#ifndef CHECK_H
#define CHECK_H

#include "spheresum.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int passed = 0;
static int failed = 0;

static void check(int ok, const char *what, int line)
{
    if (ok) {
        passed++;
    } else {
        failed++;
        printf("line %d: %s\n", line, what);
    }
}

static void near(double got, double want, double tolerance, const char *what, int line)
{
    int ok = fabs(got - want) <= tolerance; /* false for NaN */
    check(ok, what, line);
    if (!ok) {
        printf("  got %.15g, want %.15g within %g\n", got, want, tolerance);
    }
}

static void same(const char *got, const char *want, const char *what, int line)
{
    int ok = strcmp(got, want) == 0;
    check(ok, what, line);
    if (!ok) {
        printf("  got  %s\n  want %s\n", got, want);
    }
}

static void has(const char *got, const char *part, const char *what, int line)
{
    int ok = strstr(got, part) != NULL;
    check(ok, what, line);
    if (!ok) {
        printf("  got  %s\n  want %s in it\n", got, part);
    }
}

#define CHECK(condition) check((condition) ? 1 : 0, #condition, __LINE__)
#define NEAR(got, want, tolerance) near((got), (want), (tolerance), #got " is " #want, __LINE__)
#define SAME(got, want) same((got), (want), #got " is " #want, __LINE__)
#define HAS(got, part) has((got), (part), #got " has " #part, __LINE__)

/* The error object of the last call; freed before the next. */
static spheresum_error *error = NULL;

static spheresum_error **fresh(void)
{
    spheresum_error_free(error);
    error = NULL;
    return &error;
}

static void fine(int32_t status, const char *what, int line)
{
    int ok = status == SPHERESUM_STATUS_OK && error == NULL;
    check(ok, what, line);
    if (!ok) {
        printf("  %d %s | %s | field %s, line %d, column %d\n", (int)status, spheresum_error_message(error),
               spheresum_error_hint(error), spheresum_error_field(error), (int)spheresum_error_line(error),
               (int)spheresum_error_column(error));
    }
}

/* A call that is given fresh() must succeed. */
#define FINE(call) fine((call), #call, __LINE__)

#define PI 3.14159265358979323846
enum { STEPS = 12, DIRECTIONS = (STEPS + 1) * 2 * STEPS };

/* A whole sphere in steps of 15 degrees. */
static double theta_deg[DIRECTIONS];
static double phi_deg[DIRECTIONS];

static void directions(void)
{
    int i, j, at = 0;
    for (i = 0; i <= STEPS; i++) {
        for (j = 0; j < 2 * STEPS; j++) {
            theta_deg[at] = 15.0 * i;
            phi_deg[at] = 15.0 * j;
            at++;
        }
    }
}

/* EIRP of a short dipole along z that radiates 1 mW, in W: 1.5 sin^2 theta mW, all of it in the theta polarisation. */
static double z_dipole_w(int at)
{
    double s = sin(theta_deg[at] * PI / 180.0);
    return 1.5e-3 * s * s;
}

/* Readings of that dipole, whose power is multiplied; the caller owns them. */
static spheresum_readings *dipole(const char *name, double factor, double frequency_hz)
{
    static double theta_w[DIRECTIONS], phi_w[DIRECTIONS];
    spheresum_readings *readings = NULL;
    int at;
    for (at = 0; at < DIRECTIONS; at++) {
        theta_w[at] = factor * z_dipole_w(at);
        phi_w[at] = 0.0;
    }
    FINE(spheresum_readings_new(SPHERESUM_QUANTITY_EIRP, name, &readings, fresh()));
    FINE(spheresum_readings_add(readings, SPHERESUM_POLARISATION_THETA, frequency_hz, DIRECTIONS, theta_deg, phi_deg,
                                theta_w, SPHERESUM_UNIT_LINEAR, NULL, NULL, fresh()));
    FINE(spheresum_readings_add(readings, SPHERESUM_POLARISATION_PHI, frequency_hz, DIRECTIONS, theta_deg, phi_deg,
                                phi_w, SPHERESUM_UNIT_LINEAR, NULL, NULL, fresh()));
    return readings;
}

/* A run of that dipole; the caller owns it. */
static spheresum_run *dipole_run(const char *name, double factor, double frequency_hz)
{
    spheresum_readings *readings = dipole(name, factor, frequency_hz);
    spheresum_run *run = NULL;
    FINE(spheresum_run_new(name, &run, fresh()));
    FINE(spheresum_run_add_readings(run, readings, fresh()));
    spheresum_readings_free(readings);
    return run;
}

static int score(void)
{
    (void)fresh();
    printf("%d passed, %d failed\n", passed, failed);
    return failed == 0 ? 0 : 1;
}

#endif
