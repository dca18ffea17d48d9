//! The plan's species against its pattern: a species whose place nobody knows, and shares that the pattern can't be kept with.

use std::collections::BTreeSet;

use crate::{
    problem::{Place, Problem, Records},
    project::{PlantingDesign, Project, SpeciesId, StockLine, answers},
    source::Row,
    units::number,
};

/// Shares are written in whole per cents, a third as 33 or 34: so much of the stems may stand off the pattern.
const LEEWAY: f64 = 0.01;

/// Shares of the places near the edge, which all take the first word, that are tried: how many there are is known on the ground alone.
const EDGES: u32 = 100;

/// The longest pattern that is offered.
const LONGEST: usize = 20;

pub(super) fn check(project: &Project, problems: &mut Vec<Problem>) {
    let Some(design) = project.design.as_ref().filter(|design| !design.pattern.is_empty()) else { return };
    let shares: Vec<(&StockLine, f64)> = StockLine::shares(&project.stock).collect();
    let mut species: Vec<(&SpeciesId, &Row)> =
        shares.iter().map(|(line, _)| (&line.species, &line.source)).collect();
    if species.is_empty() {
        let mut seen = BTreeSet::new();
        let planted = project.plantings_to_date().filter(|planting| seen.insert(&planting.species));
        species = planted.map(|planting| (&planting.species, &planting.source)).collect();
    }
    let known = problems.len();
    for (id, row) in species {
        let Some(known) = project.species.get(id).filter(|known| known.role.is_none()) else { continue };
        if !design.pattern.iter().any(|word| answers(known, word)) {
            let kind = Records::RoleNotKnown { species: id.to_string() };
            problems.push(Problem::new(kind, Place::row(row).column("species")));
        }
    }
    if problems.len() == known
        && let Some((first, _)) = shares.first()
    {
        problems.extend(against(project, design, &shares).map(|kind| {
            let place = Place::row(&first.source).column("share");
            Problem::new(kind, place)
        }));
    }
}

/// The words of the pattern, each once, with their share of the places.
fn words(pattern: &[String]) -> Vec<(&str, f64)> {
    let mut words: Vec<(&str, f64)> = Vec::new();
    for word in pattern {
        match words.iter_mut().find(|(known, _)| known.eq_ignore_ascii_case(word)) {
            Some((_, count)) => *count += 1.0,
            None => words.push((word, 1.0)),
        }
    }
    words.iter_mut().for_each(|(_, count)| *count /= pattern.len() as f64);
    words
}

/// What is wrong where the shares can't be kept with the pattern.
fn against(project: &Project, design: &PlantingDesign, shares: &[(&StockLine, f64)]) -> Option<Records> {
    let words = words(&design.pattern);
    let sum: f64 = shares.iter().map(|(_, share)| share).sum();
    let answered = |id: &SpeciesId| -> Vec<bool> {
        let species = project.species.get(id);
        words.iter().map(|(word, _)| species.is_some_and(|species| answers(species, word))).collect()
    };
    let mut kinds: Vec<(f64, Vec<bool>)> =
        shares.iter().map(|(line, share)| (share / sum, answered(&line.species))).collect();
    // A word that nobody answers to is open to all.
    let open: Vec<bool> = (0..words.len()).map(|at| !kinds.iter().any(|(_, plays)| plays[at])).collect();
    for (_, plays) in &mut kinds {
        plays.iter_mut().zip(&open).for_each(|(plays, open)| *plays |= open);
    }
    let places = |edge: f64| -> Vec<f64> {
        let own =
            |(at, (_, share)): (usize, &(&str, f64))| share * (1.0 - edge) + if at == 0 { edge } else { 0.0 };
        words.iter().enumerate().map(own).collect()
    };
    let edges = if design.exposed.is_some() { EDGES } else { 0 };
    let kept = (0..=edges).any(|edge| {
        let edge = f64::from(edge) / f64::from(EDGES);
        without_place(&kinds, &places(edge)) <= LEEWAY + 1e-9
    });
    if kept {
        return None;
    }
    let percent = |part: f64| format!("{} %", number(100.0 * part, 0));
    let listed = |parts: &[(&str, f64)]| {
        let parts: Vec<String> =
            parts.iter().map(|(word, part)| format!("{} {word}", percent(*part))).collect();
        parts.join(", ")
    };
    let given = given(project, shares, sum, &words);
    let offer = offer(&given);
    let given: Vec<(&str, f64)> = given.iter().map(|(word, part)| (&**word, *part)).collect();
    Some(Records::PatternAgainstShares { asks: listed(&words), gives: listed(&given), offer })
}

/// The most that finds no place of its own: by Hall's theorem over every set of species that answer to no more than the same words.
///
/// # Reference
/// Hall (1935), *On representatives of subsets*, Journal of the London Mathematical Society 10:26-30.
fn without_place(kinds: &[(f64, Vec<bool>)], places: &[f64]) -> f64 {
    let mask =
        |plays: &[bool]| (0..plays.len()).filter(|at| plays[*at]).fold(0_u64, |mask, at| mask | 1 << at);
    let masks: Vec<(f64, u64)> = kinds.iter().map(|(share, plays)| (*share, mask(plays))).collect();
    let mut sets = BTreeSet::from([0_u64]);
    for (_, mask) in &masks {
        let joined: Vec<u64> = sets.iter().map(|set| set | mask).collect();
        sets.extend(joined);
    }
    let short = |set: u64| {
        let wanted: f64 = masks.iter().filter(|(_, mask)| mask & !set == 0).map(|(share, _)| share).sum();
        let room: f64 = (0..places.len()).filter(|at| set >> at & 1 == 1).map(|at| places[at]).sum();
        wanted - room
    };
    sets.into_iter().map(short).fold(0.0, f64::max)
}

/// What the shares give each word, a species standing under the first that it answers to, else under its own role.
fn given(
    project: &Project,
    shares: &[(&StockLine, f64)],
    sum: f64,
    words: &[(&str, f64)],
) -> Vec<(String, f64)> {
    let mut given: Vec<(String, f64)> = words.iter().map(|(word, _)| ((*word).to_owned(), 0.0)).collect();
    for (line, share) in shares {
        let species = project.species.get(&line.species);
        let word =
            words.iter().map(|(word, _)| *word).find(|word| species.is_some_and(|one| answers(one, word)));
        let role = species.and_then(|species| species.role).map(|role| role.word().to_owned());
        let word = word.map(str::to_owned).or(role).unwrap_or_else(|| line.species.to_string());
        match given.iter_mut().find(|(known, _)| *known == word) {
            Some((_, part)) => *part += share / sum,
            None => given.push((word, share / sum)),
        }
    }
    given.retain(|(_, part)| *part > 0.0);
    given
}

/// The shortest pattern that keeps what the shares give, each word as evenly along it as may be.
fn offer(given: &[(String, f64)]) -> Option<String> {
    let count = |length: usize, part: f64| (part * length as f64).round();
    let fits = |length: &usize| {
        let counts: Vec<f64> = given.iter().map(|(_, part)| count(*length, *part)).collect();
        let off: f64 =
            given.iter().zip(&counts).map(|((_, part), count)| (part - count / *length as f64).abs()).sum();
        counts.iter().sum::<f64>() as usize == *length && off / 2.0 <= LEEWAY + 1e-9
    };
    let length = (1..=LONGEST).find(fits)?;
    let mut pattern = Vec::new();
    for place in 1..=length {
        let behind = |(word, part): &&(String, f64)| {
            let put = pattern.iter().filter(|put| *put == word).count();
            let left = count(length, *part) > put as f64;
            if left { part * place as f64 - put as f64 } else { f64::NEG_INFINITY }
        };
        let next = given.iter().rev().max_by(|one, other| behind(one).total_cmp(&behind(other)))?;
        pattern.push(next.0.clone());
    }
    Some(format!("pattern = {pattern:?}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_finds_no_place_is_counted_over_sets_of_words() {
        // Two words of half the places each: 60 % answer to the first alone, 15 % to both, 25 % to the second.
        let kinds = [(0.6, vec![true, false]), (0.15, vec![true, true]), (0.25, vec![false, true])];
        assert!((without_place(&kinds, &[0.5, 0.5]) - 0.1).abs() < 1e-12);
        assert!(without_place(&kinds, &[0.6, 0.4]) < 1e-12);
        // Nobody's word is no place for a species that answers to none.
        assert!((without_place(&[(0.3, vec![false]), (0.7, vec![true])], &[1.0]) - 0.3).abs() < 1e-12);
    }

    #[test]
    fn the_shortest_pattern_that_keeps_the_shares_is_offered() {
        let given = |parts: &[(&str, f64)]| -> Vec<(String, f64)> {
            parts.iter().map(|(word, part)| ((*word).to_owned(), *part)).collect()
        };
        let three = offer(&given(&[("pioneer", 0.75), ("late", 0.25)]));
        assert_eq!(three.as_deref(), Some(r#"pattern = ["pioneer", "pioneer", "late", "pioneer"]"#));
        let thirds = offer(&given(&[("pioneer", 0.34), ("secondary", 0.33), ("late", 0.33)]));
        assert_eq!(thirds.as_deref(), Some(r#"pattern = ["pioneer", "secondary", "late"]"#));
        assert_eq!(offer(&given(&[("pioneer", 0.97), ("late", 0.03)])), None);
    }
}
