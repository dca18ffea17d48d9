//! Folders with shares of species, read and planned: every species has its share of all stems, exact to a stem, whatever the pattern,
//! the ground and the stock to hand.

use std::{collections::BTreeMap, fs, path::Path};

use hillfolio_core::{
    intake::{self, Folder},
    plan::{Plan, make},
    project::Project,
};

/// One folder: settings under `[rows]`, the stock table, what is marked of its two areas, rows of the species table.
struct Case {
    name: &'static str,
    rows: &'static str,
    stock: &'static [(&'static str, f64)],
    marks: [&'static str; 2],
    species: &'static str,
}

const PLAIN: [&str; 2] = ["", ""];

const FOLDERS: [Case; 10] = [
    Case {
        name: "two halves, no pattern",
        rows: "",
        stock: &[("Acacia melanoxylon", 50.0), ("Eucalyptus tereticornis", 50.0)],
        marks: PLAIN,
        species: "",
    },
    Case {
        name: "a pattern that the shares fill exactly",
        rows: "pattern = [\"pioneer\", \"pioneer\", \"secondary\", \"pioneer\"]",
        stock: &[("Acacia melanoxylon", 45.0), ("Acacia implexa", 30.0), ("Lophostemon confertus", 25.0)],
        marks: PLAIN,
        species: "",
    },
    Case {
        name: "thirds written as whole per cents",
        rows: "pattern = [\"pioneer\", \"secondary\", \"late\"]",
        stock: &[("Acacia implexa", 34.0), ("Lophostemon confertus", 33.0), ("Ficus macrophylla", 33.0)],
        marks: PLAIN,
        species: "",
    },
    Case {
        name: "eleven in a hundred of one species beside a pattern of halves",
        rows: "pattern = [\"pioneer\", \"secondary\"]",
        stock: &[("Acacia melanoxylon", 39.0), ("Acacia implexa", 11.0), ("Lophostemon confertus", 50.0)],
        marks: PLAIN,
        species: "",
    },
    Case {
        name: "many small shares that add up to no round number",
        rows: "",
        stock: &[
            ("Acacia melanoxylon", 7.3),
            ("Acacia implexa", 0.4),
            ("Lophostemon confertus", 2.9),
            ("Ficus macrophylla", 1.1),
            ("Eucalyptus tereticornis", 5.7),
            ("Casuarina cunninghamiana", 3.3),
            ("Melia azedarach", 0.9),
        ],
        marks: PLAIN,
        species: "",
    },
    Case {
        name: "a frosty area, and a species that frost kills",
        rows: "",
        stock: &[("Acacia melanoxylon", 70.0), ("Acacia disparrima", 30.0)],
        marks: ["\"frosty\":true,", ""],
        species: "",
    },
    Case {
        name: "frosty and wet ground with a pattern by names",
        rows: "pattern = [\"Acacia melanoxylon\", \"Casuarina cunninghamiana\", \"Angophora floribunda\"]",
        stock: &[
            ("Acacia melanoxylon", 33.0),
            ("Casuarina cunninghamiana", 34.0),
            ("Angophora floribunda", 33.0),
        ],
        marks: ["\"frosty\":true,", "\"waterlogged\":true,"],
        species: "",
    },
    Case {
        name: "edges planted with the first word",
        rows: "pattern = [\"pioneer\", \"late\"]\nexposed_m = 8",
        stock: &[("Acacia melanoxylon", 62.0), ("Ficus macrophylla", 38.0)],
        marks: PLAIN,
        species: "",
    },
    Case {
        name: "a species of the folder's own, called by its form",
        rows: "pattern = [\"tree\", \"tree\", \"tree\", \"sedge\"]",
        stock: &[("Acacia melanoxylon", 75.0), ("Carex appressa", 25.0)],
        marks: PLAIN,
        species: "Carex appressa,sedge,",
    },
    Case {
        name: "one stem in a thousand",
        rows: "stagger = false",
        stock: &[("Acacia melanoxylon", 999.0), ("Ficus macrophylla", 1.0)],
        marks: PLAIN,
        species: "",
    },
];

/// Two fields of 180 × 110 m and one that is planted, a guide line beside each, and a model of no ground.
fn write(case: &Case, to: &Path) {
    let put = |file: &str, text: String| fs::write(to.join(file), text).unwrap();
    put(
        "project.toml",
        format!(
            "[project]\nname = \"Ten\"\nreference = \"T\"\nlandholder = \"Nobody\"\nlocality = \"Nowhere\"\ncurrency = \"AUD\"\n\
             coordinates = \"EPSG:7855\"\n[period]\nfrom = 2025-07-01\nto = 2026-06-30\n[rows]\nspacing_m = 3.7\n\
             stem_spacing_m = 1.9\n{}\n",
            case.rows
        ),
    );
    let field = |area: &str, mark: &str, south: f64| {
        let north = south + 0.001;
        format!(
            "{{\"type\":\"Feature\",\"properties\":{{{mark}\"area\":\"{area}\"}},\"geometry\":{{\"type\":\"Polygon\",\"coordinates\":\
             [[[148.0,{south}],[148.002,{south}],[148.002,{north}],[148.0,{north}],[148.0,{south}]]]}}}}"
        )
    };
    let areas = [
        field("Upper", case.marks[0], -36.0),
        field("Lower", case.marks[1], -36.003),
        field("Old", "", -36.006),
    ];
    put("areas.geojson", format!("{{\"type\":\"FeatureCollection\",\"features\":[{}]}}", areas.join(",")));
    let lines = [-35.9995, -36.0025].map(|at| {
        format!(
            "{{\"type\":\"Feature\",\"properties\":{{\"kind\":\"guide line\"}},\"geometry\":{{\"type\":\"LineString\",\
             \"coordinates\":[[148.0001,{at}],[148.0019,{at}]]}}}}"
        )
    });
    put("features.geojson", format!("{{\"type\":\"FeatureCollection\",\"features\":[{}]}}", lines.join(",")));
    put("plantings.csv", "date,area,species,stems\n2025-08-01,Old,Acacia melanoxylon,400\n".to_owned());
    let stock: String = case.stock.iter().map(|(species, share)| format!("{species},{share}\n")).collect();
    put("stock.csv", format!("species,share\n{stock}"));
    if !case.species.is_empty() {
        put("species.csv", format!("species,form,role\n{}\n", case.species));
    }
}

fn read(case: &Case) -> Project {
    let place = tempfile::tempdir().unwrap();
    write(case, place.path());
    let read = intake::read(&Folder::open(place.path()).unwrap(), &|_| true);
    read.unwrap_or_else(|errors| panic!("{}: {errors:?}", case.name)).project
}

/// Shares made whole by hand: rounded down, and what is left goes one by one to the largest remainders (common practice, as votes are
/// made seats: Balinski and Young 2001).
fn whole(total: usize, shares: &[(&str, f64)]) -> BTreeMap<String, usize> {
    let sum: f64 = shares.iter().map(|(_, share)| share).sum();
    let exact: Vec<f64> = shares.iter().map(|(_, share)| total as f64 * share / sum).collect();
    let mut stems: Vec<usize> = exact.iter().map(|stems| stems.floor() as usize).collect();
    while stems.iter().sum::<usize>() < total {
        let behind = |at: &usize| exact[*at] - stems[*at] as f64;
        let next = (0..stems.len()).rev().max_by(|one, other| behind(one).total_cmp(&behind(other))).unwrap();
        stems[next] += 1;
    }
    shares.iter().map(|(species, _)| (*species).to_owned()).zip(stems).collect()
}

fn placed(plan: &Plan) -> BTreeMap<String, usize> {
    let mut placed = BTreeMap::new();
    for species in plan.areas.iter().flat_map(|area| &area.species) {
        *placed.entry(species.as_ref().unwrap().to_string()).or_insert(0) += 1;
    }
    placed
}

#[test]
fn shares_come_out_exact_to_a_stem_in_ten_folders() {
    for case in &FOLDERS {
        let project = read(case);
        let plan = make(&project).unwrap();
        let stems = plan.stems().0 as usize;
        assert!(stems > 2_000, "{}: {stems} stems", case.name);
        assert_eq!(placed(&plan), whole(stems, case.stock), "{}", case.name);
        let assignment = plan.assignment.as_ref().unwrap();
        assert!(assignment.shortfalls.is_empty(), "{}", case.name);
        for (area, mark) in plan.areas.iter().zip(case.marks) {
            let killed = area.species.iter().flatten().filter(|species| &*species.0 == "Acacia disparrima");
            assert!(!mark.contains("frosty") || killed.count() == 0, "{}", case.name);
        }
    }
}
