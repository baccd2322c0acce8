/*
 * Reduces readings from standard input and prints every figure, one a line.
 *
 * In:   quantity
 *       number of options, then a line each: name, tab, value
 *       number of readings, then a line each: polarisation, frequency in Hz, theta, phi, value or real part, imaginary part, state
 * Out:  status, tab, message; then of each channel a line each: name, state, value known, value, unit, parted by tabs
 *
 * Numbers have 17 digits, so that not a bit is lost.
 */
#include <spheresum.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int fail(int32_t status, spheresum_error *error)
{
    printf("%d\t%s\n", (int)status, spheresum_error_message(error));
    spheresum_error_free(error);
    return 0;
}

static char *line(char *text, int most)
{
    if (fgets(text, most, stdin) == NULL) {
        exit(3);
    }
    text[strcspn(text, "\n")] = '\0';
    return text;
}

int main(void)
{
    static char text[4096];
    spheresum_error *error = NULL;
    spheresum_readings *readings = NULL;
    spheresum_options *options = NULL;
    spheresum_run *run = NULL;
    spheresum_reduction *reduction = NULL;
    int32_t quantity = (int32_t)strtol(line(text, sizeof text), NULL, 10);
    int32_t status = spheresum_readings_new(quantity, "rows", &readings, &error);
    if (status == 0) {
        status = spheresum_options_new(&options, &error);
    }
    long count = strtol(line(text, sizeof text), NULL, 10);
    for (long i = 0; i < count && status == 0; i++) {
        char *value = strchr(line(text, sizeof text), '\t');
        if (value == NULL) {
            return 3;
        }
        *value++ = '\0';
        status = spheresum_options_set(options, text, value, &error);
    }
    count = status == 0 ? strtol(line(text, sizeof text), NULL, 10) : 0;
    for (long i = 0; i < count && status == 0; i++) {
        char *at = line(text, sizeof text);
        int32_t polarisation = (int32_t)strtol(at, &at, 10);
        double number[5];
        for (int k = 0; k < 5; k++) {
            number[k] = strtod(at, &at);
        }
        uint8_t state = (uint8_t)strtol(at, &at, 10);
        if (quantity >= SPHERESUM_QUANTITY_FIELD_SQRTW && quantity <= SPHERESUM_QUANTITY_FIELD) {
            status = spheresum_readings_add_field(readings, polarisation, number[0], 1, &number[1],
                                                  &number[2], &number[3], &number[4], &state, &error);
        } else {
            int32_t unit = state == SPHERESUM_SAMPLE_AT_LEAST && number[3] > 300
                               ? SPHERESUM_UNIT_DECIBEL
                               : SPHERESUM_UNIT_LINEAR;
            status = spheresum_readings_add_one(readings, polarisation, number[0], number[1],
                                                number[2], number[3], unit, state, &error);
        }
    }
    if (status == 0) {
        status = spheresum_run_new("rows", &run, &error);
    }
    if (status == 0) {
        status = spheresum_run_add_readings(run, readings, &error);
    }
    if (status == 0) {
        status = spheresum_reduce(run, options, &reduction, &error);
    }
    if (status != 0) {
        fail(status, error);
    } else {
        printf("0\t\n");
    }
    for (size_t c = 0; c < spheresum_reduction_channel_count(reduction); c++) {
        for (size_t i = 0; i < spheresum_reduction_figure_count(reduction, c); i++) {
            const spheresum_figure *figure = spheresum_reduction_figure(reduction, c, i);
            double value = 0;
            int32_t known = spheresum_figure_number(figure, SPHERESUM_NUMBER_VALUE, &value);
            printf("%s\t%d\t%d\t%.17e\t%s\n", spheresum_figure_name(figure),
                   (int)spheresum_figure_state(figure), (int)known, value,
                   spheresum_figure_unit(figure));
        }
        double bias = 0;
        if (spheresum_noise_number(spheresum_reduction_noise(reduction, c), SPHERESUM_NOISE_BIAS_DB, &bias)) {
            printf("noise-bias\t0\t1\t%.17e\tdB\n", bias);
        }
    }
    spheresum_reduction_free(reduction);
    spheresum_run_free(run);
    spheresum_options_free(options);
    spheresum_readings_free(readings);
    return 0;
}
