//! Photos made small, kept from one build to the next in a folder of the user's own.
//!
//! A camera's photo takes long to decode, and most photos of a project are last year's. A room of its own, since no other may do all
//! of this: `draw` makes pictures and touches no file, `intake` reads files and knows no pictures, `pack` writes them. What a picture
//! is made of stands in its name; what it holds is sealed by a sum. So a file that is damaged, cut short or was kept for another
//! photo is not used, and a build gives the same bytes with what was kept and without.
//!
//! Nothing here fails: where nothing can be kept or read, photos are made small again. Whoever may write in the user's own folder
//! could forge a picture; so `verify`, which believes nobody, uses none of them.

use std::{
    path::{Component, Path, PathBuf, absolute},
    sync::{Mutex, PoisonError},
};

use crate::{draw::photo::Picture, pack};
use hillfolio_core::{intake, source::sha256};

/// What makes photos small: its source, its libraries, the kind of machine.
const SHRINKING: &str = env!("HILLFOLIO_SHRINKING");

/// What the names of files end with.
const ENDING: &str = ".thumbnail";

/// The part of the bound that is filled between two looks at the whole folder: one such part is always left free for it.
const PART: u64 = 8;

/// The photos made small that earlier builds kept, and those that this one keeps.
#[derive(Debug, Default)]
pub struct Thumbnails {
    kept: Option<Kept>,
}

#[derive(Debug)]
struct Kept {
    folder: PathBuf,
    /// Bytes that all may have.
    most: u64,
    /// Bytes added since the folder was last looked through; `None` before the first time.
    added: Mutex<Option<u64>>,
}

/// How small a photo is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Size {
    /// Pixels that its longer side has at most.
    pub longest_px: u32,
    /// Quality of the JPEG, 1 to 100.
    pub quality: u8,
}

impl Thumbnails {
    /// None: every photo is made small anew.
    #[must_use]
    pub fn none() -> Thumbnails {
        Thumbnails::default()
    }

    /// Those in `folder`, which need not be there yet. None if it lies in one of `others`: nothing is ever kept among inputs or
    /// documents.
    #[must_use]
    pub fn kept_in(folder: &Path, others: &[&Path]) -> Thumbnails {
        Thumbnails::within(folder, others, intake::THUMBNAILS)
    }

    /// The same, all of them together within `most` bytes. Several processes at once may each exceed it by an eighth.
    #[must_use]
    pub fn within(folder: &Path, others: &[&Path], most: u64) -> Thumbnails {
        let is_apart = |folder: &PathBuf| {
            others.iter().all(|other| real(other).is_some_and(|other| !folder.starts_with(other)))
        };
        let folder = real(folder).filter(is_apart);
        Thumbnails { kept: folder.map(|folder| Kept { folder, most, added: Mutex::new(None) }) }
    }

    /// The photo with this SHA-256, made small to `size` before; `None` if it has to be made.
    #[must_use]
    pub fn find(&self, original: &str, size: Size) -> Option<Picture> {
        let name = name(original, size);
        let bytes = intake::kept(&self.kept.as_ref()?.folder, &name, intake::THUMBNAIL)?;
        opened(&name, &bytes)
    }

    /// The folder in which they are kept.
    #[must_use]
    pub fn folder(&self) -> Option<&Path> {
        self.kept.as_ref().map(|kept| &*kept.folder)
    }

    /// Keeps what the photo in `original` gave at `size`, where anything is kept.
    pub fn keep(&self, original: &[u8], size: Size, picture: &Picture) {
        let Some(kept) = &self.kept else { return };
        // Summed here and not taken from the one who read it before: the file may be another by now.
        let name = name(&sha256(original), size);
        let bytes = sealed(&name, picture);
        let length = bytes.len() as u64;
        if length <= intake::THUMBNAIL.min(kept.most / PART) {
            kept.make_room(length);
            // Where it can't be kept, it is made again the next time.
            let _ = pack::keep(&kept.folder, &name, &bytes);
        }
    }
}

impl Kept {
    /// Sees to it that `bytes` more stay within the bound.
    fn make_room(&self, bytes: u64) {
        let mut added = self.added.lock().unwrap_or_else(PoisonError::into_inner);
        let part = self.most / PART;
        let sum = match *added {
            Some(before) if before + bytes <= part => before + bytes,
            _ => {
                let is_kept = |name: &str| name.ends_with(ENDING);
                let _ = pack::trim(&self.folder, self.most - part, &is_kept);
                bytes
            }
        };
        *added = Some(sum);
    }
}

/// The name of what the photo with this SHA-256 gives at `size`.
fn name(original: &str, Size { longest_px, quality }: Size) -> String {
    format!("{original}-{longest_px}-{quality}-{SHRINKING}{ENDING}")
}

/// A picture as it is kept under `name`: a line with the SHA-256 of all that follows, a line with name, width and height, the JPEG.
fn sealed(name: &str, Picture { jpeg, width, height }: &Picture) -> Vec<u8> {
    let mut rest = format!("{name} {width} {height}\n").into_bytes();
    rest.extend_from_slice(jpeg);
    let mut bytes = format!("{}\n", sha256(&rest)).into_bytes();
    bytes.append(&mut rest);
    bytes
}

/// The picture that was kept under `name`; `None` if these are not the bytes that were kept, or were kept under another name.
fn opened(name: &str, bytes: &[u8]) -> Option<Picture> {
    let (seal, rest) = line(bytes)?;
    if seal != sha256(rest).as_bytes() {
        return None;
    }
    let (about, jpeg) = line(rest)?;
    let sides = std::str::from_utf8(about).ok()?.strip_prefix(name)?.strip_prefix(' ')?;
    let (width, height) = sides.split_once(' ')?;
    Some(Picture { jpeg: jpeg.to_vec(), width: width.parse().ok()?, height: height.parse().ok()? })
}

fn line(bytes: &[u8]) -> Option<(&[u8], &[u8])> {
    let end = bytes.iter().position(|byte| *byte == b'\n')?;
    Some((&bytes[..end], &bytes[end + 1..]))
}

/// The real place of a path of which the last parts need not be there yet; `None` if that can't be told.
fn real(path: &Path) -> Option<PathBuf> {
    let path = absolute(path).ok()?;
    let (there, real) = path.ancestors().find_map(|part| Some((part, part.canonicalize().ok()?)))?;
    let missing = path.strip_prefix(there).ok()?;
    let plain = missing.components().all(|part| matches!(part, Component::Normal(_)));
    plain.then(|| real.join(missing))
}
