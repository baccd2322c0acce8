//! All getters of an object; any object may be NULL or of another kind.

use super::bytes::Bytes;
use super::objects::check;
use spheresum::*;
use std::ffi::{CStr, c_char};
use std::ptr::{null, null_mut};

/// A text of the library is UTF-8 and never NULL.
///
/// # Safety
/// It is a text of the library.
unsafe fn read<'a>(text: *const c_char) -> &'a str {
    assert!(!text.is_null());
    // SAFETY: as the caller says.
    let text = unsafe { CStr::from_ptr(text) }.to_str();
    assert!(text.is_ok());
    text.unwrap_or_default()
}

/// A number that is known is finite; one that is not leaves the output alone.
fn number(get: impl Fn(*mut f64) -> i32) -> Option<f64> {
    let mut number = 77.25;
    let known = get(&raw mut number);
    assert!(known == 1 || (known == 0 && number == 77.25));
    assert!(number.is_finite());
    assert_eq!(get(null_mut()), known);
    (known == 1).then_some(number)
}

/// # Safety
/// As the getters ask.
pub(super) unsafe fn text(text: *const SpheresumText) {
    // SAFETY: as the caller says.
    unsafe {
        let read = read(spheresum_text_data(text));
        assert_eq!(read.len(), spheresum_text_length(text));
    }
}

/// # Safety
/// As the getters ask.
unsafe fn figure(figure: *const SpheresumFigure) {
    // SAFETY: as the caller says.
    unsafe {
        assert!(!figure.is_null());
        assert!(!read(spheresum_figure_name(figure)).is_empty());
        read(spheresum_figure_unit(figure));
        read(spheresum_figure_assumption(figure));
        read(spheresum_figure_rule(figure));
        read(spheresum_figure_edges(figure));
        let state = spheresum_figure_state(figure);
        assert!(state <= SPHERESUM_FIGURE_REFUSED);
        let refused = state == SPHERESUM_FIGURE_REFUSED;
        assert_eq!(!read(spheresum_figure_reason(figure)).is_empty(), refused);
        let of = |which| number(|out| spheresum_figure_number(figure, which, out));
        let value = of(SPHERESUM_NUMBER_VALUE);
        assert_eq!(value.is_some(), state == SPHERESUM_FIGURE_VALUE);
        for which in -1..12 {
            of(which);
        }
    }
}

/// # Safety
/// As the getters ask.
unsafe fn finding(finding: *const SpheresumFinding) {
    // SAFETY: as the caller says.
    unsafe {
        assert!(!finding.is_null());
        assert!((0..3).contains(&spheresum_finding_severity(finding)));
        assert!(!read(spheresum_finding_code(finding)).is_empty());
        assert!(!read(spheresum_finding_message(finding)).is_empty());
        read(spheresum_finding_advice(finding));
        read(spheresum_finding_source(finding));
        read(spheresum_finding_field(finding));
        spheresum_finding_line(finding);
        spheresum_finding_column(finding);
        number(|out| spheresum_finding_effect_db(finding, out));
    }
}

/// # Safety
/// As the getters ask.
pub(super) unsafe fn reduction(bytes: &mut Bytes<'_>, reduction: *const SpheresumReduction) {
    // SAFETY: as the caller says.
    unsafe {
        read(spheresum_reduction_name(reduction));
        read(spheresum_reduction_rule(reduction));
        assert!((0..4).contains(&spheresum_reduction_verdict(reduction)));
        assert!((0..10).contains(&spheresum_reduction_quantity(reduction)));
        let channels = spheresum_reduction_channel_count(reduction);
        for channel in 0..channels {
            number(|out| spheresum_reduction_frequency_hz(reduction, channel, out));
            let count = spheresum_reduction_figure_count(reduction, channel);
            for index in 0..count {
                figure(spheresum_reduction_figure(reduction, channel, index));
            }
            assert!(spheresum_reduction_figure(reduction, channel, count).is_null());
            let noise = spheresum_reduction_noise(reduction, channel);
            assert!((0..4).contains(&spheresum_noise_verdict(noise)));
            for which in -1..17 {
                number(|out| spheresum_noise_number(noise, which, out));
                number(|out| spheresum_noise_floor_dbm(noise, which, out));
            }
        }
        for index in 0..spheresum_reduction_summary_count(reduction) {
            figure(spheresum_reduction_summary(reduction, index));
        }
        for index in 0..spheresum_reduction_finding_count(reduction) {
            finding(spheresum_reduction_finding(reduction, index));
        }
        let (name, channel) = (bytes.text(), usize::from(bytes.u8()));
        let (mut found, mut error) = (null(), null_mut());
        let status = spheresum_reduction_find(
            reduction,
            channel,
            name.as_ptr(),
            &raw mut found,
            &raw mut error,
        );
        assert_eq!(check(status, error), !found.is_null());
    }
}

/// # Safety
/// As the getters ask.
pub(super) unsafe fn comparison(comparison: *const SpheresumComparison) {
    let difference = |of: *const SpheresumDifference| {
        assert!(!of.is_null());
        // SAFETY: borrowed from a live comparison.
        unsafe {
            assert!(!read(spheresum_difference_name(of)).is_empty());
            read(spheresum_difference_unit(of));
            assert!((0..4).contains(&spheresum_difference_verdict(of)));
            for which in -1..13 {
                number(|out| spheresum_difference_number(of, which, out));
            }
        }
    };
    // SAFETY: as the caller says.
    unsafe {
        for test in 0..spheresum_comparison_test_count(comparison) {
            read(spheresum_comparison_name(comparison, test));
            assert!(!read(spheresum_comparison_sentence(comparison, test)).is_empty());
            read(spheresum_comparison_headline(comparison, test));
            number(|out| spheresum_comparison_largest_drop_db(comparison, test, out));
            for channel in 0..spheresum_comparison_channel_count(comparison, test) {
                number(|out| spheresum_comparison_frequency_hz(comparison, test, channel, out));
                let count = spheresum_comparison_difference_count(comparison, test, channel);
                for index in 0..count {
                    difference(spheresum_comparison_difference(
                        comparison, test, channel, index,
                    ));
                }
            }
            for index in 0..spheresum_comparison_summary_count(comparison, test) {
                difference(spheresum_comparison_summary(comparison, test, index));
            }
            for index in 0..spheresum_comparison_finding_count(comparison, test) {
                finding(spheresum_comparison_finding(comparison, test, index));
            }
            assert!(!spheresum_comparison_reduction(comparison, test + 1).is_null());
        }
    }
}

/// # Safety
/// As the getters ask.
pub(super) unsafe fn file(file: *const SpheresumFile) {
    // SAFETY: as the caller says.
    unsafe {
        read(spheresum_file_format(file));
        read(spheresum_file_sha256(file));
        let readings = spheresum_file_readings(file);
        assert!(readings.is_null() || spheresum_file_has_curve(file) == 0);
        assert_eq!(readings.is_null(), spheresum_readings_count(readings) == 0);
        for index in 0..spheresum_file_finding_count(file) {
            finding(spheresum_file_finding(file, index));
        }
    }
}

/// Copies readings out: all numbers are finite, and a failure leaves the arrays alone.
///
/// # Safety
/// As the calls ask.
pub(super) unsafe fn readings(bytes: &mut Bytes<'_>, readings: *const SpheresumReadings) {
    let (first, count) = (
        usize::from(bytes.u16() % 3000),
        usize::from(bytes.u16() % 3000),
    );
    let mut numbers = vec![vec![77.25; count]; 4];
    let (mut frequency, mut polarisation, mut state) =
        (vec![77; count], vec![77; count], vec![77_u8; count]);
    let mut error = null_mut();
    // SAFETY: as the caller says; the arrays hold `count` elements.
    let (status, frequencies) = unsafe {
        let [theta_deg, phi_deg, value, imaginary] = [0, 1, 2, 3].map(|n| numbers[n].as_mut_ptr());
        let status = spheresum_readings_get(
            readings,
            first,
            count,
            theta_deg,
            phi_deg,
            frequency.as_mut_ptr(),
            polarisation.as_mut_ptr(),
            value,
            imaginary,
            state.as_mut_ptr(),
            &raw mut error,
        );
        (status, spheresum_readings_frequency_count(readings))
    };
    if check(status, error) {
        assert!(numbers.iter().flatten().all(|n| n.is_finite()));
        assert!(frequency.iter().all(|f| *f < frequencies));
        assert!(polarisation.iter().all(|p| (0..3).contains(p)));
        assert!(state.iter().all(|s| *s <= SPHERESUM_SAMPLE_AT_LEAST));
    } else {
        assert!(numbers.iter().flatten().all(|n| *n == 77.25));
        assert!(frequency.iter().all(|f| *f == 77) && state.iter().all(|s| *s == 77));
    }
    for index in 0..=frequencies {
        let (mut hz, mut error) = (77.25, null_mut());
        // SAFETY: as the caller says.
        let status = unsafe {
            spheresum_readings_frequency_hz(readings, index, &raw mut hz, &raw mut error)
        };
        assert_eq!(check(status, error), index < frequencies);
        assert!(hz.is_finite() && hz >= 0.0);
    }
}
