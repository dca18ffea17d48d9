//! The words only a person can write, as plain values: style is a flag beside the text, never markup in it.

use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{
        photos::{key, picture},
        printed::day,
    },
};
use hillfolio_core::project::{Block, Photo, Project, Span, WordPicture};

/// One chapter of the narrative.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Chapter {
    title: String,
    blocks: Vec<Words>,
}

/// A block of a chapter. `kind` says how it is set.
#[derive(Serialize, JsonSchema)]
struct Words {
    kind: &'static str,
    spans: Vec<Run>,
    items: Vec<Vec<Run>>,
    /// Of a table, the rows of cells; its headings are the items.
    rows: Vec<Vec<Vec<Run>>>,
    /// Of a picture.
    picture: Option<Shown>,
}

/// A picture among the words.
#[derive(Serialize, JsonSchema)]
struct Shown {
    /// The key of its bytes.
    image: String,
    caption: String,
    alt: String,
    /// Whether it stands upright.
    upright: bool,
}

/// A run of text in one style.
#[derive(Serialize, JsonSchema)]
struct Run {
    text: String,
    emphasis: bool,
    strong: bool,
}

/// What a year's story tells in turn, each by the words that its chapter's title or file has one of.
const TURNS: [&[&str]; 5] = [
    &["planned", "intended", "set out to"],
    &["went well", "worked well", "success", "achieve"],
    &["problem", "went wrong", "difficult", "went badly", "setback"],
    &["lesson", "learn"],
    &["next", "to come", "ahead", "future"],
];

/// The turn of a chapter: those that are none of them keep their place before what comes next.
fn turn(chapter: &hillfolio_core::project::Chapter) -> usize {
    let name = chapter.path.rsplit('/').next().unwrap_or_default().replace(['-', '_'], " ");
    let words = format!("{} {name}", chapter.title).to_lowercase();
    TURNS.iter().position(|turn| turn.iter().any(|word| words.contains(word))).unwrap_or(TURNS.len() - 2)
}

/// Every chapter: what was planned, what went well, problems, lessons, what comes next, whatever the files are called; else in the
/// order of the folder.
pub(crate) fn chapters(inputs: &ReportInputs<'_>) -> Vec<Chapter> {
    let mut chapters: Vec<_> = inputs.project.narrative.iter().collect();
    chapters.sort_by_key(|chapter| turn(chapter));
    chapters
        .into_iter()
        .map(|chapter| Chapter {
            title: chapter.title.clone(),
            blocks: chapter.blocks.iter().filter_map(|one| block(inputs, one)).collect(),
        })
        .collect()
}

/// `block` as plain values; `None` for a picture that could not be read.
fn block(inputs: &ReportInputs<'_>, block: &Block) -> Option<Words> {
    let blank = |kind| Words { kind, spans: Vec::new(), items: Vec::new(), rows: Vec::new(), picture: None };
    let of = |kind, spans: &[Span]| Words { spans: runs(spans), ..blank(kind) };
    Some(match block {
        Block::Heading(_, spans) => of("heading", spans),
        Block::Paragraph(spans) => of("paragraph", spans),
        Block::Quote(spans) => of("quote", spans),
        Block::List { numbered, items } => Words {
            items: items.iter().map(|item| runs(item)).collect(),
            ..blank(if *numbered { "numbered" } else { "list" })
        },
        Block::Table(table) => Words {
            items: cells(&table.head),
            rows: table.rows.iter().map(|row| cells(row)).collect(),
            ..blank("table")
        },
        Block::Picture(picture) => Words { picture: Some(shown(inputs, picture)?), ..blank("picture") },
    })
}

fn shown(inputs: &ReportInputs<'_>, of: &WordPicture) -> Option<Shown> {
    let photo = inputs.project.photos.iter().find(|photo| photo.path == of.path)?;
    let small = picture(inputs, photo)?;
    let said = Some(of.caption.as_str()).filter(|caption| !caption.is_empty());
    let caption = said.or(photo.caption.as_deref()).map_or_else(|| day(photo.date), str::to_owned);
    Some(Shown {
        image: key(small),
        alt: format!("Photo: {caption}"),
        caption,
        upright: small.height > small.width,
    })
}

/// The photos that the words show.
pub(crate) fn pictured(project: &Project) -> impl Iterator<Item = &Photo> {
    let blocks = project.narrative.iter().flat_map(|chapter| &chapter.blocks);
    let pictures = blocks.filter_map(|block| match block {
        Block::Picture(picture) => Some(picture),
        _ => None,
    });
    pictures.filter_map(|picture| project.photos.iter().find(|photo| photo.path == picture.path))
}

fn cells(row: &[Vec<Span>]) -> Vec<Vec<Run>> {
    row.iter().map(|cell| runs(cell)).collect()
}

fn runs(spans: &[Span]) -> Vec<Run> {
    let run = |span: &Span| Run { text: span.text.clone(), emphasis: span.emphasis, strong: span.strong };
    spans.iter().map(run).collect()
}
