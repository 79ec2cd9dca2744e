//! Replaces a file's text in one step: a reader sees the old text or the new one, never half of it.
//!
//! Not here: details of a shelf, which are changed under a lock. Invariant: on any failure the old file stands as it was;
//! permissions are kept, a link stays a link.

use std::fs::{self, File, Permissions};
use std::io::{Error, Result, Write};
use std::path::Path;
use tempfile::NamedTempFile;

/// Writes `text` to the file at `path`, or to what it links to.
///
/// # Errors
/// When the file is read-only, or its folder cannot be written to.
pub fn rewrite(path: &Path, text: &str) -> Result<()> {
    let target = fs::canonicalize(path)?;
    let old = permissions(&target)?;
    let folder = target.parent().unwrap_or(Path::new("."));
    let mut fresh = NamedTempFile::new_in(folder)?;
    fill(fresh.as_file_mut(), text, Some(old))?;
    fresh.persist(&target).map_err(|e| e.error)?;
    Ok(())
}

/// The permissions of a file that may be replaced.
///
/// # Errors
/// When it is read-only, or not there.
pub fn permissions(file: &Path) -> Result<Permissions> {
    let permissions = fs::metadata(file)?.permissions();
    if permissions.readonly() { Err(Error::other("is read-only")) } else { Ok(permissions) }
}

/// Writes all of a new file, and waits until it stands on the disk. Permissions are those of the file it replaces.
///
/// # Errors
/// When it can't be written.
pub fn fill(fresh: &mut File, text: &str, permissions: Option<Permissions>) -> Result<()> {
    if let Some(permissions) = permissions {
        fresh.set_permissions(permissions)?;
    }
    fresh.write_all(text.as_bytes())?;
    fresh.sync_all()
}
