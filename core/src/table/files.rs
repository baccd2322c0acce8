//! A laboratory's own files as the input of a case.

use crate::error::{Error, Result};
use crate::intake::NamedFile;
use crate::unit::frequency::Frequency;

/// Files that are one run, and which of its frequencies the rows are about.
///
/// What reads them is not part of this crate: see [`run_with`](super::run_with). Their options are
/// [`Case::command_options`](super::Case::command_options).
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Files {
    /// As they are typed behind `--run NAME=`: a path, which counts from the folder of the table, with `@theta`, `@phi` or `@868.3`
    /// behind it where the file does not say so itself.
    pub files: Vec<String>,
    /// The frequency; `None` where the files hold one only.
    pub frequency: Option<Frequency>,
}

impl Files {
    /// The files with what is said of them.
    ///
    /// # Errors
    /// Usage: two polarisations or two frequencies of one file.
    pub fn named(&self) -> Result<Vec<NamedFile>> {
        let read = |text: &String| NamedFile::parse(text).map_err(Error::usage);
        self.files.iter().map(read).collect()
    }
}

/// Options as they are typed: `--NAME VALUE` or `--NAME=VALUE`; what holds a blank stands in quotation marks.
///
/// # Errors
/// Usage: a word that is no option, an option without value, marks that are not closed.
pub fn typed_options(text: &str) -> Result<Vec<(String, String)>> {
    let mut words = words(text)?.into_iter();
    let mut options = Vec::new();
    while let Some(word) = words.next() {
        let Some(name) = word.strip_prefix("--").filter(|n| !n.is_empty()) else {
            return Err(Error::usage(format!("{word:?} is no option"))
                .hint("options are --NAME VALUE, as behind the command"));
        };
        let (name, value) = match name.split_once('=') {
            Some((name, value)) => (name.to_string(), Some(value.to_string())),
            None => (name.to_string(), words.next()),
        };
        let value =
            value.ok_or_else(|| Error::usage(format!("the option --{name} has no value")))?;
        options.push((name, value));
    }
    Ok(options)
}

/// The options as one line that [`typed_options`] reads back.
///
/// # Errors
/// Usage: a value that holds both kinds of quotation marks, or a line end.
pub fn options_line(options: &[(String, String)]) -> Result<String> {
    let mut line = String::new();
    for (name, value) in options {
        let mark = match (value.contains('"'), value.contains('\'')) {
            _ if value.contains(['\n', '\r']) => None,
            (true, true) => None,
            (true, false) => Some('\''),
            (false, _) => Some('"'),
        };
        let Some(mark) = mark else {
            return Err(Error::usage(format!(
                "the value of --{name} cannot stand in a table: it holds both kinds of quotation marks, or a line end"
            )));
        };
        if !line.is_empty() {
            line.push(' ');
        }
        let plain = !value.is_empty() && !value.contains(char::is_whitespace);
        if plain && !value.contains(['"', '\'']) {
            line.push_str(&format!("--{name} {value}"));
        } else {
            line.push_str(&format!("--{name} {mark}{value}{mark}"));
        }
    }
    Ok(line)
}

/// Words between blanks; quotation marks of either kind hold what is in them together.
fn words(text: &str) -> Result<Vec<String>> {
    let mut words = Vec::new();
    let mut open: Option<(String, Option<char>)> = None;
    for sign in text.chars() {
        match (&mut open, sign) {
            (Some((_, mark @ Some(_))), _) if *mark == Some(sign) => *mark = None,
            (Some((word, Some(_))), _) => word.push(sign),
            (Some((word, None)), _) if sign.is_whitespace() => {
                words.push(std::mem::take(word));
                open = None;
            }
            (None, _) if sign.is_whitespace() => {}
            (Some((_, mark)), '"' | '\'') => *mark = Some(sign),
            (None, '"' | '\'') => open = Some((String::new(), Some(sign))),
            (Some((word, None)), _) => word.push(sign),
            (None, _) => open = Some((sign.to_string(), None)),
        }
    }
    match open {
        Some((_, Some(mark))) => Err(Error::usage(format!("a {mark} is not closed"))),
        Some((word, None)) => {
            words.push(word);
            Ok(words)
        }
        None => Ok(words),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn pair(name: &str, value: &str) -> (String, String) {
        (name.to_string(), value.to_string())
    }

    #[test]
    fn options_are_read_as_they_are_typed() {
        let read = typed_options(
            r#"--rule sine --column "Pwr V=eirp_theta_dbm" --pol=V=theta --unit ''  --x a"b c"d"#,
        );
        let wanted = [
            pair("rule", "sine"),
            pair("column", "Pwr V=eirp_theta_dbm"),
            pair("pol", "V=theta"),
            pair("unit", ""),
            pair("x", "ab cd"),
        ];
        assert_eq!(read.unwrap(), wanted);
        assert_eq!(typed_options("  ").unwrap(), []);
    }

    #[test]
    fn what_is_no_option_is_refused() {
        for text in ["rule sine", "--rule", "--", "--rule 'sine", "-r sine"] {
            assert!(typed_options(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_line_comes_back_as_it_was() {
        let options = [
            pair("rule", "sine"),
            pair("column", "Pwr V=a, it's"),
            pair("column", "6\" x=b"),
            pair("unit", ""),
            pair("floor", "-91.5"),
        ];
        let line = options_line(&options).unwrap();
        assert_eq!(typed_options(&line).unwrap(), options);
        assert!(options_line(&[pair("a", "'\"")]).is_err());
        assert!(options_line(&[pair("a", "b\nc")]).is_err());
    }
}
