//! The zip: every output with the inputs, their sums, and nothing that differs from one run to the next.

use std::{fs, io, io::BufWriter, io::Write as _, path::PathBuf};

use chrono::{Datelike, NaiveDate};
use zip::{CompressionMethod, DateTime, ZipWriter, write::SimpleFileOptions};

use crate::pack::{Inputs, PackError, SUMS, manifest};
use hillfolio_core::source::sha256;

/// Folder of the inputs inside the zip.
const INPUTS: &str = "inputs/";

/// Folder of the whole folder, where the inputs are a part of it and the rest is asked for.
const ORIGINALS: &str = "originals/";

/// Endings of files that are compressed already.
const COMPRESSED: [&str; 7] = [".pdf", ".jpg", ".jpeg", ".png", ".zip", ".xlsx", ".kmz"];

/// A zip that is being written.
pub(super) struct Archive {
    zip: ZipWriter<BufWriter<fs::File>>,
    path: PathBuf,
    dated: NaiveDate,
    /// Path inside the zip and sum of everything in it.
    sums: Vec<(String, String)>,
}

impl Archive {
    /// A zip in `target`, which stands at `path`, with everything in it `dated` alike.
    pub(super) fn new(target: fs::File, path: PathBuf, dated: NaiveDate) -> Archive {
        Archive { zip: ZipWriter::new(BufWriter::new(target)), path, dated, sums: Vec::new() }
    }

    /// Adds the inputs, read one at a time, so that a folder of photos larger than the machine's memory can be packed.
    pub(super) fn add_inputs(&mut self, inputs: &Inputs<'_>) -> Result<(), PackError> {
        self.add_under(INPUTS, inputs)
    }

    /// Adds the files of the whole folder, of which the inputs are a part.
    pub(super) fn add_originals(&mut self, inputs: &Inputs<'_>) -> Result<(), PackError> {
        self.add_under(ORIGINALS, inputs)
    }

    fn add_under(&mut self, folder: &str, inputs: &Inputs<'_>) -> Result<(), PackError> {
        for (input, sum) in &inputs.listed {
            let bytes = (inputs.read)(input).map_err(|problem| PackError::Input(Box::new(problem)))?;
            if sha256(&bytes) != *sum {
                return Err(PackError::InputChanged(input.to_string()));
            }
            self.add(&format!("{folder}{input}"), &bytes, sum)?;
        }
        Ok(())
    }

    /// Adds `bytes`, whose sum is `sum`, under `name`.
    pub(super) fn add(&mut self, name: &str, bytes: &[u8], sum: &str) -> Result<(), PackError> {
        self.put(name, bytes)?;
        self.sums.push((name.to_owned(), sum.to_owned()));
        Ok(())
    }

    /// Adds the list of sums, settles the zip on disk, and gives its own name and sum.
    pub(super) fn finish(mut self) -> Result<(String, String), PackError> {
        self.sums.sort();
        let manifest = manifest::of(self.sums.iter().map(|(name, sum)| (name.as_str(), sum.as_str())));
        self.put(SUMS, manifest.as_bytes())?;
        let mut target = self.zip.finish().map_err(io::Error::from).map_err(PackError::write(&self.path))?;
        let settled = target.flush().and_then(|()| target.get_ref().sync_all());
        settled.map_err(PackError::write(&self.path))?;
        let bytes = fs::read(&self.path).map_err(PackError::write(&self.path))?;
        let name = self.path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        Ok((name, sha256(&bytes)))
    }

    fn put(&mut self, name: &str, bytes: &[u8]) -> Result<(), PackError> {
        let started = self.zip.start_file(name, options(name, self.dated)).map_err(io::Error::from);
        started.and_then(|()| self.zip.write_all(bytes)).map_err(PackError::write(&self.path))
    }
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
