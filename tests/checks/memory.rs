//! What a long text costs in memory: the peak does not grow with what need not be held.

#![allow(clippy::unwrap_used)]

use peak_alloc::PeakAlloc;
use spheresum_core::Limits;
use spheresum_core::intake::{Feed, Intake, ReadOptions};
use std::fmt::Write;
use std::io::{Cursor, Read};

#[global_allocator]
static PEAK: PeakAlloc = PeakAlloc;

/// Bytes of a remark in each row.
const REMARK: usize = 1000;

/// A text whose rows hold one reading and a long remark each, made as it is read.
struct Rows {
    separator: char,
    next: usize,
    count: usize,
    row: Cursor<Vec<u8>>,
}

impl Rows {
    fn new(separator: char, count: usize) -> Self {
        let s = separator;
        let heading = match s {
            ' ' => "# theta_deg phi_deg eirp_dbm remark\n".to_string(),
            _ => format!("theta_deg{s}phi_deg{s}eirp_dbm{s}remark\n"),
        };
        let head = format!("# frequency: 868.3 MHz\n# polarisation: theta\n{heading}");
        Self {
            separator,
            next: 0,
            count,
            row: Cursor::new(head.into_bytes()),
        }
    }
}

impl Read for Rows {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let read = self.row.read(buffer)?;
        if read > 0 || self.next == self.count {
            return Ok(read);
        }
        let (theta, phi, s) = (self.next / 360, self.next % 360, self.separator);
        let mut row = String::with_capacity(REMARK + 40);
        write!(row, "{theta}{s}{phi}{s}-12.5{s}").map_err(std::io::Error::other)?;
        row.extend(std::iter::repeat_n('x', REMARK));
        row.push('\n');
        self.row = Cursor::new(row.into_bytes());
        self.next += 1;
        self.row.read(buffer)
    }
}

/// What is read, and the bytes that were held at most meanwhile.
fn read(adapter: &str, separator: char, count: usize) -> (Intake, usize) {
    let registry = spheresum_adapters::registry();
    let (limits, options) = (Limits::default(), ReadOptions::default());
    let before = PEAK.current_usage();
    PEAK.reset_peak_usage();
    let open = || Ok(Rows::new(separator, count));
    let mut feed = Feed::open("remarks", None, open, &limits).unwrap();
    let (_, intake) = registry
        .read_feed(&mut feed, Some(adapter), &limits, &options)
        .unwrap();
    (intake, PEAK.peak_usage() - before)
}

#[test]
fn the_text_of_a_long_table_is_not_held() {
    for (adapter, separator) in [("delimited", ','), ("columns", ' ')] {
        let (few, of_few) = read(adapter, separator, 10_000);
        let (many, of_many) = read(adapter, separator, 60_000);
        let count = |intake: &Intake| intake.readings.as_ref().map(|r| r.len());
        assert_eq!((count(&few), count(&many)), (Some(10_000), Some(60_000)));
        // Readings are 33 bytes; their columns may have room for twice as many, and be moved once.
        let readings = |count: usize| 3 * 33 * count;
        // 50 MB of text more.
        let more = of_many.saturating_sub(of_few);
        assert!(more < readings(50_000), "{adapter}: {of_few} and {of_many}");
        // Of 10 MB of text: the first piece, and the one at hand.
        let held = 2 * Feed::PIECE_BYTES + readings(10_000);
        assert!(of_few < held, "{adapter}: {of_few} of {held}");
    }
}
