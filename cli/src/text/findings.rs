//! Findings: how much they matter, where, what they do, and what to do.

use super::number::{Toward, two};
use super::style::{FAINT, paint, severity};
use super::table::heading;
use super::{with_typed, wrap};
use spheresum_core::{Finding, Severity};

/// A finding and the runs that have it.
type Told<'a> = (&'a Finding, Vec<&'a str>);

/// Findings of runs under their names. Refusals first, then warnings and notes; one that several runs share is told once,
/// and advice that several findings share follows the last of them.
pub fn findings<'a>(by_run: &[(&'a str, &'a [Finding])], indent: usize) -> String {
    let several = by_run.len() > 1;
    let mut told: Vec<Told<'_>> = Vec::new();
    for (run, findings) in by_run {
        for finding in *findings {
            match told.iter_mut().find(|(other, _)| *other == finding) {
                Some((_, runs)) => runs.push(run),
                None => told.push((finding, vec![run])),
            }
        }
    }
    if told.is_empty() {
        return String::new();
    }
    let mut out = heading("Findings", indent);
    let told = in_groups(told);
    for (n, (finding, runs)) in told.iter().enumerate() {
        let runs = several.then(|| runs.join(", "));
        out.push_str(&message(finding, runs, indent + 2));
        let next = told.get(n + 1).map(|t| t.0);
        if next.is_none_or(|next| !same_advice(finding, next)) {
            out.push_str(&advice(finding, indent + 2 + WORD));
        }
    }
    out
}

/// Width of a severity with the gap behind it.
const WORD: usize = 9;

/// By severity; within it by the first of each kind, so that equal advice stands together.
fn in_groups(told: Vec<Told<'_>>) -> Vec<Told<'_>> {
    let mut kinds: Vec<&Finding> = Vec::new();
    let mut keyed: Vec<(usize, Told<'_>)> = Vec::new();
    for one in told {
        let at = kinds
            .iter()
            .position(|k| same_advice(k, one.0))
            .unwrap_or_else(|| {
                kinds.push(one.0);
                kinds.len() - 1
            });
        keyed.push((at, one));
    }
    keyed.sort_by_key(|(kind, (finding, _))| (std::cmp::Reverse(finding.severity), *kind));
    keyed.into_iter().map(|(_, one)| one).collect()
}

fn same_advice(a: &Finding, b: &Finding) -> bool {
    (a.severity, &a.code, &a.advice) == (b.severity, &b.code, &b.advice)
}

fn message(finding: &Finding, runs: Option<String>, indent: usize) -> String {
    let word = match finding.severity {
        Severity::Refusal => "refusal",
        Severity::Warning => "warning",
        _ => "note",
    };
    let first = format!(
        "{}{}  ",
        " ".repeat(indent),
        paint(severity(finding.severity), &format!("{word:7}"))
    );
    let mut text = runs.map_or_else(String::new, |r| format!("{r}: "));
    text.push_str(&finding.message);
    if let Some(place) = &finding.place {
        // The sentence names the field.
        let mut place = place.clone();
        place.field = None;
        text.push_str(&format!(" (at {place})"));
    }
    if let Some(effect) = finding
        .effect_db
        .map(|e| format!("{} dB", two(e, Toward::Nearest)))
        && !finding.message.contains(&effect)
    {
        text.push_str(&format!(
            " {}",
            wrap::together(&format!("[effect {effect}]"))
        ));
    }
    wrap::hanging(&first, &text, indent + WORD)
}

fn advice(finding: &Finding, indent: usize) -> String {
    finding.advice.as_ref().map_or_else(String::new, |advice| {
        let lead = format!("{}{}", " ".repeat(indent), paint(FAINT, "→ "));
        wrap::hanging(&lead, &with_typed(advice), indent + 2)
    })
}
