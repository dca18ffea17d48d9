//! The manifest: SHA-256 sums, one file a line, in the form that common checksum tools read back.

/// Name of the manifest, in `out/` and at the root of the zip.
pub const SUMS: &str = "SHA256SUMS";

/// The manifest of `files`, each a path and its sum, in the order given.
pub(super) fn of<'a>(files: impl Iterator<Item = (&'a str, &'a str)>) -> String {
    files.map(|(path, sum)| format!("{sum}  {path}\n")).collect()
}
