//! The whole folder, put together: who reads what, in which order, and what may refer to what.

use std::{
    collections::{BTreeMap, BTreeSet},
    sync::Arc,
};

use crate::{
    geometry::{Datum, Grid},
    intake::{
        Intake, agreements,
        beside::goes_with,
        called_otherwise, checks,
        choice::{Wanted, is_layer},
        could_be,
        folder::Folder,
        forms,
        glyphs::{self, Printable},
        ids::Ids,
        layers,
        mapping::Mapping,
        narrative,
        opened::{self, Tables},
        photos,
        reader::Reader,
        receipts,
        records::{self, Known},
        settings::{self, Settings},
        sheets_left,
        species_names::SpeciesNames,
        table::{Table, is_workbook},
        terrain,
    },
    problem::{self, Evidence, Grade, Ground, Kind, Place, Plausibility, Problem, Reading, Records},
    project::{
        Agreement, Area, Feature, Photo, PhotoPoint, Project, Sighting, SpeciesList, TableRow, Target,
        refused_by_windows,
    },
    sharing::as_at_the_end,
};

/// The file of the settings.
pub const SETTINGS: &str = "project.toml";

/// Folders whose files are read, or looked for, by name.
const EVIDENCE: [&str; 3] = ["photos/", "receipts/", forms::FORMS];

/// Reads and checks the whole folder; `printable` says which characters the documents' fonts hold.
///
/// # Errors
/// Everything that is wrong, said at once, as soon as one of it is an error.
pub fn read(folder: &Folder, printable: Printable<'_>) -> Result<Intake, Vec<Problem>> {
    let mut problems = folder.refused().to_vec();
    let mut withheld = BTreeMap::new();
    let project = project(folder, printable, &mut withheld, &mut problems);
    problem::list(&mut problems);
    // A parser that stumbles over one place says so more than once.
    let about =
        |problem: &Problem| (problem.place.path.clone(), problem.place.row, problem.place.column.clone());
    problems.dedup_by(|one, other| one.kind == other.kind && about(one) == about(other));
    match project {
        Some(project) if problems.iter().all(|problem| problem.grade() != Grade::Error) => {
            Ok(Intake { project, problems, withheld })
        }
        _ => Err(problems),
    }
}

/// What could be read of the project, of whose faults nothing is said.
pub(crate) fn as_far_as_read(folder: &Folder, printable: Printable<'_>) -> Option<Project> {
    project(folder, printable, &mut BTreeMap::new(), &mut Vec::new())
}

/// What could be read of the project; `None` only where the settings are not even TOML, so that no mapping is known.
fn project(
    folder: &Folder,
    printable: Printable<'_>,
    withheld: &mut BTreeMap<Arc<str>, Vec<u8>>,
    problems: &mut Vec<Problem>,
) -> Option<Project> {
    let reader = Reader::of(folder);
    let settings = settings(folder, &reader, printable, problems)?;
    let layers = layers(folder, &reader, &settings, printable, problems);
    let grid = settings.identity.grid;
    let mapping = settings.tables.get("terrain");
    let of_agreements = settings.agreements.iter().flat_map(|agreement| agreement.budget_lines());
    let budget: Vec<String> =
        settings.budget.iter().map(|line| &line.line).chain(of_agreements).cloned().collect();
    let ((ground, of_ground), (tables, of_tables)) = rayon::join(
        || saying(|problems| terrain::ground(folder, &reader, mapping, grid, &layers.areas, problems)),
        || {
            saying(|problems| {
                opened::tables(folder, &reader, (&settings.tables, &budget), printable, problems)
            })
        },
    );
    problems.extend(of_ground.into_iter().chain(of_tables));
    sheets_left::doubt(folder, &tables, &settings.tables, problems);
    need(folder, &settings, &tables, problems);

    let table = |name: &str| tables.get(name);
    // Rain, the longest table of many folders, has to do with none of the names.
    let ((rain, of_rain), (species, known, narrative, (agreements, targets))) = rayon::join(
        || saying(|problems| table("rain").map(|table| records::rain::read(table, problems))),
        || {
            let mut species = records::species::built_in();
            if let Some(table) = table("species") {
                records::species::read(table, &mut species, problems);
            }
            let targets = settings::targets(&settings, &layers.areas, &species, problems);
            let agreements = settings::agreements(&settings.agreements, &layers.areas, &species, problems);
            // Rows may name any target, whichever agreement it stands in.
            let of_agreements = agreements.iter().flat_map(|agreement| agreement.targets.iter().cloned());
            let named = targets.iter().cloned().chain(of_agreements).collect();
            let known = known(&settings, &layers, &tables, &species, (named, &agreements), problems);
            let narrative = narrative::chapters(folder, &reader, printable, problems);
            (species, known, narrative, (agreements, targets))
        },
    );
    problems.extend(of_rain);

    let scale: Vec<_> = settings.cover_scale.into_iter().map(Arc::new).collect();
    let mut project = Project {
        identity: settings.identity,
        period: settings.period,
        statistics: settings.statistics,
        approval: settings.approval,
        agreements,
        sharing: settings.sharing,
        own_cash: settings.own_cash,
        whole_inputs: settings.whole_inputs,
        originals: settings.originals,
        other_sources: settings.other_sources,
        not_charged: settings.not_charged,
        asset_shares: settings.asset_shares,
        money: settings.money,
        climate: settings.climate,
        soil: settings.soil,
        cover_before: settings.cover_before,
        carbon: settings.carbon,
        slope_classes: settings.slope_classes,
        design: settings.design,
        nursery: settings.nursery,
        crew: settings.crew,
        budget: settings.budget,
        areas: layers.areas,
        features: layers.features,
        species,
        rain: rain.unwrap_or_default(),
        ground,
        narrative,
        ..Project::default()
    };
    records::fill(&mut project, &tables, &known, &scale, problems);
    called_otherwise::say(folder, &reader, (grid, settings.tables.get("areas")), &project, problems);
    if let Some(table) = table(Sighting::TABLE) {
        withhold(table, &project.sightings, &reader, withheld, problems);
    }
    if table(PhotoPoint::TABLE).is_none() {
        let mapping = settings.tables.get(PhotoPoint::TABLE);
        project.photo_points = photo_layer(folder, &reader, (grid, mapping), (&known, printable), problems);
    }
    let photo_rows: Vec<_> =
        tables.each(Photo::TABLE).flat_map(|table| records::photos::read(table, &known, problems)).collect();
    project.targets = targets;
    settings::aged(&mut project.targets, &project.plantings);
    for agreement in &mut project.agreements {
        settings::aged(&mut agreement.targets, &project.plantings);
    }
    let bytes = |path: &str| folder.bytes(path);
    let site = photos::Site { points: &project.photo_points, areas: &project.areas, rules: settings.photos };
    let (photos, pictures) = photos::photos(folder.files(), &bytes, site, &photo_rows, problems);
    project.photos = photos;
    narrative::find_pictures(&mut project.narrative, &project.photos, problems);
    project.receipts = receipts::kept(&project.spending, folder, problems);
    project.inputs = reader.inputs();
    project.inputs.extend(pictures);
    project.inputs.extend(forms::kept(folder, problems));
    project.inputs.sort_by(|one, other| one.path.cmp(&other.path));
    for input in &project.inputs {
        let refused = refused_by_windows(&input.path);
        let of_file = |why| Problem::new(Reading::NameRefusedElsewhere { why }, Place::file(&*input.path));
        problems.extend(refused.map(of_file));
    }
    let read: Vec<&str> = project.inputs.iter().map(|input| &*input.path).collect();
    unused(folder, &settings.tables, &read, problems);
    let project = agreements::of_place(project, problems);
    check(&project, folder, problems);
    tables.show(problems);
    // Days beyond the period's end have had their word above.
    Some(if project.only_agreement().is_some() { as_at_the_end(project) } else { project })
}

/// Takes the places of sensitive sightings out of the copy of their table that leaves the folder.
fn withhold(
    table: &Table,
    sightings: &[Sighting],
    reader: &Reader<'_>,
    withheld: &mut BTreeMap<Arc<str>, Vec<u8>>,
    problems: &mut Vec<Problem>,
) {
    let Some(copy) = records::sightings::open_copy(table, sightings) else { return };
    // Of a workbook no part can be left behind, and of rows that are laid out anew none is told from another.
    if is_workbook(&table.path) || table.mapping.reshapes() {
        let place = Place { path: Arc::clone(&table.path), ..Place::default() };
        problems.push(Problem::new(Reading::SensitiveInWorkbook, place));
    }
    reader.leaves_as(&table.path, &copy);
    withheld.insert(Arc::clone(&table.path), copy);
}

/// What `read` gives, with what it says.
fn saying<T>(read: impl FnOnce(&mut Vec<Problem>) -> T) -> (T, Vec<Problem>) {
    let mut problems = Vec::new();
    (read(&mut problems), problems)
}

fn settings(
    folder: &Folder,
    reader: &Reader<'_>,
    printable: Printable<'_>,
    problems: &mut Vec<Problem>,
) -> Option<Settings> {
    if !folder.files().iter().any(|file| file == SETTINGS) {
        let found = folder.files().iter().filter(|file| file.ends_with(".toml")).cloned().collect();
        let kind = Reading::FileMissing { wanted: SETTINGS.to_owned(), table: None, found };
        problems.push(Problem::new(kind, Place::file(SETTINGS)));
        // Without settings there is no mapping either: the tables are read by their own names.
        return settings::read("", &mut Vec::new());
    }
    let text = reader.text(SETTINGS, problems)?;
    let settings = settings::read(&text, problems)?;
    glyphs::doubt_settings(SETTINGS, &text, printable, problems);
    Some(settings)
}

/// The shapes of the site.
struct Layers {
    areas: Vec<Area>,
    /// Whether every area in the file was understood.
    complete: bool,
    features: Vec<Feature>,
}

fn layers(
    folder: &Folder,
    reader: &Reader<'_>,
    settings: &Settings,
    printable: Printable<'_>,
    problems: &mut Vec<Problem>,
) -> Layers {
    let as_named = Mapping::default();
    let said = problems.len();
    let grid = settings.identity.grid;
    let datum = datum(grid);
    let open = |name, problems: &mut Vec<Problem>| {
        let mapping = settings.tables.get(name);
        let paths = Wanted::layer(name).files(folder, mapping, problems);
        let layer = |path: &String| layers::open(path, grid, folder, reader, problems);
        let layers: Vec<_> = paths.iter().filter_map(layer).collect();
        (layers, mapping.unwrap_or(&as_named))
    };
    let (drawn, mapping) = open("areas", problems);
    let none = drawn.is_empty();
    let (mut areas, mut among) = (Vec::new(), Vec::new());
    for layer in drawn {
        let before = areas.len();
        let features = layers::areas(&layer, datum, mapping, &mut areas, problems);
        reader.rows(&layer.path, areas.len() - before + features.len());
        among.extend(features);
    }
    if none && problems.len() == said {
        problems.push(Wanted::layer("areas").missing(folder, ", the boundaries of the planting areas"));
    }
    place_crs("areas", &mut problems[said..]);
    let complete = !none && problems[said..].iter().all(|problem| problem.grade() != Grade::Error);
    let (drawn, mapping) = open("features", problems);
    for layer in drawn {
        let features = layers::features(&layer, datum, mapping, problems);
        reader.rows(&layer.path, features.len());
        among.extend(features);
    }
    place_crs("features", &mut problems[said..]);
    let layers = Layers { areas, complete, features: among };
    for area in &layers.areas {
        let place = |column: &str| Place::row(&area.source).column(column);
        glyphs::doubt(&area.id.0, printable, || place("area"), problems);
        glyphs::doubt(area.note.as_deref().unwrap_or_default(), printable, || place("note"), problems);
    }
    for feature in &layers.features {
        let place = || Place::row(&feature.source).column("name");
        glyphs::doubt(feature.name.as_deref().unwrap_or_default(), printable, place, problems);
    }
    layers
}

/// Tells of coordinate reference systems that are not read in whose section the line belongs that names one.
fn place_crs(name: &'static str, problems: &mut [Problem]) {
    for problem in problems {
        if let Kind::Ground(Ground::CrsNotRead { table: table @ None, .. }) = &mut problem.kind {
            *table = Some(name);
        }
    }
}

/// The photo points, where they are a layer and no table.
fn photo_layer(
    folder: &Folder,
    reader: &Reader<'_>,
    (grid, mapping): (Option<u16>, Option<&Mapping>),
    (known, printable): (&Known, Printable<'_>),
    problems: &mut Vec<Problem>,
) -> Vec<PhotoPoint> {
    let as_named = Mapping::default();
    // What is wrong with the choice of the file was said when the tables were opened.
    let path = Wanted::table("photopoints").file(folder, mapping, &mut Vec::new());
    let path = path.filter(|path| is_layer(path));
    let Some(layer) = path.and_then(|path| layers::open(&path, grid, folder, reader, problems)) else {
        return Vec::new();
    };
    let said = problems.len();
    let points = layers::photo_points(&layer, datum(grid), mapping.unwrap_or(&as_named), known, problems);
    place_crs(PhotoPoint::TABLE, &mut problems[said..]);
    reader.rows(&layer.path, points.len());
    for point in &points {
        let place = |column: &str| Place::row(&point.source).column(column);
        glyphs::doubt(&point.id, printable, || place("photopoint"), problems);
        glyphs::doubt(point.about.as_deref().unwrap_or_default(), printable, || place("about"), problems);
    }
    points
}

/// The datum of the project's grid.
fn datum(grid: Option<u16>) -> Datum {
    grid.and_then(Grid::of_epsg).map_or(Datum::Wgs84, |grid| Datum::named(grid.datum()))
}

/// Says which tables must be there and are not, unless what is wrong with them was said already.
fn need(folder: &Folder, settings: &Settings, tables: &Tables, problems: &mut Vec<Problem>) {
    // An agreement may pay for a fence alone: its part of a place has no plantings then.
    let mut needed = if settings.originals.is_empty() { vec![("plantings", "")] } else { Vec::new() };
    if ["tallies", "stems", "cover"].iter().any(|table| tables.holds(table)) {
        needed.push(("plots", ", which the survey tables refer to"));
    }
    for (table, because) in needed {
        let wanted = Wanted::table(table);
        // What is there and was not opened has had its error.
        let silent = wanted.file(folder, settings.tables.get(table), &mut Vec::new()).is_none()
            && !problems.iter().any(|problem| problem.grade() == Grade::Error && mentions(problem, table));
        if !tables.holds(table) && silent {
            problems.push(wanted.missing(folder, because));
        }
    }
}

/// Whether a problem is about the file of `table`.
fn mentions(problem: &Problem, table: &str) -> bool {
    let setting = format!("tables.{table}.file");
    problem.place.column.as_deref() == Some(&setting)
        || problem.place.path.rsplit_once('.').is_some_and(|(stem, _)| stem.eq_ignore_ascii_case(table))
}

fn known(
    settings: &Settings,
    layers: &Layers,
    tables: &Tables,
    species: &SpeciesList,
    (targets, agreements): (Vec<Target>, &[Agreement]),
    problems: &mut Vec<Problem>,
) -> Known {
    let plots = tables.get("plots").filter(|plots| plots.position("plot").is_some());
    let names = plots.iter().flat_map(|plots| plots.column("plot"));
    let own = tables.get("species").map(|table| &table.path);
    let faulty = |problem: &Problem| Some(&problem.place.path) == own && problem.grade() == Grade::Error;
    let mut areas = Ids::new("area", layers.areas.iter().map(|area| &*area.id.0), layers.complete);
    let mut plots = Ids::new("plot", names, plots.is_some());
    let mut species = SpeciesNames::of(species, !problems.iter().any(faulty));
    let own = &settings.names;
    let nothing = [
        ("area", areas.named(&own.area), areas.complete),
        ("plot", plots.named(&own.plot), plots.complete),
        ("species", species.named(&own.species), species.complete),
    ];
    for (what, nothing, _) in nothing.into_iter().filter(|(_, _, complete)| *complete) {
        problems.extend(nothing.into_iter().map(|(name, of)| {
            let place = Place::file(SETTINGS).column(format!("names.{what}.{name}"));
            let nearest = match what {
                "area" => areas.nearest(&of),
                "plot" => plots.nearest(&of),
                _ => species.nearest(&of),
            };
            Problem::new(problem::Settings::NameOfNothing { what, of, nearest }, place)
        }));
    }
    Known {
        areas,
        plots,
        species,
        grid: settings.identity.grid.and_then(Grid::of_epsg),
        currency: settings.identity.currency.clone(),
        targets,
        agreements: agreements.iter().map(|agreement| agreement.id.clone()).collect(),
    }
}

/// Remarks on files that no section reads. What was read, has had its problem, or was one of two for the same needs none, and
/// neither does what lies beside it.
fn unused(folder: &Folder, mappings: &BTreeMap<String, Mapping>, read: &[&str], problems: &mut Vec<Problem>) {
    let wanted = ["areas", "features"].map(Wanted::layer).into_iter().chain([Wanted::terrain()]);
    let wanted = wanted.chain(records::LAYOUTS.iter().map(|layout| Wanted::table(layout.table)));
    let files = wanted.flat_map(|wanted| {
        let files = wanted.files(folder, mappings.get(wanted.name), &mut Vec::new());
        files.into_iter().map(move |file| (wanted.name, file))
    });
    let named: Vec<(&str, String)> = files.filter(|(_, file)| read.contains(&file.as_str())).collect();
    let named: Vec<(&str, &str)> = named.iter().map(|(table, file)| (*table, file.as_str())).collect();
    let said = problems.iter().map(|problem| problem.place.path.to_string());
    let twins = problems.iter().filter_map(|problem| match &problem.kind {
        Kind::Reading(Reading::TwoFilesForOne { files, .. }) => Some(files.clone()),
        _ => None,
    });
    let read = read.iter().map(|path| (*path).to_owned());
    // What is proposed for a table that must be there is not proposed for another.
    let proposed = problems.iter().flat_map(|problem| match &problem.kind {
        Kind::Reading(Reading::FileMissing { table: Some(table), found, .. }) => {
            found.iter().filter(|file| could_be::is_likely(folder, file, table)).cloned().collect()
        }
        _ => Vec::new(),
    });
    let known: BTreeSet<String> = read.chain(said).chain(twins.flatten()).chain(proposed).collect();
    let mut not_read = Vec::new();
    for file in folder.files() {
        let looked_for = EVIDENCE.iter().any(|dir| file.starts_with(dir))
            || file.to_lowercase().starts_with("readme")
            || known.contains(file)
            || goes_with(file, known.iter().map(String::as_str));
        if !looked_for {
            not_read.push(file.clone());
        }
    }
    problems.extend(could_be::not_read(folder, not_read, &named));
}

/// Holds the records against one another. Where rows are missing because they were faulty, only errors count: a doubt would
/// be about what was left out.
fn check(project: &Project, folder: &Folder, problems: &mut Vec<Problem>) {
    let faulty = problems.iter().any(|problem| problem.grade() == Grade::Error);
    let mut found = Vec::new();
    checks::run(project, folder.files(), &mut found);
    // Diameters whose heading says that they are girths need no second word for being too large.
    let is_girth =
        |problem: &Problem| matches!(problem.kind, Kind::Plausibility(Plausibility::GirthAsDiameter { .. }));
    let girths = problems.iter().any(is_girth);
    let told = |problem: &Problem| {
        let of_unit = matches!(
            problem.kind,
            Kind::Plausibility(Plausibility::AnotherUnitLikely { what: "diameters", .. })
        );
        girths && of_unit
    };
    // Of a row that is the same as another all has been said: its payment is no second matter.
    let twice = |problem: &&Problem| matches!(problem.kind, Kind::Records(Records::RowTwice { .. }));
    let same: BTreeSet<_> = problems
        .iter()
        .filter(twice)
        .map(|problem| (problem.place.path.to_string(), problem.place.row))
        .collect();
    found.retain(|problem| {
        let of_payment = matches!(problem.kind, Kind::Evidence(Evidence::ReceiptTwice { .. }));
        !of_payment || !same.contains(&(problem.place.path.to_string(), problem.place.row))
    });
    let found = found.into_iter().filter(|problem| !faulty || problem.grade() == Grade::Error);
    problems.extend(found.filter(|problem| !told(problem)));
}
