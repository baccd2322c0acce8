//! Patterns of titles: literal text, and placeholders in braces.

use crate::layout::Role;
use crate::parse::role::with_unit;
use crate::said::Said;
use crate::title::{Part, Slot, Title};
use spheresum_core::intake::text::choices::role_of;
use spheresum_core::intake::text::{Clip, Meaning, Unit, UnitText};
use spheresum_core::{Error, Result};

/// What is possible, for hints.
pub(crate) const POSSIBLE: &str = "{frequency_mhz}, {theta_deg}, {phi_deg}, {elevation_deg}, {clockwise_deg}, {polarisation} or {skip}";

/// Most titles of a layout.
const MOST: usize = 16;

/// Takes the patterns apart, and gives what they take, each thing once.
///
/// # Errors
/// Input: not such a pattern.
pub(crate) fn titles(said: &[Said<&str>]) -> Result<(Vec<Title>, Vec<Slot>)> {
    if let Some(beyond) = said.get(MOST) {
        return Err(Error::limit(format!("more than {MOST} titles"))
            .hint("describe each kind of title once, with placeholders for what differs")
            .at(beyond.place.clone()));
    }
    let (mut titles, mut slots) = (Vec::new(), Vec::new());
    for one in said {
        titles.push(title(one, &mut slots)?);
    }
    Ok((titles, slots))
}

fn title(said: &Said<&str>, slots: &mut Vec<Slot>) -> Result<Title> {
    let fail = |message: String, hint: &str| {
        Err(Error::input(message)
            .hint(hint.to_string())
            .at(said.place.clone()))
    };
    let text = said.value.trim();
    if text.contains(['\n', '\r']) {
        return fail(
            "a title is one line".to_string(),
            "write one pattern for each line, in a list",
        );
    }
    let mut parts: Vec<Part> = Vec::new();
    let mut rest = text;
    while !rest.is_empty() {
        let Some(after) = rest.strip_prefix('{') else {
            let end = rest.find('{').unwrap_or(rest.len());
            let (literal, behind) = rest.split_at(end);
            if literal.contains('}') {
                return fail(
                    "a } without its { in a title".to_string(),
                    "a placeholder stands between braces: {phi_deg}",
                );
            }
            parts.push(Part::Literal(blanks_as_one(literal)));
            rest = behind;
            continue;
        };
        let Some((name, behind)) = after.split_once('}') else {
            return fail(
                "a { without its } in a title".to_string(),
                "a placeholder stands between braces: {phi_deg}",
            );
        };
        if !matches!(parts.last(), None | Some(Part::Literal(_))) {
            return fail(
                format!(
                    "nothing stands between {{{}}} and the placeholder before it",
                    Clip(name)
                ),
                "write the text between them, so that it can be told where one ends",
            );
        }
        rest = behind;
        parts.push(if name.trim() == "skip" {
            Part::Skip
        } else {
            let index = slot(said, name, rest, slots)?;
            if parts.contains(&Part::Take(index)) {
                return fail(
                    format!("{{{}}} stands twice in a title", Clip(name)),
                    "write {skip} in one of the places",
                );
            }
            Part::Take(index)
        });
    }
    let says = |c: char| !c.is_whitespace();
    if !parts
        .iter()
        .any(|p| matches!(p, Part::Literal(text) if text.contains(says)))
    {
        return fail(
            "a title without any text of its own would be every line".to_string(),
            "write the words of the title around its placeholders, such as \"Phi = {phi_deg}\"",
        );
    }
    Ok(Title {
        text: text.to_string(),
        parts,
        place: said.place.clone(),
    })
}

/// The slot of a placeholder: an earlier one of the same role, or a new one.
fn slot(said: &Said<&str>, name: &str, behind: &str, slots: &mut Vec<Slot>) -> Result<usize> {
    let role = placeholder(said, name, behind)?;
    if let Some(index) = slots
        .iter()
        .position(|s| (s.role.meaning, &s.role.unit) == (role.meaning, &role.unit))
    {
        return Ok(index);
    }
    slots.push(Slot {
        text: format!("{{{}}}", name.trim()),
        role,
        place: said.place.clone(),
    });
    Ok(slots.len() - 1)
}

/// The role of a placeholder. A unit may stand behind it as text: `{frequency} MHz`.
fn placeholder(said: &Said<&str>, name: &str, behind: &str) -> Result<Role> {
    let name = name.trim();
    let known = role_of(name).filter(|(meaning, _)| {
        matches!(
            meaning,
            Meaning::Theta
                | Meaning::Phi
                | Meaning::Elevation
                | Meaning::Clockwise
                | Meaning::Frequency
                | Meaning::Polarisation
        )
    });
    let Some((meaning, unit)) = known else {
        return Err(
            Error::input(format!("{{{}}} is no placeholder of a title", Clip(name)))
                .hint(format!("possible: {POSSIBLE}"))
                .at(said.place.clone()),
        );
    };
    let unit = match unit {
        UnitText::None => unit_behind(behind, meaning).map_or(UnitText::None, UnitText::Known),
        known => known,
    };
    let role = Role {
        text: name.to_string(),
        meaning,
        unit,
    };
    with_unit(role, said)
}

/// The unit that the text behind a placeholder starts with.
fn unit_behind(behind: &str, meaning: Meaning) -> Option<Unit> {
    let word = behind
        .split('{')
        .next()?
        .trim_start()
        .split([' ', '\t', ',', ';', ':', ')', ']'])
        .next()?;
    let unit = Unit::parse(word)?;
    match (meaning, unit) {
        (Meaning::Frequency, Unit::Frequency(_)) => Some(unit),
        (Meaning::Frequency | Meaning::Polarisation, _) => None,
        (_, Unit::Deg | Unit::Rad) => Some(unit),
        _ => None,
    }
}

/// A literal with each run of blanks as one.
fn blanks_as_one(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        let c = if c == '\t' { ' ' } else { c };
        if c != ' ' || !out.ends_with(' ') {
            out.push(c);
        }
    }
    out
}
