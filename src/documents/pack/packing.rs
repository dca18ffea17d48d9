//! Output that is being made: files are put in as they come, and all of them take their place at once.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use crate::pack::{
    File, Inputs, PackError, Receipt, SUMS, archive::Archive, carry_over::refuse_strangers, manifest, stage,
    stage::Stage,
};
use hillfolio_core::source::sha256;

/// A new output on its stage beside `out`: its files, and the zip of all of them with the inputs.
pub struct Packing {
    out: PathBuf,
    stage: Stage,
    archive: Archive,
    /// Path and sum of every file.
    sums: Vec<(String, String)>,
}

impl Packing {
    /// Begins an output of `project` that is to become `out`, with a zip called `pack` in which everything is `dated` alike.
    ///
    /// # Errors
    /// [`PackError`] if `out` holds the project or anything else that would be lost, or the system refuses.
    pub fn begin(project: &Path, out: &Path, pack: &str, dated: NaiveDate) -> Result<Packing, PackError> {
        let out = stage::behind_links(out);
        stage::refuse_the_project(project, &out)?;
        let stage = Stage::beside(&out, || refuse_strangers(&out))?;
        let zip = format!("{pack}.zip");
        let archive = Archive::new(stage.create(&zip)?, stage.path(&zip), dated);
        Ok(Packing { out, stage, archive, sums: Vec::new() })
    }

    /// Puts the inputs into the zip.
    ///
    /// # Errors
    /// [`PackError`] if one of them can't be read or is no longer what it was, or the system refuses.
    pub fn add_inputs(&mut self, inputs: &Inputs<'_>) -> Result<(), PackError> {
        self.archive.add_inputs(inputs)
    }

    /// Puts the whole folder into the zip too, of which the inputs are a part.
    ///
    /// # Errors
    /// As for the inputs.
    pub fn add_originals(&mut self, inputs: &Inputs<'_>) -> Result<(), PackError> {
        self.archive.add_originals(inputs)
    }

    /// Puts `files` on the stage and into the zip, in order of path.
    ///
    /// # Errors
    /// [`PackError`] if the system refuses.
    pub fn add(&mut self, files: &[File]) -> Result<(), PackError> {
        let Packing { stage, archive, sums, .. } = self;
        let files = in_order(files);
        // One waits for the disk most of the time.
        let (staged, packed) = rayon::join(
            || files.iter().try_for_each(|file| stage.write(&file.path, &file.bytes)),
            || {
                files.iter().try_for_each(|file| {
                    let sum = sha256(&file.bytes);
                    archive.add(&file.path, &file.bytes, &sum)?;
                    sums.push((file.path.clone(), sum));
                    Ok(())
                })
            },
        );
        staged.and(packed)
    }

    /// Takes in everything of an output that was made elsewhere, under `folder`: it lies in `out` beside the rest and not in the zip, for
    /// it has one of its own.
    ///
    /// # Errors
    /// [`PackError`] if the system refuses.
    pub fn take_in(&mut self, made: &Path, folder: &str) -> Result<(), PackError> {
        for (path, _) in stage::files_of(made).map_err(PackError::write(made))? {
            let from = path.split('/').fold(made.to_owned(), |at, part| at.join(part));
            let name = format!("{folder}/{path}");
            let bytes = std::fs::read(&from).map_err(PackError::write(&from))?;
            self.sums.push((name.clone(), sha256(&bytes)));
            self.stage.write(&name, &bytes)?;
        }
        Ok(())
    }

    /// Adds the lists of sums, and puts everything where `out` is.
    ///
    /// # Errors
    /// [`PackError`]; `out` is then as it was before.
    pub fn finish(self) -> Result<Receipt, PackError> {
        let Packing { out, stage, archive, mut sums } = self;
        sums.push(archive.finish()?);
        write_sums(&stage, &mut sums)?;
        stage.take_place(&out)
    }
}

/// Writes `files` and their sums into `out`, without a zip, in place of what was written there before.
///
/// # Errors
/// [`PackError`]; `out` is then as it was before.
pub fn write_folder(out: &Path, files: &[File]) -> Result<Receipt, PackError> {
    // No project lies in a folder of this kind.
    let out = &stage::behind_links(out);
    let stage = Stage::beside(out, || refuse_strangers(out))?;
    let mut sums = Vec::with_capacity(files.len());
    for file in in_order(files) {
        stage.write(&file.path, &file.bytes)?;
        sums.push((file.path.clone(), sha256(&file.bytes)));
    }
    write_sums(&stage, &mut sums)?;
    stage.take_place(out)
}

/// `files` in order of path.
fn in_order(files: &[File]) -> Vec<&File> {
    let mut files: Vec<&File> = files.iter().collect();
    files.sort_by(|a, b| a.path.cmp(&b.path));
    files
}

fn write_sums(stage: &Stage, sums: &mut [(String, String)]) -> Result<(), PackError> {
    sums.sort();
    let list = manifest::of(sums.iter().map(|(path, sum)| (path.as_str(), sum.as_str())));
    stage.write(SUMS, list.as_bytes())
}
