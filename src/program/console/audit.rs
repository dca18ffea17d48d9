//! What came of holding packs to account, in words and as JSON.

use std::fmt::Write as _;

use anstyle::{AnsiColor, Style};
use serde_json::{Value, json};

use crate::{
    VERSION,
    audit::{Change, Changes, Ranges, Recomputed, Redone, RowCount, Seal, State, Turn, Verdict},
    console::plain,
};
use hillfolio_core::{
    ledger::{FigureRecord, LedgerRecord, value_text},
    problem::Grade,
    units::Unit,
};

const BOLD: Style = Style::new().bold();
const DIM: Style = Style::new().dimmed();
const RED: Style = AnsiColor::Red.on_default().bold();
const GREEN: Style = AnsiColor::Green.on_default().bold();

/// A verdict in words: every difference, then whether the pack says what its inputs give.
#[must_use]
pub fn verdict(of: &Verdict) -> String {
    let mut text = String::new();
    let differs = format!("{RED}differs{RED:#} ");
    let mut says = |mark: &str, words: String| {
        let _ = writeln!(text, "{mark}{}", plain(&words));
    };
    match &of.seal {
        Seal::Holds(said) => {
            says(
                "",
                format!("sealed with the key that you named, and unchanged since; the seal says: {said}"),
            );
        }
        Seal::Broken(why) => says(&differs, format!("the seal does not hold: {why}")),
        Seal::Missing => {
            says(&differs, "no seal lies beside the pack, under its name with .minisig behind it".to_owned());
        }
        Seal::NotAsked { there: true } => {
            says(
                "",
                "a seal lies beside the pack: hold it against the sender's key with --by KEY.pub".to_owned(),
            );
        }
        Seal::NotAsked { there: false } => {}
    }
    for (path, fault) in &of.sums {
        says(&differs, format!("{path} {}", fault.words()));
    }
    for input in &of.inputs {
        let words = match (&input.listed, &input.found) {
            (_, None) => "was read for the ledger and is not in the pack",
            (None, _) => "is in the pack and was not read for the ledger",
            _ => "is not the file that the ledger was made from",
        };
        says(&differs, format!("inputs/{} {words}", input.path));
    }
    if let Err(why) = &of.ledger {
        says(&differs, format!("data/figures.json: {why}"));
    }
    match &of.again {
        Recomputed::Refused(problems) => {
            says(&differs, "the inputs can't be read as a project:".to_owned());
            for problem in problems.iter().filter(|problem| problem.grade() == Grade::Error) {
                says("  ", format!("{}: {}", problem.place, problem.kind));
            }
        }
        Recomputed::Failed(why) => says(&differs, format!("the documents can't be made again: {why}")),
        Recomputed::NotAsked if !of.seal.is_good() => {}
        Recomputed::NotAsked => {
            let words = "members held against their sums; nothing was worked out again";
            says("", format!("{} {words}", of.members));
        }
        Recomputed::Done(redone) => {
            let gives = |then: String, now: String| format!("the pack says {then}, its inputs give {now}");
            for change in &redone.figures {
                let words = gives(exact(&change.then), exact(&change.now));
                says(&differs, format!("{}: {words}", change.id));
            }
            for turn in &redone.targets {
                let words = gives(standing(turn.then.as_deref()), standing(turn.now.as_deref()));
                says(&differs, format!("target {}: {words}", turn.id));
            }
            for (path, fault) in &redone.files {
                says(&differs, format!("{path} {}", fault.words()));
            }
            let Redone { same, compared, templates, templates_run, carried, .. } = &**redone;
            says("", format!("{} members; {same} figures worked out again and the same", of.members));
            let words = match &redone.other_version {
                None => {
                    format!("{compared} documents, layers and tables made again and compared byte for byte")
                }
                Some(version) => format!(
                    "not compared: documents, layers and tables, which the pack says version {version} made and this version \
                     would make otherwise; verify it with version {version}, or look at its sums alone with --sums-only",
                ),
            };
            says("", words);
            if *templates > 0 && !templates_run {
                let words = format!(
                    "not compared: the documents, which {templates} templates of the sender set; templates are programs: read them in \
                     the pack, then verify with --run-templates"
                );
                says("", words);
            } else if *templates > 0 {
                let words = "templates that the sender wrote: read those before trusting the words";
                says("", format!("the documents are set with {templates} {words}"));
            }
            if *carried > 0 {
                let words = "are about files that the pack does not hold; they stand as the sender had them";
                says("", format!("{carried} doubts {words}"));
            }
        }
    }
    let version = of.ledger.as_ref().map(|ledger| ledger.program.version.as_str()).unwrap_or(VERSION);
    let other_version = version != VERSION;
    if other_version && matches!(&of.again, Recomputed::Refused(_)) {
        says(
            "",
            format!(
                "the pack says version {version} made it, which may have read them: verify it with that version"
            ),
        );
    }
    let (style, end) = match (&of.again, of.is_same()) {
        _ if !of.seal.is_good() => (RED, "the pack is not what the owner of that key sealed"),
        (Recomputed::NotAsked, true) => (BOLD, "the sums hold; whether they were made anew, sums can't tell"),
        (_, true) => (GREEN, "the pack says what its inputs give"),
        _ if other_version || of.again.leaves_templates() => (RED, "the pack is not verified"),
        _ => (RED, "the pack does not say what its inputs give"),
    };
    let _ = writeln!(text, "{style}{end}{style:#}");
    text
}

/// A verdict as JSON.
#[must_use]
pub fn verdict_json(of: &Verdict) -> String {
    let again = match &of.again {
        Recomputed::Refused(problems) => json!({
            "refused": problems.iter().map(|problem| format!("{}: {}", problem.place, problem.kind)).collect::<Vec<_>>(),
        }),
        Recomputed::Failed(why) => json!({ "failed": why }),
        Recomputed::NotAsked => Value::Null,
        Recomputed::Done(redone) => json!({
            "figures_same": redone.same,
            "figures": redone.figures.iter().map(change_json).collect::<Vec<_>>(),
            "targets": redone.targets.iter().map(turn_json).collect::<Vec<_>>(),
            "files_compared": redone.compared,
            "files": redone.files.iter().map(|(path, fault)| json!({ "path": path, "says": fault.words() })).collect::<Vec<_>>(),
            "not_compared_because_made_by": redone.other_version,
            "templates_of_the_sender": redone.templates,
            "templates_run": redone.templates_run,
            "doubts_taken_over": redone.carried,
        }),
    };
    let verdict = json!({
        "format": "hillfolio-verdict/1",
        "same": of.is_same(),
        "members": of.members,
        "sums": of.sums.iter().map(|(path, fault)| json!({ "path": path, "says": fault.words() })).collect::<Vec<_>>(),
        "inputs": of.inputs.iter().map(|input| json!({ "path": input.path, "listed": input.listed, "found": input.found })).collect::<Vec<_>>(),
        "seal": match &of.seal {
            Seal::NotAsked { there: false } => "none",
            Seal::NotAsked { there: true } => "not held against a key",
            Seal::Missing => "missing",
            Seal::Holds(_) => "holds",
            Seal::Broken(why) => why,
        },
        "ledger": of.ledger.as_ref().err(),
        "again": again,
    });
    format!("{verdict:#}\n")
}

/// What changed between two ledgers, in words.
#[must_use]
pub fn changes(then: &LedgerRecord, now: &LedgerRecord, changes: &Changes) -> String {
    let mut text = String::new();
    for (word, book) in [("then", then), ("now", now)] {
        let (project, period) = (&book.project, &book.period);
        let _ = writeln!(
            text,
            "{word:<5} {}, {}, {} to {}",
            plain(&project.name),
            plain(&project.reference),
            period.from,
            period.to
        );
    }
    for caution in &changes.cautions {
        let _ = writeln!(text, "note  {}", plain(caution));
    }
    for (heading, figures) in [
        ("figures that changed", &changes.changed),
        ("figures that are new", &changes.new),
        ("figures that are gone", &changes.gone),
    ] {
        if !figures.is_empty() {
            let _ = writeln!(text, "\n{BOLD}{heading}{BOLD:#}");
        }
        for change in figures {
            let _ = writeln!(text, "  {} {DIM}{}{DIM:#}", plain(&change.id), plain(&change.label));
            let _ = write!(text, "    {} → {}", on_paper(&change.then), on_paper(&change.now));
            let _ = match change.ranges {
                Ranges::Overlap => writeln!(text, "; intervals overlap"),
                Ranges::Apart => writeln!(text, "; intervals stand apart"),
                Ranges::NotComparable => writeln!(text),
            };
        }
    }
    if !changes.targets.is_empty() {
        let _ = writeln!(text, "\n{BOLD}targets{BOLD:#}");
    }
    for turn in &changes.targets {
        let (before, after) = (standing(turn.then.as_deref()), standing(turn.now.as_deref()));
        let because =
            turn.because.as_deref().map(|because| format!(" ({})", plain(because))).unwrap_or_default();
        let _ = writeln!(text, "  {}: {before} → {after}{because}", plain(&turn.id));
    }
    if !changes.tables.is_empty() {
        let _ = writeln!(text, "\n{BOLD}rows of tables and layers{BOLD:#}");
    }
    for table in &changes.tables {
        let rows = |rows: Option<u32>| rows.map_or_else(|| "not there".to_owned(), |rows| rows.to_string());
        let _ = writeln!(text, "  {}: {} → {}", plain(&table.path), rows(table.then), rows(table.now));
    }
    let _ = writeln!(
        text,
        "\n{} figures changed, {} new, {} gone, {} the same; {} targets turned, {} as they were",
        changes.changed.len(),
        changes.new.len(),
        changes.gone.len(),
        changes.same,
        changes.targets.len(),
        changes.same_targets
    );
    text
}

/// What changed between two ledgers, as JSON.
#[must_use]
pub fn changes_json(then: &LedgerRecord, now: &LedgerRecord, changes: &Changes) -> String {
    let book = |book: &LedgerRecord| {
        json!({
            "name": book.project.name,
            "reference": book.project.reference,
            "from": book.period.from,
            "to": book.period.to,
            "version": book.program.version,
        })
    };
    let figures = |list: &[Change]| list.iter().map(change_json).collect::<Vec<_>>();
    let rows = |count: &RowCount| json!({ "path": count.path, "then": count.then, "now": count.now });
    let changes = json!({
        "format": "hillfolio-changes/1",
        "then": book(then),
        "now": book(now),
        "notes": changes.cautions,
        "changed": figures(&changes.changed),
        "new": figures(&changes.new),
        "gone": figures(&changes.gone),
        "same": changes.same,
        "targets": changes.targets.iter().map(turn_json).collect::<Vec<_>>(),
        "targets_same": changes.same_targets,
        "tables": changes.tables.iter().map(rows).collect::<Vec<_>>(),
    });
    format!("{changes:#}\n")
}

fn change_json(change: &Change) -> Value {
    let intervals = match change.ranges {
        Ranges::Overlap => json!("overlap"),
        Ranges::Apart => json!("apart"),
        Ranges::NotComparable => Value::Null,
    };
    json!({
        "id": change.id,
        "label": change.label,
        "then": state_json(&change.then),
        "now": state_json(&change.now),
        "intervals": intervals,
    })
}

fn state_json(state: &State) -> Value {
    match state {
        State::Figure(figure) => json!({
            "value": figure.value,
            "unit": figure.unit,
            "low": figure.ends().map(|(low, _)| low),
            "high": figure.ends().map(|(_, high)| high),
            "confidence": figure.confidence,
            "method": figure.method,
        }),
        State::NotGiven(reason) => json!({ "not_given": reason }),
        State::Absent => Value::Null,
    }
}

fn turn_json(turn: &Turn) -> Value {
    json!({ "id": turn.id, "then": turn.then, "now": turn.now, "because": turn.because })
}

fn standing(words: Option<&str>) -> String {
    words.map_or_else(|| "none".to_owned(), plain)
}

/// A figure with every digit that it has.
fn exact(state: &State) -> String {
    match state {
        State::Figure(FigureRecord { value, low: Some(low), high: Some(high), unit, .. }) => {
            format!("{value} ({low} to {high}) {}", plain(unit))
        }
        State::Figure(figure) => format!("{} {}", figure.value, plain(&figure.unit)),
        State::NotGiven(reason) => format!("nothing ({})", plain(reason)),
        State::Absent => "nothing".to_owned(),
    }
}

/// A figure as it stands on paper.
fn on_paper(state: &State) -> String {
    match state {
        State::Figure(figure) => {
            let text = |value: f64| plain(&value_text(value, &Unit::of_code(&figure.unit)));
            match figure.ends() {
                Some((low, high)) => format!("{} ({} to {})", text(figure.value), text(low), text(high)),
                None => text(figure.value),
            }
        }
        State::NotGiven(reason) => format!("not given: {}", plain(reason)),
        State::Absent => "not there".to_owned(),
    }
}
