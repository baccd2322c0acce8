//! Status numbers: families of 1000, by who must act. A number is never used again for something else.

use spheresum_core::Group;

/// Done.
pub const SPHERESUM_STATUS_OK: i32 = 0;
/// The data is wrong: mend the data. First of the family 1000..1999.
pub const SPHERESUM_STATUS_INPUT: i32 = 1000;
/// The call is wrong: mend the arguments. First of the family 2000..2999.
pub const SPHERESUM_STATUS_USAGE: i32 = 2000;
/// The data cannot support what was asked: measure more, or ask for less. First of the family 3000..3999.
pub const SPHERESUM_STATUS_DOMAIN: i32 = 3000;
/// A limit was reached: give less. First of the family 4000..4999.
pub const SPHERESUM_STATUS_LIMIT: i32 = 4000;
/// Well-formed, but not something that this version does. First of the family 5000..5999.
pub const SPHERESUM_STATUS_UNSUPPORTED: i32 = 5000;
/// Several meanings are possible: choose one. First of the family 6000..6999.
pub const SPHERESUM_STATUS_AMBIGUOUS: i32 = 6000;
/// The operating system said no. First of the family 7000..7999.
pub const SPHERESUM_STATUS_IO: i32 = 7000;
/// The caller said stop. First of the family 8000..8999.
pub const SPHERESUM_STATUS_CANCELLED: i32 = 8000;
/// A fault of this library, caught. Nothing was written; please report the message.
pub const SPHERESUM_STATUS_INTERNAL: i32 = 9000;

/// The family of a group.
pub(crate) fn of_group(group: Group) -> i32 {
    match group {
        Group::Input => SPHERESUM_STATUS_INPUT,
        Group::Usage => SPHERESUM_STATUS_USAGE,
        Group::Domain => SPHERESUM_STATUS_DOMAIN,
        Group::Limit => SPHERESUM_STATUS_LIMIT,
        Group::Unsupported => SPHERESUM_STATUS_UNSUPPORTED,
        Group::Ambiguous => SPHERESUM_STATUS_AMBIGUOUS,
        Group::Io => SPHERESUM_STATUS_IO,
        Group::Cancelled => SPHERESUM_STATUS_CANCELLED,
        // A group that core has and this list has not is a fault of ours; the test below finds it.
        _ => SPHERESUM_STATUS_INTERNAL,
    }
}

/// The group of a status; none for success, INTERNAL and numbers that are no status.
pub(crate) fn group_of(status: i32) -> Option<Group> {
    let index = usize::try_from(status / 1000 - 1).ok()?;
    Group::ALL.get(index).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn families_follow_the_groups() {
        for (index, group) in (1..).zip(Group::ALL) {
            assert_eq!(of_group(group), 1000 * index, "{}", group.as_str());
            assert_eq!(group_of(1000 * index + 999), Some(group));
        }
        for none in [0, 999, -1, -1000, 9000, i32::MAX, i32::MIN] {
            assert_eq!(group_of(none), None, "{none}");
        }
    }
}
