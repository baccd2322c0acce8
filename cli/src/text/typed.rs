//! Options of adapters as they are typed on the command line.

use crate::args::ReadingArgs;

/// Advice, with how the options that it names are typed here: adapters serve programs too, and call options by their bare names.
pub fn with_typed(advice: &str) -> String {
    let named: Vec<String> = ReadingArgs::NAMED
        .into_iter()
        .filter(|name| names(advice, name))
        .map(|name| format!("--{name} VALUE"))
        .chain(
            ReadingArgs::OF_ONE
                .into_iter()
                .filter(|name| names(advice, name))
                .map(|name| format!("--option {name}=VALUE")),
        )
        .collect();
    if named.is_empty() {
        advice.to_string()
    } else {
        format!("{advice} (typed here as {})", named.join(" "))
    }
}

/// True where the advice says `option NAME`, or `NAME=` as a word of its own.
fn names(advice: &str, name: &str) -> bool {
    advice.match_indices(name).any(|(at, _)| {
        let (before, from) = advice.split_at(at);
        let behind = from.get(name.len()..).unwrap_or_default();
        let whole = !before.ends_with(|c: char| c.is_alphanumeric() || c == '-' || c == '_');
        let ends = !behind.starts_with(|c: char| c.is_alphanumeric() || c == '-' || c == '_');
        whole && ends && (before.ends_with("option ") || behind.starts_with('='))
    })
}

#[cfg(test)]
mod tests {
    use super::with_typed;

    #[test]
    fn options_are_recognised_as_words() {
        let of = |advice: &str| with_typed(advice)[advice.len()..].to_string();
        assert_eq!(
            of("say it by the option column, such as column=V=eirp_theta_dbm"),
            " (typed here as --column VALUE)"
        );
        assert_eq!(
            of("export it (separator=semicolon, decimal=comma)"),
            " (typed here as --separator VALUE --decimal VALUE)"
        );
        assert_eq!(
            of("say which by the option rows=theta or rows=phi"),
            " (typed here as --option rows=VALUE)"
        );
        for nothing in [
            "rename the columns",
            "the unit is missing",
            "give it with --unit dBm",
            "a policy=3",
            "no option at all",
        ] {
            assert_eq!(of(nothing), "", "{nothing}");
        }
    }
}
