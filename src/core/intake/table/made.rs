//! Columns that the mapping makes: a day from its year, month and day, an id from two columns, one word for a whole file.

use crate::intake::{
    mapping::Mapping,
    table::grid::{Grid, Heading},
};

/// Adds a column for each that is made, and gives the headings that they ask for and the table lacks.
pub(crate) fn with(grid: &mut Grid, mapping: &Mapping) -> Vec<String> {
    if mapping.set.is_empty() {
        return Vec::new();
    }
    let places = |heading: &str| grid.at(heading, mapping);
    let mut lacking: Vec<String> = Vec::new();
    for heading in mapping.set.values().flat_map(|template| template.headings()) {
        if places(heading).is_none() && !lacking.iter().any(|lacks| lacks == heading) {
            lacking.push(heading.to_owned());
        }
    }
    let found: Vec<(&str, Option<usize>)> = mapping
        .set
        .values()
        .flat_map(|template| template.headings())
        .map(|heading| (heading, places(heading)))
        .collect();
    let width = grid.headings.len();
    for row in &mut grid.rows {
        let cell = |heading: &str| {
            let place = found.iter().find(|(name, _)| *name == heading).and_then(|(_, at)| *at);
            place.map_or("", |at| row.cell(at))
        };
        let made: Vec<String> = mapping.set.values().map(|template| template.made(cell)).collect();
        row.widen(width);
        row.cells.truncate(width);
        row.cells.extend(made.into_iter().map(Into::into));
    }
    for column in mapping.set.keys() {
        grid.add(Heading::made(column));
    }
    lacking
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::{
        mapped::Template,
        table::grid::tests::{grid, text},
    };

    #[test]
    fn columns_are_made_of_others_and_of_words() {
        let set = [("date", "{Year}-{mon}-1"), ("layer", "ground"), ("plot", "{Site} {Nr}")];
        let set = set.map(|(column, text)| (column.to_owned(), Template::of(text).unwrap())).into();
        let mapping = Mapping { set, ..Mapping::default() };
        let mut table = grid("Year,Mon,Site\n2024,7,A\n2025,,");
        assert_eq!(with(&mut table, &mapping), ["Nr"]);
        assert_eq!(
            text(&table),
            "Year,Mon,Site,date,layer,plot\n2024,7,A,2024-7-1,ground,A\n2025,,,2025--1,ground,"
        );
    }
}
