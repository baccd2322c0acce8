//! Calls from several threads at once, through the functions that C sees.
#![allow(clippy::unwrap_used)]

use spheresum::*;
use std::ffi::CStr;

/// Status, TRP and error message of an isotropic source with one level spoilt.
fn trp(level_dbm: f64, spoilt: Option<usize>) -> (i32, f64, String) {
    let (mut theta_deg, mut phi_deg) = (Vec::new(), Vec::new());
    for i in 0..=12 {
        for j in 0..24 {
            theta_deg.push(15.0 * f64::from(i));
            phi_deg.push(15.0 * f64::from(j));
        }
    }
    let mut eirp_dbm = vec![level_dbm; theta_deg.len()];
    if let Some(index) = spoilt {
        eirp_dbm[index] = f64::NAN;
    }
    let (mut value_dbm, mut state, mut error) = (77.0, 77, std::ptr::null_mut());
    // SAFETY: four arrays of the length given, outputs that live, and an error that is freed once.
    unsafe {
        let status = spheresum_trp_dbm(
            theta_deg.as_ptr(),
            phi_deg.as_ptr(),
            eirp_dbm.as_ptr(),
            eirp_dbm.as_ptr(),
            std::ptr::null(),
            std::ptr::null(),
            theta_deg.len(),
            SPHERESUM_RULE_CLENSHAW_CURTIS,
            &raw mut value_dbm,
            &raw mut state,
            &raw mut error,
        );
        assert_eq!(spheresum_error_code(error), status);
        assert_eq!(
            state,
            if status == 0 {
                SPHERESUM_FIGURE_VALUE
            } else {
                77
            }
        );
        let message = CStr::from_ptr(spheresum_error_message(error))
            .to_str()
            .unwrap()
            .to_string();
        spheresum_error_free(error);
        (status, value_dbm, message)
    }
}

#[test]
fn each_thread_gets_its_own_result_and_its_own_error() {
    std::thread::scope(|scope| {
        for thread in 0..8_usize {
            scope.spawn(move || {
                for round in 0..10 {
                    let level_dbm = 10.0 * thread as f64;
                    let (status, value_dbm, message) = trp(level_dbm, None);
                    assert_eq!((status, message.as_str()), (0, ""));
                    // Closed form: two equal polarisations are 10 log10 2 above one.
                    assert!((value_dbm - level_dbm - 10.0 * 2_f64.log10()).abs() < 1e-9);
                    let index = 10 * thread + round;
                    let (status, value_dbm, message) = trp(level_dbm, Some(index));
                    assert_eq!((status, value_dbm), (SPHERESUM_STATUS_INPUT, 77.0));
                    assert!(message.contains(&format!("[{index}]")), "{message}");
                }
            });
        }
    });
}
