//! Files, tables and cells that could not be read as they should.

use crate::units::whole;

use crate::problem::{
    answer::{Answer, quoted, to_choose, to_paste},
    did_you_mean, kinds,
    reading_help::{
        decides, did_you_mean_lines, empty, marks, mended, misses, of_files, orders, perhaps, shown,
    },
    tables_told::{
        but_lists, columns_of, counted, counted_rows, missing, near, near_tables, needed, sheets_left,
        sheets_read, some, stand_for, texts, unclear,
    },
};

/// Why nothing reads a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotUsed {
    /// It is of a format that tables have, and like none of them.
    PerhapsTable,
    /// It bears a table's name, and the settings name another file.
    AnotherNamed,
    /// It is something else.
    NoTable,
}

kinds! {
    /// What is wrong with a file, a table or a cell.
    Reading {
        /// The folder itself can't be listed.
        #[error("the project folder can't be read: {why}")]
        Error "folder-unreadable" FolderUnreadable { why: String } => "name a folder that holds a project.toml";
        /// A file that must be there is not.
        #[error("there is no {wanted}")]
        Error "file-missing" FileMissing { wanted: String, table: Option<&'static str>, found: Vec<String> }
            => match (table, found.as_slice()) {
                (_, []) => "`hillfolio new DIR` writes a folder with every file explained".into(),
                (Some(table), [_]) => to_paste("name the file, in project.toml:", of_files(table, found)),
                (Some(table), found) => to_choose("name the file, in project.toml:", of_files(table, found)),
                (None, found) => perhaps(wanted, found),
            };
        /// Files that could be a table, a layer or the terrain, and are called otherwise.
        #[error("{} could be the {table}, and {} not read", .files.join(" and "), if .files.len() == 1 { "is" } else { "are" })]
        Doubt "file-not-taken" FileNotTaken { table: &'static str, files: Vec<String>, with: Option<String> }
            => to_paste(if files.len() == 1 { "if it is, in project.toml:" } else { "if they are, in project.toml:" }, {
                let all = with.iter().chain(files).collect::<Vec<_>>();
                match (all.as_slice(), *table) {
                    ([_], _) | (_, "terrain") => of_files(table, files),
                    (several, _) => {
                        vec![Answer::of(&format!("tables.{table}"), format!("files = {}", texts(several.iter().copied())))]
                    }
                }
            });
        /// Two files could each be the same table.
        #[error("{} could each be the {table}", .files.join(" and "))]
        Error "two-files-for-one" TwoFilesForOne { table: &'static str, files: Vec<String> }
            => to_choose("keep one, or name it in project.toml:", of_files(table, files));
        /// A file is there, but in a format that is not read.
        #[error("{file} is not in a format that is read for {table}")]
        Error "format-not-read" FormatNotRead { table: &'static str, file: String }
            => "save tables as CSV, XLSX or ODS; boundaries and features as GeoJSON, shapefile, KML or GPX; terrain as \
                GeoTIFF or ESRI ASCII grid";
        /// A file lies in the folder and no section reads it.
        #[error("{file} is not read by any section")]
        Remark "file-not-used" FileNotUsed { file: String, why: NotUsed }
            => match why {
                NotUsed::PerhapsTable => {
                    "if it holds a table, name it in its section of project.toml, such as [tables.works] file = \"…\"; else nothing to do"
                }
                NotUsed::AnotherNamed => {
                    "the settings name another file in its place: nothing to do if that is right, else take that line out of project.toml"
                }
                NotUsed::NoTable => "nothing to do: it goes into no document",
            };
        /// A table of which it can't be told which it is, or that lacks what the one must have that it is like.
        #[error("{file} holds rows under {}, and is not read: {}", some(.headings), near(.tables))]
        Doubt "file-unclear" FileUnclear { file: String, headings: Vec<String>, tables: Vec<(&'static str, Vec<&'static str>)> }
            => to_choose("say which it is, in project.toml, and give what it lacks; if it is none of the tables, nothing to do:", near_tables(file, tables));
        /// The system would not give the bytes.
        #[error("the file can't be read: {why}")]
        Error "file-unreadable" FileUnreadable { why: String }
            => "check that it is not open in another program and that you may read it";
        /// The system would not give room for the part of an agreement.
        #[error("the part of the folder that is each agreement's can't be laid out: {why}")]
        Error "part-not-laid-out" PartNotLaidOut { why: String }
            => "make room in the system's folder for passing files, or name another in TMPDIR";
        /// Too big to be what it says it is.
        #[error("the file has {bytes} bytes; at most {limit} are read")]
        Error "file-too-big" FileTooBig { bytes: u64, limit: u64 }
            => "split the table by year, or leave out what this report does not need";
        /// A name that is not valid text, so that nothing can refer to it.
        #[error("the file's name is not valid text; left out")]
        Doubt "name-unreadable" NameUnreadable => "rename the file";
        /// A pipe, a device or the like, which may keep whoever reads it waiting without end.
        #[error("this is neither a file nor a folder; left out")]
        Doubt "no-plain-file" NoPlainFile => "put a file of that name there, or take it out of the folder";
        /// A folder that lies so deep that what is in it is not read.
        #[error("the folder lies deeper than {limit} others; nothing in it is read")]
        Doubt "folder-too-deep" FolderTooDeep { limit: usize } => "move it up";
        /// Bytes that are no text where text is needed.
        #[error("the file is no plain text: {why}")]
        Error "not-text" NotText { why: &'static str }
            => "open it in the program that made it and save it again: a table as CSV or XLSX";
        /// A quotation mark that opens a cell and never closes it.
        #[error("a quotation mark opens a cell in this row and none closes it")]
        Error "quote-unclosed" QuoteUnclosed
            => "close the quotation, or write two marks (\"\") for one inside a quoted cell";
        /// A path that leaves the project folder.
        #[error("`{path}` {how}")]
        Error "path-leaves-folder" PathLeavesFolder { path: String, how: &'static str }
            => "name a file inside the project folder";
        /// No header row with the names of the table was found.
        #[error("no row holds the column names of {table} ({})", .wanted.join(", "))]
        Error "no-header" NoHeader { table: &'static str, wanted: Vec<&'static str>, proposed: Option<String> }
            => match proposed {
                Some(line) => did_you_mean_lines(line),
                None => format!("put the names in the first row, or map your own under [tables.{table}] columns = {{ … }}; a file \
                    without headings gets them by headings = [\"…\"]").into(),
            };
        /// A table without a single data row.
        #[error("the {table} table has a header and no rows")]
        Error "table-empty" TableEmpty { table: &'static str }
            => "fill it, or take the file away: a missing table leaves out its section";
        /// A table's file with nothing in it.
        #[error("the file is empty; {table} should be in it")]
        Error "file-empty" FileEmpty { table: &'static str }
            => "fill it, or take the file away: a missing table leaves out its section";
        /// A column that the table can't do without.
        #[error("{table} needs {}", needed(.columns))]
        Error "column-missing" ColumnMissing { table: &'static str, columns: Vec<String>, proposed: Option<String> }
            => match proposed {
                Some(line) => did_you_mean_lines(line),
                None => missing(table, columns),
            };
        /// A column nobody knows: kept in the copy of the file that goes into the pack.
        #[error("`{column}` could be a column of {table}, and is not read")]
        Doubt "column-unknown" ColumnUnknown { table: &'static str, column: String, proposed: Vec<String>, open: bool }
            => if *open || proposed.len() > 1 { to_choose } else { to_paste }("did you mean this, in project.toml?", {
                let mut answers: Vec<Answer> = proposed.iter().map(|lines| Answer::lines(lines)).collect();
                let ignored = format!("ignore = [{}]", quoted(column));
                answers.push(Answer::meaning("it is a note of your own", &format!("tables.{table}"), ignored));
                answers
            });
        /// Columns that nothing asks for: kept in the copy of the file that goes into the pack.
        #[error("{table} has no use for {}", columns_of(.columns))]
        Remark "columns-unused" ColumnsUnused { table: &'static str, columns: Vec<String> }
            => "nothing to do if they are notes of your own: they stay in the packed copy of the file";
        /// Two columns with one heading.
        #[error("two columns are called `{column}`")]
        Error "column-twice" ColumnTwice { column: String } => "rename or take out one of them";
        /// A mapping names a heading that the file does not have.
        #[error("the table has no column `{column}` to map")]
        Error "mapped-column-absent" MappedColumnAbsent { column: String, nearest: Option<String> }
            => did_you_mean(nearest, "write the heading as it stands in the file");
        /// A mapping onto a column that the table does not have.
        #[error("{table} has no column `{column}` to map onto")]
        Error "mapped-to-nothing" MappedToNothing { table: &'static str, column: String, nearest: Option<String> }
            => did_you_mean(nearest, "on the left the heading in the file, on the right our column");
        /// Two headings that stand for one column.
        #[error("`{one}` and `{other}` both stand for `{column}`")]
        Error "columns-alike" ColumnsAlike { table: &'static str, one: String, other: String, column: &'static str }
            => to_choose("say which is not to be read, in project.toml:", {
                let kept = |read: &str, not: &str| {
                    let means = format!("{read} is right");
                    Answer::meaning(&means, &format!("tables.{table}"), format!("ignore = [{}]", quoted(not)))
                };
                vec![kept(one, other), kept(other, one)]
            });
        /// A required cell is empty.
        #[error("`{column}` must be filled in every row")]
        Error "cell-empty" CellEmpty { table: &'static str, column: String, above: Option<String> } => empty(table, column, above.as_deref());
        /// Sums that stand in another column than the one that is read, in rows where that one is empty.
        #[error("`{column}` is empty in {} in which `{other}` holds a sum, {first} in the first: these rows would be lost",
            counted_rows(*.rows))]
        Error "sum-in-another-column" SumInAnotherColumn { column: String, other: String, rows: usize, first: String, sure: bool }
            => if *sure { to_paste } else { to_choose }("if it is money that came in, in project.toml:", vec![
                Answer::of("tables.spending", format!("columns = {{ {} = \"money_in\" }}", quoted(other))),
            ]);
        /// Cells of a column that are empty below one that is filled, in rows that are records.
        #[error("`{column}` is empty in {}, below rows in which it is `{above}`", counted(*.cells))]
        Error "written-once" WrittenOnce {
            table: &'static str, column: String, ours: &'static str, above: String, cells: usize
        } => to_paste(
            "if an empty cell means the same as above, in project.toml:",
            vec![Answer::of(&format!("tables.{table}"), format!("fill_down = [{}]", quoted(ours)))],
        );
        /// A cell that is not what its column holds.
        #[error("`{found}` is not {wanted}")]
        Error "cell-unreadable" CellUnreadable { found: String, wanted: &'static str } => "look it up and correct it";
        /// A cell that is no number, or could be two.
        #[error("`{found}` is not {wanted}")]
        Error "number-unreadable" NumberUnreadable { found: String, wanted: String, nearest: Option<String> }
            => did_you_mean(nearest, match found.contains(|letter: char| letter.is_ascii_digit()) && found.contains(['.', ',']) {
                true => "write it with a point before the decimals and nothing between thousands; leave the cell empty where nothing was recorded",
                false => "write the number alone; leave the cell empty where nothing was recorded",
            });
        /// A number whose comma or point could set thousands apart or begin the decimals.
        #[error("`{found}` could be {one} or {other}")]
        Error "number-ambiguous" NumberAmbiguous { table: &'static str, found: String, one: String, other: String }
            => to_choose("write it with nothing between thousands; or, of the whole file, in project.toml:", marks(table));
        /// Numbers of a column whose cells all have a comma before the decimals, in a table of points.
        #[error("{} of `{column}` have a comma before the decimals, such as `{example}`", counted(*.cells))]
        Error "decimal-commas" DecimalCommas { table: &'static str, column: String, cells: usize, example: String }
            => to_paste("to read them so, in project.toml:", vec![
                Answer::of(&format!("tables.{table}"), "decimals = \"comma\""),
            ]);
        /// Money in another currency than the project's.
        #[error("`{found}` is not in {currency}")]
        Error "other-currency" OtherCurrency { found: String, currency: String }
            => "the report is in one currency: write what was paid in it";
        /// A cell that is no day.
        #[error("`{found}` is not a day: {why}")]
        Error "date-unreadable" DateUnreadable { found: String, why: String, nearest: Option<String> }
            => did_you_mean(nearest, "look it up, and write it as 2025-03-01");
        /// A day that is another weekday than it says.
        #[error("{day} is a {is}, and the cell says {said}; {said}s near it are {near}")]
        Doubt "weekday-differs" WeekdayDiffers { day: String, is: &'static str, said: &'static str, near: String }
            => "correct the day or its weekday; the day is read";
        /// A year where a day is needed.
        #[error("`{found}` is a year and no day")]
        Error "year-alone" YearAlone { table: &'static str, found: String, column: String, heading: String }
            => to_paste(
                "say which day stands for it, in the place of its mapping, such as:",
                vec![Answer::of(&format!("tables.{table}"), format!("set = {{ {column} = \"{{{heading}}}-07-01\" }}"))],
            );
        /// A thing given in two ways of which only one is read.
        #[error("both {one} and {other} are filled")]
        Error "one-or-the-other" OneOrTheOther { one: &'static str, other: &'static str }
            => "keep the one that was measured";
        /// A word that is not one of the words of its column.
        #[error("`{found}` is not one of {}", .known.join(", "))]
        Error "word-unknown" WordUnknown { found: String, known: Vec<String>, nearest: Option<String> }
            => did_you_mean(nearest, "use one of these words");
        /// Several words of a column that are none of its words.
        #[error("{} of `{column}` {} of {}", some(.found), if .found.len() == 1 { "is none" } else { "are none" }, .known.join(", "))]
        Error "words-unknown" WordsUnknown {
            table: &'static str, column: String, ours: String, found: Vec<String>, known: Vec<String>
        } => to_choose(
            "say what they stand for, in project.toml:",
            vec![Answer::of(&format!("tables.{table}"), format!("values = {{ {ours} = {{ {} }} }}", stand_for(ours, found, known)))],
        );
        /// A number outside what the column can hold.
        #[error("`{found}` is not {wanted}")]
        Error "out-of-range" OutOfRange { found: String, wanted: String } => "look it up and correct it";
        /// A row with more cells than the header.
        #[error("the row has {cells} cells, the header {columns}")]
        Error "row-too-long" RowTooLong { cells: usize, columns: usize }
            => "a comma inside a cell needs quotes round the cell; in a spreadsheet, clear what stands beside the table";
        /// A row of totals at the end of a table was left out.
        #[error("`{row}` looks like a row of totals; left out{sums}")]
        Doubt "totals-row" TotalsRow { row: String, sums: String } => "nothing to do if it is one; else correct the word that reads as a total";
        /// A total beside columns that are made rows, which is not what they make.
        #[error("the total says {total}, and the cells beside it make {made}; the cells count")]
        Doubt "total-differs" TotalDiffers { total: String, made: String }
            => "look up which of the cells is wrong and correct it, or the total";
        /// Text that is not UTF-8 was read as Windows-1252.
        #[error("the text is not UTF-8; read as Windows-1252 (Latin-1)")]
        Remark "read-as-windows-1252" ReadAsWindows1252
            => "save the file as UTF-8 if letters look wrong in the report";
        /// A date that could be day-first or month-first.
        #[error("`{found}` could be {read_as} or {other}; read as the first ({} that could be two days)", counted(*.cells))]
        Doubt "date-ambiguous" DateAmbiguous {
            table: &'static str, found: String, read_as: String, other: String, cells: usize
        } => to_paste("say which, in project.toml:", orders(table, false));
        /// Days that could be two, read as the other days of their column must be.
        #[error("`{found}` could be two days; read as {read_as} ({}), because {}", counted(*.cells), decides(*.shows, .order, .example))]
        Remark "date-order-shown" DateOrderShown {
            found: String, read_as: String, cells: usize, order: &'static str, example: String, shows: usize
        } => "nothing to do if so; else correct those that are written otherwise, as 2025-03-01";
        /// Days that could be two, of which one alone lies near the others of their column.
        #[error("`{found}` could be {read_as} or {other}; read as the first ({}), near the other days of the column, {others}",
            counted(*.cells))]
        Doubt "date-order-likely" DateOrderLikely {
            table: &'static str, found: String, read_as: String, other: String, cells: usize, others: String, month_first: bool
        } => to_paste("say which, in project.toml:", orders(table, *month_first));
        /// A workbook that is no list of corrections.
        #[error("this is no list of corrections with a sheet `questions`, headed `answer` and `mark`")]
        Error "no-answers" NoAnswers => "take the workbook that `hillfolio check FOLDER --corrections LIST.xlsx` wrote";
        /// A line of the corrections that can't be read.
        #[error("this is no correction of a cell")]
        Error "no-correction" NoCorrections
            => "its headings are file, row, column, read, correct; `hillfolio check FOLDER --answers LIST` writes it";
        /// Two corrections of one cell.
        #[error("the cell is corrected in row {first} already")]
        Error "corrected-twice" CorrectedTwice { first: u32 } => "take one of the two out";
        /// A correction of a cell that is not there, or holds something else by now.
        #[error("{}", misses(.cell, .read, .holds.as_deref()))]
        Error "correction-misses" CorrectionMisses { cell: String, read: String, holds: Option<String> }
            => "the file has changed since: take the correction out, or write what the cell holds now";
        /// A cell that is read as its correction says.
        #[error("{} corrected to {}", shown(.read), shown(.correct))]
        Doubt "cell-corrected" CellCorrected { read: String, correct: String }
            => "it stands in corrections.csv; the file itself is as it was";
        /// A row that is left out because its correction says so.
        #[error("the row is left out: `{row}`{holds}")]
        Doubt "row-taken-out" RowTakenOut { row: String, holds: String } => "it stands in corrections.csv; the file itself is as it was";
        /// The sheet that the settings name is not in the workbook.
        #[error("the workbook has no sheet called `{sheet}`")]
        Error "sheet-missing" SheetMissing { sheet: String, found: Vec<String>, nearest: Option<String> }
            => did_you_mean(nearest, &format!("its sheets are {}", found.join(", ")));
        /// A workbook of several sheets of which none or more than one could be the table.
        #[error("{}", unclear(.table, .sheets, *.fitting))]
        Error "sheet-unclear" SheetUnclear { table: &'static str, sheets: Vec<String>, fitting: usize }
            => match fitting {
                0 => to_choose("name the sheet, in project.toml:", sheets.iter().map(|sheet| {
                    Answer::of(&format!("tables.{table}"), format!("sheet = {}", quoted(sheet)))
                }).collect()),
                _ => to_paste("say which, in project.toml:", {
                    let section = format!("tables.{table}");
                    let all = format!("sheets = {}", texts(sheets.iter()));
                    let each = sheets.iter().map(|sheet| {
                        Answer::meaning(&format!("only {sheet} is"), &section, format!("sheet = {}", quoted(sheet)))
                    });
                    but_lists(&section, sheets)
                        .into_iter()
                        .chain([Answer::meaning("each is a part of it", &section, all)])
                        .chain(each)
                        .collect()
                }),
            };
        /// Sheets of a workbook that hold such a table too, and are not read.
        #[error("{} read; {} not", sheets_read(.taken), sheets_left(.left))]
        Doubt "sheets-left" SheetsLeft { table: &'static str, taken: Vec<String>, left: Vec<(String, usize)> }
            => to_paste("to read them too, in project.toml:", {
                let answer = |means, sheets| {
                    Answer::meaning(means, &format!("tables.{table}"), format!("sheets = {sheets}"))
                };
                vec![
                    answer("they belong to it too", texts(taken.iter().chain(left.iter().map(|(name, _)| name)))),
                    answer("they do not", texts(taken.iter())),
                ]
            });
        /// A sheet with rows that no table has.
        #[error("the sheet {sheet} with {rows} rows ({headings} …) is not read")]
        Doubt "sheet-not-read" SheetNotRead {
            sheet: String, rows: usize, headings: String, table: &'static str, taken: Vec<String>
        } => to_paste(
            "if it is a part of a table, name it there as one of its `sheets` and map its headings; if it is none, in project.toml:",
            vec![Answer::of(&format!("tables.{table}"), format!("sheets = {}", texts(taken.iter())))],
        );
        /// Rows that the settings leave out.
        #[error("{left} of {rows} rows {} left out: {by}{held}", if *.left == 1 { "is" } else { "are" })]
        Doubt "rows-left-out" RowsLeftOut { left: usize, rows: usize, by: String, held: String }
            => "nothing to do if they are no records; else change skip or only in the table's section of project.toml";
        /// Rows that were added up, because the settings say so.
        #[error("{rows} rows are added up to {sums}, by their {column}")]
        Doubt "rows-added" RowsAdded { rows: usize, sums: usize, column: String }
            => "nothing to do if they are parts of one record; else take the column out of sum in the table's section of project.toml";
        /// A value of `skip` or `only` that no row has.
        #[error("no row has {value} in {column}")]
        Doubt "choice-of-nothing" ChoiceOfNothing { column: String, value: String }
            => "write the value as it stands in the file, or take it out";
        /// Cells of a wide table that hold nothing.
        #[error("{} of the wide table {} no row", counted(*.cells), if *.cells == 1 { "is empty and makes" } else { "are empty and make" })]
        Doubt "cells-without-row" CellsWithoutRow { table: &'static str, cells: usize, column: String }
            => to_paste("say which, in project.toml:", {
                let blank = |means, stands_for| {
                    Answer::meaning(means, &format!("tables.{table}"), format!("blank = {{ {column} = {stands_for} }}"))
                };
                let mut both = vec![blank("empty means none", "0"), blank("nothing was recorded there", "\"not recorded\"")];
                // A month has no thirtieth day, and a gauge that was dry reads 0.
                both.rotate_left(usize::from(*table == "rain"));
                both
            });
        /// Marks for the same as above.
        #[error("`{mark}` is read as the cell above ({})", counted(*.cells))]
        Doubt "dittos" Dittos { mark: String, cells: usize } => "nothing to do if it means the same again";
        /// A word for nothing.
        #[error("`{found}` is read as not recorded ({})", counted(*.cells))]
        Doubt "taken-for-empty" TakenForEmpty { table: &'static str, found: String, cells: usize }
            => to_paste(
                "if so, in project.toml:",
                vec![Answer::of(&format!("tables.{table}"), format!("empty = [{}]", quoted(found)))],
            );
        /// A number that is said otherwise than by a number.
        #[error("`{found}` is read as {read_as} ({})", counted(*.cells))]
        Doubt "taken-for" TakenFor { found: String, read_as: String, cells: usize }
            => "write what was counted or measured, if it is known more closely";
        /// A size that is said by two sides.
        #[error("`{found}` is read as {read_as} ({})", counted(*.cells))]
        Doubt "size-of-sides" SizeOfSides { found: String, read_as: String, cells: usize }
            => "nothing to do if these are the sides in metres; else write the size in m²";
        /// Most cells of a column can't be read as what it holds.
        #[error("{cells} cells of `{column}` can't be read, the first because {first}")]
        Error "column-misread" ColumnMisread { column: String, cells: usize, first: String, help: String }
            => format!("if the column holds something else, map another one; else: {help}");
        /// The settings name a sheet of a file that has none.
        #[error("a sheet is named, and {file} is no workbook with sheets")]
        Doubt "sheet-of-nothing" SheetOfNothing { file: String }
            => "take the setting out, or name the workbook as the file";
        /// A workbook with rows whose place must not leave the folder, while the pack holds every input.
        #[error("sensitive sightings stand in a workbook or are laid out by the mapping, so that the pack would hold them as they are")]
        Error "sensitive-in-workbook" SensitiveInWorkbook
            => "save them as sightings.csv: of that the pack holds a copy without the places";
        /// More cells than are read.
        #[error("the sheet reaches over more than {} cells", whole(*.limit as u64))]
        Error "sheet-too-big" SheetTooBig { limit: usize }
            => "delete what stands far below or beside the table, or save the sheet as CSV";
        /// A name that another system refuses.
        #[error("Windows does not take the name: {why}; the pack, which holds the file, can't be opened whole there")]
        Doubt "name-refused-elsewhere" NameRefusedElsewhere { why: &'static str }
            => "give the file another name before the pack is sent, and write that name wherever it is named";
        /// More rows than are read.
        #[error("the table has more than {} rows", whole(*.limit as u64))]
        Error "too-many-rows" TooManyRows { limit: usize }
            => "delete what stands far below the table, or keep the years in files of their own";
        /// More errors than are worth listing.
        #[error("{} cells of the rows up to here can't be read; the rows after them were not looked at", whole(*.errors as u64))]
        Error "errors-without-end" ErrorsWithoutEnd { errors: usize }
            => "see to the first errors of the table: a column may hold something else than its heading says";
        /// Rows that are hidden from view count all the same.
        #[error("rows that are hidden from view are read with the others ({rows} of them)")]
        Doubt "hidden-rows" HiddenRows { rows: usize } => "take them out if they should not count";
        /// Rows of a workbook that are struck through.
        #[error("{} struck through, and {} read like the others{}", if *.rows == 1 { "the row is".to_owned() } else { format!("{} rows are", .rows) },
            if *.rows == 1 { "is" } else { "are" }, other_rows(.others))]
        Doubt "rows-struck-out" RowsStruckOut { rows: usize, others: Vec<u32> }
            => "if they are not to count, take them out of the table, or leave them out by the list of corrections; else nothing to do";
        /// Cells joined over several rows of a table.
        #[error("the cells of rows {first} to {last} are merged; what they hold counts for the first row alone")]
        Doubt "merged-cells" MergedCells { table: &'static str, first: u32, last: u32, heading: String }
            => to_paste(
                "if it holds for every row, in project.toml:",
                vec![Answer::of(&format!("tables.{table}"), format!("fill_down = [{}]", quoted(heading)))],
            );
        /// A formula that no program has computed.
        #[error("the cell holds the formula `{formula}` and no value")]
        Error "not-computed" NotComputed { formula: String }
            => "open the workbook in a spreadsheet, let it compute, and save it again";
        /// Days that stand as a spreadsheet's number for them.
        #[error("`{found}` is a spreadsheet's number for a day; read as {read_as} ({cells} such cells)")]
        Doubt "days-counted" DaysCounted { found: String, read_as: String, cells: usize }
            => "format the column as dates before saving";
        /// A zip, KMZ or workbook that unpacks to more than is read.
        #[error("the file unpacks to more than {} MB", .limit >> 20)]
        Error "unpacks-too-big" UnpacksTooBig { limit: u64 } => "save only the layer or the sheet that is needed";
        /// A file that belongs to the shapes of a shapefile is not there.
        #[error("the shapefile has no {part}, which holds the names of its shapes")]
        Error "part-missing" PartMissing { part: &'static str }
            => "copy all files of the shapefile, or send it as one zip";
        /// Rows of a shapefile's table that are marked as deleted.
        #[error("shapes marked as deleted are left out ({rows} of them: {names})")]
        Doubt "deleted-rows" DeletedRows { rows: usize, names: String }
            => "save the layer again without them, or restore them in the program that made it if they belong to the site";
        /// A KML points at others.
        #[error("links to other KML files are not followed ({links} of them)")]
        Doubt "link-not-followed" LinkNotFollowed { links: usize }
            => "save the places themselves into one KML or KMZ";
        /// Not valid JSON, GeoJSON or TOML.
        #[error("not valid {format}: {why}")]
        Error "malformed" Malformed { format: &'static str, why: String } => mended(format);
        /// A character that no embedded font holds; printed as an empty box.
        #[error("no embedded font holds {characters}; printed as □")]
        Doubt "glyph-missing" GlyphMissing { characters: String } => "write the text with letters, or accept the box";
    }
}

/// The rows besides the first one that is named.
fn other_rows(rows: &[u32]) -> String {
    match rows {
        [] => String::new(),
        rows => {
            format!("; the others are rows {}", some(&rows.iter().map(u32::to_string).collect::<Vec<_>>()))
        }
    }
}
