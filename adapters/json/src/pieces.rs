//! JSON taken apart one level at a time by `serde_json`. Every piece stays a slice of the source's text, so that its place is
//! known and its digits are those of the file.

use serde::de::{Deserializer, MapAccess, SeqAccess, Visitor};
use serde_json::value::RawValue;
use spheresum_core::Error;
use std::fmt;

/// Why taking apart stopped.
#[derive(Debug)]
pub(crate) enum Stop {
    /// The text is not JSON.
    Syntax(serde_json::Error),
    /// The one who looked at the pieces said so.
    Own(Error),
}

/// Hands over the members of an object one by one: the key in its quotes, and the value. With `alone`, nothing may stand behind
/// the object.
pub(crate) fn members<'a>(
    object: &'a str,
    alone: bool,
    each: impl FnMut(&'a str, &'a str) -> Result<(), Error>,
) -> Result<(), Stop> {
    let mut refusal = None;
    let walk = Walk {
        each,
        refusal: &mut refusal,
    };
    let mut reader = serde_json::Deserializer::from_str(object);
    let mut done = reader.deserialize_map(walk);
    if alone {
        done = done.and_then(|()| reader.end());
    }
    end(done, refusal)
}

/// Hands over the items of a list one by one. With `alone`, nothing may stand behind the list.
pub(crate) fn items<'a>(
    list: &'a str,
    alone: bool,
    mut each: impl FnMut(&'a str) -> Result<(), Error>,
) -> Result<(), Stop> {
    let mut refusal = None;
    let walk = Walk {
        each: |_: &'a str, item| each(item),
        refusal: &mut refusal,
    };
    let mut reader = serde_json::Deserializer::from_str(list);
    let mut done = reader.deserialize_seq(walk);
    if alone {
        done = done.and_then(|()| reader.end());
    }
    end(done, refusal)
}

fn end(done: Result<(), serde_json::Error>, refusal: Option<Error>) -> Result<(), Stop> {
    match (done, refusal) {
        (_, Some(own)) => Err(Stop::Own(own)),
        (Err(syntax), None) => Err(Stop::Syntax(syntax)),
        (Ok(()), None) => Ok(()),
    }
}

/// Visits one level.
struct Walk<'r, F> {
    each: F,
    /// What `each` refused, carried past `serde_json`, which has no place for it.
    refusal: &'r mut Option<Error>,
}

impl<'a, F: FnMut(&'a str, &'a str) -> Result<(), Error>> Walk<'_, F> {
    fn hand_over<E: serde::de::Error>(&mut self, key: &'a str, value: &'a str) -> Result<(), E> {
        (self.each)(key, value).map_err(|own| {
            *self.refusal = Some(own);
            E::custom("refused")
        })
    }
}

impl<'a, F: FnMut(&'a str, &'a str) -> Result<(), Error>> Visitor<'a> for Walk<'_, F> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object or a list")
    }

    fn visit_map<A: MapAccess<'a>>(mut self, mut map: A) -> Result<(), A::Error> {
        while let Some((key, value)) = map.next_entry::<&'a RawValue, &'a RawValue>()? {
            self.hand_over(key.get(), value.get())?;
        }
        Ok(())
    }

    fn visit_seq<A: SeqAccess<'a>>(mut self, mut list: A) -> Result<(), A::Error> {
        while let Some(item) = list.next_element::<&'a RawValue>()? {
            self.hand_over("", item.get())?;
        }
        Ok(())
    }
}

/// True for a text that is one JSON number.
pub(crate) fn is_number(text: &str) -> bool {
    text.starts_with(|c: char| c == '-' || c.is_ascii_digit())
        && serde_json::from_str::<serde::de::IgnoredAny>(text).is_ok()
        && !text.ends_with([' ', '\t', '\n', '\r'])
}

/// A text in quotes without its escapes.
pub(crate) fn unescape(quoted: &str) -> Result<String, serde_json::Error> {
    serde_json::from_str(quoted)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn pieces_are_slices_with_their_digits() {
        let text = r#" {"a" : 1.250e+01 , "\u03b8": [ {} , "x" ] } "#;
        let mut seen = Vec::new();
        members(text, true, |key, value| {
            seen.push((key, value));
            Ok(())
        })
        .unwrap();
        assert_eq!(
            seen,
            [(r#""a""#, "1.250e+01"), (r#""\u03b8""#, r#"[ {} , "x" ]"#)]
        );
        let (from, to) = (text.as_ptr() as usize, text.as_ptr() as usize + text.len());
        for (key, value) in &seen {
            assert!((from..to).contains(&(key.as_ptr() as usize)));
            assert!((from..to).contains(&(value.as_ptr() as usize)));
        }
        assert_eq!(unescape(seen[1].0).unwrap(), "θ");
        let mut all = Vec::new();
        items(seen[1].1, false, |item| {
            all.push(item);
            Ok(())
        })
        .unwrap();
        assert_eq!(all, ["{}", r#""x""#]);
    }

    #[test]
    fn stops() {
        let stop = members(r#"{"a":1,}"#, true, |_, _| Ok(()));
        assert!(matches!(stop, Err(Stop::Syntax(_))));
        let stop = members(r#"{"a":1} {}"#, true, |_, _| Ok(()));
        assert!(matches!(stop, Err(Stop::Syntax(_))));
        let stop = items("[1,2,", true, |_| Err(Error::input("no")));
        assert!(matches!(stop, Err(Stop::Own(e)) if e.message() == "no"));
    }

    #[test]
    fn depth_costs_no_stack() {
        let deep = format!("[{}{}]", "[".repeat(1_000_000), "]".repeat(1_000_000));
        let mut count = 0;
        items(&deep, true, |_| {
            count += 1;
            Ok(())
        })
        .unwrap();
        assert_eq!(count, 1);
    }

    #[test]
    fn numbers_of_json() {
        for text in ["0", "-1.5e-7", "12"] {
            assert!(is_number(text), "{text}");
        }
        for text in ["", "+1", ".5", "5.", "01", "1 ", "nan", "-", "\"1\"", "[1]"] {
            assert!(!is_number(text), "{text}");
        }
    }
}
