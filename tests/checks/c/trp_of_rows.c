/*
 * Reads a rule, a count and that many rows (theta and phi in degrees, two levels in dBm) from standard input.
 * Prints the status, the state and the TRP in dBm in a line; below it the message of an error.
 */
#include "spheresum.h"

#include <stdio.h>
#include <stdlib.h>

int main(void)
{
    int rule = 0;
    size_t count = 0;
    size_t i;
    double *column[4];
    double trp_dbm = 0.0;
    uint8_t state = 99;
    spheresum_error *error = NULL;
    int32_t status;

    if (scanf("%d %zu", &rule, &count) != 2 || count == 0 || count > 1000000) {
        return 2;
    }
    for (i = 0; i < 4; i++) {
        column[i] = malloc(count * sizeof(double));
        if (column[i] == NULL) {
            return 2;
        }
    }
    for (i = 0; i < count; i++) {
        if (scanf("%lf %lf %lf %lf", &column[0][i], &column[1][i], &column[2][i], &column[3][i]) != 4) {
            return 2;
        }
    }
    status = spheresum_trp_dbm(column[0], column[1], column[2], column[3], NULL, NULL, count, rule, &trp_dbm, &state, &error);
    printf("%ld %u %.17g\n", (long)status, (unsigned)state, trp_dbm);
    if (error != NULL) {
        printf("%s\n", spheresum_error_message(error));
    }
    spheresum_error_free(error);
    for (i = 0; i < 4; i++) {
        free(column[i]);
    }
    return 0;
}
