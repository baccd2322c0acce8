/*
 * spheresum: reduction of over-the-air antenna chamber measurements. C API.
 * SPDX-License-Identifier: MIT OR Apache-2.0
 *
 * Generated from capi/src; do not edit.
 *
 * Units      Every name carries its unit: _deg degrees, _dbm decibels over one milliwatt.
 * Status     Calls that can fail return an int32_t: 0 is success, status / 1000 says who must act.
 *            A status that you do not know is a failure.
 * Errors     Such calls end in out_error, which may be NULL. On failure it receives an object that the
 *            caller owns and frees with spheresum_error_free(); on success it receives NULL.
 * Outputs    are written on success only, except that an output for an object is NULL after a failure.
 * Numbers    No number in or out is NaN or infinite; an array or an output that says the state of a
 *            number stands beside it.
 * Pointers   may be NULL only where it says so. An array holds at least as many elements as its count
 *            says; the library reads it during the call only, and does not keep it.
 * Strings    are UTF-8 and end in a zero byte.
 * Threads    There is no global state that a caller can see. Calls that take an object as const may run in
 *            any number of threads at once, on the same object too. A call that takes it without const, such
 *            as one that adds to it or frees it, must be alone with it. Objects may go from thread to thread, but
 *            for the sink of an adapter.
 * Memory     Counts and lengths are held against limits before anything is allocated for them. Where the
 *            allocator itself fails, the process is ended (abort): no status can say that.
 * Output     The library writes nothing to standard output or standard error.
 * ABI        The SONAME is libspheresum.so.0.MINOR before version 1.0, and .MAJOR from then on. Within it no function,
 *            constant or structure changes; new ones may come.
 */

#ifndef SPHERESUM_H
#define SPHERESUM_H

#include <stddef.h>
#include <stdint.h>

/**
 * Version of this header, as spheresum_version() gives that of the library.
 */
#define SPHERESUM_VERSION "0.1.0"

/**
 * Version of this header, as spheresum_version_number() gives that of the library.
 */
#define SPHERESUM_VERSION_NUMBER 1000

/**
 * Version of the tables between this library and plug-ins. A plug-in says which it was made for.
 */
#define SPHERESUM_PLUGIN_VERSION 1

/**
 * Number of a difference: value of the reference, in the figure's unit.
 */
#define SPHERESUM_DIFFERENCE_REFERENCE 0

/**
 * Number of a difference: value of the test, in the figure's unit.
 */
#define SPHERESUM_DIFFERENCE_TEST 1

/**
 * Number of a difference: test - reference, dB.
 */
#define SPHERESUM_DIFFERENCE_DB 2

/**
 * Number of a difference: not less than this, dB.
 */
#define SPHERESUM_DIFFERENCE_LOWER_DB 3

/**
 * Number of a difference: not more than this, dB.
 */
#define SPHERESUM_DIFFERENCE_UPPER_DB 4

/**
 * Number of a difference: power of the test over that of the reference.
 */
#define SPHERESUM_DIFFERENCE_POWER_RATIO 5

/**
 * Number of a difference: share of the power that is lost, per cent.
 */
#define SPHERESUM_DIFFERENCE_SHARE_LOST_PERCENT 6

/**
 * Number of a difference: range of the test over that of the reference in free space.
 */
#define SPHERESUM_DIFFERENCE_RANGE_FACTOR_FREE_SPACE 7

/**
 * Number of a difference: the same with the path-loss exponent of the options.
 */
#define SPHERESUM_DIFFERENCE_RANGE_FACTOR 8

/**
 * Number of a difference: standard uncertainty, dB.
 */
#define SPHERESUM_DIFFERENCE_STANDARD_UNCERTAINTY_DB 9

/**
 * Number of a difference: expanded uncertainty, dB.
 */
#define SPHERESUM_DIFFERENCE_EXPANDED_UNCERTAINTY_DB 10

/**
 * Number of a difference: coverage factor of the expanded uncertainty.
 */
#define SPHERESUM_DIFFERENCE_COVERAGE_FACTOR 11

/**
 * Verdict on a difference: larger than its expanded uncertainty.
 */
#define SPHERESUM_RESOLVED 0

/**
 * Verdict on a difference: not larger than its expanded uncertainty.
 */
#define SPHERESUM_NOT_RESOLVED 1

/**
 * Verdict on a difference: only a bound is known.
 */
#define SPHERESUM_BOUND_ONLY 2

/**
 * Verdict on a difference: no uncertainty was given.
 */
#define SPHERESUM_NOT_ASSESSED 3

/**
 * Number of a figure: its value, in the figure's unit.
 */
#define SPHERESUM_NUMBER_VALUE 0

/**
 * Number of a figure: not less than this, under its assumption; of sensitivities the better side.
 */
#define SPHERESUM_NUMBER_LOWER 1

/**
 * Number of a figure: not more than this, under its assumption.
 */
#define SPHERESUM_NUMBER_UPPER 2

/**
 * Number of a figure: lower end of the interval that holds the true value with the coverage.
 */
#define SPHERESUM_NUMBER_INTERVAL_LOWER 3

/**
 * Number of a figure: upper end of that interval.
 */
#define SPHERESUM_NUMBER_INTERVAL_UPPER 4

/**
 * Number of a figure: probability of that interval, 0..1.
 */
#define SPHERESUM_NUMBER_COVERAGE 5

/**
 * Number of a figure: standard uncertainty, dB.
 */
#define SPHERESUM_NUMBER_STANDARD_UNCERTAINTY_DB 6

/**
 * Number of a figure: part of the standard uncertainty by noise, dB.
 */
#define SPHERESUM_NUMBER_NOISE_DB 7

/**
 * Number of a figure: part of the standard uncertainty by filled gaps, dB.
 */
#define SPHERESUM_NUMBER_GAPS_DB 8

/**
 * Number of a figure: direction that it belongs to, angle from the z axis, degrees.
 */
#define SPHERESUM_NUMBER_THETA_DEG 9

/**
 * Number of a figure: direction that it belongs to, angle around the z axis, degrees.
 */
#define SPHERESUM_NUMBER_PHI_DEG 10

/**
 * How sure a format is of a file: not mine.
 */
#define SPHERESUM_CONFIDENCE_NONE 0

/**
 * How sure a format is of a file: could be.
 */
#define SPHERESUM_CONFIDENCE_MAYBE 1

/**
 * How sure a format is of a file: looks like mine.
 */
#define SPHERESUM_CONFIDENCE_LIKELY 2

/**
 * How sure a format is of a file: mine.
 */
#define SPHERESUM_CONFIDENCE_CERTAIN 3

/**
 * Severity of a finding: worth knowing.
 */
#define SPHERESUM_SEVERITY_NOTE 0

/**
 * Severity of a finding: it may move the result.
 */
#define SPHERESUM_SEVERITY_WARNING 1

/**
 * Severity of a finding: something that was asked for was refused.
 */
#define SPHERESUM_SEVERITY_REFUSAL 2

/**
 * Number of a noise report: independent averages in a reading.
 */
#define SPHERESUM_NOISE_AVERAGES 0

/**
 * Number of a noise report: TRP in W, which may be below zero.
 */
#define SPHERESUM_NOISE_VALUE_W 1

/**
 * Number of a noise report: TRP with the floor left in, dBm.
 */
#define SPHERESUM_NOISE_SHOWN_DBM 2

/**
 * Number of a noise report: by how much that is too high, dB.
 */
#define SPHERESUM_NOISE_BIAS_DB 3

/**
 * Number of a noise report: what the floor's own standard uncertainty leaves of the bias, dB.
 */
#define SPHERESUM_NOISE_BIAS_LEFT_DB 4

/**
 * Number of a noise report: half-width of the interval of the TRP by noise, dB.
 */
#define SPHERESUM_NOISE_HALF_WIDTH_DB 5

/**
 * Number of a noise report: share of the TRP that comes from samples below the floor, per cent.
 */
#define SPHERESUM_NOISE_BELOW_FLOOR_PERCENT 6

/**
 * Number of a noise report: the lowest TRP that this setup can see, dBm.
 */
#define SPHERESUM_NOISE_LOWEST_VISIBLE_DBM 7

/**
 * Number of a noise report: target of a slower sweep, dB.
 */
#define SPHERESUM_NOISE_TARGET_DB 8

/**
 * Number of a noise report: how many times as slowly to sweep for that target.
 */
#define SPHERESUM_NOISE_SLOWER_FACTOR 9

/**
 * Number of a noise report: how many times as many averages the floor needs first, where no slower sweep alone reaches the target.
 */
#define SPHERESUM_NOISE_FLOOR_AVERAGES_FACTOR 10

/**
 * Number of a noise report: time of the slower sweep, minutes.
 */
#define SPHERESUM_NOISE_SLOWER_MINUTES 11

/**
 * Number of a noise report: time that dwelling longer only where it matters would take, over that of dwelling everywhere alike.
 */
#define SPHERESUM_NOISE_DWELL_RATIO 12

/**
 * Number of a noise report: standard uncertainty of the TRP by the noise of the readings, W.
 */
#define SPHERESUM_NOISE_STANDARD_W 13

/**
 * Number of a noise report: standard uncertainty of the TRP by that of the floor, W.
 */
#define SPHERESUM_NOISE_FLOOR_STANDARD_W 14

/**
 * Number of a noise report: how far all readings lie below what noise alone would show, dB.
 */
#define SPHERESUM_NOISE_BELOW_NOISE_DB 15

/**
 * Verdict on a run: noise does not matter.
 */
#define SPHERESUM_VERDICT_CLEAR 0

/**
 * Verdict on a run: noise mattered and was corrected.
 */
#define SPHERESUM_VERDICT_CORRECTED 1

/**
 * Verdict on a run: noise limits the result.
 */
#define SPHERESUM_VERDICT_NOISE_LIMITED 2

/**
 * Verdict on a run: noise was not assessed.
 */
#define SPHERESUM_VERDICT_NOT_ASSESSED 3

/**
 * Layout of a running reduction: both polarisations.
 */
#define SPHERESUM_LAYOUT_THETA_PHI 0

/**
 * Layout of a running reduction: their sum.
 */
#define SPHERESUM_LAYOUT_TOTAL 1

/**
 * Done.
 */
#define SPHERESUM_STATUS_OK 0

/**
 * The data is wrong: mend the data. First of the family 1000..1999.
 */
#define SPHERESUM_STATUS_INPUT 1000

/**
 * The call is wrong: mend the arguments. First of the family 2000..2999.
 */
#define SPHERESUM_STATUS_USAGE 2000

/**
 * The data cannot support what was asked: measure more, or ask for less. First of the family 3000..3999.
 */
#define SPHERESUM_STATUS_DOMAIN 3000

/**
 * A limit was reached: give less. First of the family 4000..4999.
 */
#define SPHERESUM_STATUS_LIMIT 4000

/**
 * Well-formed, but not something that this version does. First of the family 5000..5999.
 */
#define SPHERESUM_STATUS_UNSUPPORTED 5000

/**
 * Several meanings are possible: choose one. First of the family 6000..6999.
 */
#define SPHERESUM_STATUS_AMBIGUOUS 6000

/**
 * The operating system said no. First of the family 7000..7999.
 */
#define SPHERESUM_STATUS_IO 7000

/**
 * The caller said stop. First of the family 8000..8999.
 */
#define SPHERESUM_STATUS_CANCELLED 8000

/**
 * A fault of this library, caught. Nothing was written; please report the message.
 */
#define SPHERESUM_STATUS_INTERNAL 9000

/**
 * The library chooses the rule: sine on 15 and 30 degree steps and where a pole was not measured, Clenshaw-Curtis elsewhere.
 */
#define SPHERESUM_RULE_AUTO 0

/**
 * Sine-weighted sum.
 */
#define SPHERESUM_RULE_SINE 1

/**
 * Clenshaw-Curtis.
 */
#define SPHERESUM_RULE_CLENSHAW_CURTIS 2

/**
 * State of a sample: measured.
 */
#define SPHERESUM_SAMPLE_MEASURED 0

/**
 * State of a sample: the true level is at most the value; half of it (in watts) is used.
 */
#define SPHERESUM_SAMPLE_AT_MOST 1

/**
 * State of a sample: the true level is at least the value, which is used.
 */
#define SPHERESUM_SAMPLE_AT_LEAST 2

/**
 * State of a sample: not measured. Its value is not looked at.
 */
#define SPHERESUM_SAMPLE_MISSING 3

/**
 * State of a figure: it has a value.
 */
#define SPHERESUM_FIGURE_VALUE 0

/**
 * State of a figure: exactly 0 W, which has no decibels.
 */
#define SPHERESUM_FIGURE_ZERO 1

/**
 * State of a figure: below 0 W, which has no decibels.
 */
#define SPHERESUM_FIGURE_NOT_ABOVE_ZERO 2

/**
 * State of a figure: the data cannot support it. A call for one single figure fails instead, with the reason.
 */
#define SPHERESUM_FIGURE_REFUSED 3

/**
 * Quantity: effective isotropic radiated power in a direction, dBm or W.
 */
#define SPHERESUM_QUANTITY_EIRP 1

/**
 * Quantity: effective isotropic sensitivity in a direction, dBm or W.
 */
#define SPHERESUM_QUANTITY_EIS 2

/**
 * Quantity: antenna gain in a direction, dBi or a ratio.
 */
#define SPHERESUM_QUANTITY_GAIN 3

/**
 * Quantity: power at the receiver, before the range loss, dBm or W.
 */
#define SPHERESUM_QUANTITY_RECEIVED 4

/**
 * Quantity: what the instrument sent when the link just held, before the range loss, dBm or W.
 */
#define SPHERESUM_QUANTITY_LEVEL 5

/**
 * Quantity: complex field, whose squared size is EIRP in W.
 */
#define SPHERESUM_QUANTITY_FIELD_SQRTW 6

/**
 * Quantity: complex field times distance, V (rms).
 */
#define SPHERESUM_QUANTITY_FIELD_V 7

/**
 * Quantity: complex field without scale.
 */
#define SPHERESUM_QUANTITY_FIELD 8

/**
 * Quantity: power without scale. Results only.
 */
#define SPHERESUM_QUANTITY_RELATIVE 9

/**
 * Polarisation: theta.
 */
#define SPHERESUM_POLARISATION_THETA 0

/**
 * Polarisation: phi.
 */
#define SPHERESUM_POLARISATION_PHI 1

/**
 * Polarisation: the sum of both.
 */
#define SPHERESUM_POLARISATION_TOTAL 2

/**
 * Unit of levels: decibels, dBm of powers and sensitivities, dBi of gains.
 */
#define SPHERESUM_UNIT_DECIBEL 0

/**
 * Unit of levels: linear, W of powers and sensitivities, a ratio of gains.
 */
#define SPHERESUM_UNIT_LINEAR 1

/**
 * Runs compared with a reference. The caller owns it; free with spheresum_comparison_free().
 */
typedef struct spheresum_comparison spheresum_comparison;

/**
 * A figure of two runs, compared. Borrowed from the comparison.
 */
typedef struct spheresum_difference spheresum_difference;

/**
 * Details of one failed call. The caller owns it; free with spheresum_error_free().
 */
typedef struct spheresum_error spheresum_error;

/**
 * A figure of a result. Borrowed from the result.
 */
typedef struct spheresum_figure spheresum_figure;

/**
 * Figures of one frequency, as they stood when they were asked for. The caller owns it; free with spheresum_figures_free().
 */
typedef struct spheresum_figures spheresum_figures;

/**
 * A file that was read: readings over directions, or a curve against frequency such as a range loss. The caller owns it; free with spheresum_file_free().
 */
typedef struct spheresum_file spheresum_file;

/**
 * A remark about the data: what, where, how much, and what to do. Borrowed from the object that it is a remark on.
 */
typedef struct spheresum_finding spheresum_finding;

/**
 * The formats that files are read with: adapters, and layouts that were added. The caller owns it; free with spheresum_formats_free().
 */
typedef struct spheresum_formats spheresum_formats;

/**
 * What noise does to a channel. Borrowed from the reduction.
 */
typedef struct spheresum_noise spheresum_noise;

/**
 * Options of reading, reducing and comparing. The caller owns it; free with spheresum_options_free().
 */
typedef struct spheresum_options spheresum_options;

/**
 * Readings of one quantity: direction, frequency, polarisation and value, in any order. The caller owns it; free with spheresum_readings_free(),
 * unless it is borrowed from another object.
 */
typedef struct spheresum_readings spheresum_readings;

/**
 * Result of a reduction. The caller owns it; free with spheresum_reduction_free(), unless it is borrowed from a comparison.
 */
typedef struct spheresum_reduction spheresum_reduction;

/**
 * One run: the readings of one configuration of a device. The caller owns it; free with spheresum_run_free().
 */
typedef struct spheresum_run spheresum_run;

/**
 * A reduction that runs along with the measurement: readings go in as the positioner moves, and figures come out at any time. The caller owns it;
 * free with spheresum_running_free().
 */
typedef struct spheresum_running spheresum_running;

/**
 * What an adapter hands its readings to. Valid during the call of read only, on its thread.
 */
typedef struct spheresum_sink spheresum_sink;

/**
 * A text that a caller owns. Free with spheresum_text_free().
 */
typedef struct spheresum_text spheresum_text;

/**
 * An adapter of a text format, in C. Fields that are added later are 0 in tables that do not have them: size says which there are.
 *
 * The functions may be called from any thread, several at a time. They must return: no exception and no longjmp may leave them. They may call the sink
 * that they are given, and no other function with an object that is in use.
 */
typedef struct spheresum_adapter {
  /**
   * sizeof(spheresum_adapter) of the caller.
   */
  size_t size;
  /**
   * Id: small letters, digits and hyphens. Copied.
   */
  const char *id;
  /**
   * What the format is, in a few words. Copied.
   */
  const char *name;
  /**
   * Looks at the head of a text and says how sure it is that the text is its own: SPHERESUM_CONFIDENCE_... The text is UTF-8, and not ended by a zero byte.
   * It may write why to reason, which has room for capacity bytes with the zero byte at the end.
   */
  int32_t (*look)(const char *name,
                  const char *text,
                  size_t length,
                  char *reason,
                  size_t capacity,
                  void *user);
  /**
   * Reads a text and hands its readings to the sink, which is valid during the call only. Returns SPHERESUM_STATUS_OK, or the status of what
   * spheresum_sink_fail() was told. A reading that the sink refuses makes the read fail, whatever is returned.
   */
  int32_t (*read)(const char *name,
                  const char *text,
                  size_t length,
                  struct spheresum_sink *sink,
                  void *user);
  /**
   * Called once, when the formats that hold the adapter are freed, or where adding it fails. May be NULL. Adapters of a plug-in share their data:
   * at most one of them frees it.
   */
  void (*destroy)(void *user);
} spheresum_adapter;

/**
 * Is told how far a call is: done runs from 0 to 1, what is a text that is valid during the call. Returns 0 to go on; anything else stops the call,
 * which then returns SPHERESUM_STATUS_CANCELLED. It is called on the thread of the call, now and then. No exception and no longjmp may leave it.
 */
typedef int32_t (*spheresum_watch)(double done, const char *what, void *user);

/**
 * What a plug-in holds: the only symbol that it exports is a function spheresum_plugin that gives one, which lives as long as the plug-in is loaded.
 */
typedef struct spheresum_plugin_table {
  /**
   * SPHERESUM_PLUGIN_VERSION of the header that it was compiled with.
   */
  uint32_t version;
  /**
   * Number of adapters, 1..64.
   */
  uint32_t count;
  /**
   * The adapters, one behind the other, each as large as its size says.
   */
  const struct spheresum_adapter *adapters;
  /**
   * Data of the adapters.
   */
  void *user;
} spheresum_plugin_table;

#ifdef __cplusplus
extern "C" {
#endif // __cplusplus

/**
 * Adds an adapter. It takes part in detection as the library's own do, and is read with.
 *
 * @param formats in: the formats
 * @param adapter in: the table, which is copied
 * @param user in, optional: data of the adapter, handed to its functions; owned by the formats from now on. Where the call fails, destroy has
 * been called, unless adapter is NULL or its size is wrong
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE (a table that lacks something, or an id that is taken) or _INTERNAL
 */
int32_t spheresum_formats_add(struct spheresum_formats *formats,
                              const struct spheresum_adapter *adapter,
                              void *user,
                              struct spheresum_error **out_error);

/**
 * Adds the adapters of a plug-in, all of them or none: a shared library that exports spheresum_plugin, a function without parameters that returns a const spheresum_plugin_table *.
 * It stays loaded as long as the formats live. Loading runs its code: load what you trust.
 *
 * @param formats in: the formats
 * @param path in: its path, UTF-8, with a separator in it: no folders are searched
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE (no path, no plug-in, or an id that is taken), _UNSUPPORTED (made for another version), _IO or _INTERNAL
 */
int32_t spheresum_formats_load(struct spheresum_formats *formats,
                               const char *path,
                               struct spheresum_error **out_error);

/**
 * Says what the readings are. Comes before the first of them.
 *
 * @param sink in: the sink
 * @param quantity in: SPHERESUM_QUANTITY_..., of powers, sensitivities or gains
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE (no such quantity, or it was said before) or _INTERNAL
 */
int32_t spheresum_sink_begin(struct spheresum_sink *sink,
                             int32_t quantity,
                             struct spheresum_error **out_error);

/**
 * Hands over a reading. One that is refused makes the read fail with this error, unless spheresum_sink_fail() says another.
 *
 * @param sink in: the sink
 * @param polarisation in: SPHERESUM_POLARISATION_...; -1: that of the options of the call
 * @param frequency_hz in: the frequency, Hz; 0: that of the options of the call, or unknown
 * @param theta_deg in: angle from the z axis, degrees, as it is written
 * @param phi_deg in: angle around it, degrees, as it is written
 * @param level in: level in the unit
 * @param unit in: SPHERESUM_UNIT_...
 * @param state in: SPHERESUM_SAMPLE_MEASURED, _AT_MOST or _AT_LEAST; readings that are missing are left out
 * @param line in: line of the text, from 1; 0: none
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _INPUT, _USAGE, _LIMIT or _INTERNAL
 */
int32_t spheresum_sink_add(struct spheresum_sink *sink,
                           int32_t polarisation,
                           double frequency_hz,
                           double theta_deg,
                           double phi_deg,
                           double level,
                           int32_t unit,
                           uint8_t state,
                           uint64_t line,
                           struct spheresum_error **out_error);

/**
 * Says why a text cannot be read, and where. The first such call counts.
 *
 * @param sink in: the sink
 * @param status in: SPHERESUM_STATUS_INPUT, _AMBIGUOUS, _UNSUPPORTED, _LIMIT or _USAGE, which read then returns
 * @param message in: one sentence
 * @param hint in: what to do about it; empty: nothing is known
 * @param line in: line of the text, from 1; 0: none
 * @param column in: column in that line, from 1, in characters; 0: none
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
 */
int32_t spheresum_sink_fail(struct spheresum_sink *sink,
                            int32_t status,
                            const char *message,
                            const char *hint,
                            uint64_t line,
                            uint64_t column,
                            struct spheresum_error **out_error);

/**
 * Remarks on something in the text.
 *
 * @param sink in: the sink
 * @param severity in: SPHERESUM_SEVERITY_NOTE or _WARNING
 * @param code in: a stable word for programs
 * @param message in: one sentence
 * @param line in: line of the text, from 1; 0: none
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE, _LIMIT or _INTERNAL
 */
int32_t spheresum_sink_remark(struct spheresum_sink *sink,
                              int32_t severity,
                              const char *code,
                              const char *message,
                              uint64_t line,
                              struct spheresum_error **out_error);

/**
 * Value of an option that the caller set by name. An option that no adapter asks for is refused after the read.
 *
 * @param sink in: the sink
 * @param name in: name of the option
 * @return its value, borrowed, valid during the call of read; NULL where it was not set
 */
const char *spheresum_sink_option(struct spheresum_sink *sink,
                                  const char *name);

/**
 * Reduces runs by the same rule and compares all others with the first.
 *
 * @param runs in: count runs; the first is the reference; they are not changed, and may be freed afterwards
 * @param count in: number of runs, at least 2
 * @param options in, optional: options of reducing, and path-loss-exponent; NULL: the defaults
 * @param out_comparison out: the result; the caller owns it; free with spheresum_comparison_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _INPUT, _USAGE, _DOMAIN, _LIMIT, _CANCELLED or _INTERNAL
 */
int32_t spheresum_compare(const struct spheresum_run *const *runs,
                          size_t count,
                          const struct spheresum_options *options,
                          struct spheresum_comparison **out_comparison,
                          struct spheresum_error **out_error);

/**
 * Number of runs compared with the reference.
 *
 * @param comparison in: a comparison, or NULL
 * @return the number; 0 for NULL
 */
size_t spheresum_comparison_test_count(const struct spheresum_comparison *comparison);

/**
 * Reduction of a run.
 *
 * @param comparison in: a comparison, or NULL
 * @param run in: 0 for the reference, then the tests
 * @return the reduction, borrowed, valid as long as the comparison; NULL where there is none
 */
const struct spheresum_reduction *spheresum_comparison_reduction(const struct spheresum_comparison *comparison,
                                                                 size_t run);

/**
 * Name of a test.
 *
 * @param comparison in: a comparison, or NULL
 * @param index in: 0..count-1
 * @return text, never NULL; borrowed, valid as long as the comparison
 */
const char *spheresum_comparison_name(const struct spheresum_comparison *comparison, size_t index);

/**
 * The result of a test in one plain sentence.
 *
 * @param comparison in: a comparison, or NULL
 * @param index in: 0..count-1
 * @return text, never NULL; borrowed, valid as long as the comparison
 */
const char *spheresum_comparison_sentence(const struct spheresum_comparison *comparison,
                                          size_t index);

/**
 * Name of the figure that a test stands or falls with.
 *
 * @param comparison in: a comparison, or NULL
 * @param index in: 0..count-1
 * @return text, never NULL; borrowed, valid as long as the comparison
 */
const char *spheresum_comparison_headline(const struct spheresum_comparison *comparison,
                                          size_t index);

/**
 * By how much a test is worse than the reference at its worst frequency, in that figure; a bound where there is no value.
 *
 * @param comparison in: a comparison, or NULL
 * @param index in: 0..count-1
 * @param out_drop_db out, optional: the drop, dB; not written where it is not known
 * @return 1 where the drop is known, else 0
 */
int32_t spheresum_comparison_largest_drop_db(const struct spheresum_comparison *comparison,
                                             size_t index,
                                             double *out_drop_db);

/**
 * Number of frequencies that a test and the reference share.
 *
 * @param comparison in: a comparison, or NULL
 * @param index in: 0..count-1
 * @return the number; 0 for NULL
 */
size_t spheresum_comparison_channel_count(const struct spheresum_comparison *comparison,
                                          size_t index);

/**
 * Frequency of a channel.
 *
 * @param comparison in: a comparison, or NULL
 * @param index in: test, 0..count-1
 * @param channel in: 0..count-1
 * @param out_frequency_hz out, optional: the frequency, Hz; not written where it is not known
 * @return 1 where the frequency is known, else 0
 */
int32_t spheresum_comparison_frequency_hz(const struct spheresum_comparison *comparison,
                                          size_t index,
                                          size_t channel,
                                          double *out_frequency_hz);

/**
 * Number of figures that are compared in a channel.
 *
 * @param comparison in: a comparison, or NULL
 * @param index in: test, 0..count-1
 * @param channel in: 0..count-1
 * @return the number; 0 for NULL
 */
size_t spheresum_comparison_difference_count(const struct spheresum_comparison *comparison,
                                             size_t index,
                                             size_t channel);

/**
 * A figure of a channel, compared.
 *
 * @param comparison in: a comparison, or NULL
 * @param index in: test, 0..count-1
 * @param channel in: 0..count-1
 * @param figure in: 0..count-1
 * @return the difference, borrowed, valid as long as the comparison; NULL where there is none
 */
const struct spheresum_difference *spheresum_comparison_difference(const struct spheresum_comparison *comparison,
                                                                   size_t index,
                                                                   size_t channel,
                                                                   size_t figure);

/**
 * Number of figures over all frequencies that are compared.
 *
 * @param comparison in: a comparison, or NULL
 * @param index in: test, 0..count-1
 * @return the number; 0 for NULL
 */
size_t spheresum_comparison_summary_count(const struct spheresum_comparison *comparison,
                                          size_t index);

/**
 * A figure over all frequencies, compared.
 *
 * @param comparison in: a comparison, or NULL
 * @param index in: test, 0..count-1
 * @param figure in: 0..count-1
 * @return the difference, borrowed, valid as long as the comparison; NULL where there is none
 */
const struct spheresum_difference *spheresum_comparison_summary(const struct spheresum_comparison *comparison,
                                                                size_t index,
                                                                size_t figure);

/**
 * Number of findings on a test.
 *
 * @param comparison in: a comparison, or NULL
 * @param index in: test, 0..count-1
 * @return the number; 0 for NULL
 */
size_t spheresum_comparison_finding_count(const struct spheresum_comparison *comparison,
                                          size_t index);

/**
 * A finding on a test.
 *
 * @param comparison in: a comparison, or NULL
 * @param index in: test, 0..count-1
 * @param finding in: 0..count-1
 * @return the finding, borrowed, valid as long as the comparison; NULL where there is none
 */
const struct spheresum_finding *spheresum_comparison_finding(const struct spheresum_comparison *comparison,
                                                             size_t index,
                                                             size_t finding);

/**
 * The whole comparison as a JSON document, schema spheresum.comparison/1, with all reductions.
 *
 * @param comparison in: a comparison
 * @param out_text out: the document; the caller owns it; free with spheresum_text_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
 */
int32_t spheresum_comparison_json(const struct spheresum_comparison *comparison,
                                  struct spheresum_text **out_text,
                                  struct spheresum_error **out_error);

/**
 * All compared figures as comma-separated values, one a row below a heading.
 *
 * @param comparison in: a comparison
 * @param out_text out: the table; the caller owns it; free with spheresum_text_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
 */
int32_t spheresum_comparison_csv(const struct spheresum_comparison *comparison,
                                 struct spheresum_text **out_text,
                                 struct spheresum_error **out_error);

/**
 * Frees a comparison, and all that was borrowed from it.
 *
 * @param comparison in: a comparison that was not freed yet, or NULL, which does nothing
 */
void spheresum_comparison_free(struct spheresum_comparison *comparison);

/**
 * Name of the figure, such as trp.
 *
 * @param difference in: a difference, or NULL
 * @return text, never NULL; borrowed, valid as long as the difference
 */
const char *spheresum_difference_name(const struct spheresum_difference *difference);

/**
 * Unit of the figure, such as dBm.
 *
 * @param difference in: a difference, or NULL
 * @return text, never NULL; borrowed, valid as long as the difference
 */
const char *spheresum_difference_unit(const struct spheresum_difference *difference);

/**
 * Whether the measurement can tell the two apart.
 *
 * @param difference in: a difference, or NULL
 * @return SPHERESUM_RESOLVED, _NOT_RESOLVED, _BOUND_ONLY or _NOT_ASSESSED, which it is for NULL
 */
int32_t spheresum_difference_verdict(const struct spheresum_difference *difference);

/**
 * A number of a difference.
 *
 * @param difference in: a difference, or NULL
 * @param which in: SPHERESUM_DIFFERENCE_...
 * @param out_number out, optional: the number; not written where it is not known
 * @return 1 where the number is known, else 0
 */
int32_t spheresum_difference_number(const struct spheresum_difference *difference,
                                    int32_t which,
                                    double *out_number);

/**
 * The status that the call returned.
 *
 * @param error in: an error object, or NULL
 * @return the status; SPHERESUM_STATUS_OK for NULL
 */
int32_t spheresum_error_code(const struct spheresum_error *error);

/**
 * What went wrong, in one sentence.
 *
 * @param error in: an error object, or NULL
 * @return text, never NULL, empty for NULL; borrowed, valid until the error is freed
 */
const char *spheresum_error_message(const struct spheresum_error *error);

/**
 * What to do about it, where that is known.
 *
 * @param error in: an error object, or NULL
 * @return text, never NULL, empty where nothing is known and for NULL; borrowed, valid until the error is freed
 */
const char *spheresum_error_hint(const struct spheresum_error *error);

/**
 * Name of the parameter or of the file's field that is meant, where one is.
 *
 * @param error in: an error object, or NULL
 * @return text, never NULL, empty where nothing is known and for NULL; borrowed, valid until the error is freed
 */
const char *spheresum_error_field(const struct spheresum_error *error);

/**
 * Line of the source that is meant, from 1. Where the source is arrays, elements count as lines: the index is line - 1.
 *
 * @param error in: an error object, or NULL
 * @return the line; 0 where none is known and for NULL
 */
uint64_t spheresum_error_line(const struct spheresum_error *error);

/**
 * Column in that line, from 1, in characters. Arrays have none.
 *
 * @param error in: an error object, or NULL
 * @return the column; 0 where none is known and for NULL
 */
uint64_t spheresum_error_column(const struct spheresum_error *error);

/**
 * Frees an error object and the texts borrowed from it.
 *
 * @param error in: an error object that was not freed yet, or NULL, which does nothing
 */
void spheresum_error_free(struct spheresum_error *error);

/**
 * Name of a figure, such as trp.
 *
 * @param figure in: a figure, or NULL
 * @return text, never NULL; borrowed, valid as long as the figure
 */
const char *spheresum_figure_name(const struct spheresum_figure *figure);

/**
 * Unit of its value, bounds and interval, such as dBm.
 *
 * @param figure in: a figure, or NULL
 * @return text, never NULL; borrowed, valid as long as the figure
 */
const char *spheresum_figure_unit(const struct spheresum_figure *figure);

/**
 * Why it was refused.
 *
 * @param figure in: a figure, or NULL
 * @return text, never NULL, empty where it was not; borrowed, valid as long as the figure
 */
const char *spheresum_figure_reason(const struct spheresum_figure *figure);

/**
 * What its bounds rest on.
 *
 * @param figure in: a figure, or NULL
 * @return text, never NULL, empty where it has none; borrowed, valid as long as the figure
 */
const char *spheresum_figure_assumption(const struct spheresum_figure *figure);

/**
 * Rule that it was integrated with, such as sine.
 *
 * @param figure in: a figure, or NULL
 * @return text, never NULL, empty where it was not integrated; borrowed, valid as long as the figure
 */
const char *spheresum_figure_rule(const struct spheresum_figure *figure);

/**
 * Form of its window, half or exact.
 *
 * @param figure in: a figure, or NULL
 * @return text, never NULL, empty where it has no partial window; borrowed, valid as long as the figure
 */
const char *spheresum_figure_edges(const struct spheresum_figure *figure);

/**
 * Whether it has a value.
 *
 * @param figure in: a figure, or NULL
 * @return SPHERESUM_FIGURE_...; _REFUSED for NULL
 */
uint8_t spheresum_figure_state(const struct spheresum_figure *figure);

/**
 * A number of a figure.
 *
 * @param figure in: a figure, or NULL
 * @param which in: SPHERESUM_NUMBER_...
 * @param out_number out, optional: the number; not written where it is not known
 * @return 1 where the number is known, else 0
 */
int32_t spheresum_figure_number(const struct spheresum_figure *figure,
                                int32_t which,
                                double *out_number);

/**
 * Reads a file.
 *
 * Options are those of reading: adapter, frequency-mhz, polarisation, threads, and what adapters take by name, such as separator, decimal, column,
 * pol, quantity, unit, angles, ports.
 *
 * @param formats in: the formats; they are not changed
 * @param path in: its path, UTF-8
 * @param options in, optional: options; NULL: the defaults
 * @param out_file out: the file; the caller owns it; free with spheresum_file_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _INPUT (the file is wrong; the error has its line and column), _USAGE, _LIMIT, _UNSUPPORTED (no format recognises it), _AMBIGUOUS,
 * _IO, _CANCELLED or _INTERNAL
 */
int32_t spheresum_file_open(const struct spheresum_formats *formats,
                            const char *path,
                            const struct spheresum_options *options,
                            struct spheresum_file **out_file,
                            struct spheresum_error **out_error);

/**
 * Reads a file from memory.
 *
 * @param formats in: the formats; they are not changed
 * @param name in: name of the file in messages; its ending may help to recognise it
 * @param bytes in: length bytes, compressed with gzip or not
 * @param length in: number of bytes
 * @param options in, optional: options, as of spheresum_file_open(); NULL: the defaults
 * @param out_file out: the file; the caller owns it; free with spheresum_file_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return as spheresum_file_open(), but for _IO
 */
int32_t spheresum_file_read(const struct spheresum_formats *formats,
                            const char *name,
                            const uint8_t *bytes,
                            size_t length,
                            const struct spheresum_options *options,
                            struct spheresum_file **out_file,
                            struct spheresum_error **out_error);

/**
 * Says what each format makes of a file, as lines of id, confidence and reason, parted by tabs; the surest first.
 *
 * @param formats in: the formats; they are not changed
 * @param name in: name of the file; its ending may help to recognise it
 * @param bytes in: length bytes, compressed with gzip or not; the first megabyte is enough
 * @param length in: number of bytes
 * @param out_text out: the lines; confidence is 0 (none) to 3 (certain), as SPHERESUM_CONFIDENCE_...; the caller owns it; free with spheresum_text_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _INPUT (the bytes are no text), _USAGE, _LIMIT or _INTERNAL
 */
int32_t spheresum_formats_look(const struct spheresum_formats *formats,
                               const char *name,
                               const uint8_t *bytes,
                               size_t length,
                               struct spheresum_text **out_text,
                               struct spheresum_error **out_error);

/**
 * Id of the format that read it.
 *
 * @param file in: a file, or NULL
 * @return text, never NULL; borrowed, valid as long as the file
 */
const char *spheresum_file_format(const struct spheresum_file *file);

/**
 * SHA-256 of its bytes, hexadecimal.
 *
 * @param file in: a file, or NULL
 * @return text, never NULL; borrowed, valid as long as the file
 */
const char *spheresum_file_sha256(const struct spheresum_file *file);

/**
 * Its readings.
 *
 * @param file in: a file, or NULL
 * @return the readings, borrowed, valid as long as the file; NULL where it holds a curve
 */
const struct spheresum_readings *spheresum_file_readings(const struct spheresum_file *file);

/**
 * Whether it holds a curve against frequency, such as a range loss.
 *
 * @param file in: a file, or NULL
 * @return 1 where it holds a curve, else 0
 */
int32_t spheresum_file_has_curve(const struct spheresum_file *file);

/**
 * Number of findings of reading it.
 *
 * @param file in: a file, or NULL
 * @return the number; 0 for NULL
 */
size_t spheresum_file_finding_count(const struct spheresum_file *file);

/**
 * A finding of reading it.
 *
 * @param file in: a file, or NULL
 * @param index in: 0..count-1
 * @return the finding, borrowed, valid as long as the file; NULL where there is none
 */
const struct spheresum_finding *spheresum_file_finding(const struct spheresum_file *file,
                                                       size_t index);

/**
 * Frees a file, and all that was borrowed from it.
 *
 * @param file in: a file that was not freed yet, or NULL, which does nothing
 */
void spheresum_file_free(struct spheresum_file *file);

/**
 * How much it matters.
 *
 * @param finding in: a finding, or NULL
 * @return SPHERESUM_SEVERITY_...; _NOTE for NULL
 */
int32_t spheresum_finding_severity(const struct spheresum_finding *finding);

/**
 * A stable word for programs, such as repeats.
 *
 * @param finding in: a finding, or NULL
 * @return text, never NULL; borrowed, valid as long as the finding
 */
const char *spheresum_finding_code(const struct spheresum_finding *finding);

/**
 * One sentence for people.
 *
 * @param finding in: a finding, or NULL
 * @return text, never NULL; borrowed, valid as long as the finding
 */
const char *spheresum_finding_message(const struct spheresum_finding *finding);

/**
 * What to do about it.
 *
 * @param finding in: a finding, or NULL
 * @return text, never NULL, empty where nothing is known; borrowed, valid as long as the finding
 */
const char *spheresum_finding_advice(const struct spheresum_finding *finding);

/**
 * Name of the source that it stands in.
 *
 * @param finding in: a finding, or NULL
 * @return text, never NULL, empty where it stands nowhere; borrowed, valid as long as the finding
 */
const char *spheresum_finding_source(const struct spheresum_finding *finding);

/**
 * Name of the field that it stands in.
 *
 * @param finding in: a finding, or NULL
 * @return text, never NULL, empty where it has none; borrowed, valid as long as the finding
 */
const char *spheresum_finding_field(const struct spheresum_finding *finding);

/**
 * Line that it stands in, from 1.
 *
 * @param finding in: a finding, or NULL
 * @return the line; 0 where it stands in none
 */
uint64_t spheresum_finding_line(const struct spheresum_finding *finding);

/**
 * Column in that line, from 1, in characters.
 *
 * @param finding in: a finding, or NULL
 * @return the column; 0 where it stands in none
 */
uint64_t spheresum_finding_column(const struct spheresum_finding *finding);

/**
 * What it does to the result.
 *
 * @param finding in: a finding, or NULL
 * @param out_effect_db out, optional: the effect, dB; not written where it is not known
 * @return 1 where the effect is known, else 0
 */
int32_t spheresum_finding_effect_db(const struct spheresum_finding *finding, double *out_effect_db);

/**
 * All adapters that this library has.
 *
 * @param out_formats out: the object; the caller owns it; free with spheresum_formats_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
 */
int32_t spheresum_formats_new(struct spheresum_formats **out_formats,
                              struct spheresum_error **out_error);

/**
 * Adds a layout: a TOML text that describes a format.
 *
 * @param formats in: the formats
 * @param name in: name of the layout in messages, such as its file's
 * @param text in: length bytes, UTF-8
 * @param length in: number of bytes
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _INPUT (the layout is wrong; the error has its line), _USAGE (an id that is taken), _LIMIT or _INTERNAL
 */
int32_t spheresum_formats_add_layout(struct spheresum_formats *formats,
                                     const char *name,
                                     const uint8_t *text,
                                     size_t length,
                                     struct spheresum_error **out_error);

/**
 * Number of formats.
 *
 * @param formats in: formats, or NULL
 * @return the number; 0 for NULL
 */
size_t spheresum_formats_count(const struct spheresum_formats *formats);

/**
 * Id of a format, such as delimited.
 *
 * @param formats in: formats, or NULL
 * @param index in: 0..count-1
 * @return text, never NULL, empty beyond the last; borrowed, valid until formats are added or freed
 */
const char *spheresum_formats_id(const struct spheresum_formats *formats, size_t index);

/**
 * What a format is, in a few words.
 *
 * @param formats in: formats, or NULL
 * @param index in: 0..count-1
 * @return text, never NULL, empty beyond the last; borrowed, valid until formats are added or freed
 */
const char *spheresum_formats_name(const struct spheresum_formats *formats, size_t index);

/**
 * Where a format is specified.
 *
 * @param formats in: formats, or NULL
 * @param index in: 0..count-1
 * @return text, never NULL, empty beyond the last and where nothing is known; borrowed, valid until formats are added or freed
 */
const char *spheresum_formats_specification(const struct spheresum_formats *formats,
                                            size_t index);

/**
 * Frees formats.
 *
 * @param formats in: formats that were not freed yet, or NULL, which does nothing
 */
void spheresum_formats_free(struct spheresum_formats *formats);

/**
 * Verdict on the channel.
 *
 * @param noise in: a report, or NULL
 * @return SPHERESUM_VERDICT_...; _NOT_ASSESSED for NULL
 */
int32_t spheresum_noise_verdict(const struct spheresum_noise *noise);

/**
 * A number of a report.
 *
 * @param noise in: a report, or NULL
 * @param which in: SPHERESUM_NOISE_...
 * @param out_number out, optional: the number; not written where it is not known
 * @return 1 where the number is known, else 0
 */
int32_t spheresum_noise_number(const struct spheresum_noise *noise,
                               int32_t which,
                               double *out_number);

/**
 * The floor of a polarisation, as EIRP.
 *
 * @param noise in: a report, or NULL
 * @param polarisation in: SPHERESUM_POLARISATION_...
 * @param out_floor_dbm out, optional: the floor, dBm; not written where there is none
 * @return 1 where the polarisation has a floor, else 0
 */
int32_t spheresum_noise_floor_dbm(const struct spheresum_noise *noise,
                                  int32_t polarisation,
                                  double *out_floor_dbm);

/**
 * No options: the defaults hold.
 *
 * @param out_options out: the object; the caller owns it; free with spheresum_options_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
 */
int32_t spheresum_options_new(struct spheresum_options **out_options,
                              struct spheresum_error **out_error);

/**
 * Sets an option by its name, which is that of the command without dashes in front: rule, edges, fill, max-missing, snap-deg, figures, range
 * (theta=DB,phi=DB), floor, detector, averages and so on; of reading adapter, frequency-mhz, polarisation, threads, separator, decimal, column, pol, quantity,
 * unit, angles and ports; option (NAME=VALUE) for what one adapter alone asks for; of comparing path-loss-exponent. An option that is set again is replaced, but for option, of which each NAME is kept.
 *
 * @param options in: the options
 * @param name in: its name
 * @param value in: its value as text, with a point as the decimal sign
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE (no such option, or no such value; the hint says what there is) or _INTERNAL
 */
int32_t spheresum_options_set(struct spheresum_options *options,
                              const char *name,
                              const char *value,
                              struct spheresum_error **out_error);

/**
 * Number of options that spheresum_options_set() knows.
 *
 * @return the number
 */
size_t spheresum_option_count(void);

/**
 * Name of an option.
 *
 * @param index in: 0..count-1
 * @return text, never NULL, empty beyond the last; static, do not free
 */
const char *spheresum_option_name(size_t index);

/**
 * Takes the range loss from a file that holds a curve of losses against frequency, as the option range takes two numbers.
 *
 * @param options in: the options
 * @param file in: the file; it may be freed afterwards
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _INPUT (the file holds readings, or no losses), _USAGE or _INTERNAL
 */
int32_t spheresum_options_set_range(struct spheresum_options *options,
                                    const struct spheresum_file *file,
                                    struct spheresum_error **out_error);

/**
 * Takes the noise floor from readings that were taken while the device was silent, as the option floor takes levels.
 *
 * @param options in: the options; detector has to be set too
 * @param readings in: the readings; they may be freed afterwards
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _INPUT, _USAGE or _INTERNAL
 */
int32_t spheresum_options_set_floor(struct spheresum_options *options,
                                    const struct spheresum_readings *readings,
                                    struct spheresum_error **out_error);

/**
 * Sets who is told the progress of calls with these options, and may stop them: reading, reducing and comparing. A running reduction is not watched.
 *
 * @param options in: the options
 * @param watch in, optional: the function; NULL: nobody. It may be called on every thread that makes a call with the options
 * @param user in, optional: handed to the function; it has to live as long as calls with the options are made
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
 */
int32_t spheresum_options_set_watch(struct spheresum_options *options,
                                    spheresum_watch watch,
                                    void *user,
                                    struct spheresum_error **out_error);

/**
 * Frees options.
 *
 * @param options in: options that were not freed yet, or NULL, which does nothing
 */
void spheresum_options_free(struct spheresum_options *options);

/**
 * Readings without any so far.
 *
 * @param quantity in: what the values are, SPHERESUM_QUANTITY_...
 * @param name in: name of the readings in messages and results
 * @param out_readings out: the object; the caller owns it; free with spheresum_readings_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
 */
int32_t spheresum_readings_new(int32_t quantity,
                               const char *name,
                               struct spheresum_readings **out_readings,
                               struct spheresum_error **out_error);

/**
 * Adds an entry of the readings: a remark, or something that a reduction looks for, such as averages.
 *
 * @param readings in: the readings
 * @param key in: its name
 * @param value in: its text
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE, _LIMIT or _INTERNAL
 */
int32_t spheresum_readings_add_entry(struct spheresum_readings *readings,
                                     const char *key,
                                     const char *value,
                                     struct spheresum_error **out_error);

/**
 * Frees readings that the caller owns.
 *
 * @param readings in: readings that were not freed yet, or NULL, which does nothing
 */
void spheresum_readings_free(struct spheresum_readings *readings);

/**
 * Adds readings of powers, sensitivities or gains: one polarisation at one frequency. All of them or none.
 *
 * A link that was lost at an unknown level is SPHERESUM_SAMPLE_AT_LEAST with any value above 300 dB, for sensitivities only.
 *
 * @param readings in: the readings
 * @param polarisation in: SPHERESUM_POLARISATION_...
 * @param frequency_hz in: the frequency, Hz; 0: unknown
 * @param count in: number of elements of each array; 0 adds nothing
 * @param theta_deg in: count angles from the z axis, degrees, 0..180 (-180..360 is folded)
 * @param phi_deg in: count angles around it, degrees, 0..360 (-360..720 is folded)
 * @param level in: count levels in the unit
 * @param unit in: SPHERESUM_UNIT_DECIBEL (dBm of powers and sensitivities, dBi of gains) or SPHERESUM_UNIT_LINEAR (W, ratio)
 * @param state in, optional: count states SPHERESUM_SAMPLE_...; NULL: all measured
 * @param time_s in, optional: count times, seconds from any start that all readings share; NULL: unknown
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _INPUT (a number in an array is wrong; the error names parameter and element), _USAGE, _LIMIT or _INTERNAL
 */
int32_t spheresum_readings_add(struct spheresum_readings *readings,
                               int32_t polarisation,
                               double frequency_hz,
                               size_t count,
                               const double *theta_deg,
                               const double *phi_deg,
                               const double *level,
                               int32_t unit,
                               const uint8_t *state,
                               const double *time_s,
                               struct spheresum_error **out_error);

/**
 * Adds readings of a complex field: one polarisation at one frequency. All of them or none.
 *
 * @param readings in: readings of a field
 * @param polarisation in: SPHERESUM_POLARISATION_THETA or _PHI
 * @param frequency_hz in: the frequency, Hz; 0: unknown
 * @param count in: number of elements of each array; 0 adds nothing
 * @param theta_deg in: count angles from the z axis, degrees
 * @param phi_deg in: count angles around it, degrees
 * @param real in: count real parts, in the scale of the quantity, time convention exp(+jwt)
 * @param imaginary in: count imaginary parts
 * @param state in, optional: count states, SPHERESUM_SAMPLE_MEASURED or _MISSING; NULL: all measured
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _INPUT, _USAGE, _LIMIT or _INTERNAL
 */
int32_t spheresum_readings_add_field(struct spheresum_readings *readings,
                                     int32_t polarisation,
                                     double frequency_hz,
                                     size_t count,
                                     const double *theta_deg,
                                     const double *phi_deg,
                                     const double *real,
                                     const double *imaginary,
                                     const uint8_t *state,
                                     struct spheresum_error **out_error);

/**
 * Adds one reading of a power, sensitivity or gain.
 *
 * @param readings in: the readings
 * @param polarisation in: SPHERESUM_POLARISATION_...
 * @param frequency_hz in: the frequency, Hz; 0: unknown
 * @param theta_deg in: angle from the z axis, degrees
 * @param phi_deg in: angle around it, degrees
 * @param level in: level in the unit
 * @param unit in: SPHERESUM_UNIT_...
 * @param state in: SPHERESUM_SAMPLE_...
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return as spheresum_readings_add()
 */
int32_t spheresum_readings_add_one(struct spheresum_readings *readings,
                                   int32_t polarisation,
                                   double frequency_hz,
                                   double theta_deg,
                                   double phi_deg,
                                   double level,
                                   int32_t unit,
                                   uint8_t state,
                                   struct spheresum_error **out_error);

/**
 * Number of readings.
 *
 * @param readings in: readings, or NULL
 * @return the number; 0 for NULL
 */
size_t spheresum_readings_count(const struct spheresum_readings *readings);

/**
 * What the values are.
 *
 * @param readings in: readings, or NULL
 * @return SPHERESUM_QUANTITY_...; 0 for NULL
 */
int32_t spheresum_readings_quantity(const struct spheresum_readings *readings);

/**
 * Number of different frequencies, an unknown one included.
 *
 * @param readings in: readings, or NULL
 * @return the number; 0 for NULL
 */
size_t spheresum_readings_frequency_count(const struct spheresum_readings *readings);

/**
 * A frequency of readings.
 *
 * @param readings in: readings
 * @param index in: 0..count-1, in the order in which they were first met
 * @param out_frequency_hz out: the frequency, Hz; 0 where it is unknown
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
 */
int32_t spheresum_readings_frequency_hz(const struct spheresum_readings *readings,
                                        size_t index,
                                        double *out_frequency_hz,
                                        struct spheresum_error **out_error);

/**
 * Copies readings into arrays of the caller; an array that is NULL is left out.
 *
 * @param readings in: readings
 * @param first in: index of the first reading
 * @param count in: number of readings; all of them have to exist
 * @param out_theta_deg out, optional: count angles from the z axis, degrees
 * @param out_phi_deg out, optional: count angles around it, degrees
 * @param out_frequency out, optional: count indices of frequencies
 * @param out_polarisation out, optional: count SPHERESUM_POLARISATION_...
 * @param out_value out, optional: count linear values (W, ratio) or real parts; 0 for a lost link of unknown level
 * @param out_imaginary out, optional: count imaginary parts; 0 for values that are not complex
 * @param out_state out, optional: count SPHERESUM_SAMPLE_...
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
 */
int32_t spheresum_readings_get(const struct spheresum_readings *readings,
                               size_t first,
                               size_t count,
                               double *out_theta_deg,
                               double *out_phi_deg,
                               size_t *out_frequency,
                               int32_t *out_polarisation,
                               double *out_value,
                               double *out_imaginary,
                               uint8_t *out_state,
                               struct spheresum_error **out_error);

/**
 * Reduces a run.
 *
 * @param run in: the run; it is not changed, and may be freed afterwards
 * @param options in, optional: options; NULL: the defaults
 * @param out_reduction out: the result; the caller owns it; free with spheresum_reduction_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _INPUT, _USAGE, _DOMAIN (the readings cannot be reduced as asked), _LIMIT, _CANCELLED or _INTERNAL. A figure that the data
 * cannot support is no failure: it has the state SPHERESUM_FIGURE_REFUSED
 */
int32_t spheresum_reduce(const struct spheresum_run *run,
                         const struct spheresum_options *options,
                         struct spheresum_reduction **out_reduction,
                         struct spheresum_error **out_error);

/**
 * What can be said of the run as a whole.
 *
 * @param reduction in: a reduction, or NULL
 * @return SPHERESUM_VERDICT_...; _NOT_ASSESSED for NULL
 */
int32_t spheresum_reduction_verdict(const struct spheresum_reduction *reduction);

/**
 * What was integrated.
 *
 * @param reduction in: a reduction, or NULL
 * @return SPHERESUM_QUANTITY_...; 0 for NULL
 */
int32_t spheresum_reduction_quantity(const struct spheresum_reduction *reduction);

/**
 * Name of the run.
 *
 * @param reduction in: a reduction, or NULL
 * @return text, never NULL; borrowed, valid as long as the reduction
 */
const char *spheresum_reduction_name(const struct spheresum_reduction *reduction);

/**
 * Rule of whole-sphere figures, such as sine.
 *
 * @param reduction in: a reduction, or NULL
 * @return text, never NULL; borrowed, valid as long as the reduction
 */
const char *spheresum_reduction_rule(const struct spheresum_reduction *reduction);

/**
 * Number of frequencies.
 *
 * @param reduction in: a reduction, or NULL
 * @return the number; 0 for NULL
 */
size_t spheresum_reduction_channel_count(const struct spheresum_reduction *reduction);

/**
 * Frequency of a channel. They are in ascending order, an unknown one first.
 *
 * @param reduction in: a reduction, or NULL
 * @param channel in: 0..count-1
 * @param out_frequency_hz out, optional: the frequency, Hz; not written where it is not known
 * @return 1 where the frequency is known, else 0
 */
int32_t spheresum_reduction_frequency_hz(const struct spheresum_reduction *reduction,
                                         size_t channel,
                                         double *out_frequency_hz);

/**
 * Number of figures of a channel.
 *
 * @param reduction in: a reduction, or NULL
 * @param channel in: 0..count-1
 * @return the number; 0 for NULL and where there is no such channel
 */
size_t spheresum_reduction_figure_count(const struct spheresum_reduction *reduction,
                                        size_t channel);

/**
 * A figure of a channel.
 *
 * @param reduction in: a reduction, or NULL
 * @param channel in: 0..count-1
 * @param index in: 0..count-1
 * @return the figure, borrowed, valid as long as the reduction; NULL where there is none
 */
const struct spheresum_figure *spheresum_reduction_figure(const struct spheresum_reduction *reduction,
                                                          size_t channel,
                                                          size_t index);

/**
 * A figure of a channel by its name.
 *
 * @param reduction in: a reduction
 * @param channel in: 0..count-1
 * @param name in: its name, such as trp
 * @param out_figure out: the figure, borrowed, valid as long as the reduction
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE (no such channel or figure) or _INTERNAL
 */
int32_t spheresum_reduction_find(const struct spheresum_reduction *reduction,
                                 size_t channel,
                                 const char *name,
                                 const struct spheresum_figure **out_figure,
                                 struct spheresum_error **out_error);

/**
 * What noise does to a channel, where a floor was taken off.
 *
 * @param reduction in: a reduction, or NULL
 * @param channel in: 0..count-1
 * @return the report, borrowed, valid as long as the reduction; NULL where there is none
 */
const struct spheresum_noise *spheresum_reduction_noise(const struct spheresum_reduction *reduction,
                                                        size_t channel);

/**
 * Number of figures over all frequencies.
 *
 * @param reduction in: a reduction, or NULL
 * @return the number; 0 for NULL
 */
size_t spheresum_reduction_summary_count(const struct spheresum_reduction *reduction);

/**
 * A figure over all frequencies.
 *
 * @param reduction in: a reduction, or NULL
 * @param index in: 0..count-1
 * @return the figure, borrowed, valid as long as the reduction; NULL where there is none
 */
const struct spheresum_figure *spheresum_reduction_summary(const struct spheresum_reduction *reduction,
                                                           size_t index);

/**
 * Number of findings.
 *
 * @param reduction in: a reduction, or NULL
 * @return the number; 0 for NULL
 */
size_t spheresum_reduction_finding_count(const struct spheresum_reduction *reduction);

/**
 * A finding.
 *
 * @param reduction in: a reduction, or NULL
 * @param index in: 0..count-1
 * @return the finding, borrowed, valid as long as the reduction; NULL where there is none
 */
const struct spheresum_finding *spheresum_reduction_finding(const struct spheresum_reduction *reduction,
                                                            size_t index);

/**
 * The whole result as a JSON document, schema spheresum.reduction/1, with its history.
 *
 * @param reduction in: a reduction
 * @param out_text out: the document; the caller owns it; free with spheresum_text_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
 */
int32_t spheresum_reduction_json(const struct spheresum_reduction *reduction,
                                 struct spheresum_text **out_text,
                                 struct spheresum_error **out_error);

/**
 * All figures as comma-separated values, one a row below a heading.
 *
 * @param reduction in: a reduction
 * @param out_text out: the table; the caller owns it; free with spheresum_text_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
 */
int32_t spheresum_reduction_csv(const struct spheresum_reduction *reduction,
                                struct spheresum_text **out_text,
                                struct spheresum_error **out_error);

/**
 * A table to start from: a row a figure with what the reduction gave, each marked as a snapshot, for spheresum_table_check_file(). Values and sources of one's own go in
 * their place.
 *
 * @param reduction in: a reduction
 * @param files in: the files of the run, from the folder of the table, with commas between them; path\@theta, path\@phi or path\@868.3 (MHz) where a file does not say so
 * itself
 * @param options in: the options that the run was read and reduced with, as they are typed behind the command: --name value and so on; empty: none
 * @param source in: what the rows come from, such as a version and a date
 * @param out_text out: the table; the caller owns it; free with spheresum_text_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE (also options that are none) or _INTERNAL
 */
int32_t spheresum_reduction_skeleton(const struct spheresum_reduction *reduction,
                                     const char *files,
                                     const char *options,
                                     const char *source,
                                     struct spheresum_text **out_text,
                                     struct spheresum_error **out_error);

/**
 * Frees a reduction that the caller owns, and all that was borrowed from it.
 *
 * @param reduction in: a reduction that was not freed yet, or NULL, which does nothing
 */
void spheresum_reduction_free(struct spheresum_reduction *reduction);

/**
 * Weights of the rings of an equal-angle grid: the mean over the sphere is half the sum of weight times mean over the ring.
 *
 * @param rule in: SPHERESUM_RULE_SINE or SPHERESUM_RULE_CLENSHAW_CURTIS
 * @param intervals in: number of steps from pole to pole, 1..10000; there is one ring more
 * @param count in: number of elements of the array, intervals + 1
 * @param out_weights out: count weights, from theta = 0 to 180 degrees
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE, _LIMIT or _INTERNAL
 */
int32_t spheresum_rule_weights(int32_t rule,
                               size_t intervals,
                               size_t count,
                               double *out_weights,
                               struct spheresum_error **out_error);

/**
 * A run without readings so far.
 *
 * @param name in: its name in results
 * @param out_run out: the object; the caller owns it; free with spheresum_run_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
 */
int32_t spheresum_run_new(const char *name,
                          struct spheresum_run **out_run,
                          struct spheresum_error **out_error);

/**
 * Adds readings to a run. They are shared, not copied; what is added to them later is not part of the run.
 *
 * @param run in: the run
 * @param readings in: the readings; they may be freed afterwards
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
 */
int32_t spheresum_run_add_readings(struct spheresum_run *run,
                                   const struct spheresum_readings *readings,
                                   struct spheresum_error **out_error);

/**
 * Adds the readings of a file to a run, with its findings and its place in the history. They are shared, not copied.
 *
 * @param run in: the run
 * @param file in: a file with readings; it may be freed afterwards
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _INPUT (the file holds a curve), _USAGE or _INTERNAL
 */
int32_t spheresum_run_add_file(struct spheresum_run *run,
                               const struct spheresum_file *file,
                               struct spheresum_error **out_error);

/**
 * Frees a run.
 *
 * @param run in: a run that was not freed yet, or NULL, which does nothing
 */
void spheresum_run_free(struct spheresum_run *run);

/**
 * Begins a running reduction on an equal-angle grid.
 *
 * @param quantity in: SPHERESUM_QUANTITY_..., of powers, sensitivities or gains
 * @param theta_step_deg in: step of the angle from the z axis, degrees; it divides 180
 * @param phi_step_deg in: step of the angle around it, degrees; it divides 360
 * @param layout in: SPHERESUM_LAYOUT_...
 * @param frequencies_hz in, optional: count frequencies, Hz; NULL with a count of 0: one that is unknown
 * @param count in: number of frequencies
 * @param options in, optional: options of reducing; a noise floor waits for the end; NULL: the defaults
 * @param out_running out: the object; the caller owns it; free with spheresum_running_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE, _DOMAIN, _LIMIT, _UNSUPPORTED (fields) or _INTERNAL
 */
int32_t spheresum_running_begin(int32_t quantity,
                                double theta_step_deg,
                                double phi_step_deg,
                                int32_t layout,
                                const double *frequencies_hz,
                                size_t count,
                                const struct spheresum_options *options,
                                struct spheresum_running **out_running,
                                struct spheresum_error **out_error);

/**
 * Adds a reading. One that is not taken changes nothing. A direction that is read again is averaged with what was read there, and does not replace it.
 *
 * @param running in: the running reduction
 * @param polarisation in: SPHERESUM_POLARISATION_... of its layout
 * @param frequency_hz in: one of the frequencies, Hz; 0: unknown
 * @param theta_deg in: angle from the z axis, degrees, on the grid
 * @param phi_deg in: angle around it, degrees, on the grid
 * @param level in: level in the unit
 * @param unit in: SPHERESUM_UNIT_...
 * @param state in: SPHERESUM_SAMPLE_MEASURED, _AT_MOST or _AT_LEAST
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _INPUT (off the grid, or no level), _USAGE, _LIMIT or _INTERNAL
 */
int32_t spheresum_running_add(struct spheresum_running *running,
                              int32_t polarisation,
                              double frequency_hz,
                              double theta_deg,
                              double phi_deg,
                              double level,
                              int32_t unit,
                              uint8_t state,
                              struct spheresum_error **out_error);

/**
 * How far the measurement is.
 *
 * @param running in: the running reduction
 * @param channel in: index of the frequency, in the order in which they were given
 * @param polarisation in: SPHERESUM_POLARISATION_... of its layout
 * @param out_read out: number of directions that were read
 * @param out_planned out: number of directions in all; a pole is one
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
 */
int32_t spheresum_running_progress(const struct spheresum_running *running,
                                   size_t channel,
                                   int32_t polarisation,
                                   size_t *out_read,
                                   size_t *out_planned,
                                   struct spheresum_error **out_error);

/**
 * Whether every direction was read in every polarisation at every frequency.
 *
 * @param running in: a running reduction, or NULL
 * @return 1 where it was, else 0
 */
int32_t spheresum_running_is_complete(const struct spheresum_running *running);

/**
 * Figures from what was read so far: a value as if the rest were like it, a lower bound with the rest at zero, and an upper bound with the rest at the largest
 * reading so far, which is an assumption and named as one. Value and upper bound (of sensitivities value and lower bound) are known once every polarisation
 * has begun.
 *
 * @param running in: the running reduction
 * @param channel in: index of the frequency, in the order in which they were given
 * @param out_figures out: the figures; the caller owns it; free with spheresum_figures_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
 */
int32_t spheresum_running_figures(const struct spheresum_running *running,
                                  size_t channel,
                                  struct spheresum_figures **out_figures,
                                  struct spheresum_error **out_error);

/**
 * Number of figures.
 *
 * @param figures in: figures, or NULL
 * @return the number; 0 for NULL
 */
size_t spheresum_figures_count(const struct spheresum_figures *figures);

/**
 * A figure.
 *
 * @param figures in: figures, or NULL
 * @param index in: 0..count-1
 * @return the figure, borrowed, valid as long as the figures; NULL where there is none
 */
const struct spheresum_figure *spheresum_figures_get(const struct spheresum_figures *figures,
                                                     size_t index);

/**
 * A figure by its name.
 *
 * @param figures in: figures, or NULL
 * @param name in: its name, such as trp
 * @return the figure, borrowed, valid as long as the figures; NULL where there is none
 */
const struct spheresum_figure *spheresum_figures_find(const struct spheresum_figures *figures,
                                                      const char *name);

/**
 * Frees figures.
 *
 * @param figures in: figures that were not freed yet, or NULL, which does nothing
 */
void spheresum_figures_free(struct spheresum_figures *figures);

/**
 * What was gathered so far, as readings.
 *
 * @param running in: the running reduction; it is not changed
 * @param out_readings out: a copy of the readings; the caller owns it; free with spheresum_readings_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
 */
int32_t spheresum_running_readings(const struct spheresum_running *running,
                                   struct spheresum_readings **out_readings,
                                   struct spheresum_error **out_error);

/**
 * Reduces what was gathered: bit by bit the reduction of the same readings. Its channels are in ascending order of frequency, whatever order the plan has.
 *
 * @param running in: the running reduction; it is not changed, and may go on
 * @param name in: name of the run in the result
 * @param out_reduction out: the result; the caller owns it; free with spheresum_reduction_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return as spheresum_reduce(), but for _CANCELLED: these calls are not watched
 */
int32_t spheresum_running_finish(const struct spheresum_running *running,
                                 const char *name,
                                 struct spheresum_reduction **out_reduction,
                                 struct spheresum_error **out_error);

/**
 * Frees a running reduction.
 *
 * @param running in: a running reduction that was not freed yet, or NULL, which does nothing
 */
void spheresum_running_free(struct spheresum_running *running);

/**
 * The text, UTF-8, with a zero byte at its end.
 *
 * @param text in: a text, or NULL
 * @return the characters, never NULL, empty for NULL; borrowed, valid until the text is freed
 */
const char *spheresum_text_data(const struct spheresum_text *text);

/**
 * Number of bytes of a text, without the zero byte at its end.
 *
 * @param text in: a text, or NULL
 * @return the number; 0 for NULL
 */
size_t spheresum_text_length(const struct spheresum_text *text);

/**
 * Frees a text.
 *
 * @param text in: a text that was not freed yet, or NULL, which does nothing
 */
void spheresum_text_free(struct spheresum_text *text);

/**
 * Number of reference tables in the library.
 *
 * @return the number
 */
size_t spheresum_table_count(void);

/**
 * Name of a reference table.
 *
 * @param index in: 0..count-1
 * @return text, never NULL, empty beyond the last; static, do not free
 */
const char *spheresum_table_name(size_t index);

/**
 * Checks the library by a reference table: outside values with their sources, and the deviation allowed.
 *
 * @param index in: 0..count-1
 * @param out_passed out: number of rows that are content
 * @param out_failed out: number of rows that are not
 * @param out_text out, optional: a line a row: pass or fail, the row's name, and what was wanted and came out, parted by tabs; the caller owns it; free with
 * spheresum_text_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK (also where rows fail), _USAGE or _INTERNAL
 */
int32_t spheresum_table_check(size_t index,
                              size_t *out_passed,
                              size_t *out_failed,
                              struct spheresum_text **out_text,
                              struct spheresum_error **out_error);

/**
 * Checks the library by a table of one's own. Its cases may name files, which are looked for beside it and read with the formats; options that name
 * layouts are not taken, since the formats hold them.
 *
 * @param formats in: the formats; they are not changed
 * @param path in: path of the table, UTF-8; its format is that of the library's own tables
 * @param out_passed out: number of rows that are content
 * @param out_failed out: number of rows that are not
 * @param out_text out, optional: as of spheresum_table_check(); the caller owns it; free with spheresum_text_free()
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK (also where rows fail, or a file of a case cannot be read), _INPUT (this is no table; the error has its line), _USAGE, _IO, _LIMIT
 * or _INTERNAL
 */
int32_t spheresum_table_check_file(const struct spheresum_formats *formats,
                                   const char *path,
                                   size_t *out_passed,
                                   size_t *out_failed,
                                   struct spheresum_text **out_text,
                                   struct spheresum_error **out_error);

/**
 * Total radiated power (TRP) of EIRP samples on an equal-angle grid, at one frequency.
 *
 * A sample is one element of each array: a direction and one level in each polarisation. Samples may come in any order, which
 * does not change the result. Directions that are given twice (phi of 0 and 360, all phi of a pole) are averaged in watts.
 * Gaps up to 10 % of the sphere are filled from their neighbours; beyond that the call fails with SPHERESUM_STATUS_DOMAIN.
 * A level is finite and within -300..300 dBm: 0 W cannot be said in decibels, so give a polarisation that radiates nothing a
 * level far below the other, or SPHERESUM_SAMPLE_AT_MOST with the lowest level that could have been seen.
 *
 * The call gives the value alone, not the bounds that samples marked as such, or filled, put on it.
 *
 * @param theta_deg in: count angles from the z axis, degrees, 0..180 (-180..360 is folded)
 * @param phi_deg in: count angles around it, degrees, 0..360 (-360..720 is folded)
 * @param eirp_theta_dbm in: count levels in the theta polarisation, dBm
 * @param eirp_phi_dbm in: count levels in the phi polarisation, dBm
 * @param state_theta in, optional: count states SPHERESUM_SAMPLE_... of eirp_theta_dbm; NULL: all measured
 * @param state_phi in, optional: count states SPHERESUM_SAMPLE_... of eirp_phi_dbm; NULL: all measured
 * @param count in: number of samples, 1..33554432
 * @param rule in: integration rule, SPHERESUM_RULE_...
 * @param out_trp_dbm out: TRP, dBm; written only if the state is SPHERESUM_FIGURE_VALUE
 * @param out_state out: SPHERESUM_FIGURE_VALUE, _ZERO or _NOT_ABOVE_ZERO
 * @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
 * @return SPHERESUM_STATUS_OK, _INPUT (a number in an array is wrong; the error names parameter and element), _USAGE (a pointer,
 * the count, the rule or a state is wrong), _DOMAIN (the samples cannot support a TRP; the message is the reason), _LIMIT
 * (too many samples) or _INTERNAL
 */
int32_t spheresum_trp_dbm(const double *theta_deg,
                          const double *phi_deg,
                          const double *eirp_theta_dbm,
                          const double *eirp_phi_dbm,
                          const uint8_t *state_theta,
                          const uint8_t *state_phi,
                          size_t count,
                          int32_t rule,
                          double *out_trp_dbm,
                          uint8_t *out_state,
                          struct spheresum_error **out_error);

/**
 * Version of the library, such as "1.2.3". SPHERESUM_VERSION is that of the header.
 *
 * @return text, never NULL; static, do not free
 */
const char *spheresum_version(void);

/**
 * Version of the library as a number: 1000000 major + 1000 minor + patch. SPHERESUM_VERSION_NUMBER is that of the header.
 *
 * @return the number
 */
int32_t spheresum_version_number(void);

#ifdef __cplusplus
}  // extern "C"
#endif  // __cplusplus

#endif  /* SPHERESUM_H */
