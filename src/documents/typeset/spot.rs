//! Where in a template the typesetter stumbled, in our words.

use typst::{
    World, WorldExt,
    diag::SourceDiagnostic,
    syntax::{DiagSpan, FileId, RootedPath, VirtualPath, VirtualRoot},
};

use crate::typeset::{Spot, TemplateDiagnostic};

/// What the typesetter complained of while it worked in `world`.
pub(crate) fn placed(world: &dyn World, diagnostic: &SourceDiagnostic) -> TemplateDiagnostic {
    TemplateDiagnostic {
        spot: spot(world, diagnostic.span),
        message: diagnostic.message.to_string(),
        hints: diagnostic.hints.iter().map(|hint| hint.v.to_string()).collect(),
        trace: diagnostic
            .trace
            .iter()
            .map(|step| match spot(world, step.span) {
                Some(spot) => format!("{} at {spot}", step.v),
                None => step.v.to_string(),
            })
            .collect(),
    }
}

fn spot(world: &dyn World, span: impl Into<DiagSpan>) -> Option<Spot> {
    let span = span.into();
    let (id, range) = (span.id()?, world.range(span)?);
    let (line, column) = world.source(id).ok()?.lines().byte_to_line_column(range.start)?;
    Some(Spot { template: id.vpath().get_with_slash().to_owned(), line: line + 1, column: column + 1 })
}

/// The typesetter's number for a template; `None` for a path that leaves the templates' root.
pub(crate) fn file_id(path: &str) -> Option<FileId> {
    let path = VirtualPath::new(path).ok()?;
    Some(RootedPath::new(VirtualRoot::Project, path).intern())
}
