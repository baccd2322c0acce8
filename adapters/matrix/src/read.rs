//! The read: options, structure, what each block holds, plan, cells.

use crate::blocks::{self, Columns, Group};
use crate::corner::Names;
use crate::own::Own;
use crate::structure::{self, Structure};
use crate::{axes, body, corner, walk};
use spheresum_core::intake::text::title::{self, Facts, Said, Statement, claim};
use spheresum_core::intake::text::tokens::Tokens;
use spheresum_core::intake::text::{
    self, Clip, Context, Entries, Field, Heading, Meaning, Separator, Spot, Table, Unit, UnitText,
    field, settle,
};
use spheresum_core::intake::{Intake, ReadOptions, Source};
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::{Error, Limits, Result};

/// What the reading of cells needs to know of the blocks.
pub(crate) struct Known<'a> {
    /// The structure.
    pub(crate) structure: Structure<'a>,
    /// What each block holds.
    pub(crate) facts: Vec<Facts<'a>>,
    /// Which value column each block fills.
    pub(crate) columns: Columns<'a>,
    /// The blocks in groups.
    pub(crate) groups: Vec<Group>,
    /// For each block whether its rows run along the table's second angle.
    pub(crate) turned: Vec<bool>,
    /// The table has a frequency column.
    pub(crate) has_frequency: bool,
    /// Decimal sign.
    pub(crate) decimal: u8,
}

/// Reads a source.
pub(crate) fn read(source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
    let own = Own::of(options)?;
    let mut structure = structure::find(source, &own, limits)?;
    let decimal = decimal(&structure, &own, source);
    let axes = axes::of_blocks(&structure, &own, source)?;
    let Some((first, own_axes)) = structure.blocks.first().zip(axes.first()) else {
        return Err(crate::rows::no_labels(source));
    };
    let label_line = first.line;
    let nameless = Heading::new(
        Field::at("values", first.corner()),
        Meaning::Unknown,
        UnitText::None,
    );
    let mut headings: Vec<Heading<'_>> = own_axes.iter().cloned().chain([nameless]).collect();

    let mut titles: Vec<Vec<Statement<'_>>> = structure
        .blocks
        .iter_mut()
        .map(|b| std::mem::take(&mut b.title))
        .collect();
    title::choose(&mut titles, &mut headings, &own.choices, source)?;
    let tokens = Tokens::new(&own.choices.polarisations);
    let facts = Facts::all(&titles, &tokens, decimal, source)?;
    for (block, title) in structure.blocks.iter_mut().zip(titles) {
        block.title = title;
    }
    let nameless = headings
        .pop()
        .unwrap_or_else(|| Heading::of(Field::constant("values")));
    let columns = blocks::columns(&structure, &facts, &nameless, source)?;
    let groups = blocks::groups(&structure, &facts, &columns, source)?;
    let turned = turned(&axes, own_axes, &columns, source)?;

    let frequency = facts.iter().find_map(|f| f.frequency);
    let mut all = Vec::new();
    if let Some(frequency) = frequency {
        let name = Field {
            text: "frequency",
            spot: frequency.field.spot,
        };
        let unit = UnitText::Known(Unit::Frequency(FrequencyUnit::Hz));
        all.push(Heading::new(name, Meaning::Frequency, unit));
    }
    all.extend(headings);
    all.extend(columns.headings.iter().cloned());
    let mut table = Table::new(entries(&structure), all, Some(Spot::whole(label_line)));
    table.entries.index(source)?;
    let (plan, mut findings) =
        text::plan(&table, source, &own.choices, options, |_| Some(decimal))?;
    claims(&structure, source)?;
    let known = Known {
        facts,
        columns,
        groups,
        turned,
        has_frequency: frequency.is_some(),
        decimal,
        structure,
    };
    findings.extend(body::unlike(&known, source));
    let context = Context {
        source,
        table: &table,
        plan: &plan,
        limits,
    };
    body::read(&context, &known, findings)
}

/// For each block how its axes lie.
fn turned<'a>(
    axes: &[Names<'a>],
    table: &Names<'a>,
    columns: &Columns<'a>,
    source: &Source,
) -> Result<Vec<bool>> {
    axes.iter()
        .zip(&columns.of_block)
        .map(|(names, column)| match column {
            Some(_) => axes::is_turned(names, table, source),
            None => Ok(false),
        })
        .collect()
}

/// All entries of the file that belong to no block alone.
fn entries<'a>(structure: &Structure<'a>) -> Entries<'a> {
    let mut entries = Entries::default();
    let titles = structure.blocks.iter().flat_map(|b| &b.title);
    for statement in titles.chain(&structure.trailer) {
        if let Said::Entry(entry) = statement.said {
            entries.all.push(entry);
        }
    }
    entries
}

/// The decimal sign: the chosen one, or that of the first number that has one.
fn decimal(structure: &Structure<'_>, own: &Own, source: &Source) -> u8 {
    if let Some(chosen) = own.choices.decimal {
        return chosen;
    }
    if structure.separator == Separator::Comma {
        return b'.';
    }
    let in_cells = || walk::first_sign(structure, source.text());
    let in_titles = || {
        let all = structure.blocks.iter().flat_map(|b| &b.title);
        all.filter(|s| matches!(s.said, Said::Frequency(_)))
            .filter_map(|s| field::number_and_unit(s.field.text))
            .find_map(|(number, _)| settle::sign_of(number))
    };
    in_cells().or_else(in_titles).unwrap_or(b'.')
}

/// Refuses `rows: theta_deg`, which is no number, and names an axis by the wrong key.
fn refuse_axis(key: &str, field: Field<'_>, source: &Source) -> Result<()> {
    let axis = match key.to_lowercase().as_str() {
        "rows" => "row axis",
        "columns" => "column axis",
        _ => return Ok(()),
    };
    if !corner::is_angle(&Heading::of(field)) {
        return Ok(());
    }
    Err(
        Error::input(format!("{:?} is no number of {key}", Clip(field.text)))
            .hint(format!(
                "the angle of an axis is named by a line `{axis}: {}`",
                Clip(field.text)
            ))
            .at(field.place(source).with_field(key)),
    )
}

/// Holds the numbers of rows, columns and points that titles claim against what is there. Above the first block and below the
/// last, a number may be that of the whole file.
fn claims(structure: &Structure<'_>, source: &Source) -> Result<()> {
    let of = |rows: usize, columns: usize, key: &str| match key.to_lowercase().as_str() {
        "rows" => rows as u64,
        "columns" => columns as u64,
        _ => rows as u64 * columns as u64,
    };
    let all = |key: &str| -> u64 {
        let each = structure
            .blocks
            .iter()
            .map(|b| of(b.rows, b.labels.count, key));
        each.fold(0, u64::saturating_add)
    };
    for (at, block) in structure.blocks.iter().enumerate() {
        for statement in &block.title {
            if let Said::Count(key) = statement.said {
                refuse_axis(key, statement.field, source)?;
                let own = of(block.rows, block.labels.count, key);
                match at {
                    0 if structure.blocks.len() > 1 => {
                        claim(key, statement.field, &[own, all(key)], source)?
                    }
                    _ => claim(key, statement.field, &[own], source)?,
                }
            }
        }
    }
    for statement in &structure.trailer {
        if let Said::Count(key) = statement.said {
            claim(key, statement.field, &[all(key)], source)?;
        }
    }
    Ok(())
}
