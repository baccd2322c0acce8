/* An adapter by callbacks: added by hand, or from a plug-in where one is named. It takes part in detection, and says where a text
 * is wrong. */
#include "dipole.h"
#include "scanlog.h"
#include <string.h>

/* Reads the dipole and gives its TRP. */
static int32_t trp(const spheresum_formats *formats, const char *text, size_t length, double *trp_dbm, spheresum_error **error)
{
    spheresum_options *options = NULL;
    spheresum_file *file = NULL;
    spheresum_run *run = NULL;
    spheresum_reduction *reduction = NULL;
    const spheresum_figure *figure = NULL;
    int32_t status = spheresum_options_new(&options, error);
    if (status == SPHERESUM_STATUS_OK)
        status = spheresum_options_set(options, "rule", "clenshaw-curtis", error);
    if (status == SPHERESUM_STATUS_OK)
        status = spheresum_file_read(formats, "dipole.txt", (const uint8_t *)text, length, options, &file, error);
    if (status == SPHERESUM_STATUS_OK)
        status = spheresum_run_new("dipole", &run, error);
    if (status == SPHERESUM_STATUS_OK)
        status = spheresum_run_add_file(run, file, error);
    if (status == SPHERESUM_STATUS_OK)
        status = spheresum_reduce(run, options, &reduction, error);
    if (status == SPHERESUM_STATUS_OK)
        status = spheresum_reduction_find(reduction, 0, "trp", &figure, error);
    if (status == SPHERESUM_STATUS_OK && !spheresum_figure_number(figure, SPHERESUM_NUMBER_VALUE, trp_dbm))
        status = SPHERESUM_STATUS_DOMAIN;
    if (status == SPHERESUM_STATUS_OK)
        printf("read by %s\n", spheresum_file_format(file));
    spheresum_reduction_free(reduction);
    spheresum_run_free(run);
    spheresum_file_free(file);
    spheresum_options_free(options);
    return status;
}

int main(int count, char **argument)
{
    static char text[DIPOLE_SIZE];
    size_t length = dipole(text);
    double trp_dbm = 0;
    int wrong = 1;
    spheresum_error *error = NULL;
    spheresum_formats *formats = NULL;
    int32_t status = spheresum_formats_new(&formats, &error);
    if (status == SPHERESUM_STATUS_OK)
        status = count > 1 ? spheresum_formats_load(formats, argument[1], &error)
                           : spheresum_formats_add(formats, &scanlog, NULL, &error);
    if (status == SPHERESUM_STATUS_OK)
        status = trp(formats, text, length, &trp_dbm, &error);
    if (status != SPHERESUM_STATUS_OK) {
        fprintf(stderr, "%s\n%s\n", spheresum_error_message(error), spheresum_error_hint(error));
    } else {
        printf("trp %.9f dBm, %.9f by the closed form\n", trp_dbm, DIPOLE_TRP_DBM);
        wrong = fabs(trp_dbm - DIPOLE_TRP_DBM) > 1e-6;
    }
    /* The third field of line 30, behind "15 60 ", becomes a word. */
    char *line = text;
    for (int i = 1; i < 30 && status == SPHERESUM_STATUS_OK; i++)
        line = strchr(line, '\n') + 1;
    memcpy(line + 6, "oops", 4);
    if (status == SPHERESUM_STATUS_OK && trp(formats, text, length, &trp_dbm, &error) == SPHERESUM_STATUS_INPUT) {
        printf("line %d, column %d: %s\n", (int)spheresum_error_line(error), (int)spheresum_error_column(error),
               spheresum_error_message(error));
        wrong |= spheresum_error_line(error) != 30 || spheresum_error_column(error) != 7;
    } else {
        wrong = 1;
    }
    spheresum_error_free(error);
    spheresum_formats_free(formats);
    return wrong;
}
