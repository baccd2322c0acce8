//! Files: read from a path or from memory.

use crate::array::required;
use crate::error::SpheresumError;
use crate::finding::{SpheresumFinding, element};
use crate::formats::SpheresumFormats;
use crate::handle::{Tagged, free, get, get_optional, handle, peek, prepare, put};
use crate::options::{Reading, SpheresumOptions};
use crate::panic::guard;
use crate::readings::SpheresumReadings;
use crate::string::{Lazy, SpheresumText, required_text};
use sha2::{Digest, Sha256};
use spheresum_core::document::Input;
use spheresum_core::history::Step;
use spheresum_core::intake::{Candidate, Confidence, Source};
use spheresum_core::watch::Watch;
use spheresum_core::{Curve, Error, Limits, Place, Readings};
use std::ffi::c_char;
use std::fmt::Write as _;
use std::io::Read;
use std::sync::Arc;

/// How sure a format is of a file: not mine.
pub const SPHERESUM_CONFIDENCE_NONE: i32 = 0;
/// How sure a format is of a file: could be.
pub const SPHERESUM_CONFIDENCE_MAYBE: i32 = 1;
/// How sure a format is of a file: looks like mine.
pub const SPHERESUM_CONFIDENCE_LIKELY: i32 = 2;
/// How sure a format is of a file: mine.
pub const SPHERESUM_CONFIDENCE_CERTAIN: i32 = 3;

pub(crate) struct Inner {
    pub(crate) input: Input,
    pub(crate) step: Step,
    readings: Option<SpheresumReadings>,
    pub(crate) curve: Option<Curve>,
    pub(crate) findings: Vec<spheresum_core::Finding>,
    shown: Vec<SpheresumFinding>,
    texts: [Lazy; 2],
}

impl Inner {
    pub(crate) fn readings(&self) -> Option<&Arc<Readings>> {
        self.readings.as_ref().map(SpheresumReadings::inner)
    }
}

/// A file that was read: readings over directions, or a curve against frequency such as a range loss. The caller owns it; free with spheresum_file_free().
pub struct SpheresumFile(Tagged<Inner>);
handle!(SpheresumFile, Inner, "spheresum_file", b"sph-file");

/// Reads a file.
///
/// Options are those of reading: adapter, frequency-mhz, polarisation, threads, and what adapters take by name, such as separator, decimal, column,
/// pol, quantity, unit, angles, ports.
///
/// @param formats in: the formats; they are not changed
/// @param path in: its path, UTF-8
/// @param options in, optional: options; NULL: the defaults
/// @param out_file out: the file; the caller owns it; free with spheresum_file_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _INPUT (the file is wrong; the error has its line and column), _USAGE, _LIMIT, _UNSUPPORTED (no format recognises it), _AMBIGUOUS,
/// _IO, _CANCELLED or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_file_open(
    formats: *const SpheresumFormats,
    path: *const c_char,
    options: *const SpheresumOptions,
    out_file: *mut *mut SpheresumFile,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_file", out_file)?;
            let formats = get("formats", formats)?;
            let path = required_text("path", path)?;
            let options = get_optional("options", options)?;
            let bytes = bytes_of(path, &Limits::default())?;
            put(out_file, read(formats, path, bytes, options)?);
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Reads a file from memory.
///
/// @param formats in: the formats; they are not changed
/// @param name in: name of the file in messages; its ending may help to recognise it
/// @param bytes in: length bytes, compressed with gzip or not
/// @param length in: number of bytes
/// @param options in, optional: options, as of spheresum_file_open(); NULL: the defaults
/// @param out_file out: the file; the caller owns it; free with spheresum_file_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return as spheresum_file_open(), but for _IO
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_file_read(
    formats: *const SpheresumFormats,
    name: *const c_char,
    bytes: *const u8,
    length: usize,
    options: *const SpheresumOptions,
    out_file: *mut *mut SpheresumFile,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_file", out_file)?;
            let formats = get("formats", formats)?;
            let name = required_text("name", name)?;
            let options = get_optional("options", options)?;
            let bytes = memory(bytes, length)?;
            put(out_file, read(formats, name, bytes, options)?);
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Says what each format makes of a file, as lines of id, confidence and reason, parted by tabs; the surest first.
///
/// @param formats in: the formats; they are not changed
/// @param name in: name of the file; its ending may help to recognise it
/// @param bytes in: length bytes, compressed with gzip or not; the first megabyte is enough
/// @param length in: number of bytes
/// @param out_text out: the lines; confidence is 0 (none) to 3 (certain), as SPHERESUM_CONFIDENCE_...; the caller owns it; free with spheresum_text_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _INPUT (the bytes are no text), _USAGE, _LIMIT or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_formats_look(
    formats: *const SpheresumFormats,
    name: *const c_char,
    bytes: *const u8,
    length: usize,
    out_text: *mut *mut SpheresumText,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_text", out_text)?;
            let formats = get("formats", formats)?;
            let name = required_text("name", name)?;
            let source = Source::from_bytes(name, memory(bytes, length)?, &Limits::default())?;
            let mut text = String::new();
            for candidate in formats.registry.identify(&source) {
                let Candidate { id, look } = candidate;
                let reason = look.reason.replace(['\t', '\n'], " ");
                let _ = writeln!(text, "{id}\t{}\t{reason}", confidence(look.confidence));
            }
            put(out_text, SpheresumText::of(&text));
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

fn confidence(confidence: Confidence) -> i32 {
    match confidence {
        Confidence::None => SPHERESUM_CONFIDENCE_NONE,
        Confidence::Maybe => SPHERESUM_CONFIDENCE_MAYBE,
        Confidence::Likely => SPHERESUM_CONFIDENCE_LIKELY,
        Confidence::Certain => SPHERESUM_CONFIDENCE_CERTAIN,
    }
}

/// The caller's bytes.
///
/// # Safety
/// `bytes` is NULL or has `length` bytes.
unsafe fn memory(bytes: *const u8, length: usize) -> Result<Vec<u8>, SpheresumError> {
    let most = Limits::default().max_bytes;
    if length as u64 > most {
        return Err(Error::limit(format!("{length} bytes are more than {most}")).into());
    }
    if length == 0 {
        return Ok(Vec::new());
    }
    // SAFETY: as the caller says.
    Ok(unsafe { required("bytes", bytes, length) }?.to_vec())
}

/// The bytes of a file, no more than the limit.
pub(crate) fn bytes_of(path: &str, limits: &Limits) -> Result<Vec<u8>, Error> {
    let io = |e: std::io::Error| {
        Error::io(format!("{path} cannot be read: {e}"), e).at(Place::in_source(path))
    };
    let file = std::fs::File::open(path).map_err(io)?;
    let mut bytes = Vec::new();
    let most = limits.max_bytes;
    file.take(most + 1).read_to_end(&mut bytes).map_err(io)?;
    if bytes.len() as u64 > most {
        return Err(
            Error::limit(format!("the file is longer than {most} bytes"))
                .at(Place::in_source(path)),
        );
    }
    Ok(bytes)
}

fn read(
    formats: &crate::formats::Inner,
    name: &str,
    bytes: Vec<u8>,
    options: Option<&crate::options::Inner>,
) -> Result<SpheresumFile, Error> {
    let reading = options
        .map(crate::options::Inner::reading)
        .unwrap_or_default();
    let watch = crate::options::watch(options);
    let content = content(formats, name, bytes, reading, watch)?;
    Ok(SpheresumFile::make(content))
}

/// What a file holds.
pub(crate) fn content(
    formats: &crate::formats::Inner,
    name: &str,
    bytes: Vec<u8>,
    reading: Reading,
    watch: &dyn Watch,
) -> Result<Inner, Error> {
    let sha256 = Sha256::digest(&bytes)
        .iter()
        .fold(String::new(), |mut text, byte| {
            let _ = write!(text, "{byte:02x}");
            text
        });
    let limits = Limits::default();
    let source = Source::from_bytes(name, bytes, &limits)?;
    let read = formats.registry.read_watched(
        &source,
        reading.adapter.as_deref(),
        &limits,
        &reading.options,
        watch,
    );
    let (id, intake) = read?;
    let mut step = reading.step;
    step.note(match &intake.readings {
        Some(readings) => format!("{name}: {} readings by the adapter {id}", readings.len()),
        None => format!("{name}: a curve by the adapter {id}"),
    });
    if let Some((_, sentence)) = formats.sentences.iter().find(|s| s.0 == id) {
        step.note(sentence.clone());
    }
    Ok(Inner {
        input: Input {
            path: name.to_string(),
            sha256,
            adapter: id,
            quantity: intake.kind().to_string(),
        },
        step,
        shown: SpheresumFinding::all(intake.findings.clone()),
        readings: intake
            .readings
            .map(|r| SpheresumReadings::make(Arc::new(r))),
        curve: intake.curve,
        findings: intake.findings,
        texts: Default::default(),
    })
}

/// Id of the format that read it.
///
/// @param file in: a file, or NULL
/// @return text, never NULL; borrowed, valid as long as the file
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_file_format(file: *const SpheresumFile) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(file) }.map_or(c"".as_ptr(), |f| f.texts[0].get(&f.input.adapter))
}

/// SHA-256 of its bytes, hexadecimal.
///
/// @param file in: a file, or NULL
/// @return text, never NULL; borrowed, valid as long as the file
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_file_sha256(file: *const SpheresumFile) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(file) }.map_or(c"".as_ptr(), |f| f.texts[1].get(&f.input.sha256))
}

/// Its readings.
///
/// @param file in: a file, or NULL
/// @return the readings, borrowed, valid as long as the file; NULL where it holds a curve
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_file_readings(
    file: *const SpheresumFile,
) -> *const SpheresumReadings {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(file) }
        .and_then(|f| f.readings.as_ref())
        .map_or(std::ptr::null(), std::ptr::from_ref)
}

/// Whether it holds a curve against frequency, such as a range loss.
///
/// @param file in: a file, or NULL
/// @return 1 where it holds a curve, else 0
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_file_has_curve(file: *const SpheresumFile) -> i32 {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(file) }.map_or(0, |f| i32::from(f.curve.is_some()))
}

/// Number of findings of reading it.
///
/// @param file in: a file, or NULL
/// @return the number; 0 for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_file_finding_count(file: *const SpheresumFile) -> usize {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(file) }.map_or(0, |f| f.shown.len())
}

/// A finding of reading it.
///
/// @param file in: a file, or NULL
/// @param index in: 0..count-1
/// @return the finding, borrowed, valid as long as the file; NULL where there is none
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_file_finding(
    file: *const SpheresumFile,
    index: usize,
) -> *const SpheresumFinding {
    // SAFETY: NULL or a live object, as the header asks.
    element(unsafe { peek(file) }.map(|f| &f.shown), index)
}

/// Frees a file, and all that was borrowed from it.
///
/// @param file in: a file that was not freed yet, or NULL, which does nothing
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_file_free(file: *mut SpheresumFile) {
    // SAFETY: NULL or a live object that nobody uses any more, as the header asks.
    unsafe { free(file) };
}
