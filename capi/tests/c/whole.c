/*
 * Walks through the header: every function at least once, in its normal use, on spheres whose results are known in closed form.
 *
 *   whole FOLDER      a folder that may be written to, with good.so, made of plugin.c
 *
 *   -DBREAK           one expectation is wrong: the program must fail
 *   -DLEAK            a comparison is not freed: a memory checker must complain
 *   -DUSE_AFTER_FREE  a figure is read after its reduction was freed: a memory checker must complain
 */
#include "check.h"
#include "tiny.h"

#define MHZ 1e6
#define THREE_DB 1.9952623149688795 /* 10^0.3 */

static const char csv[] = "frequency_mhz,theta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm\n"
                          "868.3,0,0,7,7\n868.3,0,90,7,7\n868.3,0,180,7,7\n868.3,0,270,7,7\n"
                          "868.3,90,0,7,7\n868.3,90,90,7,7\n868.3,90,180,7,7\n868.3,90,270,7,7\n"
                          "868.3,180,0,7,7\n868.3,180,90,7,7\n868.3,180,180,7,7\n868.3,180,270,7,7\n"
                          "868.3,180,360,7,7\n";
static const char losses[] = "frequency_mhz,loss_theta_db,loss_phi_db\n860,40,41\n880,40,41\n";
static const char layout[] = "id = \"bench\"\nname = \"rows of the bench\"\nkind = \"table\"\n"
                             "[recognise]\nfirst_line_contains = \"Bench 7\"\n[text]\nseparator = \"semicolon\"\nskip_lines = 1\n"
                             "[[column]]\nheading = \"Tilt\"\nis = \"theta_deg\"\n[[column]]\nheading = \"Turn\"\nis = \"phi_deg\"\n"
                             "[[column]]\nheading = \"Pwr\"\nis = \"eirp_dbm\"\n[constants]\npolarisation = \"theta\"\n";
static const char tiny[] = "TINY\n0 0 7\n0 90 7\n0 180 7\n0 270 7\n90 0 7\n90 90 7\n90 180 7\n90 270 7\n180 0 7\n180 90 7\n180 180 7\n180 270 7\n";

static const uint8_t *bytes(const char *text) { return (const uint8_t *)(const void *)text; }

/* All getters of a finding. */
static void look_at_finding(const spheresum_finding *finding)
{
    double effect_db = 0.0;
    int32_t severity = spheresum_finding_severity(finding);
    CHECK(finding != NULL);
    CHECK(severity >= SPHERESUM_SEVERITY_NOTE && severity <= SPHERESUM_SEVERITY_REFUSAL);
    CHECK(strlen(spheresum_finding_code(finding)) > 0);
    CHECK(strlen(spheresum_finding_message(finding)) > 0);
    CHECK(spheresum_finding_advice(finding) != NULL && spheresum_finding_source(finding) != NULL);
    CHECK(spheresum_finding_field(finding) != NULL);
    CHECK(spheresum_finding_line(finding) > 0 || spheresum_finding_column(finding) == 0);
    if (spheresum_finding_effect_db(finding, &effect_db)) {
        CHECK(fabs(effect_db) < 1000.0);
    }
}

/* Value of a figure, found by its name. */
static double figure(const spheresum_reduction *reduction, size_t channel, const char *name)
{
    const spheresum_figure *found = NULL;
    double value = 0.0;
    FINE(spheresum_reduction_find(reduction, channel, name, &found, fresh()));
    SAME(spheresum_figure_name(found), name);
    CHECK(spheresum_figure_state(found) == SPHERESUM_FIGURE_VALUE);
    CHECK(spheresum_figure_number(found, SPHERESUM_NUMBER_VALUE, &value) == 1);
    return value;
}

static void versions(void)
{
    SAME(spheresum_version(), SPHERESUM_VERSION);
    CHECK(spheresum_version_number() == SPHERESUM_VERSION_NUMBER);
}

static void one_call(void)
{
    double theta_dbm[DIRECTIONS], value = 0.0;
    uint8_t state = 77;
    int at;
    for (at = 0; at < DIRECTIONS; at++) {
        theta_dbm[at] = 7.0;
    }
    FINE(spheresum_trp_dbm(theta_deg, phi_deg, theta_dbm, theta_dbm, NULL, NULL, DIRECTIONS, SPHERESUM_RULE_CLENSHAW_CURTIS,
                           &value, &state, fresh()));
    CHECK(state == SPHERESUM_FIGURE_VALUE);
    /* Two polarisations of 7 dBm each in every direction: 10 log10 2 more. */
    NEAR(value, 7.0 + 10.0 * log10(2.0), 1e-9);
}

static void options_by_name(void)
{
    size_t index, rule = 0;
    for (index = 0; index < spheresum_option_count(); index++) {
        rule += strcmp(spheresum_option_name(index), "rule") == 0;
        CHECK(strlen(spheresum_option_name(index)) > 0);
    }
    CHECK(rule == 1);
    SAME(spheresum_option_name(index), "");
}

static void readings_in_and_out(void)
{
    spheresum_readings *readings = dipole("gauge", 1.0, 868.3 * MHZ);
    double theta[2], phi[2], value[2], imaginary[2], frequency_hz = 0.0;
    size_t frequency[2];
    int32_t polarisation[2];
    uint8_t state[2];
    CHECK(spheresum_readings_count(readings) == 2 * DIRECTIONS);
    CHECK(spheresum_readings_quantity(readings) == SPHERESUM_QUANTITY_EIRP);
    FINE(spheresum_readings_add_one(readings, SPHERESUM_POLARISATION_PHI, 915.0 * MHZ, 30.0, 45.0, 20.0,
                                    SPHERESUM_UNIT_DECIBEL, SPHERESUM_SAMPLE_AT_MOST, fresh()));
    FINE(spheresum_readings_add_entry(readings, "device", "river gauge", fresh()));
    CHECK(spheresum_readings_frequency_count(readings) == 2);
    FINE(spheresum_readings_frequency_hz(readings, 1, &frequency_hz, fresh()));
    NEAR(frequency_hz, 915e6, 0.0);
    FINE(spheresum_readings_get(readings, 2 * DIRECTIONS - 1, 2, theta, phi, frequency, polarisation, value, imaginary, state,
                                fresh()));
    NEAR(theta[0], 180.0, 0.0);
    NEAR(phi[0], 345.0, 0.0);
    NEAR(theta[1], 30.0, 0.0);
    NEAR(phi[1], 45.0, 0.0);
    CHECK(frequency[0] == 0 && frequency[1] == 1);
    CHECK(polarisation[0] == SPHERESUM_POLARISATION_PHI && polarisation[1] == SPHERESUM_POLARISATION_PHI);
    NEAR(value[0], 0.0, 0.0);
    NEAR(value[1], 0.1, 1e-15); /* 20 dBm */
    NEAR(imaginary[1], 0.0, 0.0);
    CHECK(state[0] == SPHERESUM_SAMPLE_MEASURED && state[1] == SPHERESUM_SAMPLE_AT_MOST);
    spheresum_readings_free(readings);
}

static void a_field(void)
{
    /* The same dipole as a field whose squared size is EIRP. */
    double real[DIRECTIONS], imaginary[DIRECTIONS], nothing[DIRECTIONS];
    spheresum_readings *readings = NULL;
    spheresum_run *run = NULL;
    spheresum_reduction *reduction = NULL;
    spheresum_options *options = NULL;
    int at;
    for (at = 0; at < DIRECTIONS; at++) {
        double size = sqrt(z_dipole_w(at));
        real[at] = size * cos(1.0);
        imaginary[at] = size * sin(1.0);
        nothing[at] = 0.0;
    }
    FINE(spheresum_readings_new(SPHERESUM_QUANTITY_FIELD_SQRTW, "field", &readings, fresh()));
    FINE(spheresum_readings_add_field(readings, SPHERESUM_POLARISATION_THETA, 0.0, DIRECTIONS, theta_deg, phi_deg, real,
                                      imaginary, NULL, fresh()));
    FINE(spheresum_readings_add_field(readings, SPHERESUM_POLARISATION_PHI, 0.0, DIRECTIONS, theta_deg, phi_deg, nothing,
                                      nothing, NULL, fresh()));
    FINE(spheresum_run_new("field", &run, fresh()));
    FINE(spheresum_run_add_readings(run, readings, fresh()));
    FINE(spheresum_options_new(&options, fresh()));
    FINE(spheresum_options_set(options, "rule", "clenshaw-curtis", fresh()));
    FINE(spheresum_reduce(run, options, &reduction, fresh()));
    NEAR(figure(reduction, 0, "trp"), 0.0, 1e-9);
    spheresum_reduction_free(reduction);
    spheresum_options_free(options);
    spheresum_run_free(run);
    spheresum_readings_free(readings);
}

static void a_reduction(void)
{
    spheresum_run *run = dipole_run("gauge", 1.0, 868.3 * MHZ);
    spheresum_options *options = NULL;
    spheresum_reduction *reduction = NULL;
    spheresum_text *text = NULL;
    const spheresum_figure *first;
    double number = 0.0;
    size_t index;
    FINE(spheresum_options_new(&options, fresh()));
    FINE(spheresum_options_set(options, "rule", "clenshaw-curtis", fresh()));
    FINE(spheresum_reduce(run, options, &reduction, fresh()));
    spheresum_run_free(run);
    spheresum_options_free(options);

    NEAR(figure(reduction, 0, "trp"), 0.0, 1e-9);
    SAME(spheresum_reduction_name(reduction), "gauge");
    SAME(spheresum_reduction_rule(reduction), "clenshaw-curtis");
    CHECK(spheresum_reduction_quantity(reduction) == SPHERESUM_QUANTITY_EIRP);
    CHECK(spheresum_reduction_verdict(reduction) == SPHERESUM_VERDICT_NOT_ASSESSED);
    CHECK(spheresum_reduction_channel_count(reduction) == 1);
    CHECK(spheresum_reduction_frequency_hz(reduction, 0, &number) == 1);
    NEAR(number, 868.3e6, 0.0);
    CHECK(spheresum_reduction_noise(reduction, 0) == NULL);
    CHECK(spheresum_reduction_figure_count(reduction, 0) > 3);
    for (index = 0; index < spheresum_reduction_figure_count(reduction, 0); index++) {
        const spheresum_figure *one = spheresum_reduction_figure(reduction, 0, index);
        CHECK(strlen(spheresum_figure_name(one)) > 0);
        CHECK(strlen(spheresum_figure_unit(one)) > 0);
        CHECK((spheresum_figure_state(one) == SPHERESUM_FIGURE_REFUSED) == (strlen(spheresum_figure_reason(one)) > 0));
        CHECK(spheresum_figure_assumption(one) != NULL && spheresum_figure_edges(one) != NULL);
    }
    for (index = 0; index < spheresum_reduction_summary_count(reduction); index++) {
        CHECK(strlen(spheresum_figure_name(spheresum_reduction_summary(reduction, index))) > 0);
    }
    for (index = 0; index < spheresum_reduction_finding_count(reduction); index++) {
        look_at_finding(spheresum_reduction_finding(reduction, index));
    }
    FINE(spheresum_reduction_find(reduction, 0, "trp", &first, fresh()));
    SAME(spheresum_figure_unit(first), "dBm");
    SAME(spheresum_figure_rule(first), "clenshaw-curtis");

    FINE(spheresum_reduction_json(reduction, &text, fresh()));
    HAS(spheresum_text_data(text), "spheresum.reduction/1");
    CHECK(spheresum_text_length(text) == strlen(spheresum_text_data(text)));
    spheresum_text_free(text);
    FINE(spheresum_reduction_csv(reduction, &text, fresh()));
    HAS(spheresum_text_data(text), "gauge");
    spheresum_text_free(text);
    spheresum_reduction_free(reduction);
#ifdef USE_AFTER_FREE
    printf("%s\n", spheresum_figure_name(first));
#endif
}

static void files(const char *path)
{
    spheresum_formats *formats = NULL;
    spheresum_options *options = NULL;
    spheresum_file *file = NULL;
    spheresum_run *run = NULL;
    spheresum_reduction *reduction = NULL;
    spheresum_text *text = NULL;
    FILE *written = fopen(path, "wb");
    size_t index;
    CHECK(written != NULL && fwrite(csv, 1, sizeof csv - 1, written) == sizeof csv - 1);
    CHECK(written != NULL && fclose(written) == 0);

    FINE(spheresum_formats_new(&formats, fresh()));
    CHECK(spheresum_formats_count(formats) > 3);
    for (index = 0; index < spheresum_formats_count(formats); index++) {
        CHECK(strlen(spheresum_formats_id(formats, index)) > 0);
        CHECK(strlen(spheresum_formats_name(formats, index)) > 0);
        CHECK(spheresum_formats_specification(formats, index) != NULL);
    }
    SAME(spheresum_formats_id(formats, index), "");
    FINE(spheresum_formats_look(formats, path, bytes(csv), sizeof csv - 1, &text, fresh()));
    CHECK(strncmp(spheresum_text_data(text), "delimited\t", 10) == 0);
    spheresum_text_free(text);

    FINE(spheresum_file_open(formats, path, NULL, &file, fresh()));
    SAME(spheresum_file_format(file), "delimited");
    CHECK(strlen(spheresum_file_sha256(file)) == 64);
    CHECK(spheresum_file_has_curve(file) == 0);
    CHECK(spheresum_readings_count(spheresum_file_readings(file)) == 26);
    for (index = 0; index < spheresum_file_finding_count(file); index++) {
        look_at_finding(spheresum_file_finding(file, index));
    }
    FINE(spheresum_run_new("from a file", &run, fresh()));
    FINE(spheresum_run_add_file(run, file, fresh()));
    spheresum_file_free(file);
    FINE(spheresum_reduce(run, NULL, &reduction, fresh()));
    NEAR(figure(reduction, 0, "trp"), 7.0 + 10.0 * log10(2.0), 1e-9);
    FINE(spheresum_reduction_json(reduction, &text, fresh()));
    HAS(spheresum_text_data(text), "\"step\": \"read\"");
    spheresum_text_free(text);
    spheresum_reduction_free(reduction);
    spheresum_run_free(run);

    /* A range loss. */
    FINE(spheresum_file_read(formats, "losses.csv", bytes(losses), sizeof losses - 1, NULL, &file, fresh()));
    CHECK(spheresum_file_has_curve(file) == 1);
    CHECK(spheresum_file_readings(file) == NULL);
    FINE(spheresum_options_new(&options, fresh()));
    FINE(spheresum_options_set_range(options, file, fresh()));
    FINE(spheresum_options_set(options, "rule", "clenshaw-curtis", fresh()));
    spheresum_file_free(file);
    {
        /* Received power of -40 and -41 dBm behind losses of 40 and 41 dB: 0 dBm in each polarisation. */
        double low[DIRECTIONS], lower[DIRECTIONS];
        spheresum_readings *readings = NULL;
        int at;
        for (at = 0; at < DIRECTIONS; at++) {
            low[at] = -40.0;
            lower[at] = -41.0;
        }
        FINE(spheresum_readings_new(SPHERESUM_QUANTITY_RECEIVED, "received", &readings, fresh()));
        FINE(spheresum_readings_add(readings, SPHERESUM_POLARISATION_THETA, 870.0 * MHZ, DIRECTIONS, theta_deg, phi_deg, low,
                                    SPHERESUM_UNIT_DECIBEL, NULL, NULL, fresh()));
        FINE(spheresum_readings_add(readings, SPHERESUM_POLARISATION_PHI, 870.0 * MHZ, DIRECTIONS, theta_deg, phi_deg, lower,
                                    SPHERESUM_UNIT_DECIBEL, NULL, NULL, fresh()));
        FINE(spheresum_run_new("received", &run, fresh()));
        FINE(spheresum_run_add_readings(run, readings, fresh()));
        FINE(spheresum_reduce(run, options, &reduction, fresh()));
        NEAR(figure(reduction, 0, "trp"), 10.0 * log10(2.0), 1e-9);
        spheresum_reduction_free(reduction);
        spheresum_run_free(run);
        spheresum_readings_free(readings);
    }
    spheresum_options_free(options);

    /* A layout. */
    FINE(spheresum_formats_add_layout(formats, "bench.toml", bytes(layout), sizeof layout - 1, fresh()));
    {
        static const char rows[] = "Bench 7\nTilt;Turn;Pwr\n0;0;7.5\n90;0;8.5\n";
        double value_w = 0.0;
        FINE(spheresum_file_read(formats, "rows.txt", bytes(rows), sizeof rows - 1, NULL, &file, fresh()));
        SAME(spheresum_file_format(file), "bench");
        FINE(spheresum_readings_get(spheresum_file_readings(file), 1, 1, NULL, NULL, NULL, NULL, &value_w, NULL, NULL,
                                    fresh()));
        NEAR(value_w, 1e-3 * pow(10.0, 0.85), 1e-15);
        spheresum_file_free(file);
    }
    spheresum_formats_free(formats);
}

static int destroyed = 0;

static void destroy(void *user)
{
    *(int *)user += 1;
}

static void adapters(const char *plugin)
{
    spheresum_formats *formats = NULL;
    spheresum_options *options = NULL;
    spheresum_file *file = NULL;
    spheresum_adapter adapter;
    double value_w = 0.0;
    adapter.size = sizeof adapter;
    adapter.id = "tiny";
    adapter.name = "tiny files";
    adapter.look = tiny_look;
    adapter.read = tiny_read;
    adapter.destroy = destroy;
    FINE(spheresum_formats_new(&formats, fresh()));
    FINE(spheresum_formats_add(formats, &adapter, &destroyed, fresh()));
    SAME(spheresum_formats_id(formats, spheresum_formats_count(formats) - 1), "tiny");
    FINE(spheresum_options_new(&options, fresh()));
    FINE(spheresum_options_set(options, "polarisation", "theta", fresh()));
    FINE(spheresum_options_set(options, "frequency-mhz", "868.3", fresh()));
    FINE(spheresum_options_set(options, "option", "offset-db=3", fresh()));
    FINE(spheresum_options_set(options, "option", "marks=yes", fresh()));
    FINE(spheresum_file_read(formats, "a.tiny", bytes(tiny), sizeof tiny - 1, options, &file, fresh()));
    SAME(spheresum_file_format(file), "tiny");
    CHECK(spheresum_readings_count(spheresum_file_readings(file)) == 12);
    FINE(spheresum_readings_get(spheresum_file_readings(file), 11, 1, NULL, NULL, NULL, NULL, &value_w, NULL, NULL, fresh()));
    NEAR(value_w, 0.01, 1e-15); /* 7 + 3 dBm */
    CHECK(spheresum_file_finding_count(file) == 1);
    SAME(spheresum_finding_code(spheresum_file_finding(file, 0)), "tiny");
    SAME(spheresum_finding_message(spheresum_file_finding(file, 0)), "it is tiny");
    SAME(spheresum_finding_source(spheresum_file_finding(file, 0)), "a.tiny");
    CHECK(spheresum_finding_severity(spheresum_file_finding(file, 0)) == SPHERESUM_SEVERITY_WARNING);
    CHECK(spheresum_finding_line(spheresum_file_finding(file, 0)) == 1);
    spheresum_file_free(file);

    /* What the adapter says of a line that it cannot read. */
    CHECK(spheresum_file_read(formats, "a.tiny", bytes("TINY\n0 0 x\n"), 11, options, &file, fresh()) == SPHERESUM_STATUS_INPUT);
    SAME(spheresum_error_message(error), "a line has not three numbers");
    SAME(spheresum_error_hint(error), "write theta, phi and level");
    CHECK(spheresum_error_line(error) == 2 && spheresum_error_column(error) == 1);
    SAME(spheresum_error_field(error), "");
    CHECK(spheresum_error_code(error) == SPHERESUM_STATUS_INPUT);

    CHECK(destroyed == 0);
    spheresum_formats_free(formats);
    CHECK(destroyed == 1);

    /* The same adapter in a plug-in. */
    FINE(spheresum_formats_new(&formats, fresh()));
    FINE(spheresum_formats_load(formats, plugin, fresh()));
    FINE(spheresum_file_read(formats, "a.tiny", bytes(tiny), sizeof tiny - 1, options, &file, fresh()));
    SAME(spheresum_file_format(file), "plugged");
    spheresum_formats_free(formats);
    /* What was read does not need the plug-in. */
    CHECK(spheresum_readings_count(spheresum_file_readings(file)) == 12);
    spheresum_file_free(file);
    spheresum_options_free(options);
}

static void noise(void)
{
    spheresum_run *run = dipole_run("quiet", 1.0, 868.3 * MHZ);
    spheresum_options *options = NULL;
    spheresum_reduction *reduction = NULL;
    spheresum_readings *silent = NULL;
    const spheresum_noise *report;
    double number = 0.0;
    int at;
    FINE(spheresum_options_new(&options, fresh()));
    FINE(spheresum_options_set(options, "detector", "rms", fresh()));
    FINE(spheresum_options_set(options, "averages", "16", fresh()));
    FINE(spheresum_options_set(options, "floor", "theta=-60,phi=-61", fresh()));
    FINE(spheresum_reduce(run, options, &reduction, fresh()));
    report = spheresum_reduction_noise(reduction, 0);
    CHECK(report != NULL);
    CHECK(spheresum_noise_verdict(report) == spheresum_reduction_verdict(reduction));
    CHECK(spheresum_noise_verdict(report) == SPHERESUM_VERDICT_CLEAR || spheresum_noise_verdict(report) == SPHERESUM_VERDICT_CORRECTED);
    CHECK(spheresum_noise_number(report, SPHERESUM_NOISE_AVERAGES, &number) == 1);
    NEAR(number, 16.0, 1e-9);
    CHECK(spheresum_noise_floor_dbm(report, SPHERESUM_POLARISATION_PHI, &number) == 1);
    NEAR(number, -61.0, 1e-9);
    CHECK(spheresum_noise_floor_dbm(report, SPHERESUM_POLARISATION_TOTAL, &number) == 0);
    spheresum_reduction_free(reduction);

    /* The same floor from readings. */
    FINE(spheresum_readings_new(SPHERESUM_QUANTITY_EIRP, "silent", &silent, fresh()));
    for (at = 0; at < 20; at++) {
        FINE(spheresum_readings_add_one(silent, SPHERESUM_POLARISATION_THETA, 868.3 * MHZ, 90.0, 15.0 * at, -60.0,
                                        SPHERESUM_UNIT_DECIBEL, SPHERESUM_SAMPLE_MEASURED, fresh()));
        FINE(spheresum_readings_add_one(silent, SPHERESUM_POLARISATION_PHI, 868.3 * MHZ, 90.0, 15.0 * at, -61.0,
                                        SPHERESUM_UNIT_DECIBEL, SPHERESUM_SAMPLE_MEASURED, fresh()));
    }
    FINE(spheresum_readings_add_entry(silent, "averages", "16", fresh()));
    FINE(spheresum_options_set_floor(options, silent, fresh()));
    spheresum_readings_free(silent);
    FINE(spheresum_reduce(run, options, &reduction, fresh()));
    CHECK(spheresum_noise_floor_dbm(spheresum_reduction_noise(reduction, 0), SPHERESUM_POLARISATION_THETA, &number) == 1);
    NEAR(number, -60.0, 1e-9);
    spheresum_reduction_free(reduction);
    spheresum_options_free(options);
    spheresum_run_free(run);
}

static void comparison(void)
{
    spheresum_run *full = dipole_run("bare", 1.0, 868.3 * MHZ);
    spheresum_run *half = dipole_run("in its case", 1.0 / THREE_DB, 868.3 * MHZ);
    const spheresum_run *both[2];
    spheresum_comparison *compared = NULL;
    spheresum_options *options = NULL;
    spheresum_text *text = NULL;
    const spheresum_difference *trp = NULL;
    double number = 0.0;
    size_t index;
    both[0] = full;
    both[1] = half;
    FINE(spheresum_options_new(&options, fresh()));
    FINE(spheresum_options_set(options, "rule", "clenshaw-curtis", fresh()));
    FINE(spheresum_options_set(options, "path-loss-exponent", "4", fresh()));
    FINE(spheresum_compare(both, 2, options, &compared, fresh()));
    spheresum_run_free(full);
    spheresum_run_free(half);
    spheresum_options_free(options);

    CHECK(spheresum_comparison_test_count(compared) == 1);
    SAME(spheresum_comparison_name(compared, 0), "in its case");
    HAS(spheresum_comparison_sentence(compared, 0), "3.0");
    SAME(spheresum_comparison_headline(compared, 0), "trp");
    CHECK(spheresum_comparison_largest_drop_db(compared, 0, &number) == 1);
    NEAR(number, 3.0, 1e-9);
    SAME(spheresum_reduction_name(spheresum_comparison_reduction(compared, 0)), "bare");
    NEAR(figure(spheresum_comparison_reduction(compared, 1), 0, "trp"), -3.0, 1e-9);
    CHECK(spheresum_comparison_reduction(compared, 2) == NULL);
    CHECK(spheresum_comparison_channel_count(compared, 0) == 1);
    CHECK(spheresum_comparison_frequency_hz(compared, 0, 0, &number) == 1);
    NEAR(number, 868.3e6, 0.0);
    for (index = 0; index < spheresum_comparison_difference_count(compared, 0, 0); index++) {
        const spheresum_difference *one = spheresum_comparison_difference(compared, 0, 0, index);
        if (strcmp(spheresum_difference_name(one), "trp") == 0) {
            trp = one;
        }
    }
    CHECK(trp != NULL);
    SAME(spheresum_difference_unit(trp), "dBm");
    CHECK(spheresum_difference_verdict(trp) == SPHERESUM_NOT_ASSESSED);
    CHECK(spheresum_difference_number(trp, SPHERESUM_DIFFERENCE_DB, &number) == 1);
#ifdef BREAK
    NEAR(number, 3.0, 1e-9);
#else
    NEAR(number, -3.0, 1e-9);
#endif
    CHECK(spheresum_difference_number(trp, SPHERESUM_DIFFERENCE_SHARE_LOST_PERCENT, &number) == 1);
    NEAR(number, 100.0 * (1.0 - 1.0 / THREE_DB), 1e-9);
    CHECK(spheresum_difference_number(trp, SPHERESUM_DIFFERENCE_RANGE_FACTOR_FREE_SPACE, &number) == 1);
    NEAR(number, pow(10.0, -3.0 / 20.0), 1e-9);
    CHECK(spheresum_difference_number(trp, SPHERESUM_DIFFERENCE_RANGE_FACTOR, &number) == 1);
    NEAR(number, pow(10.0, -3.0 / 40.0), 1e-9);
    CHECK(spheresum_difference_number(trp, SPHERESUM_DIFFERENCE_EXPANDED_UNCERTAINTY_DB, NULL) == 0);
    for (index = 0; index < spheresum_comparison_summary_count(compared, 0); index++) {
        CHECK(strlen(spheresum_difference_name(spheresum_comparison_summary(compared, 0, index))) > 0);
    }
    for (index = 0; index < spheresum_comparison_finding_count(compared, 0); index++) {
        look_at_finding(spheresum_comparison_finding(compared, 0, index));
    }
    FINE(spheresum_comparison_json(compared, &text, fresh()));
    HAS(spheresum_text_data(text), "spheresum.comparison/1");
    spheresum_text_free(text);
    FINE(spheresum_comparison_csv(compared, &text, fresh()));
    HAS(spheresum_text_data(text), "in its case");
    spheresum_text_free(text);
#ifndef LEAK
    spheresum_comparison_free(compared);
#endif
}

static void tables(void)
{
    size_t rows = 0, failures = 0;
    spheresum_text *text = NULL;
    CHECK(spheresum_table_count() > 0);
    CHECK(strlen(spheresum_table_name(0)) > 0);
    SAME(spheresum_table_name(spheresum_table_count()), "");
    FINE(spheresum_table_check(0, &rows, &failures, &text, fresh()));
    CHECK(rows > 0 && failures == 0);
    CHECK(strncmp(spheresum_text_data(text), "pass\t", 5) == 0);
    spheresum_text_free(text);
}

/* A sphere that radiates alike everywhere, written as a file; the table that is made of it passes, and a wrong row fails. */
static void own_table(const char *folder)
{
    /* The same program runs as C and as C++ at the same time. */
    const char *name = sizeof 'a' == 1 ? "own-cpp.csv" : "own-c.csv";
    char path[1024];
    size_t passed = 7, failed = 7;
    spheresum_formats *formats = NULL;
    spheresum_file *file = NULL;
    spheresum_run *run = NULL;
    spheresum_reduction *reduction = NULL;
    spheresum_text *text = NULL;
    FILE *out;
    int theta, phi;

    snprintf(path, sizeof path, "%s/%s", folder, name);
    out = fopen(path, "w");
    fprintf(out, "theta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm\n");
    for (theta = 0; theta <= 180; theta += 30)
        for (phi = 0; phi < 360; phi += 30) fprintf(out, "%d,%d,0,0\n", theta, phi);
    fclose(out);
    FINE(spheresum_formats_new(&formats, fresh()));
    FINE(spheresum_file_open(formats, path, NULL, &file, fresh()));
    FINE(spheresum_run_new("golden device", &run, fresh()));
    FINE(spheresum_run_add_file(run, file, fresh()));
    FINE(spheresum_reduce(run, NULL, &reduction, fresh()));
    FINE(spheresum_reduction_skeleton(reduction, name, "--rule auto", "whole.c", &text, fresh()));
    HAS(spheresum_text_data(text), "case: golden-device");
    snprintf(path, sizeof path, "%s/%s.tbl", folder, name);
    out = fopen(path, "w");
    fputs(spheresum_text_data(text), out);
    fclose(out);
    spheresum_text_free(text);
    FINE(spheresum_table_check_file(formats, path, &passed, &failed, &text, fresh()));
    CHECK(passed > 10 && failed == 0);
    HAS(spheresum_text_data(text), "pass\t");
    spheresum_text_free(text);

    out = fopen(path, "w");
    fprintf(out, "table: wrong\nrows: 2\ncase: a\n  files: %s\n  options: --fill none\n", name);
    fprintf(out, "  gives: directivity | 3 dBi | within 1e-9 dB | closed form: wrong on purpose\n");
    fprintf(out, "case: b\n  files: none.csv\n  fails: io | closed form: there is no such file\n");
    fclose(out);
    FINE(spheresum_table_check_file(formats, path, &passed, &failed, NULL, fresh()));
    CHECK(passed == 1 && failed == 1);
    spheresum_reduction_free(reduction);
    spheresum_run_free(run);
    spheresum_file_free(file);
    spheresum_formats_free(formats);
}

int main(int count, char **words)
{
    char plugin[1024], path[1024];
    if (count != 2) {
        fprintf(stderr, "usage: whole FOLDER\n");
        return 2;
    }
    snprintf(plugin, sizeof plugin, "%s/good.so", words[1]);
    snprintf(path, sizeof path, "%s/whole-%s.csv", words[1], sizeof 'a' == 1 ? "cpp" : "c");
    directions();
    versions();
    one_call();
    options_by_name();
    readings_in_and_out();
    a_field();
    a_reduction();
    files(path);
    adapters(plugin);
    noise();
    comparison();
    tables();
    own_table(words[1]);
    (void)remove(path);
    return score();
}
