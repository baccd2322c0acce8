//! Noise by simulation: what is stated of a figure's noise is what noise does. Seeds are fixed.
//!
//! Readings of n independent averages are drawn from their own laws (closed forms): a wave of power S in Gaussian noise of power N gives
//! N/(2n) times a noncentral χ² variable of 2n degrees of freedom, a noise-like signal (S + N)/n times a gamma variable of shape n.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod noise_tools;

use noise_tools::{Case, Floored, SPHERES, Stated};
use spheresum_core::correct::Signal;

/// Trials of each case; a coverage of 95 % is then known to 0.5 %.
const TRIALS: usize = 2000;

/// Cases that are tried every time: each signal, number of averages, kind of floor and sphere, at some ratio of signal to noise.
fn some() -> Vec<Case> {
    let mut cases = Vec::new();
    let ratios = [-10.0, 0.0, 10.0, 20.0, 30.0];
    let mut at = 0;
    for signal in [Signal::Cw, Signal::NoiseLike] {
        for averages in [1, 16, 100] {
            for floored in [Floored::Exactly, Floored::ByReadings(20)] {
                for sphere in SPHERES {
                    // Every ratio comes about as often.
                    let snr_db = ratios[at % ratios.len()];
                    at += 1;
                    cases.push(Case {
                        sphere,
                        snr_db,
                        averages,
                        signal,
                        floored,
                    });
                }
            }
        }
    }
    cases
}

fn all() -> Vec<Case> {
    let mut cases = some();
    for case in some() {
        for snr_db in [-10.0, 0.0, 10.0, 20.0, 30.0] {
            if snr_db != case.snr_db {
                cases.push(Case { snr_db, ..case });
            }
        }
    }
    cases
}

#[test]
fn intervals_cover_the_truth() {
    let mut cases = if std::env::var_os("SPHERESUM_ALL_CASES").is_some() {
        all()
    } else {
        some()
    };
    if cfg!(debug_assertions) {
        // Without optimisation all would take minutes: each fifth, so that spheres and ratios change.
        cases = cases.into_iter().step_by(5).collect();
    }
    let mut failed = Vec::new();
    for case in cases {
        let Stated {
            covered,
            bias_db,
            bias_standard_db,
            effective,
        } = case.simulate(TRIALS);
        let percent = 100.0 * covered;
        // Reported, not required: few samples of a noise-like signal that is not averaged carry the figure.
        let is_required =
            !(case.signal == Signal::NoiseLike && case.averages == 1 && effective < 100.0);
        let words = format!(
            "{case}: {percent:.2} % covered, mean bias {bias_db:+.4} dB ± {bias_standard_db:.4} dB, {effective:.0} effective samples"
        );
        println!("{words}{}", if is_required { "" } else { " (reported)" });
        if is_required && !(93.0..=97.0).contains(&percent) {
            failed.push(words.clone());
        }
        if bias_db.abs() > (3.0 * bias_standard_db).max(0.02) {
            failed.push(format!("biased: {words}"));
        }
    }
    assert!(failed.is_empty(), "{}", failed.join("\n"));
}
