//! Options by name, and what else a person says of a file.

use spheresum_core::intake::ReadOptions;
use spheresum_core::model::PortPair;
use spheresum_core::{Error, Polarisation, Result};

/// Most ports that are read.
pub(crate) const MOST_PORTS: usize = 4;

/// What a person decides for a file.
#[derive(Clone, Debug, Default)]
pub(crate) struct Named {
    /// Number of ports.
    pub(crate) ports: Option<usize>,
    /// Transfers that are the range path of a polarisation.
    pub(crate) paths: Vec<(Polarisation, PortPair)>,
}

impl Named {
    /// From the options of a read.
    ///
    /// # Errors
    /// Usage: an option that there is not, a value that it cannot have, or options that do not go together.
    pub(crate) fn of(options: &ReadOptions) -> Result<Self> {
        let mut named = Self::default();
        let mut path = None;
        for (name, value) in &options.named {
            let value = value.trim();
            match name.as_str() {
                "ports" => named.ports = Some(ports(value)?),
                "theta" => named.paths.push((Polarisation::Theta, pair(name, value)?)),
                "phi" => named.paths.push((Polarisation::Phi, pair(name, value)?)),
                "path" => path = Some(pair(name, value)?),
                other => {
                    return Err(Error::usage(format!(
                        "the touchstone adapter has no option {other:?}"
                    ))
                    .hint("its options: ports, theta, phi, path"));
                }
            }
        }
        if options.frequency.is_some() {
            return Err(Error::usage(
                "a frequency is given with the file, and the file has frequencies of its own",
            )
            .hint("leave the frequency out for this file"));
        }
        match (options.polarisation, path) {
            (None, None) => Ok(named),
            (Some(_), _) if !named.paths.is_empty() => Err(Error::usage(
                "a polarisation is given with the file, and the options theta and phi name paths of both",
            )
            .hint("name one path by the option path, or leave the polarisation out")),
            (Some(Polarisation::Total), _) => {
                Err(Error::usage("a range path belongs to one polarisation")
                    .hint("give the file as theta or as phi"))
            }
            (Some(polarisation), Some(pair)) => {
                named.paths.push((polarisation, pair));
                Ok(named)
            }
            (Some(polarisation), None) => Err(Error::usage(format!(
                "the file is given as {polarisation}, and which transfer is its range path is not said"
            ))
            .hint("name it by the option path, such as path=S21")),
            (None, Some(_)) => Err(Error::usage(
                "the option path names a transfer, and for which polarisation is not said",
            )
            .hint("give the polarisation with the file, or use the options theta and phi")),
        }
    }
}

fn ports(value: &str) -> Result<usize> {
    let ports = value.parse().ok();
    ports
        .filter(|n| (1..=MOST_PORTS).contains(n))
        .ok_or_else(|| {
            Error::usage(format!("{value:?} is no value of the option ports"))
                .hint("possible: 1, 2, 3, 4")
        })
}

/// `S21`, in any case: a transfer of ports that have one digit.
fn pair(option: &str, value: &str) -> Result<PortPair> {
    let digit = |c: char| {
        let port = c.to_digit(10).and_then(|d| usize::try_from(d).ok());
        port.filter(|p| (1..=MOST_PORTS).contains(p))
    };
    let found = match value.chars().collect::<Vec<_>>()[..] {
        ['s' | 'S', to, from] => digit(to).zip(digit(from)),
        _ => None,
    };
    match found {
        Some((to, from)) if to != from => Ok(PortPair { to, from }),
        Some(_) => Err(
            Error::usage(format!("{value:?} is a reflection, not a path"))
                .hint("a range path leads from one port to another: S21 from port 1 to port 2"),
        ),
        None => Err(
            Error::usage(format!("{value:?} is no value of the option {option}"))
                .hint("write S and the two ports, such as S21 for the path from port 1 to port 2"),
        ),
    }
}
