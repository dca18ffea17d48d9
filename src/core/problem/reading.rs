//! Files, tables and cells that could not be read as they should.

use crate::problem::{Said, doubt, error, remark};

/// What is wrong with a file, a table or a cell.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are the words of the sentence below")]
pub enum Reading {
    /// The folder itself can't be listed.
    FolderUnreadable { why: String },
    /// A file that must be there is not.
    FileMissing { wanted: String, found: Vec<String> },
    /// Two files could each be the same table.
    TwoFilesForOne { table: &'static str, files: Vec<String> },
    /// A file is there, but in a format that is not read.
    FormatNotRead { table: &'static str, file: String },
    /// A file lies in the folder and no section reads it.
    FileNotUsed { file: String },
    /// The system would not give the bytes.
    FileUnreadable { why: String },
    /// Too big to be what it says it is.
    FileTooBig { bytes: u64, limit: u64 },
    /// A name that is not valid text, so that nothing can refer to it.
    NameUnreadable,
    /// A pipe, a device or the like, which may keep whoever reads it waiting without end.
    NoPlainFile,
    /// A folder that lies so deep that what is in it is not read.
    FolderTooDeep { limit: usize },
    /// Bytes that are no text where text is needed.
    NotText { why: &'static str },
    /// A quotation mark that opens a cell and never closes it.
    QuoteUnclosed,
    /// A path that leaves the project folder.
    PathLeavesFolder { path: String, how: &'static str },
    /// No header row with the names of the table was found.
    NoHeader { table: &'static str, wanted: Vec<&'static str> },
    /// A table without a single data row.
    TableEmpty { table: &'static str },
    /// A table's file with nothing in it.
    FileEmpty { table: &'static str },
    /// A column that the table can't do without.
    ColumnMissing { table: &'static str, column: String, nearest: Option<String> },
    /// A column nobody knows: kept in the copy of the file that goes into the pack.
    ColumnUnknown { table: &'static str, column: String, nearest: Option<String> },
    /// Two columns with one heading.
    ColumnTwice { column: String },
    /// A mapping names a heading that the file does not have.
    MappedColumnAbsent { column: String, nearest: Option<String> },
    /// A mapping onto a column that the table does not have.
    MappedToNothing { table: &'static str, column: String, nearest: Option<String> },
    /// Two headings that stand for one column.
    ColumnsAlike { one: String, other: String, column: &'static str },
    /// A required cell is empty.
    CellEmpty { column: String },
    /// A cell that is not what its column holds.
    CellUnreadable { found: String, wanted: &'static str },
    /// A cell that is no number, or could be two.
    NumberUnreadable { found: String, wanted: String, nearest: Option<String> },
    /// A number whose comma or point could set thousands apart or begin the decimals.
    NumberAmbiguous { found: String, one: String, other: String },
    /// Money in another currency than the project's.
    OtherCurrency { found: String, currency: String },
    /// A cell that is no day.
    DateUnreadable { found: String, why: String, nearest: Option<String> },
    /// A thing given in two ways of which only one is read.
    OneOrTheOther { one: &'static str, other: &'static str },
    /// A word that is not one of the words of its column.
    WordUnknown { found: String, known: Vec<String>, nearest: Option<String> },
    /// A number outside what the column can hold.
    OutOfRange { found: String, wanted: String },
    /// A row with more cells than the header.
    RowTooLong { cells: usize, columns: usize },
    /// A row of totals at the end of a table was left out.
    TotalsRow { row: String },
    /// Text that is not UTF-8 was read as Windows-1252.
    ReadAsWindows1252,
    /// A date that could be day-first or month-first.
    DateAmbiguous { found: String, read_as: String },
    /// The sheet that the settings name is not in the workbook.
    SheetMissing { sheet: String, found: Vec<String>, nearest: Option<String> },
    /// A workbook of several sheets of which none or more than one could be the table.
    SheetUnclear { table: &'static str, sheets: Vec<String>, fitting: usize },
    /// The settings name a sheet of a file that has none.
    SheetOfNothing { file: String },
    /// A workbook with rows whose place must not leave the folder, while the pack holds every input.
    SensitiveInWorkbook,
    /// More cells than are read.
    SheetTooBig { limit: usize },
    /// Rows that are hidden from view count all the same.
    HiddenRows { rows: usize },
    /// Cells joined over several rows of a table.
    MergedCells { first: u32, last: u32 },
    /// A formula that no program has computed.
    NotComputed { formula: String },
    /// Days that stand as a spreadsheet's number for them.
    DaysCounted { found: String, read_as: String, cells: usize },
    /// A zip, KMZ or workbook that unpacks to more than is read.
    UnpacksTooBig { limit: u64 },
    /// A file that belongs to the shapes of a shapefile is not there.
    PartMissing { part: &'static str },
    /// A KML points at others.
    LinkNotFollowed { links: usize },
    /// Not valid JSON, GeoJSON or TOML.
    Malformed { format: &'static str, why: String },
    /// A character that no embedded font holds; printed as an empty box.
    GlyphMissing { characters: String },
}

impl Reading {
    pub(super) fn said(&self) -> Said {
        match self {
            Reading::FolderUnreadable { why } => {
                error("folder-unreadable", format!("the project folder can't be read: {why}"))
                    .help("name a folder that holds a project.toml")
            }
            Reading::FileMissing { wanted, found } => {
                let said = error("file-missing", format!("there is no {wanted}"));
                match found.is_empty() {
                    true => said.help("`hillfolio new DIR` writes a folder with every file explained"),
                    false => said.help(format!("found here: {}; name the file in project.toml", found.join(", "))),
                }
            }
            Reading::TwoFilesForOne { table, files } => {
                error("two-files-for-one", format!("{} could each be the {table}", files.join(" and ")))
                    .help(format!("keep one, or name it: [tables.{table}] file = \"…\""))
            }
            Reading::FormatNotRead { table, file } => {
                error("format-not-read", format!("{file} is not in a format that is read for {table}"))
                    .help(
                        "save tables as CSV, XLSX or ODS; boundaries and features as GeoJSON, shapefile, KML or GPX; terrain as \
                         GeoTIFF or ESRI ASCII grid",
                    )
            }
            Reading::FileNotUsed { file } => {
                remark("file-not-used", format!("{file} is not read by any section"))
            }
            Reading::FileUnreadable { why } => {
                error("file-unreadable", format!("the file can't be read: {why}"))
                    .help("check that it is not open in another program and that you may read it")
            }
            Reading::FileTooBig { bytes, limit } => {
                error("file-too-big", format!("the file has {bytes} bytes; at most {limit} are read"))
                    .help("split the table by year, or leave out what this report does not need")
            }
            Reading::NoPlainFile => {
                doubt("no-plain-file", "this is neither a file nor a folder; left out".to_owned())
                    .help("put a file of that name there, or take it out of the folder")
            }
            Reading::NameUnreadable => {
                doubt("name-unreadable", "the file's name is not valid text; left out".to_owned())
                    .help("rename the file")
            }
            Reading::FolderTooDeep { limit } => doubt(
                "folder-too-deep",
                format!("the folder lies deeper than {limit} others; nothing in it is read"),
            )
            .help("move it up"),
            Reading::NotText { why } => error("not-text", format!("the file is no plain text: {why}"))
                .help("open it in the program that made it and save it again: a table as CSV or XLSX"),
            Reading::QuoteUnclosed => error(
                "quote-unclosed",
                "a quotation mark opens a cell in this row and none closes it".to_owned(),
            )
            .help("close the quotation, or write two marks (\"\") for one inside a quoted cell"),
            Reading::PathLeavesFolder { path, how } => error("path-leaves-folder", format!("`{path}` {how}"))
                .help("name a file inside the project folder"),
            Reading::NoHeader { table, wanted } => error(
                "no-header",
                format!("no row holds the column names of {table} ({})", wanted.join(", ")),
            )
            .help(format!(
                "put the names in the first row, or map your own under [tables.{table}] columns = {{ … }}"
            )),
            Reading::TableEmpty { table } => {
                error("table-empty", format!("the {table} table has a header and no rows"))
                    .help("fill it, or take the file away: a missing table leaves out its section")
            }
            Reading::FileEmpty { table } => {
                error("file-empty", format!("the file is empty; {table} should be in it"))
                    .help("fill it, or take the file away: a missing table leaves out its section")
            }
            Reading::ColumnMissing { table, column, nearest } => error(
                "column-missing",
                format!("{table} needs a column `{column}`"),
            )
            .nearest(nearest.as_ref(), &format!("add it, or map yours under [tables.{table}] columns")),
            Reading::ColumnUnknown { table, column, nearest } => doubt(
                "column-unknown",
                format!("{table} has no use for the column `{column}`; it stays in the packed copy of the file"),
            )
            .nearest(nearest.as_ref(), "nothing to do if it is a note of your own"),
            Reading::ColumnTwice { column } => {
                error("column-twice", format!("two columns are called `{column}`"))
                    .help("rename or take out one of them")
            }
            Reading::MappedColumnAbsent { column, nearest } => {
                error("mapped-column-absent", format!("the table has no column `{column}` to map"))
                    .nearest(nearest.as_ref(), "write the heading as it stands in the file")
            }
            Reading::MappedToNothing { table, column, nearest } => {
                error("mapped-to-nothing", format!("{table} has no column `{column}` to map onto"))
                    .nearest(nearest.as_ref(), "on the left the heading in the file, on the right our column")
            }
            Reading::ColumnsAlike { one, other, column } => {
                error("columns-alike", format!("`{one}` and `{other}` both stand for `{column}`"))
                    .help("rename or take out one of them")
            }
            Reading::CellEmpty { column } => {
                error("cell-empty", format!("`{column}` must be filled in every row"))
                    .help("fill it, or take the row out")
            }
            Reading::CellUnreadable { found, wanted } => {
                error("cell-unreadable", format!("`{found}` is not {wanted}"))
                    .help("look it up and correct it")
            }
            Reading::NumberUnreadable { found, wanted, nearest } => {
                error("number-unreadable", format!("`{found}` is not {wanted}")).nearest(
                    nearest.as_ref(),
                    "write it with a point before the decimals and nothing between thousands; leave the cell empty \
                     where nothing was recorded",
                )
            }
            Reading::NumberAmbiguous { found, one, other } => {
                error("number-ambiguous", format!("`{found}` could be {one} or {other}"))
                    .help("write it with nothing between thousands")
            }
            Reading::OtherCurrency { found, currency } => {
                error("other-currency", format!("`{found}` is not in {currency}"))
                    .help("the report is in one currency: write what was paid in it")
            }
            Reading::DateUnreadable { found, why, nearest } => {
                error("date-unreadable", format!("`{found}` is not a day: {why}"))
                    .nearest(nearest.as_ref(), "write it as 2025-03-01")
            }
            Reading::OneOrTheOther { one, other } => {
                error("one-or-the-other", format!("both {one} and {other} are filled"))
                    .help("keep the one that was measured")
            }
            Reading::WordUnknown { found, known, nearest } => {
                error("word-unknown", format!("`{found}` is not one of {}", known.join(", ")))
                    .nearest(nearest.as_ref(), "use one of these words")
            }
            Reading::OutOfRange { found, wanted } => {
                error("out-of-range", format!("`{found}` is not {wanted}"))
                    .help("look it up and correct it")
            }
            Reading::RowTooLong { cells, columns } => {
                error("row-too-long", format!("the row has {cells} cells, the header {columns}"))
                    .help("a comma inside a cell needs quotes round the cell; in a spreadsheet, clear what stands beside the table")
            }
            Reading::TotalsRow { row } => {
                doubt("totals-row", format!("`{row}` looks like a row of totals; left out"))
                    .help("take totals out of the table, or nothing if it is one")
            }
            Reading::ReadAsWindows1252 => remark(
                "read-as-windows-1252",
                "the text is not UTF-8; read as Windows-1252 (Latin-1)".to_owned(),
            )
            .help("save the file as UTF-8 if letters look wrong in the report"),
            Reading::DateAmbiguous { found, read_as } => {
                doubt("date-ambiguous", format!("`{found}` could be two days; read as {read_as}"))
                    .help("write dates as 2025-03-01, or set dates = \"day-first\" for the table")
            }
            Reading::SheetMissing { sheet, found, nearest } => {
                error("sheet-missing", format!("the workbook has no sheet called `{sheet}`"))
                    .nearest(nearest.as_ref(), &format!("its sheets are {}", found.join(", ")))
            }
            Reading::SheetUnclear { table, sheets, fitting } => error(
                "sheet-unclear",
                match fitting {
                    0 => format!("none of the sheets {} has the columns of {table}", sheets.join(", ")),
                    _ => format!("the sheets {} could each be the {table}", sheets.join(" and ")),
                },
            )
            .help(format!("name the sheet: [tables.{table}] sheet = \"…\"")),
            Reading::SheetOfNothing { file } => {
                doubt("sheet-of-nothing", format!("a sheet is named, and {file} is no workbook with sheets"))
                    .help("take the setting out, or name the workbook as the file")
            }
            Reading::SensitiveInWorkbook => error(
                "sensitive-in-workbook",
                "sensitive sightings stand in a workbook, which the pack would hold as it is".to_owned(),
            )
            .help("save them as sightings.csv: of that the pack holds a copy without the places"),
            Reading::SheetTooBig { limit } => {
                error("sheet-too-big", format!("the sheet reaches over more than {limit} cells"))
                    .help("delete what stands far below or beside the table, or save the sheet as CSV")
            }
            Reading::HiddenRows { rows } => doubt(
                "hidden-rows",
                format!("rows that are hidden from view are read with the others ({rows} of them)"),
            )
            .help("take them out if they should not count"),
            Reading::MergedCells { first, last } => doubt(
                "merged-cells",
                format!("the cells of rows {first} to {last} are merged; what they hold counts for the first row alone"),
            )
            .help("unmerge them and fill each row"),
            Reading::NotComputed { formula } => {
                error("not-computed", format!("the cell holds the formula `{formula}` and no value"))
                    .help("open the workbook in a spreadsheet, let it compute, and save it again")
            }
            Reading::DaysCounted { found, read_as, cells } => doubt(
                "days-counted",
                format!("`{found}` is a spreadsheet's number for a day; read as {read_as} ({cells} such cells)"),
            )
            .help("format the column as dates before saving"),
            Reading::UnpacksTooBig { limit } => {
                error("unpacks-too-big", format!("the file unpacks to more than {} MB", limit >> 20))
                    .help("save only the layer or the sheet that is needed")
            }
            Reading::PartMissing { part } => {
                error("part-missing", format!("the shapefile has no {part}, which holds the names of its shapes"))
                    .help("copy all files of the shapefile, or send it as one zip")
            }
            Reading::LinkNotFollowed { links } => {
                doubt("link-not-followed", format!("links to other KML files are not followed ({links} of them)"))
                    .help("save the places themselves into one KML or KMZ")
            }
            Reading::Malformed { format, why } => {
                error("malformed", format!("not valid {format}: {why}")).help(mended(format))
            }
            Reading::GlyphMissing { characters } => {
                doubt("glyph-missing", format!("no embedded font holds {characters}; printed as □"))
                    .help("write the text with letters, or accept the box")
            }
        }
    }
}

/// What mends a file that is not valid `format`.
fn mended(format: &str) -> &'static str {
    match format {
        "TOML" => {
            "text stands between quotation marks, each setting on a line of its own; `hillfolio new DIR` writes a \
             project.toml to compare with"
        }
        "ledger of figures" => "name a pack, a project folder, or the figures.json of one",
        "pack" => "name the .zip that `hillfolio build` wrote, whole and not packed anew",
        "XLSX" | "ODS" | "XLSX or ODS" => {
            "open it in a spreadsheet and save it again as XLSX or ODS, without a password, or save the sheet as CSV"
        }
        _ => "save it again in the program that made it, or save the layer as GeoJSON",
    }
}
