//! The option `column` for titles: a title's words may be chosen like a heading.

use super::{Said, Statement};
use crate::Result;
use crate::intake::source::Source;
use crate::intake::text::choices::Choices;
use crate::intake::text::entries::Entries;
use crate::intake::text::meaning::classify;
use crate::intake::text::table::{Heading, Table};
use std::collections::HashMap;

/// Puts the choices of the option `column` in the place of what headings and titles say.
///
/// # Errors
/// Usage: neither heading nor title is called that, or its unit is another.
pub fn choose<'a>(
    titles: &mut [Vec<Statement<'a>>],
    headings: &mut Vec<Heading<'a>>,
    choices: &Choices,
    source: &Source,
) -> Result<()> {
    if choices.columns.is_empty() {
        return Ok(());
    }
    let own = headings.len();
    let mut table = Table::new(Entries::default(), std::mem::take(headings), None);
    let mut known = HashMap::new();
    for statement in titles.iter().flatten() {
        let heading = match &statement.said {
            Said::Values(heading) => heading.clone(),
            Said::Polarisation | Said::Remark => {
                let (meaning, unit) = classify(statement.field.text);
                Heading::new(statement.field, meaning, unit)
            }
            _ => continue,
        };
        known
            .entry(heading.text().to_lowercase())
            .or_insert_with(|| {
                table.headings.push(heading);
                table.headings.len() - 1
            });
    }
    table.choose(choices, source)?;
    for statement in titles.iter_mut().flatten() {
        let text = match &statement.said {
            Said::Values(heading) => heading.text().to_lowercase(),
            Said::Polarisation | Said::Remark => statement.field.text.to_lowercase(),
            _ => continue,
        };
        let is_chosen = choices
            .columns
            .iter()
            .any(|c| c.heading.to_lowercase() == text);
        if is_chosen && let Some(heading) = known.get(&text).and_then(|at| table.headings.get(*at))
        {
            statement.said = Said::Values(heading.clone());
        }
    }
    table.headings.truncate(own);
    *headings = table.headings;
    Ok(())
}
