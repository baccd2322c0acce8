//! What else a layout can say, each on a file of a few lines.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_layout::{Layout, LayoutAdapter};
use spheresum_core::intake::{Adapter, Intake, ReadOptions, Source, Yield};
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::unit::level::w_from_dbm;
use spheresum_core::{
    Complex64, Error, Frequency, Group, Limits, Mark, Polarisation, Quantity, Reading, Result,
    Value,
};

fn adapter(said: &str) -> LayoutAdapter {
    let text = format!("id = \"t\"\nname = \"t\"\n{said}");
    LayoutAdapter::new(
        Layout::parse("t.toml", &text).unwrap_or_else(|e| panic!("{e}: {:?}", e.advice())),
    )
}

fn read_with(said: &str, file: &str, options: &ReadOptions) -> Result<Intake> {
    let limits = Limits::small();
    let source = Source::from_text("t.txt", file, &limits)?;
    adapter(said).read(&source, &limits, options)
}

fn readings(said: &str, file: &str) -> Vec<Reading> {
    let intake = read_with(said, file, &ReadOptions::default());
    let intake = intake.unwrap_or_else(|e| panic!("{e}: {:?}", e.advice()));
    intake.readings.unwrap().iter().collect()
}

fn refused(said: &str, file: &str, options: &ReadOptions) -> Error {
    read_with(said, file, options).unwrap_err()
}

fn directions(readings: &[Reading]) -> Vec<(f64, f64)> {
    readings.iter().map(|r| (r.theta_deg, r.phi_deg)).collect()
}

fn watts(readings: &[Reading]) -> Vec<f64> {
    let power = |r: &Reading| match r.value {
        Value::Power(p) => p,
        Value::Field(_) => panic!("a field"),
    };
    readings.iter().map(power).collect()
}

/// A table without headings: θ, φ, and one more column.
fn three(role: &str, more: &str) -> String {
    format!(
        "kind = \"table\"\ncolumn = [{{ number = 1, is = \"theta_deg\" }}, {{ number = 2, is = \"phi_deg\" }}, \
         {{ number = 3, is = \"{role}\" }}]\n{more}\n[text]\nseparator = \"blank\"\nheading_line = false\n"
    )
}

#[test]
fn angles_are_counted_as_the_layout_says() {
    let of = |conventions: &str| {
        let said = three(
            "eirp_theta_dbm",
            &format!("conventions = {{ {conventions} }}"),
        );
        directions(&readings(&said, "60 45 0\n0 350 0\n"))
    };
    assert_eq!(of(""), [(60.0, 45.0), (0.0, 350.0)]);
    assert_eq!(of("theta = \"polar\", phi = \"counterclockwise\""), of(""));
    assert_eq!(of("theta = \"elevation\""), [(30.0, 45.0), (90.0, 350.0)]);
    assert_eq!(of("phi = \"clockwise\""), [(60.0, -45.0), (0.0, -350.0)]);
    assert_eq!(
        of("theta_offset_deg = 90, phi_offset_deg = \"-22.5\""),
        [(150.0, 22.5), (90.0, 327.5)]
    );
    // First turned, then moved.
    assert_eq!(
        of(
            "theta = \"elevation\", theta_offset_deg = 10, phi = \"clockwise\", phi_offset_deg = 360"
        ),
        [(40.0, 315.0), (100.0, 10.0)]
    );
}

#[test]
fn conventions_settle_headings_that_are_guesses() {
    let said = "kind = \"table\"\n[text]\nseparator = \"comma\"\n[conventions]\ntheta = \"elevation\"\nphi = \"clockwise\"\n";
    let file = "elevation_deg,azimuth_deg,eirp_theta_dbm\n60,45,0\n";
    assert_eq!(directions(&readings(said, file)), [(30.0, -45.0)]);
    let open = "kind = \"table\"\n[text]\nseparator = \"comma\"\n";
    let error = refused(open, file, &ReadOptions::default());
    assert_eq!(error.group(), Group::Ambiguous);
}

#[test]
fn angles_that_the_file_leaves_out() {
    let said = "kind = \"table\"\n[text]\nseparator = \"semicolon\"\ndecimal = \"comma\"\n[constants]\nphi_deg = 22.5\n\
                [[column]]\nheading = \"Tilt\"\nis = \"theta_deg\"\n[[column]]\nheading = \"P\"\nis = \"eirp_theta_dbm\"\n";
    let got = readings(said, "Tilt;P\n1,5;0\n90;0\n");
    assert_eq!(directions(&got), [(1.5, 22.5), (90.0, 22.5)]);
}

#[test]
fn words_for_values() {
    let said = three(
        "eis_theta_dbm",
        "tokens = { missing = [\"***\", \"-999\"], lost = [\"NC\"], below_floor = [{ text = \"LOW\", level = -110.5 }], \
         above = [{ text = \"OVR\", level = \"-60\" }] }",
    );
    let got = readings(
        &said,
        "0 0 -100\n0 30 ***\n0 60 NC\n0 90 LOW\n0 120 OVR\n0 150 -999\n",
    );
    let marks: Vec<Mark> = got.iter().map(|r| r.mark).collect();
    assert_eq!(
        marks,
        [Mark::Exact, Mark::AtLeast, Mark::AtMost, Mark::AtLeast]
    );
    assert_eq!(
        watts(&got),
        [
            w_from_dbm(-100.0),
            f64::INFINITY,
            w_from_dbm(-110.5),
            w_from_dbm(-60.0)
        ]
    );
    // The level is written with a point in the layout, whatever the sign of the file.
    let comma = said.replace("[text]\n", "[text]\ndecimal = \"comma\"\n");
    let got = readings(&comma, "0 0 -100,25\n0 90 LOW\n");
    assert_eq!(watts(&got), [w_from_dbm(-100.25), w_from_dbm(-110.5)]);
}

#[test]
fn powers_over_a_dipole() {
    // EIRP = ERP + 2.15 dB: the gain of a half-wave dipole, as common practice rounds it.
    for more in ["", "constants = { quantity = \"eirp\" }"] {
        let got = readings(&three("erp_theta_dbm", more), "0 0 -12.15\n");
        assert!((watts(&got)[0] / 1e-4 - 1.0).abs() < 1e-12, "{more}");
    }
    assert_eq!(
        adapter(&three("erp_theta_dbm", "")).describe().quantities,
        ["eirp"]
    );
}

#[test]
fn each_frequency_in_a_column_of_its_own() {
    let said = "kind = \"table\"\n[text]\nseparator = \"pipe\"\n\
                [[column]]\nheading = \"T\"\nis = \"theta_deg\"\n[[column]]\nheading = \"P\"\nis = \"phi_deg\"\n\
                [[column]]\nheading = \"868\"\nis = \"eirp_theta_dbm\"\nfrequency_mhz = 868.3\n\
                [[column]]\nheading = \"869\"\nis = \"eirp_theta_dbm\"\nfrequency_mhz = \"869.525\"\n";
    let intake = read_with(said, "T|P|868|869\n0|0|1|2\n", &ReadOptions::default()).unwrap();
    let got = intake.readings.unwrap();
    let mhz = |text: &str| Frequency::parse(text, FrequencyUnit::Mhz);
    assert_eq!(got.frequencies(), [mhz("868.3"), mhz("869.525")]);
    let all: Vec<Reading> = got.iter().collect();
    assert_eq!(watts(&all), [w_from_dbm(1.0), w_from_dbm(2.0)]);
    assert_eq!((all[0].frequency, all[1].frequency), (0, 1));
    // A column that the layout does not know of may not slip in between.
    let error = refused(
        said,
        "T|P|868|869|eirp_phi_dbm\n0|0|1|2|3\n",
        &ReadOptions::default(),
    );
    assert!(
        error.message().contains("does not say its frequency"),
        "{error}"
    );
    assert_eq!(error.place().and_then(|p| p.column), Some(13));
}

#[test]
fn a_heading_may_name_its_frequency() {
    let said = |more: &str, pick: &str| {
        format!(
            "kind = \"table\"\n[text]\nseparator = \"pipe\"\n[[column]]\nnumber = 1\nis = \"theta_deg\"\n[[column]]\nnumber = 2\n\
             is = \"phi_deg\"\n[[column]]\nheading = \"V 868.3 MHz\"\nis = \"eirp_theta_dbm\"\n[[column]]\n{pick}\n\
             is = \"eirp_theta_dbm\"\n{more}"
        )
    };
    let file = "T|P|V 868.3 MHz|V 869.5 MHz\n0|0|1|2\n";
    let by_heading = "heading = \"V 869.5 MHz\"";
    let intake = read_with(&said("", by_heading), file, &ReadOptions::default()).unwrap();
    let mhz = |text: &str| Frequency::parse(text, FrequencyUnit::Mhz);
    let frequencies = [mhz("868.3"), mhz("869.5")];
    assert_eq!(intake.readings.unwrap().frequencies(), frequencies);
    let numbered = said("frequency_mhz = 869.5\n", "number = 4");
    let intake = read_with(&numbered, file, &ReadOptions::default()).unwrap();
    assert_eq!(intake.readings.unwrap().frequencies(), frequencies);
    let other = said("frequency_mhz = 900\n", "number = 4");
    let error = refused(&other, file, &ReadOptions::default());
    assert!(
        error.message().contains("names another frequency"),
        "{error}"
    );
    let text = format!(
        "id = \"t\"\nname = \"t\"\n{}",
        said("frequency_mhz = 900\n", by_heading)
    );
    let error = Layout::parse("t.toml", &text).unwrap_err();
    assert!(
        error.message().contains("names another frequency"),
        "{error}"
    );
}

#[test]
fn losses_and_fields() {
    let said = "kind = \"table\"\n[text]\nseparator = \"comma\"\n[conventions]\nlosses = \"negative\"\n\
                [[column]]\nheading = \"F\"\nis = \"frequency_mhz\"\n[[column]]\nheading = \"V\"\nis = \"loss_theta_db\"\n";
    let intake = read_with(
        said,
        "F,V\n868.3,-40.25\n900,-41\n",
        &ReadOptions::default(),
    )
    .unwrap();
    let curve = intake.curve.unwrap();
    let points: Vec<f64> = curve
        .points(Polarisation::Theta)
        .iter()
        .map(|p| p.1)
        .collect();
    assert_eq!(points, [40.25, 41.0]);
    assert_eq!(adapter(said).describe().yields, Yield::Curve);
    let said = "kind = \"table\"\ncolumn = [{ number = 1, is = \"theta_deg\" }, { number = 2, is = \"phi_deg\" }, \
                { number = 3, is = \"field_theta_re_v\" }, { number = 4, is = \"field_theta_im_v\" }]\n\
                conventions = { time = \"exp(-jwt)\" }\n[text]\nseparator = \"tab\"\nheading_line = false\n";
    let got = readings(said, "0\t0\t1.5D0\t-2.5D-1\n");
    assert_eq!(got[0].value, Value::Field(Complex64::new(1.5, 0.25)));
    let error = refused(
        said,
        "# time: exp(+jwt)\n0\t0\t1\t2\n",
        &ReadOptions::default(),
    );
    assert!(
        error
            .message()
            .contains("the layout says otherwise in t.toml"),
        "{error}"
    );
}

#[test]
fn quotes_comments_and_signs() {
    let said = "kind = \"table\"\n[text]\nseparator = \":\"\nquote = \"'\"\ncomments = [\"--\", \"rem \"]\n\
                [[column]]\nnumber = 1\nis = \"theta_deg\"\n[[column]]\nnumber = 2\nis = \"phi_deg\"\n\
                [[column]]\nheading = \"P:V\"\nis = \"eirp_theta_dbm\"\n";
    let file = "-- frequency: 868.3 MHz\n'a':b:'P:V'\n0:0:-1\n---\nrem the rest\n0:90:'-2'\n";
    let intake = read_with(said, file, &ReadOptions::default()).unwrap();
    let got = intake.readings.unwrap();
    assert_eq!(
        got.frequencies(),
        [Frequency::parse("868.3", FrequencyUnit::Mhz)]
    );
    let all: Vec<Reading> = got.iter().collect();
    assert_eq!(watts(&all), [w_from_dbm(-1.0), w_from_dbm(-2.0)]);
}

#[test]
fn quotes_that_go_wrong_are_refused() {
    let said = three("eirp_theta_dbm", "").replace("blank", "comma");
    for (file, column, part) in [
        ("0,0,1\n0,\"30\"x,1\n", 7, "behind a closing quote"),
        ("0,0,1\n0,\"30,1\n", 3, "not closed"),
    ] {
        let error = refused(&said, file, &ReadOptions::default());
        assert!(error.message().contains(part), "{error}");
        let place = error.place().unwrap();
        assert_eq!((place.line, place.column), (Some(2), Some(column)));
    }
    let none = said.replace("[text]\n", "[text]\nquote = \"none\"\n");
    let error = refused(&none, "0,0,\"1\"\n", &ReadOptions::default());
    assert!(error.message().contains("is not a number"), "{error}");
}

#[test]
fn a_matrix_without_corner_and_with_other_axes() {
    let said = "kind = \"matrix\"\n[text]\nseparator = \"blank\"\ndecimal = \"comma\"\n[matrix]\nrow_axis = \"clockwise_deg\"\n\
                column_axis = \"elevation_deg\"\nvalues = \"gain_total_1\"\ncorner = false\n[constants]\nfrequency_ghz = \"0.8683\"\n";
    let intake = read_with(
        said,
        "gain: linear\n 90 0\n0 1,5 2\n\n30 3 4\n",
        &ReadOptions::default(),
    )
    .unwrap();
    let got = intake.readings.unwrap();
    assert_eq!(got.quantity(), Quantity::Gain);
    let all: Vec<Reading> = got.iter().collect();
    assert_eq!(
        directions(&all),
        [(0.0, 0.0), (90.0, 0.0), (0.0, -30.0), (90.0, -30.0)]
    );
    assert_eq!(watts(&all), [1.5, 2.0, 3.0, 4.0]);
    assert_eq!(all[2].line, 5);
}

#[test]
fn titles_in_several_lines_and_forms() {
    let said = "kind = \"cuts\"\npolarisation_words = { \"port 1\" = \"theta\", \"port 2\" = \"phi\" }\n[text]\nseparator = \"comma\"\n\
                title = [\"Run {skip}, {frequency_ghz} GHz\", \"Cut at {phi}°\", \"Cut at {phi}° ({pol})\"]\n\
                [[column]]\nheading = \"T\"\nis = \"theta_deg\"\n[[column]]\nheading = \"P\"\nis = \"eirp_dbm\"\n";
    let file = "Run a, 0.8683 GHz\nCut at 0° (port 1)\nT,P\n0,1\n90,2\nCut at 30°\nT,P\n0,3\nRun b, 0.9 GHz\nCut at 60° (port 2)\n0,4\n";
    let intake = read_with(said, file, &ReadOptions::default());
    let intake = intake.unwrap_or_else(|e| panic!("{e}: {:?}", e.advice()));
    let got = intake.readings.unwrap();
    let all: Vec<Reading> = got.iter().collect();
    assert_eq!(
        directions(&all),
        [(0.0, 0.0), (90.0, 0.0), (0.0, 30.0), (0.0, 60.0)]
    );
    use Polarisation::{Phi, Theta};
    let polarisations: Vec<Polarisation> = all.iter().map(|r| r.polarisation).collect();
    assert_eq!(polarisations, [Theta, Theta, Theta, Phi]);
    let frequencies: Vec<usize> = all.iter().map(|r| r.frequency).collect();
    assert_eq!(frequencies, [0, 0, 0, 1]);
}

#[test]
fn what_the_call_adds() {
    let said = three("eirp_dbm", "");
    let file = "0 0 1.5\n";
    let error = refused(&said, file, &ReadOptions::default());
    assert_eq!(error.group(), Group::Ambiguous);
    let options = ReadOptions::default()
        .with_polarisation(Polarisation::Phi)
        .with_frequency(Frequency::parse("868.3", FrequencyUnit::Mhz).unwrap());
    let got = read_with(&said, file, &options).unwrap().readings.unwrap();
    assert_eq!(got.get(0).map(|r| r.polarisation), Some(Polarisation::Phi));
    assert_eq!(got.frequencies()[0].map(Frequency::mhz), Some(868.3));
    // What the layout says may be said again, and not otherwise.
    let fixed = three(
        "eirp_dbm",
        "constants = { polarisation = \"phi\", frequency_mhz = 868.3 }",
    );
    assert!(read_with(&fixed, file, &options).is_ok());
    let other = ReadOptions::default().with_polarisation(Polarisation::Theta);
    let error = refused(&fixed, file, &other);
    assert_eq!(error.group(), Group::Usage);
    assert!(error.message().contains("t.toml, line 5"), "{error}");
    for (name, value) in [("separator", "tab"), ("decimals", "comma")] {
        let error = refused(&said, file, &options.clone().with_named(name, value));
        assert_eq!(error.group(), Group::Usage, "{name}");
    }
    let decimal = said.replace("[text]\n", "[text]\ndecimal = \"point\"\n");
    let error = refused(&decimal, file, &options.with_named("decimal", "comma"));
    assert!(
        error.message().contains("another (t.toml, line 7)"),
        "{error}"
    );
}

#[test]
fn limits_hold() {
    let said = three("eirp_theta_dbm", "");
    let long = format!("0 0 1\n0 30 {}\n", "1".repeat(1 << 15));
    let error = refused(&said, &long, &ReadOptions::default());
    assert_eq!(error.group(), Group::Limit);
    let many = format!("0 0 1{}\n", " 1".repeat(2000));
    assert_eq!(
        refused(&said, &many, &ReadOptions::default()).group(),
        Group::Limit
    );
    let rows = "0 0 1\n".repeat((1 << 16) + 1);
    let error = refused(&said, &rows, &ReadOptions::default());
    assert_eq!(
        (error.group(), error.place().and_then(|p| p.line)),
        (Group::Limit, Some((1 << 16) + 1))
    );
}

#[test]
fn columns_of_characters_count_characters() {
    let said = "kind = \"fixed\"\n[text]\nheading_line = true\n[[column]]\nfrom = 7\nto = 9\nis = \"phi_deg\"\n\
                [[column]]\nfrom = 3\nto = 6\nis = \"theta_deg\"\n[[column]]\nfrom = 10\nto = 16\nis = \"eirp_theta_dbm\"\n";
    let got = readings(
        said,
        "heading\n°°  90 30   -1.5 and more\n°°   0300\n°°   0330-22.25\n",
    );
    assert_eq!(directions(&got), [(90.0, 30.0), (0.0, 330.0)]);
    assert_eq!(watts(&got), [w_from_dbm(-1.5), w_from_dbm(-22.25)]);
}
