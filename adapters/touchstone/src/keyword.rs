//! Keywords of version 2.

/// A keyword.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Keyword {
    Version,
    Ports,
    Order,
    Frequencies,
    NoiseFrequencies,
    Reference,
    Matrix,
    MixedMode,
    NetworkData,
    NoiseData,
    BeginInformation,
    EndInformation,
    End,
}

impl Keyword {
    /// The keywords as the standard writes them.
    pub(crate) const ALL: [(&'static str, Self); 13] = [
        ("[Version]", Self::Version),
        ("[Number of Ports]", Self::Ports),
        ("[Two-Port Data Order]", Self::Order),
        ("[Number of Frequencies]", Self::Frequencies),
        ("[Number of Noise Frequencies]", Self::NoiseFrequencies),
        ("[Reference]", Self::Reference),
        ("[Matrix Format]", Self::Matrix),
        ("[Mixed-Mode Order]", Self::MixedMode),
        ("[Network Data]", Self::NetworkData),
        ("[Noise Data]", Self::NoiseData),
        ("[Begin Information]", Self::BeginInformation),
        ("[End Information]", Self::EndInformation),
        ("[End]", Self::End),
    ];

    /// The keyword of a text with its brackets, in any case.
    pub(crate) fn of(text: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|(name, _)| name.eq_ignore_ascii_case(text))
            .map(|(_, keyword)| keyword)
    }

    /// The keyword as the standard writes it.
    pub(crate) fn text(self) -> &'static str {
        Self::ALL
            .into_iter()
            .find(|(_, keyword)| *keyword == self)
            .map_or("", |(text, _)| text)
    }

    /// True where nothing may stand behind it.
    pub(crate) fn is_alone(self) -> bool {
        matches!(
            self,
            Self::NetworkData
                | Self::NoiseData
                | Self::BeginInformation
                | Self::EndInformation
                | Self::End
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn in_any_case_and_no_other_spelling() {
        assert_eq!(Keyword::of("[NETWORK data]"), Some(Keyword::NetworkData));
        assert_eq!(Keyword::of("[Network  Data]"), None);
        for (text, keyword) in Keyword::ALL {
            assert_eq!(Keyword::of(text), Some(keyword));
            assert_eq!(keyword.text(), text);
        }
    }
}
