//! `photos`: which picture was taken where and when, for those whose file name does not tell.

use crate::{
    intake::{photos::PhotoRow, records::Known, table::Table},
    problem::Problem,
};

/// Every row; the photo points and files it names are matched where the pictures are read.
pub(crate) fn read(table: &Table, known: &Known, problems: &mut Vec<Problem>) -> Vec<PhotoRow> {
    table.doubt_repeats(problems);
    table.each(problems, |row| {
        let (date, claims) = (row.day("date"), row.claims(known));
        Some(PhotoRow {
            file: row.text("file")?,
            point: row.text("photopoint"),
            date,
            caption: row.text("caption"),
            claims,
            source: row.source(),
        })
    })
}
