//! The zip: every output with the inputs, their sums, and nothing that differs from one run to the next.

use std::{fs, io::BufWriter, io::Write as _, path::Path};

use chrono::{Datelike, NaiveDate};
use zip::{CompressionMethod, DateTime, ZipWriter, write::SimpleFileOptions};

use crate::{
    pack::{Failure, File, Inputs, SUMS, manifest},
    source::sha256,
};

/// Folder of the inputs inside the zip.
const INPUTS: &str = "inputs/";

/// Endings of files that are compressed already.
const COMPRESSED: [&str; 7] = [".pdf", ".jpg", ".jpeg", ".png", ".zip", ".xlsx", ".kmz"];

/// Writes the zip of `files`, each with its sum, into `target`, which stands at `path`. Inputs are read one at a time, so that a folder of photos larger
/// than the machine's memory can be packed.
pub(super) fn write(
    target: fs::File,
    path: &Path,
    files: &[(&File, String)],
    inputs: &Inputs<'_>,
    dated: NaiveDate,
) -> Result<(), Failure> {
    let mut zip = ZipWriter::new(BufWriter::new(target));
    let failed = |why: zip::result::ZipError| Failure::Write { path: path.to_owned(), why: why.into() };
    let mut add = |name: &str, bytes: &[u8]| -> Result<(), Failure> {
        zip.start_file(name, options(name, dated)).map_err(failed)?;
        zip.write_all(bytes).map_err(Failure::write(path))
    };
    let mut sums: Vec<(String, String)> = Vec::with_capacity(files.len() + inputs.listed.len());
    for (file, sum) in files {
        add(&file.path, &file.bytes)?;
        sums.push((file.path.clone(), sum.clone()));
    }
    for (input, sum) in &inputs.listed {
        let bytes = (inputs.read)(input).map_err(|problem| Failure::Input(Box::new(problem)))?;
        if sha256(&bytes) != *sum {
            return Err(Failure::InputChanged(input.to_string()));
        }
        let name = format!("{INPUTS}{input}");
        add(&name, &bytes)?;
        sums.push((name, sum.clone()));
    }
    sums.sort();
    let manifest = manifest::of(sums.iter().map(|(name, sum)| (name.as_str(), sum.clone())));
    add(SUMS, manifest.as_bytes())?;
    let mut target = zip.finish().map_err(failed)?;
    target.flush().map_err(Failure::write(path))
}

/// Fixed time and mode, so that the same content gives the same bytes.
fn options(name: &str, dated: NaiveDate) -> SimpleFileOptions {
    let lower = name.to_lowercase();
    let method = match COMPRESSED.iter().any(|ending| lower.ends_with(ending)) {
        true => CompressionMethod::Stored,
        false => CompressionMethod::Deflated,
    };
    let (month, day) = (u8::try_from(dated.month()).unwrap_or(1), u8::try_from(dated.day()).unwrap_or(1));
    // A zip can't hold years before 1980.
    let year = u16::try_from(dated.year()).unwrap_or(1980).clamp(1980, 2107);
    SimpleFileOptions::default()
        .compression_method(method)
        .last_modified_time(DateTime::from_date_and_time(year, month, day, 0, 0, 0).unwrap_or_default())
        .unix_permissions(0o644)
}
