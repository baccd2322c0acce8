//! A tiny adapter that keeps every promise, or breaks one: `tiny 1` in the first line, then `theta phi level` in each.

use spheresum_core::intake::{
    Adapter, Confidence, Description, Head, Intake, Look, Pieces, ReadOptions, Source, Yield,
};
use spheresum_core::kit::{Failures, Kit, Refusal, Report, Sample};
use spheresum_core::unit::level::w_from_dbm;
use spheresum_core::{
    Curve, Error, Excerpt, Finding, Frequency, Group, Limits, Mark, Polarisation, Quantity,
    Reading, Readings, Result, Value,
};
use std::sync::atomic::{AtomicUsize, Ordering};

/// A promise to break.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Break {
    Nothing,
    NoSpecification,
    CamelId,
    RefusesTwoRows,
    NeverSure,
    NoReason,
    ReadsBadFiles,
    FirstLineOnly,
    ColumnBehindLine,
    ByteElsewhere,
    OtherExcerpt,
    OtherSource,
    NoHint,
    NoPlace,
    NoColumn,
    LongMessage,
    DomainError,
    SureOfAll,
    CertainOfAll,
    PanicsOnShortLines,
    PanicsOnSpice,
    PanicsInLook,
    IgnoresReadings,
    IgnoresLineBytes,
    IgnoresFields,
    LimitOneEarly,
    LastOneWins,
    SortedRows,
    FirstRowIsReference,
    Counts,
    RefusesReturns,
    LooksAtLineFeeds,
    TakesAllOptions,
    LineBehindFile,
    NothingRead,
    CurveBeside,
    OtherQuantity,
    ManyFindings,
    MuchMetadata,
    FirstPieceOnly,
}

pub struct Tiny {
    description: Description,
    how: Break,
    reads: AtomicUsize,
}

impl Tiny {
    pub fn new(how: Break) -> Self {
        let id = if how == Break::CamelId {
            "Tiny"
        } else {
            "tiny"
        };
        let mut description =
            Description::new(id, "a tiny format", Yield::Readings).with_quantities(&["eirp"]);
        if how != Break::NoSpecification {
            description = description.with_specification("tests/kit/tiny.rs");
        }
        let reads = AtomicUsize::new(0);
        Self {
            description,
            how,
            reads,
        }
    }

    fn is(&self, how: Break) -> bool {
        self.how == how
    }

    fn error(&self, source: &Source, line: u64, start: usize, error: Error) -> Error {
        let number = if self.is(Break::FirstLineOnly) {
            1
        } else {
            line
        };
        let line = source.lines().find(|l| l.number == number).unwrap();
        let mut place = source.place(line, start, line.text.len());
        match self.how {
            Break::ColumnBehindLine => place.column = Some(line.text.len() as u64 + 2),
            Break::ByteElsewhere => place.byte = place.byte.map(|b| b + 1),
            Break::OtherExcerpt => place.excerpt = Some(Excerpt::new("# tiny", 0, 6)),
            Break::OtherSource => place.source = Some("tiny".to_string()),
            Break::NoColumn => place.column = None,
            _ => {}
        }
        let error = match self.how {
            Break::LongMessage => Error::new(error.group(), source.text().repeat(100)),
            Break::DomainError => Error::domain("no"),
            _ => error,
        };
        let error = if self.is(Break::NoHint) {
            error
        } else {
            error.hint("mend it")
        };
        if self.is(Break::NoPlace) {
            error
        } else {
            error.at(place)
        }
    }

    fn options(&self, options: &ReadOptions) -> Result<()> {
        if options.named.is_empty() || self.is(Break::TakesAllOptions) {
            return Ok(());
        }
        Err(Error::usage("tiny has no options").hint("give none"))
    }

    fn limits(&self, source: &Source, limits: &Limits) -> Result<Limits> {
        let mut kept = limits.clone();
        match self.how {
            Break::IgnoresReadings => kept.max_readings = usize::MAX,
            Break::IgnoresLineBytes => kept.max_line_bytes = usize::MAX,
            Break::IgnoresFields => kept.max_fields = usize::MAX,
            Break::LimitOneEarly => kept.max_line_bytes = kept.max_line_bytes.saturating_sub(1),
            _ => {}
        }
        let too_long = source.lines().find(|l| {
            l.text.len() > kept.max_line_bytes || l.text.split(' ').count() > kept.max_fields
        });
        match too_long {
            Some(line) => Err(self.error(source, line.number, 0, Error::limit("too long a line"))),
            None => Ok(kept),
        }
    }

    /// The numbers of a line, or the byte of the field that is none.
    fn numbers(&self, text: &str) -> std::result::Result<[f64; 3], usize> {
        if self.is(Break::PanicsOnSpice) {
            assert!(!text.contains('%'), "a per cent sign");
        }
        let mut numbers = [0.0; 3];
        let mut start = 0;
        let mut fields = text.split(' ');
        for number in &mut numbers {
            let field = match fields.next() {
                Some(field) => field,
                None if self.is(Break::PanicsOnShortLines) => panic!("a short line"),
                None => return Err(text.len()),
            };
            *number = field.trim().parse().map_err(|_| start)?;
            start += field.len() + 1;
        }
        fields.next().map_or(Ok(numbers), |_| Err(start - 1))
    }
}

impl Adapter for Tiny {
    fn describe(&self) -> &Description {
        &self.description
    }

    fn read_pieces(
        &self,
        first: &Source,
        _: &mut Pieces<'_>,
        limits: &Limits,
        options: &ReadOptions,
    ) -> Result<Option<Intake>> {
        match self.is(Break::FirstPieceOnly) {
            true => self.read(first, limits, options).map(Some),
            false => Ok(None),
        }
    }

    fn look(&self, head: &Head<'_>) -> Look {
        assert!(
            !(self.is(Break::PanicsInLook) && head.text.len() < 3),
            "a short head"
        );
        let ends: &[char] = if self.is(Break::LooksAtLineFeeds) {
            &['\n']
        } else {
            &['\n', '\r']
        };
        let own = head.text.split(ends).next() == Some("tiny 1");
        let confidence = match (self.how, own) {
            (Break::CertainOfAll, _) => Confidence::Certain,
            (Break::SureOfAll, _) => Confidence::Likely,
            (Break::NeverSure, _) => Confidence::Maybe,
            (_, true) => Confidence::Certain,
            (_, false) => Confidence::None,
        };
        Look::new(
            confidence,
            if self.is(Break::NoReason) {
                ""
            } else {
                "the first line"
            },
        )
    }

    fn read(&self, source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
        self.options(options)?;
        let limits = &self.limits(source, limits)?;
        if self.is(Break::RefusesReturns) && source.text().contains('\r') {
            return Err(self.error(source, 1, 0, Error::input("a carriage return")));
        }
        let quantity = if self.is(Break::OtherQuantity) {
            Quantity::Gain
        } else {
            Quantity::Eirp
        };
        let mut readings = Readings::new(source.name(), quantity, limits);
        let count = self.reads.fetch_add(1, Ordering::Relaxed);
        let (mut reference, mut last_theta) = (None, f64::NEG_INFINITY);
        let mut seen = Vec::new();
        for line in source.lines() {
            let fail = |start, error| self.error(source, line.number, start, error);
            if line.number == 1 {
                if line.text.trim() != "tiny 1" {
                    return Err(fail(0, Error::input("not tiny")));
                }
                continue;
            }
            if line.text.trim().is_empty() {
                continue;
            }
            let numbers = match self.numbers(line.text) {
                Err(_) if self.is(Break::ReadsBadFiles) => continue,
                numbers => numbers.map_err(|at| fail(at, Error::input("three numbers, please")))?,
            };
            let [theta_deg, phi_deg, level] = numbers;
            if self.is(Break::SortedRows) && theta_deg < last_theta {
                return Err(fail(0, Error::input("theta steps back")));
            }
            last_theta = theta_deg;
            let first = *reference.get_or_insert(level);
            let power = match self.how {
                Break::FirstRowIsReference => w_from_dbm(level - first),
                Break::Counts => w_from_dbm(level) * (count + 1) as f64,
                _ => w_from_dbm(level),
            };
            if self.is(Break::LastOneWins) && readings.len() >= limits.max_readings {
                continue;
            }
            let known = source.lines().count() as u32;
            seen.push(theta_deg);
            let frequency = readings
                .frequency_index(None::<Frequency>, limits)
                .map_err(|e| fail(0, e))?;
            readings
                .push(Reading {
                    frequency,
                    theta_deg,
                    phi_deg,
                    polarisation: Polarisation::Total,
                    value: Value::Power(power),
                    mark: Mark::Exact,
                    line: if self.is(Break::LineBehindFile) {
                        known + 1
                    } else {
                        line.number as u32
                    },
                })
                .map_err(|e| fail(0, e))?;
        }
        if readings.is_empty() && !self.is(Break::NothingRead)
            || self.is(Break::RefusesTwoRows) && seen.len() >= 2
        {
            return Err(self.error(source, 1, 0, Error::input("nothing to read")));
        }
        if self.is(Break::MuchMetadata) {
            readings.add_metadata("all", &source.text().repeat(1000));
        }
        let copies = if self.is(Break::ManyFindings) {
            1000
        } else {
            0
        };
        let mut intake = Intake::of_readings(readings, vec![Finding::note("tiny", "tiny"); copies]);
        if self.is(Break::CurveBeside) {
            intake.curve = Some(Curve::new(source.name()));
        }
        Ok(intake)
    }
}

const GOOD: &str = "tiny 1\n0 0 -3\n0 90 -3.5\n90 0 -4\n90 90 -5\n180 0 -6\n";

/// The adapter through the kit, beside a rival and with a foreign file.
pub fn checked(how: Break) -> std::result::Result<Report, Failures> {
    let bad = |name, text: &str, line, column| {
        Sample::bad(name, text, Refusal::new(Group::Input).at(line, column))
    };
    let rival = Tiny::new(Break::SureOfAll);
    let rival = Rival(
        rival,
        Description::new("rival", "anything", Yield::Readings),
    );
    Kit::new(&Tiny::new(how))
        .sample(
            Sample::good("good.txt", GOOD)
                .with_rows(2..=6)
                .with_fields(3),
        )
        .sample(bad("word.txt", "tiny 1\n0 0 -3\n0 low -3\n", 3, 3).clone())
        .sample(bad("short.txt", "tiny 1\n0 0\n0 0 -3\n", 2, 4))
        .others([Sample::good("rival.txt", "rival 1\n0/0/-3\n")])
        .beside([&rival as &dyn Adapter])
        .check()
}

/// Likely of every file.
struct Rival(Tiny, Description);

impl Adapter for Rival {
    fn describe(&self) -> &Description {
        &self.1
    }

    fn look(&self, head: &Head<'_>) -> Look {
        self.0.look(head)
    }

    fn read(&self, source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
        self.0.read(source, limits, options)
    }
}
