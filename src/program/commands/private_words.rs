//! Names that are private to one agreement, its funder, programme and reference, in what goes to the funder of another: notes of shared receipts,
//! bases of rules, the narrative, settings, reasons, names of areas.

use std::collections::BTreeMap;

use crate::commands::agreements::is_of;
use hillfolio_core::{
    intake::{self, Folder},
    problem::{Funding, Place, Problem},
    project::{Agreement, Cell, Payer, Project, Spending, TableRow as _},
    sharing::{Settled, Shares, as_at_the_end, seen_by},
    source::Row,
};
use hillfolio_documents::exports;

/// Letters and digits that a name must have, or it would be found in any word (judgement).
const LEAST: usize = 4;

/// A name that is private to an agreement.
#[derive(Debug, Clone)]
struct Private<'a> {
    words: &'a str,
    folded: String,
    what: &'static str,
    of: &'a Agreement,
}

/// Where a private name stands and what it is: its place, and which of the names.
type Stands = (Place, String, &'static str, String, String);

/// Every private name of one agreement that stands in the part of another: said once of a place, with all who would read it.
pub(super) fn found(folder: &Folder, project: &Project) -> Vec<Problem> {
    if project.agreements.len() < 2 {
        return Vec::new();
    }
    let shares = Shares::of(project);
    let settings = folder.bytes(intake::SETTINGS).unwrap_or_default();
    let settings = String::from_utf8_lossy(&settings).into_owned();
    let mut told: Vec<(Stands, Vec<String>)> = Vec::new();
    for agreement in &project.agreements {
        let names = private_to_others(project, agreement);
        let payer = Payer::Agreement(agreement.id.clone());
        let mut view = seen_by(project, agreement, &shares);
        view.asset_shares = intake::asset_shares(project, &shares, &payer);
        let view = as_at_the_end(view);
        let mut places: Vec<(Place, &Private<'_>)> = Vec::new();
        in_tables(project, &shares, &view, &names, &mut places);
        in_words(folder, &view, agreement, &names, &mut places);
        let supports = agreement.areas.as_ref().is_none_or(Vec::is_empty);
        let holds = |words: &str| held(&names, words);
        for (line, key, name) in intake::settings_naming(&settings, &agreement.id.0, supports, &holds) {
            let row = Row { file: intake::SETTINGS.into(), row: line };
            places.push((Place::row(&row).column(key), name));
        }
        for (place, name) in places {
            let at = Place::row(&name.of.source).to_string();
            let stands = (place, name.words.to_owned(), name.what, name.of.id.to_string(), at);
            let reader = agreement.id.to_string();
            match told.iter_mut().find(|(known, _)| *known == stands) {
                Some((_, readers)) if readers.contains(&reader) => {}
                Some((_, readers)) => readers.push(reader),
                None => told.push((stands, vec![reader])),
            }
        }
    }
    let problem = |((place, words, what, whose, at), readers): (Stands, Vec<String>)| {
        let to = match readers.as_slice() {
            [most @ .., last] if !most.is_empty() => format!("{} and {last}", most.join(", ")),
            one => one.concat(),
        };
        Problem::new(Funding::WordsOfAnother { words, what, whose, at, to }, place)
    };
    told.into_iter().map(problem).collect()
}

/// The names of the others that `agreement`'s funder may not read: what it is called itself, or the place, is no secret of anybody.
fn private_to_others<'a>(project: &'a Project, agreement: &'a Agreement) -> Vec<Private<'a>> {
    let identity = &project.identity;
    let known = [&agreement.funder, &agreement.program, &agreement.reference, &agreement.grantee];
    let common = [&identity.grantee, &identity.author, &identity.contact];
    let known = known.into_iter().chain(common).flatten().map(String::as_str);
    let known: Vec<String> =
        known.chain([&*identity.name, &*identity.landholder, &*identity.locality]).map(folded).collect();
    let others = project.agreements.iter().filter(|other| other.id != agreement.id);
    let names = others.flat_map(|of| {
        let funder = of.funder.as_deref().filter(|_| !of.may_be_named);
        [
            (funder, "the funder"),
            (of.program.as_deref(), "the programme"),
            (of.reference.as_deref(), "the reference"),
        ]
        .into_iter()
        .filter_map(move |(words, what)| {
            let words = words?.trim();
            Some(Private { words, folded: folded(words), what, of })
        })
    });
    let tells = |name: &Private<'_>| {
        let long = name.folded.chars().filter(|letter| letter.is_alphanumeric()).count() >= LEAST;
        long && !known.iter().any(|own| contains(own, &name.folded))
    };
    names.filter(tells).collect()
}

/// Words as they are compared: small letters, one space between them, one kind of apostrophe.
fn folded(words: &str) -> String {
    let plain = words.to_lowercase().replace('’', "'");
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whether `name` stands in `words`, not as a part of a longer word.
fn contains(words: &str, name: &str) -> bool {
    let is_letter = |letter: Option<char>| letter.is_some_and(char::is_alphanumeric);
    words.match_indices(name).any(|(at, _)| {
        let before = words[..at].chars().next_back();
        let behind = words[at + name.len()..].chars().next();
        !is_letter(before) && !is_letter(behind)
    })
}

/// Words without what stands between letters and digits: a reference is known however it is written.
fn bare(words: &str) -> String {
    words.chars().filter(|letter| letter.is_alphanumeric()).collect()
}

/// The names that stand in `words`; references also with other signs between their parts.
fn held<'p, 'a>(names: &'p [Private<'a>], words: &str) -> Vec<&'p Private<'a>> {
    let words = folded(words);
    let stands = |name: &&Private<'_>| {
        let digits = name.folded.chars().any(|letter| letter.is_ascii_digit());
        let tells = digits && bare(&name.folded).len() > LEAST;
        contains(&words, &name.folded) || tells && bare(&words).contains(&bare(&name.folded))
    };
    names.iter().filter(stands).collect()
}

/// In the cells of the tables that go along, each at its row of the whole folder; in how a share was worked out, at the rule that says why.
fn in_tables<'p, 'a>(
    project: &Project,
    shares: &Shares,
    view: &Project,
    names: &'p [Private<'a>],
    places: &mut Vec<(Place, &'p Private<'a>)>,
) {
    let rules: BTreeMap<&Row, &Row> = project
        .spending
        .iter()
        .zip(&shares.spending)
        .filter_map(|(row, (of, _))| match of.settled {
            Settled::Rule { at, .. } => Some((&row.source, &project.sharing.get(at)?.source)),
            _ => None,
        })
        .collect();
    let rows = exports::excerpt_rows(view);
    for table in view.tables() {
        let heads: Vec<&str> = table.heads.iter().filter(|head| head.kept).map(|head| head.name).collect();
        let originals = rows.get(&format!("{}.csv", table.name));
        for (number, row) in table.rows.enumerate() {
            let original = originals.and_then(|rows| rows.get(number));
            for (cell, head) in row.iter().zip(&heads) {
                let Cell::Text(words) = cell else { continue };
                for name in held(names, words) {
                    let rule = original
                        .filter(|_| table.name == Spending::TABLE && *head == "shared")
                        .and_then(|row| rules.get(row));
                    let place = match (rule, original) {
                        (Some(rule), _) => Place::row(rule).column("sharing.basis"),
                        (None, Some(row)) => Place::row(row).column(*head),
                        (None, None) => Place::file(format!("{}.csv", table.name)).column(*head),
                    };
                    places.push((place, name));
                }
            }
        }
    }
    let areas = view.areas.iter().map(|area| (&area.source, [Some(&*area.id.0), area.note.as_deref()]));
    let features = view.features.iter().map(|one| (&one.source, [one.name.as_deref(), None]));
    let costs = view.not_charged.iter().map(|one| (&one.source, [one.payee.as_deref(), Some(&*one.line)]));
    let assets = view.asset_shares.iter().map(|one| &one.asset);
    let assets = assets.map(|one| (&one.source, [Some(&*one.words), one.place.as_deref()]));
    for (row, words) in areas.chain(features).chain(costs).chain(assets) {
        for name in words.into_iter().flatten().flat_map(|words| held(names, words)) {
            places.push((Place::row(row), name));
        }
    }
}

/// In the chapters that are for all or for `agreement`, and in what their pictures are called, at their lines.
fn in_words<'p, 'a>(
    folder: &Folder,
    view: &Project,
    agreement: &Agreement,
    names: &'p [Private<'a>],
    places: &mut Vec<(Place, &'p Private<'a>)>,
) {
    let chapters = view.narrative.iter().filter(|one| is_of(&one.path, "narrative/", &agreement.id));
    for chapter in chapters {
        let bytes = folder.bytes(&chapter.path).unwrap_or_default();
        let text = String::from_utf8_lossy(&bytes);
        for (line, words) in (1..).zip(text.lines()) {
            for name in held(names, words) {
                places.push((Place::row(&Row { file: chapter.path.clone(), row: line }), name));
            }
        }
    }
}
