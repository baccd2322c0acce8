//! Findings: how much they matter, where, what they do, and what to do.

use super::number::{Toward, two};
use super::style::{FAINT, paint, severity};
use super::table::heading;
use super::wrap;
use spheresum_core::{Finding, Severity};

/// Findings of runs under their names; one that several runs share is told once. Refusals first, then warnings and notes.
pub fn findings(by_run: &[(&str, &[Finding])], indent: usize) -> String {
    let several = by_run.len() > 1;
    let mut told: Vec<(&Finding, Vec<&str>)> = Vec::new();
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
    told.sort_by_key(|(finding, _)| std::cmp::Reverse(finding.severity));
    let mut out = heading("Findings", indent);
    for (finding, runs) in told {
        out.push_str(&one(finding, several.then(|| runs.join(", ")), indent + 2));
    }
    out
}

fn one(finding: &Finding, runs: Option<String>, indent: usize) -> String {
    let word = match finding.severity {
        Severity::Refusal => "refusal",
        Severity::Warning => "warning",
        _ => "note",
    };
    let first = format!("{}{}  ", " ".repeat(indent), paint(severity(finding.severity), &format!("{word:7}")));
    let mut text = runs.map_or_else(String::new, |r| format!("{r}: "));
    text.push_str(&finding.message);
    if let Some(place) = &finding.place {
        text.push_str(&format!(" (at {place})"));
    }
    if let Some(effect) = finding.effect_db {
        text.push_str(&format!(" [effect {} dB]", two(effect, Toward::Nearest)));
    }
    let mut out = wrap::hanging(&first, &text, indent + 9);
    if let Some(advice) = &finding.advice {
        let lead = format!("{}{}", " ".repeat(indent + 9), paint(FAINT, "→ "));
        out.push_str(&wrap::hanging(&lead, advice, indent + 11));
    }
    out
}
