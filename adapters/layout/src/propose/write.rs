//! The proposal as a TOML text.

use crate::propose::columns::{self, Proposed};
use crate::propose::frequency::frequency;
use crate::propose::head::{MARK, id, kind, recognise};
use crate::propose::matrix::{self, Axis};
use crate::propose::numeric::value;
use crate::propose::opening::{self, Around};
use crate::propose::out::{Out, one_line, quoted};
use crate::propose::runs::Runs;
use spheresum_core::intake::Source;
use spheresum_core::intake::text::Clip;

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
        quoted(&format!(
            "files like {}",
            one_line(&file.chars().take(100).collect::<String>())
        ))
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
        words.sort_by_cached_key(|w| w.to_lowercase());
        words.dedup_by_key(|w| w.to_lowercase());
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

fn text(out: &mut Out, found: &Runs<'_>, around: &Around) {
    out.head("text");
    if found.fixed.is_none() {
        out.line(&format!("separator = {}", quoted(found.separator.word())));
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
