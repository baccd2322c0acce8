//! What a text of JSON holds: a document with a schema word of ours, or a table in one of its shapes.

use crate::json::{Json, Name};
use crate::kind::Kind;
use crate::pieces;
use crate::syntax;
use spheresum_core::intake::text::{Meaning, classify, clip};
use spheresum_core::{Error, Result};

/// A key and its value.
pub(crate) type Member<'a> = (Name<'a>, &'a str);

/// Where the values of a table stand.
#[derive(Clone, Debug)]
pub(crate) enum Body<'a> {
    /// A list of objects, one a row.
    Rows(&'a str),
    /// Lists, one a column.
    Lists(Vec<Member<'a>>),
}

/// What may be the table of a file.
#[derive(Clone, Debug)]
pub(crate) struct Candidate<'a> {
    /// The object or list that holds the values.
    pub(crate) piece: &'a str,
    /// The key it stands under; `None` where it is the whole text.
    pub(crate) key: Option<Name<'a>>,
    /// The values.
    pub(crate) body: Body<'a>,
    /// Values inside of its object that hold for all of it, with their keys.
    own: Vec<(String, &'a str)>,
}

/// A table, and what stands beside it.
#[derive(Clone, Debug)]
pub(crate) struct Found<'a> {
    /// The table.
    pub(crate) table: Candidate<'a>,
    /// Values beside it that hold for all of it, with keys; a value of an object beside it has the object's key in front.
    pub(crate) beside: Vec<(String, &'a str)>,
    /// What stands beside it and is left out.
    pub(crate) unused: Vec<Name<'a>>,
}

impl Candidate<'_> {
    /// The texts of its headings: for rows, the keys of the first.
    pub(crate) fn headings(&self, json: &Json<'_>) -> Vec<String> {
        match &self.body {
            Body::Lists(all) => all.iter().map(|(name, _)| name.text.to_string()).collect(),
            Body::Rows(list) => first_keys(json, list),
        }
    }

    fn is_known(&self, json: &Json<'_>) -> bool {
        self.headings(json)
            .iter()
            .any(|h| classify(h).0 != Meaning::Unknown)
    }
}

/// The keys of the first object of a list of objects, up to where it stops being JSON.
fn first_keys(json: &Json<'_>, list: &str) -> Vec<String> {
    let mut keys = Vec::new();
    let blanks = [' ', '\t', '\n', '\r'];
    let object = list.get(1..).unwrap_or_default().trim_start_matches(blanks);
    // What is wrong with it is said where it is read.
    let _ = pieces::members(object, false, |key, _| {
        if keys.len() >= json.limits.max_fields {
            return Err(Error::limit("enough"));
        }
        keys.push(pieces::unescape(key).unwrap_or_default());
        Ok(())
    });
    keys
}

/// What a text holds.
#[derive(Clone, Debug)]
pub(crate) enum Sight<'a> {
    /// An object with a schema word that starts with `spheresum.`: the word's piece, and all members.
    Document(String, &'a str, Vec<Member<'a>>),
    /// A table.
    Table(Found<'a>),
    /// Several tables, none of them more than the others.
    Several(Vec<Candidate<'a>>),
    /// An object that holds values only.
    Values(Vec<Member<'a>>),
    /// A list of something else than objects.
    NoObjects(&'a str),
}

/// Start of the schema words of this project.
const OURS: &str = "spheresum.";

/// Sees what a text holds. `chosen` is the key of the table, where a person chose one.
///
/// # Errors
/// Input: not JSON, or a key twice. Limit. Usage: no table has the chosen key.
pub(crate) fn sight<'a>(json: &Json<'a>, chosen: Option<&str>) -> Result<Sight<'a>> {
    let root = json.root();
    match Kind::of(root) {
        Kind::Object if root.starts_with('{') => of_object(json, root, chosen),
        Kind::List if Kind::of_first_item(root) == Some(Kind::Object) => {
            refuse_choice(json, chosen, &[])?;
            Ok(Sight::Table(Found {
                table: Candidate {
                    piece: root,
                    key: None,
                    body: Body::Rows(root),
                    own: Vec::new(),
                },
                beside: Vec::new(),
                unused: Vec::new(),
            }))
        }
        Kind::List => {
            json.items(root, "a list", |_| Ok(()))?;
            Ok(Sight::NoObjects(root))
        }
        _ => Err(match serde_json::from_str::<serde::de::IgnoredAny>(root) {
            Err(error) => syntax::explain(json.source, root, &error),
            Ok(_) => Error::input("the text holds one value")
                .hint("a table is a list of objects, or an object of lists")
                .at(json.place(root)),
        }),
    }
}

fn of_object<'a>(json: &Json<'a>, root: &'a str, chosen: Option<&str>) -> Result<Sight<'a>> {
    let members = json.object(root, "an object")?;
    for (name, value) in &members {
        if name.text == "schema" && Kind::of(value) == Kind::Text {
            let word = json.unquote(value)?;
            if word.starts_with(OURS) {
                return Ok(Sight::Document(word.into_owned(), value, members));
            }
        }
    }
    let mut tables: Vec<Candidate<'a>> = Vec::new();
    let mut table = |name: &Name<'a>, piece, body, own| {
        tables.push(Candidate {
            piece,
            key: Some(name.clone()),
            body,
            own,
        });
    };
    let mut lists = Vec::new();
    let mut beside: Vec<(String, &'a str)> = Vec::new();
    let mut unused = Vec::new();
    for (name, value) in &members {
        let inside = Kind::of_first_item(value);
        match Kind::of(value) {
            Kind::Null => {}
            Kind::List if inside == Some(Kind::Object) => {
                table(name, *value, Body::Rows(value), Vec::new());
            }
            Kind::List if inside != Some(Kind::List) => lists.push((name.clone(), *value)),
            Kind::List => unused.push(name.clone()),
            Kind::Object => {
                let all = json.object(value, "an object")?;
                let (columns, rest): (Vec<_>, Vec<_>) =
                    all.into_iter().partition(|(_, v)| is_column(v));
                let values = rest.iter().filter(|(_, v)| is_value(v));
                if columns.is_empty() {
                    beside.extend(values.map(|(n, v)| (format!("{}.{}", name.text, n.text), *v)));
                    if rest.is_empty() || rest.iter().any(|(_, v)| !Kind::of(v).is_scalar()) {
                        unused.push(name.clone());
                    }
                } else {
                    let own = values.map(|(n, v)| (n.text.to_string(), *v)).collect();
                    table(name, *value, Body::Lists(columns), own);
                }
            }
            _ => beside.push((name.text.to_string(), value)),
        }
    }
    if !lists.is_empty() {
        tables.push(Candidate {
            piece: root,
            key: None,
            body: Body::Lists(lists),
            own: Vec::new(),
        });
    }
    refuse_choice(json, chosen, &tables)?;
    let (mut fit, mut others) = choose(json, chosen, tables);
    Ok(match (fit.pop(), fit.is_empty()) {
        (None, _) => Sight::Values(members),
        (Some(table), true) => {
            beside.extend(table.own.iter().cloned());
            for other in &mut others {
                match (&other.key, &mut other.body) {
                    (Some(key), _) => unused.push(key.clone()),
                    (None, Body::Lists(lists)) => {
                        unused.extend(lists.drain(..).map(|(name, _)| name));
                    }
                    (None, Body::Rows(_)) => {}
                }
            }
            Sight::Table(Found {
                table,
                beside,
                unused,
            })
        }
        (Some(last), false) => {
            fit.push(last);
            Sight::Several(fit)
        }
    })
}

/// The tables that a person chose, or those with known headings where there are several; and the others.
fn choose<'a>(
    json: &Json<'a>,
    chosen: Option<&str>,
    tables: Vec<Candidate<'a>>,
) -> (Vec<Candidate<'a>>, Vec<Candidate<'a>>) {
    if let Some(chosen) = chosen {
        let is = |c: &Candidate<'_>| c.key.as_ref().is_some_and(|k| k.text == chosen);
        return tables.into_iter().partition(is);
    }
    if tables.len() > 1 && tables.iter().any(|c| c.is_known(json)) {
        return tables.into_iter().partition(|c| c.is_known(json));
    }
    (tables, Vec::new())
}

/// True for a list of values.
fn is_column(piece: &str) -> bool {
    Kind::of(piece) == Kind::List && Kind::of_first_item(piece).is_none_or(Kind::is_scalar)
}

/// True for a value that says something.
fn is_value(piece: &str) -> bool {
    Kind::of(piece).is_scalar() && Kind::of(piece) != Kind::Null
}

fn refuse_choice(json: &Json<'_>, chosen: Option<&str>, tables: &[Candidate<'_>]) -> Result<()> {
    let keys: Vec<&str> = tables
        .iter()
        .filter_map(|t| t.key.as_ref())
        .map(|k| k.text.as_ref())
        .collect();
    match chosen {
        Some(chosen) if !keys.contains(&chosen) => Err(Error::usage(format!(
            "the option table names {chosen:?}, and no table stands under that key"
        ))
        .hint(match keys.is_empty() {
            true => "leave the option out: there is one table, or none".to_string(),
            false => format!("the keys with tables are {}", clip::list(&keys, 16, ", ")),
        })
        .at(json.place(json.root()))),
        _ => Ok(()),
    }
}
