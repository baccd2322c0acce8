//! Validation: reference tables run through this library, and a record of what came out.
//!
//! The record says of each row what was wanted, what came out, how far apart they are, and what kind of source speaks for it, so that a laboratory can keep it as
//! evidence that the software it uses was checked (ISO/IEC 17025, 7.11.2). It is of the Rust face; the tests run the same tables through the command and C as
//! well.

mod record;

pub use record::{FileRecord, Largest, Record, RefusedTable, RowRecord, TableRecord};
