//! Rows of numbers, read into columns as fast as can be.

use crate::frequencies::Frequencies;
use crate::leading::Leading;
use crate::recurring::Recurring;
use spheresum_core::intake::text::plan::{
    Angle, MAX_DB, PHI_DEG, Plan, Role, Scale, THETA_DEG, is_in,
};
use spheresum_core::intake::text::tokens::Tokens;
use spheresum_core::intake::text::{Separator, number};
use spheresum_core::{Limits, Polarisation};
use std::collections::HashMap;

/// Most rows of a block.
pub(crate) const BLOCK: usize = 512;

/// What is read from a column.
#[derive(Clone, Copy, Debug)]
enum Step {
    Skip,
    Frequency,
    Theta,
    Phi,
    Polarisation,
    /// A level in dBm that becomes watts later; its place among the values of the row.
    Level(usize),
    /// A real value.
    Real(Scale, usize),
    /// An imaginary part.
    Imaginary(Scale, usize),
}

/// What does not change from row to row.
#[derive(Debug)]
pub(crate) struct Shape<'p> {
    steps: Vec<Step>,
    per_row: usize,
    separator: u8,
    /// The separator where one alone stands between fields; a byte of no text under blanks.
    sign: u8,
    blanks: bool,
    decimal: u8,
    sensitivity: bool,
    max_line_bytes: usize,
    tokens: &'p Tokens,
    theta: Angle,
    phi: Angle,
    /// All values are dBm: they become watts a block at a time, which is several times faster.
    pub(crate) by_block: bool,
}

impl<'p> Shape<'p> {
    /// The shape of a plan's rows.
    pub(crate) fn of(plan: &'p Plan, separator: Separator, limits: &Limits) -> Self {
        let by_block = plan.cells.iter().all(|c| c.scale == Scale::Dbm);
        // Of each cell: the output that it is a part of, and whether it is the imaginary part.
        let mut places = HashMap::new();
        for (at, output) in plan.outputs.iter().enumerate() {
            places.insert(output.cell, (at, false));
            if let Some(imaginary) = output.imaginary {
                places.insert(imaginary, (at, true));
            }
        }
        let step = |role: &Role| match *role {
            Role::Skip | Role::Time(_) => Step::Skip,
            Role::Frequency(_) => Step::Frequency,
            Role::Theta(_) => Step::Theta,
            Role::Phi(_) => Step::Phi,
            Role::Polarisation => Step::Polarisation,
            Role::Cell(cell) => {
                let scale = plan.cells.get(cell).map_or(Scale::Field, |c| c.scale);
                match places.get(&cell) {
                    Some((at, false)) if by_block => Step::Level(*at),
                    Some((at, false)) => Step::Real(scale, *at),
                    Some((at, true)) => Step::Imaginary(scale, *at),
                    None => Step::Skip,
                }
            }
        };
        Self {
            steps: plan.roles.iter().map(step).collect(),
            per_row: plan.outputs.len(),
            separator: separator.byte(),
            sign: if separator == Separator::Blank {
                b'\0'
            } else {
                separator.byte()
            },
            blanks: separator == Separator::Blank,
            decimal: plan.decimal,
            sensitivity: plan.is_sensitivity(),
            max_line_bytes: limits.max_line_bytes,
            tokens: &plan.tokens,
            theta: angle(plan, |role| match role {
                Role::Theta(angle) => Some(*angle),
                _ => None,
            }),
            phi: angle(plan, |role| match role {
                Role::Phi(angle) => Some(*angle),
                _ => None,
            }),
            by_block,
        }
    }
}

/// How an angle of a plan is written; as it is, where there is none.
fn angle(plan: &Plan, of: impl Fn(&Role) -> Option<Angle>) -> Angle {
    plan.roles.iter().find_map(of).unwrap_or(Angle {
        radians: false,
        reversed: false,
        offset_deg: 0.0,
    })
}

/// What the rows of a block say beside their values.
#[derive(Debug)]
pub(crate) struct Rows {
    /// θ, degrees.
    pub(crate) theta_deg: [f64; BLOCK],
    /// φ, degrees.
    pub(crate) phi_deg: [f64; BLOCK],
    /// Index of the frequency.
    pub(crate) frequency: [u32; BLOCK],
    /// Polarisation of the row.
    pub(crate) polarisation: [Polarisation; BLOCK],
}

impl Default for Rows {
    fn default() -> Self {
        Self {
            theta_deg: [0.0; BLOCK],
            phi_deg: [0.0; BLOCK],
            frequency: [0; BLOCK],
            polarisation: [Polarisation::Total; BLOCK],
        }
    }
}

/// What is carried from row to row.
#[derive(Debug)]
pub(crate) struct State {
    leading: Leading,
    thetas: Recurring,
    phis: Recurring,
    frequencies: Frequencies,
    now: Now,
}

/// What the row at hand says beside its values.
#[derive(Clone, Copy, Debug)]
struct Now {
    theta_deg: f64,
    phi_deg: f64,
    frequency: u32,
    polarisation: Polarisation,
}

impl State {
    /// Before the first row of a plan.
    pub(crate) fn of(plan: &Plan) -> Self {
        let leading = plan
            .roles
            .iter()
            .take_while(|r| !matches!(r, Role::Cell(_)))
            .count();
        Self {
            leading: Leading::new(leading),
            thetas: Recurring::default(),
            phis: Recurring::default(),
            frequencies: Frequencies::default(),
            now: Now {
                theta_deg: 0.0,
                phi_deg: 0.0,
                frequency: 0,
                polarisation: Polarisation::Total,
            },
        }
    }

    /// Sets the index of the frequency that holds for all rows.
    pub(crate) fn fix_frequency(&mut self, index: usize) {
        self.now.frequency = u32::try_from(index).unwrap_or(u32::MAX);
    }

    /// Remembers the text of a frequency.
    pub(crate) fn learn_frequency(&mut self, text: &str, index: usize) {
        self.frequencies.learn(text.as_bytes(), index);
    }

    /// Forgets the row before: what is remembered may be half of one row and half of another.
    pub(crate) fn forget(&mut self) {
        self.leading.forget();
    }

    /// Reads at most `most` rows from `at` on; gives their number, and the offset behind the last. The row behind it has to be
    /// read by the careful path, if there are fewer.
    #[expect(
        clippy::too_many_arguments,
        reason = "buffers apart, so that the compiler knows that they are"
    )]
    #[inline(never)]
    pub(crate) fn take<const COMPLEX: bool>(
        &mut self,
        shape: &Shape<'_>,
        text: &[u8],
        mut at: usize,
        most: usize,
        rows: &mut Rows,
        value: &mut [f64],
        imaginary: &mut [f64],
    ) -> (usize, usize) {
        let mut now = self.now;
        let mut row = 0;
        let per_row = shape.per_row;
        let mut values = value.chunks_exact_mut(per_row);
        let mut imaginaries = imaginary.chunks_exact_mut(per_row);
        while row < most.min(BLOCK) {
            let Some(value) = values.next() else { break };
            let imaginary = match COMPLEX {
                true => imaginaries.next().unwrap_or_default(),
                false => &mut [],
            };
            let Some(next) = self.row(shape, text, at, &mut now, value, imaginary) else {
                break;
            };
            self.leading.keep();
            rows.theta_deg[row] = now.theta_deg;
            rows.phi_deg[row] = now.phi_deg;
            rows.frequency[row] = now.frequency;
            rows.polarisation[row] = now.polarisation;
            row += 1;
            at = next;
        }
        self.now = now;
        (row, at)
    }

    #[inline(always)]
    fn row(
        &mut self,
        shape: &Shape<'_>,
        text: &[u8],
        at: usize,
        now: &mut Now,
        value: &mut [f64],
        imaginary: &mut [f64],
    ) -> Option<usize> {
        let separator = shape.separator;
        let count = shape.steps.len();
        let (mut column, same) = self.leading.same(text, at);
        let mut pos = at + same;
        if column == 0 {
            pos = skip_blanks(text, at, separator);
            if matches!(text.get(pos)?, b'#' | b'!' | b'%' | b'/') {
                return None;
            }
        }
        while let Some(step) = shape.steps.get(column) {
            if text.get(pos).is_some_and(|byte| *byte <= b' ') {
                pos = skip_blanks(text, pos, separator);
            }
            match *step {
                Step::Level(place) => {
                    let (written, end) = number::scan(text, pos, shape.decimal)?;
                    // Never 0 W in this range.
                    if !(-MAX_DB..=MAX_DB).contains(&written) {
                        return None;
                    }
                    *value.get_mut(place)? = written;
                    pos = end;
                }
                Step::Real(scale, place) => {
                    let (written, end) = number::scan(text, pos, shape.decimal)?;
                    let linear = scale.linear(written)?;
                    if shape.sensitivity && linear == 0.0 {
                        return None;
                    }
                    *value.get_mut(place)? = linear;
                    pos = end;
                }
                Step::Imaginary(scale, place) => {
                    let (written, end) = number::scan(text, pos, shape.decimal)?;
                    *imaginary.get_mut(place)? = scale.linear(written)?;
                    pos = end;
                }
                Step::Polarisation => {
                    // Mostly one letter.
                    if text.get(pos + 1) == Some(&separator) {
                        now.polarisation = shape.tokens.quick_byte(*text.get(pos)?)?;
                        pos += 1;
                    } else {
                        let end = word_end(text, pos, separator)?;
                        now.polarisation = shape.tokens.quick(text.get(pos..end)?)?;
                        pos = end;
                    }
                }
                Step::Phi => {
                    (now.phi_deg, pos) = match self.phis.find(text, pos) {
                        Some(known) => known,
                        None => {
                            let (angle, decimal) = (shape.phi, shape.decimal);
                            direction(&mut self.phis, text, pos, angle, PHI_DEG, decimal)?
                        }
                    };
                }
                Step::Theta => {
                    (now.theta_deg, pos) = match self.thetas.find(text, pos) {
                        Some(known) => known,
                        None => {
                            let (angle, decimal) = (shape.theta, shape.decimal);
                            direction(&mut self.thetas, text, pos, angle, THETA_DEG, decimal)?
                        }
                    };
                }
                Step::Frequency => {
                    let end = word_end(text, pos, separator)?;
                    let index = self.frequencies.find(text.get(pos..end)?)?;
                    now.frequency = u32::try_from(index).ok()?;
                    pos = end;
                }
                Step::Skip => pos = field_end(text, pos, separator, shape.blanks)?,
            }
            column += 1;
            if column == count {
                break;
            }
            // The separator right behind the field; a run of blanks takes the longer way.
            if text.get(pos) == Some(&shape.sign) {
                pos += 1;
            } else {
                let behind = skip_blanks(text, pos, separator);
                let separates = if shape.blanks {
                    behind > pos
                } else {
                    text.get(behind) == Some(&separator)
                };
                if !separates {
                    return None;
                }
                pos = behind + usize::from(!shape.blanks);
            }
            self.leading.ends(column - 1, pos - at);
        }
        if text.get(pos) == Some(&b'\n') {
            return (pos - at <= shape.max_line_bytes).then_some(pos + 1);
        }
        let (end, next) = line_end(text, pos, separator)?;
        (end - at <= shape.max_line_bytes).then_some(next)
    }
}

/// Where the line ends, at `at` or behind blanks, and the offset behind its end.
fn line_end(text: &[u8], at: usize, separator: u8) -> Option<(usize, usize)> {
    let end = skip_blanks(text, at, separator);
    let behind = match text.get(end) {
        None => 0,
        Some(b'\n') => 1,
        Some(b'\r') if text.get(end + 1) == Some(&b'\n') => 2,
        Some(b'\r') => 1,
        Some(_) => return None,
    };
    Some((end, end + behind))
}

/// The angle at `at`, in degrees, which was not the one expected, and the offset behind it.
#[inline(never)]
fn direction(
    recurring: &mut Recurring,
    text: &[u8],
    at: usize,
    angle: Angle,
    range: (f64, f64),
    decimal: u8,
) -> Option<(f64, usize)> {
    let (written, end) = number::scan(text, at, decimal)?;
    let degrees = angle.degrees(written);
    if !is_in(range, degrees) {
        return None;
    }
    recurring.learn(text, at, end, degrees);
    Some((degrees, end))
}

#[inline(always)]
fn skip_blanks(text: &[u8], mut at: usize, separator: u8) -> usize {
    while let Some(byte) = text.get(at) {
        // Nearly always: no blank at all.
        if *byte > b' ' || (*byte != b' ' && (*byte != b'\t' || separator == b'\t')) {
            break;
        }
        at += 1;
    }
    at
}

/// End of a word without blanks and quotes.
#[inline(always)]
fn word_end(text: &[u8], from: usize, separator: u8) -> Option<usize> {
    let mut at = from;
    while let Some(byte) = text.get(at) {
        match byte {
            b'"' => return None,
            b'\n' | b'\r' | b' ' | b'\t' => break,
            b if *b == separator => break,
            _ => at += 1,
        }
    }
    (at > from).then_some(at)
}

/// End of a field that is not used.
fn field_end(text: &[u8], from: usize, separator: u8, blanks: bool) -> Option<usize> {
    if text.get(from) == Some(&b'"') || blanks && matches!(text.get(from), Some(b'(' | b'[')) {
        return None;
    }
    let mut at = from;
    while let Some(byte) = text.get(at) {
        match byte {
            b'\n' | b'\r' => break,
            b' ' | b'\t' if blanks => break,
            // Under blanks these hide separators.
            b'(' | b'[' if blanks => return None,
            b if *b == separator => break,
            _ => at += 1,
        }
    }
    Some(at)
}
