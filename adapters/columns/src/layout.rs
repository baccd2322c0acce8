//! Where the fields of a line stand.

use spheresum_core::Limits;

/// Most widths of one declaration, whatever the limits say: no claim becomes memory.
const MOST_CHARS: usize = 1 << 20;

/// How a field is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Edit {
    /// By `widths`: a number or a word.
    Any,
    /// `Iw`: digits without decimal sign.
    Integer,
    /// `Fw.d` and its kin, under a scale factor.
    Real {
        /// Digits behind the decimal sign where none is written.
        decimals: usize,
        /// `kP`.
        scale: i32,
    },
    /// `Aw`.
    Word,
}

/// A field: its characters in the line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Slot {
    /// First character.
    pub(crate) start: usize,
    /// Number of characters.
    pub(crate) width: usize,
    /// How it is written.
    pub(crate) edit: Edit,
}

impl Slot {
    /// The descriptor, for messages.
    pub(crate) fn descriptor(&self) -> String {
        match self.edit {
            Edit::Any => format!("width {}", self.width),
            Edit::Integer => format!("I{}", self.width),
            Edit::Real { decimals, .. } => format!("F{}.{decimals}", self.width),
            Edit::Word => format!("A{}", self.width),
        }
    }
}

/// The fields of a line, one a column, by their places.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Layout {
    /// The fields.
    pub(crate) slots: Vec<Slot>,
    /// Characters of a line.
    pub(crate) total: usize,
    /// `BN`: blanks inside a number mean nothing.
    pub(crate) blanks_mean_nothing: bool,
}

/// Why a declaration is refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Fault {
    /// Byte offset in the declaration.
    pub(crate) at: usize,
    /// What is wrong.
    pub(crate) message: String,
    /// What to do.
    pub(crate) hint: &'static str,
}

impl Layout {
    /// Adds characters that are left out.
    ///
    /// # Errors
    /// The line would be too long.
    pub(crate) fn skip(&mut self, width: usize, limits: &Limits) -> Result<(), String> {
        self.total = self.total.saturating_add(width);
        let most = limits.max_line_bytes.min(MOST_CHARS);
        match self.total > most {
            true => Err(format!(
                "the declared fields are wider than the limit of {most} bytes a line"
            )),
            false => Ok(()),
        }
    }

    /// Adds a field.
    ///
    /// # Errors
    /// Too many, or the line would be too long.
    pub(crate) fn field(
        &mut self,
        width: usize,
        edit: Edit,
        limits: &Limits,
    ) -> Result<(), String> {
        if self.slots.len() >= limits.max_fields {
            return Err(format!(
                "more than {} fields are declared",
                limits.max_fields
            ));
        }
        self.slots.push(Slot {
            start: self.total,
            width,
            edit,
        });
        self.skip(width, limits)
    }

    /// True where a field has a scale factor.
    pub(crate) fn scale(&self) -> Option<i32> {
        self.slots.iter().find_map(|s| match s.edit {
            Edit::Real { scale, .. } if scale != 0 => Some(scale),
            _ => None,
        })
    }
}

/// What a declaration of widths looks like.
const WIDTHS: &str =
    "write one width a column in characters, such as `8 8 14 14`; `2x` leaves two characters out";

/// The layout of declared widths: `8 8 14 14`, commas or blanks between, `2x` for characters that are left out.
///
/// # Errors
/// A width that is none.
pub(crate) fn of_widths(text: &str, limits: &Limits) -> Result<Layout, Fault> {
    let mut layout = Layout::default();
    let mut at = 0;
    let fault = |at: usize, message: String| Fault {
        at,
        message,
        hint: WIDTHS,
    };
    for part in text.split([',', ' ', '\t']) {
        let here = at;
        at += part.len() + 1;
        if part.is_empty() {
            continue;
        }
        let digits = part.trim_end_matches(['x', 'X']);
        let width = match digits.parse::<u32>() {
            Ok(width) if width > 0 && digits.len() + 1 >= part.len() => width as usize,
            _ => return Err(fault(here, format!("{part:?} is no width"))),
        };
        let added = match digits.len() == part.len() {
            true => layout.field(width, Edit::Any, limits),
            false => layout.skip(width, limits),
        };
        added.map_err(|message| fault(here, message))?;
    }
    if layout.slots.is_empty() {
        return Err(fault(0, "no width is declared".to_string()));
    }
    Ok(layout)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_and_skips() {
        let limits = Limits::small();
        let layout = of_widths("8, 2x 6", &limits).unwrap_or_default();
        let places: Vec<(usize, usize)> = layout.slots.iter().map(|s| (s.start, s.width)).collect();
        assert_eq!((places, layout.total), (vec![(0, 8), (10, 6)], 16));
        for (text, at) in [
            ("8 0", 2),
            ("8 a", 2),
            ("8 -3", 2),
            ("", 0),
            ("2x", 0),
            ("8 99999999999", 2),
            ("8 4xx", 2),
            ("16000 16000", 6),
        ] {
            let fault = of_widths(text, &limits).err();
            assert_eq!(fault.map(|f| f.at), Some(at), "{text}");
        }
        assert!(of_widths(&"1 ".repeat(2000), &limits).is_err());
    }
}
