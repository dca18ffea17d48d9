//! The zip that a form is: members are copied as they are packed, but those that were changed.

use std::{
    collections::{BTreeMap, BTreeSet},
    io::{Cursor, Read as _, Write as _},
};

use chrono::{Datelike as _, NaiveDate};
use zip::{CompressionMethod, DateTime, ZipArchive, ZipWriter, write::SimpleFileOptions};

use crate::forms::FormError;

/// Members of a form.
const MEMBERS: usize = 5_000;

/// Bytes of all parts that are read, unpacked: a form is a few pages.
const UNPACKED: u64 = 64 << 20;

/// A form that is being filled.
pub(super) struct Package {
    zip: ZipArchive<Cursor<Vec<u8>>>,
    names: Vec<String>,
    left: u64,
    changed: BTreeMap<String, Vec<u8>>,
    added: Vec<(String, Vec<u8>)>,
}

impl Package {
    pub(super) fn open(bytes: Vec<u8>) -> Result<Package, FormError> {
        let mut zip = ZipArchive::new(Cursor::new(bytes))?;
        if zip.len() > MEMBERS {
            return Err(FormError::TooLarge("it has too many members"));
        }
        let mut names = Vec::with_capacity(zip.len());
        for at in 0..zip.len() {
            names.push(zip.by_index_raw(at)?.name()?.into_owned());
        }
        if names.iter().collect::<BTreeSet<_>>().len() < names.len() {
            return Err(FormError::TooLarge("a member stands twice"));
        }
        Ok(Package { zip, names, left: UNPACKED, changed: BTreeMap::new(), added: Vec::new() })
    }

    pub(super) fn names(&self) -> &[String] {
        &self.names
    }

    /// The part called `name` as text, as it stands by now; nothing where there is none.
    pub(super) fn text(&mut self, name: &str) -> Result<Option<String>, FormError> {
        let malformed = |why: &str| FormError::Malformed { part: name.to_owned(), why: why.to_owned() };
        let utf8 = |bytes: Vec<u8>| String::from_utf8(bytes).map_err(|_| malformed("it is not in UTF-8"));
        if let Some(bytes) = self.changed.get(name) {
            return utf8(bytes.clone()).map(Some);
        }
        if !self.names.iter().any(|known| known == name) {
            return Ok(None);
        }
        let mut bytes = Vec::new();
        // What a member says of its own size is not believed.
        let read = self.zip.by_name(name)?.take(self.left + 1).read_to_end(&mut bytes)?;
        self.left = self.left.checked_sub(read as u64).ok_or(FormError::TooLarge("its parts swell"))?;
        utf8(bytes).map(Some)
    }

    /// Puts `text` in the place of a part.
    pub(super) fn put(&mut self, name: &str, text: String) {
        self.changed.insert(name.to_owned(), text.into_bytes());
    }

    /// Adds a member that was not there.
    pub(super) fn add(&mut self, name: String, bytes: Vec<u8>) {
        self.added.push((name, bytes));
    }

    /// The form as it stands now: in the order of its members, what was added last.
    pub(super) fn packed(mut self, dated: NaiveDate) -> Result<Vec<u8>, FormError> {
        let mut out = ZipWriter::new(Cursor::new(Vec::new()));
        for at in 0..self.zip.len() {
            let member = self.zip.by_index_raw(at)?;
            match self.changed.get(&self.names[at]) {
                None => out.raw_copy_file(member)?,
                Some(bytes) => {
                    let when = member.last_modified().unwrap_or_default();
                    drop(member);
                    out.start_file(self.names[at].as_str(), options(when))?;
                    out.write_all(bytes)?;
                }
            }
        }
        let (month, day) = (u8::try_from(dated.month()).unwrap_or(1), u8::try_from(dated.day()).unwrap_or(1));
        let year = u16::try_from(dated.year()).unwrap_or(1980).clamp(1980, 2107);
        let when = DateTime::from_date_and_time(year, month, day, 0, 0, 0).unwrap_or_default();
        for (name, bytes) in self.added {
            out.start_file(name, options(when))?;
            out.write_all(&bytes)?;
        }
        Ok(out.finish()?.into_inner())
    }
}

fn options(when: DateTime) -> SimpleFileOptions {
    SimpleFileOptions::default().compression_method(CompressionMethod::Deflated).last_modified_time(when)
}
