//! Only the columns that are used: a file may have thousands of others.

use spheresum_core::intake::text::{Plan, Role, Table};

/// A table and its plan without the columns that are left out.
#[derive(Debug)]
pub(crate) struct Narrow<'t> {
    /// The table.
    pub(crate) table: Table<'t>,
    /// The plan.
    pub(crate) plan: Plan,
    /// Where each column of the whole table is now.
    pub(crate) places: Vec<Option<usize>>,
}

impl<'t> Narrow<'t> {
    /// Leaves columns out.
    pub(crate) fn of(table: &Table<'t>, plan: &Plan) -> Self {
        let mut count = 0;
        let places: Vec<Option<usize>> = plan
            .roles
            .iter()
            .map(|role| {
                let used = *role != Role::Skip;
                count += usize::from(used);
                used.then(|| count - 1)
            })
            .collect();
        let at = |column: usize| places.get(column).copied().flatten();
        let mut narrow = plan.clone();
        narrow.roles.retain(|role| *role != Role::Skip);
        for cell in &mut narrow.cells {
            cell.column = at(cell.column).unwrap_or_default();
        }
        let kept = table.headings.iter().enumerate();
        let headings = kept
            .filter(|(column, _)| at(*column).is_some())
            .map(|(_, heading)| heading.clone())
            .collect();
        Self {
            table: Table::new(table.entries.clone(), headings, table.spot),
            plan: narrow,
            places,
        }
    }
}
