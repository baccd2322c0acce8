//! The reader of tables is strict: each kind of mistake is an error with its line and column.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use spheresum_core::table;

/// A sound table; each test spoils a line of it.
const GOOD: &str = "\
# A remark.
table: a trial
rows: 4

case: dipole-15
  pattern: x-dipole
  theta-step: 15 deg
  phi-step: 15 deg
  given-trp: 0 dBm
  rule: clenshaw-curtis
  edges: exact
  gives: trp | 0 dBm | within 1e-9 dB | closed form: as scaled
    also: from memory: nowhere
  never: trp | 1 dBm | beyond 0.1 dB | closed form: ten per cent
  gives: trp_theta / trp | 0.25 1 | within 1e-12 relative | closed form: 1/4

case: level
  levels: 3 dB
  gives: value | 2 1 | within 0.01 1 | common practice: half and double
    because: a rule of thumb
";

fn spoiled(line: usize, text: &str) -> String {
    let mut lines: Vec<&str> = GOOD.lines().collect();
    lines[line - 1] = text;
    lines.join("\n")
}

/// Line, column and message of the error that a text gives.
fn refusal(text: &str) -> (u64, u64, String) {
    let error = table::parse("trial.tbl", text).expect_err(text);
    assert_eq!(error.group(), spheresum_core::Group::Input);
    let place = error.place().unwrap();
    assert_eq!(place.source.as_deref(), Some("trial.tbl"));
    // The byte must say the same as line and column: all texts here are ASCII up to the place.
    let before = &text[..usize::try_from(place.byte.unwrap()).unwrap()];
    let line = before.matches('\n').count() as u64 + 1;
    let column = before.rsplit('\n').next().unwrap().chars().count() as u64 + 1;
    assert_eq!(
        (Some(line), Some(column)),
        (place.line, place.column),
        "{error}"
    );
    assert!(place.excerpt.is_some());
    (line, column, error.message().to_string())
}

#[test]
fn the_sound_table_reads() {
    let read = table::parse("trial.tbl", GOOD).unwrap();
    assert_eq!(
        (read.title.as_str(), read.row_count(), read.cases.len()),
        ("a trial", 4, 2)
    );
    let windows = GOOD.replace('\n', "\r\n");
    assert_eq!(table::parse("trial.tbl", &windows).unwrap(), read);
}

#[test]
fn each_mistake_is_told_with_its_place() {
    // (line, what stands there instead, line and column told, part of the message)
    #[rustfmt::skip]
    let mistakes: &[(usize, &str, (u64, u64), &str)] = &[
        // The head.
        (2, "title: a trial", (2, 1), "begins with its `table:`"),
        (3, "row: 4", (3, 1), "second line"),
        (3, "rows: four", (3, 7), "not a whole number"),
        (3, "rows: 5", (3, 7), "states 5 rows and has 4"),
        (3, "rows: 3", (3, 7), "states 3 rows and has 4"),
        // Lines.
        (4, "stray", (4, 1), "a word, a colon"),
        (4, "  rule: sine", (4, 3), "before the first case"),
        (6, "  pattern:", (6, 11), "nothing stands behind"),
        (6, "  pattern x-dipole", (6, 3), "a word, a colon"),
        (10, "  rules: sine", (10, 3), "the word \"rules\" is unknown"),
        (10, "  Rule: sine", (10, 3), "is unknown"),
        // Names and words.
        (5, "case: Dipole 15", (5, 7), "no name of a case"),
        (17, "case: dipole-15", (17, 7), "is there already, in line 5"),
        (6, "  pattern: w-dipole", (6, 12), "no pattern"),
        (6, "  sphere: ds99", (6, 11), "no sphere"),
        (10, "  rule: simpson", (10, 9), "there is no rule"),
        (11, "  edges: soft", (11, 10), "no window form"),
        (11, "  kappa: 1 1", (11, 3), "does not go with"),
        (11, "  seam: torn", (11, 9), "no seam"),
        (11, "  given-peak: 0 dBm", (11, 3), "does not go with"),
        // Numbers and units.
        (7, "  theta-step: 15", (7, 17), "has no unit"),
        (7, "  theta-step: 15deg", (7, 17), "glued"),
        (7, "  theta-step: 15 degrees", (7, 18), "no unit \"degrees\""),
        (7, "  theta-step: 15 dB", (7, 18), "does not fit"),
        (7, "  theta-step: x deg", (7, 15), "not a number"),
        (7, "  theta-step: nan deg", (7, 15), "not a number"),
        (7, "  theta-step: 14 deg", (7, 15), "does not divide 180"),
        (7, "  theta-step: 0 deg", (7, 15), "does not divide 180"),
        (7, "  theta-step: -15 deg", (7, 15), "does not divide 180"),
        (9, "  given-trp: 0 dbm", (9, 16), "no unit \"dbm\""),
        (9, "  given-trp: 0 mW", (9, 16), "does not fit"),
        (9, "  given-trp: 999 dBm", (9, 14), "levels run from"),
        (9, "  given-eis-each: 0 dBm", (9, 19), "only the isotropic"),
        // Rows.
        (12, "  gives: trp | 0 dBm | within 1e-9 dB", (12, 38), "has 4 parts"),
        (12, "  gives: trq | 0 dBm | within 1e-9 dB | closed form: x", (12, 10), "no quantity \"trq\""),
        (12, "  gives: tis | 0 dBm | within 1e-9 dB | closed form: x", (12, 10), "no quantity \"tis\""),
        (12, "  gives: trp | 0 | within 1e-9 dB | closed form: x", (12, 17), "has no unit"),
        (12, "  gives: trp | 0dBm | within 1e-9 dB | closed form: x", (12, 17), "glued"),
        (12, "  gives: trp | 0 dB | within 1e-9 dB | closed form: x", (12, 18), "does not fit"),
        (12, "  gives: trp | inf dBm | within 1e-9 dB | closed form: x", (12, 16), "not a number"),
        (12, "  gives: trp | 0 dBm | 1e-9 dB | closed form: x", (12, 24), "here stands `within`"),
        (12, "  gives: trp | 0 dBm | beyond 1e-9 dB | closed form: x", (12, 24), "here stands `within`"),
        (12, "  gives: trp | 0 dBm | within 1e-9 | closed form: x", (12, 35), "has no unit"),
        (12, "  gives: trp | 0 dBm | within 1e-9 dBm | closed form: x", (12, 36), "does not fit"),
        (12, "  gives: trp | 0 dBm | within 1e-9dB | closed form: x", (12, 35), "glued"),
        (12, "  gives: trp | 0 dBm | within -1 dB | closed form: x", (12, 31), "not below 0"),
        (12, "  gives: trp | 0 dBm | within 0.1 dB | closed form: x", (12, 3), "needs its reason"),
        (12, "  gives: trp | 0 dBm | within 1e-9 dB | hearsay: x", (12, 41), "no kind of source"),
        (12, "  gives: trp | 0 dBm | within 1e-9 dB | closed form", (12, 41), "its kind, a colon"),
        (12, "  gives: trp | 0 dBm | within 1e-9 dB | closed form:", (12, 53), "not named"),
        (12, "  is: trp | fine | closed form: x", (12, 13), "no state \"fine\""),
        (12, "  is: trp_theta / trp | value | closed form: x", (12, 7), "a ratio has no state"),
        (12, "  fails: never | closed form: x", (12, 10), "no group"),
        (12, "  fails: usage | closed form: x", (12, 3), "gives nothing else"),
        (12, "  also: closed form: x", (12, 3), "before the first"),
        (12, "  because: of it", (12, 3), "before the first"),
        (13, "    rule: sine", (13, 5), "behind the rows"),
        (13, "    roole: sine", (13, 5), "is unknown"),
        (13, "    also: rumour: x", (13, 11), "no kind of source"),
        (14, "  never: trp_phi | 1 dBm | beyond 0.1 dB | closed form: x", (14, 3), "right amount"),
        (14, "  never: trp | 1 mW | beyond 0.1 mW | closed form: x", (14, 3), "right amount"),
        (14, "  never: trp | 0.1 dBm | beyond 0.1 dB | closed form: x", (14, 3), "so near"),
        (14, "  gives: trp | 1 dBm | within 1e-9 dB | closed form: x", (14, 10), "asks for this already"),
        (15, "  gives: trp_theta / directivity | 1 1 | within 1e-12 relative | closed form: x", (15, 10), "no ratio"),
        (15, "  gives: trp_theta / trp | 0.25 dBm | within 1e-12 relative | closed form: x", (15, 33), "does not fit"),
        (15, "  gives: trp_theta / trp | 0.25 1 | within x relative | closed form: x", (15, 44), "not a number"),
        // Other inputs.
        (18, "  levels: 3 dB, 3 dBm", (18, 17), "do not add"),
        (18, "  levels: 3", (18, 12), "has no unit"),
        (18, "  levels: 3 deg", (18, 13), "does not fit"),
        (18, "  difference: 3 dBm", (18, 17), "does not fit"),
        (18, "  difference: 3 dB", (19, 10), "no quantity \"value\""),
        (18, "  weights: sine", (17, 7), "no `intervals:`"),
        (18, "  rule: sine", (17, 7), "has no input"),
        (20, "    because:", (20, 13), "nothing stands behind"),
        // Lines that are missing, or there twice.
        (7, "", (5, 7), "no `theta-step:`"),
        (8, "", (5, 7), "no `phi-step:`"),
        (9, "", (5, 7), "does not say what its pattern is scaled to"),
        (6, "", (5, 7), "has no input"),
        (11, "  rule: sine", (11, 3), "given twice"),
        (19, "", (20, 5), "before the first"),
    ];
    for (line, text, place, message) in mistakes {
        let (at, from, said) = refusal(&spoiled(*line, text));
        assert_eq!((at, from), *place, "{text}: {said}");
        assert!(said.contains(message), "{text}: {said}");
    }
}

#[test]
fn a_case_without_rows_and_an_empty_table_are_refused() {
    let end = GOOD
        .lines()
        .take(18)
        .collect::<Vec<_>>()
        .join("\n")
        .replace("rows: 4", "rows: 3");
    assert_eq!(
        refusal(&end),
        (17, 7, "the case level has no row".to_string())
    );
    assert_eq!(refusal("").0, 1);
    assert_eq!(refusal("# nothing\n\n").0, 2);
    assert_eq!(
        refusal("table: x\n").2,
        "the table ends before its `rows:` line"
    );
}

#[test]
fn columns_count_characters_and_arrays_need_their_peak() {
    let (_, column, _) = refusal("table: θφ\nrows: 0\nθθ: 1\n");
    assert_eq!(column, 1);
    let array = "table: x\nrows: 1\ncase: a\n  pattern: line-array\n  axis: z\n  points: 2\n  spacing: 0.25 wavelength\n  \
                 phase-step: -120 deg\n";
    assert_eq!((8, 15), {
        let (l, c, _) = refusal(&format!(
            "{array}  theta-step: 15 deg\n  phi-step: 15 deg\n  given-trp: 0 dBm\n  gives: trp | 0 dBm | within 0 dB | closed form: x\n"
        ));
        (l, c)
    });
}

#[test]
fn no_cut_of_a_sound_table_panics_or_passes() {
    let (name, text) = table::builtin().next().unwrap();
    for end in (0..text.len()).filter(|e| text.is_char_boundary(*e)) {
        // Cut within the last line, a source may merely be shorter.
        if table::parse(name, &text[..end]).is_ok() {
            assert!(!text[end..].contains("\n  "), "cut at {end}");
        }
    }
}
