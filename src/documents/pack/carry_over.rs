//! Carrying over: what no build wrote, or somebody changed since, stays when an output is made anew.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs, io,
    path::Path,
};

use rayon::prelude::*;

use crate::pack::{
    PackError, SUMS,
    stage::{Stage, files_of},
};
use hillfolio_core::source::sha256;

/// Files that desktops leave in every folder they show: nobody misses them.
const LITTER: [&str; 3] = [".DS_Store", "Thumbs.db", "desktop.ini"];

/// A file that stayed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CarriedOver {
    /// Its path in the output that was there before.
    pub before: String,
    /// Its path now: another where the new output has a file of that name itself.
    pub now: String,
}

/// The sums that an earlier build left in `out`, by path; `None` where it left none.
fn sums(out: &Path) -> Option<BTreeMap<String, String>> {
    let sums = fs::read_to_string(out.join(SUMS)).ok()?;
    let line = |line: &str| Some((line.get(66..)?.to_owned(), line.get(..64)?.to_owned()));
    Some(sums.lines().filter_map(line).collect())
}

/// Every file below `out` that is not litter; none where there is no `out`.
fn found(out: &Path) -> Result<Vec<String>, PackError> {
    let found = match files_of(out) {
        Ok(found) => found,
        Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(why) => return Err(PackError::Write { path: out.to_owned(), why }),
    };
    let litter = |path: &str| LITTER.contains(&path.rsplit('/').next().unwrap_or(path));
    Ok(found.into_iter().map(|(path, _)| path).filter(|path| !litter(path)).collect())
}

/// Refuses an `out` with files in it in which no build ever wrote: it is not a folder for outputs.
pub(super) fn refuse_strangers(out: &Path) -> Result<(), PackError> {
    match found(out)?.into_iter().next() {
        Some(stranger) if sums(out).is_none() => Err(PackError::Stranger { out: out.to_owned(), stranger }),
        _ => Ok(()),
    }
}

/// Links into the `stage` what is to stay of `out`: all but what an earlier build wrote and nobody changed since, by its sum.
pub(super) fn carry_over(out: &Path, stage: &Stage) -> Result<Vec<CarriedOver>, PackError> {
    refuse_strangers(out)?;
    let Some(sums) = sums(out) else { return Ok(Vec::new()) };
    let is_ours = |path: &String| {
        path == SUMS
            || sums
                .get(path)
                .is_some_and(|sum| fs::read(out.join(path)).is_ok_and(|bytes| sha256(&bytes) == *sum))
    };
    let stay: Vec<String> = found(out)?.into_par_iter().filter(|path| !is_ours(path)).collect();
    let new = files_of(stage.path("").as_path()).map_err(PackError::write(out))?;
    let mut taken: BTreeSet<String> =
        new.into_iter().map(|(path, _)| path).chain(stay.iter().cloned()).collect();
    let mut carried = Vec::new();
    for before in stay {
        let free = |path: &String| !stage.path(path).exists() && (path == &before || !taken.contains(path));
        let names = std::iter::once(before.clone()).chain((1..).map(|count| kept_name(&before, count)));
        let Some(now) = names.into_iter().find(free) else { continue };
        stage.link(&out.join(&before), &now)?;
        taken.insert(now.clone());
        carried.push(CarriedOver { before, now });
    }
    Ok(carried)
}

/// The name under which a file stays beside a new one of its own name: `acquittal (kept).pdf`, `acquittal (kept 2).pdf`.
fn kept_name(path: &str, count: usize) -> String {
    let (folder, name) = path.rsplit_once('/').map_or(("", path), |(folder, name)| (folder, name));
    let (stem, ending) = match name.rsplit_once('.') {
        Some((stem, ending)) if !stem.is_empty() => (stem, format!(".{ending}")),
        _ => (name, String::new()),
    };
    let kept = if count == 1 { "kept".to_owned() } else { format!("kept {count}") };
    let folder = if folder.is_empty() { String::new() } else { format!("{folder}/") };
    format!("{folder}{stem} ({kept}){ending}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kept_file_keeps_its_folder_and_its_ending() {
        assert_eq!(kept_name("acquittal.pdf", 1), "acquittal (kept).pdf");
        assert_eq!(kept_name("maps/site-map.pdf", 2), "maps/site-map (kept 2).pdf");
        assert_eq!(kept_name("notes", 1), "notes (kept)");
        assert_eq!(kept_name("a.b/.hidden", 1), "a.b/.hidden (kept)");
    }
}
