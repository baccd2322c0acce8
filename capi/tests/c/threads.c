/*
 * Threads that share what the header lets them share: formats with an adapter in C, options, a run, a reduction and a comparison.
 *
 *   -DRACE   a thread adds to readings that another one looks at: a race checker must complain
 */
#include "check.h"
#include "tiny.h"

#include <pthread.h>

enum { THREADS = 4, ROUNDS = 3 };

static const char tiny[] = "TINY\n0 0 7\n0 90 7\n0 180 7\n0 270 7\n90 0 7\n90 90 7\n90 180 7\n90 270 7\n180 0 7\n180 90 7\n180 180 7\n180 270 7\n";

static spheresum_formats *formats = NULL;
static spheresum_options *reading = NULL;
static spheresum_options *options = NULL;
static spheresum_run *run = NULL;
static spheresum_reduction *shared = NULL;
static spheresum_comparison *compared = NULL;
static spheresum_readings *raced = NULL;

/* What a thread found; its own. */
struct job {
    int number;
    int good;
    int bad;
};

static void expect(struct job *job, int ok)
{
    if (ok) {
        job->good++;
    } else {
        job->bad++;
    }
}

static void read_figures(struct job *job, const spheresum_reduction *reduction)
{
    const spheresum_figure *trp = NULL;
    double number = 0.0;
    size_t index;
    expect(job, spheresum_reduction_find(reduction, 0, "trp", &trp, NULL) == SPHERESUM_STATUS_OK);
    expect(job, spheresum_figure_number(trp, SPHERESUM_NUMBER_VALUE, &number) == 1 && fabs(number) < 1e-9);
    expect(job, strcmp(spheresum_reduction_name(reduction), "gauge") == 0);
    expect(job, strcmp(spheresum_reduction_rule(reduction), "clenshaw-curtis") == 0);
    for (index = 0; index < spheresum_reduction_figure_count(reduction, 0); index++) {
        const spheresum_figure *one = spheresum_reduction_figure(reduction, 0, index);
        expect(job, strlen(spheresum_figure_name(one)) > 0 && strlen(spheresum_figure_unit(one)) > 0);
        expect(job, spheresum_figure_reason(one) == spheresum_figure_reason(one));
    }
}

static void *work(void *data)
{
    struct job *job = (struct job *)data;
    int round;
    for (round = 0; round < ROUNDS; round++) {
        spheresum_error *own_error = NULL;
        spheresum_reduction *own = NULL;
        spheresum_text *text = NULL;
        spheresum_file *file = NULL;
        double value_w = 0.0;

        read_figures(job, shared);
        expect(job, strcmp(spheresum_comparison_name(compared, 0), "half") == 0);
        expect(job, strlen(spheresum_comparison_sentence(compared, 0)) > 0);
        expect(job, strlen(spheresum_difference_name(spheresum_comparison_difference(compared, 0, 0, 0))) > 0);
        expect(job, spheresum_reduction_json(shared, &text, NULL) == SPHERESUM_STATUS_OK && spheresum_text_length(text) > 100);
        spheresum_text_free(text);

        expect(job, spheresum_reduce(run, options, &own, &own_error) == SPHERESUM_STATUS_OK && own_error == NULL);
        read_figures(job, own);
        spheresum_reduction_free(own);

        expect(job, spheresum_file_read(formats, "a.tiny", (const uint8_t *)(const void *)tiny, sizeof tiny - 1, reading, &file,
                                        &own_error) == SPHERESUM_STATUS_OK);
        expect(job, strcmp(spheresum_file_format(file), "tiny") == 0);
        expect(job, spheresum_readings_get(spheresum_file_readings(file), 5, 1, NULL, NULL, NULL, NULL, &value_w, NULL, NULL, NULL)
                        == SPHERESUM_STATUS_OK);
        expect(job, fabs(value_w - 0.01) < 1e-15);
        spheresum_file_free(file);
        expect(job, strcmp(spheresum_formats_id(formats, 0), "") != 0 && strcmp(spheresum_option_name(0), "") != 0);

        /* Each thread has an error of its own. */
        expect(job, spheresum_options_set(NULL, "rule", "sine", &own_error) == SPHERESUM_STATUS_USAGE);
        expect(job, strcmp(spheresum_error_message(own_error), "options is NULL") == 0);
        spheresum_error_free(own_error);
    }
    return NULL;
}

#ifdef RACE
static void *adds(void *data)
{
    int at;
    for (at = 0; at < 20000; at++) {
        (void)spheresum_readings_add_one(raced, SPHERESUM_POLARISATION_THETA, 0.0, 90.0, 0.0, 0.0, SPHERESUM_UNIT_DECIBEL,
                                         SPHERESUM_SAMPLE_MEASURED, NULL);
    }
    return data;
}

/* Long enough that the two overlap, whichever comes first. */
static void race(void)
{
    pthread_t thread;
    size_t most = 0;
    int at;
    CHECK(pthread_create(&thread, NULL, adds, NULL) == 0);
    for (at = 0; at < 200000; at++) {
        size_t now = spheresum_readings_count(raced);
        most = now > most ? now : most;
    }
    CHECK(pthread_join(thread, NULL) == 0);
    CHECK(most >= 2 * DIRECTIONS);
}
#endif

int main(int count, char **words)
{
    pthread_t threads[THREADS];
    struct job jobs[THREADS];
    spheresum_run *half;
    spheresum_adapter adapter;
    const spheresum_run *both[2];
    int at;
    (void)count;
    (void)words;
    directions();
    NEAR(theta_deg[DIRECTIONS - 1], 180.0, 0.0);
    SAME(spheresum_version(), SPHERESUM_VERSION);
    HAS(spheresum_version(), ".");
    adapter.size = sizeof adapter;
    adapter.id = "tiny";
    adapter.name = "tiny files";
    adapter.look = tiny_look;
    adapter.read = tiny_read;
    adapter.destroy = NULL;
    FINE(spheresum_formats_new(&formats, fresh()));
    FINE(spheresum_formats_add(formats, &adapter, NULL, fresh()));
    FINE(spheresum_options_new(&reading, fresh()));
    FINE(spheresum_options_set(reading, "polarisation", "theta", fresh()));
    FINE(spheresum_options_set(reading, "option", "offset-db=3", fresh()));
    FINE(spheresum_options_new(&options, fresh()));
    FINE(spheresum_options_set(options, "rule", "clenshaw-curtis", fresh()));
    raced = dipole("raced", 1.0, 0.0);
    run = dipole_run("gauge", 1.0, 868.3e6);
    half = dipole_run("half", 0.5, 868.3e6);
    both[0] = run;
    both[1] = half;
    FINE(spheresum_reduce(run, options, &shared, fresh()));
    FINE(spheresum_compare(both, 2, options, &compared, fresh()));
    for (at = 0; at < THREADS; at++) {
        jobs[at].number = at;
        jobs[at].good = 0;
        jobs[at].bad = 0;
        CHECK(pthread_create(&threads[at], NULL, work, &jobs[at]) == 0);
    }
    for (at = 0; at < THREADS; at++) {
        CHECK(pthread_join(threads[at], NULL) == 0);
        CHECK(jobs[at].bad == 0);
        CHECK(jobs[at].good > ROUNDS * 20);
    }
#ifdef RACE
    race();
#endif
    spheresum_comparison_free(compared);
    spheresum_reduction_free(shared);
    spheresum_run_free(half);
    spheresum_run_free(run);
    spheresum_readings_free(raced);
    spheresum_options_free(options);
    spheresum_options_free(reading);
    spheresum_formats_free(formats);
    return score();
}
