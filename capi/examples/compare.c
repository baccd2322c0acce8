/* The whole job: two files and a range loss in, the comparison in one sentence and the difference of the TRP out. */
#include <spheresum.h>
#include <stdio.h>

/* Reads a file into a run of its own; the run keeps what it needs of the file. */
static int32_t read_run(const spheresum_formats *formats, const char *path, const char *name, spheresum_run **run,
                        spheresum_error **error)
{
    spheresum_file *file = NULL;
    int32_t status = spheresum_file_open(formats, path, NULL, &file, error);
    if (status == SPHERESUM_STATUS_OK)
        status = spheresum_run_new(name, run, error);
    if (status == SPHERESUM_STATUS_OK)
        status = spheresum_run_add_file(*run, file, error);
    spheresum_file_free(file);
    return status;
}

int main(int count, char **argument)
{
    if (count != 4) {
        fprintf(stderr, "usage: compare REFERENCE TEST RANGE-LOSS\n");
        return 2;
    }
    spheresum_error *error = NULL;
    spheresum_formats *formats = NULL;
    spheresum_options *options = NULL;
    spheresum_file *loss = NULL;
    spheresum_run *run[2] = {NULL, NULL};
    spheresum_comparison *comparison = NULL;
    /* A failed call ends the chain, and says why in error. */
    int failed = spheresum_formats_new(&formats, &error) || spheresum_options_new(&options, &error) ||
                 spheresum_file_open(formats, argument[3], NULL, &loss, &error) ||
                 spheresum_options_set_range(options, loss, &error) ||
                 read_run(formats, argument[1], "rev-a", &run[0], &error) ||
                 read_run(formats, argument[2], "rev-b", &run[1], &error) ||
                 spheresum_compare((const spheresum_run *const *)run, 2, options, &comparison, &error);
    double difference_db;
    if (failed)
        fprintf(stderr, "%s\n%s\n", spheresum_error_message(error), spheresum_error_hint(error));
    else
        printf("%s\n", spheresum_comparison_sentence(comparison, 0));
    for (size_t i = 0; i < spheresum_comparison_difference_count(comparison, 0, 0); i++) {
        const spheresum_difference *one = spheresum_comparison_difference(comparison, 0, 0, i);
        if (i == 0 && spheresum_difference_number(one, SPHERESUM_DIFFERENCE_DB, &difference_db))
            printf("%s %.6f dB\n", spheresum_difference_name(one), difference_db);
    }
    spheresum_comparison_free(comparison);
    spheresum_run_free(run[0]);
    spheresum_run_free(run[1]);
    spheresum_file_free(loss);
    spheresum_options_free(options);
    spheresum_formats_free(formats);
    spheresum_error_free(error);
    return failed ? 1 : 0;
}
