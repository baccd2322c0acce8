//! `look`: what files hold.

use crate::bench::{Bench, Pattern};

#[test]
fn it_says_what_a_file_holds() {
    let bench = Bench::new();
    let pattern = Pattern {
        keep: |theta, phi| !(theta == 90 && phi == 30),
        mhz: vec!["863", "870"],
        ..Pattern::default()
    };
    bench.write("a.csv", &pattern.csv());
    let text = bench.run(&["look", "a.csv"]).must_be(0).out;
    for part in [
        "a.csv",
        "delimited (",
        "EIRP",
        "863 MHz, 870 MHz",
        "device: test",
        "θ step 15°",
        "-3.01 … -3.01 dBm",
        "1 direction,",
        "both read",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
}

#[test]
fn it_tells_repeats_and_marks() {
    let bench = Bench::new();
    let mut text = Pattern {
        step: 30,
        ..Pattern::default()
    }
    .csv();
    text.push_str("868.3,90,30,-2,-2\n");
    let text = text.replacen("868.3,60,60,-3.01", "868.3,60,60,<-3.01", 1);
    bench.write("a.csv", &text);
    let text = bench.run(&["look", "a.csv"]).must_be(0).out;
    assert!(text.contains("1 marked <"), "{text}");
    assert!(text.contains("more than once"), "{text}");
}

#[test]
fn curves_and_received_power_can_be_looked_at() {
    let bench = Bench::new();
    bench.write(
        "loss.csv",
        "frequency_mhz,loss_theta_db,loss_phi_db\n860,39,39.5\n880,41,41\n",
    );
    bench.write(
        "r.csv",
        &Pattern {
            quantity: "received",
            ..Pattern::default()
        }
        .csv(),
    );
    let text = bench.run(&["look", "loss.csv", "r.csv"]).must_be(0).out;
    for part in [
        "860 MHz",
        "39.5 dB",
        "curve against frequency",
        "received power",
        "--range",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
}

#[test]
fn a_bad_file_does_not_stop_the_others() {
    let bench = Bench::new();
    bench.write(
        "bad.csv",
        "theta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm\n0,0,1x,2\n",
    );
    bench.write("a.csv", &Pattern::default().csv());
    let ran = bench.run(&["look", "bad.csv", "a.csv"]).must_be(3);
    assert!(
        ran.out.contains("a.csv") && ran.err.contains("bad.csv:2:5"),
        "{}{}",
        ran.out,
        ran.err
    );
}
