/*
 * Prints the ring weights of a rule: weights RULE INTERVALS.
 * Out: status, tab, message; then one weight a line.
 */
#include <spheresum.h>
#include <stdio.h>
#include <stdlib.h>

int main(int count, char **argument)
{
    static double weights[1001];
    spheresum_error *error = NULL;
    if (count != 3) {
        return 3;
    }
    size_t intervals = (size_t)strtoul(argument[2], NULL, 10);
    if (intervals > 1000) {
        return 3;
    }
    int32_t rule = (int32_t)strtol(argument[1], NULL, 10);
    int32_t status = spheresum_rule_weights(rule, intervals, intervals + 1, weights, &error);
    printf("%d\t%s\n", (int)status, spheresum_error_message(error));
    spheresum_error_free(error);
    for (size_t i = 0; status == 0 && i <= intervals; i++) {
        printf("%.17e\n", weights[i]);
    }
    return 0;
}
