//! The keys of a list of objects: the headings of a table.

use crate::json::{Json, Name};
use crate::kind::Kind;
use spheresum_core::intake::text::{Plan, settle};
use spheresum_core::{Error, Result};
use std::collections::HashMap;

/// What an item of a list of rows is called in a message.
pub(crate) const ROW: &str = "an object, one a row";

/// The keys of all objects of a list.
#[derive(Clone, Debug, Default)]
pub(crate) struct Keys<'a> {
    /// The keys, in the order in which they were first met.
    pub(crate) names: Vec<Name<'a>>,
    /// Their indices by text.
    index: HashMap<String, usize>,
    /// The decimal sign of the first number in quotes under each key.
    signs: Vec<Option<u8>>,
    /// The key that is looked for first: most objects have their keys in one order.
    next: usize,
    /// Number of objects.
    pub(crate) rows: usize,
}

impl<'a> Keys<'a> {
    /// Collects the keys. `check` may refuse one when it is first met.
    ///
    /// # Errors
    /// Input: an item that is no object. Limit: too many keys. And what `check` gives.
    pub(crate) fn of(
        json: &Json<'a>,
        list: &'a str,
        mut check: impl FnMut(&Name<'a>) -> Result<()>,
    ) -> Result<Self> {
        let mut keys = Self::default();
        let most = json.limits.max_fields;
        json.items(list, "a list of objects", |object| {
            keys.rows += 1;
            keys.next = 0;
            json.members(object, ROW, |name, value| {
                let at = match keys.find(&name) {
                    Some(at) => at,
                    None if keys.names.len() >= most => {
                        return Err(Error::limit(format!("more than {most} different keys"))
                            .hint("raise the limit on fields, or check that this is a file of readings")
                            .at(json.place(name.piece)));
                    }
                    None => {
                        check(&name)?;
                        keys.add(name)
                    }
                };
                if let (Some(sign @ None), Kind::Text) = (keys.signs.get_mut(at), Kind::of(value)) {
                    *sign = settle::sign_of(value);
                }
                Ok(())
            })
        })?;
        Ok(keys)
    }

    fn add(&mut self, name: Name<'a>) -> usize {
        let at = self.names.len();
        self.index.insert(name.text.to_string(), at);
        self.names.push(name);
        self.signs.push(None);
        at
    }

    /// Puts the keys into the order of a rank.
    pub(crate) fn sort_by_key(&mut self, rank: impl Fn(&Name<'a>) -> usize) {
        let mut all: Vec<_> = self.names.drain(..).zip(self.signs.drain(..)).collect();
        all.sort_by_key(|(name, _)| rank(name));
        (self.names, self.signs) = all.into_iter().unzip();
        let by_text = self.names.iter().enumerate();
        self.index = by_text.map(|(at, n)| (n.text.to_string(), at)).collect();
    }

    /// Begins an object.
    pub(crate) const fn begin(&mut self) {
        self.next = 0;
    }

    /// Index of a key.
    pub(crate) fn find(&mut self, name: &Name<'a>) -> Option<usize> {
        let at = match self.names.get(self.next) {
            Some(expected) if expected.text == name.text => self.next,
            _ => *self.index.get(name.text.as_ref())?,
        };
        self.next = at + 1;
        Some(at)
    }

    /// The decimal sign of the first column of numbers in quotes that have one.
    pub(crate) fn sign(&self, plan: &Plan) -> Option<u8> {
        let numbers = plan.roles.iter().zip(&self.signs);
        numbers
            .filter(|(role, _)| role.is_number())
            .find_map(|(_, sign)| *sign)
    }
}
