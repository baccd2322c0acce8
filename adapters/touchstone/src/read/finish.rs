//! The end of the data, and of the file.

use super::{Reader, Section};
use crate::word::Word;
use spheresum_core::intake::Intake;
use spheresum_core::model::Parameter;
use spheresum_core::{Curve, Error, Finding, Result};

impl Reader<'_> {
    /// Ends the network data, and holds their count to what is claimed.
    pub(super) fn end_network(&mut self) -> Result<()> {
        let Some((network, start)) = &self.network else {
            return Ok(());
        };
        network.end(*start, self.source)?;
        match self.header.frequencies {
            Some(claim) if claim.count != network.count => Err(claim.word.wrong(
                self.source,
                format!(
                    "{} frequencies are claimed, and there are {}",
                    claim.count, network.count
                ),
                "see whether the file is complete, or correct the number",
            )),
            _ => Ok(()),
        }
    }

    /// Ends the file, and hands over what it held.
    pub(super) fn finish(mut self) -> Result<Intake> {
        let source = self.source;
        if let Some(open) = self.information {
            return Err(open.wrong(
                source,
                "[Begin Information] is not ended",
                "write [End Information] below the last line of information",
            ));
        }
        if self.section == Section::Network {
            self.end_network()?;
        }
        if self.header.is_version_2
            && matches!(self.section, Section::Network | Section::Noise)
            && let Some(last) = self.last
        {
            self.findings.push(
                Finding::note(
                    "end-missing",
                    "[End] is missing: the file may not be complete",
                )
                .at(last.place(source)),
            );
        }
        let Some((network, _)) = self.network else {
            return Err(self.without_data());
        };
        if let Some(word) = network.at_zero {
            self.findings.push(
                Finding::note("zero-hertz", "the data of 0 Hz are left out").at(word.place(source)),
            );
        }
        let plan = network.plan();
        if let (false, Some(options), Parameter::Y | Parameter::H | Parameter::G) =
            (plan.is_version_2, &self.header.options, plan.parameter)
        {
            let letter = plan.parameter.letter();
            self.findings.push(
                Finding::note(
                    "normalised",
                    format!("{letter}-parameters of version 1 are taken as normalised: ohm are multiplied, and siemens divided, by the reference"),
                )
                .at(options.parameter_word.place(source))
                .advice("check a value against the instrument; programs differ here, and version 2 does not normalise"),
            );
        }
        if let Some(noise) = &self.noise {
            self.findings.extend(noise.findings(&self.header, source));
        }
        let mut curve = Curve::of_ports(source.name(), network.into_matrix()?);
        for (polarisation, pair) in &self.named.paths {
            curve.push_path(*polarisation, *pair)?;
        }
        if let [(_, first), (_, second)] = self.named.paths.as_slice()
            && first == second
        {
            self.findings.push(Finding::note(
                "same-path",
                format!("both polarisations take their range loss from S{first}"),
            ));
        }
        Ok(Intake::of_curve(curve, self.findings))
    }

    fn without_data(&self) -> Error {
        let hint = if self.header.is_version_2 {
            "the data stand behind a line [Network Data]"
        } else {
            "the data stand below the option line: a frequency and its complex values"
        };
        let message = "no network data";
        match self.last {
            Some(last) => last.wrong(self.source, message, hint),
            None => match self.source.lines().next() {
                // Comments alone.
                Some(line) => Word::new(line, 0, line.text.len()).wrong(self.source, message, hint),
                None => Error::input(message).hint(hint),
            },
        }
    }
}
