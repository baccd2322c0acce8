//! The registry with adapters that say what they are told.

#![allow(clippy::unwrap_used)]

use super::*;
use crate::intake::adapter::{Description, Yield};
use crate::{Curve, Finding, Quantity, Readings};
use std::sync::Mutex;

/// Says how sure it is, and reads by a function. Keeps the names that it was shown.
struct Told {
    about: Description,
    confidence: Confidence,
    read: fn(&Source) -> Result<Intake>,
    seen: Arc<Mutex<Vec<String>>>,
}

impl Adapter for Told {
    fn describe(&self) -> &Description {
        &self.about
    }

    fn look(&self, head: &Head<'_>) -> Look {
        self.seen
            .lock()
            .unwrap()
            .push(format!("{}: {}", head.name, head.text));
        Look::new(self.confidence, format!("{} says so", self.about.id))
    }

    fn read(&self, source: &Source, _: &Limits, _: &ReadOptions) -> Result<Intake> {
        (self.read)(source)
    }
}

fn readings(source: &Source) -> Result<Intake> {
    let readings = Readings::new(source.name(), Quantity::Eirp, &Limits::small());
    Ok(Intake::of_readings(
        readings,
        vec![Finding::note("own", "a note of the adapter")],
    ))
}

fn told(id: &str, confidence: Confidence, read: fn(&Source) -> Result<Intake>) -> Told {
    Told {
        about: Description::new(id, "told", Yield::Readings),
        confidence,
        read,
        seen: Arc::default(),
    }
}

fn registry(adapters: &[(&str, Confidence)]) -> Registry {
    let mut registry = Registry::new();
    for (id, confidence) in adapters {
        registry.add(told(id, *confidence, readings)).unwrap();
    }
    registry
}

fn source() -> Source {
    Source::from_text("gauge.txt", "\ntheta phi\n", &Limits::small()).unwrap()
}

fn read(registry: &Registry, forced: Option<&str>) -> Result<(String, Intake)> {
    registry.read(&source(), forced, &Limits::small(), &ReadOptions::default())
}

#[test]
fn the_surest_reads_and_all_are_ranked() {
    use Confidence::{Certain, Likely, Maybe};
    let registry = registry(&[("c", Maybe), ("b", Likely), ("a", Maybe), ("d", Certain)]);
    let ranked: Vec<String> = registry
        .identify(&source())
        .into_iter()
        .map(|c| c.id)
        .collect();
    assert_eq!(ranked, ["d", "b", "a", "c"]);
    assert_eq!(read(&registry, None).unwrap().0, "d");
    assert_eq!(read(&registry, Some("c")).unwrap().0, "c");
}

#[test]
fn ties_name_all_and_their_reasons() {
    use Confidence::{Likely, Maybe};
    let error = read(
        &registry(&[("b", Likely), ("a", Likely), ("c", Likely), ("d", Maybe)]),
        None,
    );
    let error = error.unwrap_err();
    assert_eq!(error.group(), Group::Ambiguous);
    assert!(
        error
            .message()
            .contains("a (a says so) and b (b says so) and c (c says so)"),
        "{error}"
    );
    assert!(error.advice().is_some());
    let place = error.place().unwrap();
    assert_eq!(
        (place.line, place.column, place.byte),
        (Some(2), Some(1), Some(1))
    );
}

#[test]
fn nothing_that_fits_lists_what_was_tried() {
    let mut registry = registry(&[("b", Confidence::None), ("a", Confidence::None)]);
    registry.mention("z", "of tables", "zeta");
    let error = read(&registry, None).unwrap_err();
    assert_eq!(error.group(), Group::Unsupported);
    let hint = error.advice().unwrap();
    assert!(hint.contains("a: a says so; b: b says so"), "{hint}");
    assert!(hint.contains("not compiled in: z"), "{hint}");
    assert_eq!(error.place().and_then(|p| p.line), Some(2));
    let empty = read(&Registry::new(), None).unwrap_err();
    assert_eq!(empty.group(), Group::Unsupported);
}

#[test]
fn a_forced_id_is_there_absent_or_misspelt() {
    let mut registry = registry(&[("delimited", Confidence::None)]);
    registry.mention("matrix", "blocks of values", "matrix-of-values");
    registry.mention("delimited", "no news", "x");
    assert_eq!(registry.absent().len(), 1);
    assert!(read(&registry, Some("delimited")).is_ok());
    let absent = read(&registry, Some("matrix")).unwrap_err();
    assert_eq!(absent.group(), Group::Unsupported);
    assert!(
        absent
            .message()
            .contains("matrix (blocks of values) is known but not compiled in")
    );
    assert!(
        absent
            .advice()
            .unwrap()
            .contains("the feature matrix-of-values")
    );
    assert!(absent.place().is_some());
    for (word, near) in [
        ("delimted", "delimited"),
        ("matrx", "matrix"),
        ("Delimited", "delimited"),
    ] {
        let error = read(&registry, Some(word)).unwrap_err();
        assert_eq!(error.group(), Group::Usage);
        let hint = error.advice().unwrap();
        assert!(hint.contains(&format!("did you mean {near}?")), "{hint}");
        assert!(hint.contains("known adapters: delimited"), "{hint}");
    }
    let error = read(&registry, Some("spreadsheet")).unwrap_err();
    assert!(!error.advice().unwrap().contains("did you mean"));
    // Once it is there, it is absent no more.
    registry
        .add(told("matrix", Confidence::Maybe, readings))
        .unwrap();
    assert!(registry.absent().is_empty() && read(&registry, Some("matrix")).is_ok());
}

#[test]
fn adapters_of_every_make_can_be_added_once() {
    let mut registry = Registry::new();
    registry
        .add_boxed(Box::new(told("boxed", Confidence::None, readings)))
        .unwrap();
    let shared: Arc<dyn Adapter> = Arc::new(told("shared", Confidence::None, readings));
    registry.add_shared(Arc::clone(&shared)).unwrap();
    let ids: Vec<&str> = registry.iter().map(|a| a.describe().id.as_str()).collect();
    assert_eq!(ids, ["boxed", "shared"]);
    assert_eq!(
        registry.add_shared(shared).unwrap_err().group(),
        Group::Usage
    );
    let boxed = |id: &str| Box::new(told(id, Confidence::None, readings));
    for id in ["boxed", "", "Not Kebab", "späte"] {
        assert_eq!(
            registry.add_boxed(boxed(id)).unwrap_err().group(),
            Group::Usage
        );
    }
}

#[test]
fn a_look_and_a_read_see_the_same_head() {
    let adapter = told("a", Confidence::Maybe, readings);
    let seen = Arc::clone(&adapter.seen);
    let mut registry = Registry::new();
    registry.add(adapter).unwrap();
    let long = format!("{}°{}", "a".repeat(Head::MAX_BYTES - 1), "b".repeat(10));
    let source = Source::from_text("long.txt", &long, &Limits::small()).unwrap();
    let candidates = registry.identify(&source);
    let read = registry.read(&source, None, &Limits::small(), &ReadOptions::default());
    assert_eq!(read.unwrap().0, candidates[0].id);
    let seen = seen.lock().unwrap();
    // Cut before the sign that would not fit.
    let want = format!("long.txt: {}", "a".repeat(Head::MAX_BYTES - 1));
    assert_eq!(*seen, [want.clone(), want]);
}

#[test]
fn errors_of_adapters_name_the_file() {
    let groups: [fn(&Source) -> Result<Intake>; 4] = [
        |_| Err(Error::input("x")),
        |_| Err(Error::ambiguous("x")),
        |_| Err(Error::unsupported("x")),
        |_| Err(Error::limit("x").at(Place::default().with_line(3))),
    ];
    for (n, read_with) in groups.into_iter().enumerate() {
        let mut registry = Registry::new();
        registry
            .add(told("a", Confidence::Maybe, read_with))
            .unwrap();
        let place = read(&registry, None).unwrap_err().place().cloned().unwrap();
        assert_eq!(place.source.as_deref(), Some("gauge.txt"));
        assert_eq!(place.line, (n == 3).then_some(3));
    }
    let mut registry = Registry::new();
    registry
        .add(told("a", Confidence::Maybe, |_| Err(Error::usage("x"))))
        .unwrap();
    assert_eq!(read(&registry, None).unwrap_err().place(), None);
    let kept: fn(&Source) -> Result<Intake> =
        |_| Err(Error::input("x").at(Place::in_source("other").with_line(7)));
    registry.add(told("b", Confidence::Likely, kept)).unwrap();
    let error = read(&registry, None).unwrap_err();
    assert_eq!(error.to_string(), "x at other:7");
}

#[test]
fn readings_or_a_curve_and_nothing_else() {
    let neither: fn(&Source) -> Result<Intake> = |source| {
        let mut intake = readings(source)?;
        intake.readings = None;
        Ok(intake)
    };
    let both: fn(&Source) -> Result<Intake> = |source| {
        let mut intake = readings(source)?;
        intake.curve = Some(Curve::new(source.name()));
        Ok(intake)
    };
    for (read_with, words) in [(neither, "neither readings nor a curve"), (both, "at once")] {
        let mut registry = Registry::new();
        registry
            .add(told("a", Confidence::Maybe, read_with))
            .unwrap();
        let error = read(&registry, None).unwrap_err();
        assert!(error.message().contains(words), "{error}");
        assert!(error.place().is_some() && error.advice().is_some());
    }
}

#[test]
fn a_note_says_what_encoding_was_assumed() {
    let registry = registry(&[("a", Confidence::Maybe)]);
    let codes = |bytes: &[u8], forced: Option<&str>| {
        let limits = Limits::small();
        let source = Source::from_bytes("t", bytes.to_vec(), &limits).unwrap();
        let read = registry.read(&source, forced, &limits, &ReadOptions::default());
        let findings = read.unwrap().1.findings;
        findings.into_iter().map(|f| f.code).collect::<Vec<_>>()
    };
    for forced in [None, Some("a")] {
        assert_eq!(codes("theta [°]".as_bytes(), forced), ["own"]);
        assert_eq!(codes(b"theta [\xB0]", forced), ["encoding", "own"]);
        assert_eq!(codes(b"\xFF\xFEa\0", forced), ["encoding", "own"]);
    }
}

#[test]
fn a_feed_that_is_read_again_is_read_whole() {
    fn lines(source: &Source) -> Result<Intake> {
        Err(Error::input(format!("{} lines", source.lines().count())))
    }
    struct Pieced(Told);
    impl Adapter for Pieced {
        fn describe(&self) -> &Description {
            self.0.describe()
        }
        fn look(&self, head: &Head<'_>) -> Look {
            self.0.look(head)
        }
        fn read(&self, source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
            self.0.read(source, limits, options)
        }
        fn read_pieces(
            &self,
            first: &Source,
            pieces: &mut crate::intake::Pieces<'_>,
            _: &Limits,
            _: &ReadOptions,
        ) -> Result<Option<Intake>> {
            let mut count = first.lines().count();
            while !pieces.is_done() {
                let Some(piece) = pieces.next("", count as u64 + 1)? else {
                    return Ok(None);
                };
                count += piece.lines().count();
            }
            // Nothing follows, and no more can be left unread than there is.
            assert_eq!(pieces.next("", 1).unwrap_err().group(), Group::Usage);
            Err(Error::input(format!("{count} lines in pieces")))
        }
    }
    let limits = Limits::small();
    let text = "a\n".repeat(100);
    let mut registry = Registry::new();
    registry
        .add(Pieced(told("pieced", Confidence::Likely, lines)))
        .unwrap();
    let mut feed = Feed::open_by("a", None, || Ok(text.as_bytes()), &limits, 16).unwrap();
    for said in ["100 lines in pieces", "100 lines", "100 lines"] {
        let error = registry
            .read_feed(&mut feed, None, &limits, &ReadOptions::default())
            .unwrap_err();
        assert_eq!(error.message(), said);
    }
    assert!(feed.is_whole());
}
