//! What a layout says, checked.

use crate::said::Said;
use crate::title::{Slot, Title};
use spheresum_core::intake::text::{Meaning, Separator, Unit, UnitText, What, column_frequency};
use spheresum_core::{Frequency, Place, Polarisation};

/// A layout: the description of one text format, read from a TOML text by [`Layout::parse`].
///
/// A layout that could be parsed is complete and free of contradictions; what it says of a file's headings is compared with the
/// file when that is read.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    pub(crate) file: String,
    pub(crate) id: Said<String>,
    pub(crate) name: String,
    pub(crate) kind: Said<Kind>,
    pub(crate) recognise: Recognise,
    pub(crate) text: TextRules,
    pub(crate) columns: Vec<Column>,
    pub(crate) matrix: Option<Matrix>,
    pub(crate) constants: Constants,
    pub(crate) conventions: Conventions,
    pub(crate) tokens: Vec<Token>,
    pub(crate) polarisation_words: Vec<(String, Polarisation)>,
}

impl Layout {
    /// Largest layout, in bytes.
    pub const MAX_BYTES: usize = 64 * 1024;

    /// Its id, in kebab case: that of its adapter.
    #[must_use]
    pub fn id(&self) -> &str {
        &self.id.value
    }

    /// One line on what it reads.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The file it was read from.
    #[must_use]
    pub fn file(&self) -> &str {
        &self.file
    }
}

/// The shape of the text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Rows of fields.
    Table,
    /// Blocks of values over two axes.
    Matrix,
    /// Rows of fields in blocks, below a title with the angle that is fixed.
    Cuts,
    /// Rows of fields by ranges of characters.
    Fixed,
}

impl Kind {
    pub(crate) const ALL: [Self; 4] = [Self::Table, Self::Matrix, Self::Cuts, Self::Fixed];

    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Table => "table",
            Self::Matrix => "matrix",
            Self::Cuts => "cuts",
            Self::Fixed => "fixed",
        }
    }
}

/// Marks by which a file is recognised.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Recognise {
    pub(crate) first_line_contains: Vec<String>,
    pub(crate) contains: Vec<String>,
    pub(crate) name_ends_with: Vec<String>,
}

/// How the text is written.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct TextRules {
    pub(crate) separator: Separator,
    pub(crate) decimal: Option<Said<u8>>,
    pub(crate) comments: Vec<String>,
    pub(crate) quote: Option<u8>,
    pub(crate) skip_lines: Option<Said<u64>>,
    pub(crate) skip_until: Option<Said<String>>,
    pub(crate) stop_at: Option<Said<String>>,
    pub(crate) heading_line: bool,
    pub(crate) titles: Vec<Title>,
    /// What the titles take, each once.
    pub(crate) slots: Vec<Slot>,
}

/// Where the field of a column stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Pick {
    /// Below a heading.
    Heading(String),
    /// By number, from 1.
    Number(usize),
    /// By characters from 1, both included.
    Range(usize, usize),
}

/// A role: what a column, an axis or a title's part is.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Role {
    /// As the layout writes it.
    pub(crate) text: String,
    pub(crate) meaning: Meaning,
    pub(crate) unit: UnitText,
}

impl Role {
    /// Takes the frequency that a heading names, for values that have none; false where they have another.
    pub(crate) fn take_frequency_of(&mut self, heading: &str) -> bool {
        let Meaning::Value(name) = &mut self.meaning else {
            return true;
        };
        let own = column_frequency::of(heading);
        let differ = own.is_some() && name.frequency.is_some() && own != name.frequency;
        name.frequency = name.frequency.or(own);
        !differ
    }
}

/// A column, and what it is.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Column {
    pub(crate) pick: Pick,
    pub(crate) role: Role,
    pub(crate) place: Place,
}

/// A matrix: its axes and values.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Matrix {
    /// Runs down the first column.
    pub(crate) row_axis: Said<Role>,
    /// Runs along the first line.
    pub(crate) column_axis: Said<Role>,
    pub(crate) values: Said<Role>,
    /// The first line has a cell above the row axis.
    pub(crate) corner: bool,
}

/// What the file leaves out.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Constants {
    pub(crate) frequency: Option<Said<Frequency>>,
    pub(crate) polarisation: Option<Said<Polarisation>>,
    pub(crate) quantity: Option<Said<What>>,
    pub(crate) unit: Option<Said<Unit>>,
    pub(crate) angles: Option<Said<Unit>>,
    /// Degrees, as written.
    pub(crate) theta_deg: Option<Said<String>>,
    /// Degrees, as written.
    pub(crate) phi_deg: Option<Said<String>>,
}

/// Signs and angles that are not as usual.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Conventions {
    /// The polar angle is an elevation; false: it is counted from the pole.
    pub(crate) elevation: Option<Said<bool>>,
    /// φ runs clockwise; false: it runs counterclockwise.
    pub(crate) clockwise: Option<Said<bool>>,
    pub(crate) theta_offset_deg: f64,
    pub(crate) phi_offset_deg: f64,
    /// Fields follow e^{−jωt}.
    pub(crate) conjugate: Option<Said<bool>>,
    pub(crate) losses_are_negative: bool,
}

/// A text of value fields that stands for something else.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Token {
    pub(crate) text: String,
    pub(crate) stands_for: StandsFor,
    pub(crate) place: Place,
}

/// What a token stands for. Levels are written with a decimal point, in the column's unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum StandsFor {
    Missing,
    AtMost(String),
    AtLeast(String),
    Lost,
}
