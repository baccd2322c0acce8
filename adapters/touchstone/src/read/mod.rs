//! The read: line by line, from the head to the end.

mod finish;
mod keywords;

use crate::grammar::{self, Shape};
use crate::header::Header;
use crate::keyword::Keyword;
use crate::named::Named;
use crate::network::{Network, Taken};
use crate::noise::Noise;
use crate::option_line::OptionLine;
use crate::plan::Plan;
use crate::shape;
use crate::word::Word;
use spheresum_core::intake::source::{Line, Lines};
use spheresum_core::intake::{Intake, ReadOptions, Source};
use spheresum_core::{Error, Finding, Limits, Result};

/// Reads a source.
///
/// # Errors
/// Input, Ambiguous, Unsupported and Limit with a place; Usage for options.
pub(crate) fn read(source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
    let mut reader = Reader {
        source,
        limits,
        named: Named::of(options)?,
        header: Header::default(),
        section: Section::Head,
        network: None,
        noise: None,
        information: None,
        last: None,
        seen_more_options: false,
        findings: Vec::new(),
    };
    let mut lines = source.lines();
    loop {
        let from_here = lines.clone();
        let Some(line) = lines.next() else { break };
        reader.line(line, from_here)?;
    }
    reader.finish()
}

/// Where reading stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Section {
    Head,
    Network,
    Noise,
    Ended,
    /// Behind the first words that follow `[End]`.
    Beyond,
}

struct Reader<'a> {
    source: &'a Source,
    limits: &'a Limits,
    named: Named,
    header: Header<'a>,
    section: Section,
    /// The network data, and where they began.
    network: Option<(Network<'a>, Word<'a>)>,
    noise: Option<Noise<'a>>,
    /// An information block that is open.
    information: Option<Word<'a>>,
    /// The last line with content.
    last: Option<Word<'a>>,
    seen_more_options: bool,
    findings: Vec<Finding>,
}

impl<'a> Reader<'a> {
    fn line(&mut self, line: Line<'a>, from_here: Lines<'a>) -> Result<()> {
        let source = self.source;
        if line.text.len() > self.limits.max_line_bytes {
            return Err(Error::limit(format!(
                "a line longer than {} bytes",
                self.limits.max_line_bytes
            ))
            .hint("raise the limit on bytes a line, or break the line")
            .at(source.place(line, 0, 1)));
        }
        let shape = grammar::shape(line.text);
        if shape == Shape::Nothing {
            return Ok(());
        }
        let whole = Word::whole(line);
        let is_first = self.last.replace(whole).is_none();
        if self.information.is_some() {
            if let Shape::Keyword(start, end) = shape
                && Keyword::of(Word::new(line, start, end).text()) == Some(Keyword::EndInformation)
            {
                self.information = None;
            }
            return Ok(());
        }
        if matches!(self.section, Section::Ended | Section::Beyond) {
            if self.section == Section::Ended {
                let finding = Finding::note("behind-end", "what stands behind [End] is left out");
                self.findings.push(finding.at(whole.place(source)));
            }
            self.section = Section::Beyond;
            return Ok(());
        }
        match shape {
            Shape::Nothing => Ok(()),
            Shape::Unclosed => Err(whole.wrong(
                source,
                "a keyword without its closing bracket",
                "write the keyword between [ and ]",
            )),
            Shape::Options(from) => self.options(line, whole, from),
            Shape::Keyword(start, end) => {
                let name = Word::new(line, start, end);
                let values = Word::all(line, end, source, self.limits)?;
                self.keyword(name, &values, is_first)
            }
            Shape::Data => {
                let words = Word::all(line, 0, source, self.limits)?;
                self.data(whole, &words, from_here)
            }
        }
    }

    fn options(&mut self, line: Line<'a>, whole: Word<'a>, from: usize) -> Result<()> {
        if self.header.options.is_some() {
            if !self.seen_more_options {
                self.findings.push(
                    Finding::note(
                        "more-option-lines",
                        "an option line behind the first is ignored",
                    )
                    .at(whole.place(self.source))
                    .advice(
                        "see whether two files were joined, with data that follow the second line",
                    ),
                );
            }
            self.seen_more_options = true;
            return Ok(());
        }
        let words = Word::all(line, from, self.source, self.limits)?;
        self.header.options = Some(OptionLine::of(whole, &words, self.source)?);
        Ok(())
    }

    fn data(&mut self, whole: Word<'a>, words: &[Word<'a>], from_here: Lines<'a>) -> Result<()> {
        let source = self.source;
        if self.section == Section::Head {
            if self.header.is_version_2 {
                return self.header.numbers(words, source);
            }
            if self.header.options.is_none() {
                return Err(whole.wrong(
                    source,
                    "data, or some other text, without an option line above",
                    "write the option line above the data, such as # GHz S MA R 50; a comment starts with !",
                ));
            }
            let ports = shape::ports(from_here, self.named.ports, whole, source)?;
            let plan = Plan::of(&self.header, ports, whole, source)?;
            self.network = Some((Network::new(plan, &self.named, self.limits), whole));
            self.section = Section::Network;
        }
        if let (Section::Network, Some((network, _))) = (self.section, &mut self.network) {
            match network.line(words, source)? {
                Taken::Network => return Ok(()),
                Taken::Noise => {
                    self.noise = Some(Noise::new(network.plan().unit, whole));
                    self.section = Section::Noise;
                }
            }
        }
        match &mut self.noise {
            Some(noise) => noise.line(words, source),
            None => Ok(()),
        }
    }
}
