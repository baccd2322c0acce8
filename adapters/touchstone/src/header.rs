//! What stands above the data: the option line, and the keywords of version 2.

use crate::keyword::Keyword;
use crate::named::MOST_PORTS;
use crate::number::resistance;
use crate::option_line::OptionLine;
use crate::plan::{Matrix, Order};
use crate::word::Word;
use spheresum_core::intake::Source;
use spheresum_core::{Error, Finding, Result};

/// Numbers that stand where the keyword says how many follow.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Claim<'a> {
    /// The number.
    pub(crate) count: u64,
    /// Where it stands.
    pub(crate) word: Word<'a>,
}

/// What the head of a file says.
#[derive(Clone, Debug, Default)]
pub(crate) struct Header<'a> {
    /// True for version 2.
    pub(crate) is_version_2: bool,
    /// The option line.
    pub(crate) options: Option<OptionLine<'a>>,
    /// Number of ports, 1 to 4, and where it stands.
    pub(crate) ports: Option<(usize, Word<'a>)>,
    /// Order of the two transfers of a two-port, and where it stands.
    pub(crate) order: Option<(Order, Word<'a>)>,
    /// Which part of the matrix is written.
    pub(crate) matrix: Matrix,
    /// Claimed number of frequencies.
    pub(crate) frequencies: Option<Claim<'a>>,
    /// Claimed number of noise frequencies.
    pub(crate) noise_frequencies: Option<Claim<'a>>,
    /// The word `[Reference]`, and the resistances, ohm.
    pub(crate) reference: Option<(Word<'a>, Vec<f64>)>,
    /// Keywords that were there, with their lines.
    seen: Vec<(Keyword, u64)>,
    /// True where numbers of the next line may belong to `[Reference]`.
    reference_goes_on: bool,
}

impl<'a> Header<'a> {
    /// Takes a keyword with what stands behind it. Gives a remark where there is one.
    ///
    /// # Errors
    /// Input: there twice, or without its value. Unsupported: a version, a number of ports or mixed modes that this does not read.
    pub(crate) fn keyword(
        &mut self,
        keyword: Keyword,
        name: Word<'a>,
        values: &[Word<'a>],
        source: &Source,
    ) -> Result<Option<Finding>> {
        if let Some((_, line)) = self.seen.iter().find(|(k, _)| *k == keyword) {
            let message = format!("{} stands in line {line} already", keyword.text());
            return Err(name.wrong(source, message, "keep one of the two"));
        }
        self.seen.push((keyword, name.line()));
        self.reference_goes_on = keyword == Keyword::Reference;
        match keyword {
            Keyword::Version => return self.version(one(name, values, source)?, source),
            Keyword::Ports => self.ports = Some(ports(one(name, values, source)?, source)?),
            Keyword::Order => self.order = Some(order(one(name, values, source)?, source)?),
            Keyword::Matrix => self.matrix = matrix(one(name, values, source)?, source)?,
            Keyword::Frequencies => {
                self.frequencies = Some(claim(one(name, values, source)?, source)?);
            }
            Keyword::NoiseFrequencies => {
                self.noise_frequencies = Some(claim(one(name, values, source)?, source)?);
            }
            Keyword::Reference => {
                let ohm: Result<Vec<f64>> = values.iter().map(|w| resistance(*w, source)).collect();
                self.reference = Some((name, ohm?));
            }
            Keyword::MixedMode => {
                return Err(Error::unsupported("mixed-mode parameters are not read")
                    .hint("export the network as single-ended parameters, one port a terminal")
                    .at(name.place(source)));
            }
            _ => {}
        }
        Ok(None)
    }

    fn version(&mut self, value: Word<'a>, source: &Source) -> Result<Option<Finding>> {
        self.is_version_2 = true;
        match value.text() {
            "2.0" => Ok(None),
            "2.1" => Ok(Some(
                Finding::note(
                    "version-2.1",
                    "the file is of version 2.1, and is read as version 2.0",
                )
                .at(value.place(source))
                .advice("check a value or two if the file uses what came with version 2.1"),
            )),
            _ => Err(
                Error::unsupported(format!("version {} is not read", value.shown()))
                    .hint(
                        "versions 2.0 and 2.1 are read; a file of version 1 has no [Version] line",
                    )
                    .at(value.place(source)),
            ),
        }
    }

    /// Takes numbers of a line above the data: they can only go on with `[Reference]`.
    ///
    /// # Errors
    /// Input: they belong to nothing.
    pub(crate) fn numbers(&mut self, words: &[Word<'a>], source: &Source) -> Result<()> {
        let first = words.first();
        match (&mut self.reference, first) {
            (Some((_, ohm)), Some(_)) if self.reference_goes_on && ohm.len() < MOST_PORTS => {
                for word in words {
                    ohm.push(resistance(*word, source)?);
                }
                Ok(())
            }
            (_, Some(word)) => Err(word.wrong(
                source,
                format!("{} stands above [Network Data]", word.shown()),
                "data begin behind a line [Network Data]; numbers may also go on with [Reference] on the line behind it",
            )),
            (_, None) => Ok(()),
        }
    }
}

/// The one value of a keyword.
fn one<'a>(name: Word<'a>, values: &[Word<'a>], source: &Source) -> Result<Word<'a>> {
    match values {
        [value] => Ok(*value),
        [] => Err(name.wrong(
            source,
            format!("{} has no value", name.text()),
            format!(
                "write its value behind it on the same line, such as {}",
                example(name.text())
            ),
        )),
        [_, second, ..] => Err(second.wrong(
            source,
            format!("{} has more than one value", name.text()),
            "write one value; a comment starts with !",
        )),
    }
}

fn example(name: &str) -> &'static str {
    match Keyword::of(name) {
        Some(Keyword::Version) => "[Version] 2.0",
        Some(Keyword::Order) => "[Two-Port Data Order] 21_12",
        Some(Keyword::Matrix) => "[Matrix Format] Full",
        Some(Keyword::Frequencies) => "[Number of Frequencies] 201",
        Some(Keyword::NoiseFrequencies) => "[Number of Noise Frequencies] 5",
        _ => "[Number of Ports] 2",
    }
}

fn whole_number(word: Word<'_>, source: &Source) -> Result<u64> {
    let digits = word.text().bytes().all(|b| b.is_ascii_digit());
    let count = digits.then(|| word.text().parse().ok()).flatten();
    count.filter(|n| *n > 0).ok_or_else(|| {
        word.wrong(
            source,
            format!("{} is no count", word.shown()),
            "write a whole number from 1",
        )
    })
}

fn claim<'a>(word: Word<'a>, source: &Source) -> Result<Claim<'a>> {
    let count = whole_number(word, source)?;
    Ok(Claim { count, word })
}

fn ports<'a>(word: Word<'a>, source: &Source) -> Result<(usize, Word<'a>)> {
    let count = whole_number(word, source)?;
    match usize::try_from(count) {
        Ok(ports) if ports <= MOST_PORTS => Ok((ports, word)),
        _ => Err(too_many_ports(word.text(), word, source)),
    }
}

/// The error of a file with more ports than are read.
pub(crate) fn too_many_ports(ports: &str, word: Word<'_>, source: &Source) -> Error {
    Error::unsupported(format!(
        "the file has {ports} ports, and one to four are read"
    ))
    .hint(
        "export the ports of the range alone: a path takes two, a probe of two polarisations three",
    )
    .at(word.place(source))
}

fn order<'a>(word: Word<'a>, source: &Source) -> Result<(Order, Word<'a>)> {
    match word.text() {
        "12_21" => Ok((Order::Rows, word)),
        "21_12" => Ok((Order::Columns, word)),
        _ => Err(word.wrong(
            source,
            format!(
                "{} is no order of the transfers of a two-port",
                word.shown()
            ),
            "write 12_21 (S11 S12 S21 S22) or 21_12 (S11 S21 S12 S22)",
        )),
    }
}

fn matrix(word: Word<'_>, source: &Source) -> Result<Matrix> {
    match word.text().to_ascii_lowercase().as_str() {
        "full" => Ok(Matrix::Full),
        "lower" => Ok(Matrix::Lower),
        "upper" => Ok(Matrix::Upper),
        _ => Err(word.wrong(
            source,
            format!("{} is no matrix format", word.shown()),
            "write Full, Lower or Upper",
        )),
    }
}
