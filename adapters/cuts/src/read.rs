//! The read: options, structure, columns, plan, rows.

use crate::columns::{self, Columns};
use crate::fixed::{self, Fixed};
use crate::heading::Angle;
use crate::own::Own;
use crate::structure::{self, Structure};
use crate::{body, stated};
use spheresum_core::intake::text::title::{Facts, Said, Statement, claim, say_alike};
use spheresum_core::intake::text::tokens::Tokens;
use spheresum_core::intake::text::{
    self, Context, Field, Heading, Meaning, Separator, Spot, Table, Unit, UnitText, field, settle,
};
use spheresum_core::intake::{Intake, ReadOptions, Source};
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::{Limits, Place, Result};

/// What the reading of rows needs to know of the cuts.
#[derive(Debug)]
pub(crate) struct Known<'a> {
    /// The structure.
    pub(crate) structure: Structure<'a>,
    /// What each title says.
    pub(crate) facts: Vec<Facts<'a>>,
    /// The fixed angle of each cut.
    pub(crate) fixed: Vec<Option<Fixed<'a>>>,
    /// The columns of all cuts.
    pub(crate) columns: Columns<'a>,
    /// Titles say the frequency: the table's first column.
    pub(crate) has_frequency: bool,
    /// Titles say the polarisation: the table's next column.
    pub(crate) has_polarisation: bool,
    /// Words of polarisations.
    pub(crate) tokens: Tokens,
    /// Decimal sign.
    pub(crate) decimal: u8,
}

/// Reads a source.
pub(crate) fn read(source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
    let own = Own::of(options)?;
    let mut structure = structure::find(source, &own, limits)?;
    let mut titles: Vec<Vec<Statement<'_>>> = structure
        .cuts
        .iter_mut()
        .map(|c| std::mem::take(&mut c.title))
        .collect();
    stated::chosen(&mut structure, &mut titles, &own.choices, source)?;
    for (cut, title) in structure.cuts.iter_mut().zip(&titles) {
        cut.title.clone_from(title);
    }
    let decimal = decimal(&structure, &own, source);
    let tokens = Tokens::new(&own.choices.polarisations);
    let facts = Facts::all(&titles, &tokens, decimal, source)?;
    let fixed: Vec<Option<Fixed<'_>>> = facts
        .iter()
        .map(|f| fixed::of(f, source))
        .collect::<Result<_>>()?;
    let columns = columns::columns(&structure, &fixed, source, limits)?;
    alike(&structure, &facts, &columns, source)?;
    claims(&structure, source)?;

    let frequency = facts.iter().find_map(|f| f.frequency);
    let has_polarisation = stated::titles_say_polarisation(&structure, &facts, source)?;
    let mut all = Vec::new();
    if let Some(frequency) = frequency {
        let unit = UnitText::Known(Unit::Frequency(FrequencyUnit::Hz));
        all.push(Heading::new(
            Field {
                text: "frequency",
                spot: frequency.field.spot,
            },
            Meaning::Frequency,
            unit,
        ));
    }
    if has_polarisation {
        let spot = facts
            .iter()
            .find_map(|f| f.polarisation)
            .and_then(|p| p.field.spot);
        all.push(Heading::new(
            Field { text: "pol", spot },
            Meaning::Polarisation,
            UnitText::None,
        ));
    }
    all.extend(columns.headings.iter().cloned());
    let line = structure.names.first().map(|n| Spot::whole(n.line));
    let table = Table::new(stated::entries(&structure, &facts, source)?, all, line);
    let (plan, findings) = text::plan(&table, source, &own.choices, options, |_| Some(decimal))?;
    let known = Known {
        structure,
        facts,
        fixed,
        columns,
        has_frequency: frequency.is_some(),
        has_polarisation,
        tokens,
        decimal,
    };
    let context = Context {
        source,
        table: &table,
        plan: &plan,
        limits,
    };
    body::read(&context, &known, findings)
}

/// Refuses titles that leave out what others say.
fn alike(
    structure: &Structure<'_>,
    facts: &[Facts<'_>],
    columns: &Columns<'_>,
    source: &Source,
) -> Result<()> {
    let place = |cut: usize| match structure.cuts.get(cut) {
        Some(cut) => source.place(cut.line, 0, cut.line.text.len()),
        None => Place::in_source(source.name()),
    };
    let used = || 0..facts.len();
    say_alike(facts, used, "frequency", place, |f| f.frequency)?;
    say_alike(facts, used, "polarisation", place, |f| f.polarisation)?;
    let has_column = columns
        .headings
        .iter()
        .any(|h| h.meaning == Meaning::Frequency);
    if has_column {
        return Ok(());
    }
    facts.iter().try_for_each(|f| f.refuse_channel(source))
}

/// The decimal sign: the chosen one, or that of the first number that has one.
fn decimal(structure: &Structure<'_>, own: &Own, source: &Source) -> u8 {
    if let Some(chosen) = own.choices.decimal {
        return chosen;
    }
    if structure.separator == Separator::Comma {
        return b'.';
    }
    let in_titles = || {
        let all = structure.cuts.iter().flat_map(|c| &c.title);
        all.filter(|s| matches!(s.said, Said::Frequency(_) | Said::Angle(_)))
            .filter_map(|s| field::number_and_unit(s.field.text))
            .find_map(|(number, _)| settle::sign_of(number))
    };
    body::first_sign(structure, source.text())
        .or_else(in_titles)
        .unwrap_or(b'.')
}

/// Holds the numbers of points that titles claim against what is there. Above the first cut and below the last, a number may be that
/// of the whole file.
fn claims(structure: &Structure<'_>, source: &Source) -> Result<()> {
    let all = structure
        .cuts
        .iter()
        .fold(0_u64, |sum, c| sum.saturating_add(c.rows as u64));
    let columns = |cut: usize| {
        structure
            .names
            .get(cut)
            .map_or(0, |n| n.headings.len() as u64)
    };
    for (at, cut) in structure.cuts.iter().enumerate() {
        for statement in &cut.title {
            if let Said::Count(key) = statement.said {
                let rows = cut.rows as u64;
                let counted: &[u64] = match at {
                    _ if key.eq_ignore_ascii_case("columns") => &[columns(cut.names)],
                    0 if structure.cuts.len() > 1 => &[rows, all],
                    _ => &[rows],
                };
                claim(key, statement.field, counted, source)?;
            }
        }
    }
    for statement in &structure.trailer {
        if let Said::Count(key) = statement.said {
            claim(key, statement.field, &[all], source)?;
        }
    }
    Ok(())
}

impl Known<'_> {
    /// Index of the first column that stands in the file: θ.
    pub(crate) fn first(&self) -> usize {
        usize::from(self.has_frequency) + usize::from(self.has_polarisation)
    }

    /// Index of an angle's column.
    pub(crate) fn of(&self, angle: Angle) -> usize {
        self.first() + angle as usize
    }
}
