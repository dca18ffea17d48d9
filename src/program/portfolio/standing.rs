//! Whether a project's documents are still those of its files.

use std::path::Path;

use crate::portfolio::{
    PROGRAM,
    members::Member,
    record::{Record, Summed, refused, stamped},
    task::Ending,
};
use hillfolio_core::intake::{
    Folder,
    stamp::{self, Stamp},
};

/// A file touched less than this before work began may have been touched again within the same tick of the clock, or by a
/// clock that runs differently: its stamp proves nothing, and it is summed.
const MARGIN: i64 = 2_000_000_000;

/// What a project's documents are worth.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Standing {
    /// They are those of its files, and whole.
    Current(Box<Record>),
    /// They have to be made; the reason, and the bytes of the folder's files by path where it could be listed.
    Due(&'static str, Vec<(String, u64)>),
}

/// What the run holds against the records.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Asked<'a> {
    /// The portfolio's output folder.
    pub(crate) out: &'a Path,
    /// The sum over the user's own templates.
    pub(crate) templates: &'a str,
    /// Whether stamps are trusted; else every file is summed.
    pub(crate) by_stamp: bool,
}

/// How the documents of `member` stand.
pub(crate) fn standing(member: &Member, asked: Asked<'_>) -> Standing {
    let listed = Folder::open(&member.folder).ok().and_then(|folder| Some((stamped(&folder).ok()?, folder)));
    let Some((stamps, folder)) = listed else { return Standing::Due("it can't be listed", Vec::new()) };
    match current(member, asked, &folder, &stamps) {
        Ok(record) => Standing::Current(Box::new(record)),
        Err(why) => Standing::Due(why, stamps.into_iter().map(|(path, stamp)| (path, stamp.bytes)).collect()),
    }
}

/// The record of `member`, if its documents are those of its files; else why they are not.
///
/// Files whose size, times and number are those of the record are taken to be the same without being read; any other is summed,
/// and what counts is the sum. A record whose stamps are out of date is then written again.
fn current(
    member: &Member,
    asked: Asked<'_>,
    folder: &Folder,
    stamps: &[(String, Stamp)],
) -> Result<Record, &'static str> {
    let at = member.record(asked.out);
    let mut record = Record::read(&at).ok_or("it was not built before")?;
    match record.done.ending {
        Ending::Begun => return Err("the last build was cut short"),
        ending if !ending.is_good() => return Err("the last build failed"),
        _ if record.program != PROGRAM => return Err("another version of the program built it"),
        _ if record.templates != asked.templates => return Err("other templates built it"),
        _ if refused(folder) != record.refused => return Err("its files changed"),
        _ => {}
    }
    let trusted = |stamp: &Stamp| asked.by_stamp && stamp.touched() < record.begun - MARGIN;
    let (inputs, read) = same(folder.root(), stamps, &record.inputs, &trusted).ok_or("its files changed")?;
    let out = member.out(asked.out);
    let outputs = stamp::stamps_below(&out).map_err(|_| "its documents are gone")?;
    // Nobody but the program writes there, and it writes whole folders: a stamp that is the same proves enough.
    let (outputs, reread) =
        same(&out, &outputs, &record.outputs, &|_| asked.by_stamp).ok_or("its documents were changed")?;
    if read || reread {
        (record.inputs, record.outputs) = (inputs, outputs);
        // All that was touched well before the record was last written is known by its stamp from now on.
        record.begun = Stamp::of(&at).map_or(record.begun, |stamp| stamp.touched().max(record.begun));
        // Where it can't be written, the files are summed once more next time.
        let _ = record.write(&at);
    }
    Ok(record)
}

/// The files below `root` with their sums, if they are those of the record, and whether one had to be read; `None` if one is
/// not.
fn same(
    root: &Path,
    found: &[(String, Stamp)],
    recorded: &[Summed],
    trusted: &dyn Fn(&Stamp) -> bool,
) -> Option<(Vec<Summed>, bool)> {
    if found.len() != recorded.len() {
        return None;
    }
    let (mut files, mut read) = (Vec::with_capacity(found.len()), false);
    for ((path, stamp), known) in found.iter().zip(recorded) {
        if *path != known.path || stamp.bytes != known.stamp.bytes {
            return None;
        }
        if *stamp != known.stamp || !trusted(stamp) {
            read = true;
            if stamp::sum(&root.join(path)).ok()? != known.sha256 {
                return None;
            }
        }
        files.push(Summed { path: path.clone(), stamp: *stamp, sha256: known.sha256.clone() });
    }
    Some((files, read))
}
