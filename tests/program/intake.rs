//! Whole folders, read: every trick of real spreadsheets, and everything that is wrong said at once.

use std::{fs, path::Path};

use hillfolio_core::{
    intake::{self, Folder, Intake},
    problem::Problem,
    project::{CoverMeasure, Origin, PlotShape},
};

const PROJECT: &str = r#"
[project]
name = "Brindle Spur"
reference = "BS-2025"
landholder = "The Brindle Spur Trust"
locality = "Upper Tarrow Valley"
coordinates = "EPSG:7855"
currency = "AUD"

[period]
from = 2025-07-01
to = 2026-06-30
"#;

const AREAS: &str = r#"{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"area":"North face"},"geometry":{"type":"Polygon",
 "coordinates":[[[148.0,-36.0],[148.003,-36.0],[148.003,-35.9985],[148.0,-35.9985],[148.0,-36.0]]]}},
{"type":"Feature","properties":{"area":"Gully head"},"geometry":{"type":"Polygon",
 "coordinates":[[[147.9995,-36.0015],[148.002,-36.0015],[148.002,-36.0003],[147.9995,-36.0003],[147.9995,-36.0015]]]}}]}"#;

const PLANTINGS: &str = "date,area,species,stems\n2025-08-20,North face,Acacia melanoxylon,1200\n";

/// A folder that holds `files` beside the three that must be there; a file given again replaces the one that is.
fn folder(files: &[(&str, &[u8])]) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    let needed = [("project.toml", PROJECT), ("areas.geojson", AREAS), ("plantings.csv", PLANTINGS)];
    let needed = needed.iter().map(|&(path, text)| (path, text.as_bytes()));
    for (path, bytes) in needed.chain(files.iter().copied()) {
        let path = dir.path().join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    dir
}

fn read(dir: &Path) -> Result<Intake, Vec<Problem>> {
    intake::read(&Folder::open(dir).unwrap(), &|c| u32::from(c) < 0x2e80)
}

/// Each problem as the console could say it: place, grade, name, sentence, help.
fn said(problems: &[Problem]) -> Vec<String> {
    let line = |problem: &Problem| {
        let (message, place) = (problem.message(), &problem.place);
        let row = place.row.map_or(String::new(), |row| format!(":{row}"));
        let column = place.column.as_ref().map_or(String::new(), |column| format!(":{column}"));
        let help = message.help.map_or(String::new(), |help| format!(" ({help})"));
        format!(
            "{}{row}{column} {} {}: {}{help}",
            place.path,
            message.grade.word(),
            message.code,
            message.sentence
        )
    };
    problems.iter().map(line).collect()
}

fn errors(files: &[(&str, &[u8])]) -> Vec<String> {
    said(&read(folder(files).path()).unwrap_err())
}

#[test]
fn the_least_folder_is_read() {
    let dir = folder(&[]);
    let intake = read(dir.path()).unwrap();
    let project = intake.project;
    assert_eq!(project.identity.name, "Brindle Spur");
    assert_eq!((project.areas.len(), project.plantings.len()), (2, 1));
    assert_eq!((project.plantings[0].stems.0, project.plantings[0].source.row), (1200, 2));
    let inputs: Vec<_> = project.inputs.iter().map(|input| (&*input.path, input.rows)).collect();
    assert_eq!(inputs, [("areas.geojson", Some(2)), ("plantings.csv", Some(1)), ("project.toml", None)]);
}

#[test]
fn a_table_as_a_spreadsheet_of_another_country_saves_it() {
    let plantings = "\
        Planting book 2025;;;;;\r\n\
        ;;;;;\r\n\
        Day planted;Block;Sp.;No.;Remarks;Cost\r\n\
        20.08.2025;north  FACE ;Acacia melanoxylon R.Br.;1.200;\"wet; cold\r\nand windy\";3,20\r\n\
        \r\n\
        3/9/25;Gully head;acacia fimbriata;350;caf\u{e9}\r\n\
        Total;;;1.550;\r\n";
    let plots = "plot;area;length_cm;width_m;easting;northing\nN1;North face;1000,5;2,5;590120,25;6015487\n";
    let mapping = format!(
        "{PROJECT}\n[tables.plantings]\nfile = \"books/Planting book.csv\"\ndates = \"day-first\"\n\
         columns = {{ \"Day planted\" = \"date\", \"Block\" = \"area\", \"Sp.\" = \"species\", \"No.\" = \"stems\", \
         \"Remarks\" = \"note\" }}\n"
    );
    let (latin, _, _) = encoding_rs::WINDOWS_1252.encode(plantings);
    let dir = folder(&[
        ("project.toml", mapping.as_bytes()),
        ("books/Planting book.csv", &latin),
        ("plots.csv", plots.as_bytes()),
    ]);
    fs::remove_file(dir.path().join("plantings.csv")).unwrap();
    let Intake { project, problems, .. } = read(dir.path()).map_err(|problems| said(&problems)).unwrap();
    let rows: Vec<_> = project
        .plantings
        .iter()
        .map(|p| (p.source.row, p.date.to_string(), p.area.to_string(), p.species.to_string(), p.stems.0))
        .collect();
    let row = |row, date: &str, area: &str, species: &str, stems| {
        (row, date.to_owned(), area.to_owned(), species.to_owned(), stems)
    };
    assert_eq!(
        rows,
        [
            row(4, "2025-08-20", "North face", "Acacia melanoxylon", 1200),
            row(6, "2025-09-03", "Gully head", "Acacia fimbriata", 350),
        ]
    );
    assert_eq!(project.plantings[0].note.as_deref(), Some("wet; cold\nand windy"));
    assert_eq!(project.plantings[1].note.as_deref(), Some("café"));
    let PlotShape::Rectangle(length, width) = project.plots[0].shape else { panic!("a rectangle") };
    assert_eq!((length.0, width.0), (10.005, 2.5));
    let position = project.plots[0].position.unwrap();
    assert!((position.x() - 148.0).abs() < 0.01 && (position.y() + 36.0).abs() < 0.01, "{position:?}");
    let said = said(&problems);
    let has = |text: &str| assert!(said.iter().any(|line| line.contains(text)), "{text} in {said:#?}");
    has("books/Planting book.csv:7:Day planted doubt totals-row: `Total 1.550` looks like a row of totals");
    has("books/Planting book.csv:3 remark columns-unused: plantings has no use for the column `Cost`");
    has("books/Planting book.csv remark read-as-windows-1252");
}

#[test]
fn everything_wrong_is_said_at_once_with_its_row_and_the_nearest_right_thing() {
    let plantings = "date,area,species,stems,batch,replaces,stok\n\
        31/4/2025,Nort face,Acacia fimbrata,-5,B1,,\n\
        2025-08-20,North face,A. melanoxylon,12.5,B2,B9,\n\
        2025-08-21,,blackwood,1O,B3,,\n\
        2025-08-22,North face,Acacia fimbriata,\"1,000,001\",B4,,,,extra\n\
        2025-08-23,North face,Acacia fimbriata,1e999,B5,b1,x\n";
    let tallies = "date,plot,species,alive\n2026-05-12,N7,Acacia fimbriata,3\n";
    let plots = "plot,area,radius_m,longitude,latitude\n\
        N1,North face,5.64,148.001,\n\
        n1,North face,,148.001,-36\n\
        N2,North face,NaN,348,-36\n";
    let spending = "date,line,amount,tax,in_kind\n2025-09-01,Fencing,USD 5,,maybe\n";
    let lines = errors(&[
        ("plantings.csv", plantings.as_bytes()),
        ("tallies.csv", tallies.as_bytes()),
        ("plots.csv", plots.as_bytes()),
        ("spending.csv", spending.as_bytes()),
        ("works.csv", b""),
        ("stems.csv", b"when,where\n1,2\n"),
        ("cover.csv", b"date,plot,layer,cover,percent\n"),
        ("slopes.csv", b"area,slope_deg\n\"North face,18\n"),
    ]);
    insta::assert_snapshot!(lines.join("\n"));
}

#[test]
fn a_wrong_folder_says_what_is_missing_and_what_could_be_meant() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("Plantings 2025.csv"), PLANTINGS).unwrap();
    fs::write(dir.path().join("areas.kml"), "<kml/>").unwrap();
    fs::write(dir.path().join("tallies.csv"), "date,plot,species,alive\n2026-05-12,N7,Acacia fimbriata,3\n")
        .unwrap();
    insta::assert_snapshot!(said(&read(dir.path()).unwrap_err()).join("\n"));
}

#[test]
fn no_mapping_leads_out_of_the_folder_or_to_nothing() {
    let mapped = |mapping: &str| {
        let toml = format!("{PROJECT}\n[tables.plantings]\n{mapping}\n");
        errors(&[("project.toml", toml.as_bytes()), ("Log.xlsx", b"PK\x03\x04")]).join("\n")
    };
    let out = mapped("file = \"../other/plantings.csv\"");
    assert!(out.contains("project.toml:tables.plantings.file error path-leaves-folder"), "{out}");
    let typo = mapped("file = \"planting.csv\"");
    assert!(
        typo.contains(
            "error file-missing: there is no file called `planting.csv` (found here: plantings.csv; name the file in project.toml)"
        ),
        "{typo}"
    );
    let sheet = mapped("file = \"Log.xlsx\"");
    assert!(sheet.contains("Log.xlsx error malformed: not valid XLSX or ODS: it is plain text"), "{sheet}");
    let columns = mapped("columns = { \"Stms\" = \"stems\", \"note\" = \"remark\" }");
    assert!(
        columns
            .contains("mapped-column-absent: the table has no column `Stms` to map (did you mean `stems`?)"),
        "{columns}"
    );
    assert!(columns.contains("mapped-to-nothing: plantings has no column `remark` to map onto"), "{columns}");
}

#[test]
fn text_stays_as_typed_and_what_no_font_holds_is_doubted() {
    let notes = "date,area,species,stems,note,provenance\n\
        2025-08-20,North face,Acacia melanoxylon,1200,=1+1 #panic() *x* $ \\,\u{202e}abc\n\
        2025-08-21,North face,Acacia melanoxylon,5,rained 村,\n";
    let dir = folder(&[("plantings.csv", notes.as_bytes())]);
    let Intake { project, problems, .. } = read(dir.path()).unwrap();
    assert_eq!(project.plantings[0].note.as_deref(), Some("=1+1 #panic() *x* $ \\"));
    assert_eq!(project.plantings[0].provenance.as_deref(), Some("\u{202e}abc"));
    assert_eq!(project.plantings[1].note.as_deref(), Some("rained 村"));
    let missing: Vec<String> =
        said(&problems).into_iter().filter(|line| line.contains("glyph-missing")).collect();
    assert_eq!(missing.len(), 1);
    assert!(
        missing[0]
            .starts_with("plantings.csv:3:note doubt glyph-missing: no embedded font holds 村 (U+6751)")
    );
}

#[test]
fn all_the_tables_are_read() {
    let dir = folder(&[
        ("plots.tsv", b"plot\tarea\tradius_m\tmeasured_on\tplanted_stems\nN1\tNorth face\t5.64\tslope\t24\n"),
        ("tallies.csv", b"date,plot,species,alive,dead,missing,recruits,cohort\n2026-05-12,n1,Acacia melanoxylon,10,,2,0,2025\n"),
        ("stems.csv", b"date,plot,species,tag,Height (cm),diameter_cm,diameter_at,status\n2026-05-12,N1,Acacia melanoxylon,T1,85,1.2,Base,alive\n"),
        ("cover.csv", b"date,plot,layer,cover,percent,hits,points\n2026-05-12,N1,Ground,litter,40%,,\n2026-05-12,N1,ground,bare,,3,20\n"),
        ("slopes.csv", b"area,slope_percent\nNorth face,100\n"),
        ("works.csv", b"date,task,hours,people,basis\n2025-08-20,Planting,6.5,,Volunteer\n2025-08-21,Fencing,8,3,in-kind\n"),
        ("spending.csv", b"date,line,amount,tax,payee,in_kind\n2025-08-20,Fencing,\"$1,234.50\",112.23,Hill Fencers,no\n2025-08-21,Fencing,($10.00),,Hill Fencers,\n2025-08-22,Fencing,20,,,\n"),
        ("photopoints.csv", b"photopoint,longitude,latitude,bearing_deg,area\nP1,148.0005,-36.0001,360,gully head\n"),
        ("species.csv", b"species,common_name\nNothofagus moorei,Antarctic beech\n"),
        ("narrative/lessons.md", b"# Lessons\n\nPlant *early*.\n"),
        ("sketch.dwg", b"?"),
    ]);
    let Intake { project, problems, .. } = read(dir.path()).map_err(|problems| said(&problems)).unwrap();
    assert_eq!(project.plots[0].planted_stems.map(|stems| stems.0), Some(24));
    assert_eq!((project.tallies[0].dead, project.tallies[0].missing.map(|stems| stems.0)), (None, Some(2)));
    assert_eq!(
        (project.stems[0].height.map(|height| height.0), project.stems[0].diameter_mm),
        (Some(0.85), Some(12.0))
    );
    assert_eq!(project.cover[0].measure, CoverMeasure::Percent(40.0));
    assert_eq!(project.cover[1].measure, CoverMeasure::Hits { hits: 3, points: 20 });
    assert!((project.slopes[0].slope.0 - 45.0).abs() < 1e-12);
    assert_eq!((project.works[0].people, project.works[1].people), (1, 3));
    assert_eq!(project.spending[0].amount.0.to_string(), "1234.50");
    assert_eq!(project.spending[1].amount.0.to_string(), "-10.00");
    assert_eq!(
        (project.photo_points[0].bearing.0, project.photo_points[0].area.as_ref().unwrap().to_string()),
        (0.0, "Gully head".to_owned())
    );
    assert!(
        project
            .species
            .iter()
            .any(|species| &*species.id.0 == "Nothofagus moorei" && species.origin == Origin::Folder)
    );
    assert_eq!(project.narrative[0].title, "Lessons");
    assert!(said(&problems).iter().any(|line| line.starts_with("sketch.dwg remark file-not-used")));
}
