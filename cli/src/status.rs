//! Exit status.

use spheresum_core::Group;

/// Exit status of the command. Of several the highest counts: 130, 70, 4, 3 and 2 before 1 before 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Status(u8);

impl Status {
    /// Done.
    pub const DONE: Self = Self(0);
    /// Done, and the answer is no.
    pub const NO: Self = Self(1);
    /// The call is wrong.
    pub const USAGE: Self = Self(2);
    /// A file cannot be read.
    pub const INPUT: Self = Self(3);
    /// The data cannot support what was asked.
    pub const DOMAIN: Self = Self(4);
    /// A fault in the program.
    pub const PANIC: Self = Self(70);
    /// Stopped on request, as shells number an interrupt. Nothing in the command asks for it so far.
    pub const CANCELLED: Self = Self(130);

    /// The number for the operating system.
    #[must_use]
    pub const fn code(self) -> u8 {
        self.0
    }

    /// The status that an error of a group leads to.
    #[must_use]
    pub const fn of(group: Group) -> Self {
        match group {
            Group::Usage => Self::USAGE,
            Group::Domain => Self::DOMAIN,
            Group::Cancelled => Self::CANCELLED,
            _ => Self::INPUT,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_group_has_its_status() {
        for group in Group::ALL {
            let want = match group {
                Group::Usage => 2,
                Group::Domain => 4,
                Group::Cancelled => 130,
                Group::Input | Group::Limit | Group::Unsupported | Group::Ambiguous | Group::Io => {
                    3
                }
                _ => 0,
            };
            assert_eq!(Status::of(group).code(), want);
        }
        assert_eq!(
            [Status::NO, Status::PANIC, Status::USAGE].into_iter().max(),
            Some(Status::PANIC)
        );
    }
}
