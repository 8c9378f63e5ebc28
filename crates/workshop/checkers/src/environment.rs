//! Making the virtual environment, once, whoever asks first.

use std::env::consts::EXE_SUFFIX;
use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::time::Duration;

use crate::error::{Error, Kind};
use crate::process;

/// The oldest Python that the pinned packages install on.
const OLDEST: (u32, u32) = (3, 10);

/// The longest that finding an interpreter may take.
const ASK: Duration = Duration::from_secs(60);

/// The longest that making the environment, or installing into it, may take.
const INSTALL: Duration = Duration::from_secs(900);

/// Makes sure that `folder` holds an environment with `requirements` installed;
/// returns its interpreter.
///
/// Test processes run side by side, so an exclusive lock on a file is held all
/// along; the system lets go of it when a process dies. A stamp, written last,
/// holds the requirements and the Python that were installed: a half-made or
/// outdated environment is made afresh.
pub(crate) fn prepare(folder: &Path, requirements: &Path) -> Result<PathBuf, Error> {
    fs::create_dir_all(folder).map_err(|e| Error::file("make the folder", folder, &e))?;
    let lock_path = folder.join("lock");
    let lock = File::create(&lock_path).map_err(|e| Error::file("create", &lock_path, &e))?;
    lock.lock()
        .map_err(|e| Error::file("lock", &lock_path, &e))?;

    let wanted = fs::read_to_string(requirements)
        .map_err(|e| Error::file("read the pinned versions in", requirements, &e))?;
    let (base, version) = base_python()?;
    let stamp = format!("{version}\n{wanted}");
    let stamp_path = folder.join("stamp");
    let venv = folder.join("venv");
    let python = interpreter(&venv);
    let current = fs::read_to_string(&stamp_path).is_ok_and(|found| found == stamp);
    if current && python.is_file() {
        return Ok(python);
    }
    remove(&stamp_path)?;
    make(base, &venv)?;
    install(&python, requirements)?;
    fs::write(&stamp_path, stamp).map_err(|e| Error::file("write", &stamp_path, &e))?;
    Ok(python)
}

/// The interpreter of the virtual environment `venv`.
fn interpreter(venv: &Path) -> PathBuf {
    let folder = if cfg!(windows) { "Scripts" } else { "bin" };
    venv.join(folder).join(format!("python{EXE_SUFFIX}"))
}

/// The first Python on PATH that is new enough, by name, and what tells it from others.
fn base_python() -> Result<(&'static str, String), Error> {
    let mut too_old = None;
    for name in ["python3", "python"] {
        let mut command = Command::new(name);
        command.args([
            "-I",
            "-c",
            "import sys; print(*sys.version_info[:3], sys.base_prefix)",
        ]);
        let Ok(output) = process::run(command, b"", ASK) else {
            continue;
        };
        let text = String::from_utf8_lossy(&output.stdout).trim().to_owned();
        match version(&text) {
            Some(found) if output.status.success() && found >= OLDEST => return Ok((name, text)),
            Some((major, minor)) if output.status.success() => {
                too_old.get_or_insert(format!("{major}.{minor}"));
            }
            _ => {}
        }
    }
    Err(too_old.map_or(Kind::NoPython, Kind::OldPython).into())
}

/// Major and minor version from `3 11 7 /usr`.
fn version(text: &str) -> Option<(u32, u32)> {
    let mut words = text.split(' ');
    Some((words.next()?.parse().ok()?, words.next()?.parse().ok()?))
}

fn make(base: &str, venv: &Path) -> Result<(), Error> {
    let mut command = Command::new(base);
    command.args(["-I", "-m", "venv", "--clear"]).arg(venv);
    let output = process::run(command, b"", INSTALL)?;
    if output.status.success() {
        Ok(())
    } else {
        Err(Kind::Venv(said(&output)).into())
    }
}

fn install(python: &Path, requirements: &Path) -> Result<(), Error> {
    let mut command = Command::new(python);
    command
        .args(["-I", "-m", "pip", "install", "--quiet", "--no-input"])
        .args(["--disable-pip-version-check", "--requirement"])
        .arg(requirements);
    let output = process::run(command, b"", INSTALL)?;
    if output.status.success() {
        Ok(())
    } else {
        Err(Kind::Install(said(&output)).into())
    }
}

fn remove(path: &Path) -> Result<(), Error> {
    match fs::remove_file(path) {
        Err(e) if e.kind() != std::io::ErrorKind::NotFound => Err(Error::file("remove", path, &e)),
        _ => Ok(()),
    }
}

/// Everything that a program printed; `venv` complains on standard output.
fn said(output: &Output) -> String {
    let both = [&output.stdout, &output.stderr];
    both.map(|bytes| String::from_utf8_lossy(bytes).trim().to_owned())
        .join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_version_is_read_from_what_python_prints() {
        assert_eq!(version("3 11 7 /usr"), Some((3, 11)));
        assert_eq!(version("3 9 2 C:\\Program Files\\Python"), Some((3, 9)));
        assert_eq!(version("not found"), None);
        assert_eq!(version(""), None);
    }

    #[test]
    fn changed_requirements_make_the_environment_afresh_and_the_same_ones_do_not() {
        // Nothing is installed from a package index here: comments only.
        let top = tempfile::tempdir().unwrap();
        let folder = top.path().join("made");
        let requirements = top.path().join("requirements.txt");
        fs::write(&requirements, "# first\n").unwrap();
        let python = prepare(&folder, &requirements).unwrap();
        let left = folder.join("venv/left-behind");
        fs::write(&left, "").unwrap();

        assert_eq!(prepare(&folder, &requirements).unwrap(), python);
        assert!(left.exists(), "the same requirements reuse what is there");

        fs::write(&requirements, "# second\n").unwrap();
        assert_eq!(prepare(&folder, &requirements).unwrap(), python);
        assert!(!left.exists(), "other requirements start from nothing");
    }

    #[test]
    fn a_failed_install_says_so_and_leaves_no_stamp() {
        let top = tempfile::tempdir().unwrap();
        let requirements = top.path().join("requirements.txt");
        // A path, so that no package index is asked.
        fs::write(&requirements, "./no-such-folder\n").unwrap();
        let error = prepare(top.path(), &requirements).unwrap_err().to_string();
        assert!(error.contains("requirements.txt"), "{error}");
        assert!(error.contains("no-such-folder"), "{error}");
        assert!(!top.path().join("stamp").exists());
    }

    #[test]
    fn two_askers_at_once_get_one_environment() {
        let top = tempfile::tempdir().unwrap();
        let requirements = top.path().join("requirements.txt");
        fs::write(&requirements, "# nothing\n").unwrap();
        let folder = top.path().join("made");
        let made = std::thread::scope(|scope| {
            let ask = || prepare(&folder, &requirements).unwrap();
            [scope.spawn(ask), scope.spawn(ask)].map(|asker| asker.join().unwrap())
        });
        assert_eq!(made[0], made[1]);
        let mut command = Command::new(&made[0]);
        command.args(["-m", "pip", "--version"]);
        let output = process::run(command, b"", ASK).unwrap();
        assert!(output.status.success(), "{}", said(&output));
    }
}
