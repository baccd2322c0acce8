#![allow(clippy::unwrap_used)]

use super::*;
use crate::compare::{
    CompareOptions, Named, compare, compare_watched, reduce_together, reduce_together_watched,
};
use crate::intake::{
    Adapter, Confidence, Description, Feed, Head, Intake, Look, Pieces, ReadOptions, Registry,
    Source, Yield,
};
use crate::model::{Mark, Polarisation, Quantity, Reading, Readings, Value};
use crate::reduce::{
    ReduceOptions, prepare, prepare_watched, reduce, reduce_readings, reduce_readings_watched,
    reduce_watched,
};
use crate::unit::frequency::FrequencyUnit;
use crate::{Frequency, Group, Limits};
use std::cell::RefCell;
use std::fmt::Debug;
use std::io::Cursor;

/// Notes what it is told, and says stop at a call of a number from 0.
struct Notes {
    told: RefCell<Vec<f64>>,
    stop: Option<usize>,
}

impl Notes {
    fn new(stop: Option<usize>) -> Self {
        let told = RefCell::default();
        Self { told, stop }
    }
}

impl Watch for Notes {
    fn at(&self, done: f64, what: &str) -> bool {
        assert!(!what.is_empty());
        let mut told = self.told.borrow_mut();
        told.push(done);
        self.stop.is_none_or(|n| told.len() <= n)
    }
}

/// A watched call gives what the plain one gives, tells how it gets on, and can be stopped whenever it tells. Gives how often it does.
fn check<T: Debug>(plain: Result<T>, watched: impl Fn(&dyn Watch) -> Result<T>) -> usize {
    let notes = Notes::new(None);
    let result = watched(&notes).unwrap();
    assert_eq!(format!("{result:?}"), format!("{:?}", plain.unwrap()));
    let told = notes.told.into_inner();
    assert_eq!((told.first(), told.last()), (Some(&0.0), Some(&1.0)));
    assert!(told.is_sorted(), "{told:?}");
    for stop in 0..told.len() {
        let notes = Notes::new(Some(stop));
        let error = watched(&notes).err().map(|e| e.group());
        assert_eq!(error, Some(Group::Cancelled), "stopped at {stop}");
        assert_eq!(notes.told.into_inner(), told[..=stop]);
    }
    told.len()
}

/// Two frequencies on a 30° grid with gaps, `scale` times 1 µW and less towards the poles.
fn readings(scale: f64) -> Vec<Readings> {
    let limits = Limits::default();
    let mut readings = Readings::new("t", Quantity::Eirp, &limits);
    for mhz in ["868.3", "915"] {
        let frequency = Frequency::parse(mhz, FrequencyUnit::Mhz);
        let frequency = readings.frequency_index(frequency, &limits).unwrap();
        for (i, j) in (0..=6).flat_map(|i| (0..12).map(move |j| (i, j))) {
            let theta_deg = 30.0 * f64::from(i);
            let sine = libm::sin(theta_deg.to_radians());
            for polarisation in [Polarisation::Theta, Polarisation::Phi] {
                if (i, j) == (3, 4) {
                    continue;
                }
                let reading = Reading {
                    frequency,
                    theta_deg,
                    phi_deg: 30.0 * f64::from(j),
                    polarisation,
                    value: Value::Power(scale * 1e-6 * (1.0 + sine * sine)),
                    mark: Mark::Exact,
                    line: 0,
                };
                readings.push(reading).unwrap();
            }
        }
    }
    vec![readings]
}

#[test]
fn the_line_is_watched() {
    let (limits, options) = (Limits::default(), ReduceOptions::default());
    let readings = readings(1.0);
    check(prepare(&readings, &options, &limits), |watch| {
        prepare_watched(&readings, &options, &limits, watch)
    });
    let prepared = || prepare(&readings, &options, &limits).unwrap();
    // One for each polarisation at each frequency that is filled, and for each frequency.
    let times = check(reduce(prepared(), &options), |watch| {
        reduce_watched(prepared(), &options, watch)
    });
    assert!(times > 2 * 2 + 2, "{times}");
    check(reduce_readings(&readings, &options, &limits), |watch| {
        reduce_readings_watched(&readings, &options, &limits, watch)
    });
}

#[test]
fn comparisons_are_watched() {
    let (limits, options) = (Limits::default(), ReduceOptions::default());
    let runs = [readings(1.0), readings(0.5), readings(0.25)];
    let prepared = || {
        let run = |r: &Vec<Readings>| prepare(r, &options, &limits).unwrap();
        runs.iter().map(run).collect::<Vec<_>>()
    };
    check(reduce_together(prepared(), &options), |watch| {
        reduce_together_watched(prepared(), &options, watch)
    });
    check(reduce_together(Vec::new(), &options), |watch| {
        reduce_together_watched(Vec::new(), &options, watch)
    });
    let reductions = reduce_together(prepared(), &options).unwrap();
    let named: Vec<Named<'_>> = reductions
        .iter()
        .map(|reduction| Named {
            name: "a",
            reduction,
        })
        .collect();
    let how = CompareOptions::default();
    // Two tests at two frequencies, and the end.
    let times = check(compare(named[0], &named[1..], how), |watch| {
        compare_watched(named[0], &named[1..], how, watch)
    });
    assert_eq!(times, 2 * 2 + 1);
}

/// Reads lines of one angle θ.
struct Angles {
    description: Description,
    way: Way,
}

/// What an adapter makes of pieces.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Way {
    Reads,
    /// Wants the text whole.
    Leaves,
    /// Wants the text whole when it has seen some pieces.
    Gives,
    /// Holds every error for one that the whole text mends.
    Hides,
}

impl Angles {
    fn registry(way: Way) -> Registry {
        let mut registry = Registry::new();
        let description = Description::new("angles", "one angle a line", Yield::Readings);
        registry.add(Self { description, way }).unwrap();
        registry
    }

    fn intake(text: &str, name: &str, limits: &Limits) -> Result<Intake> {
        let mut readings = Readings::new(name, Quantity::Eirp, limits);
        let frequency = readings.frequency_index(None, limits)?;
        for line in text.lines() {
            readings.push(Reading {
                frequency,
                theta_deg: line.parse().map_err(|_| Error::input("no angle"))?,
                phi_deg: 0.0,
                polarisation: Polarisation::Theta,
                value: Value::Power(1.0),
                mark: Mark::Exact,
                line: 0,
            })?;
        }
        Ok(Intake::of_readings(readings, Vec::new()))
    }
}

impl Adapter for Angles {
    fn describe(&self) -> &Description {
        &self.description
    }

    fn look(&self, _: &Head<'_>) -> Look {
        Look::new(Confidence::Likely, "whatever it is")
    }

    fn read(&self, source: &Source, limits: &Limits, _: &ReadOptions) -> Result<Intake> {
        Self::intake(source.text(), source.name(), limits)
    }

    fn read_pieces(
        &self,
        first: &Source,
        pieces: &mut Pieces<'_>,
        limits: &Limits,
        _: &ReadOptions,
    ) -> Result<Option<Intake>> {
        if self.way == Way::Leaves {
            return Ok(None);
        }
        let mut text = first.text().to_string();
        let mut number = text.lines().count() as u64 + 1;
        while !pieces.is_done() {
            let piece = match pieces.next("", number) {
                Err(_) if self.way == Way::Hides => return Ok(None),
                piece => piece?,
            };
            let Some(piece) = piece else {
                return Ok(None);
            };
            number += piece.text().lines().count() as u64;
            text.push_str(piece.text());
            if self.way == Way::Gives && number > 100 {
                return Ok(None);
            }
        }
        Self::intake(&text, first.name(), limits).map(Some)
    }
}

#[test]
fn reading_is_watched_between_pieces() {
    let (limits, options) = (Limits::default(), ReadOptions::default());
    let text: String = (0..180).map(|n| format!("{n}\n")).collect();
    let source = Source::from_text("a", &text, &limits).unwrap();
    for way in [Way::Reads, Way::Leaves, Way::Gives, Way::Hides] {
        let registry = Angles::registry(way);
        let plain = || registry.read(&source, None, &limits, &options);
        let times = check(plain(), |watch| {
            registry.read_watched(&source, None, &limits, &options, watch)
        });
        assert_eq!(times, 3);
        for length in [Some(text.len() as u64), Some(1), None] {
            let feed = || {
                let open = || Ok(Cursor::new(&text));
                Feed::open_by("a", length, open, &limits, 64).unwrap()
            };
            let times = check(plain(), |watch| {
                registry.read_feed_watched(&mut feed(), None, &limits, &options, watch)
            });
            // The choice, the start, the file that is loaded, its reading and the end; more where there are pieces.
            assert_eq!(times > 5, way != Way::Leaves, "{way:?} {times}");
            // What was stopped can be read again, to the same end.
            for stop in 0..times {
                let mut feed = feed();
                let notes = Notes::new(Some(stop));
                let stopped =
                    registry.read_feed_watched(&mut feed, None, &limits, &options, &notes);
                assert!(stopped.is_err());
                let again = registry.read_feed(&mut feed, None, &limits, &options);
                assert_eq!(again.unwrap(), plain().unwrap(), "{way:?} {stop}");
            }
        }
    }
}

#[test]
fn parts_of_parts_end_where_the_whole_ends() {
    let notes = Notes::new(None);
    let span = Span::whole(&notes);
    for n in 0..7 {
        let part = span.part(0.1, 1.0).nth(n, 7);
        for done in [-1.0, 0.0, 0.3, 1.0, 2.0] {
            part.at(done, "w").unwrap();
        }
    }
    let told = notes.told.into_inner();
    assert!(told.is_sorted(), "{told:?}");
    assert_eq!((told[0], told[told.len() - 1]), (0.1, 1.0));
}
