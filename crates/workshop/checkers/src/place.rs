//! Where the source tree and the target directory are.

use std::env;
use std::path::{Path, PathBuf};

use crate::error::{Error, Kind};

/// The file that marks the checkers' folder, seen from the top of the source tree.
const REQUIREMENTS: &str = "tests/checkers/requirements.txt";

/// The file cargo puts at the top of every target directory.
const CACHE_TAG: &str = "CACHEDIR.TAG";

/// The folder `tests/checkers` of the source tree.
///
/// Looked for upwards from the package under test, then from this crate as it was built.
pub(crate) fn scripts() -> Result<PathBuf, Error> {
    env::var_os("CARGO_MANIFEST_DIR")
        .map(PathBuf::from)
        .into_iter()
        .chain([PathBuf::from(env!("CARGO_MANIFEST_DIR"))])
        .find_map(|start| up_to(&start, REQUIREMENTS))
        .map(|top| top.join("tests").join("checkers"))
        .ok_or_else(|| Kind::Lost("the folder tests/checkers").into())
}

/// The cargo target directory.
///
/// An absolute `CARGO_TARGET_DIR` wins; otherwise the directory that the running
/// test was built in, known by cargo's tag; otherwise `target` beside `Cargo.lock`.
pub(crate) fn target() -> Result<PathBuf, Error> {
    let told = env::var_os("CARGO_TARGET_DIR").map(PathBuf::from);
    if let Some(told) = told.filter(|path| path.is_absolute()) {
        return Ok(told);
    }
    if let Some(found) = env::current_exe()
        .ok()
        .and_then(|exe| up_to(&exe, CACHE_TAG))
    {
        return Ok(found);
    }
    up_to(Path::new(env!("CARGO_MANIFEST_DIR")), "Cargo.lock")
        .map(|top| top.join("target"))
        .ok_or_else(|| Kind::Lost("the cargo target directory").into())
}

/// The nearest of `start` and the folders above it that holds `mark`.
fn up_to(start: &Path, mark: &str) -> Option<PathBuf> {
    start
        .ancestors()
        .find(|folder| folder.join(mark).is_file())
        .map(Path::to_owned)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn the_nearest_marked_folder_above_is_found() {
        let top = tempfile::tempdir().unwrap();
        let deep = top.path().join("a/b/c");
        fs::create_dir_all(&deep).unwrap();
        fs::write(top.path().join("mark"), "").unwrap();
        assert_eq!(up_to(&deep, "mark").as_deref(), Some(top.path()));
        fs::write(top.path().join("a/b/mark"), "").unwrap();
        assert_eq!(up_to(&deep, "mark"), Some(top.path().join("a/b")));
        assert_eq!(up_to(&deep, "a mark that nobody makes"), None);
    }

    #[test]
    fn the_scripts_are_the_ones_of_this_source_tree() {
        assert!(scripts().unwrap().join("versions.py").is_file());
    }
}
