//! The adapter contract: describe, look, read.

use crate::error::Result;
use crate::finding::Finding;
use crate::intake::feed::Pieces;
use crate::intake::source::Source;
use crate::limits::Limits;
use crate::model::{Curve, Polarisation, Quantity, Readings};
use crate::unit::Frequency;
use std::collections::BTreeMap;

/// What an adapter can hand over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Yield {
    /// Readings only.
    Readings,
    /// A curve only.
    Curve,
    /// Either, as the file has it.
    Either,
}

/// Static description of an adapter.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Description {
    /// Short id in kebab case, unique in a registry.
    pub id: String,
    /// One line on what it reads.
    pub name: String,
    /// What it hands over.
    pub yields: Yield,
    /// The quantities it can yield, by their words.
    pub quantities: Vec<String>,
    /// Where the format is specified.
    pub specification: String,
}

impl Description {
    /// A description; `id` in kebab case.
    #[must_use]
    pub fn new(id: &str, name: &str, yields: Yield) -> Self {
        Self {
            id: id.to_string(),
            name: name.to_string(),
            yields,
            quantities: Vec::new(),
            specification: String::new(),
        }
    }

    /// With the quantities it can yield.
    #[must_use]
    pub fn with_quantities(mut self, quantities: &[&str]) -> Self {
        self.quantities = quantities.iter().map(ToString::to_string).collect();
        self
    }

    /// With where the format is specified.
    #[must_use]
    pub fn with_specification(mut self, specification: &str) -> Self {
        self.specification = specification.to_string();
        self
    }
}

/// What an adapter may look at before it says whether a file is its own.
#[derive(Clone, Copy, Debug)]
#[non_exhaustive]
pub struct Head<'a> {
    /// Name of the file without `.gz`, a hint at most.
    pub name: &'a str,
    /// The first 64 KiB of decoded text, cut at a character.
    pub text: &'a str,
}

impl<'a> Head<'a> {
    /// Most bytes of text an adapter is shown.
    pub const MAX_BYTES: usize = 64 * 1024;

    /// The head of a source.
    #[must_use]
    pub fn of(source: &'a Source) -> Self {
        let text = source.text();
        Self {
            name: source.name_hint(),
            text: &text[..text.floor_char_boundary(Self::MAX_BYTES)],
        }
    }
}

/// How sure an adapter is that a file is its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[repr(u8)]
pub enum Confidence {
    /// Not mine.
    None = 0,
    /// Could be.
    Maybe = 1,
    /// Looks like mine.
    Likely = 2,
    /// Mine.
    Certain = 3,
}

/// Result of a look: how sure, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Look {
    /// How sure.
    pub confidence: Confidence,
    /// Why, one short line.
    pub reason: String,
}

impl Look {
    /// A result with its reason.
    #[must_use]
    pub fn new(confidence: Confidence, reason: impl Into<String>) -> Self {
        Self {
            confidence,
            reason: reason.into(),
        }
    }
}

/// Options of a read: what the file leaves out, or what a person decides for it.
#[derive(Clone, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct ReadOptions {
    /// Frequency of a file that names none.
    pub frequency: Option<Frequency>,
    /// Polarisation of a file that holds one and does not say which.
    pub polarisation: Option<Polarisation>,
    /// Options by name that one adapter understands (`separator`, `decimal`, `column …`); an adapter refuses what it does not know.
    pub named: BTreeMap<String, String>,
    /// Threads that a read may use, its own included; 0 and 1 mean that it starts none. The result is the same.
    pub threads: usize,
}

impl ReadOptions {
    /// With the frequency of a file that names none.
    #[must_use]
    pub fn with_frequency(mut self, frequency: Frequency) -> Self {
        self.frequency = Some(frequency);
        self
    }

    /// With the polarisation of a file that does not say which it holds.
    #[must_use]
    pub fn with_polarisation(mut self, polarisation: Polarisation) -> Self {
        self.polarisation = Some(polarisation);
        self
    }

    /// With the number of threads that a read may use.
    #[must_use]
    pub fn with_threads(mut self, threads: usize) -> Self {
        self.threads = threads;
        self
    }

    /// With an option by name.
    #[must_use]
    pub fn with_named(mut self, name: &str, value: &str) -> Self {
        self.named.insert(name.to_string(), value.to_string());
        self
    }
}

/// What a read hands over.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Intake {
    /// Readings, where the file has directions.
    pub readings: Option<Readings>,
    /// A curve, where it has none.
    pub curve: Option<Curve>,
    /// What the adapter found remarkable or decided.
    pub findings: Vec<Finding>,
}

impl Intake {
    /// An intake of readings.
    #[must_use]
    pub fn of_readings(readings: Readings, findings: Vec<Finding>) -> Self {
        Self {
            readings: Some(readings),
            curve: None,
            findings,
        }
    }

    /// An intake of a curve.
    #[must_use]
    pub fn of_curve(curve: Curve, findings: Vec<Finding>) -> Self {
        Self {
            readings: None,
            curve: Some(curve),
            findings,
        }
    }

    /// The quantity, or `curve`.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        self.readings
            .as_ref()
            .map(Readings::quantity)
            .map_or("curve", Quantity::as_str)
    }
}

/// An adapter turns the text of one format family into readings or a curve.
///
/// # For adapter authors
/// `look` must not fail and must not claim what other formats could also be: say `Likely` only where something in the
/// text is particular to the format. `read` gives every error a [`crate::Place`] with line and column
/// ([`Source::place`]) and a hint, honours `limits`, and refuses named options that it does not know. It converts to linear
/// units ([`crate::unit::level`]) and hands over angles as they are written; folding, snapping and averaging are not its work.
///
/// A whole adapter, for lines `theta/phi/dBm of the total`:
///
/// ```
/// use spheresum_core::intake::{Adapter, Confidence, Description, Head, Intake, Look, ReadOptions, Source, Yield};
/// use spheresum_core::unit::level::w_from_dbm;
/// use spheresum_core::{Error, Limits, Mark, Polarisation, Quantity, Reading, Readings, Result, Value};
///
/// struct Slashes(Description);
///
/// impl Adapter for Slashes {
///     fn describe(&self) -> &Description {
///         &self.0
///     }
///
///     fn look(&self, head: &Head<'_>) -> Look {
///         match head.text.lines().next() {
///             Some(line) if line.split('/').count() == 3 => Look::new(Confidence::Likely, "three numbers between slashes"),
///             _ => Look::new(Confidence::None, "the first line has no two slashes"),
///         }
///     }
///
///     fn read(&self, source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
///         let mut readings = Readings::new(source.name(), Quantity::Eirp, limits);
///         let frequency = readings.frequency_index(options.frequency, limits)?;
///         for line in source.lines().filter(|l| !l.text.trim().is_empty()) {
///             let numbers: Vec<f64> = line.text.split('/').map_while(|t| t.trim().parse().ok()).collect();
///             let &[theta_deg, phi_deg, dbm] = numbers.as_slice() else {
///                 return Err(Error::input("the line is not three numbers between slashes")
///                     .hint("write theta/phi/dBm, such as 30/45/-12.5")
///                     .at(source.place(line, 0, line.text.len())));
///             };
///             readings.push(Reading {
///                 frequency,
///                 theta_deg,
///                 phi_deg,
///                 polarisation: Polarisation::Total,
///                 value: Value::Power(w_from_dbm(dbm)),
///                 mark: Mark::Exact,
///                 line: u32::try_from(line.number).unwrap_or(0),
///             })?;
///         }
///         Ok(Intake::of_readings(readings, Vec::new()))
///     }
/// }
///
/// let mut registry = spheresum_core::intake::Registry::new();
/// registry.add(Slashes(Description::new("slashes", "total power between slashes", Yield::Readings)))?;
/// let source = Source::from_text("a.txt", "0/0/-3\n30/oops/-3\n", &Limits::default())?;
/// let error = registry.read(&source, None, &Limits::default(), &ReadOptions::default()).unwrap_err();
/// assert_eq!(error.place().and_then(|p| p.line), Some(2));
/// # Ok::<(), Error>(())
/// ```
pub trait Adapter: Send + Sync {
    /// Describes itself. Always the same.
    fn describe(&self) -> &Description;

    /// Looks at the head of a file and says how sure it is, and why.
    fn look(&self, head: &Head<'_>) -> Look;

    /// Reads a source.
    ///
    /// # Errors
    /// Input, Ambiguous, Unsupported and Limit with a place; Usage for options it does not know.
    fn read(&self, source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake>;

    /// Reads a long text piece by piece, so that it need not be held: `first` are its first lines. What comes of it is what
    /// [`Adapter::read`] gives of the whole text, errors included; what stands behind an error need not be looked at. `None` where that cannot be promised, or is not worth it: then
    /// the text is read whole. So it is unless an adapter says otherwise.
    ///
    /// # Errors
    /// Those of [`Adapter::read`] and [`Pieces::next`].
    fn read_pieces(
        &self,
        first: &Source,
        pieces: &mut Pieces<'_>,
        limits: &Limits,
        options: &ReadOptions,
    ) -> Result<Option<Intake>> {
        let _ = (first, pieces, limits, options);
        Ok(None)
    }
}
