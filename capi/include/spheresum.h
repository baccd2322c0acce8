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
 * Outputs    are written on success only.
 * Numbers    No number in or out is NaN or infinite; an array or an output that says the state of a
 *            number stands beside it.
 * Pointers   may be NULL only where it says so. An array holds at least as many elements as its count
 *            says; the library reads it during the call only, and does not keep it.
 * Strings    are UTF-8 and end in a zero byte.
 * Threads    There is no global state that a caller can see. Any function may be called from any number
 *            of threads at once. An error object may be read by several threads at once and handed from
 *            one to another; free it once, when nobody reads it any more.
 * Output     The library writes nothing to standard output or standard error.
 * ABI        No promise before version 1.0: compile against the header of the library that you load.
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
 * Details of one failed call. The caller owns it; free with spheresum_error_free().
 */
typedef struct spheresum_error spheresum_error;

#ifdef __cplusplus
extern "C" {
#endif // __cplusplus

/**
 * The status that the call returned.
 *
 * @param error in: an error object, or NULL
 * @return the status; SPHERESUM_STATUS_OK for NULL
 */
int32_t spheresum_error_code(const spheresum_error *error);

/**
 * What went wrong, in one sentence.
 *
 * @param error in: an error object, or NULL
 * @return text, never NULL, empty for NULL; borrowed, valid until the error is freed
 */
const char *spheresum_error_message(const spheresum_error *error);

/**
 * What to do about it, where that is known.
 *
 * @param error in: an error object, or NULL
 * @return text, never NULL, empty where nothing is known and for NULL; borrowed, valid until the error is freed
 */
const char *spheresum_error_hint(const spheresum_error *error);

/**
 * Name of the parameter or of the file's field that is meant, where one is.
 *
 * @param error in: an error object, or NULL
 * @return text, never NULL, empty where nothing is known and for NULL; borrowed, valid until the error is freed
 */
const char *spheresum_error_field(const spheresum_error *error);

/**
 * Line of the source that is meant, from 1. Where the source is arrays, elements count as lines: the index is line - 1.
 *
 * @param error in: an error object, or NULL
 * @return the line; 0 where none is known and for NULL
 */
uint64_t spheresum_error_line(const spheresum_error *error);

/**
 * Column in that line, from 1, in characters. Arrays have none.
 *
 * @param error in: an error object, or NULL
 * @return the column; 0 where none is known and for NULL
 */
uint64_t spheresum_error_column(const spheresum_error *error);

/**
 * Frees an error object and the texts borrowed from it.
 *
 * @param error in: an error object that was not freed yet, or NULL, which does nothing
 */
void spheresum_error_free(spheresum_error *error);

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
                          spheresum_error **out_error);

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
