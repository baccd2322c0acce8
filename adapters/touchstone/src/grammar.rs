//! Grammar of one line. Nothing here fails: what is wrong with a line is said where its place is known.

use nom::bytes::complete::{take_till, take_while, take_while1};
use nom::character::complete::char;
use nom::combinator::consumed;
use nom::sequence::{delimited, preceded};
use nom::{IResult, Parser};

/// What a line is, comment and blanks aside. Numbers are byte offsets in the line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Shape {
    /// Blank, or a comment alone.
    Nothing,
    /// `#` and what stands behind it, from the offset.
    Options(usize),
    /// `[name]` from the first offset to the second, and what stands behind it.
    Keyword(usize, usize),
    /// `[` without `]`.
    Unclosed,
    /// Anything else: numbers, if the file is sound.
    Data,
}

fn is_blank(c: char) -> bool {
    matches!(c, ' ' | '\t')
}

fn blanks(input: &str) -> IResult<&str, &str> {
    take_while(is_blank).parse(input)
}

/// The part of a line in front of its comment.
pub(crate) fn body(line: &str) -> &str {
    let uncommented: IResult<&str, &str> = take_till(|c| c == '!').parse(line);
    uncommented.map_or(line, |(_, body)| body)
}

/// A word behind blanks: the offset where it starts, and the word.
fn word(input: &str) -> IResult<&str, (usize, &str)> {
    let (rest, (gap, word)) = (blanks, take_while1(|c| !is_blank(c))).parse(input)?;
    Ok((rest, (gap.len(), word)))
}

/// `[name]`, with the length of what it takes.
fn bracketed(input: &str) -> IResult<&str, (&str, &str)> {
    consumed(delimited(char('['), take_till(|c| c == ']'), char(']'))).parse(input)
}

/// What a line is.
pub(crate) fn shape(line: &str) -> Shape {
    let body = body(line);
    let Ok((rest, gap)) = blanks(body) else {
        return Shape::Data;
    };
    let hash: IResult<&str, char> = char('#').parse(rest);
    match rest.chars().next() {
        None => Shape::Nothing,
        _ if hash.is_ok() => Shape::Options(gap.len() + 1),
        Some('[') => match bracketed(rest) {
            Ok((_, (all, _))) => Shape::Keyword(gap.len(), gap.len() + all.len()),
            Err(_) => Shape::Unclosed,
        },
        Some(_) => Shape::Data,
    }
}

/// The words of a line's body from an offset on, each with the offset where it starts.
pub(crate) fn words(line: &str, from: usize) -> impl Iterator<Item = (usize, &str)> {
    let mut rest = body(line).get(from..).unwrap_or_default();
    let mut at = from;
    std::iter::from_fn(move || {
        let (behind, (gap, word)) = word(rest).ok()?;
        let start = at + gap;
        at = start + word.len();
        rest = behind;
        Some((start, word))
    })
}

/// The number of ports that a file's name claims by an ending such as `.s2p`.
pub(crate) fn ports_of_name(name: &str) -> Option<usize> {
    let (_, ending) = name.rsplit_once('.')?;
    let digits: IResult<&str, &str> = preceded(
        nom::branch::alt((char('s'), char('S'))),
        take_while1(|c: char| c.is_ascii_digit()),
    )
    .parse(ending);
    let (rest, digits) = digits.ok()?;
    let ports = digits.parse().ok()?;
    (rest.eq_ignore_ascii_case("p") && ports > 0).then_some(ports)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_of_every_kind() {
        for (line, want) in [
            ("", Shape::Nothing),
            (" \t! # GHz", Shape::Nothing),
            ("#", Shape::Options(1)),
            (" # GHz ! [Version]", Shape::Options(2)),
            ("[Version] 2.0", Shape::Keyword(0, 9)),
            (" [ End ]", Shape::Keyword(1, 8)),
            ("[Version 2.0 ! ]", Shape::Unclosed),
            ("1 2 3", Shape::Data),
            ("θ 2 3", Shape::Data),
        ] {
            assert_eq!(shape(line), want, "{line}");
        }
    }

    #[test]
    fn words_stand_where_they_stand() {
        let of = |line, from| words(line, from).collect::<Vec<_>>();
        assert_eq!(
            of("1 \t-2.5  µ3!4 5", 0),
            [(0, "1"), (3, "-2.5"), (9, "µ3")]
        );
        assert_eq!(of("# GHz", 1), [(2, "GHz")]);
        assert!(of("# !", 1).is_empty() && of("1!2", 2).is_empty());
        assert!(of("ab", 99).is_empty());
    }

    #[test]
    fn names_that_claim_ports() {
        for (name, want) in [
            ("a/b.s2p", Some(2)),
            ("A.S12P", Some(12)),
            ("s2p", None),
            ("a.s0p", None),
            ("a.sp", None),
            ("a.s2", None),
            ("a.s2px", None),
            ("a.ts", None),
            ("a.s99999999999999999999p", None),
        ] {
            assert_eq!(ports_of_name(name), want, "{name}");
        }
    }
}
