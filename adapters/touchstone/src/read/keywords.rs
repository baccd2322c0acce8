//! Keywords of version 2, and what they begin and end.

use super::{Reader, Section};
use crate::grammar;
use crate::keyword::Keyword;
use crate::network::Network;
use crate::noise::Noise;
use crate::plan::Plan;
use crate::shape;
use crate::word::Word;
use spheresum_core::{Error, Finding, Result};

impl<'a> Reader<'a> {
    /// Takes a keyword with what stands behind it.
    pub(super) fn keyword(
        &mut self,
        name: Word<'a>,
        values: &[Word<'a>],
        is_first: bool,
    ) -> Result<()> {
        let source = self.source;
        let Some(keyword) = Keyword::of(name.text()) else {
            let known: Vec<&str> = Keyword::ALL.iter().map(|(text, _)| *text).collect();
            return Err(name.wrong(
                source,
                format!("{} is no keyword", name.shown()),
                format!("keywords: {}", known.join(", ")),
            ));
        };
        let wrong = |message: String, hint: &str| Err(name.wrong(source, message, hint));
        if keyword == Keyword::Version && !is_first {
            return wrong(
                "[Version] is not the first line".to_string(),
                "only comments may stand above [Version]",
            );
        }
        if keyword != Keyword::Version && !self.header.is_version_2 {
            return wrong(
                format!("{} in a file of version 1", keyword.text()),
                "a file with keywords begins with the line [Version] 2.0",
            );
        }
        if let (true, Some(value)) = (keyword.is_alone(), values.first()) {
            return Err(value.wrong(
                source,
                format!(
                    "{} has no value, and {} stands behind it",
                    keyword.text(),
                    value.shown()
                ),
                "begin a new line behind the keyword; a comment starts with !",
            ));
        }
        match (keyword, self.section) {
            (Keyword::BeginInformation, Section::Head) => self.information = Some(name),
            (Keyword::NetworkData, Section::Head) => self.start_network(name)?,
            (Keyword::NoiseData, Section::Network) => self.start_noise(name)?,
            (Keyword::End, Section::Network) => {
                self.end_network()?;
                self.section = Section::Ended;
            }
            (Keyword::End, Section::Noise) => self.section = Section::Ended,
            (
                Keyword::NetworkData
                | Keyword::NoiseData
                | Keyword::End
                | Keyword::BeginInformation
                | Keyword::EndInformation,
                _,
            )
            | (_, Section::Network | Section::Noise) => {
                return wrong(
                    format!("{} does not belong here", keyword.text()),
                    "the order is: the other keywords, [Network Data] with its lines, [Noise Data] with its lines, [End]; \
                     [End Information] ends [Begin Information]",
                );
            }
            _ => {
                let remark = self.header.keyword(keyword, name, values, source)?;
                self.findings.extend(remark);
            }
        }
        Ok(())
    }

    /// Begins the network data of version 2.
    fn start_network(&mut self, name: Word<'a>) -> Result<()> {
        let source = self.source;
        let Some((ports, word)) = self.header.ports else {
            return Err(name.wrong(
                source,
                "no [Number of Ports] stands above [Network Data]",
                "write it, such as [Number of Ports] 2",
            ));
        };
        if self.named.ports.is_some_and(|n| n != ports) {
            return Err(Error::usage(format!(
                "the option ports contradicts the file, which says {ports}"
            ))
            .hint("leave the option out")
            .at(word.place(source)));
        }
        if let Some(name) = grammar::ports_of_name(source.name()).filter(|n| *n != ports) {
            self.findings.push(
                Finding::note("name-and-ports", format!("the name of the file says {name} ports, and the file says {ports}: the file counts"))
                    .at(word.place(source)),
            );
        }
        if let Some((_, word)) = self.header.order.filter(|_| ports != 2) {
            self.findings.push(
                Finding::note(
                    "order-unused",
                    format!("[Two-Port Data Order] means nothing for {ports} ports"),
                )
                .at(word.place(source)),
            );
        }
        if self.header.frequencies.is_none() {
            self.findings.push(
                Finding::note(
                    "no-frequency-count",
                    "no [Number of Frequencies] is given: missing frequencies would not be noticed",
                )
                .at(name.place(source)),
            );
        }
        let plan = Plan::of(&self.header, ports, name, source)?;
        let network = Network::new(plan, &self.named, self.limits);
        self.network = Some((network, name));
        self.section = Section::Network;
        Ok(())
    }

    fn start_noise(&mut self, name: Word<'a>) -> Result<()> {
        self.end_network()?;
        if let Some((network, _)) = &self.network {
            let plan = network.plan();
            if plan.ports != 2 {
                return Err(name.wrong(
                    self.source,
                    format!("[Noise Data] of a file with {}", shape::plural(plan.ports)),
                    "noise parameters are of two ports; see whether [Number of Ports] is right",
                ));
            }
            self.noise = Some(Noise::new(plan.unit, name));
        }
        self.section = Section::Noise;
        Ok(())
    }
}
