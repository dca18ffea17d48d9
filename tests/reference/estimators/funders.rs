//! Money of agreements against worked tables, each read from a folder as a user would write it.
//!
//! Source of the three tables: `funders.md` §1.6 (the four tests of ten per cent, on the budget of the acquittal statement),
//! §2.3 (the statement by source) and §2.5 (one source carried over three years), computed there by hand from rules that funders
//! publish (2 CFR 200.308(f) for transfers, the NSW Environmental Trust for the whole grant, Maryland county forestry for lines).

use std::fs;

use hillfolio_core::{
    intake::{self, Folder},
    ledger::{self, Ledger},
    project::Project,
};

const AREAS: &str = r#"{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"area":"North"},"geometry":{"type":"Polygon","coordinates":[[[148.0,-36.0],[148.001,-36.0],[148.001,-35.999],[148.0,-35.999],[148.0,-36.0]]]}},
{"type":"Feature","properties":{"area":"South"},"geometry":{"type":"Polygon","coordinates":[[[148.0,-36.002],[148.001,-36.002],[148.001,-36.001],[148.0,-36.001],[148.0,-36.002]]]}},
{"type":"Feature","properties":{"area":"West"},"geometry":{"type":"Polygon","coordinates":[[[147.998,-36.0],[147.999,-36.0],[147.999,-35.999],[147.998,-35.999],[147.998,-36.0]]]}}]}"#;

const PROJECT: &str = "[project]\nname = \"Lantern Rise\"\nreference = \"LR\"\nlandholder = \"Nobody\"\nlocality = \"Nowhere\"\ncurrency = \"AUD\"\n";

/// The project in a folder of these settings and tables, with the codes of what is wrong with it.
fn read(settings: &str, tables: &[(&str, &str)]) -> (Project, Vec<String>) {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
    write("project.toml", &format!("{PROJECT}{settings}"));
    write("areas.geojson", AREAS);
    write("plantings.csv", "date,area,species,stems,agreement\n2024-08-01,North,Acacia melanoxylon,100,\n");
    tables.iter().for_each(|(name, text)| write(name, text));
    let printable = |_: char| true;
    let read = intake::read(&Folder::open(folder.path()).unwrap(), &printable);
    let intake = read.unwrap_or_else(|problems| panic!("{problems:#?}"));
    let codes = intake.problems.iter().map(|problem| problem.kind.code().into_owned()).collect();
    (intake.project, codes)
}

fn filled(settings: &str, tables: &[(&str, &str)]) -> Ledger {
    ledger::fill(&read(settings, tables).0)
}

fn value(ledger: &Ledger, id: &str) -> f64 {
    ledger.figure(id).unwrap_or_else(|| panic!("no {id}: {:?}", ledger.get(id))).value
}

/// §1.6: 2,450 / 45,000 = 5.4 %; 2,450 / 44,500 = 5.5 %; lines +11.7 %, −21.8 %, −6.7 %, two of them over ten; no new line.
#[test]
fn the_four_tests_of_ten_per_cent() {
    let settings = r#"
[period]
from = 2025-07-01
to = 2026-06-30
[[agreement]]
id = "catchment"
from = 2025-07-01
to = 2026-06-30
explain = [
  { test = "whole grant", over = 0.10 },
  { test = "cumulative transfers", over = 0.10 },
  { test = "line", over = 0.10 },
  { test = "new line" },
]
budget = [
  { line = "Plants", cash = 21000 },
  { line = "Site preparation and weed control", cash = 11000 },
  { line = "Fencing", cash = 9500 },
  { line = "Monitoring", cash = 3000 },
]
instalment = [{ on = 2025-07-15, amount = 45000, received = true }]
"#;
    let spending = "date,line,amount,tax\n2025-09-01,Plants,23450,0\n2025-09-02,Site preparation and weed control,8600,0\n2025-09-03,Fencing,9500,0\n2025-09-04,Monitoring,2800,0\n";
    let ledger = filled(settings, &[("spending.csv", spending)]);
    let text = |id: &str| ledger.figure(id).unwrap().text();
    assert_eq!(text("accounts.test.whole-grant"), "5.4\u{a0}%");
    assert_eq!(text("accounts.test.cumulative-transfers"), "5.5\u{a0}%");
    assert_eq!(text("accounts.test.line.plants"), "11.7\u{a0}%");
    assert_eq!(text("accounts.test.line.site-preparation-and-weed-control"), "−21.8\u{a0}%");
    assert_eq!(text("accounts.test.line.fencing"), "0.0\u{a0}%");
    assert_eq!(text("accounts.test.line.monitoring"), "−6.7\u{a0}%");
    assert_eq!(value(&ledger, "accounts.test.new-line"), 0.0);
    let asks =
        |id: &str| ledger.figure(id).unwrap().notes.iter().any(|note| note.contains("asks for a reason"));
    let over: Vec<&str> = ["plants", "site-preparation-and-weed-control", "fencing", "monitoring"]
        .into_iter()
        .filter(|line| asks(&format!("accounts.test.line.{line}")))
        .collect();
    assert_eq!(over, ["plants", "site-preparation-and-weed-control"]);
    assert!(!asks("accounts.test.whole-grant") && !asks("accounts.test.cumulative-transfers"));
    assert_eq!(value(&ledger, "spend.unspent"), 650.0, "45 000 − 44 350");
}

/// §2.3: the statement by source, four columns, to the cent.
#[test]
fn the_statement_by_source() {
    let agreement = |id: &str, area: &str, received: u32, interest: u32| {
        format!(
            "[[agreement]]\nid = \"{id}\"\nfrom = 2024-07-01\nto = 2026-06-30\n{area}instalment = [{{ on = 2024-07-15, amount = {received}, received = true }}]\n{}",
            if interest > 0 {
                format!("interest = [{{ on = 2025-06-30, amount = {interest} }}]\n")
            } else {
                String::new()
            }
        )
    };
    let settings = [
        "[period]\nfrom = 2024-07-01\nto = 2025-06-30\n[money]\nvolunteer_rate = 47.38\nvolunteer_rate_source = \"a published schedule\"\n".to_owned(),
        "[[own]]\non = 2024-07-01\namount = 4000\n".to_owned(),
        agreement("federal", "areas = [\"North\"]\nunspent = { rule = \"carry\", of_paid = 0.05, at_most = 10000 }\n", 30_000, 60),
        agreement("state", "areas = [\"South\"]\n", 18_000, 0),
        agreement("council", "areas = [\"West\"]\n", 5_000, 0),
    ]
    .concat();
    let rows = [
        ("Plants", [12_000, 8_500, 0, 0]),
        ("Site preparation, weeds", [8_000, 3_200, 2_000, 1_000]),
        ("Fencing", [4_600, 3_000, 2_500, 2_500]),
        ("Monitoring", [2_400, 2_000, 0, 0]),
        ("Administration, audit", [1_400, 500, 0, 0]),
    ];
    let payers = ["federal", "state", "council", "own"];
    let mut spending = "date,line,amount,tax,agreement\n".to_owned();
    for (line, sums) in rows {
        for (payer, sum) in payers.iter().zip(sums).filter(|(_, sum)| *sum > 0) {
            spending += &format!("2024-09-01,\"{line}\",{sum},0,{payer}\n");
        }
    }
    let works = "date,task,hours,people,basis,agreement\n2024-09-01,Planting,312,1,volunteer,own\n";
    let ledger = filled(&settings, &[("spending.csv", &spending), ("works.csv", works)]);
    for (line, sums) in rows {
        let slug = hillfolio_core::project::slug(line);
        for (payer, sum) in payers.iter().zip(sums) {
            assert_eq!(
                value(&ledger, &format!("sources.spent.line.{slug}.{payer}")),
                f64::from(sum),
                "{line} {payer}"
            );
        }
        let total: i32 = sums.iter().sum();
        assert_eq!(value(&ledger, &format!("sources.spent.line.{slug}.all")), f64::from(total), "{line}");
    }
    for (id, of) in [
        ("received", [30_000.0, 18_000.0, 5_000.0, 4_000.0, 57_000.0]),
        ("spent", [28_400.0, 17_200.0, 4_500.0, 3_500.0, 53_600.0]),
        ("unspent", [1_660.0, 800.0, 500.0, 500.0, 3_460.0]),
    ] {
        for (payer, sum) in payers.iter().chain(&["all"]).zip(of) {
            assert_eq!(value(&ledger, &format!("sources.{id}.{payer}")), sum, "{id} {payer}");
        }
    }
    // The table has a nought where a source states no interest: nobody wrote one, and it is given as not stated.
    for (payer, stated) in payers.iter().chain(&["all"]).zip([Some(60.0), None, None, None, Some(60.0)]) {
        let interest = ledger.figure(&format!("sources.interest.{payer}"));
        assert_eq!(interest.map(|figure| figure.value).filter(|sum| *sum > 0.0), stated, "interest {payer}");
    }
    // In kind, apart: 312 h × 47.38; A's cash is 53.0 % of cash and 41.5 % of cash and kind.
    assert_eq!(value(&ledger, "sources.volunteers"), 14_782.56);
    assert_eq!(ledger.figure("sources.part-of-cash.federal").unwrap().text(), "53.0\u{a0}%");
    assert_eq!(ledger.figure("sources.part-of-all.federal").unwrap().text(), "41.5\u{a0}%");
    let all = value(&ledger, "sources.spent.all") + value(&ledger, "sources.volunteers");
    assert!((all - 68_382.56).abs() < 1e-9);
}

/// §2.3: the federal 1,660 is over five per cent of the 30,000 paid, 1,500, so it may not be carried without asking.
#[test]
fn what_may_stay_unspent_without_asking() {
    let settings = "[period]\nfrom = 2024-07-01\nto = 2025-06-30\n[[agreement]]\nid = \"federal\"\nfrom = 2024-07-01\nto = 2026-06-30\nunspent = { rule = \"carry\", of_paid = 0.05, at_most = 10000 }\ninstalment = [{ on = 2024-07-15, amount = 30000, received = true }]\ninterest = [{ on = 2025-06-30, amount = 60 }]\n";
    let spending = "date,line,amount,tax\n2024-09-01,Plants,28400,0\n";
    let ledger = filled(settings, &[("spending.csv", spending)]);
    assert_eq!(value(&ledger, "spend.unspent"), 1_660.0);
    assert_eq!(value(&ledger, "accounts.unspent-limit"), 1_500.0);
}

/// §2.5: one source over three years; what is carried out of a year is carried into the next.
#[test]
fn a_source_carried_over_three_years() {
    let settings = r#"
[period]
from = 2025-07-01
to = 2026-06-30
[[agreement]]
id = "catchment"
from = 2023-07-01
to = 2026-06-30
instalment = [
  { on = 2023-07-15, amount = 12000, received = true },
  { on = 2024-07-15, amount = 10000, received = true },
  { on = 2025-07-15, amount = 8000, received = true },
]
interest = [
  { on = 2024-06-30, amount = 20 },
  { on = 2025-06-30, amount = 35 },
  { on = 2026-06-30, amount = 5 },
]
carried = [{ year = 2023, out = 2320 }, { year = 2024, in = 2320, out = 1100 }, { year = 2025, in = 1100, out = 0 }]
budget = [
  { line = "Works", cash = 10000, year = 2023 },
  { line = "Works", cash = 11000, year = 2024 },
  { line = "Works", cash = 9000, year = 2025 },
]
[[agreement.target]]
id = "spend"
measure = "spend"
at_most = 30060
"#;
    let spending =
        "date,line,amount,tax\n2023-09-01,Works,9700,0\n2024-09-01,Works,11255,0\n2025-09-01,Works,9105,0\n";
    let (project, codes) = read(settings, &[("spending.csv", spending)]);
    assert!(!codes.iter().any(|code| code.starts_with("carried")), "{codes:?}");
    let ledger = ledger::fill(&project);
    let table = [
        (2023, [12_000.0, 20.0, 0.0, 9_700.0, 2_320.0]),
        (2024, [10_000.0, 35.0, 2_320.0, 11_255.0, 1_100.0]),
        (2025, [8_000.0, 5.0, 1_100.0, 9_105.0, 0.0]),
    ];
    for (year, row) in table {
        for (what, sum) in ["received", "interest", "carried-in", "spent", "carried-out"].into_iter().zip(row)
        {
            assert_eq!(value(&ledger, &format!("accounts.year.{what}.{year}")), sum, "{what} {year}");
        }
    }
    assert_eq!(value(&ledger, "accounts.received"), 30_000.0);
    assert_eq!(value(&ledger, "accounts.interest"), 60.0);
    assert_eq!(value(&ledger, "accounts.spent-to-date"), 30_060.0);
    assert_eq!(value(&ledger, "spend.unspent"), 0.0);
    for (id, sum) in
        [("budget-this-year", 9_000.0), ("budget-to-date", 30_000.0), ("budget-whole-life", 30_000.0)]
    {
        assert_eq!(value(&ledger, &format!("accounts.{id}")), sum, "{id}");
    }
    // A target on spending is of the whole grant, as its budget is.
    assert_eq!(ledger.targets[0].figure.as_str(), "accounts.spent-to-date");
    assert_eq!(ledger.targets[0].standing.words(), "met");
}

/// The second year of a grant in a folder of one agreement: 22 600 approved, 21 112 spent the year before and 3 500 in this one, are 24 612
/// spent and 2 012 too much, and the target says so too.
#[test]
fn a_target_and_the_rest_of_the_money_say_the_same_in_the_second_year() {
    let settings = "[period]\nfrom = 2025-07-01\nto = 2026-06-30\n[[budget]]\nline = \"Works\"\ncash = 22600\n[[target]]\nid = \"spend\"\nunder = \"grant\"\nmeasure = \"spend\"\nat_most = 22600\n";
    let spending = "date,line,amount,tax\n2024-09-01,Works,21112,0\n2025-09-01,Works,3500,0\n";
    let ledger = filled(settings, &[("spending.csv", spending)]);
    assert_eq!(value(&ledger, "spend.unspent"), -2_012.0);
    assert_eq!(value(&ledger, "accounts.spent-to-date"), 24_612.0);
    assert_eq!(ledger.targets[0].standing.words(), "not met");
    // Within one year nothing changes: the figure is that of the period.
    let one_year = filled(settings, &[("spending.csv", "date,line,amount,tax\n2025-09-01,Works,3500,0\n")]);
    assert_eq!(one_year.targets[0].figure.as_str(), "spend.total");
    assert!(one_year.get("accounts.spent-to-date").is_none());
}

/// §2.2: 12,600 of fence over 410, 265 and 175 m; 1,000.01 at 45, 35 and 20 per cent.
#[test]
fn costs_are_shared_by_metres_and_by_per_cents() {
    let agreement = |id: &str, areas: &str| {
        format!("[[agreement]]\nid = \"{id}\"\nfrom = 2024-07-01\nto = 2026-06-30\nareas = [{areas}]\n")
    };
    let settings = [
        "[period]\nfrom = 2024-07-01\nto = 2025-06-30\n".to_owned(),
        agreement("federal", "\"North\""),
        agreement("state", "\"South\""),
        agreement("council", "\"West\""),
        "[[sharing]]\nlines = [\"Fencing\"]\nby = \"metres\"\nbasis = \"metres along each funder's ground\"\ndecided = 2024-08-01\ncount = [\"Fence\"]\nbetween = [\"federal\", \"state\", \"council\"]\n".to_owned(),
        "[[sharing]]\nlines = [\"Audit\"]\nby = \"fixed\"\nbasis = \"agreed by letter\"\ndecided = 2024-08-01\nshares = { federal = 45, state = 35, council = 20 }\n".to_owned(),
    ]
    .concat();
    let spending = "date,line,amount,tax\n2024-09-01,Fencing,12600,0\n2024-09-02,Audit,1000.01,0\n";
    let works = "date,task,quantity,unit,agreement\n2024-09-01,Fence,410,m,federal\n2024-09-02,Fence,265,m,state\n2024-09-03,Fence,175,m,council\n";
    let ledger = filled(&settings, &[("spending.csv", spending), ("works.csv", works)]);
    for (line, parts) in [("fencing", [6_077.65, 3_928.23, 2_594.12]), ("audit", [450.01, 350.0, 200.0])] {
        for (payer, part) in ["federal", "state", "council"].into_iter().zip(parts) {
            assert_eq!(value(&ledger, &format!("sources.spent.line.{line}.{payer}")), part, "{line} {payer}");
        }
    }
    assert_eq!(value(&ledger, "sources.spent.all"), 13_600.01);
}
