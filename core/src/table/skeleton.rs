//! A table to start from: what a run gives today, marked as this library's own output.

use crate::error::{Error, Result};
use crate::figure::{Figure, FigureState};
use crate::reduce::Reduction;
use crate::table::files::options_line;
use crate::table::judge::state_word;
use crate::unit::frequency::Frequency;
use std::fmt::Write as _;

/// A run whose figures become rows.
#[derive(Clone, Copy, Debug)]
pub struct SkeletonCase<'a> {
    /// Name of the run.
    pub name: &'a str,
    /// Its files as they stand behind `--run NAME=`, from the folder of the table.
    pub files: &'a [String],
    /// The options it was read and reduced with: name without dashes, value.
    pub options: &'a [(String, String)],
    /// What came out.
    pub reduction: &'a Reduction,
}

/// A table of snapshots.
#[derive(Clone, Copy, Debug)]
pub struct Skeleton<'a> {
    /// What it is about.
    pub title: &'a str,
    /// What the rows come from: the program's version and the date.
    pub source: &'a str,
    /// The runs.
    pub cases: &'a [SkeletonCase<'a>],
}

/// Near enough for the same files on another machine; none of the tables' tolerances needs a reason below this.
const WITHIN: &str = "1e-9";

impl Skeleton<'_> {
    /// The table: one case a frequency, one row a figure, with the source `snapshot`.
    ///
    /// A snapshot holds a result still; it says nothing on whether it is right. The laboratory puts the values and sources of its own in their place.
    ///
    /// # Errors
    /// Usage: a file name with a comma or a line end, or an option that cannot stand on one line.
    pub fn table(&self) -> Result<String> {
        if one_line(self.source).is_empty() {
            return Err(Error::usage("the source of a table's rows has to be named")
                .hint("give a version and a date, say"));
        }
        let (mut body, mut rows, mut names) = (String::new(), 0, Vec::new());
        for case in self.cases {
            let several = case.reduction.channels.len() > 1;
            for channel in &case.reduction.channels {
                let frequency = channel.frequency_hz.filter(|_| several);
                let name = free_name(case.name, frequency, &names);
                let _ = writeln!(body, "\ncase: {name}");
                names.push(name);
                let _ = writeln!(body, "  files: {}", files_line(case.files)?);
                if let Some(frequency) = frequency {
                    let _ = writeln!(body, "  frequency: {frequency}");
                }
                if !case.options.is_empty() {
                    let _ = writeln!(body, "  options: {}", options_line(case.options)?);
                }
                for figure in &channel.figures {
                    body.push_str(&self.row(figure));
                    rows += 1;
                }
                if let Some(bias) = channel.noise.as_ref().and_then(|n| n.bias_db) {
                    body.push_str(&self.value("noise-bias", bias, "dB"));
                    rows += 1;
                }
            }
        }
        let title = one_line(self.title);
        Ok(format!(
            "# What the program gave for these files. A snapshot shows that nothing changed, not that it is right: put values with\n\
             # sources of your own in place of these rows, and say how far off a result may be.\n\
             table: {title}\nrows: {rows}\n{body}"
        ))
    }

    fn row(&self, figure: &Figure) -> String {
        match (figure.state, figure.value) {
            (FigureState::Value, Some(value)) => {
                self.value(&figure.name, value, figure.unit.symbol())
            }
            (state, _) => format!(
                "  is: {} | {} | {}\n",
                figure.name,
                state_word(state),
                self.source()
            ),
        }
    }

    fn value(&self, name: &str, value: f64, unit: &str) -> String {
        // Levels differ by decibels.
        let difference = match unit {
            "%" => "%",
            _ => "dB",
        };
        format!(
            "  gives: {name} | {value} {unit} | within {WITHIN} {difference} | {}\n",
            self.source()
        )
    }

    fn source(&self) -> String {
        format!("snapshot: {}", one_line(self.source))
    }
}

/// A name of a case that is not taken: small letters, digits, hyphens, underscores and points.
fn free_name(run: &str, frequency: Option<Frequency>, taken: &[String]) -> String {
    let plain = |c: char| match c.to_ascii_lowercase() {
        c if c.is_ascii_lowercase() || c.is_ascii_digit() || matches!(c, '_' | '.') => c,
        _ => '-',
    };
    let run: String = run.chars().map(plain).collect();
    let name = match frequency {
        Some(frequency) => format!("{run}-{}", frequency.mhz()),
        None => run,
    };
    let numbered = (2..).map(|n: usize| format!("{name}-{n}"));
    std::iter::once(name.clone())
        .chain(numbered)
        .find(|n| !taken.contains(n))
        .unwrap_or(name)
}

fn files_line(files: &[String]) -> Result<String> {
    match files
        .iter()
        .find(|f| f.contains([',', '\n', '\r']) || f.trim() != f.as_str() || f.is_empty())
    {
        Some(file) => Err(Error::usage(format!("{file:?} cannot stand in a table"))
            .hint("rename the file: no comma, no line end, no blank at the ends")),
        None => Ok(files.join(", ")),
    }
}

fn one_line(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    words.join(" ")
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::limits::Limits;
    use crate::reduce::{ReduceOptions, reduce_readings};
    use crate::table::{builtin, judge, parse, run_with};

    /// A reduction of the first sphere that comes with the library.
    fn reduction(options: &ReduceOptions) -> Reduction {
        let readings = crate::table::SPHERES[0].readings().unwrap();
        reduce_readings(&[readings], options, &Limits::default()).unwrap()
    }

    fn written(reduction: &Reduction, name: &str) -> String {
        let options = [("rule".to_string(), "auto".to_string())];
        let case = SkeletonCase {
            name,
            files: &["a b.csv@theta".to_string(), "c.csv@phi".to_string()],
            options: &options,
            reduction,
        };
        Skeleton {
            title: "golden\ndevice",
            source: "spheresum, today",
            cases: &[case, case],
        }
        .table()
        .unwrap()
    }

    #[test]
    fn what_is_written_is_a_table_that_passes() {
        let reduction = reduction(&ReduceOptions::default());
        let text = written(&reduction, "Golden device/A");
        let table = parse("golden.tbl", &text).unwrap();
        assert_eq!(table.title, "golden device");
        let names: Vec<&str> = table.cases.iter().map(|c| c.name.as_str()).collect();
        assert_eq!(names, ["golden-device-a", "golden-device-a-2"]);
        assert_eq!(table.row_count(), 2 * reduction.channels[0].figures.len());
        for case in &table.cases {
            assert_eq!(case.command_options, [("rule".into(), "auto".into())]);
            let outcome = run_with(case, &mut |_, files| {
                assert_eq!(files.files, ["a b.csv@theta", "c.csv@phi"]);
                Ok(reduction.clone())
            });
            for row in &case.rows {
                assert!(row.is_snapshot());
                let judgement = judge(row, &outcome);
                assert!(judgement.passed, "{}", judgement.message);
            }
        }
    }

    #[test]
    fn another_result_fails() {
        let now = reduction(&ReduceOptions::default());
        let text = written(&now, "a");
        let mut later = now.clone();
        let figure = later.channels[0]
            .figures
            .iter_mut()
            .find(|f| f.name == "trp")
            .unwrap();
        figure.value = figure.value.map(|v| v + 2e-9);
        let table = parse("golden.tbl", &text).unwrap();
        let outcome = run_with(&table.cases[0], &mut |_, _| Ok(later.clone()));
        let failed: Vec<bool> = table.cases[0]
            .rows
            .iter()
            .map(|r| !judge(r, &outcome).passed)
            .collect();
        assert_eq!(failed.iter().filter(|f| **f).count(), 1);
    }

    #[test]
    fn tables_that_come_with_the_library_name_no_files() {
        for (name, text) in builtin() {
            for case in parse(name, text).unwrap().cases {
                let mut asked = false;
                let _ = run_with(&case, &mut |_, _| {
                    asked = true;
                    Err(Error::usage("none"))
                });
                assert!(!asked, "{name} {}", case.name);
            }
        }
    }

    #[test]
    fn names_of_files_that_would_be_read_as_others_are_refused() {
        for name in ["a,b.csv", "a\nb.csv", " a.csv", ""] {
            assert!(files_line(&[name.to_string()]).is_err(), "{name:?}");
        }
    }
}
