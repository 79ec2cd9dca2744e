//! Replaces a file's text in one step: a reader sees the old text or the new one, never half of it.
//!
//! Invariant: on any failure the old file stands as it was; permissions are kept, a link stays a link.

use std::fs;
use std::io::{Error, Result, Write};
use std::path::Path;
use tempfile::NamedTempFile;

/// Writes `text` to the file at `path`, or to what it links to.
///
/// # Errors
/// When the file is read-only, or its folder cannot be written to.
pub fn rewrite(path: &Path, text: &str) -> Result<()> {
    let target = fs::canonicalize(path)?;
    let permissions = fs::metadata(&target)?.permissions();
    if permissions.readonly() {
        return Err(Error::other("is read-only"));
    }
    let folder = target.parent().unwrap_or(Path::new("."));
    let mut fresh = NamedTempFile::new_in(folder)?;
    fresh.write_all(text.as_bytes())?;
    fresh.as_file().set_permissions(permissions)?;
    fresh.as_file().sync_all()?;
    fresh.persist(&target).map_err(|e| e.error)?;
    Ok(())
}
