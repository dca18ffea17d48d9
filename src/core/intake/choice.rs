//! Which file of the folder holds a table or a layer.

use crate::{
    intake::{
        could_be::likeliest,
        folder::Folder,
        mapped::Pattern,
        mapping::Mapping,
        nearest::{folded, nearest, same},
        records::LAYOUTS,
        table::is_workbook,
    },
    problem::{Kind, Place, Problem, Reading},
    project::given_in_field,
};

/// Something that a file holds.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wanted {
    /// Its name, by which its file is called.
    pub(crate) name: &'static str,
    /// Endings that are read.
    pub(crate) read: &'static [&'static str],
    /// Endings that people would use too, and that are not read.
    pub(crate) known: &'static [&'static str],
}

/// Endings of layers.
const LAYERS: &[&str] = &["geojson", "json", "shp", "zip", "kml", "kmz", "gpx"];

impl Wanted {
    /// A table; the photo points may be a layer instead.
    pub(crate) fn table(name: &'static str) -> Wanted {
        let read: &[&str] = match name {
            "photopoints" => &[
                "csv", "tsv", "txt", "xlsx", "xlsm", "ods", "geojson", "json", "shp", "zip", "kml", "kmz",
                "gpx",
            ],
            _ => &["csv", "tsv", "txt", "xlsx", "xlsm", "ods"],
        };
        Wanted { name, read, known: &["xls", "xlsb", "numbers"] }
    }

    /// A layer of shapes.
    pub(crate) fn layer(name: &'static str) -> Wanted {
        Wanted { name, read: LAYERS, known: &["gpkg", "gdb", "tab", "mif", "dxf"] }
    }

    /// The terrain model.
    pub(crate) fn terrain() -> Wanted {
        let known = &["img", "dem", "xyz", "las", "laz", "vrt", "jp2", "hgt", "dt2", "zip"];
        Wanted { name: "terrain", read: &["tif", "tiff", "asc"], known }
    }

    /// The file to read: the one that the mapping names, else the one in the folder itself that bears the name.
    pub(crate) fn file(
        self,
        folder: &Folder,
        mapping: Option<&Mapping>,
        problems: &mut Vec<Problem>,
    ) -> Option<String> {
        self.files(folder, mapping, problems).into_iter().next()
    }

    /// The files to read, one after another: those that the mapping names, by a pattern in order of their names, else the one in the
    /// folder itself that bears the name.
    pub(crate) fn files(
        self,
        folder: &Folder,
        mapping: Option<&Mapping>,
        problems: &mut Vec<Problem>,
    ) -> Vec<String> {
        let named = mapping.map(|mapping| mapping.files.as_slice()).unwrap_or_default();
        let books = || {
            field_books(folder).filter(|book| given_in_field(self.name).is_some() && !named.contains(book))
        };
        if named.is_empty() {
            return self.by_name(folder, problems).into_iter().chain(books().cloned()).collect();
        }
        let setting = || Place::file("project.toml").column(format!("tables.{}.file", self.name));
        let mut files: Vec<String> = Vec::new();
        for named in named {
            let found = self.named(folder, named);
            if found.is_empty() {
                problems.push(Problem::new(absent(folder, named), setting()));
            }
            for file in found {
                if !has_ending(&file, self.read) {
                    let kind = Reading::FormatNotRead { table: self.name, file };
                    problems.push(Problem::new(kind, setting()));
                } else if !files.contains(&file) {
                    files.push(file);
                }
            }
        }
        files.extend(books().cloned());
        files
    }

    /// The files that the mapping means by `named`: of a pattern those that are read.
    fn named(self, folder: &Folder, named: &str) -> Vec<String> {
        let files = folder.files();
        if named.contains('*') {
            let pattern = Pattern::of(named);
            let parts = |path: &str| path.matches('/').count();
            let fits = |file: &&String| {
                pattern.found(file).is_some() && parts(file) == parts(named) && has_ending(file, self.read)
            };
            return files.iter().filter(fits).cloned().collect();
        }
        let same = files.iter().find(|file| *file == named);
        same.or_else(|| files.iter().find(|file| self::same(file, named))).cloned().into_iter().collect()
    }

    fn by_name(self, folder: &Folder, problems: &mut Vec<Problem>) -> Option<String> {
        let called = |file: &&String| stem(file).is_some_and(|stem| same(stem, self.name));
        let called: Vec<&String> = folder.files().iter().filter(called).collect();
        let of =
            |endings| called.iter().copied().filter(|file| has_ending(file, endings)).collect::<Vec<_>>();
        match (&of(self.read)[..], &of(self.known)[..]) {
            ([], []) => None,
            ([file], []) => Some((*file).clone()),
            ([], [file, ..]) => {
                let kind = Reading::FormatNotRead { table: self.name, file: (*file).clone() };
                problems.push(Problem::new(kind, Place::file(file.as_str())));
                None
            }
            (read, known) => {
                let files: Vec<String> = read.iter().chain(known).map(|file| (*file).clone()).collect();
                let place = Place::file(files[0].as_str());
                problems.push(Problem::new(Reading::TwoFilesForOne { table: self.name, files }, place));
                None
            }
        }
    }

    /// The problem that there is no such file, with the files of the folder that it could be.
    pub(crate) fn missing(self, folder: &Folder, because: &str) -> Problem {
        let like = |file: &&String| {
            !file.contains('/')
                && (has_ending(file, self.read) || has_ending(file, self.known))
                && !bears_a_name(file)
        };
        let found = folder.files().iter().filter(like).cloned().collect();
        let (likely, found) = likeliest(folder, self.name, found);
        let file = format!("{}.{}", self.name, self.read[0]);
        Problem::new(
            Reading::FileMissing {
                wanted: format!("{file}{because}"),
                table: likely.then_some(self.name),
                found,
            },
            Place::file(file),
        )
    }
}

/// Workbooks of field sheets in the folder itself, by their name.
fn field_books(folder: &Folder) -> impl Iterator<Item = &String> {
    folder.files().iter().filter(|file| is_field_book(file))
}

/// Whether the file at `path` is a field book that was filled in: `hillfolio sheets` writes it under such a name.
pub(crate) fn is_field_book(path: &str) -> bool {
    let name = folded(path).replace(['-', '_'], " ");
    name.starts_with("field book") && !path.contains('/') && is_workbook(path)
}

/// Whether rows at `path`, a sheet of a workbook, stand in a field book.
pub(crate) fn is_in_field_book(path: &str) -> bool {
    is_field_book(path.split('[').next().unwrap_or_default())
}

/// Whether the file is called as a table, a layer or the terrain is.
pub(crate) fn bears_a_name(file: &str) -> bool {
    let others = ["areas", "features", "terrain"];
    let mut names = LAYOUTS.iter().map(|layout| layout.table).chain(others);
    stem(file).is_some_and(|stem| names.any(|name| same(stem, name)))
}

/// Why a file that the settings name can't be had.
fn absent(folder: &Folder, named: &str) -> Kind {
    match folder.bytes(named).map_err(|problem| problem.kind) {
        Err(leaves @ Kind::Reading(Reading::PathLeavesFolder { .. })) => leaves,
        _ => {
            let near = nearest(named, folder.files().iter().map(String::as_str));
            let wanted = format!("file called `{named}`");
            Reading::FileMissing { wanted, table: None, found: near.into_iter().collect() }.into()
        }
    }
}

/// Whether the file at `path` is a layer by its ending.
pub(crate) fn is_layer(path: &str) -> bool {
    has_ending(path, LAYERS)
}

/// Whether the file ends as one of `endings`.
pub(crate) fn has_ending(file: &str, endings: &[&str]) -> bool {
    let ending = file.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase());
    ending.is_some_and(|ending| endings.contains(&ending.as_str()))
}

/// The path without its ending.
fn stem(file: &str) -> Option<&str> {
    file.rsplit_once('.').map(|(stem, _)| stem)
}
