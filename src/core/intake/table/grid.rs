//! Headings and the rows below them, before anyone asks what they mean.

use crate::intake::{mapped::same_heading, mapping::Mapping, table::Record};

/// The heading of a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Heading {
    /// As it is typed.
    pub(crate) text: String,
    /// The column of the table that the mapping makes of it, whatever else is called so.
    pub(crate) made: Option<String>,
}

impl Heading {
    /// A heading of the file.
    pub(crate) fn typed(text: &str) -> Heading {
        Heading { text: text.split_whitespace().collect::<Vec<_>>().join(" "), made: None }
    }

    /// The heading of a column that the mapping makes.
    pub(crate) fn made(column: &str) -> Heading {
        Heading { text: column.to_owned(), made: Some(column.to_owned()) }
    }
}

/// A table as it stands in one file or sheet. Each step of taking it up makes one of another.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Grid {
    pub(crate) headings: Vec<Heading>,
    pub(crate) rows: Vec<Record>,
}

impl Grid {
    /// Where the column called `name` stands: by its heading in the file, else by what the mapping says that it stands for.
    pub(crate) fn at(&self, name: &str, mapping: &Mapping) -> Option<usize> {
        let typed = |heading: &Heading| same_heading(&heading.text, name);
        let mapped = |heading: &Heading| {
            let mut columns = mapping.columns.iter();
            columns.any(|(theirs, ours)| same_heading(theirs, &heading.text) && same_heading(ours, name))
        };
        self.headings.iter().position(typed).or_else(|| self.headings.iter().position(mapped))
    }

    /// Adds the rows of another part, each cell under its own heading.
    pub(crate) fn append(&mut self, other: Grid) {
        if self.headings == other.headings || self.headings.is_empty() && self.rows.is_empty() {
            self.headings = other.headings;
            self.rows.extend(other.rows);
            return;
        }
        let mut taken = vec![false; self.headings.len()];
        let mut place = |heading: Heading| {
            let same = |mine: &Heading| mine.made == heading.made && same_heading(&mine.text, &heading.text);
            let free = (0..taken.len()).find(|&at| !taken[at] && same(&self.headings[at]));
            let at = free.unwrap_or_else(|| {
                self.headings.push(heading.clone());
                taken.push(false);
                taken.len() - 1
            });
            taken[at] = true;
            at
        };
        let places: Vec<usize> = other.headings.into_iter().map(&mut place).collect();
        let width = self.headings.len();
        self.rows.extend(other.rows.into_iter().map(|row| {
            let mut cells = vec![ecow::EcoString::new(); width];
            for (cell, at) in row.cells.into_iter().zip(&places) {
                cells[*at] = cell;
            }
            Record { cells, ..row }
        }));
    }

    /// A further column, empty in every row.
    pub(crate) fn add(&mut self, heading: Heading) -> usize {
        self.headings.push(heading);
        self.headings.len() - 1
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// The grid of a text with commas between its cells.
    pub(crate) fn grid(text: &str) -> Grid {
        let mut lines = text.lines().map(|line| line.split(',').collect::<Vec<_>>());
        let headings = lines.next().unwrap_or_default().into_iter().map(Heading::typed).collect();
        let row = |(row, cells): (u32, Vec<&str>)| Record {
            row,
            part: 0,
            cells: cells.into_iter().map(Into::into).collect(),
        };
        Grid { headings, rows: (2..).zip(lines).map(row).collect() }
    }

    #[test]
    fn parts_are_joined_by_their_headings() {
        let mut table = grid("Plot,Alive\nA,3");
        table.append(grid("alive,Note,PLOT\n4,x,B"));
        assert_eq!(text(&table), "Plot,Alive,Note\nA,3,\nB,4,x");
    }

    /// The grid as such a text.
    pub(crate) fn text(grid: &Grid) -> String {
        let headings: Vec<&str> = grid.headings.iter().map(|heading| heading.text.as_str()).collect();
        let rows = grid
            .rows
            .iter()
            .map(|row| (0..headings.len()).map(|at| row.cell(at)).collect::<Vec<_>>().join(","));
        std::iter::once(headings.join(",")).chain(rows).collect::<Vec<_>>().join("\n")
    }
}
