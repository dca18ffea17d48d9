//! A pack as somebody sent it: its members are poured out one at a time, within limits, and nothing it says of itself is
//! believed.

use std::{
    fs::File,
    io::{self, BufReader, Read as _},
    path::Path,
};

use sha2::{Digest as _, Sha256};
use zip::ZipArchive;

use crate::{
    intake::{
        folder::{plain_file, stray, words},
        limits,
    },
    problem::{Kind, Place, Problem, Reading},
    source::hexadecimal,
    units::whole,
};

/// What a pack that holds too much is told.
const SWELLS: &str = "it unpacks to more than a pack can hold";

/// How much of a pack is taken in.
#[derive(Debug, Clone, Copy)]
struct Bounds {
    /// How many members.
    members: usize,
    /// Bytes that all members may unpack to.
    unpacked: u64,
    /// Bytes that one member may unpack to.
    member: u64,
    /// Bytes of a ledger or a manifest.
    ledger: u64,
}

const BOUNDS: Bounds = Bounds {
    members: limits::MEMBERS,
    unpacked: limits::PACK,
    member: limits::MEMBER,
    ledger: limits::LEDGER,
};

/// An open pack.
pub struct Packed {
    zip: ZipArchive<BufReader<File>>,
    shown: String,
    members: Vec<String>,
    bounds: Bounds,
    /// Bytes that may still be poured out.
    left: u64,
}

/// Why pouring out a member came to no end.
#[derive(Debug)]
pub enum CopyError {
    /// The pack holds more than is read.
    Pack(Box<Problem>),
    /// What the bytes were poured into would not take them.
    Target(io::Error),
}

impl Packed {
    /// The pack in the file at `path`.
    ///
    /// # Errors
    /// The file can't be read; or it is no zip, is too big, holds too many members, two of one name, one within another, or
    /// one whose name leads out of the pack.
    pub fn open(path: &Path) -> Result<Packed, Problem> {
        let shown = path.display().to_string();
        let at = |kind: Kind| Problem::new(kind, Place::file(shown.as_str()));
        let unreadable = |why: io::Error| at(Reading::FileUnreadable { why: words(&why) }.into());
        let file = plain_file(path).map_err(unreadable)?;
        let about = file.metadata().map_err(unreadable)?;
        if about.is_dir() {
            return Err(at(no_pack("it is a folder")));
        }
        if about.len() > limits::PACK {
            return Err(at(Reading::FileTooBig { bytes: about.len(), limit: limits::PACK }.into()));
        }
        Packed::of(BufReader::new(file), &shown, BOUNDS).map_err(at)
    }

    fn of(file: BufReader<File>, shown: &str, bounds: Bounds) -> Result<Packed, Kind> {
        let no_zip = |_| no_pack("it is no zip, or only the beginning of one");
        let mut zip = ZipArchive::new(file).map_err(no_zip)?;
        if zip.len() > bounds.members {
            return Err(no_pack(&format!("it holds more than {} members", whole(bounds.members as u64))));
        }
        if zip.has_duplicate_names() {
            return Err(no_pack("two of its members have one name"));
        }
        let mut members = Vec::with_capacity(zip.len());
        for at in 0..zip.len() {
            let member = zip.by_index_raw(at).map_err(|why| no_pack(&why.to_string()))?;
            let name = member.name().map_err(|why| no_pack(&why.to_string()))?.into_owned();
            let path = name.strip_suffix('/').filter(|_| member.is_dir()).unwrap_or(&name);
            let how = if member.is_symlink() { Some("is a link") } else { stray(path) };
            if let Some(how) = how {
                return Err(Reading::PathLeavesFolder { path: name.chars().take(120).collect(), how }.into());
            }
            // A folder by itself holds nothing.
            if !member.is_dir() {
                members.push(name);
            }
        }
        members.sort_unstable();
        if let Some(both) = members
            .iter()
            .flat_map(|name| folders(name))
            .find(|folder| members.binary_search_by(|name| name.as_str().cmp(folder)).is_ok())
        {
            return Err(no_pack(&format!("{both} is a file and a folder")));
        }
        Ok(Packed { zip, shown: shown.to_owned(), members, bounds, left: bounds.unpacked })
    }

    /// The names of its members, sorted.
    #[must_use]
    pub fn members(&self) -> &[String] {
        &self.members
    }

    /// Pours the member called `name` out, piece by piece, and gives the SHA-256 of its bytes; `None` if it breaks off or its
    /// checksum is wrong, so that what was poured is not to be used.
    ///
    /// # Errors
    /// [`CopyError`]: more comes out than may, or `take` refuses a piece.
    pub fn pour(
        &mut self,
        name: &str,
        take: &mut dyn FnMut(&[u8]) -> io::Result<()>,
    ) -> Result<Option<String>, CopyError> {
        let Ok(mut member) = self.zip.by_name(name) else { return Ok(None) };
        let (mut hash, mut piece) = (Sha256::new(), vec![0; 1 << 16]);
        let mut room = self.left.min(self.bounds.member);
        loop {
            let read = match member.read(&mut piece) {
                Ok(0) => break,
                Ok(read) => read,
                Err(why) if why.kind() == io::ErrorKind::Interrupted => continue,
                Err(_) => return Ok(None),
            };
            let Some(left) = room.checked_sub(read as u64) else {
                return Err(refused(&self.shown, &format!("{SWELLS} ({name})")));
            };
            room = left;
            self.left -= read as u64;
            hash.update(&piece[..read]);
            take(&piece[..read]).map_err(CopyError::Target)?;
        }
        Ok(Some(hexadecimal(&hash.finalize())))
    }

    /// The bytes of the member called `name`, which is a ledger or a manifest, into `held`; the rest as [`Packed::pour`].
    ///
    /// # Errors
    /// [`CopyError`]: more comes out than may, of all members or of this one.
    pub fn read(&mut self, name: &str, held: &mut Vec<u8>) -> Result<Option<String>, CopyError> {
        let most = self.bounds.ledger;
        let poured = self.pour(name, &mut |piece| {
            held.extend_from_slice(piece);
            match held.len() as u64 > most {
                true => Err(io::ErrorKind::FileTooLarge.into()),
                false => Ok(()),
            }
        });
        // The memory that it is read into takes everything up to that bound.
        poured.map_err(|failure| match failure {
            CopyError::Target(_) => {
                refused(&self.shown, &format!("{name} in it has more than {} bytes", whole(most)))
            }
            pack @ CopyError::Pack(_) => pack,
        })
    }
}

fn refused(shown: &str, why: &str) -> CopyError {
    CopyError::Pack(Box::new(Problem::new(no_pack(why), Place::file(shown))))
}

fn no_pack(why: &str) -> Kind {
    Reading::Malformed { format: "pack", why: why.to_owned() }.into()
}

/// Every folder that `path` lies in.
fn folders(path: &str) -> impl Iterator<Item = &str> {
    path.match_indices('/').filter_map(|(at, _)| path.get(..at))
}

#[cfg(test)]
mod tests {
    use std::io::{Seek as _, Write as _};

    use zip::{CompressionMethod, ZipWriter, write::SimpleFileOptions};

    use super::*;

    fn zipped(members: &[(&str, &[u8])]) -> Vec<u8> {
        let mut zip = ZipWriter::new(io::Cursor::new(Vec::new()));
        let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
        for (name, bytes) in members {
            zip.start_file(*name, options).unwrap();
            zip.write_all(bytes).unwrap();
        }
        zip.finish().unwrap().into_inner()
    }

    fn open(bytes: &[u8]) -> Result<Packed, Kind> {
        open_within(bytes, BOUNDS)
    }

    fn open_within(bytes: &[u8], bounds: Bounds) -> Result<Packed, Kind> {
        let mut file = tempfile::tempfile().unwrap();
        file.write_all(bytes).unwrap();
        file.rewind().unwrap();
        Packed::of(BufReader::new(file), "a.zip", bounds)
    }

    fn poured(pack: &mut Packed, name: &str) -> (Option<String>, Vec<u8>) {
        let mut bytes = Vec::new();
        let sum = pack.pour(name, &mut |piece| {
            bytes.extend(piece);
            Ok(())
        });
        (sum.unwrap(), bytes)
    }

    #[test]
    fn members_come_out_with_their_sum() {
        let mut pack = open(&zipped(&[("b/c.csv", b"abc"), ("a", b"")])).unwrap();
        assert_eq!(pack.members(), ["a", "b/c.csv"]);
        let sum = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad".to_owned();
        assert_eq!(poured(&mut pack, "b/c.csv"), (Some(sum), b"abc".to_vec()));
        assert_eq!(poured(&mut pack, "none"), (None, vec![]));
    }

    #[test]
    fn a_pack_that_would_do_harm_is_no_pack() {
        let code = |members: &[(&str, &[u8])]| open(&zipped(members)).err().unwrap().code();
        for name in ["../evil", "/etc/passwd", "a/../../b", "C:evil", "a\\b", "a\nb", "./a"] {
            assert_eq!(code(&[(name, b"x")]), "path-leaves-folder", "{name}");
        }
        assert_eq!(code(&[("a", b"x"), ("a b", b"y"), ("a/b", b"z")]), "malformed");
        assert_eq!(open(b"PK\x03\x04").err().unwrap().code(), "malformed");
        assert_eq!(open(b"").err().unwrap().code(), "malformed");

        let mut link = ZipWriter::new(io::Cursor::new(Vec::new()));
        link.add_symlink("inputs/plots.csv", "/etc/passwd", SimpleFileOptions::default()).unwrap();
        let link = link.finish().unwrap().into_inner();
        assert_eq!(open(&link).err().unwrap().code(), "path-leaves-folder");

        let mut twice = zipped(&[("data/figures.json", b"one"), ("data/figures.jsoN", b"two")]);
        let name = b"data/figures.jsoN";
        while let Some(at) = twice.windows(name.len()).position(|piece| piece == name) {
            twice[at + name.len() - 1] = b'n';
        }
        assert_eq!(
            open(&twice).err().unwrap().to_string(),
            "not valid pack: two of its members have one name"
        );
    }

    /// What is said of a copy whose failure is the pack's own fault.
    fn said(poured: Result<Option<String>, CopyError>) -> Option<String> {
        match poured {
            Ok(sum) => {
                assert!(sum.is_some());
                None
            }
            Err(CopyError::Pack(problem)) => Some(problem.kind.to_string()),
            Err(CopyError::Target(why)) => panic!("{why}"),
        }
    }

    #[test]
    fn a_pack_of_too_many_members_is_none() {
        let pack = zipped(&[("a", b"x"), ("b", b"y"), ("c", b"z")]);
        assert_eq!(open_within(&pack, Bounds { members: 3, ..BOUNDS }).unwrap().members().len(), 3);
        let refused = open_within(&pack, Bounds { members: 2, ..BOUNDS }).err().unwrap();
        assert_eq!(refused.to_string(), "not valid pack: it holds more than 2 members");
    }

    #[test]
    fn a_member_that_swells_is_stopped() {
        let bytes = zipped(&[("bomb", &vec![0; 1 << 20])]);
        let poured = |member| {
            let mut pack = open_within(&bytes, Bounds { member, ..BOUNDS }).unwrap();
            let mut poured = 0;
            let failure = pack.pour("bomb", &mut |piece| {
                poured += piece.len() as u64;
                Ok(())
            });
            assert!(poured <= member, "no more comes out than may");
            said(failure)
        };
        assert_eq!(poured(1 << 20), None);
        let refused = "not valid pack: it unpacks to more than a pack can hold (bomb)";
        assert_eq!(poured((1 << 20) - 1).as_deref(), Some(refused));
    }

    #[test]
    fn members_that_swell_together_are_stopped() {
        let bytes = zipped(&[("a", &[0; 600]), ("b", &[0; 400]), ("c", &[0; 1])]);
        let mut pack = open_within(&bytes, Bounds { unpacked: 1_000, ..BOUNDS }).unwrap();
        assert_eq!(said(pack.pour("a", &mut |_| Ok(()))), None);
        assert_eq!(said(pack.pour("b", &mut |_| Ok(()))), None);
        let refused = "not valid pack: it unpacks to more than a pack can hold (c)";
        assert_eq!(said(pack.pour("c", &mut |_| Ok(()))).as_deref(), Some(refused));
        // Poured out once more, a member counts once more.
        assert!(said(pack.pour("a", &mut |_| Ok(()))).is_some());
    }

    #[test]
    fn a_ledger_too_long_is_the_packs_own_fault() {
        let bytes = zipped(&[("data/figures.json", &[b' '; 600])]);
        let read = |ledger| {
            let mut pack = open_within(&bytes, Bounds { ledger, ..BOUNDS }).unwrap();
            said(pack.read("data/figures.json", &mut Vec::new()))
        };
        assert_eq!(read(600), None);
        let refused = "not valid pack: data/figures.json in it has more than 599 bytes";
        assert_eq!(read(599).as_deref(), Some(refused));
    }

    proptest::proptest! {
        #[test]
        fn a_spoilt_pack_is_read_or_refused(at in 0usize..400, byte: u8, length in 0usize..400) {
            let mut bytes = zipped(&[("inputs/a.csv", b"1,2,3"), ("SHA256SUMS", b"00  inputs/a.csv\n")]);
            let at = at % bytes.len();
            bytes[at] = byte;
            for bytes in [&bytes[..], &bytes[..length.min(bytes.len())]] {
                if let Ok(mut pack) = open(bytes) {
                    for name in pack.members().to_vec() {
                        let _ = pack.pour(&name, &mut |_| Ok(()));
                    }
                }
            }
        }
    }
}
