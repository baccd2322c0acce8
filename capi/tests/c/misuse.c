/*
 * Calls that are wrong: each must be refused with its status and a message that says what is wrong, leave numbers alone, and set objects
 * to NULL. What C leaves undefined, such as the use of freed objects, is not tried, but for what is planted:
 *
 *   misuse FOLDER     a folder that may be written to, with plug-ins made of plugin.c
 *
 *   -DLEAK            an error object is not freed: a memory checker must complain
 *   -DUSE_AFTER_FREE  an object is freed twice: a memory checker must complain
 */
#include "check.h"
#include "tiny.h"

#define HUGE_COUNT (SIZE_MAX / 8 + 1)
#define UNTOUCHED 77.0

static spheresum_formats *formats = NULL;
static spheresum_options *options = NULL;
static spheresum_readings *readings = NULL;
static spheresum_run *run = NULL;
static spheresum_reduction *reduction = NULL;
static spheresum_comparison *compared = NULL;
static spheresum_file *file = NULL;
static spheresum_file *curve = NULL;
static spheresum_text *text = NULL;

static const uint8_t *bytes(const char *of) { return (const uint8_t *)(const void *)of; }

static void refused(int32_t got, int32_t want, const char *part, const char *what, int line)
{
    int ok = got == want && error != NULL && spheresum_error_code(error) == want
        && strstr(spheresum_error_message(error), part) != NULL;
    check(ok, what, line);
    if (!ok) {
        printf("  got %d %s | %s | field %s\n  want %d %s\n", (int)got, spheresum_error_message(error),
               spheresum_error_hint(error), spheresum_error_field(error), (int)want, part);
    }
}

/* A call that is given fresh() must fail with a status and a message that has a part. */
#define REFUSED(call, status, part) refused((call), (status), (part), #call, __LINE__)
#define USAGE(call, part) REFUSED(call, SPHERESUM_STATUS_USAGE, part)
#define INPUT(call, part) REFUSED(call, SPHERESUM_STATUS_INPUT, part)
#define LIMIT(call, part) REFUSED(call, SPHERESUM_STATUS_LIMIT, part)

/* Something that an output held before: must be gone after a failure. */
#define STALE(type) ((type *)(void *)theta_deg)

/* An object of another kind than any that a call asks for here. */
#define WRONG(type) ((type *)(void *)text)

/* An address that is aligned to nothing. */
static void *odd(void *of) { return (char *)of + 1; }

static const char not_utf8[] = "caf\xe9";

static void make(void)
{
    static const char csv[] = "theta_deg,phi_deg,eirp_theta_dbm\n0,0,1\n90,0,2\n180,0,1\n";
    static const char losses[] = "frequency_mhz,loss_theta_db,loss_phi_db\n860,40,41\n";
    const spheresum_run *both[2];
    FINE(spheresum_formats_new(&formats, fresh()));
    FINE(spheresum_options_new(&options, fresh()));
    readings = dipole("gauge", 1.0, 868.3e6);
    run = dipole_run("gauge", 1.0, 868.3e6);
    FINE(spheresum_reduce(run, NULL, &reduction, fresh()));
    both[0] = both[1] = run;
    FINE(spheresum_compare(both, 2, NULL, &compared, fresh()));
    FINE(spheresum_file_read(formats, "a.csv", bytes(csv), sizeof csv - 1, NULL, &file, fresh()));
    FINE(spheresum_file_read(formats, "l.csv", bytes(losses), sizeof losses - 1, NULL, &curve, fresh()));
    FINE(spheresum_reduction_csv(reduction, &text, fresh()));
}

static void unmake(void)
{
    spheresum_text_free(text);
    spheresum_file_free(curve);
    spheresum_file_free(file);
    spheresum_comparison_free(compared);
    spheresum_reduction_free(reduction);
    spheresum_run_free(run);
    spheresum_readings_free(readings);
    spheresum_options_free(options);
    spheresum_formats_free(formats);
}

static void objects_that_are_null_or_of_another_kind(void)
{
    double number = UNTOUCHED;
    size_t one = 77, two = 77;
    const spheresum_figure *found = STALE(spheresum_figure);
    const spheresum_run *both[2];
    spheresum_file *out_file = STALE(spheresum_file);
    spheresum_text *out_text = STALE(spheresum_text);
    spheresum_run *out_run = STALE(spheresum_run);
    spheresum_readings *out_readings = STALE(spheresum_readings);
    spheresum_reduction *out_reduction = STALE(spheresum_reduction);
    spheresum_comparison *out_comparison = STALE(spheresum_comparison);
    spheresum_adapter adapter;
    adapter.size = sizeof adapter;
    adapter.id = "tiny";
    adapter.name = "tiny files";
    adapter.look = tiny_look;
    adapter.read = tiny_read;
    adapter.destroy = NULL;

    USAGE(spheresum_formats_new(NULL, fresh()), "out_formats is NULL");
    SAME(spheresum_error_field(error), "out_formats");
    USAGE(spheresum_options_new(NULL, fresh()), "out_options is NULL");
    USAGE(spheresum_formats_add(NULL, &adapter, NULL, fresh()), "formats is NULL");
    USAGE(spheresum_formats_add(WRONG(spheresum_formats), &adapter, NULL, fresh()), "formats is no object of type spheresum_formats");
    USAGE(spheresum_formats_add(formats, NULL, NULL, fresh()), "adapter is NULL");
    USAGE(spheresum_formats_load(NULL, "./a.so", fresh()), "formats is NULL");
    USAGE(spheresum_formats_load(formats, NULL, fresh()), "path is NULL");
    USAGE(spheresum_formats_add_layout(NULL, "a", bytes("a"), 1, fresh()), "formats is NULL");
    USAGE(spheresum_formats_add_layout(formats, NULL, bytes("a"), 1, fresh()), "name is NULL");
    USAGE(spheresum_formats_add_layout(formats, "a", NULL, 1, fresh()), "text is NULL");
    USAGE(spheresum_formats_look(NULL, "a", bytes("a"), 1, &out_text, fresh()), "formats is NULL");
    CHECK(out_text == NULL);
    USAGE(spheresum_formats_look(formats, NULL, bytes("a"), 1, &out_text, fresh()), "name is NULL");
    USAGE(spheresum_formats_look(formats, "a", NULL, 1, &out_text, fresh()), "bytes is NULL");
    USAGE(spheresum_formats_look(formats, "a", bytes("a"), 1, NULL, fresh()), "out_text is NULL");
    USAGE(spheresum_file_open(NULL, "a", NULL, &out_file, fresh()), "formats is NULL");
    CHECK(out_file == NULL);
    USAGE(spheresum_file_open(formats, NULL, NULL, &out_file, fresh()), "path is NULL");
    USAGE(spheresum_file_open(formats, "a", WRONG(spheresum_options), &out_file, fresh()), "options is no object");
    USAGE(spheresum_file_open(formats, "a", NULL, NULL, fresh()), "out_file is NULL");
    USAGE(spheresum_file_read(NULL, "a", bytes("a"), 1, NULL, &out_file, fresh()), "formats is NULL");
    USAGE(spheresum_file_read(formats, NULL, bytes("a"), 1, NULL, &out_file, fresh()), "name is NULL");
    USAGE(spheresum_file_read(formats, "a", NULL, 1, NULL, &out_file, fresh()), "bytes is NULL");
    USAGE(spheresum_file_read(formats, "a", bytes("a"), 1, WRONG(spheresum_options), &out_file, fresh()), "options is no object");
    USAGE(spheresum_file_read(formats, "a", bytes("a"), 1, NULL, NULL, fresh()), "out_file is NULL");
    USAGE(spheresum_options_set(NULL, "rule", "sine", fresh()), "options is NULL");
    USAGE(spheresum_options_set(WRONG(spheresum_options), "rule", "sine", fresh()), "options is no object of type spheresum_options");
    USAGE(spheresum_options_set(options, NULL, "sine", fresh()), "name is NULL");
    USAGE(spheresum_options_set(options, "rule", NULL, fresh()), "value is NULL");
    USAGE(spheresum_options_set_range(NULL, curve, fresh()), "options is NULL");
    USAGE(spheresum_options_set_range(options, NULL, fresh()), "file is NULL");
    USAGE(spheresum_options_set_range(options, WRONG(spheresum_file), fresh()), "file is no object of type spheresum_file");
    INPUT(spheresum_options_set_range(options, file, fresh()), "not the range loss");
    USAGE(spheresum_options_set_floor(NULL, readings, fresh()), "options is NULL");
    USAGE(spheresum_options_set_floor(options, NULL, fresh()), "readings is NULL");
    USAGE(spheresum_options_set_floor(options, WRONG(spheresum_readings), fresh()), "readings is no object");
    USAGE(spheresum_readings_new(SPHERESUM_QUANTITY_EIRP, NULL, &out_readings, fresh()), "name is NULL");
    CHECK(out_readings == NULL);
    USAGE(spheresum_readings_new(SPHERESUM_QUANTITY_EIRP, "a", NULL, fresh()), "out_readings is NULL");
    USAGE(spheresum_readings_add_entry(NULL, "a", "b", fresh()), "readings is NULL");
    USAGE(spheresum_readings_add_entry(WRONG(spheresum_readings), "a", "b", fresh()), "readings is no object");
    USAGE(spheresum_readings_add_entry(readings, NULL, "b", fresh()), "key is NULL");
    USAGE(spheresum_readings_add_entry(readings, "a", NULL, fresh()), "value is NULL");
    USAGE(spheresum_readings_frequency_hz(NULL, 0, &number, fresh()), "readings is NULL");
    USAGE(spheresum_readings_frequency_hz(readings, 0, NULL, fresh()), "out_frequency_hz is NULL");
    USAGE(spheresum_readings_frequency_hz(readings, 1, &number, fresh()), "there is no frequency 1; there are 1");
    USAGE(spheresum_readings_get(NULL, 0, 1, &number, NULL, NULL, NULL, NULL, NULL, NULL, fresh()), "readings is NULL");
    USAGE(spheresum_run_new(NULL, &out_run, fresh()), "name is NULL");
    CHECK(out_run == NULL);
    USAGE(spheresum_run_new("a", NULL, fresh()), "out_run is NULL");
    USAGE(spheresum_run_add_readings(NULL, readings, fresh()), "run is NULL");
    USAGE(spheresum_run_add_readings(run, NULL, fresh()), "readings is NULL");
    USAGE(spheresum_run_add_readings(run, WRONG(spheresum_readings), fresh()), "readings is no object");
    USAGE(spheresum_run_add_file(NULL, file, fresh()), "run is NULL");
    USAGE(spheresum_run_add_file(run, NULL, fresh()), "file is NULL");
    INPUT(spheresum_run_add_file(run, curve, fresh()), "the file holds a curve");
    HAS(spheresum_error_hint(error), "spheresum_options_set_range");
    USAGE(spheresum_reduce(NULL, NULL, &out_reduction, fresh()), "run is NULL");
    CHECK(out_reduction == NULL);
    USAGE(spheresum_reduce(WRONG(spheresum_run), NULL, &out_reduction, fresh()), "run is no object of type spheresum_run");
    USAGE(spheresum_reduce(run, WRONG(spheresum_options), &out_reduction, fresh()), "options is no object");
    USAGE(spheresum_reduce(run, NULL, NULL, fresh()), "out_reduction is NULL");
    FINE(spheresum_run_new("empty", &out_run, fresh()));
    USAGE(spheresum_reduce(out_run, NULL, &out_reduction, fresh()), "the run empty has no readings");
    USAGE(spheresum_reduction_find(NULL, 0, "trp", &found, fresh()), "reduction is NULL");
    CHECK(found == NULL);
    USAGE(spheresum_reduction_find(reduction, 1, "trp", &found, fresh()), "there is no channel 1; there are 1");
    USAGE(spheresum_reduction_find(reduction, 0, NULL, &found, fresh()), "name is NULL");
    USAGE(spheresum_reduction_find(reduction, 0, "nonsense", &found, fresh()), "there is no figure nonsense");
    HAS(spheresum_error_hint(error), "trp");
    USAGE(spheresum_reduction_find(reduction, 0, "tis", &found, fresh()), "does not apply");
    USAGE(spheresum_reduction_find(reduction, 0, "trp", NULL, fresh()), "out_figure is NULL");
    USAGE(spheresum_reduction_json(NULL, &out_text, fresh()), "reduction is NULL");
    USAGE(spheresum_reduction_json(reduction, NULL, fresh()), "out_text is NULL");
    USAGE(spheresum_reduction_csv(NULL, &out_text, fresh()), "reduction is NULL");
    USAGE(spheresum_reduction_csv(reduction, NULL, fresh()), "out_text is NULL");
    both[0] = run;
    both[1] = out_run;
    USAGE(spheresum_compare(both, 2, NULL, &out_comparison, fresh()), "the run empty has no readings");
    CHECK(spheresum_error_line(error) == 2 && out_comparison == NULL);
    both[1] = NULL;
    USAGE(spheresum_compare(both, 2, NULL, &out_comparison, fresh()), "runs is NULL");
    CHECK(spheresum_error_line(error) == 2);
    both[1] = WRONG(const spheresum_run);
    USAGE(spheresum_compare(both, 2, NULL, &out_comparison, fresh()), "runs is no object of type spheresum_run");
    both[1] = run;
    USAGE(spheresum_compare(NULL, 2, NULL, &out_comparison, fresh()), "runs is NULL");
    USAGE(spheresum_compare(both, 1, NULL, &out_comparison, fresh()), "1 runs were given");
    USAGE(spheresum_compare(both, 0, NULL, &out_comparison, fresh()), "0 runs were given");
    USAGE(spheresum_compare(both, SIZE_MAX, NULL, &out_comparison, fresh()), "runs were given");
    USAGE(spheresum_compare(both, 2, WRONG(spheresum_options), &out_comparison, fresh()), "options is no object");
    USAGE(spheresum_compare(both, 2, NULL, NULL, fresh()), "out_comparison is NULL");
    USAGE(spheresum_comparison_json(NULL, &out_text, fresh()), "comparison is NULL");
    USAGE(spheresum_comparison_json(compared, NULL, fresh()), "out_text is NULL");
    USAGE(spheresum_comparison_csv(NULL, &out_text, fresh()), "comparison is NULL");
    USAGE(spheresum_comparison_csv(compared, NULL, fresh()), "out_text is NULL");
    USAGE(spheresum_table_check(0, NULL, &two, &out_text, fresh()), "out_passed is NULL");
    USAGE(spheresum_table_check(0, &one, NULL, &out_text, fresh()), "out_failed is NULL");
    USAGE(spheresum_reduction_skeleton(NULL, "a", "", "b", &out_text, fresh()), "reduction is NULL");
    USAGE(spheresum_reduction_skeleton(reduction, NULL, "", "b", &out_text, fresh()), "files is NULL");
    USAGE(spheresum_reduction_skeleton(reduction, "a", NULL, "b", &out_text, fresh()), "options is NULL");
    USAGE(spheresum_reduction_skeleton(reduction, "a", "rule", "b", &out_text, fresh()), "is no option");
    USAGE(spheresum_reduction_skeleton(reduction, "a", "--rool sine", "b", &out_text, fresh()), "there is no option");
    USAGE(spheresum_reduction_skeleton(reduction, "a", "", " ", &out_text, fresh()), "has to be named");
    USAGE(spheresum_reduction_skeleton(reduction, "a,,b", "", "b", &out_text, fresh()), "cannot stand in a table");
    USAGE(spheresum_reduction_skeleton(reduction, "a", "", NULL, &out_text, fresh()), "source is NULL");
    USAGE(spheresum_reduction_skeleton(reduction, "a", "", "b", NULL, fresh()), "out_text is NULL");
    USAGE(spheresum_table_check_file(NULL, "a", &one, &two, &out_text, fresh()), "formats is NULL");
    USAGE(spheresum_table_check_file(formats, NULL, &one, &two, &out_text, fresh()), "path is NULL");
    USAGE(spheresum_table_check_file(formats, "a", NULL, &two, &out_text, fresh()), "out_passed is NULL");
    USAGE(spheresum_table_check_file(formats, "a", &one, NULL, &out_text, fresh()), "out_failed is NULL");
    out_text = STALE(spheresum_text);
    USAGE(spheresum_table_check(SIZE_MAX, &one, &two, &out_text, fresh()), "there is no table");
    CHECK(out_text == NULL && one == 77 && two == 77);
    NEAR(number, UNTOUCHED, 0.0);
    spheresum_run_free(out_run);
}

/* Getters cannot fail: they give nothing for NULL, for another kind, and beyond the end. */
static void getters(void)
{
    double number = UNTOUCHED;
    const spheresum_formats *no_formats[2];
    const spheresum_file *no_file[2];
    const spheresum_finding *no_finding[2];
    const spheresum_figure *no_figure[2];
    const spheresum_reduction *no_reduction[2];
    const spheresum_comparison *no_comparison[2];
    const spheresum_difference *no_difference[2];
    const spheresum_noise *no_noise[2];
    const spheresum_readings *no_readings[2];
    const spheresum_error *no_error[2];
    int at;
    no_formats[0] = NULL;
    no_formats[1] = WRONG(spheresum_formats);
    no_file[0] = NULL;
    no_file[1] = WRONG(spheresum_file);
    no_finding[0] = NULL;
    no_finding[1] = WRONG(spheresum_finding);
    no_figure[0] = NULL;
    no_figure[1] = WRONG(spheresum_figure);
    no_reduction[0] = NULL;
    no_reduction[1] = WRONG(spheresum_reduction);
    no_comparison[0] = NULL;
    no_comparison[1] = WRONG(spheresum_comparison);
    no_difference[0] = NULL;
    no_difference[1] = WRONG(spheresum_difference);
    no_noise[0] = NULL;
    no_noise[1] = WRONG(spheresum_noise);
    no_readings[0] = NULL;
    no_readings[1] = WRONG(spheresum_readings);
    no_error[0] = NULL;
    no_error[1] = WRONG(spheresum_error);
    for (at = 0; at < 2; at++) {
        CHECK(spheresum_formats_count(no_formats[at]) == 0);
        SAME(spheresum_formats_id(no_formats[at], 0), "");
        SAME(spheresum_formats_name(no_formats[at], 0), "");
        SAME(spheresum_formats_specification(no_formats[at], 0), "");
        SAME(spheresum_file_format(no_file[at]), "");
        SAME(spheresum_file_sha256(no_file[at]), "");
        CHECK(spheresum_file_readings(no_file[at]) == NULL);
        CHECK(spheresum_file_has_curve(no_file[at]) == 0);
        CHECK(spheresum_file_finding_count(no_file[at]) == 0);
        CHECK(spheresum_file_finding(no_file[at], 0) == NULL);
        CHECK(spheresum_finding_severity(no_finding[at]) == SPHERESUM_SEVERITY_NOTE);
        SAME(spheresum_finding_code(no_finding[at]), "");
        SAME(spheresum_finding_message(no_finding[at]), "");
        SAME(spheresum_finding_advice(no_finding[at]), "");
        SAME(spheresum_finding_source(no_finding[at]), "");
        SAME(spheresum_finding_field(no_finding[at]), "");
        CHECK(spheresum_finding_line(no_finding[at]) == 0);
        CHECK(spheresum_finding_column(no_finding[at]) == 0);
        CHECK(spheresum_finding_effect_db(no_finding[at], &number) == 0);
        SAME(spheresum_figure_name(no_figure[at]), "");
        SAME(spheresum_figure_unit(no_figure[at]), "");
        SAME(spheresum_figure_reason(no_figure[at]), "");
        SAME(spheresum_figure_assumption(no_figure[at]), "");
        SAME(spheresum_figure_rule(no_figure[at]), "");
        SAME(spheresum_figure_edges(no_figure[at]), "");
        CHECK(spheresum_figure_state(no_figure[at]) == SPHERESUM_FIGURE_REFUSED);
        CHECK(spheresum_figure_number(no_figure[at], SPHERESUM_NUMBER_VALUE, &number) == 0);
        CHECK(spheresum_reduction_verdict(no_reduction[at]) == SPHERESUM_VERDICT_NOT_ASSESSED);
        CHECK(spheresum_reduction_quantity(no_reduction[at]) == 0);
        SAME(spheresum_reduction_name(no_reduction[at]), "");
        SAME(spheresum_reduction_rule(no_reduction[at]), "");
        CHECK(spheresum_reduction_channel_count(no_reduction[at]) == 0);
        CHECK(spheresum_reduction_frequency_hz(no_reduction[at], 0, &number) == 0);
        CHECK(spheresum_reduction_figure_count(no_reduction[at], 0) == 0);
        CHECK(spheresum_reduction_figure(no_reduction[at], 0, 0) == NULL);
        CHECK(spheresum_reduction_noise(no_reduction[at], 0) == NULL);
        CHECK(spheresum_reduction_summary_count(no_reduction[at]) == 0);
        CHECK(spheresum_reduction_summary(no_reduction[at], 0) == NULL);
        CHECK(spheresum_reduction_finding_count(no_reduction[at]) == 0);
        CHECK(spheresum_reduction_finding(no_reduction[at], 0) == NULL);
        CHECK(spheresum_comparison_test_count(no_comparison[at]) == 0);
        CHECK(spheresum_comparison_reduction(no_comparison[at], 0) == NULL);
        SAME(spheresum_comparison_name(no_comparison[at], 0), "");
        SAME(spheresum_comparison_sentence(no_comparison[at], 0), "");
        SAME(spheresum_comparison_headline(no_comparison[at], 0), "");
        CHECK(spheresum_comparison_largest_drop_db(no_comparison[at], 0, &number) == 0);
        CHECK(spheresum_comparison_channel_count(no_comparison[at], 0) == 0);
        CHECK(spheresum_comparison_frequency_hz(no_comparison[at], 0, 0, &number) == 0);
        CHECK(spheresum_comparison_difference_count(no_comparison[at], 0, 0) == 0);
        CHECK(spheresum_comparison_difference(no_comparison[at], 0, 0, 0) == NULL);
        CHECK(spheresum_comparison_summary_count(no_comparison[at], 0) == 0);
        CHECK(spheresum_comparison_summary(no_comparison[at], 0, 0) == NULL);
        CHECK(spheresum_comparison_finding_count(no_comparison[at], 0) == 0);
        CHECK(spheresum_comparison_finding(no_comparison[at], 0, 0) == NULL);
        SAME(spheresum_difference_name(no_difference[at]), "");
        SAME(spheresum_difference_unit(no_difference[at]), "");
        CHECK(spheresum_difference_verdict(no_difference[at]) == SPHERESUM_NOT_ASSESSED);
        CHECK(spheresum_difference_number(no_difference[at], SPHERESUM_DIFFERENCE_DB, &number) == 0);
        CHECK(spheresum_noise_verdict(no_noise[at]) == SPHERESUM_VERDICT_NOT_ASSESSED);
        CHECK(spheresum_noise_number(no_noise[at], SPHERESUM_NOISE_AVERAGES, &number) == 0);
        CHECK(spheresum_noise_floor_dbm(no_noise[at], SPHERESUM_POLARISATION_THETA, &number) == 0);
        CHECK(spheresum_readings_count(no_readings[at]) == 0);
        CHECK(spheresum_readings_quantity(no_readings[at]) == 0);
        CHECK(spheresum_readings_frequency_count(no_readings[at]) == 0);
        CHECK(spheresum_error_code(no_error[at]) == SPHERESUM_STATUS_OK);
        SAME(spheresum_error_message(no_error[at]), "");
        SAME(spheresum_error_hint(no_error[at]), "");
        SAME(spheresum_error_field(no_error[at]), "");
        CHECK(spheresum_error_line(no_error[at]) == 0);
        CHECK(spheresum_error_column(no_error[at]) == 0);
    }
    SAME(spheresum_text_data(NULL), "");
    SAME(spheresum_text_data((const spheresum_text *)(const void *)run), "");
    CHECK(spheresum_text_length(NULL) == 0);
    CHECK(spheresum_text_length((const spheresum_text *)(const void *)run) == 0);
    CHECK(spheresum_sink_option(NULL, "a") == NULL);
    CHECK(spheresum_sink_option(WRONG(spheresum_sink), "a") == NULL);

    /* Beyond the end, and numbers that there are not. */
    SAME(spheresum_formats_id(formats, SIZE_MAX), "");
    SAME(spheresum_option_name(SIZE_MAX), "");
    SAME(spheresum_table_name(SIZE_MAX), "");
    CHECK(spheresum_file_finding(file, SIZE_MAX) == NULL);
    CHECK(spheresum_reduction_figure_count(reduction, SIZE_MAX) == 0);
    CHECK(spheresum_reduction_figure(reduction, 0, SIZE_MAX) == NULL);
    CHECK(spheresum_reduction_figure(reduction, SIZE_MAX, 0) == NULL);
    CHECK(spheresum_reduction_frequency_hz(reduction, SIZE_MAX, &number) == 0);
    CHECK(spheresum_reduction_summary(reduction, SIZE_MAX) == NULL);
    CHECK(spheresum_reduction_finding(reduction, SIZE_MAX) == NULL);
    CHECK(spheresum_reduction_noise(reduction, SIZE_MAX) == NULL);
    CHECK(spheresum_comparison_reduction(compared, SIZE_MAX) == NULL);
    SAME(spheresum_comparison_name(compared, SIZE_MAX), "");
    CHECK(spheresum_comparison_difference(compared, 0, SIZE_MAX, 0) == NULL);
    CHECK(spheresum_comparison_difference(compared, 0, 0, SIZE_MAX) == NULL);
    CHECK(spheresum_comparison_summary(compared, 0, SIZE_MAX) == NULL);
    CHECK(spheresum_comparison_finding(compared, 0, SIZE_MAX) == NULL);
    CHECK(spheresum_figure_number(spheresum_reduction_figure(reduction, 0, 0), -1, &number) == 0);
    CHECK(spheresum_figure_number(spheresum_reduction_figure(reduction, 0, 0), INT32_MAX, &number) == 0);
    CHECK(spheresum_difference_number(spheresum_comparison_difference(compared, 0, 0, 0), 99, &number) == 0);
    NEAR(number, UNTOUCHED, 0.0);
    CHECK(spheresum_figure_number(spheresum_reduction_figure(reduction, 0, 0), SPHERESUM_NUMBER_VALUE, NULL) == 1);

    /* NULL and objects of another kind are not freed. */
    spheresum_formats_free(NULL);
    spheresum_options_free(NULL);
    spheresum_readings_free(NULL);
    spheresum_run_free(NULL);
    spheresum_reduction_free(NULL);
    spheresum_comparison_free(NULL);
    spheresum_file_free(NULL);
    spheresum_text_free(NULL);
    spheresum_error_free(NULL);
    spheresum_formats_free(WRONG(spheresum_formats));
    spheresum_run_free(WRONG(spheresum_run));
    spheresum_error_free(WRONG(spheresum_error));
    CHECK(spheresum_text_length(text) > 0);

    /* What is borrowed is neither freed nor changed, even where const is cast away. */
    {
        spheresum_readings *part = (spheresum_readings *)spheresum_file_readings(file);
        spheresum_reduction *other = (spheresum_reduction *)spheresum_comparison_reduction(compared, 0);
        spheresum_readings_free(part);
        spheresum_reduction_free(other);
        CHECK(spheresum_readings_count(spheresum_file_readings(file)) == 3);
        SAME(spheresum_reduction_name(spheresum_comparison_reduction(compared, 0)), "gauge");
        USAGE(spheresum_readings_add_entry(part, "a", "b", fresh()), "readings is borrowed from another object");
    }
}

static int32_t add(int32_t polarisation, double frequency_hz, size_t count, double theta, double phi, double level, int32_t unit,
                   uint8_t state)
{
    double thetas[2], phis[2], levels[2];
    uint8_t states[2];
    thetas[0] = 90.0;
    phis[0] = 0.0;
    levels[0] = 1.0;
    states[0] = SPHERESUM_SAMPLE_MEASURED;
    thetas[1] = theta;
    phis[1] = phi;
    levels[1] = level;
    states[1] = state;
    return spheresum_readings_add(readings, polarisation, frequency_hz, count, thetas, phis, levels, unit, states, NULL, fresh());
}

static void arrays(void)
{
    enum { THETA = SPHERESUM_POLARISATION_THETA, DB = SPHERESUM_UNIT_DECIBEL };
    const uint8_t measured = SPHERESUM_SAMPLE_MEASURED;
    const size_t before = spheresum_readings_count(readings);
    double *one = theta_deg, numbers[4] = {UNTOUCHED, UNTOUCHED, UNTOUCHED, UNTOUCHED};
    size_t indices[2] = {77, 77};
    int32_t polarisations[2] = {77, 77};
    double times[1];
    spheresum_readings *field = NULL, *sensitivities = NULL, *none = NULL;

    /* NULL, misaligned, lengths. */
    USAGE(spheresum_readings_add(NULL, THETA, 0, 1, one, one, one, DB, NULL, NULL, fresh()), "readings is NULL");
    USAGE(spheresum_readings_add(WRONG(spheresum_readings), THETA, 0, 1, one, one, one, DB, NULL, NULL, fresh()), "readings is no object");
    USAGE(spheresum_readings_add(readings, THETA, 0, 1, NULL, one, one, DB, NULL, NULL, fresh()), "theta_deg is NULL");
    USAGE(spheresum_readings_add(readings, THETA, 0, 1, one, NULL, one, DB, NULL, NULL, fresh()), "phi_deg is NULL");
    USAGE(spheresum_readings_add(readings, THETA, 0, 1, one, one, NULL, DB, NULL, NULL, fresh()), "level is NULL");
    USAGE(spheresum_readings_add(readings, THETA, 0, 1, (double *)odd(one), one, one, DB, NULL, NULL, fresh()), "theta_deg is not aligned to 8 bytes");
    USAGE(spheresum_readings_add(readings, THETA, 0, 1, one, one, one, DB, NULL, (double *)odd(one), fresh()), "time_s is not aligned");
    LIMIT(spheresum_readings_add(readings, THETA, 0, SIZE_MAX, one, one, one, DB, NULL, NULL, fresh()), "readings and the");
    LIMIT(spheresum_readings_add(readings, THETA, 0, HUGE_COUNT, one, one, one, DB, NULL, NULL, fresh()), "are more than 67108864");
    LIMIT(spheresum_readings_add(readings, THETA, 0, 67108865, one, one, one, DB, NULL, NULL, fresh()), "are more than 67108864");
    SAME(spheresum_error_field(error), "count");
    FINE(spheresum_readings_add(readings, THETA, 0, 0, NULL, NULL, NULL, DB, NULL, NULL, fresh()));

    /* Numbers. */
    INPUT(add(THETA, 0, 2, NAN, 0, 0, DB, measured), "theta_deg[1] is not a finite number");
    SAME(spheresum_error_field(error), "theta_deg");
    CHECK(spheresum_error_line(error) == 2);
    INPUT(add(THETA, 0, 2, 0, -INFINITY, 0, DB, measured), "phi_deg[1] is not a finite number");
    INPUT(add(THETA, 0, 2, 0, 0, NAN, DB, measured), "level[1] is not a finite number");
    INPUT(add(THETA, 0, 2, 0, 0, INFINITY, SPHERESUM_UNIT_LINEAR, measured), "level[1] is not a finite number");
    INPUT(add(THETA, 0, 2, 0, 0, 301.0, DB, measured), "level[1] = 301 is no level");
    INPUT(add(THETA, 0, 2, 0, 0, -1e-9, SPHERESUM_UNIT_LINEAR, measured), "is no level");
    INPUT(add(THETA, 0, 2, 400.0, 0, 0, DB, measured), "theta_deg[1] = 400 is not between -180 and 360");
    SAME(spheresum_error_field(error), "theta_deg");
    INPUT(add(THETA, 0, 2, 0, 1e300, 0, DB, measured), "phi_deg[1] = 1e300 is not between -360 and 720");
    USAGE(add(3, 0, 2, 0, 0, 0, DB, measured), "there is no polarisation 3");
    USAGE(add(INT32_MIN, 0, 2, 0, 0, 0, DB, measured), "there is no polarisation");
    USAGE(add(THETA, 0, 2, 0, 0, 0, 2, measured), "there is no unit 2");
    USAGE(add(THETA, 0, 2, 0, 0, 0, DB, 4), "state[1] is 4, which is no state of a sample");
    USAGE(add(THETA, NAN, 2, 0, 0, 0, DB, measured), "Hz is no frequency");
    USAGE(add(THETA, -1.0, 2, 0, 0, 0, DB, measured), "-1 Hz is no frequency");
    USAGE(add(THETA, INFINITY, 2, 0, 0, 0, DB, measured), "Hz is no frequency");
    USAGE(add(THETA, 1e300, 2, 0, 0, 0, DB, measured), "Hz is no frequency");
    /* All or none: neither readings nor their frequency stay behind. */
    INPUT(add(THETA, 915e6, 2, 0, 0, NAN, DB, measured), "level[1]");
    CHECK(spheresum_readings_count(readings) == before);
    CHECK(spheresum_readings_frequency_count(readings) == 1);
    times[0] = NAN;
    INPUT(spheresum_readings_add(readings, THETA, 868.3e6, 1, one, one, one, DB, NULL, times, fresh()), "time_s[0] is not a finite number");
    SAME(spheresum_error_field(error), "time_s");
    CHECK(spheresum_readings_count(readings) == before);
    INPUT(spheresum_readings_add_one(readings, THETA, 0, NAN, 0, 0, DB, measured, fresh()), "theta_deg[0]");

    /* Fields. */
    FINE(spheresum_readings_new(SPHERESUM_QUANTITY_FIELD, "field", &field, fresh()));
    USAGE(spheresum_readings_add(field, THETA, 0, 1, one, one, one, DB, NULL, NULL, fresh()), "levels were given");
    USAGE(spheresum_readings_add_field(field, THETA, 0, 1, one, one, one, NULL, NULL, fresh()), "imaginary is NULL");
    USAGE(spheresum_readings_add_field(field, THETA, 0, 1, one, one, NULL, one, NULL, fresh()), "real is NULL");
    USAGE(spheresum_readings_add_field(field, THETA, 0, 1, NULL, one, one, one, NULL, fresh()), "theta_deg is NULL");
    USAGE(spheresum_readings_add_field(field, THETA, 0, 1, one, NULL, one, one, NULL, fresh()), "phi_deg is NULL");
    USAGE(spheresum_readings_add_field(NULL, THETA, 0, 1, one, one, one, one, NULL, fresh()), "readings is NULL");
    LIMIT(spheresum_readings_add_field(field, THETA, 0, SIZE_MAX, one, one, one, one, NULL, fresh()), "are more than");
    numbers[0] = NAN;
    INPUT(spheresum_readings_add_field(field, THETA, 0, 1, one, one, one, numbers, NULL, fresh()), "imaginary[0] is not a finite number");
    numbers[0] = UNTOUCHED;
    {
        const uint8_t bound = SPHERESUM_SAMPLE_AT_MOST;
        USAGE(spheresum_readings_add_field(field, THETA, 0, 1, one, one, one, one, &bound, fresh()), "state[0] is a limit");
    }
    INPUT(spheresum_readings_add_field(field, SPHERESUM_POLARISATION_TOTAL, 0, 1, one, one, one, one, NULL, fresh()), "");
    CHECK(spheresum_readings_add_field(readings, THETA, 0, 1, one, one, one, one, NULL, fresh()) != SPHERESUM_STATUS_OK);
    CHECK(spheresum_readings_count(field) == 0);

    /* Sensitivities: a lost link is a bound, and 0 W is none. */
    FINE(spheresum_readings_new(SPHERESUM_QUANTITY_EIS, "eis", &sensitivities, fresh()));
    FINE(spheresum_readings_add_one(sensitivities, THETA, 0, 0, 0, 1000.0, DB, SPHERESUM_SAMPLE_AT_LEAST, fresh()));
    CHECK(spheresum_readings_add_one(sensitivities, THETA, 0, 0, 0, 1000.0, DB, measured, fresh()) == SPHERESUM_STATUS_INPUT);
    CHECK(spheresum_readings_add_one(sensitivities, THETA, 0, 0, 0, 0.0, SPHERESUM_UNIT_LINEAR, measured, fresh()) == SPHERESUM_STATUS_INPUT);
    FINE(spheresum_readings_get(sensitivities, 0, 1, NULL, NULL, NULL, NULL, numbers, NULL, NULL, fresh()));
    NEAR(numbers[0], 0.0, 0.0);
    numbers[0] = UNTOUCHED;

    /* Unknown quantities. */
    USAGE(spheresum_readings_new(0, "a", &none, fresh()), "there is no quantity 0");
    USAGE(spheresum_readings_new(SPHERESUM_QUANTITY_RELATIVE, "a", &none, fresh()), "there is no quantity 9");
    USAGE(spheresum_readings_new(INT32_MAX, "a", &none, fresh()), "there is no quantity");
    HAS(spheresum_error_hint(error), "SPHERESUM_QUANTITY_");

    /* Reading back. */
    USAGE(spheresum_readings_get(readings, before, 1, numbers, NULL, NULL, NULL, NULL, NULL, NULL, fresh()), "1 readings from number");
    USAGE(spheresum_readings_get(readings, 0, SIZE_MAX, numbers, NULL, NULL, NULL, NULL, NULL, NULL, fresh()), "were asked for");
    USAGE(spheresum_readings_get(readings, SIZE_MAX, 1, numbers, NULL, NULL, NULL, NULL, NULL, NULL, fresh()), "were asked for");
    USAGE(spheresum_readings_get(readings, 0, 1, numbers, (double *)odd(numbers), indices, polarisations, NULL, NULL, NULL, fresh()), "out_phi_deg is not aligned");
    USAGE(spheresum_readings_get(readings, 0, 1, numbers, NULL, (size_t *)odd(indices), NULL, NULL, NULL, NULL, fresh()), "out_frequency is not aligned");
    USAGE(spheresum_readings_get(readings, 0, 1, numbers, NULL, NULL, (int32_t *)odd(polarisations), NULL, NULL, NULL, fresh()), "out_polarisation is not aligned");
    USAGE(spheresum_readings_frequency_hz(readings, 0, (double *)odd(numbers), fresh()), "out_frequency_hz is not aligned");
    FINE(spheresum_readings_get(readings, before, 0, numbers, NULL, NULL, NULL, NULL, NULL, NULL, fresh()));
    NEAR(numbers[0], UNTOUCHED, 0.0);
    CHECK(indices[0] == 77 && polarisations[0] == 77);
    CHECK(spheresum_figure_number(spheresum_reduction_figure(reduction, 0, 0), SPHERESUM_NUMBER_VALUE, (double *)odd(numbers)) == 1);
    NEAR(numbers[0], UNTOUCHED, 0.0);
    /* There is nowhere to say why, so nothing is done. */
    CHECK(spheresum_readings_add_entry(readings, "a", "b", (spheresum_error **)odd(numbers)) == SPHERESUM_STATUS_USAGE);
    NEAR(numbers[0], UNTOUCHED, 0.0);

    spheresum_readings_free(sensitivities);
    spheresum_readings_free(field);
}

static void texts(void)
{
    spheresum_text *out_text = NULL;
    spheresum_file *out_file = NULL;
    spheresum_run *out_run = NULL;
    uint8_t zeros[4] = {0, 0, 0, 0};
    char id[3000];
    USAGE(spheresum_run_new(not_utf8, &out_run, fresh()), "name is not UTF-8 from byte 3 on");
    SAME(spheresum_error_field(error), "name");
    HAS(spheresum_error_hint(error), "UTF-8");
    USAGE(spheresum_options_set(options, not_utf8, "a", fresh()), "name is not UTF-8");
    USAGE(spheresum_options_set(options, "rule", not_utf8, fresh()), "value is not UTF-8");
    USAGE(spheresum_file_open(formats, not_utf8, NULL, &out_file, fresh()), "path is not UTF-8");
    USAGE(spheresum_readings_add_entry(readings, "a", not_utf8, fresh()), "value is not UTF-8");

    /* Options that there are not. */
    USAGE(spheresum_options_set(options, "rulle", "sine", fresh()), "there is no option \"rulle\"");
    HAS(spheresum_error_hint(error), "did you mean rule?");
    SAME(spheresum_error_field(error), "rulle");
    USAGE(spheresum_options_set(options, "", "", fresh()), "there is no option \"\"");
    USAGE(spheresum_options_set(options, "rule", "simpson", fresh()), "simpson");
    USAGE(spheresum_options_set(options, "snap-deg", "nan", fresh()), "is not in 0");
    USAGE(spheresum_options_set(options, "max-missing", "1e999", fresh()), "is no percentage");
    USAGE(spheresum_options_set(options, "frequency-mhz", "-1", fresh()), "no frequency");
    USAGE(spheresum_options_set(options, "polarisation", "left", fresh()), "there is no polarisation \"left\"");
    USAGE(spheresum_options_set(options, "threads", "0", fresh()), "no number of threads");
    USAGE(spheresum_options_set(options, "threads", "99999999999999999999", fresh()), "no number of threads");
    USAGE(spheresum_options_set(options, "option", "rows", fresh()), "no option of an adapter");
    USAGE(spheresum_options_set(options, "figures", "trp,nonsense", fresh()), "nonsense");
    USAGE(spheresum_options_set(options, "path-loss-exponent", "0", fresh()), "the path-loss exponent is a number above 0");

    /* Files. */
    REFUSED(spheresum_file_open(formats, "/no/such/file", NULL, &out_file, fresh()), SPHERESUM_STATUS_IO, "/no/such/file cannot be read: ");
    REFUSED(spheresum_file_open(formats, "/", NULL, &out_file, fresh()), SPHERESUM_STATUS_IO, "/ cannot be read: ");
    LIMIT(spheresum_file_read(formats, "a", bytes("a"), SIZE_MAX, NULL, &out_file, fresh()), "bytes are more than 1073741824");
    LIMIT(spheresum_formats_look(formats, "a", bytes("a"), SIZE_MAX, &out_text, fresh()), "bytes are more than 1073741824");
    LIMIT(spheresum_formats_add_layout(formats, "a", bytes("a"), SIZE_MAX, fresh()), "a layout of");
    CHECK(spheresum_file_read(formats, "a", NULL, 0, NULL, &out_file, fresh()) != SPHERESUM_STATUS_OK);
    CHECK(spheresum_file_read(formats, "a", zeros, 4, NULL, &out_file, fresh()) != SPHERESUM_STATUS_OK);
    REFUSED(spheresum_file_read(formats, "a", bytes("hello\n"), 6, NULL, &out_file, fresh()), SPHERESUM_STATUS_UNSUPPORTED, "");
    CHECK(out_file == NULL);
    {
        /* A count that the file claims, and no room for it: nothing is allocated for the claim. */
        static const char cut[] = "claim\n0 0.0001 2000000000 0 1 1 2\n1 0 0 0\n";
        CHECK(spheresum_file_read(formats, "a.cut", bytes(cut), sizeof cut - 1, NULL, &out_file, fresh()) != SPHERESUM_STATUS_OK);
        CHECK(error != NULL && strlen(spheresum_error_message(error)) > 0);
    }

    /* Layouts. */
    INPUT(spheresum_formats_add_layout(formats, "a.toml", bytes("id = 7\n"), 7, fresh()), "a layout has no kind");
    INPUT(spheresum_formats_add_layout(formats, "a.toml", bytes("# a\nid = \n"), 10, fresh()), "");
    CHECK(spheresum_error_line(error) == 2);
    INPUT(spheresum_formats_add_layout(formats, "a.toml", bytes(not_utf8), 4, fresh()), "");
    CHECK(spheresum_formats_add_layout(formats, "a.toml", bytes(""), 0, fresh()) == SPHERESUM_STATUS_INPUT);
    memset(id, 'a', sizeof id);
    CHECK(spheresum_formats_add_layout(formats, "a.toml", bytes(id), sizeof id, fresh()) == SPHERESUM_STATUS_INPUT);
}

/* An adapter that does what its step says. */
enum step {
    LOOK_NONSENSE, LOOK_UNENDED, LOOK_CALLS_IN, READ_GIVES_UP, READ_UNKNOWN_STATUS, READ_NOTHING, ADD_FIRST, BEGIN_TWICE, BEGIN_FIELD,
    BEGIN_UNKNOWN, ADD_NAN, ADD_INFINITE, ADD_LOUD, ADD_THETA, ADD_FREQUENCY, ADD_UNIT, ADD_STATE, ADD_POLARISATION, ADD_UNSAID, IGNORES,
    OVERRULES, FAILS_TWICE, FAIL_ARGUMENTS, REMARK_ARGUMENTS, OPTION_NOT_ASKED, CALLS_IN, NO_MEMORY
};

static enum step step;
static int destroyed = 0;

static void destroy(void *user)
{
    *(int *)user += 1;
}

/* Calls back into the library with objects of its own; true where all went well. */
static int calls_in(void)
{
    spheresum_formats *own = NULL;
    spheresum_file *inner = NULL;
    spheresum_error *inner_error = NULL;
    int ok = strcmp(spheresum_version(), SPHERESUM_VERSION) == 0;
    ok = ok && spheresum_formats_new(&own, &inner_error) == SPHERESUM_STATUS_OK;
    ok = ok && spheresum_file_read(own, "inner", bytes("nothing\n"), 8, NULL, &inner, &inner_error) == SPHERESUM_STATUS_UNSUPPORTED;
    ok = ok && inner == NULL && strlen(spheresum_error_message(inner_error)) > 0;
    spheresum_error_free(inner_error);
    spheresum_formats_free(own);
    return ok;
}

static int32_t step_look(const char *name, const char *head, size_t length, char *reason, size_t capacity, void *user)
{
    (void)name;
    (void)user;
    if (length < 4 || memcmp(head, "STEP", 4) != 0) {
        return SPHERESUM_CONFIDENCE_NONE;
    }
    switch (step) {
    case LOOK_NONSENSE:
        return 99;
    case LOOK_UNENDED:
        memset(reason, 'x', capacity);
        return SPHERESUM_CONFIDENCE_MAYBE;
    case LOOK_CALLS_IN:
        snprintf(reason, capacity, calls_in() ? "all well" : "not well");
        return SPHERESUM_CONFIDENCE_LIKELY;
    default:
        return SPHERESUM_CONFIDENCE_CERTAIN;
    }
}

static int32_t step_add(spheresum_sink *sink, double frequency_hz, double theta, double level, uint64_t line)
{
    return spheresum_sink_add(sink, SPHERESUM_POLARISATION_THETA, frequency_hz, theta, 0.0, level, SPHERESUM_UNIT_DECIBEL,
                              SPHERESUM_SAMPLE_MEASURED, line, NULL);
}

static int32_t take_step(spheresum_sink *sink)
{
    const int32_t theta = SPHERESUM_POLARISATION_THETA, db = SPHERESUM_UNIT_DECIBEL;
    const uint8_t measured = SPHERESUM_SAMPLE_MEASURED;
    if (step == ADD_FIRST) {
        USAGE(spheresum_sink_add(sink, theta, 0, 0, 0, 0, db, measured, 1, fresh()), "spheresum_sink_begin() comes before");
        return spheresum_error_code(error);
    }
    if (step == BEGIN_FIELD) {
        USAGE(spheresum_sink_begin(sink, SPHERESUM_QUANTITY_FIELD, fresh()), "is no field");
        return SPHERESUM_STATUS_USAGE;
    }
    if (step == BEGIN_UNKNOWN) {
        USAGE(spheresum_sink_begin(sink, 99, fresh()), "there is no quantity 99");
        return SPHERESUM_STATUS_USAGE;
    }
    FINE(spheresum_sink_begin(sink, SPHERESUM_QUANTITY_EIRP, fresh()));
    if (step != READ_NOTHING) {
        FINE(step_add(sink, 868.3e6, 90.0, 1.0, 1));
    }
    switch (step) {
    case READ_GIVES_UP:
        return SPHERESUM_STATUS_UNSUPPORTED;
    case READ_UNKNOWN_STATUS:
        return -7;
    case BEGIN_TWICE:
        USAGE(spheresum_sink_begin(sink, SPHERESUM_QUANTITY_EIRP, fresh()), "the quantity is said once");
        return SPHERESUM_STATUS_USAGE;
    case ADD_NAN:
        INPUT(spheresum_sink_add(sink, theta, 0, 0, 0, NAN, db, measured, 2, fresh()), "NaN is no level");
        break;
    case ADD_INFINITE:
        INPUT(spheresum_sink_add(sink, theta, 0, 0, 0, INFINITY, SPHERESUM_UNIT_LINEAR, measured, 2, fresh()), "inf is no level");
        break;
    case ADD_LOUD:
        INPUT(spheresum_sink_add(sink, theta, 0, 0, 0, 300.1, db, measured, 2, fresh()), "300.1 is no level");
        break;
    case ADD_THETA:
        INPUT(spheresum_sink_add(sink, theta, 0, NAN, 0, 0, db, measured, 2, fresh()), "is out of range");
        break;
    case ADD_FREQUENCY:
        USAGE(spheresum_sink_add(sink, theta, -5.0, 0, 0, 0, db, measured, 2, fresh()), "-5 Hz is no frequency");
        break;
    case ADD_UNIT:
        USAGE(spheresum_sink_add(sink, theta, 0, 0, 0, 0, 9, measured, 2, fresh()), "there is no unit 9");
        break;
    case ADD_STATE:
        USAGE(spheresum_sink_add(sink, theta, 0, 0, 0, 0, db, SPHERESUM_SAMPLE_MISSING, 2, fresh()), "is no state of a reading");
        break;
    case ADD_POLARISATION:
        USAGE(spheresum_sink_add(sink, 7, 0, 0, 0, 0, db, measured, 2, fresh()), "there is no polarisation 7");
        break;
    case ADD_UNSAID:
        REFUSED(spheresum_sink_add(sink, -1, 0, 0, 0, 0, db, measured, 2, fresh()), SPHERESUM_STATUS_AMBIGUOUS, "polarisation of the file is not known");
        break;
    case IGNORES:
        (void)step_add(sink, 0.0, 90.0, NAN, 17);
        (void)step_add(sink, 0.0, 90.0, 5000.0, 18);
        (void)step_add(sink, 0.0, 90.0, 5.0, 19);
        break;
    case OVERRULES:
        (void)step_add(sink, 0.0, 90.0, NAN, 17);
        FINE(spheresum_sink_fail(sink, SPHERESUM_STATUS_AMBIGUOUS, "a level is no number", "", 17, 3, fresh()));
        break;
    case FAILS_TWICE:
        FINE(spheresum_sink_fail(sink, SPHERESUM_STATUS_LIMIT, "the first", "", 0, 0, fresh()));
        FINE(spheresum_sink_fail(sink, SPHERESUM_STATUS_INPUT, "the second", "", 0, 0, fresh()));
        break;
    case FAIL_ARGUMENTS:
        USAGE(spheresum_sink_fail(sink, SPHERESUM_STATUS_OK, "a", "", 0, 0, fresh()), "0 is no status of a failure");
        USAGE(spheresum_sink_fail(sink, SPHERESUM_STATUS_INTERNAL, "a", "", 0, 0, fresh()), "9000 is no status of a failure");
        USAGE(spheresum_sink_fail(sink, INT32_MIN, "a", "", 0, 0, fresh()), "is no status of a failure");
        USAGE(spheresum_sink_fail(sink, SPHERESUM_STATUS_INPUT, NULL, "", 0, 0, fresh()), "message is NULL");
        USAGE(spheresum_sink_fail(sink, SPHERESUM_STATUS_INPUT, "a", NULL, 0, 0, fresh()), "hint is NULL");
        USAGE(spheresum_sink_fail(sink, SPHERESUM_STATUS_INPUT, not_utf8, "", 0, 0, fresh()), "message is not UTF-8");
        break;
    case REMARK_ARGUMENTS:
        USAGE(spheresum_sink_remark(sink, SPHERESUM_SEVERITY_REFUSAL, "a", "b", 0, fresh()), "2 is no severity of a remark");
        USAGE(spheresum_sink_remark(sink, SPHERESUM_SEVERITY_NOTE, NULL, "b", 0, fresh()), "code is NULL");
        USAGE(spheresum_sink_remark(sink, SPHERESUM_SEVERITY_NOTE, "a", NULL, 0, fresh()), "message is NULL");
        CHECK(spheresum_sink_option(sink, NULL) == NULL);
        CHECK(spheresum_sink_option(sink, not_utf8) == NULL);
        CHECK(spheresum_sink_option(sink, "nonsense") == NULL);
        FINE(spheresum_sink_remark(sink, SPHERESUM_SEVERITY_NOTE, "late", "line beyond the end", UINT64_MAX, fresh()));
        break;
    case CALLS_IN:
        CHECK(calls_in());
        break;
    case NO_MEMORY:
        /* As an adapter does whose malloc gave NULL. */
        (void)spheresum_sink_fail(sink, SPHERESUM_STATUS_LIMIT, "there is no memory for a copy", "close other programs", 0, 0, NULL);
        return SPHERESUM_STATUS_LIMIT;
    default:
        break;
    }
    return SPHERESUM_STATUS_OK;
}

static int32_t step_read(const char *name, const char *head, size_t length, spheresum_sink *sink, void *user)
{
    int32_t status = take_step(sink);
    (void)name;
    (void)head;
    (void)length;
    (void)user;
    /* The call around this one writes the same output. */
    (void)fresh();
    return status;
}

static int32_t read_step(enum step what, spheresum_file **out)
{
    int32_t status;
    step = what;
    status = spheresum_file_read(formats, "s", bytes("STEP\n"), 5, NULL, out, fresh());
    CHECK((status == SPHERESUM_STATUS_OK) == (*out != NULL));
    return status;
}

static void look_of(enum step what, const char *part)
{
    spheresum_text *out = NULL;
    step = what;
    FINE(spheresum_formats_look(formats, "s", bytes("STEP\n"), 5, &out, fresh()));
    HAS(spheresum_text_data(out), part);
    spheresum_text_free(out);
}

static void tables_of_adapters(void)
{
    spheresum_adapter adapter, good;
    struct {
        spheresum_adapter adapter;
        size_t more;
    } newer;
    const size_t before = spheresum_formats_count(formats);
    int data = 0;
    good.size = sizeof good;
    good.id = "step";
    good.name = "one step";
    good.look = step_look;
    good.read = step_read;
    good.destroy = destroy;

    adapter = good;
    adapter.size = 0;
    USAGE(spheresum_formats_add(formats, &adapter, &data, fresh()), "an adapter of 0 bytes is less than");
    HAS(spheresum_error_hint(error), "sizeof(spheresum_adapter)");
    adapter.size = SIZE_MAX;
    USAGE(spheresum_formats_add(formats, &adapter, &data, fresh()), "is more than 4096");
    USAGE(spheresum_formats_add(formats, (spheresum_adapter *)odd(theta_deg), &data, fresh()), "adapter is not aligned");
    /* Until here the data is the caller's; from here on it is destroyed. */
    CHECK(data == 0);
    adapter = good;
    adapter.id = NULL;
    USAGE(spheresum_formats_add(formats, &adapter, &data, fresh()), "id is NULL");
    CHECK(data == 1);
    adapter = good;
    adapter.name = not_utf8;
    USAGE(spheresum_formats_add(formats, &adapter, &data, fresh()), "name is not UTF-8");
    adapter = good;
    adapter.look = NULL;
    USAGE(spheresum_formats_add(formats, &adapter, &data, fresh()), "the adapter step has no look or no read");
    adapter = good;
    adapter.read = NULL;
    USAGE(spheresum_formats_add(formats, &adapter, &data, fresh()), "the adapter step has no look or no read");
    adapter = good;
    adapter.id = "Not Kebab";
    USAGE(spheresum_formats_add(formats, &adapter, &data, fresh()), "is not kebab case");
    adapter.id = "";
    USAGE(spheresum_formats_add(formats, &adapter, &data, fresh()), "is not kebab case");
    adapter.id = "delimited";
    USAGE(spheresum_formats_add(formats, &adapter, &data, fresh()), "an adapter with the id delimited is there already");
    CHECK(data == 7);
    USAGE(spheresum_formats_add(NULL, &good, &data, fresh()), "formats is NULL");
    CHECK(data == 8);
    newer.adapter = good;
    newer.adapter.size = sizeof newer;
    newer.more = 1;
    USAGE(spheresum_formats_add(formats, &newer.adapter, &data, fresh()), "has functions that this library does not know");
    CHECK(data == 9);
    CHECK(spheresum_formats_count(formats) == before);
    /* A newer table that uses nothing new, and an older one without destroy. */
    newer.more = 0;
    newer.adapter.id = "newer";
    FINE(spheresum_formats_add(formats, &newer.adapter, &destroyed, fresh()));
    adapter = good;
    adapter.id = "older";
    adapter.size = sizeof adapter - sizeof adapter.destroy;
    FINE(spheresum_formats_add(formats, &adapter, NULL, fresh()));
    spheresum_formats_free(formats);
    CHECK(destroyed == 1);
    FINE(spheresum_formats_new(&formats, fresh()));
    FINE(spheresum_formats_add(formats, &good, &destroyed, fresh()));
    CHECK(destroyed == 1);
}

static void callbacks(void)
{
    spheresum_file *out = NULL;
    look_of(LOOK_NONSENSE, "step\t0\tit said 99, which is no confidence\n");
    look_of(LOOK_UNENDED, "step\t1\t\n");
    look_of(LOOK_CALLS_IN, "step\t2\tall well\n");

    REFUSED(read_step(READ_GIVES_UP, &out), SPHERESUM_STATUS_UNSUPPORTED, "the adapter step gave up with status 5000 and no message");
    HAS(spheresum_error_hint(error), "spheresum_sink_fail()");
    INPUT(read_step(READ_UNKNOWN_STATUS, &out), "gave up with status -7");
    INPUT(read_step(READ_NOTHING, &out), "found no readings");
    USAGE(read_step(ADD_FIRST, &out), "spheresum_sink_begin() comes before the first reading");
    USAGE(read_step(BEGIN_TWICE, &out), "the quantity is said once");
    USAGE(read_step(BEGIN_FIELD, &out), "is no field");
    USAGE(read_step(BEGIN_UNKNOWN, &out), "there is no quantity 99");
    /* What was refused is not lost in silence, though these adapters say that all is well. */
    INPUT(read_step(ADD_NAN, &out), "NaN is no level");
    CHECK(spheresum_error_line(error) == 2);
    SAME(spheresum_error_field(error), "level");
    INPUT(read_step(ADD_INFINITE, &out), "inf is no level");
    INPUT(read_step(ADD_LOUD, &out), "300.1 is no level");
    INPUT(read_step(ADD_THETA, &out), "is out of range");
    USAGE(read_step(ADD_FREQUENCY, &out), "-5 Hz is no frequency");
    USAGE(read_step(ADD_UNIT, &out), "there is no unit 9");
    USAGE(read_step(ADD_STATE, &out), "is no state of a reading");
    USAGE(read_step(ADD_POLARISATION, &out), "there is no polarisation 7");
    REFUSED(read_step(ADD_UNSAID, &out), SPHERESUM_STATUS_AMBIGUOUS, "polarisation of the file is not known");
    INPUT(read_step(IGNORES, &out), "NaN is no level");
    CHECK(spheresum_error_line(error) == 17);
    REFUSED(read_step(OVERRULES, &out), SPHERESUM_STATUS_AMBIGUOUS, "a level is no number");
    CHECK(spheresum_error_line(error) == 17 && spheresum_error_column(error) == 3);
    LIMIT(read_step(FAILS_TWICE, &out), "the first");
    FINE(read_step(FAIL_ARGUMENTS, &out));
    spheresum_file_free(out);
    FINE(read_step(REMARK_ARGUMENTS, &out));
    CHECK(spheresum_finding_line(spheresum_file_finding(out, 0)) == UINT64_MAX);
    spheresum_file_free(out);
    FINE(read_step(CALLS_IN, &out));
    spheresum_file_free(out);
    LIMIT(read_step(NO_MEMORY, &out), "there is no memory for a copy");
    SAME(spheresum_error_hint(error), "close other programs");

    /* An option that the adapter does not ask for, and an adapter that there is not. */
    step = OPTION_NOT_ASKED;
    FINE(spheresum_options_set(options, "option", "colour=red", fresh()));
    USAGE(spheresum_file_read(formats, "s", bytes("STEP\n"), 5, options, &out, fresh()), "the adapter step has no option colour");
    FINE(spheresum_options_set(options, "adapter", "stepp", fresh()));
    USAGE(spheresum_file_read(formats, "s", bytes("STEP\n"), 5, options, &out, fresh()), "stepp");

    /* Sinks that are none. */
    USAGE(spheresum_sink_begin(NULL, 1, fresh()), "sink is NULL");
    USAGE(spheresum_sink_begin(WRONG(spheresum_sink), 1, fresh()), "sink is no object of type spheresum_sink");
    USAGE(step_add(NULL, 0, 0, 0, 0) == SPHERESUM_STATUS_USAGE ? spheresum_sink_add(NULL, 0, 0, 0, 0, 0, 0, 0, 0, fresh()) : 0, "sink is NULL");
    USAGE(spheresum_sink_add(WRONG(spheresum_sink), 0, 0, 0, 0, 0, 0, 0, 0, fresh()), "sink is no object");
    USAGE(spheresum_sink_fail(WRONG(spheresum_sink), 1000, "a", "", 0, 0, fresh()), "sink is no object");
    USAGE(spheresum_sink_remark(WRONG(spheresum_sink), 0, "a", "b", 0, fresh()), "sink is no object");
    USAGE(spheresum_sink_fail(NULL, 1000, "a", "", 0, 0, fresh()), "sink is NULL");
    USAGE(spheresum_sink_remark(NULL, 0, "a", "b", 0, fresh()), "sink is NULL");
}

static void plugins(const char *folder)
{
    const size_t before = spheresum_formats_count(formats);
    char path[1024];
    FILE *written;
    snprintf(path, sizeof path, "%s/misuse-%s.so", folder, sizeof 'a' == 1 ? "cpp" : "c");
    written = fopen(path, "wb");
    CHECK(written != NULL && fputs("no library\n", written) >= 0 && fclose(written) == 0);
    REFUSED(spheresum_formats_load(formats, path, fresh()), SPHERESUM_STATUS_IO, "cannot be loaded: ");
    (void)remove(path);
    REFUSED(spheresum_formats_load(formats, path, fresh()), SPHERESUM_STATUS_IO, "cannot be loaded: ");
    USAGE(spheresum_formats_load(formats, "good.so", fresh()), "is no path of a plug-in");
    USAGE(spheresum_formats_load(formats, "", fresh()), "is no path of a plug-in");
    USAGE(spheresum_formats_load(formats, not_utf8, fresh()), "path is not UTF-8");
    snprintf(path, sizeof path, "%s/nothing.so", folder);
    USAGE(spheresum_formats_load(formats, path, fresh()), "the library exports no spheresum_plugin");
    snprintf(path, sizeof path, "%s/no_table.so", folder);
    USAGE(spheresum_formats_load(formats, path, fresh()), "the table of the plug-in is NULL");
    snprintf(path, sizeof path, "%s/other_version.so", folder);
    REFUSED(spheresum_formats_load(formats, path, fresh()), SPHERESUM_STATUS_UNSUPPORTED, "the plug-in was made for version 2 of the tables");
    snprintf(path, sizeof path, "%s/no_adapters.so", folder);
    USAGE(spheresum_formats_load(formats, path, fresh()), "the plug-in says that it has 0 adapters");
    snprintf(path, sizeof path, "%s/twice.so", folder);
    USAGE(spheresum_formats_load(formats, path, fresh()), "an adapter with the id plugged is there already");
    /* All of them or none. */
    CHECK(spheresum_formats_count(formats) == before);
    snprintf(path, sizeof path, "%s/two.so", folder);
    FINE(spheresum_formats_load(formats, path, fresh()));
    CHECK(spheresum_formats_count(formats) == before + 2);
    USAGE(spheresum_formats_load(formats, path, fresh()), "an adapter with the id plugged is there already");
    CHECK(spheresum_formats_count(formats) == before + 2);
}

int main(int count, char **words)
{
    if (count != 2) {
        fprintf(stderr, "usage: misuse FOLDER\n");
        return 2;
    }
    directions();
    make();
    objects_that_are_null_or_of_another_kind();
    getters();
    arrays();
    texts();
    tables_of_adapters();
    callbacks();
    plugins(words[1]);
    unmake();
    CHECK(destroyed == 2);
#ifdef LEAK
    (void)spheresum_options_new(NULL, fresh());
    error = NULL;
#endif
#ifdef USE_AFTER_FREE
    spheresum_run_free(run);
#endif
    return score();
}
