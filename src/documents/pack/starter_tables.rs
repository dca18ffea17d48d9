//! What the starter's README tells of each table: its columns as they are declared, those that must be there first.

use std::fmt::Write as _;

use hillfolio_core::project::Project;

/// How wide a line is, and where columns begin in it.
const WIDTH: usize = 118;
const INDENT: usize = 14;

/// Words behind a column, where its name does not say enough.
const GLOSSES: &[(&str, &str, &str)] = &[
    ("plantings", "stock", "tubestock, seedling tray, direct seed, cutting, potted"),
    ("plantings", "replaces", "the batch that an infill replaces"),
    ("plots", "size_m2", "or radius_m, or length_m and width_m"),
    ("plots", "longitude", "with latitude; or easting and northing on the grid in project.toml"),
    ("plots", "measured_on", "plan or slope"),
    ("plots", "stratum", "with its size in stratum_stems or stratum_ha"),
    ("tallies", "recruits", "self-sown"),
    ("tallies", "planted", "the rest of it is dead"),
    ("tallies", "status", "where each row is a plant"),
    ("tallies", "cohort", "year of planting"),
    ("stems", "height_m", "or height_cm"),
    ("stems", "diameter_at", "base or breast"),
    ("stems", "status", "alive, dead, missing"),
    ("cover", "layer", "canopy, shrub, ground"),
    ("cover", "cover", "native grass, weed, litter, bare and so on"),
    ("cover", "percent", "or hits and points, or class, or intercept_m with line_m"),
    ("cover", "class", "of the scale in project.toml"),
    ("cover", "intercept_m", "each stretch of a line that the cover takes, 0 where it takes none"),
    ("cover", "line_m", "the line's length; else the plot's length_m"),
    ("cover", "line", "its name, where a plot has several"),
    ("cover", "height_m", "of the layer's underside"),
    ("rain", "mm", "empty: not read; 0: dry"),
    ("rain", "days", "how many days the reading covers"),
    ("slopes", "slope_deg", "or slope_percent"),
    ("works", "hours", "each person's"),
    ("works", "basis", "paid, volunteer, in kind"),
    ("spending", "amount", "as on the receipt, tax included"),
    ("spending", "tax", "the tax in it"),
    ("spending", "in_kind", "yes for gifts that no money was paid for"),
    ("spending", "money_in", "a bank's credits: no spending"),
    ("commitments", "words", "what is asked"),
    ("commitments", "status", "compliant, non-compliant, not yet due, not applicable"),
    ("commitments", "target", "the id of the target that decides, in the place of a status"),
    ("actions", "occasion", "trigger, non-conformance, incident, change"),
    ("sightings", "sensitive", "yes: the place stays in your folder"),
    ("photopoints", "bearing_deg", "which way the camera looks"),
    ("photos", "file", "only pictures whose name does not tell, or that want a caption"),
    ("stock", "share", "of the stems of the plan"),
    ("stock", "in_hand", "plants you have"),
    ("species", "group", "yes: the name stands for several"),
];

/// The tables, a paragraph each.
pub(super) fn told() -> String {
    let mut text = String::new();
    for table in Project::default().tables() {
        let column = |name: &str| {
            let gloss = GLOSSES.iter().find(|(of, column, _)| *of == table.name && *column == name);
            gloss.map_or_else(|| name.to_owned(), |(.., words)| format!("{name} ({words})"))
        };
        let of = |needed: bool| {
            let heads = table.heads.iter().filter(|head| head.needed == needed);
            heads.map(|head| column(head.name)).collect::<Vec<_>>().join(", ")
        };
        let columns = format!("{}; {}", of(true), of(false));
        let mut line = format!("{:<INDENT$}", table.name);
        for word in columns.split(' ') {
            if line.chars().count() + word.chars().count() > WIDTH {
                let _ = writeln!(text, "{}", line.trim_end());
                line = " ".repeat(INDENT);
            }
            line.push_str(word);
            line.push(' ');
        }
        let _ = writeln!(text, "{}", line.trim_end());
    }
    text.trim_end().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_gloss_is_of_a_column() {
        let tables = Project::default();
        let tables = tables.tables();
        for (table, column, _) in GLOSSES {
            let known = tables.iter().find(|known| known.name == *table).unwrap();
            assert!(known.heads.iter().any(|head| head.name == *column), "{table} has no {column}");
        }
        assert!(told().lines().all(|line| line.chars().count() <= WIDTH));
    }

    #[test]
    fn the_starter_has_the_columns_that_are_declared() {
        let project = Project::default();
        let tables = project.tables();
        for (path, bytes) in crate::pack::starter().iter().filter(|(path, _)| path.ends_with(".csv")) {
            let table = tables.iter().find(|table| *path == format!("{}.csv", table.name)).unwrap();
            let text = std::str::from_utf8(bytes).unwrap();
            let head = text.lines().find(|line| !line.starts_with('"')).unwrap();
            let columns: Vec<&str> = head.split(',').collect();
            // A length may be named in centimetres.
            let declared = |column: &str| {
                let other = column.strip_suffix("_cm").map(|stem| format!("{stem}_m"));
                table.heads.iter().any(|head| head.name == column || Some(head.name) == other.as_deref())
            };
            assert!(columns.iter().all(|column| declared(column)), "{path}: {columns:?}");
            let needed = table.heads.iter().filter(|head| head.needed);
            assert!(needed.into_iter().all(|head| columns.contains(&head.name)), "{path}: {columns:?}");
        }
    }
}
