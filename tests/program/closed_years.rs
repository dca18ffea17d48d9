//! A closed year prints the same cents after the rows of the next are entered.

use std::{collections::BTreeMap, fs, path::Path};

use chrono::NaiveDate;
use hillfolio_core::{
    ledger::{self, Entry},
    project::{Period, Project},
    sharing::{Shares, seen_by},
};
use tempfile::TempDir;

use crate::commands::{copy, hillfolio};

/// Works, payments and plantings of the year after: visits, metres, stems and costs on every ground, some of agreements that have ended.
const NEXT: [(&str, &str); 3] = [
    (
        "works.csv",
        "2026-07-14,Spot spraying,Ridge,9,2,paid,,,,,\n2026-09-14,Spot spraying,Ridge,9,2,paid,,,,,\n\
         2026-07-20,Spot spraying,East gully,9,2,paid,,,,,\n2026-08-20,Fencing,Ridge,9,2,paid,900,m,,,\n\
         2026-08-21,Fencing,Home paddock,9,2,paid,500,m,,,own\n2026-09-15,Mulching,,7,3,in kind,,,,,\n",
    ),
    (
        "spending.csv",
        "2026-07-30,Weed contractor,2750.00,250.00,Sward Services,SW-70,,,2026-07-29,\n\
         2026-08-05,Plants,8800.00,800.00,Millrace Nursery,MN-600,,,2026-08-04,council\n\
         2026-08-10,Insurance,1210.00,110.00,Upland Mutual,UM-4,,,2026-08-09,\n\
         2026-08-25,Boundary fence,5500.00,500.00,Crossfell Fencing,CF-990,,,2026-08-24,\n\
         2026-09-10,Audit,1320.00,120.00,Quill and Tally,QT-3,,,2026-09-09,offset\n",
    ),
    ("plantings.csv", "2026-08-19,Ridge,Acacia dealbata,2000,tubestock,Millrace Nursery,LR26-1,,council\n"),
];

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// The folder of the sample that holds the rows up to `last`, with those of `more` appended.
fn up_to(last: NaiveDate, more: &[(&str, &str)]) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-projects/lantern-rise"), folder.path());
    for table in ["works.csv", "spending.csv", "plantings.csv"] {
        let path = folder.path().join(table);
        let text = fs::read_to_string(&path).unwrap();
        let by_then = |row: &&str| row[..10].parse::<NaiveDate>().is_ok_and(|of| of <= last);
        let mut lines = text.lines();
        let head = lines.next().unwrap();
        let mut kept: String =
            std::iter::once(head).chain(lines.filter(by_then)).map(|row| format!("{row}\n")).collect();
        for (_, rows) in more.iter().filter(|(name, _)| *name == table) {
            kept.push_str(rows);
        }
        fs::write(&path, kept).unwrap();
    }
    folder
}

/// Every figure of money of every agreement, and of the place by source, for `period`.
fn money(folder: &TempDir, period: Period) -> BTreeMap<String, String> {
    let mut project: Project =
        hillfolio::check(folder.path()).unwrap_or_else(|why| panic!("{why:?}")).project;
    project.period = period;
    let shares = Shares::of(&project);
    let views = project.agreements.iter().map(|one| (one.id.to_string(), seen_by(&project, one, &shares)));
    let views: Vec<(String, Project)> = views.chain([("place".to_owned(), project.clone())]).collect();
    let mut found = BTreeMap::new();
    for (whose, view) in views {
        for (id, entry) in ledger::fill(&view).iter() {
            let id = id.to_string();
            let of_money = ["spend.", "accounts.", "budget.", "sources.", "in-kind", "works.hours"];
            if of_money.iter().any(|series| id.starts_with(series)) {
                let said = match entry {
                    Entry::Figure(figure) => format!("{:?}", figure.value),
                    // Of nobody's work there are no hours, of work of other days none.
                    Entry::Missing(_) if id.starts_with("works.hours") => "0.0".to_owned(),
                    Entry::Missing(_) => "missing".to_owned(),
                };
                found.insert(format!("{whose}: {id}"), said);
            }
        }
    }
    found
}

fn held(last: &str, period: Period, more: &[(&str, &str)]) {
    let closed = money(&up_to(day(last), &[]), period);
    let later = money(&up_to(day("2026-06-30"), more), period);
    assert!(closed.len() > 150, "{}", closed.len());
    let changed: Vec<String> = closed
        .iter()
        .filter(|(id, said)| later.get(*id) != Some(*said))
        .map(|(id, said)| format!("{id}: {said}, then {:?}", later.get(id)))
        .collect();
    assert!(changed.is_empty(), "{} of {} changed:\n{}", changed.len(), closed.len(), changed.join("\n"));
    // What came into being with the later rows says nothing of this year.
    let new: Vec<_> = later.iter().filter(|(id, said)| !closed.contains_key(*id) && *said != "0.0").collect();
    assert!(new.is_empty(), "{new:?}");
}

#[test]
fn a_closed_year_prints_the_same_cents_after_the_next() {
    let year = |from: &str, to: &str| Period { from: day(from), to: day(to) };
    // The second year closed, then the third entered; and the third closed, then a fourth that draws on everything.
    held("2025-06-30", year("2024-07-01", "2025-06-30"), &NEXT);
    held("2026-06-30", year("2025-07-01", "2026-06-30"), &NEXT);
}

/// A rule that is altered when a year is closed alters what was reported of it, and that is told with the rule's line and its rows; one that is
/// kept for its own days, with the new one beside it, alters nothing and is no doubt.
#[test]
fn a_rule_that_is_altered_after_a_year_is_closed_is_told() {
    let year = Period { from: day("2024-07-01"), to: day("2025-06-30") };
    let was = money(&up_to(day("2026-06-30"), &[]), year);
    let old = "lines = [\"Boundary fence\"]\nby = \"metres\"\ncount = [\"Fencing\"]\nbetween = [\"catchment\", \"council\", \"own\"]\n\
        basis = \"metres of the fence along each funder's ground, by the works log\"\ndecided = 2024-11-20\n";
    let new = "lines = [\"Boundary fence\"]\nby = \"fixed\"\nshares = { catchment = 80, council = 20 }\n\
        basis = \"as agreed anew\"\ndecided = 2025-09-01\n";
    let with = |rules: &str| {
        let folder = up_to(day("2026-06-30"), &[]);
        let path = folder.path().join("project.toml");
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.contains(old));
        fs::write(&path, text.replacen(old, rules, 1)).unwrap();
        folder
    };
    let told = |folder: &TempDir| {
        let problems = hillfolio::check(folder.path()).unwrap_or_else(|why| panic!("{why:?}")).problems;
        let of_rules = problems.iter().filter(|one| one.kind.code() == "rule-decided-later");
        of_rules.map(|one| format!("{}: {}", one.place, one.message().sentence)).collect::<Vec<_>>()
    };
    let altered = with(new);
    assert_ne!(money(&altered, year), was);
    let said = told(&altered);
    assert_eq!(said.len(), 1, "{said:?}");
    for words in ["project.toml:35 (decided)", "spending.csv 9", "13,860.00"] {
        assert!(said[0].contains(words), "{words} in {said:?}");
    }
    let kept = with(&format!("{old}to = 2025-06-30\n\n[[sharing]]\n{new}from = 2025-07-01\n"));
    assert_eq!(money(&kept, year), was);
    assert!(told(&kept).is_empty());
}

/// What the year after brings besides money: surveys, incidents, pictures of the place, and what agreements say of instalments, changes, promises,
/// things bought, risks and milestones.
const AFTER: [(&str, &str); 3] = [
    (
        "tallies.csv",
        "2027-05-11,G1,Acacia melanoxylon,3,6,0,2,\n2027-05-12,R1,Acacia dealbata,1,5,0,0,\n\
         2027-05-13,F1,Acacia melanoxylon,2,4,0,0,\n",
    ),
    (
        "actions.csv",
        "2026-08-03,incident,Fire along the ridge,Ridge,,,,Put out,,\n\
         2026-08-04,change,Guards left away in the gully,East gully,,,,,,\n\
         2026-08-05,incident,A contractor slipped on the track,,,,,First aid,,\n\
         2026-08-06,incident,A gate was left open,Home paddock,,,,,,\n",
    ),
    ("programme.csv", "2027-07-10,2027-07-20,Spraying,Ridge\n2027-08-10,2027-08-20,Planting,East gully\n"),
];

/// What stands in the folder before: an incident that is settled only in the next year, and work of the year to come.
const BEFORE: [(&str, &str); 2] = [
    (
        "actions.csv",
        "date,occasion,what,area,notified,cause,consequence,response,done,effect\n\
         2026-02-03,incident,Stock broke in,East gully,,,,Fence mended,OPEN\n",
    ),
    ("programme.csv", "from,to,task,area\n2026-09-01,2026-09-20,Spraying,East gully\n"),
];

/// What the agreement called so says a year later, put behind the first line that begins so.
const SAYS: [(&str, &str); 2] = [
    (
        "[[agreement.contribution]]\nwho = \"Hollow Timber\"",
        "[[agreement.instalment]]\non = 2026-09-20\namount = 900.00\nreceived = true\nfor = \"A fourth year\"\n\n\
         [[agreement.interest]]\non = 2026-12-31\namount = 12.34\n\n\
         [[agreement.variation]]\nnumber = \"V2\"\nasked = 2026-09-02\napproved = 2026-10-10\nline = \"Audit\"\nyear = 2025\nbefore = 700.00\nafter = 900.00\n\n\
         [[agreement.contribution]]\nwho = \"Wether Creek Landcare Group\"\nin_kind = true\nyear = 2026\npromised = 500.00\n\n\
         [[agreement.milestone]]\nwords = \"Gully planted anew\"\ndue = 2027-03-31\n\n",
    ),
    (
        "[[agreement.risk]]\nwords = \"Grass",
        "[[agreement.asset]]\nwords = \"Knapsack sprayer\"\non = 2026-08-05\nprice = 189.00\n\n\
         [[agreement.risk]]\nwords = \"A dry second summer\"\nseen = 2026-12-01\n\n\
         [[agreement.committed]]\non = 2026-09-01\namount = 55.00\nfor = \"Signs\"\n\n",
    ),
];

/// An agreement that begins after the period, with ground that was the landholder's.
const LATER_AGREEMENT: &str = "\n[[agreement]]\nid = \"basin\"\nkind = \"grant\"\nfunder = \"Hollow Basin Trust\"\nreference = \"HB-9\"\n\
    from = 2026-10-01\nto = 2028-09-30\nareas = [\"Home paddock\"]\ntax = \"excluded\"\ndates = \"paid\"\n\n\
    [[agreement.budget]]\nline = \"Water troughs\"\ncash = 4000.00\nyear = 2026\n";

/// A rule that is decided after the period, for costs that nobody had in it.
const LATER_RULE: &str = "[[sharing]]\nlines = [\"Water troughs\"]\nby = \"fixed\"\nshares = { council = 50, basin = 50 }\n\
    basis = \"as agreed by letter\"\ndecided = 2026-11-02\n\n[[agreement]]";

/// The sample with an incident and a programme; a year later where asked.
fn place(later: bool) -> TempDir {
    let more: &[(&str, &str)] = if later { &NEXT } else { &[] };
    let folder = up_to(day("2026-06-30"), more);
    let put = |name: &str, rows: &str| {
        let path = folder.path().join(name);
        let before = fs::read_to_string(&path).unwrap_or_default();
        fs::write(path, before + rows).unwrap();
    };
    for (name, rows) in BEFORE {
        let done = if later { "2026-08-20,Held since" } else { "," };
        put(name, &rows.replace("OPEN", done));
    }
    if later {
        for (name, rows) in AFTER {
            put(name, rows);
        }
        let settings = folder.path().join("project.toml");
        let mut text = fs::read_to_string(&settings).unwrap();
        for (at, words) in SAYS {
            assert!(text.contains(at), "{at}");
            text = text.replacen(at, &format!("{words}{at}"), 1);
        }
        // An agreement that begins when the year is over, and a rule with it.
        text.push_str(LATER_AGREEMENT);
        text = text.replacen("[[agreement]]", LATER_RULE, 1);
        // The last instalment of the second year came.
        text = text.replacen("for = \"On acquittal\"", "received = true\nfor = \"On acquittal\"", 1);
        fs::write(settings, text).unwrap();
    }
    folder
}

/// What the template of a document finds, a value a line; the lines of `project.toml` move when something is written above them.
fn found(folder: &TempDir, document: &str, agreement: Option<&str>) -> Vec<String> {
    let mut data = hillfolio();
    data.arg("data").arg(folder.path()).arg(document);
    if let Some(id) = agreement {
        data.args(["--agreement", id]);
    }
    let output = data.output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let tree: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let mut lines = Vec::new();
    leaves("", &tree["data"], &mut lines);
    lines.retain(|line| !line.contains("project.toml"));
    lines
}

fn leaves(path: &str, value: &serde_json::Value, into: &mut Vec<String>) {
    match value {
        serde_json::Value::Object(fields) => {
            fields.iter().for_each(|(name, value)| leaves(&format!("{path}.{name}"), value, into));
        }
        serde_json::Value::Array(list) => {
            list.iter().enumerate().for_each(|(at, value)| leaves(&format!("{path}[{at}]"), value, into));
        }
        leaf => into.push(format!("{path}: {leaf}")),
    }
}

#[test]
fn the_documents_of_a_closed_year_stay_as_they_were() {
    let (closed, later) = (place(false), place(true));
    for (document, agreement) in [
        ("acquittal", Some("catchment")),
        ("acquittal", Some("council")),
        ("offset", Some("offset")),
        ("acquittal", Some("offset")),
        ("sources", None),
    ] {
        let (was, is) = (found(&closed, document, agreement), found(&later, document, agreement));
        assert!(was.len() > 150, "{document} {agreement:?}: {}", was.len());
        let changed: Vec<&String> = was
            .iter()
            .filter(|line| !is.contains(line))
            .chain(is.iter().filter(|line| !was.contains(line)))
            .collect();
        assert!(changed.is_empty(), "{document} {agreement:?}:\n{changed:#?}");
    }
}
