//! A target whose own words hold a number of the same thing, and not the number that is asked.

use crate::{
    problem::{Place, Plausibility, Problem},
    project::{Bound, Measure, Project, Target},
    units::as_written,
};

/// Words before a number that say it counts time or clauses, and not what is promised.
const OTHER_BEFORE: [&str; 9] =
    ["year", "years", "condition", "clause", "stage", "month", "zone", "within", "plot"];

/// Words behind a number that say the same.
const OTHER_BEHIND: [&str; 10] =
    ["year", "years", "month", "months", "week", "weeks", "day", "days", "degrees", "times"];

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    for target in &project.targets {
        let Some(words) = &target.words else { continue };
        let numbers = numbers(words);
        if numbers.is_empty() || numbers.iter().any(|number| is_asked(*number, target)) {
            continue;
        }
        let (Bound::AtLeast(asked) | Bound::AtMost(asked)) = target.bound;
        let key = if matches!(target.bound, Bound::AtLeast(_)) { "at_least" } else { "at_most" };
        let kind = Plausibility::TargetAgainstItsWords {
            id: target.id.clone(),
            words: words.clone(),
            asked: format!("{key} = {}", as_written(asked)),
        };
        problems.push(Problem::new(kind, Place::row(&target.source)));
    }
}

/// Whether a number of the words is the one that is asked, in whatever unit they say it.
fn is_asked(number: f64, target: &Target) -> bool {
    let (Bound::AtLeast(asked) | Bound::AtMost(asked)) = target.bound;
    let factors: &[f64] = match target.measure {
        Measure::Survival | Measure::Cover { .. } | Measure::ErosionRatio => &[1.0, 0.01],
        Measure::Length { .. } => &[1.0, 1_000.0],
        Measure::Height { .. } => &[1.0, 0.01],
        Measure::Area => &[1.0, 0.000_1],
        _ => &[1.0, 1_000.0],
    };
    // What lives is what is asked less what dies.
    let other = matches!(target.measure, Measure::Survival | Measure::ErosionRatio).then_some(1.0 - asked);
    factors.iter().any(|factor| {
        [Some(asked), other]
            .into_iter()
            .flatten()
            .any(|asked| (number * factor - asked).abs() <= 1e-6 * asked.abs().max(1e-3))
    })
}

/// The numbers of `words` that could be what is promised: digits with commas or single spaces between thousands; no years, days or clauses.
fn numbers(words: &str) -> Vec<f64> {
    let plain: String =
        words.chars().map(|letter| if letter.is_whitespace() { ' ' } else { letter }).collect();
    let tokens: Vec<&str> = plain.split(' ').filter(|token| !token.is_empty()).collect();
    let digits = |token: &str| {
        let bare = token.trim_matches(|letter: char| !letter.is_ascii_digit());
        (!bare.is_empty() && bare.chars().all(|letter| letter.is_ascii_digit() || ".,".contains(letter)))
            .then(|| bare.replace(',', ""))
    };
    let word = |token: &str| token.trim_matches(|letter: char| !letter.is_alphanumeric()).to_lowercase();
    let (mut found, mut at) = (Vec::new(), 0);
    while at < tokens.len() {
        let Some(mut number) = digits(tokens[at]) else {
            at += 1;
            continue;
        };
        let (first, mut last) = (at, at);
        // `1 200`: groups of three behind a group of at most three.
        let group = |token: &str| token.len() >= 3 && token[..3].bytes().all(|byte| byte.is_ascii_digit());
        while number.len() <= 3 * (last - first + 1)
            && !number.contains('.')
            && tokens.get(last + 1).is_some_and(|next| {
                group(next)
                    && digits(next)
                        .is_some_and(|digits| digits.split('.').next().is_some_and(|whole| whole.len() == 3))
            })
        {
            last += 1;
            number += &digits(tokens[last]).unwrap_or_default();
        }
        let before = first.checked_sub(1).map(|before| word(tokens[before])).unwrap_or_default();
        let behind = tokens.get(last + 1).map(|behind| word(behind)).unwrap_or_default();
        let other = OTHER_BEFORE.contains(&before.as_str()) || OTHER_BEHIND.contains(&behind.as_str());
        if let Ok(value) = number.trim_end_matches('.').parse::<f64>() {
            let is_year = (1900.0..2200.0).contains(&value) && value.fract() == 0.0 && last == first;
            if !other && !is_year && value > 0.0 {
                found.push(value);
            }
        }
        at = last + 1;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_as_people_write_them_and_years_are_none() {
        assert_eq!(numbers("At least 1 200 living stems to the hectare"), [1_200.0]);
        assert_eq!(numbers("4,000 stems planted in 2025, infill among them"), [4_000.0]);
        assert_eq!(numbers("At least 70 % of planted stems alive in year 4"), [70.0]);
        assert_eq!(numbers("1.1 km of new fence, 3 strands"), [1.1, 3.0]);
        assert_eq!(numbers("Alive after 3 years, clause 5"), [0.0; 0]);
        assert_eq!(numbers("Half of it under canopy"), [0.0; 0]);
    }
}
