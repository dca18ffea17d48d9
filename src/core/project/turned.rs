//! The project as it would be if days and months stood in each other's place.

use chrono::NaiveDate;

use crate::{project::Project, source::Row, units::day_for_month};

impl Project {
    /// The same project with day and month changed over in the rows that are `meant`.
    #[must_use]
    pub fn with_days_for_months(&self, meant: impl Fn(&Row) -> bool) -> Project {
        let mut project = self.clone();
        let turn = |date: &mut NaiveDate, row: &Row| {
            if meant(row) {
                *date = day_for_month(*date).unwrap_or(*date);
            }
        };
        project.plantings.iter_mut().for_each(|row| turn(&mut row.date, &row.source));
        project.tallies.iter_mut().for_each(|row| turn(&mut row.date, &row.source));
        project.stems.iter_mut().for_each(|row| turn(&mut row.date, &row.source));
        project.cover.iter_mut().for_each(|row| turn(&mut row.date, &row.source));
        project.works.iter_mut().for_each(|row| turn(&mut row.date, &row.source));
        for row in &mut project.spending {
            // Another day may count, which has a column of its own.
            if row.counted_on == row.date {
                turn(&mut row.counted_on, &row.source);
            }
            turn(&mut row.date, &row.source);
        }
        project.sightings.iter_mut().for_each(|row| turn(&mut row.date, &row.source));
        project
    }
}
