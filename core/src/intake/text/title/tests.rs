use super::*;
use crate::Limits;
use crate::intake::source::Source;
use crate::intake::text::clip;

/// What a line says, in short.
fn said(text: &str) -> String {
    let line = Line {
        number: 1,
        at: 0,
        text,
    };
    let all: Vec<String> = statements(line)
        .iter()
        .map(|s| {
            let spot = s.field.spot.map(|p| &text[p.start..p.end]);
            assert_eq!(spot, Some(s.field.text), "{text}");
            let what = match &s.said {
                Said::Values(_) => "values",
                Said::Polarisation => "pol",
                Said::Frequency(_) => "freq",
                Said::Angle(h) => h.text(),
                Said::Axis { rows: true } => "rows",
                Said::Axis { rows: false } => "columns",
                Said::Count(key) => key,
                Said::Channel => "channel",
                Said::Entry(e) => e.key,
                Said::Label => "label",
                Said::Remark => "",
            };
            format!("{what}<{}>", s.field.text)
        })
        .collect();
    clip::list(&all, 16, " ")
}

#[test]
fn lines_are_taken_apart() {
    for (text, want) in [
        (
            "EIRP theta [dBm], 868.3 MHz",
            "values<EIRP theta [dBm]> freq<868.3 MHz>",
        ),
        (
            "# EIRP theta at 868,3 MHz",
            "values<EIRP theta> freq<868,3 MHz>",
        ),
        (
            "=== eirp_phi_dbm; f = 868.3 MHz ===",
            "values<eirp_phi_dbm> freq<868.3 MHz>",
        ),
        ("Polarisation: phi", "pol<phi>"),
        (
            "River gauge, phi, EIRP (dBm)",
            "<River gauge> pol<phi> values<EIRP (dBm)>",
        ),
        ("Frequency [MHz];868.3;;;", "freq<868.3>"),
        ("\"EIRP [dBm], theta\";;;", "values<EIRP [dBm]> pol<theta>"),
        ("Cut phi=30°", "phi<30°>"),
        ("--- phi = -30 deg ---", "phi<-30 deg>"),
        ("Cut 3: phi_deg = 30; points: 13", "phi_deg<30> points<13>"),
        ("phi 30 deg", "phi<30 deg>"),
        ("phi_deg\t30", "phi_deg<30>"),
        ("Cut 3", "label<Cut 3>"),
        ("Block 2: EIRP theta [dBm]", "values<EIRP theta [dBm]>"),
        ("part: imaginary", "values<imaginary>"),
        (
            "field theta, real part [V]",
            "values<field theta> values<real part [V]>",
        ),
        ("row axis: theta_deg", "rows<theta_deg>"),
        (
            "Site: river mouth, phi, 3 MHz",
            "Site<Site: river mouth, phi, 3 MHz>",
        ),
        ("RBW: 100 kHz", "RBW<RBW: 100 kHz>"),
        ("RBW 100 kHz", "<RBW 100 kHz>"),
        ("EIRP V [dBm]", "values<EIRP V [dBm]>"),
        ("Polarisation: V", "pol<V>"),
        ("V", "pol<V>"),
        ("2", "<2>"),
        ("2026, 868.3", "<2026> <868.3>"),
        ("EIRP theta 868.3 [dBm]", "values<EIRP theta 868.3 [dBm]>"),
        ("Channel: 5", "channel<5>"),
        ("quantity: eirp, unit: dBm", "quantity<eirp> unit<dBm>"),
        ("time: exp(-jwt)", "time<exp(-jwt)>"),
        ("Gain: 8 dBi", "Gain<Gain: 8 dBi>"),
        ("", ""),
        ("A letter to the editor", "<A letter to the editor>"),
    ] {
        assert_eq!(said(text), want, "{text}");
    }
}

/// Facts of titles, one text a title, in short; or the message of the error.
fn facts(titles: &[&str]) -> String {
    let text = titles.join("\n");
    let Ok(source) = Source::from_text("t", &text, &Limits::small()) else {
        return String::new();
    };
    let titles: Vec<Vec<Statement<'_>>> = source.lines().map(statements).collect();
    let tokens = crate::intake::text::tokens::Tokens::new(&[]);
    match Facts::all(&titles, &tokens, b'.', &source) {
        Err(e) => e.message().to_string(),
        Ok(all) => all
            .iter()
            .map(|f| {
                let mut short = f.what.map_or("-", |w| w.value.word()).to_string();
                short += &f
                    .polarisation
                    .map_or(" -".to_string(), |p| format!(" {}", p.value));
                short += &f
                    .frequency
                    .map_or(" -".to_string(), |p| format!(" {}", p.value.mhz()));
                short
            })
            .collect::<Vec<_>>()
            .join(", "),
    }
}

#[test]
fn facts_of_titles() {
    for (titles, want) in [
        (
            &[
                "EIRP theta [dBm], 868.3 MHz",
                "phi",
                "theta, 869.5 MHz",
                "phi",
            ][..],
            "eirp theta 868.3, eirp phi 868.3, eirp theta 869.5, eirp phi 869.5",
        ),
        (
            &[
                "EIRP theta, 868.3 MHz",
                "EIRP, 869.5 MHz",
                "Pol: phi, 869.5 MHz",
            ],
            "eirp theta 868.3, eirp - 869.5, eirp phi 869.5",
        ),
        (
            &["Pol: theta; EIRP; 868.3 MHz", "EIRP, 869.5 MHz"],
            "eirp theta 868.3, eirp theta 869.5",
        ),
        (
            &["EIRP theta [dBm]", "EIRP phi [dBm]"],
            "eirp theta -, eirp phi -",
        ),
        (
            &["868.3 MHz, theta", "869.5 MHz", "theta"],
            "- theta 868.3, - - 869.5, - theta -",
        ),
        (
            &["EIRP theta, phi"],
            "the title says \"phi\", and \"EIRP theta\" in line 1",
        ),
        (
            &["EIRP theta", "EIS phi"],
            "the quantity is eis here, and eirp in line 1",
        ),
        (
            &["EIRP theta [furlong]"],
            "\"furlong\" is not a unit of values",
        ),
        (&["868.3 furlong, f: 868"], "the frequency 868 has no unit"),
    ] {
        assert_eq!(facts(titles), want);
    }
    assert!(
        facts(&["EIRP V [dBm]", "EIRP H [dBm]"])
            .contains("EIRP H [dBm] may be the theta or the phi")
    );
    assert!(facts(&["EIRP theta 868.3 [dBm]"]).contains("may be a frequency without its unit"));
    assert_eq!(facts(&["EIRP theta 868.3 MHz [dBm]"]), "eirp theta 868.3");
    assert!(facts(&["Polarisation: V"]).contains("may be theta or phi"));
}
