/*
 * A sweep that stops as soon as its verdict is certain: readings go in as the positioner moves, and after each ring the bounds of the TRP are looked at.
 *
 * The device is a computed short dipole along z with a TRP of 0 dBm, which has to reach the limit that is given (default -3 dBm). Below 0 dBm the sweep
 * ends early with "passes", above by 2 dB or more with "fails".
 *
 * Exit status: 0 where it ended as the closed form says, else 1.
 */
#include <math.h>
#include <spheresum.h>
#include <stdio.h>
#include <stdlib.h>

static int failed(const char *what, spheresum_error *error)
{
    fprintf(stderr, "%s: %s (%s)\n", what, spheresum_error_message(error), spheresum_error_hint(error));
    spheresum_error_free(error);
    return 1;
}

int main(int count, char **argument)
{
    const double limit_dbm = count > 1 ? strtod(argument[1], NULL) : -3.0;
    const double frequency_hz = 868.3e6, degree = acos(-1.0) / 180.0;
    const char *verdict = "is not decided";
    spheresum_error *error = NULL;
    spheresum_running *running = NULL;
    spheresum_reduction *reduction = NULL;
    int ring = 0, decided = 0;
    if (spheresum_running_begin(SPHERESUM_QUANTITY_EIRP, 15, 15, SPHERESUM_LAYOUT_THETA_PHI, &frequency_hz, 1,
                                NULL, &running, &error)) {
        return failed("begin", error);
    }
    /* From the equator outwards, where most of the power is. */
    static const int order[] = {90, 75, 105, 60, 120, 45, 135, 30, 150, 15, 165, 0, 180};
    for (ring = 0; ring < 13 && !decided; ring++) {
        double theta_deg = order[ring], power_w = 1.5e-3 * pow(sin(theta_deg * degree), 2);
        for (int phi_deg = 0; phi_deg < 360; phi_deg += 15) {
            if (spheresum_running_add(running, SPHERESUM_POLARISATION_THETA, frequency_hz, theta_deg, phi_deg,
                                      power_w, SPHERESUM_UNIT_LINEAR, SPHERESUM_SAMPLE_MEASURED, &error) ||
                spheresum_running_add(running, SPHERESUM_POLARISATION_PHI, frequency_hz, theta_deg, phi_deg, 0.0,
                                      SPHERESUM_UNIT_LINEAR, SPHERESUM_SAMPLE_MEASURED, &error)) {
                spheresum_running_free(running);
                return failed("add", error);
            }
        }
        spheresum_figures *figures = NULL;
        if (spheresum_running_figures(running, 0, &figures, &error)) {
            spheresum_running_free(running);
            return failed("figures", error);
        }
        const spheresum_figure *trp = spheresum_figures_find(figures, "trp");
        double lower = 0, upper = 0;
        int has_lower = spheresum_figure_number(trp, SPHERESUM_NUMBER_LOWER, &lower);
        int has_upper = spheresum_figure_number(trp, SPHERESUM_NUMBER_UPPER, &upper);
        if (has_lower && lower >= limit_dbm) {
            verdict = "passes";
            decided = 1;
        } else if (has_upper && upper < limit_dbm) {
            verdict = "fails";
            decided = 1;
        }
        spheresum_figures_free(figures);
    }
    printf("after %d of 13 rings the device %s the limit of %.1f dBm\n", ring, verdict, limit_dbm);
    /* Where nothing stopped it, the sweep ends with the reduction of all readings. */
    int status = 0;
    if (!decided) {
        const spheresum_figure *trp = NULL;
        double value = 0;
        if (spheresum_running_finish(running, "dipole", &reduction, &error) ||
            spheresum_reduction_find(reduction, 0, "trp", &trp, &error)) {
            spheresum_running_free(running);
            return failed("finish", error);
        }
        spheresum_figure_number(trp, SPHERESUM_NUMBER_VALUE, &value);
        printf("TRP %.2f dBm\n", value);
        /* The sine rule on 15 degrees reads the dipole 0.02 dB low. */
        status = fabs(value) > 0.05;
    } else {
        /* What was decided early is true of the closed form, 0 dBm. */
        status = (verdict[0] == 'p') != (limit_dbm <= 0);
    }
    spheresum_reduction_free(reduction);
    spheresum_running_free(running);
    return status;
}
