/*
 * Reads files, reduces or compares them and prints the JSON document.
 *
 * documents reduce|compare FILE... [NAME=VALUE...]: an argument with an equals sign is an option.
 * Out: status, tab, message, line feed; then the document where the status is 0.
 */
#include <spheresum.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = 8 };

int main(int count, char **argument)
{
    spheresum_error *error = NULL;
    spheresum_formats *formats = NULL;
    spheresum_options *options = NULL;
    spheresum_file *file[MOST] = {NULL};
    spheresum_run *run[MOST] = {NULL};
    const spheresum_run *all[MOST] = {NULL};
    spheresum_reduction *reduction = NULL;
    spheresum_comparison *comparison = NULL;
    spheresum_text *text = NULL;
    size_t files = 0;
    if (count < 3) {
        return 3;
    }
    int32_t status = spheresum_formats_new(&formats, &error);
    if (status == 0) {
        status = spheresum_options_new(&options, &error);
    }
    for (int i = 2; i < count && status == 0; i++) {
        char *value = strchr(argument[i], '=');
        if (value != NULL) {
            *value++ = '\0';
            status = spheresum_options_set(options, argument[i], value, &error);
            continue;
        }
        if (files == MOST) {
            return 3;
        }
        status = spheresum_file_open(formats, argument[i], NULL, &file[files], &error);
        if (status == 0) {
            status = spheresum_run_new(argument[i], &run[files], &error);
        }
        if (status == 0) {
            status = spheresum_run_add_file(run[files], file[files], &error);
        }
        all[files] = run[files];
        files++;
    }
    if (status == 0 && strcmp(argument[1], "compare") == 0) {
        status = spheresum_compare(all, files, options, &comparison, &error);
        if (status == 0) {
            status = spheresum_comparison_json(comparison, &text, &error);
        }
    } else if (status == 0) {
        status = spheresum_reduce(run[0], options, &reduction, &error);
        if (status == 0) {
            status = spheresum_reduction_json(reduction, &text, &error);
        }
    }
    printf("%d\t%s\n", (int)status, spheresum_error_message(error));
    fwrite(spheresum_text_data(text), 1, spheresum_text_length(text), stdout);
    spheresum_text_free(text);
    spheresum_comparison_free(comparison);
    spheresum_reduction_free(reduction);
    for (size_t i = 0; i < files; i++) {
        spheresum_run_free(run[i]);
        spheresum_file_free(file[i]);
    }
    spheresum_options_free(options);
    spheresum_formats_free(formats);
    spheresum_error_free(error);
    return 0;
}
