//! Projects to be typeset: one that fills every section, one full of hostile text, one large, one empty.

use std::sync::Arc;

use hillfolio_core::{
    problem::{Evidence, Ground, Place, Problem, Reading, Records},
    project::*,
    source::Input,
    units::{Degrees, Hours},
};
use hillfolio_documents::typeset::PrintPicture;

use crate::support::{area_id, day, money, row, small_project, species, species_id};

/// Text that would be markup, a formula, a path or an override elsewhere, and must come out as typed here.
pub(super) const NASTY: [&str; 9] = [
    "#panic(\"boom\") *bold* _em_ $ x $",
    "\\ // c ] } @ref <label> #image(\"/etc/passwd\")",
    "=1+1",
    "../../etc/passwd",
    "שלום עולם",
    "مرحبا بالعالم",
    "<svg onload=x> & \"quotes\" 'single'",
    "`code` ~tilde~ --- [link](http://example.invalid)",
    "a very ordinary name",
];

/// What no embedded face holds.
pub(super) const NO_GLYPH: &str = "森林 🦘 \u{e000}";

/// A name of three hundred letters without a space.
pub(super) fn long_name() -> String {
    "Longname".repeat(38).chars().take(300).collect()
}

fn paragraph(text: &str) -> Block {
    Block::Paragraph(vec![span(text)])
}

fn span(text: &str) -> Span {
    Span { text: text.to_owned(), emphasis: false, strong: false }
}

fn target(id: &str, measure: Measure, bound: Bound, by: &str, words: &str) -> Target {
    Target {
        id: id.to_owned(),
        under: "grant".to_owned(),
        measure,
        area: None,
        bound,
        by: Some(day(by)),
        words: Some(words.to_owned()),
        trigger: None,
        terms: Terms::default(),
        source: row("project.toml", 40),
    }
}

fn work(
    n: u32,
    date: &str,
    task: &str,
    hours: f64,
    people: u32,
    basis: Basis,
    quantity: Option<(f64, &str)>,
) -> Work {
    Work {
        date: day(date),
        task: task.to_owned(),
        area: None,
        hours: Some(Hours(hours)),
        people,
        basis,
        person: None,
        quantity: quantity.map(|(quantity, _)| quantity),
        unit: quantity.map(|(_, unit)| unit.to_owned()),
        note: None,
        claims: Claims::default(),
        source: row("works.csv", n),
    }
}

fn spending(n: u32, date: &str, line: &str, amount: &str, tax: &str, payee: &str) -> Spending {
    Spending {
        date: day(date),
        invoiced: None,
        delivered: None,
        line: line.to_owned(),
        amount: money(amount),
        tax: Some(money(tax)),
        payee: Some(payee.to_owned()),
        receipt: (!n.is_multiple_of(3)).then(|| format!("receipts/R-{n:03}.pdf")),
        receipt_total: None,
        in_kind: n.is_multiple_of(5),
        note: None,
        claims: Claims::default(),
        counted_on: day(date),
        evidence: None,
        shared: None,
        original: None,
        source: row("spending.csv", n),
    }
}

fn photo(point: &str, date: &str, caption: Option<&str>) -> Photo {
    Photo {
        path: format!("photos/{point}/{date}.jpg").into(),
        point: Some(point.into()),
        area: None,
        date: day(date),
        caption: caption.map(str::to_owned),
        claims: Claims::default(),
        sha256: "00".repeat(32).into(),
    }
}

/// The small project with every section filled.
pub(super) fn full() -> Project {
    let mut project = small_project();
    let identity = &mut project.identity;
    identity.funder = Some("Tarrow Basin Landcare Fund".to_owned());
    identity.program = Some("Steep country to forest, round 4".to_owned());
    identity.parcels = Some("Lots 11 and 12, plan TB 4402".to_owned());
    identity.author = Some("M. Okafor, Millrace Bush Crew".to_owned());
    identity.signatory = Some("R. Lindqvist, trustee".to_owned());
    identity.contact = Some("office at the Brindle Spur Trust".to_owned());
    project.money.volunteer_rate = Some(VolunteerRate {
        per_hour: money("30.00"),
        source: Some("the fund’s own guide for round 4, March 2025".to_owned()),
    });
    project.targets.extend([
        target(
            "stems",
            Measure::StemsInPeriod,
            Bound::AtLeast(3500.0),
            "2026-06-30",
            "Plant 3,500 stems in the first year",
        ),
        target(
            "fence",
            Measure::Length { kind: FeatureKind::Fence, standing: Standing::New },
            Bound::AtLeast(1200.0),
            "2026-06-30",
            "Build 1.2 km of stock-proof fence along the top and the eastern boundary",
        ),
        target(
            "density",
            Measure::Density,
            Bound::AtLeast(2100.0),
            "2026-06-30",
            "2,100 living stems a hectare after the first winter",
        ),
        target(
            "density-high",
            Measure::Density,
            Bound::AtLeast(2300.0),
            "2026-06-30",
            "2,300 living stems a hectare where the slope allows",
        ),
        target(
            "richness",
            Measure::SpeciesCount,
            Bound::AtLeast(12.0),
            "2028-06-30",
            "Twelve species by the third year",
        ),
        target(
            "photos",
            Measure::CarbonStock,
            Bound::AtLeast(10.0),
            "2026-06-30",
            "Ten tonnes of carbon dioxide in the trees",
        ),
    ]);
    project.works.extend([
        work(3, "2025-07-14", "Weed control", 7.0, 2, Basis::Paid, Some((4.5, "ha"))),
        work(4, "2025-08-22", "Planting", 6.0, 9, Basis::Volunteer, Some((1500.0, "stems"))),
        work(5, "2025-09-02", "Fencing", 8.0, 2, Basis::Paid, Some((895.0, "m"))),
        work(6, "2026-02-11", "Weed control", 5.0, 1, Basis::InKind, Some((3.0, "ha"))),
        work(7, "2026-05-12", "Survey", 6.5, 2, Basis::Volunteer, None),
    ]);
    project.spending.extend([
        spending(3, "2025-08-09", "Plants and guards", "11880.00", "1080.00", "Millrace Nursery"),
        spending(4, "2025-09-05", "Fencing", "9900.00", "900.00", "Hollis Rural Supplies"),
        spending(5, "2025-09-06", "Fencing", "1100.00", "100.00", "Neighbour’s tractor, two days"),
        spending(6, "2026-03-01", "Monitoring", "660.00", "60.00", "Tarrow Field Surveys"),
    ]);
    for (n, kind) in ["native grass", "exotic grass", "bare"].into_iter().enumerate() {
        for (at, plot) in ["N1", "N2", "G1", "G2"].into_iter().enumerate() {
            project.cover.push(CoverReading {
                date: day("2026-05-12"),
                plot: PlotId(plot.into()),
                layer: Layer::Ground,
                cover: kind.to_owned(),
                measure: CoverMeasure::Percent(20.0 + 5.0 * (n + at) as f64),
                height: None,
                note: None,
                source: row("cover.csv", (n * 4 + at) as u32 + 2),
            });
        }
    }
    for (id, about, bearing) in [
        ("P2", "Down the gully from the crossing", 210.0),
        ("P3", "Along the top fence, row 12 in front", 92.0),
    ] {
        let mut point = project.photo_points[0].clone();
        point.id = Arc::from(id);
        point.about = Some(about.to_owned());
        point.bearing = Degrees(bearing);
        project.photo_points.push(point);
    }
    project.photos = vec![
        photo("P1", "2025-07-05", Some("Bare after the last grazing")),
        photo("P1", "2026-07-02", Some("After the end of the period: not shown")),
        photo("P1", "2026-06-21", Some("Wattles through their guards, frost on the flat")),
        photo("P2", "2025-08-30", None),
        photo("P2", "2026-01-18", Some("Summer grass")),
        photo("P3", "2025-09-03", Some("The day the strainers went in")),
    ];
    project.narrative = vec![
        Chapter {
            path: "narrative/1-went-well.md".into(),
            title: "What went well".into(),
            blocks: vec![
                Block::Paragraph(vec![
                    span(
                        "The north face went in over two days with forty-one people on the rope lines, and ",
                    ),
                    Span { text: "nobody".into(), emphasis: true, strong: false },
                    span(" slipped. The tubes had stood hard for six weeks, and "),
                    Span { text: "it shows".into(), emphasis: false, strong: true },
                    span(" in the counts."),
                ]),
                Block::List {
                    numbered: false,
                    items: vec![
                        vec![span("Guards weighted on the uphill side stayed on.")],
                        vec![span("Planting across the fall, two to a hole line, kept the crew together.")],
                    ],
                },
            ],
        },
        Chapter {
            path: "narrative/2-problems.md".into(),
            title: "Problems".into(),
            blocks: vec![
                paragraph(
                    "Wallabies took the tips of the box along the gully in October, and a slip below the old track carried off about thirty stems in the March rain.",
                ),
                Block::Heading(2, vec![span("What we did about it")]),
                Block::List {
                    numbered: true,
                    items: vec![
                        vec![span("Taller guards along the gully edge.")],
                        vec![span(
                            "The slip is fenced off and left alone until an engineer has looked at it.",
                        )],
                    ],
                },
                Block::Quote(vec![span("It’s the quiet corners they come for, not the open face.")]),
                Block::Table(WordTable {
                    head: vec![vec![span("Bird")], vec![span("Seen at")]],
                    rows: vec![vec![vec![span("#set page() wren")], vec![span("the quiet corner")]]],
                }),
            ],
        },
        Chapter {
            path: "narrative/3-lessons.md".into(),
            title: "Lessons".into(),
            blocks: vec![paragraph(
                "Order guards with the plants, not after them. Count plots in the week of planting, so that the first survey has something firm to stand on.",
            )],
        },
    ];
    project.inputs =
        ["areas.geojson", "features.geojson", "plantings.csv", "plots.csv", "project.toml", "tallies.csv"]
            .into_iter()
            .enumerate()
            .map(|(n, path)| Input {
                path: path.into(),
                sha256: format!("{n:02x}a7").repeat(16),
                bytes: 512 * (n as u64 + 1),
                rows: path.ends_with("csv").then_some(n as u32 * 7 + 2),
            })
            .collect();
    project
}

/// Doubts in three files.
pub(super) fn doubts() -> Vec<Problem> {
    let at = |file: &str, line: u32, column: &str| Place::row(&row(file, line)).column(column);
    vec![
        Problem::new(
            Records::MoreAliveThanPlanted { alive: 46, planted: 40, whereabouts: "plot N1".into() },
            at("tallies.csv", 18, "alive"),
        ),
        Problem::new(
            Records::OutsidePeriod {
                rows: 1,
                of: 9,
                what: "works",
                when: "4 July 2026".into(),
                held: "8.0 person hours".into(),
            },
            at("works.csv", 9, "date"),
        ),
        Problem::new(
            Evidence::NoBudgetLine { line: "Monitoring".into(), nearest: None },
            at("spending.csv", 6, "line"),
        ),
        Problem::new(
            Evidence::PointWithoutPhoto { point: "P4".into() },
            at("photopoints.csv", 5, "photopoint"),
        ),
        Problem::new(Records::RowTwice { first: "12".into() }, at("tallies.csv", 13, "")),
        Problem::new(
            Reading::TotalsRow { row: "Total;;3500".into(), sums: String::new() },
            at("plantings.csv", 6, "area"),
        ),
        Problem::new(Reading::ReadAsWindows1252, Place::file("plantings.csv")),
        Problem::new(
            Ground::HectaresDiffer { id: "Gully head".into(), stated: 3.4, mapped: 3.0 },
            at("areas.geojson", 2, "hectares"),
        ),
    ]
}

/// Every user string replaced by something hostile.
pub(super) fn hostile() -> Project {
    let mut project = full();
    let nasty = |n: usize| NASTY[n % NASTY.len()].to_owned();
    project.identity.name = long_name();
    project.identity.reference = format!("{} {NO_GLYPH}", NASTY[0]);
    project.identity.landholder = nasty(4);
    project.identity.locality = nasty(5);
    project.identity.funder = Some(long_name());
    project.identity.parcels = Some(NASTY.join(" "));
    for (n, area) in project.areas.iter_mut().enumerate() {
        let renamed = area_id(&if n == 0 { long_name() } else { nasty(4) });
        for planting in project.plantings.iter_mut().filter(|planting| planting.area == area.id) {
            planting.area = renamed.clone();
        }
        for plot in project.plots.iter_mut().filter(|plot| plot.area == area.id) {
            plot.area = renamed.clone();
        }
        area.id = renamed;
    }
    for (n, planting) in project.plantings.iter_mut().enumerate() {
        planting.provenance = Some(nasty(n));
        planting.supplier = Some(if n == 1 { long_name() } else { nasty(n + 3) });
    }
    for (n, work) in project.works.iter_mut().enumerate() {
        work.task = nasty(n);
        work.unit = work.quantity.map(|_| nasty(n + 1));
    }
    for (n, spending) in project.spending.iter_mut().enumerate() {
        spending.payee = Some(nasty(n));
        spending.receipt = Some(long_name());
    }
    for (n, target) in project.targets.iter_mut().enumerate() {
        target.words = Some(nasty(n));
    }
    for (n, point) in project.photo_points.iter_mut().enumerate() {
        point.about = Some(nasty(n));
    }
    for (n, photo) in project.photos.iter_mut().enumerate() {
        photo.caption = Some(format!("{} {}", nasty(n), long_name()));
    }
    for (n, chapter) in project.narrative.iter_mut().enumerate() {
        chapter.title = nasty(n);
        chapter.blocks = NASTY.iter().map(|text| paragraph(text)).collect();
        chapter.blocks.push(paragraph(&format!("{NO_GLYPH} {}", long_name())));
    }
    for (n, feature) in project.features.iter_mut().enumerate() {
        feature.name = Some(nasty(n));
    }
    project
}

/// Two hundred species.
pub(super) fn large() -> Project {
    let mut project = full();
    for n in 0..200 {
        let name = format!("Genus{n:03} epithet");
        project.species.put(species(&name, &format!("Common name {n}"), Role::Late));
        let mut planting = project.plantings[0].clone();
        planting.species = species_id(&name);
        planting.source = row("plantings.csv", 10 + n);
        project.plantings.push(planting);
    }
    project
}

/// Boundaries and nothing else: no surveys, no money, no photos, no words.
pub(super) fn empty() -> Project {
    let mut project = small_project();
    project.budget.clear();
    project.targets.clear();
    project.plots.clear();
    project.tallies.clear();
    project.stems.clear();
    project.slopes.clear();
    project.works.clear();
    project.spending.clear();
    project.photo_points.clear();
    project.features.clear();
    project.plantings.clear();
    project
}

/// A picture for every photo: a slope under a sky, some of them upright.
pub(super) fn pictures(project: &Project) -> Vec<PrintPicture> {
    let draw = |n: usize, path: &Arc<str>| {
        let (width, height) = if n % 3 == 1 { (480, 640) } else { (640, 480) };
        let picture = image::RgbImage::from_fn(width, height, |x, y| {
            let slope = height / 3 + (x * 7 / 20 + (x / 9 % 5)) * height / width;
            let shade = ((x * 13 + y * 29) % 23) as u8;
            if y < slope {
                image::Rgb([196, 212, 224 - shade / 3])
            } else {
                image::Rgb([96 + shade, 118 + shade + n as u8 * 8, 70])
            }
        });
        let mut jpeg = Vec::new();
        let encoder = image::codecs::jpeg::JpegEncoder::new_with_quality(&mut jpeg, 80);
        picture.write_with_encoder(encoder).unwrap();
        PrintPicture { path: Arc::clone(path), jpeg: jpeg.into(), width, height }
    };
    project.photos.iter().enumerate().map(|(n, photo)| draw(n, &photo.path)).collect()
}
