/*
 * Exercises every function of the header, as a C99 and as a C++17 program. Prints what failed and, last, "N passed, N failed".
 *
 *   -DBREAK           one expectation is wrong: the program must fail
 *   -DLEAK            an error object is not freed: a memory checker must complain
 *   -DUSE_AFTER_FREE  an error object is read after it was freed: a memory checker must complain
 */
#include "spheresum.h"
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

#define CHECK(condition) check((condition) ? 1 : 0, #condition, __LINE__)
#define NEAR(got, want, tolerance) near((got), (want), (tolerance), #got " is " #want, __LINE__)

#define PI 3.14159265358979323846
/* Stands for 0 W, which has no decibels. */
#define NOTHING_DBM (-300.0)
/* What outputs hold before a call. */
#define UNTOUCHED_DBM 77.0
#define UNTOUCHED_STATE 77

enum { MAX_SAMPLES = 19 * 36 };

static double theta_deg[MAX_SAMPLES];
static double phi_deg[MAX_SAMPLES];
static double eirp_theta_dbm[MAX_SAMPLES];
static double eirp_phi_dbm[MAX_SAMPLES];
static uint8_t state_theta[MAX_SAMPLES];
static uint8_t state_phi[MAX_SAMPLES];
static size_t count;

/* Outcome of the last call. */
static double trp_dbm;
static uint8_t state;
static spheresum_error *error;

static double dbm_from_mw(double power_mw)
{
    return power_mw > 1e-30 ? 10.0 * log10(power_mw) : NOTHING_DBM;
}

/* Patterns with a TRP of exactly 0 dBm: EIRP in mW of each polarisation. */
static double isotropic_theta(double t, double p) { (void)t; (void)p; return 0.5; }
static double isotropic_phi(double t, double p) { (void)t; (void)p; return 0.5; }
static double z_dipole_theta(double t, double p) { (void)p; return 1.5 * sin(t) * sin(t); }
static double z_dipole_phi(double t, double p) { (void)t; (void)p; return 0.0; }
static double x_dipole_theta(double t, double p) { return 1.5 * cos(t) * cos(t) * cos(p) * cos(p); }
static double x_dipole_phi(double t, double p) { (void)t; return 1.5 * sin(p) * sin(p); }

static void sample(int intervals, double (*theta)(double, double), double (*phi)(double, double))
{
    int i, j;
    count = 0;
    for (i = 0; i <= intervals; i++) {
        for (j = 0; j < 2 * intervals; j++) {
            double t = PI * i / intervals;
            double p = PI * j / intervals;
            theta_deg[count] = 180.0 * i / intervals;
            phi_deg[count] = 180.0 * j / intervals;
            eirp_theta_dbm[count] = dbm_from_mw(theta(t, p));
            eirp_phi_dbm[count] = dbm_from_mw(phi(t, p));
            state_theta[count] = SPHERESUM_SAMPLE_MEASURED;
            state_phi[count] = SPHERESUM_SAMPLE_MEASURED;
            count++;
        }
    }
}

static void reset(void)
{
    spheresum_error_free(error);
    error = NULL;
    trp_dbm = UNTOUCHED_DBM;
    state = UNTOUCHED_STATE;
}

static int32_t reduce(int32_t rule)
{
    reset();
    return spheresum_trp_dbm(theta_deg, phi_deg, eirp_theta_dbm, eirp_phi_dbm, state_theta, state_phi, count, rule,
                             &trp_dbm, &state, &error);
}

static int untouched(void)
{
    return trp_dbm == UNTOUCHED_DBM && state == UNTOUCHED_STATE;
}

/* A failed call left its outputs alone and told the same status twice. */
static int refused(int32_t got, int32_t want)
{
    return got == want && untouched() && error != NULL && spheresum_error_code(error) == want
        && strlen(spheresum_error_message(error)) > 0;
}

static void reverse(double *values)
{
    size_t i;
    for (i = 0; i < count / 2; i++) {
        double kept = values[i];
        values[i] = values[count - 1 - i];
        values[count - 1 - i] = kept;
    }
}

static void versions(void)
{
    char text[64];
    int32_t number = spheresum_version_number();
    CHECK(strcmp(spheresum_version(), SPHERESUM_VERSION) == 0);
    CHECK(number == SPHERESUM_VERSION_NUMBER);
    snprintf(text, sizeof text, "%d.%d.%d", (int)(number / 1000000), (int)(number / 1000 % 1000), (int)(number % 1000));
    CHECK(strcmp(text, SPHERESUM_VERSION) == 0);
}

static void closed_forms(void)
{
    /*
     * Source: closed form. The sine rule pi/(2NM) * sum of EIRP sin(theta) reads (h/2) cot(h/2) of an isotropic source, h = pi/N;
     * a dipole follows from the sums of sin(k theta_i) over the rings, cot(k pi/2N) for odd k. Clenshaw-Curtis is exact for all
     * three, whose patterns are of degree 2 in cos(theta).
     */
    const double isotropic_15_db = -0.024904715642699618;
    const double z_dipole_15_db = 0.00025923656947881972;
    const double x_dipole_15_db = -0.037541580798269350;
    const double half_step = PI / 24.0;

    sample(12, isotropic_theta, isotropic_phi);
    CHECK(reduce(SPHERESUM_RULE_SINE) == SPHERESUM_STATUS_OK);
    CHECK(state == SPHERESUM_FIGURE_VALUE);
    CHECK(error == NULL);
    NEAR(trp_dbm, isotropic_15_db, 1e-9);
    NEAR(trp_dbm, 10.0 * log10(half_step / tan(half_step)), 1e-9);
    CHECK(reduce(SPHERESUM_RULE_AUTO) == SPHERESUM_STATUS_OK);
    NEAR(trp_dbm, isotropic_15_db, 1e-9);
    CHECK(reduce(SPHERESUM_RULE_CLENSHAW_CURTIS) == SPHERESUM_STATUS_OK);
#ifdef BREAK
    NEAR(trp_dbm, 0.0001, 1e-9);
#else
    NEAR(trp_dbm, 0.0, 1e-9);
#endif

    sample(12, z_dipole_theta, z_dipole_phi);
    CHECK(reduce(SPHERESUM_RULE_SINE) == SPHERESUM_STATUS_OK);
    NEAR(trp_dbm, z_dipole_15_db, 1e-9);
    CHECK(reduce(SPHERESUM_RULE_CLENSHAW_CURTIS) == SPHERESUM_STATUS_OK);
    NEAR(trp_dbm, 0.0, 1e-9);

    sample(12, x_dipole_theta, x_dipole_phi);
    CHECK(reduce(SPHERESUM_RULE_SINE) == SPHERESUM_STATUS_OK);
    NEAR(trp_dbm, x_dipole_15_db, 1e-9);
    CHECK(reduce(SPHERESUM_RULE_CLENSHAW_CURTIS) == SPHERESUM_STATUS_OK);
    NEAR(trp_dbm, 0.0, 1e-9);

    /* On a 10 degree grid AUTO is Clenshaw-Curtis. */
    sample(18, x_dipole_theta, x_dipole_phi);
    CHECK(reduce(SPHERESUM_RULE_AUTO) == SPHERESUM_STATUS_OK);
    NEAR(trp_dbm, 0.0, 1e-9);
    CHECK(reduce(SPHERESUM_RULE_SINE) == SPHERESUM_STATUS_OK);
    NEAR(trp_dbm, -0.016602173496724071, 1e-9);
}

static void order(void)
{
    double forward_dbm;
    sample(12, x_dipole_theta, x_dipole_phi);
    CHECK(reduce(SPHERESUM_RULE_AUTO) == SPHERESUM_STATUS_OK);
    forward_dbm = trp_dbm;
    reverse(theta_deg);
    reverse(phi_deg);
    reverse(eirp_theta_dbm);
    reverse(eirp_phi_dbm);
    CHECK(reduce(SPHERESUM_RULE_AUTO) == SPHERESUM_STATUS_OK);
    CHECK(memcmp(&trp_dbm, &forward_dbm, sizeof trp_dbm) == 0);
}

static void states(void)
{
    size_t i;

    /* A missing sample is filled from its equal neighbours, and what stands in its place is not looked at. */
    sample(12, isotropic_theta, isotropic_phi);
    state_theta[100] = SPHERESUM_SAMPLE_MISSING;
    eirp_theta_dbm[100] = NAN;
    CHECK(reduce(SPHERESUM_RULE_CLENSHAW_CURTIS) == SPHERESUM_STATUS_OK);
    NEAR(trp_dbm, 0.0, 1e-9);

    /* Without arrays of states all samples are measured. */
    sample(12, isotropic_theta, isotropic_phi);
    reset();
    CHECK(spheresum_trp_dbm(theta_deg, phi_deg, eirp_theta_dbm, eirp_phi_dbm, NULL, NULL, count,
                            SPHERESUM_RULE_CLENSHAW_CURTIS, &trp_dbm, &state, &error) == SPHERESUM_STATUS_OK);
    NEAR(trp_dbm, 0.0, 1e-9);

    /* At most X counts as X/2, at least X as X. */
    for (i = 0; i < count; i++) {
        state_phi[i] = SPHERESUM_SAMPLE_AT_MOST;
    }
    CHECK(reduce(SPHERESUM_RULE_CLENSHAW_CURTIS) == SPHERESUM_STATUS_OK);
    NEAR(trp_dbm, 10.0 * log10(0.75), 1e-9);
    for (i = 0; i < count; i++) {
        state_phi[i] = SPHERESUM_SAMPLE_AT_LEAST;
    }
    CHECK(reduce(SPHERESUM_RULE_CLENSHAW_CURTIS) == SPHERESUM_STATUS_OK);
    NEAR(trp_dbm, 0.0, 1e-9);

    /* A whole polarisation, or half of the sphere, cannot be filled. */
    for (i = 0; i < count; i++) {
        state_phi[i] = SPHERESUM_SAMPLE_MISSING;
    }
    CHECK(refused(reduce(SPHERESUM_RULE_AUTO), SPHERESUM_STATUS_DOMAIN));
    CHECK(strstr(spheresum_error_hint(error), "phi polarisation is missing") != NULL);
    for (i = 0; i < count; i++) {
        state_theta[i] = state_phi[i] = theta_deg[i] < 80.0 ? SPHERESUM_SAMPLE_MISSING : SPHERESUM_SAMPLE_MEASURED;
    }
    CHECK(refused(reduce(SPHERESUM_RULE_AUTO), SPHERESUM_STATUS_DOMAIN));
    CHECK(strstr(spheresum_error_message(error), "missing") != NULL);
    CHECK(strchr(spheresum_error_hint(error), '%') != NULL);

    /* Nothing was measured at all. */
    for (i = 0; i < count; i++) {
        state_theta[i] = state_phi[i] = SPHERESUM_SAMPLE_MISSING;
    }
    CHECK(refused(reduce(SPHERESUM_RULE_AUTO), SPHERESUM_STATUS_DOMAIN));
}

static void wrong_numbers(void)
{
    double *arrays[4];
    const char *names[4] = {"theta_deg", "phi_deg", "eirp_theta_dbm", "eirp_phi_dbm"};
    const double wrong[3] = {NAN, INFINITY, -INFINITY};
    size_t a, w;
    arrays[0] = theta_deg;
    arrays[1] = phi_deg;
    arrays[2] = eirp_theta_dbm;
    arrays[3] = eirp_phi_dbm;
    sample(12, isotropic_theta, isotropic_phi);
    for (a = 0; a < 4; a++) {
        for (w = 0; w < 3; w++) {
            double kept = arrays[a][41];
            char place[32];
            arrays[a][41] = wrong[w];
            snprintf(place, sizeof place, "%s[41]", names[a]);
            CHECK(refused(reduce(SPHERESUM_RULE_AUTO), SPHERESUM_STATUS_INPUT));
            CHECK(strstr(spheresum_error_message(error), place) != NULL);
            CHECK(strcmp(spheresum_error_field(error), names[a]) == 0);
            CHECK(spheresum_error_line(error) == 42);
            CHECK(spheresum_error_column(error) == 0);
            arrays[a][41] = kept;
        }
    }

    eirp_phi_dbm[0] = 300.5;
    CHECK(refused(reduce(SPHERESUM_RULE_AUTO), SPHERESUM_STATUS_INPUT));
    CHECK(strstr(spheresum_error_message(error), "eirp_phi_dbm[0] = 300.5") != NULL);
    CHECK(strlen(spheresum_error_hint(error)) > 0);
    eirp_phi_dbm[0] = 0.0;

    theta_deg[count - 1] = 400.0;
    CHECK(refused(reduce(SPHERESUM_RULE_AUTO), SPHERESUM_STATUS_INPUT));
    CHECK(spheresum_error_line(error) == count);
    CHECK(strcmp(spheresum_error_field(error), "theta_deg") == 0);
    theta_deg[count - 1] = 180.0;

    state_phi[7] = 4;
    CHECK(refused(reduce(SPHERESUM_RULE_AUTO), SPHERESUM_STATUS_USAGE));
    CHECK(strcmp(spheresum_error_field(error), "state_phi") == 0);
    CHECK(spheresum_error_line(error) == 8);
    state_phi[7] = SPHERESUM_SAMPLE_MEASURED;

    CHECK(reduce(SPHERESUM_RULE_AUTO) == SPHERESUM_STATUS_OK);
}

static void misuse(void)
{
    const char *names[6] = {"theta_deg", "phi_deg", "eirp_theta_dbm", "eirp_phi_dbm", "out_trp_dbm", "out_state"};
    int omitted;
    sample(12, isotropic_theta, isotropic_phi);
    for (omitted = 0; omitted < 6; omitted++) {
        int32_t status;
        reset();
        status = spheresum_trp_dbm(omitted == 0 ? NULL : theta_deg, omitted == 1 ? NULL : phi_deg,
                                   omitted == 2 ? NULL : eirp_theta_dbm, omitted == 3 ? NULL : eirp_phi_dbm, NULL, NULL,
                                   count, SPHERESUM_RULE_AUTO, omitted == 4 ? NULL : &trp_dbm,
                                   omitted == 5 ? NULL : &state, &error);
        CHECK(refused(status, SPHERESUM_STATUS_USAGE));
        CHECK(strcmp(spheresum_error_field(error), names[omitted]) == 0);
        CHECK(strstr(spheresum_error_message(error), "NULL") != NULL);
    }

    CHECK(refused(reduce(3), SPHERESUM_STATUS_USAGE));
    CHECK(refused(reduce(-1), SPHERESUM_STATUS_USAGE));
    CHECK(strcmp(spheresum_error_field(error), "rule") == 0);

    /* Counts: none, too many for the library (refused before anything is read), too few for a sphere. */
    count = 0;
    CHECK(refused(reduce(SPHERESUM_RULE_AUTO), SPHERESUM_STATUS_USAGE));
    CHECK(strcmp(spheresum_error_field(error), "count") == 0);
    count = (size_t)-1;
    CHECK(refused(reduce(SPHERESUM_RULE_AUTO), SPHERESUM_STATUS_LIMIT));
    count = ((size_t)1 << 25) + 1;
    CHECK(refused(reduce(SPHERESUM_RULE_AUTO), SPHERESUM_STATUS_LIMIT));
    count = 1;
    CHECK(refused(reduce(SPHERESUM_RULE_AUTO), SPHERESUM_STATUS_DOMAIN));
    count = 3;
    CHECK(refused(reduce(SPHERESUM_RULE_AUTO), SPHERESUM_STATUS_DOMAIN));

    /* Nobody needs to take the error object. */
    reset();
    CHECK(spheresum_trp_dbm(NULL, NULL, NULL, NULL, NULL, NULL, 1, SPHERESUM_RULE_AUTO, &trp_dbm, &state, NULL)
          == SPHERESUM_STATUS_USAGE);
    CHECK(untouched());

    /* A success takes an old pointer away. */
    sample(12, isotropic_theta, isotropic_phi);
    {
        spheresum_error *stale = (spheresum_error *)(void *)theta_deg;
        CHECK(spheresum_trp_dbm(theta_deg, phi_deg, eirp_theta_dbm, eirp_phi_dbm, NULL, NULL, count,
                                SPHERESUM_RULE_AUTO, &trp_dbm, &state, &stale) == SPHERESUM_STATUS_OK);
        CHECK(stale == NULL);
    }
}

static void nothing(void)
{
    CHECK(spheresum_error_code(NULL) == SPHERESUM_STATUS_OK);
    CHECK(strcmp(spheresum_error_message(NULL), "") == 0);
    CHECK(strcmp(spheresum_error_hint(NULL), "") == 0);
    CHECK(strcmp(spheresum_error_field(NULL), "") == 0);
    CHECK(spheresum_error_line(NULL) == 0);
    CHECK(spheresum_error_column(NULL) == 0);
    spheresum_error_free(NULL);
}

int main(void)
{
    versions();
    closed_forms();
    order();
    states();
    wrong_numbers();
    misuse();
    nothing();
#if defined(LEAK) || defined(USE_AFTER_FREE)
    count = 0;
    (void)reduce(SPHERESUM_RULE_AUTO);
#ifdef USE_AFTER_FREE
    spheresum_error_free(error);
    printf("%d\n", (int)spheresum_error_code(error));
#endif
    error = NULL;
#endif
    reset();
    printf("%d passed, %d failed\n", passed, failed);
    return failed == 0 ? 0 : 1;
}
