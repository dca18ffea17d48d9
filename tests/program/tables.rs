//! Every table that is declared: it can be mapped, and the README tells its columns.

use std::{collections::BTreeSet, fs, path::Path};

use hillfolio_core::{
    intake::{self, Folder},
    project::Project,
};

use crate::commands::copy;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn read(folder: &Path) -> Project {
    let folder = Folder::open(folder).unwrap();
    intake::read(&folder, &hillfolio_documents::typeset::printable()).unwrap().project
}

/// How many rows each table has, by its name.
fn counts(project: &Project) -> Vec<(&'static str, usize)> {
    project.tables().into_iter().map(|table| (table.name, table.rows.count())).collect()
}

/// The samples' tables under names of their own, and a mapping for each: the same rows come in.
#[test]
fn every_table_can_live_elsewhere() {
    let mut met = BTreeSet::new();
    for sample in ["ashlar-gap", "brindle-spur"] {
        let dir = tempfile::tempdir().unwrap();
        copy(&root().join("sample-projects").join(sample), dir.path());
        let mut settings = fs::read_to_string(dir.path().join("project.toml")).unwrap();
        for table in Project::default().tables() {
            let own = dir.path().join(format!("{}.csv", table.name));
            if own.is_file() {
                fs::rename(own, dir.path().join(format!("our {} of last year.csv", table.name))).unwrap();
                settings += &format!("\n[tables.{0}]\nfile = \"our {0} of last year.csv\"\n", table.name);
                met.insert(table.name);
            }
        }
        fs::write(dir.path().join("project.toml"), settings).unwrap();
        let (mapped, plain) = (read(dir.path()), read(&root().join("sample-projects").join(sample)));
        assert_eq!(counts(&mapped), counts(&plain), "{sample}");
    }
    // Pictures are found in their folder too, so their table is mapped where a sample has one.
    let missed: Vec<&str> = Project::default()
        .tables()
        .iter()
        .map(|table| table.name)
        .filter(|name| !met.contains(name))
        .collect();
    assert_eq!(missed, ["photos"]);
}

/// The README has a row for every table, which names each of its columns, and marks those that are needed.
#[test]
fn the_readme_tells_every_column() {
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    for table in Project::default().tables() {
        let file = format!("`{}.csv`", table.name);
        let row = readme.lines().find(|line| line.starts_with('|') && line.contains(&file));
        let row = row.unwrap_or_else(|| panic!("the README has no row for {file}"));
        let columns = row.split_once(&file).unwrap().1;
        for head in &table.heads {
            let written = format!("`{}`{}", head.name, if head.needed { "*" } else { "" });
            assert!(columns.contains(&written), "the README does not name {written} of {file}");
        }
        let named = columns
            .split('`')
            .skip(1)
            .step_by(2)
            .filter(|word| word.chars().all(|c| c.is_alphanumeric() || c == '_'));
        for word in named {
            assert!(table.heads.iter().any(|head| head.name == word), "{file} has no column `{word}`");
        }
    }
}
