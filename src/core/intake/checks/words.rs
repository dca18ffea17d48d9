//! Words that are one but for a slip, so that what belongs together counts apart: covers, tasks, strata, lines of spending.

use std::collections::BTreeMap;

use crate::{
    intake::checks::say_of,
    problem::{Plausibility, Problem},
    project::{Project, slug},
    source::Row,
    units::as_written,
};

/// Letters from which a word with one slip is the same word, and from which one with two is (common practice, no source).
const ONE_SLIP: usize = 5;
const TWO_SLIPS: usize = 9;

/// Words of the trade that are near one another and not one.
const APART: [(&str, &str); 4] =
    [("planting", "planning"), ("staking", "stacking"), ("fencing", "fending"), ("inspection", "injection")];

/// Words that are compared with all others; a table of more has free text in the column.
const MOST: usize = 300;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let mut covers = Words::default();
    for reading in &project.cover {
        covers.add(&reading.cover, 1.0, &reading.source);
    }
    covers.tell("cover", "", problems);
    let mut tasks = Words::default();
    for work in project.works.iter().filter(|work| project.period.holds(work.date)) {
        tasks.add(&work.task, work.person_hours().0, &work.source);
    }
    tasks.tell("task", "person hours", problems);
    let mut strata = Words::default();
    for plot in &project.plots {
        if let Some(stratum) = &plot.stratum {
            strata.add(&stratum.name, 1.0, &plot.source);
        }
    }
    strata.tell("stratum", "", problems);
    if project.budget.is_empty() {
        let mut lines = Words::default();
        for spending in project.spending.iter().filter(|row| project.period.holds(row.date)) {
            lines.add(&spending.line, spending.amount.number(), &spending.source);
        }
        lines.tell("line", &project.identity.currency, problems);
    }
}

/// The words of a column by their slug: as first written, what counts under them, and their rows.
#[derive(Default)]
struct Words<'a>(BTreeMap<String, (&'a str, f64, Vec<&'a Row>)>);

impl<'a> Words<'a> {
    fn add(&mut self, word: &'a str, counts: f64, row: &'a Row) {
        let (_, sum, rows) = self.0.entry(slug(word)).or_insert((word.trim(), 0.0, Vec::new()));
        *sum += counts;
        rows.push(row);
    }

    fn tell(&self, column: &str, what: &str, problems: &mut Vec<Problem>) {
        if self.0.len() > MOST {
            return;
        }
        let words: Vec<_> = self.0.iter().collect();
        for (at, (one, first)) in words.iter().enumerate() {
            for (_, second) in words[at + 1..].iter().filter(|(other, _)| slip(one, other)) {
                // The word with fewer rows is the likelier slip.
                let (rare, common) =
                    if first.2.len() < second.2.len() { (first, second) } else { (second, first) };
                let (one, other) = (rare.0.to_owned(), common.0.to_owned());
                let counts = match what {
                    "" => format!("{} and {} rows", rare.2.len(), common.2.len()),
                    _ => format!("{} {what} and {}", as_written(rare.1), as_written(common.1)),
                };
                let kind = Plausibility::WordsAlike { one, other, counts };
                say_of(kind, rare.2.iter().copied(), column, None, problems);
            }
        }
    }
}

/// Whether two slugs are one but for a slip: word for word the same save one, in which a letter or two are wrong, missing, added or
/// changed over. A first letter is seldom wrong, and digits tell things apart.
fn slip(one: &str, other: &str) -> bool {
    let (one, other): (Vec<&str>, Vec<&str>) = (one.split('-').collect(), other.split('-').collect());
    if one.len() != other.len() {
        // `seed-ling` and `seedling` are one word too.
        return one.concat() == other.concat();
    }
    let mut differing = one.iter().zip(&other).filter(|(one, other)| one != other);
    let (Some((one, other)), None) = (differing.next(), differing.next()) else { return false };
    let digits = |word: &str| word.chars().filter(char::is_ascii_digit).collect::<String>();
    let letters = one.chars().count().min(other.chars().count());
    let slips = match letters {
        TWO_SLIPS.. => 2,
        ONE_SLIP.. => 1,
        _ => 0,
    };
    let plural = |one: &str, other: &str| [format!("{one}s"), format!("{one}es")].contains(&other.to_owned());
    let apart = APART.iter().any(|pair| *pair == (*one, *other) || *pair == (*other, *one));
    !apart
        && digits(one) == digits(other)
        && one.chars().next() == other.chars().next()
        && (letters >= 3 && (plural(one, other) || plural(other, one))
            || strsim::osa_distance(one, other) <= slips)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_told_from_other_words() {
        for (one, other) in [
            ("native gras", "native grass"),
            ("native grass", "native grasses"),
            ("Fencing", "Fenceing"),
            ("Spot spraying", "Spot sprayng"),
            ("Weed contorl", "Weed control"),
            ("seed ling count", "seedling count"),
            ("weed", "weeds"),
        ] {
            assert!(slip(&slug(one), &slug(other)), "{one} and {other}");
        }
        for (one, other) in [
            ("Mowing", "Sowing"),
            ("Seeding", "Weeding"),
            ("Planting", "Planning"),
            ("upper", "lower"),
            ("Block A north", "Block B north"),
            ("Row 1", "Row 2"),
            ("native", "exotic"),
            ("Spraying", "Spraying strips"),
            ("inner", "outer"),
        ] {
            assert!(!slip(&slug(one), &slug(other)), "{one} and {other}");
        }
    }
}
