//! Layouts from files, added to the adapters.

use crate::args::LayoutArgs;
use crate::intake::bytes;
use spheresum_adapters::layout::{Layout, LayoutAdapter};
use spheresum_core::intake::Registry;
use spheresum_core::{Error, Limits, Place, Result};
use std::path::{Path, PathBuf};

/// Most layouts of a folder.
const MOST: usize = 1000;

/// A layout that was added.
#[derive(Clone, Debug)]
struct Added {
    id: String,
    file: String,
    sha256: String,
}

/// The layouts of a call.
#[derive(Clone, Debug, Default)]
pub struct Layouts {
    added: Vec<Added>,
    /// The one that reads all files.
    forced: Option<String>,
    /// The options as they were typed, for the history.
    typed: [(&'static str, Option<String>); 2],
}

impl Layouts {
    /// Reads the layouts that the call names and adds them to the adapters.
    ///
    /// # Errors
    /// Io; those of a layout; Usage: two of one id.
    pub fn add(args: &LayoutArgs, registry: &mut Registry) -> Result<Self> {
        let folder = args.folder();
        let mut layouts = Self {
            typed: [
                ("layout", args.typed()),
                (
                    "layouts",
                    folder.as_ref().map(|f| f.to_string_lossy().into_owned()),
                ),
            ],
            ..Self::default()
        };
        let mut seen: Vec<PathBuf> = Vec::new();
        let of_folder = folder.map(|f| in_folder(&f)).transpose()?;
        let all = args.named.iter().chain(of_folder.iter().flatten());
        for path in all {
            // The folder may hold one that was named too.
            let real = std::fs::canonicalize(path).unwrap_or_else(|_| path.clone());
            if seen.contains(&real) {
                continue;
            }
            seen.push(real);
            layouts.add_one(path, registry)?;
        }
        if let ([_], [first, ..]) = (args.named.as_slice(), layouts.added.as_slice()) {
            layouts.forced = Some(first.id.clone());
        }
        Ok(layouts)
    }

    fn add_one(&mut self, path: &Path, registry: &mut Registry) -> Result<()> {
        let file = path.to_string_lossy().into_owned();
        let (bytes, hash) = bytes::read(path, &Limits::small())?;
        let sha256 = hash.hexadecimal();
        let layout = Layout::from_bytes(&file, bytes)?;
        let id = layout.id().to_string();
        if registry.iter().any(|a| a.describe().id == id) {
            let other = self.added.iter().find(|a| a.id == id);
            let other = other.map_or_else(
                || "the built-in adapter of that name".to_string(),
                |a| format!("the layout {}", a.file),
            );
            return Err(Error::usage(format!(
                "the layout {file} has the id {id}, and so has {other}"
            ))
            .hint("give each layout an id of its own")
            .at(Place::in_source(&file)));
        }
        registry.add(LayoutAdapter::new(layout))?;
        self.added.push(Added { id, file, sha256 });
        Ok(())
    }

    /// The id of the layout that reads all files, where exactly one was named.
    #[must_use]
    pub fn forced(&self) -> Option<&str> {
        self.forced.as_deref()
    }

    /// The options, for the history.
    #[must_use]
    pub fn options(&self) -> &[(&'static str, Option<String>)] {
        &self.typed
    }

    /// A sentence for the history on the layout with an id.
    #[must_use]
    pub fn sentence(&self, id: &str) -> Option<String> {
        let added = self.added.iter().find(|a| a.id == id)?;
        Some(format!("layout {}: sha256 {}", added.file, added.sha256))
    }
}

/// The layouts of a folder, sorted by name.
fn in_folder(folder: &Path) -> Result<Vec<PathBuf>> {
    let fail = |e: std::io::Error| {
        Error::io(
            format!("the folder of layouts {} cannot be read", folder.display()),
            e,
        )
        .hint(format!(
            "--layouts or the environment variable {} names it",
            LayoutArgs::VARIABLE
        ))
    };
    let mut paths = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(fail)? {
        let path = entry.map_err(fail)?.path();
        if path.extension().is_some_and(|e| e == "toml") {
            paths.push(path);
        }
        if paths.len() > MOST {
            return Err(Error::limit(format!(
                "the folder {} has more than {MOST} layouts",
                folder.display()
            ))
            .hint("name the layouts that are needed by --layout"));
        }
    }
    paths.sort();
    Ok(paths)
}
