//! Fortran format descriptions: `(F8.3,F8.3,2E14.6)`.
//!
//! Descriptors, repeat counts, scale factors and groups: ISO/IEC 1539-1 (Fortran), clause 13 "Input/output editing", from memory.

use crate::layout::{Edit, Fault, Layout};
use nom::branch::alt;
use nom::bytes::complete::{is_not, tag, tag_no_case};
use nom::character::complete::{char, digit1, multispace0, one_of};
use nom::combinator::{cut, map, map_res, opt, recognize, value, verify};
use nom::multi::many0;
use nom::sequence::{delimited, pair, preceded, terminated};
use nom::{IResult, Parser};
use spheresum_core::Limits;

/// A part of a format.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Item {
    /// Fields of one kind.
    Fields(u32, Descriptor),
    /// `nX`, and texts, which a reader skips.
    Skip(u32),
    /// `kP`, which holds for all fields behind it.
    Scale(i32),
    /// `BN`.
    BlanksMeanNothing,
    /// `SP`, `SS`, `S`: of writing only.
    Nothing,
    /// A group with its repeat count.
    Group(u32, Vec<Item>),
}

/// A field's descriptor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Descriptor {
    Integer { width: u32 },
    Real { width: u32, decimals: u32 },
    Word { width: u32 },
}

/// Groups in groups, at most.
const MOST_DEPTH: usize = 3;

/// What a reader can do about a format.
const HINT: &str = "known are Iw, Fw.d, Ew.d, Dw.d, Gw.d, Aw, nX, kP, BN, 'text', repeat counts and groups, with commas between, \
                    such as (F8.3,F8.3,2E14.6); or give widths";

/// The layout of a format description, in parentheses.
///
/// # Errors
/// What is not understood, or cannot be read.
pub(crate) fn of_format(text: &str, limits: &Limits) -> Result<Layout, Fault> {
    let text = text.trim_end();
    let fault = |at: usize, message: String| Fault {
        at,
        message,
        hint: HINT,
    };
    if !text.trim_start().starts_with('(') {
        return Err(fault(
            0,
            format!("the format {:?} does not stand in parentheses", clip(text)),
        ));
    }
    let items = match list(text, 0) {
        Ok(("", items)) => items,
        Ok((rest, _)) => {
            let at = text.len() - rest.len();
            return Err(fault(at, format!("{rest:?} stands behind the format")));
        }
        Err(nom::Err::Error(e) | nom::Err::Failure(e)) => {
            let at = text.len() - e.input.len();
            return Err(fault(at, why(e.input)));
        }
        Err(nom::Err::Incomplete(_)) => return Err(fault(text.len(), why(""))),
    };
    let mut layout = Layout::default();
    let mut steps = limits.max_fields.saturating_mul(4);
    expand(&items, &mut layout, &mut 0, &mut steps, limits).map_err(|m| fault(0, m))?;
    if layout.slots.is_empty() {
        return Err(fault(0, "the format has no field".to_string()));
    }
    Ok(layout)
}

/// What is wrong with a format from a rest on.
fn why(rest: &str) -> String {
    let next = rest.trim_start_matches(|c: char| c.is_ascii_digit() || c == ' ');
    match next.chars().next().map(|c| c.to_ascii_uppercase()) {
        None => "the format ends without its closing parenthesis".to_string(),
        Some('/') => "the format has a `/`: its readings run over several lines".to_string(),
        Some('(') => format!("groups stand in groups more than {MOST_DEPTH} deep"),
        Some('T') => {
            "the format has a T descriptor, and columns that jump are not read".to_string()
        }
        Some('B') if next.len() > 1 && next[1..].starts_with(['z', 'Z']) => {
            "the format has BZ: blanks would be zeros, which is not read".to_string()
        }
        Some('F' | 'E' | 'D' | 'G' | 'I' | 'A') => {
            "the format has a descriptor without a width, or with one of 0".to_string()
        }
        Some(_) => format!("the format is not understood from {:?} on", clip(rest)),
    }
}

fn clip(text: &str) -> String {
    text.chars().take(12).collect()
}

fn list(input: &str, depth: usize) -> IResult<&str, Vec<Item>> {
    let comma = (multispace0, char(','), multispace0);
    // Behind a comma there is no way back, so that the error is that of the item.
    let more = many0(preceded(comma, cut(|i| several(i, depth))));
    let (rest, (first, more)) = preceded(
        (multispace0, char('('), multispace0),
        pair(|i| several(i, depth), more),
    )
    .parse(input)?;
    let (rest, _) = (multispace0, char(')'), multispace0).parse(rest)?;
    Ok((
        rest,
        first
            .into_iter()
            .chain(more.into_iter().flatten())
            .collect(),
    ))
}

/// An item; a scale factor needs no comma behind it.
fn several(input: &str, depth: usize) -> IResult<&str, Vec<Item>> {
    let (rest, scale) = opt(terminated(scale, multispace0)).parse(input)?;
    let (rest, item) = match scale {
        Some(_) => opt(|i| item(i, depth)).parse(rest)?,
        None => map(|i| item(i, depth), Some).parse(rest)?,
    };
    Ok((
        rest,
        scale.into_iter().map(Item::Scale).chain(item).collect(),
    ))
}

fn item(input: &str, depth: usize) -> IResult<&str, Item> {
    let group = |i| {
        let (rest, count) = repeat(i)?;
        // Behind a count, so that the error names the group.
        verify(tag("("), |_: &str| depth < MOST_DEPTH).parse(rest)?;
        let (rest, items) = list(rest, depth + 1)?;
        Ok((rest, Item::Group(count, items)))
    };
    if group_follows(input) {
        return group(input);
    }
    alt((
        map(pair(repeat, descriptor), |(n, d)| Item::Fields(n, d)),
        map(terminated(repeat, one_of("xX")), Item::Skip),
        map(literal, Item::Skip),
        value(Item::BlanksMeanNothing, tag_no_case("BN")),
        value(
            Item::Nothing,
            alt((tag_no_case("SP"), tag_no_case("SS"), tag_no_case("S"))),
        ),
    ))
    .parse(input)
}

fn group_follows(input: &str) -> bool {
    input
        .trim_start_matches(|c: char| c.is_ascii_digit())
        .trim_start()
        .starts_with('(')
}

/// A count above zero; 1 where there is none.
fn repeat(input: &str) -> IResult<&str, u32> {
    map(opt(terminated(positive, multispace0)), |n| n.unwrap_or(1)).parse(input)
}

fn positive(input: &str) -> IResult<&str, u32> {
    verify(integer, |n| *n > 0).parse(input)
}

fn integer(input: &str) -> IResult<&str, u32> {
    map_res(digit1, str::parse::<u32>).parse(input)
}

fn scale(input: &str) -> IResult<&str, i32> {
    terminated(
        map_res(recognize(pair(opt(one_of("+-")), digit1)), |t: &str| {
            t.trim_start_matches('+')
                .parse::<i32>()
                .ok()
                .filter(|k| k.abs() <= 300)
                .ok_or(())
        }),
        preceded(multispace0, one_of("pP")),
    )
    .parse(input)
}

/// `'text'` and `"text"`: their number of characters.
fn literal(input: &str) -> IResult<&str, u32> {
    let quoted = alt((
        delimited(char('\''), is_not("'"), char('\'')),
        delimited(char('"'), is_not("\""), char('"')),
    ));
    map_res(quoted, |t: &str| u32::try_from(t.chars().count())).parse(input)
}

fn descriptor(input: &str) -> IResult<&str, Descriptor> {
    let real = |i| {
        let names = alt((
            tag_no_case("EN"),
            tag_no_case("ES"),
            tag_no_case("E"),
            tag_no_case("F"),
            tag_no_case("D"),
            tag_no_case("G"),
        ));
        let exponent_width = opt(preceded(one_of("eE"), positive));
        map(
            terminated(
                (names, positive, preceded(char('.'), integer)),
                exponent_width,
            ),
            |(_, width, decimals)| Descriptor::Real { width, decimals },
        )
        .parse(i)
    };
    alt((
        real,
        map(
            terminated(
                preceded(tag_no_case("I"), positive),
                opt(preceded(char('.'), integer)),
            ),
            |width| Descriptor::Integer { width },
        ),
        map(preceded(tag_no_case("A"), positive), |width| {
            Descriptor::Word { width }
        }),
    ))
    .parse(input)
}

/// Writes out repeats and groups, within the limits: a count is never believed.
fn expand(
    items: &[Item],
    layout: &mut Layout,
    scale: &mut i32,
    steps: &mut usize,
    limits: &Limits,
) -> Result<(), String> {
    for item in items {
        let count = match item {
            Item::Fields(count, _) | Item::Group(count, _) => *count,
            _ => 1,
        };
        for _ in 0..count {
            *steps = steps
                .checked_sub(1)
                .ok_or("the format repeats more often than the limit on fields allows")?;
            match item {
                Item::Fields(_, descriptor) => {
                    let (width, edit) = edit(*descriptor, *scale);
                    layout.field(width, edit, limits)?;
                }
                Item::Skip(width) => layout.skip(*width as usize, limits)?,
                Item::Scale(k) => *scale = *k,
                Item::BlanksMeanNothing => layout.blanks_mean_nothing = true,
                Item::Nothing => {}
                Item::Group(_, items) => expand(items, layout, scale, steps, limits)?,
            }
        }
    }
    Ok(())
}

fn edit(descriptor: Descriptor, scale: i32) -> (usize, Edit) {
    match descriptor {
        Descriptor::Integer { width } => (width as usize, Edit::Integer),
        Descriptor::Word { width } => (width as usize, Edit::Word),
        Descriptor::Real { width, decimals } => {
            let decimals = decimals as usize;
            (width as usize, Edit::Real { decimals, scale })
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    /// Start, width and descriptor of every field.
    fn fields(text: &str) -> Vec<(usize, String)> {
        let layout = of_format(text, &Limits::small()).unwrap();
        layout
            .slots
            .iter()
            .map(|s| (s.start, s.descriptor()))
            .collect()
    }

    fn list_of(want: &[(usize, &str)]) -> Vec<(usize, String)> {
        want.iter().map(|(a, d)| (*a, (*d).to_string())).collect()
    }

    #[test]
    fn counts_skips_and_groups() {
        assert_eq!(
            fields("(F8.3,F8.3,2E14.6)"),
            list_of(&[(0, "F8.3"), (8, "F8.3"), (16, "F14.6"), (30, "F14.6")])
        );
        assert_eq!(
            fields(" ( I4 , 2x, 2( 1x, a5 ) ,G10.3E3)"),
            list_of(&[(0, "I4"), (7, "A5"), (13, "A5"), (18, "F10.3")])
        );
        assert_eq!(fields("(2(F5.1,2(1X,I2)))").len(), 6);
        assert_eq!(fields("('at ',F5.1)"), list_of(&[(3, "F5.1")]));
    }

    #[test]
    fn scale_factors_hold_for_what_follows() {
        let layout = of_format("(F8.3,1PE12.5,F8.3,0P,F8.3)", &Limits::small()).unwrap();
        let scales: Vec<i32> = layout
            .slots
            .iter()
            .map(|s| match s.edit {
                Edit::Real { scale, .. } => scale,
                _ => 0,
            })
            .collect();
        assert_eq!(scales, [0, 1, 1, 0]);
        assert_eq!(layout.scale(), Some(1));
        assert_eq!(
            of_format("(-2P,2F8.3)", &Limits::small()).unwrap().scale(),
            Some(-2)
        );
        assert!(
            of_format("(BN,F8.3)", &Limits::small())
                .unwrap()
                .blanks_mean_nothing
        );
    }

    #[test]
    fn refusals_say_what_and_where() {
        for (text, at, part) in [
            ("(F8.3,F8.3", 10, "closing parenthesis"),
            ("(F8.3,,F8.3)", 6, "not understood"),
            ("(F8.3,/,F8.3)", 6, "several lines"),
            ("(F8.3,T20,F8.3)", 6, "T descriptor"),
            ("(F0.3)", 1, "without a width"),
            ("(F8,I3)", 1, "without a width"),
            ("(BZ,I3)", 1, "blanks would be zeros"),
            ("(2X)", 0, "no field"),
            ("(99999F8.3)", 0, "more than 1024 fields"),
            ("(99999(1P))", 0, "repeats more often"),
            ("(F8.3) and more", 7, "stands behind"),
            ("((((((F8.3))))))", 4, "groups"),
            ("free text", 0, "parentheses"),
            ("", 0, "parentheses"),
        ] {
            let fault = of_format(text, &Limits::small()).unwrap_err();
            assert!(fault.message.contains(part), "{text}: {}", fault.message);
            assert_eq!(fault.at, at, "{text}: {}", fault.message);
        }
    }
}
