//! The proposal as a TOML text.

use crate::propose::columns::{self, Proposed};
use crate::propose::matrix::{self, Axis};
use crate::propose::numeric::value;
use crate::propose::opening::{self, Around};
use crate::propose::runs::Runs;
use spheresum_core::intake::Source;
use spheresum_core::intake::text::{Clip, Entry, Key, Separator, Unit, field};

/// Shortest and longest text by which a file is recognised, characters.
const MARK: (usize, usize) = (4, 60);

/// Writes the proposal. `cautious`: a person says what every column is.
pub(super) fn write(source: &Source, found: &Runs<'_>, whole: bool, cautious: bool) -> String {
    let axis = matrix::axis(found);
    let around = opening::around(found, axis, whole);
    let mut out = Out::default();
    let file = source.name().rsplit(['/', '\\']).next().unwrap_or_default();
    out.note(&format!(
        "Proposed for {}: a start, made from what the text shows.",
        one_line(file)
    ));
    out.note("Fill in each \"?\", and check what is marked as a guess.");
    out.line(&format!("id = {}", quoted(&id(file))));
    out.line(&format!(
        "name = {}",
        quoted(&format!("files like {}", one_line(file)))
    ));
    out.line(&format!("kind = {}", quoted(kind(found, axis, &around))));
    recognise(&mut out, source, file, &around);
    text(&mut out, found, &around);
    let mut words: Vec<String> = around.titles.iter().flat_map(|t| t.words.clone()).collect();
    match axis {
        Some(axis) => of_matrix(&mut out, axis),
        None => of_columns(&mut out, found, &around, &mut words, cautious),
    }
    if !words.is_empty() {
        out.head("polarisation_words");
        words.sort();
        words.dedup_by(|a, b| a.eq_ignore_ascii_case(b));
        for word in &words {
            out.said(&format!("{} = \"?\"", quoted(word)), "theta, phi or total");
        }
    }
    frequency(&mut out, found, &around, axis);
    if axis.is_none() {
        tokens(&mut out, found);
    }
    out.text
}

#[derive(Debug, Default)]
struct Out {
    text: String,
}

impl Out {
    fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    fn note(&mut self, remark: &str) {
        self.line(&format!("# {}", one_line(remark)));
    }

    fn said(&mut self, line: &str, remark: &str) {
        if remark.is_empty() {
            self.line(line);
        } else {
            self.line(&format!("{line}  # {}", one_line(remark)));
        }
    }

    fn head(&mut self, name: &str) {
        self.line("");
        self.line(&format!("[{name}]"));
    }
}

/// A text without control characters, shortened: for comments.
fn one_line(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .take(400)
        .collect()
}

/// A text in TOML's quotes.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => out.push_str(&format!("\\u{:04X}", c as u32)),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// An id from the name of the file.
fn id(file: &str) -> String {
    let stem = file
        .split('.')
        .find(|part| !part.is_empty())
        .unwrap_or_default();
    let mut id = String::new();
    for c in stem.chars().take(40) {
        let c = c.to_ascii_lowercase();
        if c.is_ascii_lowercase() || c.is_ascii_digit() {
            id.push(c);
        } else if !id.is_empty() && !id.ends_with('-') {
            id.push('-');
        }
    }
    let id = id.trim_matches('-');
    if id.starts_with(|c: char| c.is_ascii_lowercase()) {
        format!("{id}-layout")
    } else {
        format!("layout-{id}").trim_end_matches('-').to_string()
    }
}

fn kind(found: &Runs<'_>, axis: Option<Axis>, around: &Around) -> &'static str {
    let has_angle = around.titles.iter().any(|t| {
        ["{theta", "{phi", "{elevation", "{clockwise"]
            .iter()
            .any(|p| t.pattern.contains(p))
    });
    match (axis, &found.fixed) {
        (Some(_), _) => "matrix",
        (None, Some(_)) => "fixed",
        (None, None) if has_angle => "cuts",
        (None, None) => "table",
    }
}

fn recognise(out: &mut Out, source: &Source, file: &str, around: &Around) {
    let first = source
        .lines()
        .map(|l| l.text.trim())
        .find(|t| !t.is_empty());
    let first = first.unwrap_or_default();
    // Serial numbers and dates differ from file to file: the longest part without digits is kept.
    let longest = first
        .split(|c: char| c.is_ascii_digit() || c.is_control())
        .map(|t| t.trim().trim_start_matches([',', ';', ':', '.', ')', ' ']))
        .fold("", |a, b| {
            if b.chars().count() > a.chars().count() {
                b
            } else {
                a
            }
        });
    let clip = |t: &str| t.chars().take(MARK.1).collect::<String>();
    let says = |t: &str| t.chars().filter(|c| c.is_alphabetic()).count() >= MARK.0;
    out.head("recognise");
    out.note("By these marks files of the kind are told from others: a guess. All of them have to be there.");
    if says(longest) {
        out.line(&format!("first_line_contains = {}", quoted(&clip(longest))));
    }
    let heading = around.heading_line.as_deref().unwrap_or_default();
    if says(heading) && heading != first {
        out.line(&format!("contains = {}", quoted(&clip(heading))));
    }
    if let Some((_, ending)) = file.rsplit_once('.')
        && !ending.is_empty()
        && ending.len() <= 16
        && !ending.contains(char::is_whitespace)
    {
        out.line(&format!(
            "name_ends_with = {}",
            quoted(&format!(".{ending}"))
        ));
    }
}

fn text(out: &mut Out, found: &Runs<'_>, around: &Around) {
    out.head("text");
    if found.fixed.is_none() {
        let separator = match found.separator {
            Separator::Sign(b'|') => "pipe",
            other => other.word(),
        };
        out.line(&format!("separator = {}", quoted(separator)));
    }
    let (points, commas) = signs(found);
    match (points, commas) {
        (0, 0) => out.note("decimal = \"point\"  # no number shows its decimal sign"),
        (0, _) => out.line("decimal = \"comma\""),
        (_, 0) => out.line("decimal = \"point\""),
        _ => out.said(
            "decimal = \"?\"",
            "numbers with points and numbers with commas are there",
        ),
    }
    if around.skip_lines > 0 {
        let last = around.skipped.last().cloned().unwrap_or_default();
        out.said(
            &format!("skip_lines = {}", around.skip_lines),
            &format!("guess: up to the line {:?}", Clip(&last)),
        );
    }
    if let Some(footer) = &around.footer {
        let mark: String = footer.chars().take(MARK.1).collect();
        out.said(
            &format!("stop_at = {}", quoted(mark.trim())),
            "guess: the line below the last row",
        );
    }
    if around.headings.is_none() && found.fixed.is_none() && matrix::axis(found).is_none() {
        out.said(
            "heading_line = false",
            "no line above the rows names the columns",
        );
    }
    if let [one] = around.titles.as_slice() {
        out.said(&format!("title = {}", quoted(&one.pattern)), &one.remark);
    } else if !around.titles.is_empty() {
        out.line("title = [");
        for one in &around.titles {
            out.said(&format!("  {},", quoted(&one.pattern)), &one.remark);
        }
        out.line("]");
    }
    if let Some(strange) = &around.strange {
        out.note(&format!(
            "Between the rows stand lines such as {:?}: describe them by title, or leave them out by comments.",
            Clip(strange)
        ));
    }
}

/// How many numbers have a point, and how many a comma.
fn signs(found: &Runs<'_>) -> (usize, usize) {
    let (mut points, mut commas) = (0, 0);
    for row in found.runs.iter().flatten() {
        for at in 0..row.spans.len() {
            let text = row.text(at);
            if value(text, found.separator).is_some() {
                points += usize::from(text.contains('.'));
                commas += usize::from(text.contains(','));
            }
        }
    }
    (points, commas)
}

fn of_matrix(out: &mut Out, axis: Axis) {
    out.head("matrix");
    out.said(
        "row_axis = \"?\"",
        "what runs down the first column: theta_deg, phi_deg …",
    );
    out.said("column_axis = \"?\"", "what runs along the first line");
    out.said(
        "values = \"?\"",
        "such as eirp_theta_dbm, or eirp_dbm where a title says the polarisation",
    );
    if axis == Axis::WithoutCorner {
        out.line("corner = false");
    }
}

fn of_columns(
    out: &mut Out,
    found: &Runs<'_>,
    around: &Around,
    words: &mut Vec<String>,
    cautious: bool,
) {
    let headings = around.headings.as_deref().unwrap_or_default();
    for at in 0..found.fields() {
        let heading = headings.get(at).map(String::as_str);
        let Proposed {
            mut is,
            mut remark,
            words: more,
        } = columns::column(found, at, heading);
        if cautious && is != "?" {
            remark = format!("{is}? What the headings say contradicts itself");
            is = "?".to_string();
        }
        // A field that is empty in all rows, behind a last separator.
        if heading.is_none_or(str::is_empty)
            && at > 0
            && found.runs.iter().flatten().all(|r| r.text(at).is_empty())
        {
            continue;
        }
        words.extend(more);
        out.line("");
        out.line("[[column]]");
        let lower = |h: &str| h.trim().to_lowercase();
        let unique = |h: &str| headings.iter().filter(|o| lower(o) == lower(h)).count() == 1;
        match (&found.fixed, heading) {
            (Some(ranges), _) => {
                let (from, to) = ranges.get(at).copied().unwrap_or_default();
                out.line(&format!("from = {}", from + 1));
                out.said(
                    &format!("to = {to}"),
                    "guess: by the blanks; numbers that touch are taken for one column",
                );
            }
            (None, Some(heading)) if !heading.trim().is_empty() && unique(heading) => {
                out.line(&format!("heading = {}", quoted(heading)));
            }
            _ => out.line(&format!("number = {}", at + 1)),
        }
        out.said(&format!("is = {}", quoted(&is)), &remark);
    }
}

/// The frequency, where a line that is skipped seems to say it.
fn frequency(out: &mut Out, found: &Runs<'_>, around: &Around, axis: Option<Axis>) {
    let in_titles = around
        .titles
        .iter()
        .any(|t| t.pattern.contains("{frequency"));
    let in_columns = axis.is_none()
        && (0..found.fields()).any(|at| {
            let heading = around.headings.as_ref().and_then(|h| h.get(at));
            columns::column(found, at, heading.map(String::as_str))
                .is
                .starts_with("frequency_")
        });
    let in_entries = found.lines.iter().any(|l| {
        let entry = Entry::of(*l, l.number > around.skip_lines);
        entry.is_some_and(|e| e.known() == Some(Key::Frequency))
    });
    if in_titles || in_columns || in_entries {
        return;
    }
    let said = around.skipped.iter().find_map(|line| {
        let words: Vec<&str> = line.split_whitespace().collect();
        (0..words.len()).find_map(|at| {
            let (number, unit) =
                field::number_and_unit(words.get(at)?.trim_end_matches([',', ';']))?;
            let unit = if unit.is_empty() {
                *words.get(at + 1)?
            } else {
                unit
            };
            match Unit::parse(unit.trim_end_matches([',', ';', '.', ')']))? {
                Unit::Frequency(unit)
                    if value(number, Separator::Blank).is_some_and(|v| v > 0.0) =>
                {
                    let key = format!("frequency_{}", unit.symbol().to_lowercase());
                    Some((key, number.replace(',', "."), line.clone()))
                }
                _ => None,
            }
        })
    });
    match said {
        Some((key, number, line)) => {
            out.head("constants");
            out.said(
                &format!("{key} = {}", quoted(&number)),
                &format!("guess: from the line {:?}", Clip(&line)),
            );
        }
        None => {
            out.line("");
            out.note("If the files leave the frequency out:");
            out.note("[constants]");
            out.note("frequency_mhz = \"868.3\"");
        }
    }
}

fn tokens(out: &mut Out, found: &Runs<'_>) {
    let tokens = columns::tokens(found, found.fields());
    if tokens.is_empty() {
        return;
    }
    let list: Vec<String> = tokens.iter().map(|t| quoted(t)).collect();
    out.line("");
    out.note(&format!(
        "Among the numbers stand {}: say what they stand for, such as",
        list.join(", ")
    ));
    out.note("[tokens]");
    out.note(&format!("missing = [{}]", list.join(", ")));
    out.note("below_floor = [{ text = \"…\", level = \"-110\" }]");
}
