//! All that the typesetter can see while it works on one document: templates, faces and data in memory.
//!
//! No disk, no network, no clock: a template can't ask for the day, so the same matter gives the same bytes.

use typst::{
    Library, LibraryExt, World, WorldExt,
    diag::{FileError, FileResult, SourceDiagnostic},
    foundations::{Bytes, Datetime, Dict, Duration},
    syntax::{DiagSpan, FileId, RootedPath, Source, VirtualPath, VirtualRoot},
    text::{Font, FontBook},
    utils::LazyHash,
};

use crate::typeset::{Engine, Mishap, Spot, fonts};

/// The world of one document.
pub(crate) struct Desk<'a> {
    engine: &'a Engine,
    library: LazyHash<Library>,
    main: FileId,
}

impl<'a> Desk<'a> {
    /// The desk on which `template` is set with `data`.
    pub(crate) fn new(engine: &'a Engine, template: &str, data: Dict) -> Result<Desk<'a>, Mishap> {
        let main =
            file_id(template).ok_or_else(|| Mishap::nowhere(format!("there is no template {template}")))?;
        let library = Library::builder().with_inputs(data).build();
        Ok(Desk { engine, library: LazyHash::new(library), main })
    }

    /// What the typesetter complained of, in our words.
    pub(crate) fn mishap(&self, diagnostic: &SourceDiagnostic) -> Mishap {
        Mishap {
            spot: self.spot(diagnostic.span),
            message: diagnostic.message.to_string(),
            hints: diagnostic.hints.iter().map(|hint| hint.v.to_string()).collect(),
            trace: diagnostic
                .trace
                .iter()
                .map(|step| match self.spot(step.span) {
                    Some(spot) => format!("{} at {spot}", step.v),
                    None => step.v.to_string(),
                })
                .collect(),
        }
    }

    fn spot(&self, span: impl Into<DiagSpan>) -> Option<Spot> {
        let span = span.into();
        let (id, range) = (span.id()?, self.range(span)?);
        let (line, column) = self.source(id).ok()?.lines().byte_to_line_column(range.start)?;
        Some(Spot { template: id.vpath().get_with_slash().to_owned(), line: line + 1, column: column + 1 })
    }
}

/// The typesetter's number for a template; `None` for a path that leaves the templates' root.
pub(crate) fn file_id(path: &str) -> Option<FileId> {
    let path = VirtualPath::new(path).ok()?;
    Some(RootedPath::new(VirtualRoot::Project, path).intern())
}

fn not_found(id: FileId) -> FileError {
    FileError::NotFound(id.vpath().get_without_slash().into())
}

impl World for Desk<'_> {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        self.engine.book()
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        let source =
            (*id.root() == VirtualRoot::Project).then(|| self.engine.source(id.vpath().get_without_slash()));
        source.flatten().cloned().ok_or_else(|| not_found(id))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        Err(not_found(id))
    }

    fn font(&self, index: usize) -> Option<Font> {
        fonts::faces().get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}
