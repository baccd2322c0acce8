//! Colours and weights; they show on a terminal only.

use anstyle::{AnsiColor, Style};
use spheresum_core::Severity;

/// Headings.
pub const HEADING: Style = Style::new().bold();
/// What matters less.
pub const FAINT: Style = Style::new().dimmed();

/// Of a finding.
pub const fn severity(severity: Severity) -> Style {
    match severity {
        Severity::Refusal => AnsiColor::Red.on_default().bold(),
        Severity::Warning => AnsiColor::Yellow.on_default().bold(),
        _ => AnsiColor::Cyan.on_default(),
    }
}

/// A text in a style.
pub fn paint(style: Style, text: &str) -> String {
    format!("{style}{text}{style:#}")
}
