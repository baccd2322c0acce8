//! What the titles of a file say of their blocks, with every contradiction refused.

use super::agree::{only, refuse_guesses, state};
use super::sections::{KINDS, Kind, inherit};
use super::{Said, Statement};
use crate::intake::source::Source;
use crate::intake::text::clip::Clip;
use crate::intake::text::entries;
use crate::intake::text::meaning::{Meaning, UnitText, ValueName};
use crate::intake::text::table::{Field, Heading};
use crate::intake::text::tokens::Tokens;
use crate::intake::text::unit::Unit;
use crate::intake::text::word::{Part, What};
use crate::{Error, Frequency, Polarisation, Result};

/// Something stated, and where.
#[derive(Clone, Copy, Debug)]
pub struct Stated<'a, T> {
    /// What.
    pub value: T,
    /// Where.
    pub field: Field<'a>,
}

/// What holds for one block.
#[derive(Clone, Debug, Default)]
pub struct Facts<'a> {
    /// The quantity.
    pub what: Option<Stated<'a, What>>,
    /// The unit of the values.
    pub unit: Option<Stated<'a, Unit>>,
    /// The polarisation.
    pub polarisation: Option<Stated<'a, Polarisation>>,
    /// The part of a field.
    pub part: Option<Stated<'a, Part>>,
    /// The frequency.
    pub frequency: Option<Stated<'a, Frequency>>,
    /// The fixed angle: its name; the field is the text of its number, with its unit if the name has none.
    pub angle: Option<Stated<'a, (Meaning, UnitText, &'a str)>>,
    /// Words that name the values.
    pub name: Option<Field<'a>>,
    /// A person said that the block is left out.
    pub ignored: bool,
    /// A number that stands for a frequency.
    pub channel: Option<Field<'a>>,
    /// Polarisation or part are said in one name with the quantity.
    in_name: bool,
}

impl<'a> Facts<'a> {
    /// What holds for each block, from its title and from those above it.
    ///
    /// # Errors
    /// Input: titles that contradict themselves, or say what is nothing. Ambiguous: words with several meanings.
    pub fn all(
        titles: &[Vec<Statement<'a>>],
        tokens: &Tokens,
        decimal: u8,
        source: &Source,
    ) -> Result<Vec<Self>> {
        refuse_guesses(titles, source)?;
        let mut own = Vec::with_capacity(titles.len());
        for title in titles {
            let mut facts = Self::default();
            for statement in title {
                facts.add(statement, tokens, decimal, source)?;
            }
            own.push(facts);
        }
        let order: Vec<Vec<Kind>> = titles.iter().zip(&own).map(|(t, f)| f.order(t)).collect();
        let sources = inherit(&order);
        let (what, unit) = (
            only(&own, source, "quantity", What::word, |f| f.what)?,
            own.iter().find_map(|f| f.unit),
        );
        let one_unit = own
            .iter()
            .filter_map(|f| f.unit)
            .all(|u| unit.is_some_and(|first| first.value == u.value));
        let found = own.iter().zip(&sources).map(|(facts, from)| {
            let from = |kind: Kind| from[kind as usize].and_then(|at| own.get(at));
            // Below `EIRP theta`, `EIRP` may be anything: it is another name.
            let for_name = |kind: Kind| {
                from(kind).filter(|f| !f.in_name || facts.in_name || facts.what.is_none())
            };
            Self {
                what: facts.what.or(what),
                unit: facts.unit.or(unit.filter(|_| one_unit)),
                frequency: from(Kind::Frequency).and_then(|f| f.frequency),
                polarisation: for_name(Kind::Polarisation).and_then(|f| f.polarisation),
                part: for_name(Kind::Part).and_then(|f| f.part),
                angle: from(Kind::Angle).and_then(|f| f.angle.clone()),
                ..facts.clone()
            }
        });
        Ok(found.collect())
    }

    /// The kinds that the title says, in its order.
    fn order(&self, title: &[Statement<'_>]) -> Vec<Kind> {
        let mut order = Vec::with_capacity(KINDS);
        for statement in title {
            let kinds: &[Option<Kind>] = match &statement.said {
                Said::Frequency(_) => &[Some(Kind::Frequency)],
                Said::Polarisation => &[Some(Kind::Polarisation)],
                Said::Angle(_) => &[Some(Kind::Angle)],
                Said::Values(heading) => match heading.meaning {
                    Meaning::Value(name) => &[
                        name.frequency.map(|_| Kind::Frequency),
                        name.polarisation.map(|_| Kind::Polarisation),
                        name.part.map(|_| Kind::Part),
                    ],
                    _ => &[],
                },
                _ => &[],
            };
            for kind in kinds.iter().flatten() {
                if !order.contains(kind) {
                    order.push(*kind);
                }
            }
        }
        order
    }

    fn add(
        &mut self,
        statement: &Statement<'a>,
        tokens: &Tokens,
        decimal: u8,
        source: &Source,
    ) -> Result<()> {
        let field = statement.field;
        match &statement.said {
            Said::Values(heading) => self.values(heading, source),
            Said::Polarisation => {
                let Some(value) = tokens.of(field.text) else {
                    return Err(tokens.refuse(field.text).at(field.place(source)));
                };
                state(&mut self.polarisation, value, field, source)
            }
            Said::Frequency(unit) => {
                let frequency = entries::frequency_of(field.text, unit, decimal);
                let frequency = frequency.map_err(|e| e.at(field.place(source)))?;
                state(&mut self.frequency, frequency, field, source)
            }
            Said::Angle(name) => {
                let value = (name.meaning, name.unit.clone(), name.text());
                match &self.angle {
                    Some(first) if first.value.0 != value.0 || first.field.text != field.text => {
                        Err(Error::input(format!(
                            "the title fixes {} = {}, and {} = {} in line {}",
                            Clip(value.2),
                            Clip(field.text),
                            Clip(first.value.2),
                            Clip(first.field.text),
                            first.field.spot.map_or(0, |s| s.line.number)
                        ))
                        .hint("a cut fixes one angle; each cut has its rows below its title")
                        .at(field.place(source)))
                    }
                    _ => {
                        self.angle = Some(Stated { value, field });
                        Ok(())
                    }
                }
            }
            Said::Channel => {
                self.channel = Some(field);
                Ok(())
            }
            Said::Axis { .. } | Said::Count(_) | Said::Label | Said::Entry(_) | Said::Remark => {
                Ok(())
            }
        }
    }

    fn values(&mut self, heading: &Heading<'a>, source: &Source) -> Result<()> {
        let field = heading.field;
        self.name.get_or_insert(field);
        let name = match heading.meaning {
            Meaning::Value(name) => name,
            Meaning::Ignore => {
                self.ignored = true;
                return Ok(());
            }
            _ => return Ok(()),
        };
        if name.what != What::Unsaid {
            state(&mut self.what, name.what, field, source)?;
        }
        self.in_name |=
            name.what != What::Unsaid && (name.polarisation.is_some() || name.part.is_some());
        if let Some(polarisation) = name.polarisation {
            state(&mut self.polarisation, polarisation, field, source)?;
        }
        if let Some(part) = name.part {
            state(&mut self.part, part, field, source)?;
        }
        if let Some(frequency) = name.frequency {
            state(&mut self.frequency, frequency, field, source)?;
        }
        match &heading.unit {
            UnitText::None => Ok(()),
            UnitText::Known(unit) => state(&mut self.unit, *unit, field, source),
            UnitText::Unknown(text) => Err(Error::input(format!(
                "{:?} is not a unit of values",
                Clip(text)
            ))
            .hint("possible units: dBm, dBW, W, mW, µW; dBi, dB, 1; sqrtW, V")
            .at(field.place(source))),
        }
    }

    /// What the block's values are, as a heading says it. `field` stands for the words, where the title has none.
    #[must_use]
    pub fn heading(&self, field: Field<'a>) -> Heading<'a> {
        let field = self
            .name
            .or(self.polarisation.map(|p| p.field))
            .unwrap_or(field);
        let name = ValueName {
            what: self.what.map_or(What::Unsaid, |w| w.value),
            polarisation: self.polarisation.map(|p| p.value),
            part: self.part.map(|p| p.value),
            frequency: None,
        };
        let unit = self
            .unit
            .map_or(UnitText::None, |u| UnitText::Known(u.value));
        match self.ignored {
            true => Heading::new(field, Meaning::Ignore, UnitText::None),
            false => Heading::new(field, Meaning::Value(name), unit),
        }
    }

    /// Refuses a number that stands for a frequency, where no frequency is known.
    ///
    /// # Errors
    /// Ambiguous.
    pub fn refuse_channel(&self, source: &Source) -> Result<()> {
        match (self.channel, self.frequency) {
            (Some(field), None) => Err(Error::ambiguous(format!(
                "{} may count channels, and does not say their frequencies",
                Clip(field.text)
            ))
            .hint("write the frequency into each title, such as `frequency: 868.3 MHz`")
            .at(field.place(source))),
            _ => Ok(()),
        }
    }
}
