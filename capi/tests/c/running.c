/*
 * A running reduction: figures while readings come in, what it refuses, and its end; and calls that are watched and stopped.
 *
 *   -DLEAK            a running reduction is not freed: a memory checker must complain
 *   -DUSE_AFTER_FREE  a figure is read after its figures were freed: a memory checker must complain
 */
#include "check.h"

static int32_t add(spheresum_running *running, int32_t polarisation, int at, double power_w)
{
    return spheresum_running_add(running, polarisation, 0, theta_deg[at], phi_deg[at], power_w, SPHERESUM_UNIT_LINEAR,
                                 SPHERESUM_SAMPLE_MEASURED, fresh());
}

static double number(const spheresum_figure *figure, int32_t which)
{
    double got = -1e9;
    CHECK(spheresum_figure_number(figure, which, &got));
    return got;
}

/* The whole sphere of the z dipole with 0 dBm. */
static void sweep(void)
{
    spheresum_running *running = NULL;
    spheresum_figures *figures = NULL;
    spheresum_options *options = NULL;
    spheresum_readings *readings = NULL;
    spheresum_reduction *reduction = NULL, *batch = NULL;
    spheresum_run *run = NULL;
    spheresum_text *text = NULL;
    const spheresum_figure *trp = NULL;
    size_t read = 99, planned = 99;
    double unknown = 42;
    int at;
    FINE(spheresum_options_new(&options, fresh()));
    FINE(spheresum_options_set(options, "rule", "clenshaw-curtis", fresh()));
    FINE(spheresum_running_begin(SPHERESUM_QUANTITY_EIRP, 15, 15, SPHERESUM_LAYOUT_THETA_PHI, NULL, 0, options, &running,
                                 fresh()));
    CHECK(!spheresum_running_is_complete(running));
    /* Theta alone: phi has not begun, so that there is no value and no upper bound. */
    for (at = 0; at < DIRECTIONS; at++) {
        FINE(add(running, SPHERESUM_POLARISATION_THETA, at, z_dipole_w(at)));
    }
    FINE(spheresum_running_figures(running, 0, &figures, fresh()));
    CHECK(spheresum_figures_count(figures) > 3);
    CHECK(spheresum_figures_get(figures, 0) != NULL && spheresum_figures_get(figures, 1000) == NULL);
    trp = spheresum_figures_find(figures, "trp");
    CHECK(trp != NULL && spheresum_figures_find(figures, "no-such") == NULL);
    CHECK(!spheresum_figure_number(trp, SPHERESUM_NUMBER_VALUE, &unknown));
    CHECK(!spheresum_figure_number(trp, SPHERESUM_NUMBER_UPPER, &unknown));
    NEAR(unknown, 42, 0);
    /* The rest at zero: all of the power is in theta, 0 dBm. The rule is exact for sin^2. */
    NEAR(number(trp, SPHERESUM_NUMBER_LOWER), 0.0, 1e-9);
    HAS(spheresum_figure_assumption(trp), "zero");
    spheresum_figures_free(figures);
#ifdef USE_AFTER_FREE
    printf("%s\n", spheresum_figure_name(trp));
#endif
    FINE(spheresum_running_progress(running, 0, SPHERESUM_POLARISATION_THETA, &read, &planned, fresh()));
    CHECK(read == planned && planned == 11 * 24 + 2);
    FINE(spheresum_running_progress(running, 0, SPHERESUM_POLARISATION_PHI, &read, &planned, fresh()));
    CHECK(read == 0);
    for (at = 0; at < DIRECTIONS; at++) {
        FINE(add(running, SPHERESUM_POLARISATION_PHI, at, 0.0));
    }
    CHECK(spheresum_running_is_complete(running));
    /* The end is the reduction of the same readings, to the last digit of the document. */
    FINE(spheresum_running_finish(running, "dipole", &reduction, fresh()));
    FINE(spheresum_reduction_find(reduction, 0, "trp", &trp, fresh()));
    NEAR(number(trp, SPHERESUM_NUMBER_VALUE), 0.0, 1e-9);
    FINE(spheresum_running_readings(running, &readings, fresh()));
    CHECK(spheresum_readings_count(readings) == 2 * DIRECTIONS);
    FINE(spheresum_run_new("dipole", &run, fresh()));
    FINE(spheresum_run_add_readings(run, readings, fresh()));
    FINE(spheresum_reduce(run, options, &batch, fresh()));
    FINE(spheresum_reduction_csv(reduction, &text, fresh()));
    {
        spheresum_text *other = NULL;
        FINE(spheresum_reduction_csv(batch, &other, fresh()));
        SAME(spheresum_text_data(text), spheresum_text_data(other));
        spheresum_text_free(other);
    }
    spheresum_text_free(text);
    spheresum_reduction_free(batch);
    spheresum_reduction_free(reduction);
    spheresum_run_free(run);
    spheresum_readings_free(readings);
#ifndef LEAK
    spheresum_running_free(running);
#endif
    spheresum_options_free(options);
}

/* A call that is given fresh() must fail with this status and message. */
static void refused(int32_t status, int32_t want, const char *message, const char *what, int line)
{
    check(status == want && error != NULL, what, line);
    has(spheresum_error_message(error), message, what, line);
}
#define REFUSED(call, want, message) refused((call), (want), (message), #call, __LINE__)

static void wrong(void)
{
    spheresum_running *running = NULL, *none = NULL;
    spheresum_figures *figures = NULL;
    spheresum_readings *readings = NULL;
    spheresum_reduction *reduction = NULL;
    size_t read = 7, planned = 7;
    double twice[2] = {868.3e6, 868.3e6}, unknown[1] = {0};
    const int32_t eirp = SPHERESUM_QUANTITY_EIRP, both = SPHERESUM_LAYOUT_THETA_PHI;
    REFUSED(spheresum_running_begin(eirp, 15, 15, both, NULL, 0, NULL, NULL, fresh()), SPHERESUM_STATUS_USAGE,
            "out_running is NULL");
    REFUSED(spheresum_running_begin(0, 15, 15, both, NULL, 0, NULL, &none, fresh()), SPHERESUM_STATUS_USAGE,
            "there is no quantity 0");
    REFUSED(spheresum_running_begin(eirp, 15, 15, 9, NULL, 0, NULL, &none, fresh()), SPHERESUM_STATUS_USAGE,
            "there is no layout 9");
    REFUSED(spheresum_running_begin(eirp, 15, 15, both, twice, 2, NULL, &none, fresh()), SPHERESUM_STATUS_USAGE, "once");
    REFUSED(spheresum_running_begin(eirp, 15, 15, both, unknown, 1, NULL, &none, fresh()), SPHERESUM_STATUS_USAGE,
            "names its frequencies");
    REFUSED(spheresum_running_begin(eirp, 15, 15, both, NULL, (size_t)-1, NULL, &none, fresh()), SPHERESUM_STATUS_LIMIT,
            "frequencies are more than");
    CHECK(spheresum_running_begin(eirp, 17, 15, both, NULL, 0, NULL, &none, fresh()) != SPHERESUM_STATUS_OK);
    CHECK(spheresum_running_begin(eirp, 0.0 / 1.0, 15, both, NULL, 0, NULL, &none, fresh()) != SPHERESUM_STATUS_OK);
    CHECK(spheresum_running_begin(SPHERESUM_QUANTITY_FIELD, 15, 15, both, NULL, 0, NULL, &none, fresh()) ==
          SPHERESUM_STATUS_UNSUPPORTED);
    CHECK(none == NULL);
    FINE(spheresum_running_begin(eirp, 15, 15, both, NULL, 0, NULL, &running, fresh()));
    REFUSED(spheresum_running_add(NULL, 0, 0, 0, 0, 0, 0, 0, fresh()), SPHERESUM_STATUS_USAGE, "running is NULL");
    REFUSED(spheresum_running_add(running, 7, 0, 15, 15, 0, 0, 0, fresh()), SPHERESUM_STATUS_USAGE, "no polarisation 7");
    REFUSED(spheresum_running_add(running, 0, 868.3e6, 15, 15, 0, 0, 0, fresh()), SPHERESUM_STATUS_USAGE, "is not in the plan");
    REFUSED(spheresum_running_add(running, 0, 0, 15, 15, 1e9, 0, 0, fresh()), SPHERESUM_STATUS_INPUT, "no level");
    REFUSED(spheresum_running_add(running, 0, 0, 15, 15, 0, 0, SPHERESUM_SAMPLE_MISSING, fresh()),
            SPHERESUM_STATUS_USAGE, "left out");
    REFUSED(spheresum_running_add(running, 0, 0, 17, 15, 0, 0, 0, fresh()), SPHERESUM_STATUS_INPUT, "not on the planned grid");
    CHECK(spheresum_running_add(running, SPHERESUM_POLARISATION_TOTAL, 0, 15, 15, 0, 0, 0, fresh()) != SPHERESUM_STATUS_OK);
    REFUSED(spheresum_running_figures(NULL, 0, &figures, fresh()), SPHERESUM_STATUS_USAGE, "running is NULL");
    REFUSED(spheresum_running_figures(running, 0, NULL, fresh()), SPHERESUM_STATUS_USAGE, "out_figures is NULL");
    CHECK(spheresum_running_figures(running, 5, &figures, fresh()) == SPHERESUM_STATUS_USAGE && figures == NULL);
    REFUSED(spheresum_running_progress(running, 5, 0, &read, &planned, fresh()), SPHERESUM_STATUS_USAGE, "no channel 5");
    REFUSED(spheresum_running_progress(running, 0, 2, &read, &planned, fresh()), SPHERESUM_STATUS_USAGE, "no polarisation");
    REFUSED(spheresum_running_progress(running, 0, 0, NULL, &planned, fresh()), SPHERESUM_STATUS_USAGE, "out_read is NULL");
    CHECK(read == 7 && planned == 7);
    REFUSED(spheresum_running_readings(running, NULL, fresh()), SPHERESUM_STATUS_USAGE, "out_readings is NULL");
    REFUSED(spheresum_running_readings(NULL, &readings, fresh()), SPHERESUM_STATUS_USAGE, "running is NULL");
    REFUSED(spheresum_running_finish(running, NULL, &reduction, fresh()), SPHERESUM_STATUS_USAGE, "name is NULL");
    CHECK(spheresum_running_finish(running, "empty", &reduction, fresh()) != SPHERESUM_STATUS_OK && reduction == NULL);
    CHECK(!spheresum_running_is_complete(NULL) && spheresum_figures_count(NULL) == 0);
    CHECK(spheresum_figures_get(NULL, 0) == NULL && spheresum_figures_find(NULL, "trp") == NULL);
    spheresum_running_free(running);
    spheresum_running_free(NULL);
    spheresum_figures_free(NULL);
}

/* What a watch saw. */
struct seen {
    int calls;
    int stop_at; /* 0: never */
    double last;
    int is_monotone;
};

static int32_t look(double done, const char *what, void *user)
{
    struct seen *seen = (struct seen *)user;
    seen->calls++;
    seen->is_monotone = seen->is_monotone && done >= seen->last && what[0] != '\0';
    seen->last = done;
    return seen->calls == seen->stop_at;
}

/* Clenshaw-Curtis on 12 steps: 1/143 at the poles (closed form, 1/(N^2 - 1)), and 2 in all; sine: pi/N sin theta. */
static void weights(void)
{
    double w[13], sum = 0, other[3] = {7, 7, 7};
    int i;
    FINE(spheresum_rule_weights(SPHERESUM_RULE_CLENSHAW_CURTIS, 12, 13, w, fresh()));
    for (i = 0; i < 13; i++) {
        sum += w[i];
    }
    NEAR(sum, 2.0, 1e-14);
    NEAR(w[0], 1.0 / 143.0, 1e-15);
    FINE(spheresum_rule_weights(SPHERESUM_RULE_SINE, 12, 13, w, fresh()));
    NEAR(w[2], PI / 12.0 * 0.5, 1e-15);
    NEAR(w[0], 0.0, 0);
    REFUSED(spheresum_rule_weights(SPHERESUM_RULE_AUTO, 2, 3, other, fresh()), SPHERESUM_STATUS_USAGE, "no weights of its own");
    REFUSED(spheresum_rule_weights(SPHERESUM_RULE_SINE, 2, 4, other, fresh()), SPHERESUM_STATUS_USAGE, "one ring more");
    REFUSED(spheresum_rule_weights(SPHERESUM_RULE_SINE, 0, 1, other, fresh()), SPHERESUM_STATUS_USAGE, "one ring more");
    REFUSED(spheresum_rule_weights(SPHERESUM_RULE_SINE, (size_t)-1, 0, other, fresh()), SPHERESUM_STATUS_LIMIT, "more than");
    REFUSED(spheresum_rule_weights(SPHERESUM_RULE_SINE, 2, 3, NULL, fresh()), SPHERESUM_STATUS_USAGE, "out_weights is NULL");
    CHECK(other[0] == 7 && other[1] == 7 && other[2] == 7);
}

static void watched(void)
{
    spheresum_run *runs[2] = {dipole_run("a", 1.0, 868.3e6), dipole_run("b", 0.5, 868.3e6)};
    const spheresum_run *both[2] = {runs[0], runs[1]};
    spheresum_options *options = NULL;
    spheresum_reduction *reduction = NULL;
    spheresum_comparison *comparison = NULL;
    struct seen seen = {0, 0, 0.0, 1};
    int calls, stop;
    FINE(spheresum_options_new(&options, fresh()));
    FINE(spheresum_options_set_watch(options, look, &seen, fresh()));
    FINE(spheresum_reduce(runs[0], options, &reduction, fresh()));
    CHECK(seen.calls > 3 && seen.is_monotone);
    NEAR(seen.last, 1.0, 0);
    spheresum_reduction_free(reduction);
    /* Stopped wherever it may be. */
    calls = seen.calls;
    for (stop = 1; stop <= calls; stop++) {
        struct seen next = {0, 0, 0.0, 1};
        next.stop_at = stop;
        seen = next;
        reduction = NULL;
        REFUSED(spheresum_reduce(runs[0], options, &reduction, fresh()), SPHERESUM_STATUS_CANCELLED, "stopped");
        CHECK(reduction == NULL && seen.calls == stop);
    }
    {
        struct seen next = {0, 0, 0.0, 1};
        seen = next;
    }
    FINE(spheresum_compare(both, 2, options, &comparison, fresh()));
    CHECK(seen.is_monotone);
    NEAR(seen.last, 1.0, 0);
    spheresum_comparison_free(comparison);
    {
        static const char csv[] = "theta_deg,phi_deg,eirp_theta_dbm\n0,0,1\n90,0,1\n";
        struct seen next = {0, 0, 0.0, 1};
        spheresum_formats *formats = NULL;
        spheresum_file *file = NULL;
        seen = next;
        FINE(spheresum_formats_new(&formats, fresh()));
        FINE(spheresum_file_read(formats, "a.csv", (const uint8_t *)csv, sizeof csv - 1, options, &file, fresh()));
        CHECK(seen.calls > 1 && seen.is_monotone);
        NEAR(seen.last, 1.0, 0);
        spheresum_file_free(file);
        file = NULL;
        next.stop_at = 1;
        seen = next;
        REFUSED(spheresum_file_read(formats, "a.csv", (const uint8_t *)csv, sizeof csv - 1, options, &file, fresh()),
                SPHERESUM_STATUS_CANCELLED, "stopped");
        CHECK(file == NULL);
        REFUSED(spheresum_file_open(formats, "/no/such/file.csv", options, &file, fresh()), SPHERESUM_STATUS_IO,
                "/no/such/file.csv cannot be read: ");
        spheresum_formats_free(formats);
    }
    FINE(spheresum_options_set_watch(options, NULL, NULL, fresh()));
    calls = seen.calls;
    FINE(spheresum_reduce(runs[0], options, &reduction, fresh()));
    CHECK(seen.calls == calls);
    spheresum_reduction_free(reduction);
    REFUSED(spheresum_options_set_watch(NULL, look, NULL, fresh()), SPHERESUM_STATUS_USAGE, "options is NULL");
    spheresum_options_free(options);
    spheresum_run_free(runs[0]);
    spheresum_run_free(runs[1]);
}

int main(void)
{
    directions();
    sweep();
    wrong();
    weights();
    watched();
    return score();
}
