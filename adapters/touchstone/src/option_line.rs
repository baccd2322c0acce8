//! The option line: `# GHz S MA R 50`.

use crate::number::resistance;
use crate::word::Word;
use spheresum_core::Result;
use spheresum_core::intake::Source;
use spheresum_core::model::Parameter;
use spheresum_core::unit::frequency::FrequencyUnit;

/// How a complex value is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Format {
    /// Real and imaginary part.
    Ri,
    /// Magnitude, and angle in degrees.
    Ma,
    /// 20·log10 of the magnitude, and angle in degrees.
    Db,
}

/// A word of the option line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Part {
    /// Unit of the frequencies.
    Unit(FrequencyUnit),
    /// Which parameter.
    Parameter(Parameter),
    /// How values are written.
    Format(Format),
    /// `R`: resistances follow.
    Reference,
}

impl Part {
    /// The part that a word is, in any case.
    pub(crate) fn of(text: &str) -> Option<Self> {
        Some(match text.to_ascii_lowercase().as_str() {
            "hz" => Self::Unit(FrequencyUnit::Hz),
            "khz" => Self::Unit(FrequencyUnit::Khz),
            "mhz" => Self::Unit(FrequencyUnit::Mhz),
            "ghz" => Self::Unit(FrequencyUnit::Ghz),
            "s" => Self::Parameter(Parameter::S),
            "y" => Self::Parameter(Parameter::Y),
            "z" => Self::Parameter(Parameter::Z),
            "h" => Self::Parameter(Parameter::H),
            "g" => Self::Parameter(Parameter::G),
            "ri" => Self::Format(Format::Ri),
            "ma" => Self::Format(Format::Ma),
            "db" => Self::Format(Format::Db),
            "r" => Self::Reference,
            _ => return None,
        })
    }
}

/// An option line. What it leaves out is GHz, S, MA, 50 ohm.
#[derive(Clone, Debug)]
pub(crate) struct OptionLine<'a> {
    /// Unit of the frequencies.
    pub(crate) unit: FrequencyUnit,
    /// Which parameter.
    pub(crate) parameter: Parameter,
    /// How values are written.
    pub(crate) format: Format,
    /// Reference resistances, ohm: one, or one a port.
    pub(crate) reference: Vec<f64>,
    /// The parameter's word, or the whole line.
    pub(crate) parameter_word: Word<'a>,
    /// The word `R`, or the whole line.
    pub(crate) reference_word: Word<'a>,
}

impl<'a> OptionLine<'a> {
    /// Reads the words behind `#`; `whole` is the line.
    ///
    /// # Errors
    /// Input: an unknown word, two of a kind, or `R` without a resistance.
    pub(crate) fn of(whole: Word<'a>, words: &[Word<'a>], source: &Source) -> Result<Self> {
        let mut line = Self {
            unit: FrequencyUnit::Ghz,
            parameter: Parameter::S,
            format: Format::Ma,
            reference: Vec::new(),
            parameter_word: whole,
            reference_word: whole,
        };
        let mut kinds = Vec::new();
        let mut rest = words;
        while let Some((word, behind)) = rest.split_first() {
            rest = behind;
            let Some(part) = Part::of(word.text()) else {
                return Err(word.wrong(
                    source,
                    format!("{} is no word of the option line", word.shown()),
                    "write the frequency unit (Hz, kHz, MHz, GHz), the parameter (S, Y, Z, H, G), the format (DB, MA, RI), \
                     and R with the reference in ohm, such as # MHz S RI R 50; a comment starts with !",
                ));
            };
            let kind = std::mem::discriminant(&part);
            if kinds.contains(&kind) {
                return Err(word.wrong(
                    source,
                    format!(
                        "{} is the second of its kind in the option line",
                        word.shown()
                    ),
                    "give one frequency unit, one parameter, one format and one R",
                ));
            }
            kinds.push(kind);
            match part {
                Part::Unit(unit) => line.unit = unit,
                Part::Format(format) => line.format = format,
                Part::Parameter(parameter) => {
                    line.parameter = parameter;
                    line.parameter_word = *word;
                }
                Part::Reference => {
                    line.reference_word = *word;
                    let many = rest.iter().take_while(|w| Part::of(w.text()).is_none());
                    for word in many {
                        line.reference.push(resistance(*word, source)?);
                    }
                    if line.reference.is_empty() {
                        return Err(word.wrong(
                            source,
                            "R stands without a resistance",
                            "write R and the reference in ohm, such as R 50",
                        ));
                    }
                    rest = rest.get(line.reference.len()..).unwrap_or_default();
                }
            }
        }
        if line.reference.is_empty() {
            line.reference.push(50.0);
        }
        Ok(line)
    }
}
