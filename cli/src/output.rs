//! Where results go: standard output, or a file that is complete or not there.

use spheresum_core::{Error, Result};
use std::io::{ErrorKind, Write};
use std::path::Path;

/// Writes a result to a file, or to standard output. Colours are kept on a terminal only.
///
/// # Errors
/// Io. A reader of standard output that has seen enough is no error.
pub fn write(text: &str, file: Option<&Path>) -> Result<()> {
    match file {
        Some(path) => replace(
            path,
            anstream::adapter::strip_str(text).to_string().as_bytes(),
        ),
        None => to_stdout(text),
    }
}

/// Refuses to write a result over a file that it was made of.
///
/// # Errors
/// Usage: the file is one of the inputs, by whatever name.
pub fn spare<'a>(file: Option<&Path>, inputs: impl IntoIterator<Item = &'a Path>) -> Result<()> {
    let Some(Ok(target)) = file.map(std::fs::canonicalize) else {
        return Ok(());
    };
    let is_target = |input: &&Path| std::fs::canonicalize(input).is_ok_and(|i| i == target);
    match inputs.into_iter().find(is_target) {
        Some(input) => Err(Error::usage(format!(
            "--output would overwrite the input {}",
            input.display()
        ))
        .hint("name another file")),
        None => Ok(()),
    }
}

fn to_stdout(text: &str) -> Result<()> {
    let mut stdout = anstream::stdout().lock();
    match stdout
        .write_all(text.as_bytes())
        .and_then(|()| stdout.flush())
    {
        Err(e) if e.kind() != ErrorKind::BrokenPipe => {
            Err(Error::io("standard output cannot be written", e))
        }
        _ => Ok(()),
    }
}

/// Writes a file beside its place and moves it there, so that nobody ever sees a part of it.
///
/// # Errors
/// Io.
pub fn replace(path: &Path, bytes: &[u8]) -> Result<()> {
    let fail = |e: std::io::Error| Error::io(format!("{} cannot be written", path.display()), e);
    // A link keeps pointing where it points; a device or a pipe is written to as it is.
    let target = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
    if std::fs::metadata(&target).is_ok_and(|about| !about.is_file() && !about.is_dir()) {
        return std::fs::write(&target, bytes).map_err(fail);
    }
    let path = target.as_path();
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    // The name of the file beside it is nobody's business: the kind of the failure says it.
    let mut file = new_file(folder).map_err(|e| fail(e.kind().into()))?;
    file.write_all(bytes).map_err(fail)?;
    file.as_file().sync_all().map_err(fail)?;
    file.persist(path).map_err(|e| fail(e.error))?;
    Ok(())
}

/// A file with the rights that any new file has: 0644 less what the process withholds.
fn new_file(folder: &Path) -> std::io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".spheresum-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // The operating system takes the umask off when it makes the file.
        builder.permissions(std::fs::Permissions::from_mode(0o644));
    }
    builder.tempfile_in(folder)
}
