//! The adapter goes through the adapter kit, beside a rival and with a foreign file.

use crate::Slashes;
use spheresum_core::Group::{Input, Unsupported};
use spheresum_core::intake::*;
use spheresum_core::kit::{Failures, Kit, Refusal, Sample};
use spheresum_core::{Error, Limits, Result};

/// Says that it could be anything.
struct Rival(Description);

impl Adapter for Rival {
    fn describe(&self) -> &Description {
        &self.0
    }

    fn look(&self, _: &Head<'_>) -> Look {
        Look::new(Confidence::Maybe, "it is text")
    }

    fn read(&self, _: &Source, _: &Limits, _: &ReadOptions) -> Result<Intake> {
        Err(Error::new(Unsupported, "a rival reads nothing"))
    }
}

#[test]
fn keeps_its_promises() -> std::result::Result<(), Failures> {
    let gauge = Sample::good("gauge.txt", include_bytes!("../samples/gauge.txt"));
    let wrong = Refusal::new(Input).at(3, 3).saying("three numbers");
    let report = Kit::new(&Slashes::default())
        .sample(gauge.with_rows(1..=42).with_fields(3))
        .sample(Sample::bad("word.txt", include_bytes!("../samples/word.txt"), wrong))
        .others([Sample::good("table.csv", "theta_deg,phi_deg,eirp_dbm\n0,0,-3\n")])
        .check()?;
    println!("{report}");
    Ok(())
}

#[test]
fn keeps_them_beside_a_rival() -> std::result::Result<(), Failures> {
    let two = Refusal::new(Input).at(2, 5).saying("three numbers");
    let four = Refusal::new(Input).at(1, 13).saying("three numbers");
    let far = Refusal::new(Input).in_line(2).saying("out of range");
    let rival: &dyn Adapter = &Rival(Description::new("rival", "anything", Yield::Readings));
    let report = Kit::new(&Slashes::default())
        .sample(Sample::good("gauge.txt", include_bytes!("../samples/gauge.txt")))
        .sample(Sample::bad("two.txt", include_bytes!("../samples/two-numbers.txt"), two))
        .sample(Sample::bad("four.txt", include_bytes!("../samples/four-numbers.txt"), four))
        .sample(Sample::bad("far.txt", include_bytes!("../samples/beyond-the-sphere.txt"), far))
        .others([Sample::good("letter.txt", "A letter from the river 1/2/3\n")])
        .beside([rival])
        .seed(169)
        .check()?;
    assert_eq!(report.idle().collect::<Vec<_>>(), ["row-order"]);
    Ok(())
}
