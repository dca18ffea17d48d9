//! A table's rows read one by one, and what is said of their cells.

use crate::{
    intake::{
        cell::{Cells, Taken},
        limits,
        table::{Record, Table, told},
    },
    problem::{Grade, Place, Problem, Reading},
};

impl Table {
    /// Makes something of every row; the rows that can't be used have said so, each cause once.
    pub(crate) fn each<T>(
        &self,
        problems: &mut Vec<Problem>,
        make: impl FnMut(&mut Cells<'_>) -> Option<T>,
    ) -> Vec<T> {
        self.each_of(problems, None, |_| true, make)
    }

    /// The same of the rows that are wanted, in which the column `spared` may be empty; of others nothing is said.
    pub(crate) fn each_of<T>(
        &self,
        problems: &mut Vec<Problem>,
        spared: Option<&str>,
        wanted: impl Fn(&Cells<'_>) -> bool,
        mut make: impl FnMut(&mut Cells<'_>) -> Option<T>,
    ) -> Vec<T> {
        let (mut said, mut taken) = (Vec::new(), Taken::default());
        let (mut errors, mut last): (usize, Option<&Record>) = (0, None);
        let one = |row| {
            if errors > limits::ERRORS {
                return None;
            }
            last = Some(row);
            let before = said.len();
            let mut cells = Cells::of(self, row, &mut said, &mut taken);
            if !wanted(&cells) {
                return None;
            }
            cells.refuse_empty(spared);
            let made = make(&mut cells);
            errors += said.iter().skip(before).filter(|problem| problem.grade() == Grade::Error).count();
            made
        };
        let made = self.rows.iter().filter_map(one).collect();
        told::reading(self, said, &taken, problems);
        if let Some(row) = last.filter(|_| errors > limits::ERRORS) {
            problems.push(Problem::new(
                Reading::ErrorsWithoutEnd { errors },
                Place { column: None, ..self.place(row, 0) },
            ));
        }
        made
    }
}
