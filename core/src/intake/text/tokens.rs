//! The words of a polarisation column.

use crate::intake::text::clip::Clip;
use crate::intake::text::word;
use crate::{Error, Polarisation};

/// Words that name a polarisation in this file.
#[derive(Clone, Debug)]
pub struct Tokens {
    /// What a person chose, by the word in lower case.
    chosen: Vec<(String, Polarisation)>,
    /// Words of one byte, for the fast path.
    short: [Option<Polarisation>; 256],
}

impl Tokens {
    /// The known words and those chosen by the option `pol`.
    pub fn new(chosen: &[(String, Polarisation)]) -> Self {
        let mut short = [None; 256];
        let chosen: Vec<(String, Polarisation)> =
            chosen.iter().map(|(w, p)| (w.to_lowercase(), *p)).collect();
        for (word, polarisation) in &chosen {
            if let [byte] = word.as_bytes() {
                short[usize::from(*byte)] = Some(*polarisation);
                short[usize::from(byte.to_ascii_uppercase())] = Some(*polarisation);
            }
        }
        Self { chosen, short }
    }

    /// The polarisation a text names.
    pub fn of(&self, text: &str) -> Option<Polarisation> {
        let lower = text.to_lowercase();
        let chosen = self
            .chosen
            .iter()
            .find(|(w, _)| *w == lower)
            .map(|(_, p)| *p);
        chosen.or_else(|| word::polarisation(&lower))
    }

    /// As [`Tokens::quick`] for a word of one byte.
    #[inline(always)]
    #[must_use]
    pub fn quick_byte(&self, byte: u8) -> Option<Polarisation> {
        self.short[usize::from(byte)]
    }

    /// As [`Tokens::of`] for the commonest words, without allocation; `None` means "look again".
    #[inline]
    pub fn quick(&self, text: &[u8]) -> Option<Polarisation> {
        match text {
            [byte] => self.short[usize::from(*byte)],
            _ if !self.chosen.is_empty() => None,
            b"theta" | b"Theta" | b"THETA" => Some(Polarisation::Theta),
            b"phi" | b"Phi" | b"PHI" => Some(Polarisation::Phi),
            b"total" | b"Total" | b"TOTAL" => Some(Polarisation::Total),
            _ => None,
        }
    }

    /// The error of a text that names no polarisation.
    pub fn refuse(&self, text: &str) -> Error {
        let shown = Clip(text);
        if word::is_polarisation_guess(text) {
            return Error::ambiguous(format!(
                "the polarisation {shown:?} may be theta or phi: {shown} = theta on one range, {shown} = phi on another"
            ))
            .hint(format!("say which by the option pol, such as pol={shown}=theta"));
        }
        Error::input(format!("{shown:?} is not a polarisation")).hint(format!(
            "write theta, phi or total, or say what {shown} means by the option pol={shown}=theta"
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quick_agrees_with_careful() {
        for chosen in [
            vec![],
            vec![
                ("V".to_string(), Polarisation::Theta),
                ("phi".to_string(), Polarisation::Theta),
            ],
        ] {
            let tokens = Tokens::new(&chosen);
            for text in ["theta", "Phi", "TOTAL", "V", "v", "H", "th", "φ", ""] {
                if let Some(quick) = tokens.quick(text.as_bytes()) {
                    assert_eq!(Some(quick), tokens.of(text), "{text}");
                }
            }
        }
        assert_eq!(Tokens::new(&[]).of("V"), None);
    }
}
