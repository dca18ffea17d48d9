//! Zip archives that others packed: their parts are read in memory and never unpacked onto the disk.

use std::io::{Cursor, Read as _};

use zip::ZipArchive;

use crate::{
    intake::limits,
    problem::{Kind, Reading},
};

/// An open archive.
pub(crate) struct Archive {
    zip: ZipArchive<Cursor<Vec<u8>>>,
    names: Vec<String>,
    /// Bytes that may still be unpacked.
    left: u64,
}

impl Archive {
    /// The archive in `bytes`, which should be a `format`.
    ///
    /// # Errors
    /// It is no archive, is locked, holds too many parts, or one whose name leads out of it.
    pub(crate) fn open(bytes: Vec<u8>, format: &'static str) -> Result<Archive, Kind> {
        // What an old workbook and a locked new one begin with.
        if bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0]) {
            let why = "it is locked with a password, or an old workbook under another name".to_owned();
            return Err(Reading::Malformed { format, why }.into());
        }
        let words = std::str::from_utf8(&bytes).is_ok_and(|text| !text.contains('\0'));
        let malformed = |why: String| Kind::from(Reading::Malformed { format, why });
        let mut zip = ZipArchive::new(Cursor::new(bytes)).map_err(|_| {
            let why = if words {
                "it is plain text under another name"
            } else {
                "it is no zip, or only the beginning of one"
            };
            malformed(why.to_owned())
        })?;
        if zip.len() > limits::PARTS {
            return Err(malformed(format!("it holds more than {} parts", limits::PARTS)));
        }
        let mut names = Vec::with_capacity(zip.len());
        for at in 0..zip.len() {
            let part = zip.by_index_raw(at).map_err(|why| malformed(why.to_string()))?;
            let name = part.name().map_err(|why| malformed(why.to_string()))?.into_owned();
            if part.enclosed_name().is_none() || part.is_symlink() {
                let how = "is a path or a link inside the zip that leads out of it";
                return Err(Reading::PathLeavesFolder { path: name.chars().take(120).collect(), how }.into());
            }
            names.push(name);
        }
        Ok(Archive { zip, names, left: limits::UNPACKED })
    }

    /// The names of its parts, in its own order.
    pub(crate) fn names(&self) -> &[String] {
        &self.names
    }

    /// The part called `name`, or one whose name differs from it in case and strokes only.
    pub(crate) fn like(&self, name: &str) -> Option<String> {
        let plain = |name: &str| name.replace('\\', "/").trim_start_matches('/').to_ascii_lowercase();
        let exact = self.names.iter().find(|part| *part == name);
        exact.or_else(|| self.names.iter().find(|part| plain(part) == plain(name))).cloned()
    }

    /// The bytes of the part called `name`; what it says of its own size is not believed.
    pub(crate) fn part(&mut self, name: &str) -> Result<Vec<u8>, Kind> {
        let broken = |why: String| {
            Kind::from(Reading::Malformed { format: "zip data", why: format!("{name}: {why}") })
        };
        let part = self.zip.by_name(name).map_err(|why| broken(why.to_string()))?;
        let mut bytes = Vec::new();
        let read = part.take(self.left + 1).read_to_end(&mut bytes).map_err(|why| broken(why.to_string()))?;
        match self.left.checked_sub(read as u64) {
            Some(left) => {
                self.left = left;
                Ok(bytes)
            }
            None => Err(Reading::UnpacksTooBig { limit: limits::UNPACKED }.into()),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::io::Write as _;

    use zip::{ZipWriter, write::SimpleFileOptions};

    use super::*;

    fn zipped(parts: &[(&str, &[u8])]) -> Vec<u8> {
        let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
        for (name, bytes) in parts {
            zip.start_file(*name, SimpleFileOptions::default()).unwrap();
            zip.write_all(bytes).unwrap();
        }
        zip.finish().unwrap().into_inner()
    }

    #[test]
    fn parts_are_found_whatever_their_case() {
        let mut archive = Archive::open(zipped(&[("Site/AREAS.shp", b"x"), ("b", b"y")]), "zip").unwrap();
        let name = archive.like("site/areas.SHP").unwrap();
        assert_eq!(archive.part(&name).unwrap(), b"x");
        assert_eq!(archive.like("c"), None);
        assert!(archive.part("c").is_err());
    }

    #[test]
    fn no_part_leads_out_and_none_swells() {
        let slip = Archive::open(zipped(&[("../../evil.shp", b"x")]), "zip").err().unwrap();
        assert_eq!(slip.code(), "path-leaves-folder");
        let names: Vec<String> = (0..=limits::PARTS).map(|part| part.to_string()).collect();
        let many: Vec<(&str, &[u8])> = names.iter().map(|name| (name.as_str(), &b""[..])).collect();
        assert_eq!(Archive::open(zipped(&many), "zip").err().unwrap().code(), "malformed");
        let zeros = vec![0; usize::try_from(limits::UNPACKED).unwrap() + 1];
        let mut bomb = Archive::open(zipped(&[("a", &zeros)]), "zip").unwrap();
        assert_eq!(bomb.part("a").unwrap_err().code(), "unpacks-too-big");
        assert_eq!(Archive::open(b"PK\x03\x04".to_vec(), "zip").err().unwrap().code(), "malformed");
        assert_eq!(Archive::open(vec![0xD0, 0xCF, 0x11, 0xE0], "XLSX").err().unwrap().code(), "malformed");
    }

    proptest::proptest! {
        #[test]
        fn a_spoilt_archive_is_read_or_refused(at in 0usize..200, byte: u8) {
            let mut bytes = zipped(&[("areas.kml", b"<kml/>"), ("b/c.dbf", b"12")]);
            let at = at % bytes.len();
            bytes[at] = byte;
            if let Ok(mut archive) = Archive::open(bytes, "zip") {
                for name in archive.names().to_vec() {
                    let _ = archive.part(&name);
                }
            }
        }
    }
}
