//! A file that is written whole or not at all: beside its goal first, then moved there.

use std::ffi::OsStr;
use std::fs::{self, File, Metadata};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::time::Duration;

use tempfile::NamedTempFile;

use crate::exit::Failure;
use crate::output::{note, path_name};
use crate::stop;

/// How files are called until they are whole. Each is locked by the run that writes it.
const UNFINISHED: (&str, &str) = (".linewright-", ".part");

/// What a goal stands for: links followed, and the file that is there already.
pub struct Target {
    /// Where the file really goes.
    pub path: PathBuf,
    /// What is known of the one that it replaces.
    pub old: Option<Metadata>,
}

impl Target {
    /// Finds out where a goal is; whether it may go there is not asked yet.
    pub fn of(goal: &Path) -> Result<Self, Failure> {
        let folder = folder(goal);
        let real = fs::canonicalize(&folder).and_then(|real| match real.is_dir() {
            true => Ok(real),
            false => Err(io::ErrorKind::NotADirectory.into()),
        });
        let real = real.map_err(|error| {
            Failure::write(format!(
                "{} cannot be written: the folder {} cannot be used: {error}\n  hint: make the folder first",
                path_name(goal),
                path_name(&folder)
            ))
        })?;
        match fs::symlink_metadata(goal) {
            Ok(_) => {}
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                let path = real.join(goal.file_name().unwrap_or_default());
                return Ok(Self { path, old: None });
            }
            Err(error) => return Err(unwritable(goal, &error)),
        }
        let followed = fs::canonicalize(goal).and_then(|path| Ok((fs::metadata(&path)?, path)));
        let (old, path) = followed.map_err(|error| {
            Failure::write(format!(
                "{} is a link to what cannot be used: {error}\n  hint: give the name of the file itself, or remove the link",
                path_name(goal)
            ))
        })?;
        Ok(Self {
            path,
            old: Some(old),
        })
    }

    /// Checks that a file can be made where this is, and take the place of the one there.
    pub fn check(&self, goal: &Path) -> Result<(), Failure> {
        // For as long as this is held, nothing ends the run between making and removing it.
        let _done = stop::done();
        let made = beside(&folder(&self.path), self.old.as_ref())
            .and_then(|file| file.as_file().metadata())
            .map_err(|error| unwritable(&folder(goal), &error))?;
        self.may_replace(goal, &made)
    }

    /// Writes the file as a whole, with the rights of the one that was there; `goal` is what
    /// messages call it.
    pub fn write(&self, goal: &Path, bytes: &[u8], force: bool) -> Result<(), Failure> {
        let told = |error: io::Error| unwritable(goal, &error);
        let mut done = stop::done();
        let mut file = beside(&folder(&self.path), self.old.as_ref()).map_err(told)?;
        let made = file.as_file().metadata().map_err(told)?;
        self.may_replace(goal, &made)?;
        let written = file.write_all(bytes).and_then(|()| {
            if let Some(old) = &self.old {
                keep_rights(file.as_file(), old, &made)?;
            }
            file.as_file().sync_all()
        });
        written.map_err(told)?;
        let moved = if force {
            file.persist(&self.path)
        } else {
            file.persist_noclobber(&self.path)
        };
        moved.map_err(|fault| told(fault.error))?;
        done.push(goal.to_owned());
        Ok(())
    }

    /// Whether a file that was `made` here may take the place of the one there: nothing may be
    /// lost by it but the text.
    fn may_replace(&self, goal: &Path, made: &Metadata) -> Result<(), Failure> {
        let Some(old) = &self.old else {
            return Ok(());
        };
        let refused = |why: &str, hint: &str| {
            let name = path_name(goal);
            Err(Failure::write(format!("{name} {why}\n  hint: {hint}")))
        };
        if !old.is_file() {
            return refused(
                "is no plain file but a pipe, a device or a socket",
                "give the name of a file; the page can be piped on from the standard output",
            );
        }
        #[cfg(unix)]
        {
            use std::os::unix::fs::MetadataExt as _;
            if old.uid() != made.uid() {
                return refused("belongs to another user", "give another name");
            }
            if old.nlink() > 1 {
                return refused(
                    "has another name in some folder (a hard link), which would keep the old text",
                    "give another name, or remove this one first",
                );
            }
        }
        if is_read_only(old) {
            return refused(
                "is read-only",
                "give another name, or let the file be written first",
            );
        }
        Ok(())
    }
}

#[cfg(unix)]
fn is_read_only(file: &Metadata) -> bool {
    use std::os::unix::fs::PermissionsExt as _;
    file.permissions().mode() & 0o200 == 0
}

#[cfg(not(unix))]
fn is_read_only(file: &Metadata) -> bool {
    file.permissions().readonly()
}

/// Gives a file that was `made` the group and the rights of the old one.
#[cfg(unix)]
fn keep_rights(file: &File, old: &Metadata, made: &Metadata) -> io::Result<()> {
    use std::os::unix::fs::{MetadataExt as _, fchown};
    if old.gid() != made.gid() {
        fchown(file, None, Some(old.gid()))?;
    }
    file.set_permissions(old.permissions())
}

#[cfg(not(unix))]
fn keep_rights(file: &File, old: &Metadata, _made: &Metadata) -> io::Result<()> {
    file.set_permissions(old.permissions())
}

/// A new file in a folder, locked, with the rights that files there usually get, but never more
/// than those of the one that it is to replace.
fn beside(folder: &Path, old: Option<&Metadata>) -> io::Result<NamedTempFile> {
    let (before, after) = UNFINISHED;
    let mut builder = tempfile::Builder::new();
    builder.prefix(before).suffix(after);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let rights = old.map_or(0o666, |old| old.permissions().mode() & 0o777);
        builder.permissions(fs::Permissions::from_mode(rights));
    }
    loop {
        let file = builder.tempfile_in(folder)?;
        // Where files cannot be locked, none is cleared either.
        let _ = file.as_file().lock();
        // Another run may have cleared it before it was locked.
        if fs::symlink_metadata(file.path()).is_ok() {
            return Ok(file);
        }
    }
}

/// Removes what runs that could not clear up have left in a folder, and says so. What a living
/// run is writing there is locked, and stays.
pub fn clear(folder: &Path) {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let left = entries.filter(|entry| {
        let plain = entry.file_type().is_ok_and(|kind| kind.is_file());
        plain && is_unfinished(&entry.file_name()) && is_left(&entry.path())
    });
    match left.count() {
        0 => {}
        1 => note(&format!(
            "removed an unfinished file that an earlier run left in {}",
            path_name(folder)
        )),
        count => note(&format!(
            "removed {count} unfinished files that earlier runs left in {}",
            path_name(folder)
        )),
    }
}

/// Removes an unfinished file if nobody writes it any more; says whether.
fn is_left(path: &Path) -> bool {
    // Removed while it is locked, so that no run takes it for its own.
    let locked =
        File::open(path).and_then(|file| file.try_lock().map(|()| file).map_err(Into::into));
    locked.is_ok_and(|file| !is_just_made(&file) && fs::remove_file(path).is_ok())
}

/// Whether a file was made a moment ago: its run may be about to lock it.
fn is_just_made(file: &File) -> bool {
    const MOMENT: Duration = Duration::from_secs(60);
    file.metadata().is_ok_and(|of| {
        let made = of.modified().ok();
        let age = made.and_then(|made| made.elapsed().ok());
        of.len() == 0 && age.is_none_or(|age| age < MOMENT)
    })
}

/// Whether a file is called as no file is once it is whole.
fn is_unfinished(name: &OsStr) -> bool {
    let (before, after) = UNFINISHED;
    let name = name.to_str().and_then(|name| name.strip_prefix(before));
    name.is_some_and(|name| name.ends_with(after))
}

/// The folder of a file.
pub fn folder(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

fn unwritable(path: &Path, error: &io::Error) -> Failure {
    let hint = match error.kind() {
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            "write to a folder of your own"
        }
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => "make room on the disk",
        io::ErrorKind::AlreadyExists => "give another name, or --force to overwrite it",
        io::ErrorKind::InvalidFilename => "give a shorter name",
        _ => "give another name or folder",
    };
    // What the file beside the goal was called says nothing to people.
    let told = error.to_string();
    let told = told.split(" at path ").next().unwrap_or_default();
    Failure::write(format!(
        "{} cannot be written: {told}\n  hint: {hint}",
        path_name(path)
    ))
}
