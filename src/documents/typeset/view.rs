//! What a template sees while it sets one document: the engine's templates and faces, the data, and the drawings, which are read
//! as late as they can be.

use std::{collections::BTreeMap, num::NonZeroU16, sync::OnceLock};

use typst::{
    Library, World,
    diag::FileResult,
    foundations::{Bytes, Datetime, Duration},
    syntax::{FileId, Source},
    text::{Font, FontBook},
    utils::LazyHash,
};
use typst_as_lib::TypstWorld;

use crate::{
    draw::svg::Markup,
    typeset::{spot::file_id, words},
};

/// The folder in which a template finds its drawings.
const DRAWINGS: &str = "/drawings/";

/// Where a template finds the drawing of that key.
pub(crate) fn path(key: &str) -> String {
    format!("{DRAWINGS}{key}")
}

/// The engine's world with the drawings of one document in it.
pub(crate) struct View<'a> {
    world: TypstWorld<'a>,
    /// By the typesetter's number for the path.
    drawings: BTreeMap<NonZeroU16, Drawn>,
}

struct Drawn {
    markup: Markup,
    bytes: OnceLock<Bytes>,
}

impl<'a> View<'a> {
    /// `world` with `drawings` by key.
    pub(crate) fn new(world: TypstWorld<'a>, drawings: Vec<(String, Markup)>) -> View<'a> {
        let placed = drawings.into_iter().filter_map(|(key, markup)| {
            Some((file_id(&path(&key))?.into_raw(), Drawn { markup, bytes: OnceLock::new() }))
        });
        View { world, drawings: placed.collect() }
    }
}

impl World for View<'_> {
    fn library(&self) -> &LazyHash<Library> {
        self.world.library()
    }

    fn book(&self) -> &LazyHash<FontBook> {
        self.world.book()
    }

    fn main(&self) -> FileId {
        self.world.main()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        self.world.source(id)
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        match self.drawings.get(&id.into_raw()) {
            // A drawing's words pass the same door as all others.
            Some(drawn) => {
                Ok(drawn.bytes.get_or_init(|| Bytes::from_string(words::clean(&drawn.markup))).clone())
            }
            None => self.world.file(id),
        }
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.world.font(index)
    }

    fn today(&self, offset: Option<Duration>) -> Option<Datetime> {
        self.world.today(offset)
    }
}
