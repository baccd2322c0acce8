//! The words of headings: one list of synonyms, which the README repeats.

use crate::{Polarisation, Quantity, model::FieldScale};

/// What the values of a column are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// Equivalent isotropically radiated power.
    Eirp,
    /// Effective radiated power, over a half-wave dipole. Only a person says so, by the option `column`; it becomes EIRP.
    Erp,
    /// Equivalent isotropic sensitivity.
    Eis,
    /// Gain.
    Gain,
    /// Power at the receiver.
    Received,
    /// What the instrument sent when the link just held.
    Level,
    /// A component of a complex field.
    Field,
    /// Range loss.
    Loss,
    /// A power that could be several things.
    Power,
    /// A sensitivity that could be several things.
    Sensitivity,
    /// The name does not say.
    Unsaid,
}

impl What {
    /// The word in canonical column names.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Eirp => "eirp",
            Self::Erp => "erp",
            Self::Eis => "eis",
            Self::Gain => "gain",
            Self::Received => "received",
            Self::Level => "level",
            Self::Field => "field",
            Self::Loss => "loss",
            Self::Power => "power",
            Self::Sensitivity => "sensitivity",
            Self::Unsaid => "value",
        }
    }

    /// The quantity; `None` for a loss and for what is not settled. Fields get their scale elsewhere.
    pub const fn quantity(self) -> Option<Quantity> {
        match self {
            Self::Eirp | Self::Erp => Some(Quantity::Eirp),
            Self::Eis => Some(Quantity::Eis),
            Self::Gain => Some(Quantity::Gain),
            Self::Received => Some(Quantity::ReceivedPower),
            Self::Level => Some(Quantity::InstrumentLevel),
            Self::Field => Some(Quantity::Field(FieldScale::Relative)),
            Self::Loss | Self::Power | Self::Sensitivity | Self::Unsaid => None,
        }
    }

    /// True where the name leaves more than one meaning.
    pub const fn is_vague(self) -> bool {
        matches!(self, Self::Power | Self::Sensitivity | Self::Unsaid)
    }
}

/// Real or imaginary part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Part {
    /// Real.
    Re,
    /// Imaginary.
    Im,
}

/// Names that people use for more than one thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Guess {
    /// 90° − θ, or θ, or a positioner axis.
    Elevation,
    /// φ, −φ, or a positioner axis.
    Azimuth,
    /// θ or φ, by the range's own convention.
    Polarisation,
    /// A number that stands for a frequency.
    Channel,
    /// Power over a half-wave dipole.
    Erp,
    /// A number in the name of a value, without a unit: its frequency, or a count.
    ColumnFrequency,
}

/// A word of a heading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Word {
    /// θ: the angle, or the polarisation.
    Theta,
    /// φ: the angle, or the polarisation.
    Phi,
    /// θ + φ.
    Total,
    /// Frequency.
    Frequency,
    /// The polarisation column; beside another word, nothing.
    Polarisation,
    /// When it was measured.
    Time,
    /// A quantity.
    What(What),
    /// Part of a field.
    Part(Part),
    /// A word that adds nothing.
    Filler,
    /// A word that adds nothing to a loss, and is strange elsewhere.
    OfLoss,
    /// A word with several meanings.
    Guess(Guess),
}

/// All words, in lower case.
const WORDS: &[(&str, Word)] = &[
    ("theta", Word::Theta),
    ("th", Word::Theta),
    ("θ", Word::Theta),
    ("ϑ", Word::Theta),
    ("phi", Word::Phi),
    ("ph", Word::Phi),
    ("φ", Word::Phi),
    ("ϕ", Word::Phi),
    ("total", Word::Total),
    ("tot", Word::Total),
    ("sum", Word::Total),
    ("frequency", Word::Frequency),
    ("freq", Word::Frequency),
    ("f", Word::Frequency),
    ("pol", Word::Polarisation),
    ("polarisation", Word::Polarisation),
    ("polarization", Word::Polarisation),
    ("time", Word::Time),
    ("timestamp", Word::Time),
    ("eirp", Word::What(What::Eirp)),
    ("eis", Word::What(What::Eis)),
    ("gain", Word::What(What::Gain)),
    ("received", Word::What(What::Received)),
    ("rx", Word::What(What::Received)),
    ("level", Word::What(What::Level)),
    ("field", Word::What(What::Field)),
    ("efield", Word::What(What::Field)),
    ("e", Word::What(What::Field)),
    ("loss", Word::What(What::Loss)),
    ("pathloss", Word::What(What::Loss)),
    ("power", Word::What(What::Power)),
    ("pwr", Word::What(What::Power)),
    ("p", Word::What(What::Power)),
    ("sensitivity", Word::What(What::Sensitivity)),
    ("value", Word::What(What::Unsaid)),
    ("re", Word::Part(Part::Re)),
    ("real", Word::Part(Part::Re)),
    ("im", Word::Part(Part::Im)),
    ("imag", Word::Part(Part::Im)),
    ("imaginary", Word::Part(Part::Im)),
    ("angle", Word::Filler),
    ("component", Word::Filler),
    ("range", Word::OfLoss),
    ("path", Word::OfLoss),
    ("instrument", Word::Filler),
    ("realised", Word::Filler),
    ("realized", Word::Filler),
    ("elevation", Word::Guess(Guess::Elevation)),
    ("elev", Word::Guess(Guess::Elevation)),
    ("el", Word::Guess(Guess::Elevation)),
    ("azimuth", Word::Guess(Guess::Azimuth)),
    ("az", Word::Guess(Guess::Azimuth)),
    ("h", Word::Guess(Guess::Polarisation)),
    ("hor", Word::Guess(Guess::Polarisation)),
    ("horizontal", Word::Guess(Guess::Polarisation)),
    ("hpol", Word::Guess(Guess::Polarisation)),
    ("v", Word::Guess(Guess::Polarisation)),
    ("ver", Word::Guess(Guess::Polarisation)),
    ("vert", Word::Guess(Guess::Polarisation)),
    ("vertical", Word::Guess(Guess::Polarisation)),
    ("vpol", Word::Guess(Guess::Polarisation)),
    ("co", Word::Guess(Guess::Polarisation)),
    ("copol", Word::Guess(Guess::Polarisation)),
    ("cross", Word::Guess(Guess::Polarisation)),
    ("crosspol", Word::Guess(Guess::Polarisation)),
    ("xpol", Word::Guess(Guess::Polarisation)),
    ("pol1", Word::Guess(Guess::Polarisation)),
    ("pol2", Word::Guess(Guess::Polarisation)),
    ("1", Word::Guess(Guess::Polarisation)),
    ("2", Word::Guess(Guess::Polarisation)),
    ("channel", Word::Guess(Guess::Channel)),
    ("chan", Word::Guess(Guess::Channel)),
    ("ch", Word::Guess(Guess::Channel)),
    ("arfcn", Word::Guess(Guess::Channel)),
    ("erp", Word::Guess(Guess::Erp)),
];

/// The word a token is, if it is one; `token` in any case.
pub fn word(token: &str) -> Option<Word> {
    let lower = token.to_lowercase();
    WORDS
        .iter()
        .find(|(w, _)| *w == lower)
        .map(|(_, word)| *word)
}

/// The polarisation a value of a polarisation column, an option or a preamble names without doubt.
pub fn polarisation(token: &str) -> Option<Polarisation> {
    match word(token)? {
        Word::Theta => Some(Polarisation::Theta),
        Word::Phi => Some(Polarisation::Phi),
        Word::Total => Some(Polarisation::Total),
        _ => None,
    }
}

/// True for values of a polarisation column that mean θ on one range and φ on another.
pub fn is_polarisation_guess(token: &str) -> bool {
    matches!(word(token), Some(Word::Guess(Guess::Polarisation)))
        || token.split(['_', '-', ' ']).all(|t| {
            matches!(
                word(t),
                Some(Word::Guess(Guess::Polarisation) | Word::Polarisation)
            )
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_word_twice_and_all_in_lower_case() {
        for (at, (word, _)) in WORDS.iter().enumerate() {
            assert_eq!(*word, word.to_lowercase());
            assert!(!WORDS[..at].iter().any(|(w, _)| w == word), "{word}");
        }
    }

    #[test]
    fn the_readme_lists_every_word() {
        let readme = include_str!("README.md");
        for (word, _) in WORDS {
            assert!(
                readme.contains(&format!("`{word}`")),
                "the README does not list `{word}`"
            );
        }
    }

    #[test]
    fn polarisations() {
        assert_eq!(polarisation("Theta"), Some(Polarisation::Theta));
        assert_eq!(polarisation("Φ"), Some(Polarisation::Phi));
        assert_eq!(polarisation("V"), None);
        assert!(
            is_polarisation_guess("V")
                && is_polarisation_guess("pol 1")
                && is_polarisation_guess("1")
        );
        assert!(!is_polarisation_guess("south"));
    }
}
