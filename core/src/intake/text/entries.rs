//! What a file says beside its values: `key: value` lines, most of them comments.

use crate::intake::Source;
use crate::intake::source::Line;
use crate::intake::text::choices;
use crate::intake::text::explain;
use crate::intake::text::field;
use crate::intake::text::meaning::{Meaning, UnitText, classify};
use crate::intake::text::unit::Unit;
use crate::intake::text::word::What;
use crate::{Error, Frequency, Limits, Place, Result};

/// A `key: value` of the file and where its value stands.
#[derive(Clone, Copy, Debug)]
pub struct Entry<'a> {
    /// The key.
    pub key: &'a str,
    /// The value.
    pub value: &'a str,
    /// Its line.
    pub line: Line<'a>,
}

impl<'a> Entry<'a> {
    /// The entry of a line: a comment, or a bare line where `bare` allows one.
    pub fn of(line: Line<'a>, bare: bool) -> Option<Self> {
        let body = match field::comment(line.text) {
            Some(body) => body,
            None if bare => line.text,
            None => return None,
        };
        field::key_value(body).map(|(key, value)| Self { key, value, line })
    }

    /// Place of the value.
    pub fn place(&self, source: &Source) -> Place {
        // The value is a part of the line's text; the key never contains it whole behind its colon. Where the file writes it in
        // another way than it reads (escapes), the text ends where the value starts.
        let text = self.line.text;
        let start = text.rfind(self.value).unwrap_or(text.len());
        source
            .place(self.line, start, start + self.value.len())
            .with_field(self.key)
    }

    /// What the key means.
    pub fn known(&self) -> Option<Key> {
        let key = self.key.to_lowercase();
        match key.as_str() {
            "quantity" => return Some(Key::Quantity),
            "unit" | "units" => return Some(Key::Unit),
            "angles" => return Some(Key::Angles),
            "rows" | "points" | "readings" => return Some(Key::Rows),
            // `time: 12:30` is a remark, `time: exp(-jwt)` is a convention.
            "time" => return time_sign(self.value).map(|_| Key::Time),
            _ => {}
        }
        match classify(self.key) {
            (Meaning::Frequency, _) => Some(Key::Frequency),
            (Meaning::Polarisation, UnitText::None) => Some(Key::Polarisation),
            _ => None,
        }
    }
}

/// The error of an entry beyond the limit.
pub(super) fn too_many(entry: &Entry<'_>, source: &Source, limits: &Limits) -> Error {
    let most = limits.max_entries.min(Entries::MOST);
    Error::limit(format!("more than {most} entries of the form `key: value`"))
        .hint("raise the limit on entries, or check that this is a file of readings")
        .at(entry.place(source))
}

/// Keys that mean something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Key {
    /// Frequency of all rows.
    Frequency,
    /// What values are whose names leave it open.
    Quantity,
    /// Polarisation of values whose names do not say it.
    Polarisation,
    /// Time convention of fields.
    Time,
    /// Number of lines with data.
    Rows,
    /// Unit of angles without one.
    Angles,
    /// Unit of values without one.
    Unit,
}

/// Number of keys in [`Key`].
const KEYS: usize = 7;

/// The entries of a file.
#[derive(Clone, Debug, Default)]
pub struct Entries<'a> {
    /// All entries in order.
    pub all: Vec<Entry<'a>>,
    known: [Option<Entry<'a>>; KEYS],
}

impl<'a> Entries<'a> {
    /// Most entries that are kept. A file with more is refused, whatever the limits say.
    pub const MOST: usize = 1 << 17;

    /// Keeps an entry, unless there are too many already: so that a file of nothing but entries costs no memory before it is refused.
    pub fn keep(all: &mut Vec<Entry<'a>>, entry: Entry<'a>) {
        if all.len() <= Self::MOST {
            all.push(entry);
        }
    }

    /// Refuses more entries than the limits allow.
    ///
    /// # Errors
    /// Limit, at the first one too many.
    pub fn refuse_many(&self, source: &Source, limits: &Limits) -> Result<()> {
        match self.all.get(limits.max_entries.min(Self::MOST)) {
            Some(entry) => Err(too_many(entry, source, limits)),
            None => Ok(()),
        }
    }

    /// Sorts the entries by key.
    ///
    /// # Errors
    /// Input: a key that matters is there twice with different values.
    pub fn index(&mut self, source: &Source) -> Result<()> {
        for entry in self.all.clone() {
            let Some(key) = entry.known() else { continue };
            match &self.known[key as usize] {
                Some(first) if first.value != entry.value || first.key != entry.key => {
                    return Err(Error::input(format!(
                        "{}: {} contradicts {}: {} in line {}",
                        entry.key, entry.value, first.key, first.value, first.line.number
                    ))
                    .hint("keep one of the two lines")
                    .at(entry.place(source)));
                }
                _ => self.known[key as usize] = Some(entry),
            }
        }
        Ok(())
    }

    /// The entry of a key.
    pub fn get(&self, key: Key) -> Option<Entry<'a>> {
        self.known[key as usize]
    }

    /// The frequency the preamble gives.
    ///
    /// # Errors
    /// Input: not a frequency. Ambiguous: no unit.
    pub fn frequency(
        &self,
        source: &Source,
        decimal: u8,
    ) -> Result<Option<(Frequency, Entry<'a>)>> {
        let Some(entry) = self.get(Key::Frequency) else {
            return Ok(None);
        };
        match frequency_of(entry.value, &classify(entry.key).1, decimal) {
            Ok(frequency) => Ok(Some((frequency, entry))),
            Err(e) => Err(e.at(entry.place(source))),
        }
    }

    /// The quantity the preamble gives.
    ///
    /// # Errors
    /// Input: not a quantity.
    pub fn quantity(&self, source: &Source) -> Result<Option<(What, Entry<'a>)>> {
        self.word(
            Key::Quantity,
            source,
            choices::quantity,
            choices::QUANTITIES,
        )
    }

    /// The unit of values the preamble gives.
    ///
    /// # Errors
    /// Input: not a unit of values.
    pub fn unit(&self, source: &Source) -> Result<Option<Unit>> {
        let found = self.word(Key::Unit, source, choices::value_unit, choices::VALUE_UNITS)?;
        Ok(found.map(|(unit, _)| unit))
    }

    /// The unit of angles the preamble gives.
    ///
    /// # Errors
    /// Input: neither degrees nor radians.
    pub fn angles(&self, source: &Source) -> Result<Option<Unit>> {
        let found = self.word(Key::Angles, source, choices::angle_unit, "deg, rad")?;
        Ok(found.map(|(unit, _)| unit))
    }

    fn word<T>(
        &self,
        key: Key,
        source: &Source,
        read: impl Fn(&str) -> Option<T>,
        possible: &str,
    ) -> Result<Option<(T, Entry<'a>)>> {
        let Some(entry) = self.get(key) else {
            return Ok(None);
        };
        match read(entry.value) {
            Some(value) => Ok(Some((value, entry))),
            None => Err(Error::input(format!(
                "{:?} is no value of the key {}",
                entry.value, entry.key
            ))
            .hint(format!("possible: {possible}"))
            .at(entry.place(source))),
        }
    }

    /// True where fields follow e^{−jωt} and have to be conjugated.
    ///
    /// # Errors
    /// Input: an exponential that is no time convention.
    pub fn conjugate(&self, source: &Source) -> Result<bool> {
        let Some(entry) = self.get(Key::Time) else {
            return Ok(false);
        };
        match time_sign(entry.value) {
            Some(Some(negative)) => Ok(negative),
            _ => Err(
                Error::input(format!("{:?} is not a time convention", entry.value))
                    .hint("write `time: exp(-jwt)` or `time: exp(+jwt)`")
                    .at(entry.place(source)),
            ),
        }
    }
}

/// The frequency of a text such as `868.3 MHz`, whose unit may stand in its key instead. The error has no place.
///
/// # Errors
/// Input: not a frequency. Ambiguous: no unit.
pub fn frequency_of(text: &str, key_unit: &UnitText, decimal: u8) -> Result<Frequency> {
    let Some((number, unit_text)) = field::number_and_unit(text) else {
        return Err(Error::input(format!("{text:?} is not a frequency"))
            .hint("write `frequency: 868.3 MHz`"));
    };
    let unit = match (key_unit, unit_text) {
        (UnitText::None, "") => {
            return Err(
                Error::ambiguous(format!("the frequency {number} has no unit"))
                    .hint("write Hz, kHz, MHz or GHz behind the number"),
            );
        }
        (known, "") => known.known(),
        (UnitText::None, text) => Unit::parse(text),
        (known, text) => known.known().filter(|u| Unit::parse(text) == Some(*u)),
    };
    let Some(Unit::Frequency(unit)) = unit else {
        return Err(Error::input(format!(
            "{unit_text:?} is not a unit of frequency, or not the one of its key"
        ))
        .hint("write Hz, kHz, MHz or GHz, once"));
    };
    explain::frequency(number, own_sign(number, decimal), unit)
}

/// The decimal sign of a number in an entry or a title, which other hands may have written than the rows: `868.3` stands above
/// rows with decimal commas. Only where it cannot be anything else; three digits behind the other sign may be thousands.
fn own_sign(number: &str, decimal: u8) -> u8 {
    let other = if decimal == b',' { b'.' } else { b',' };
    match number.split_once(char::from(other)) {
        Some((whole, behind))
            if behind.len() != 3
                && !behind.is_empty()
                && behind.bytes().all(|b| b.is_ascii_digit())
                && whole
                    .trim_start_matches(['-', '+'])
                    .bytes()
                    .all(|b| b.is_ascii_digit()) =>
        {
            other
        }
        _ => decimal,
    }
}

/// `None` where a text is no exponential at all; otherwise its sign (true for minus), if it is a time convention.
fn time_sign(text: &str) -> Option<Option<bool>> {
    let text: String = text
        .to_lowercase()
        .chars()
        .filter(|c| !c.is_whitespace())
        .collect();
    let body = text
        .strip_prefix("exp")
        .or_else(|| text.strip_prefix("e^"))?;
    let body: String = body
        .chars()
        .filter(|c| !matches!(c, '(' | ')' | '{' | '}'))
        .collect();
    let negative = body.starts_with(['-', '−']);
    let convention = matches!(
        body.trim_start_matches(['-', '+', '−']),
        "jwt" | "jωt" | "iwt" | "iωt"
    );
    Some(convention.then_some(negative))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_entry_has_its_own_decimal_sign() {
        let of = |text: &str, decimal| {
            frequency_of(text, &UnitText::None, decimal)
                .ok()
                .map(Frequency::mhz)
        };
        assert_eq!(of("868.3 MHz", b','), Some(868.3));
        assert_eq!(of("868,3 MHz", b'.'), Some(868.3));
        assert_eq!(of("868.3 MHz", b'.'), Some(868.3));
        // May be 868 300 kHz, or 868.3 kHz.
        assert_eq!(of("868.300 kHz", b','), None);
        assert_eq!(of("1.868,3 MHz", b'.'), None);
        assert_eq!(of("868.3.1 MHz", b','), None);
    }

    #[test]
    fn time_conventions() {
        assert_eq!(time_sign("exp(-jwt)"), Some(Some(true)));
        assert_eq!(time_sign("exp(+jwt)"), Some(Some(false)));
        assert_eq!(time_sign("e^{jωt}"), Some(Some(false)));
        assert_eq!(time_sign("exp(-kr)"), Some(None));
        assert_eq!(time_sign("12:30"), None);
    }
}
