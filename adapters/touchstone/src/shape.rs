//! How many ports a file of version 1 has: from its name, and from the shape of its data.
//!
//! A line that begins a frequency has an odd count of numbers, the frequency and pairs; a line that goes on has an even count.

use crate::grammar::{self, Shape};
use crate::header::too_many_ports;
use crate::named::MOST_PORTS;
use crate::word::Word;
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Lines;
use spheresum_core::{Error, Result};

/// The number of ports. `lines` begin with the first line of data, whose content is `first`.
///
/// # Errors
/// Ambiguous: name and data contradict each other, or the data themselves. Unsupported: more than four. Input: data whose count
/// of values fits no number of ports.
pub(crate) fn ports(
    lines: Lines<'_>,
    chosen: Option<usize>,
    first: Word<'_>,
    source: &Source,
) -> Result<usize> {
    if let Some(ports) = chosen {
        return Ok(ports);
    }
    let counts = counts(lines);
    let shown: Vec<Option<usize>> = counts.iter().map(|n| root(*n)).collect();
    let ports = match (grammar::ports_of_name(source.name()), shown.as_slice()) {
        // A single frequency, or two that agree, outweigh the name no more than it outweighs them.
        (Some(name), [Some(data)]) if name != *data => {
            return Err(name_or_data(name, *data, first, source));
        }
        (Some(name), [Some(a), Some(b)]) if a == b && name != *a => {
            return Err(name_or_data(name, *a, first, source));
        }
        (Some(name), _) => name,
        (None, [Some(a), Some(b)]) if a != b => {
            let (message, hint) = (
                format!(
                    "the file may have {} or {}: its first frequency has {}, the second {}",
                    plural(*a),
                    plural(*b),
                    values(counts[0]),
                    values(counts[1])
                ),
                choose(*a, *b),
            );
            return Err(Error::ambiguous(message).hint(hint).at(first.place(source)));
        }
        (None, [Some(ports), ..] | [_, Some(ports)]) => *ports,
        (None, _) => {
            let count = counts.first().copied().unwrap_or(0);
            return Err(first.wrong(
                source,
                format!("a frequency with {} fits no number of ports", values(count)),
                "one to four ports have 1, 4, 9 or 16 complex values a frequency; where numbers are missing or the lines are broken \
                 otherwise, say how many ports there are by the option ports, such as ports=2, to see which line is wrong",
            ));
        }
    };
    if ports > MOST_PORTS {
        return Err(too_many_ports(&ports.to_string(), first, source));
    }
    Ok(ports)
}

/// Counts of complex values of the first two frequencies.
fn counts(lines: Lines<'_>) -> Vec<usize> {
    let mut counts: Vec<usize> = Vec::new();
    for line in lines {
        match grammar::shape(line.text) {
            Shape::Data => {}
            Shape::Nothing | Shape::Options(_) => continue,
            Shape::Keyword(..) | Shape::Unclosed => break,
        }
        let numbers = grammar::words(line.text, 0).count();
        if numbers.is_multiple_of(2)
            && let Some(last) = counts.last_mut()
        {
            *last = last.saturating_add(numbers / 2);
        } else if counts.len() == 2 {
            break;
        } else {
            counts.push(numbers / 2);
        }
    }
    counts
}

/// The number whose square this is, if it is one above 0.
fn root(count: usize) -> Option<usize> {
    let root = count.isqrt();
    (root > 0 && root * root == count).then_some(root)
}

fn name_or_data(name: usize, data: usize, first: Word<'_>, source: &Source) -> Error {
    Error::ambiguous(format!(
        "the name says {}, and the data look like {}: {} a frequency",
        plural(name),
        plural(data),
        values(data * data)
    ))
    .hint(choose(name, data))
    .at(first.place(source))
}

fn choose(a: usize, b: usize) -> String {
    let options: Vec<String> = [a, b]
        .iter()
        .filter(|n| **n <= MOST_PORTS)
        .map(|n| format!("ports={n}"))
        .collect();
    format!(
        "say how many there are by the option ports: {}",
        options.join(" or ")
    )
}

/// `1 complex value`, `2 complex values`.
pub(crate) fn values(count: usize) -> String {
    if count == 1 {
        "1 complex value".to_string()
    } else {
        format!("{count} complex values")
    }
}

/// `1 port`, `2 ports`.
pub(crate) fn plural(ports: usize) -> String {
    if ports == 1 {
        "1 port".to_string()
    } else {
        format!("{ports} ports")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use spheresum_core::Limits;

    fn of(text: &str) -> Vec<usize> {
        Source::from_text("t", text, &Limits::small())
            .map_or_else(|_| Vec::new(), |s| counts(s.lines()))
    }

    #[test]
    fn values_of_the_first_two_frequencies() {
        assert_eq!(of("1 0 0\n2 0 0\n3 0 0\n"), [1, 1]);
        assert_eq!(of("1 0 0 0 0 0 0 0 0\n4 1 1 1 1\n"), [4, 2]);
        assert_eq!(of("1 0 0 0 0 ! a b\n0 0 0 0\n\n[End]\n"), [4]);
        assert_eq!(of("1 0\n2 0 0\n"), [1, 1]);
        assert_eq!(
            (root(0), root(1), root(8), root(9)),
            (None, Some(1), None, Some(3))
        );
    }
}
