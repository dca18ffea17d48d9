//! The manifest: SHA-256 sums, one file a line, in the form that common checksum tools read back.

use sha2::{Digest, Sha256};

/// Name of the manifest, in `out/` and at the root of the zip.
pub const SUMS: &str = "SHA256SUMS";

/// SHA-256 of `bytes` in lower-case hexadecimal (FIPS 180-4).
pub(super) fn sum(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::with_capacity(64), |mut text, byte| {
        text.push_str(&format!("{byte:02x}"));
        text
    })
}

/// The manifest of `files`, each a path and its sum, in the order given.
pub(super) fn of<'a>(files: impl Iterator<Item = (&'a str, String)>) -> String {
    files.map(|(path, sum)| format!("{sum}  {path}\n")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-4 example: SHA-256 of "abc" (from memory).
    #[test]
    fn sum_of_abc() {
        assert_eq!(sum(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }
}
