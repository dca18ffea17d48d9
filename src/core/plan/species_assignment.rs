//! Assignment of species to the stems, by quota, role and neighbours.

use std::collections::BTreeMap;

use crate::{
    estimate::chance::Chance,
    plan::{
        quotas::{allot, largest_remainder},
        roles::{Site, answers},
    },
    project::{SpeciesId, SpeciesList},
    units::Stems,
};

/// A place for one stem, in the order along the rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Slot {
    /// Its row; places of one row follow one another and stand side by side.
    pub row: usize,
    /// Its role: a place in the pattern.
    pub role: Option<usize>,
    /// What the ground does to plants there.
    pub site: Site,
}

/// How much of each species is wanted.
#[derive(Debug, Clone, PartialEq)]
pub enum Mix {
    /// Parts of the whole, in any unit; of each role, species share its places by them.
    Shares(Vec<(SpeciesId, f64)>),
    /// Just so many stems, no more; places left over stay empty.
    Counts(Vec<(SpeciesId, Stems)>),
}

/// A species whose stems did not come out as wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shortfall {
    /// The species.
    pub species: SpeciesId,
    /// Stems wanted.
    pub wanted: Stems,
    /// Stems assigned.
    pub assigned: Stems,
    /// Why.
    pub because: Because,
}

/// Why stems did not come out as wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Because {
    /// Every place of its role that is left lies on ground that it would die on.
    Sensitive,
    /// There are no more places of its role.
    NoPlace,
    /// It stands in for species that would die there.
    StandsIn,
}

/// Species for every place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Assignment {
    /// The species of each place, in the places' order; `None` where nothing wanted may stand.
    pub species: Vec<Option<SpeciesId>>,
    /// Stems by species, in the mix's order.
    pub totals: Vec<(SpeciesId, Stems)>,
    /// Species that did not come out as wanted; none where all totals are exact.
    pub shortfalls: Vec<Shortfall>,
    /// Words of the pattern that no species of the mix answers to: any may stand there.
    pub unanswered: Vec<String>,
    /// Neighbours in a row that are of one species because nothing else would do.
    pub alike: u64,
}

/// Assigns the `mix` to `slots`, whose roles are words of `pattern`; the same `seed` gives the same assignment.
///
/// # Method
/// Places of one role on one kind of ground are a group. Stems are allotted to groups so that every quota finds its places if
/// any way exists, then drawn place by place in proportion to what is left of each species in the group, never the one before.
/// A pair that is left at the end is parted by an exchange within its group.
#[must_use]
pub fn assign_species(
    slots: &[Slot],
    mix: &Mix,
    pattern: &[String],
    list: &SpeciesList,
    seed: u64,
) -> Assignment {
    let names: Vec<&SpeciesId> = match mix {
        Mix::Shares(shares) => shares.iter().map(|(species, _)| species).collect(),
        Mix::Counts(counts) => counts.iter().map(|(species, _)| species).collect(),
    };
    let plays = plays(&names, pattern, list);
    let unanswered = pattern.iter().zip(&plays).filter(|(_, plays)| plays.is_none());
    let unanswered: Vec<String> = unanswered.map(|(word, _)| word.clone()).collect();
    let any = vec![true; names.len()];
    let plays = |role: Option<usize>| role.and_then(|role| plays[role].as_ref()).unwrap_or(&any);
    let bears = |site: Site, kind: usize| list.get(names[kind]).is_none_or(|species| site.bears(species));

    let mut groups: BTreeMap<(Option<usize>, Site), Vec<usize>> = BTreeMap::new();
    for (at, slot) in slots.iter().enumerate() {
        groups.entry((slot.role, slot.site)).or_default().push(at);
    }
    let sizes: Vec<u64> = groups.values().map(|places| places.len() as u64).collect();
    let may: Vec<Vec<bool>> = groups
        .keys()
        .map(|(role, site)| {
            plays(*role).iter().enumerate().map(|(kind, plays)| *plays && bears(*site, kind)).collect()
        })
        .collect();
    let quotas = match mix {
        Mix::Counts(counts) => counts.iter().map(|(_, stems)| stems.0).collect(),
        Mix::Shares(shares) => by_role(&groups, shares, plays),
    };
    let mut allotted = allot(&sizes, &quotas, &may);
    if let Mix::Shares(shares) = mix {
        for (group, size) in sizes.iter().enumerate() {
            let free = size - allotted[group].iter().sum::<u64>();
            let shares: Vec<f64> = shares
                .iter()
                .zip(&may[group])
                .map(|((_, share), may)| if *may { *share } else { 0.0 })
                .collect();
            for (kind, stems) in largest_remainder(free, &shares).into_iter().enumerate() {
                allotted[group][kind] += stems;
            }
        }
    }

    let mut group_of = vec![0; slots.len()];
    for (group, places) in groups.values().enumerate() {
        places.iter().for_each(|place| group_of[*place] = group);
    }
    let mut drawn = draw(slots, &group_of, allotted.clone(), seed);
    let places: Vec<&Vec<usize>> = groups.values().collect();
    part(slots, &group_of, &places, &mut drawn);

    let alike = (1..slots.len()).filter(|at| side_by_side(slots, &drawn, at - 1, *at)).count() as u64;
    let assigned = |kind: usize| -> u64 { allotted.iter().map(|group| group[kind]).sum() };
    let shortfalls = (0..names.len()).filter(|kind| assigned(*kind) != quotas[*kind]).map(|kind| Shortfall {
        species: names[kind].clone(),
        wanted: Stems(quotas[kind]),
        assigned: Stems(assigned(kind)),
        because: because(kind, assigned(kind) > quotas[kind], &groups, plays, bears),
    });
    Assignment {
        shortfalls: shortfalls.collect(),
        totals: names
            .iter()
            .enumerate()
            .map(|(kind, name)| ((*name).clone(), Stems(assigned(kind))))
            .collect(),
        species: drawn.into_iter().map(|kind| kind.map(|kind| names[kind].clone())).collect(),
        unanswered,
        alike,
    }
}

/// For each word of the pattern, which kinds answer to it; `None` where none does.
fn plays(names: &[&SpeciesId], pattern: &[String], list: &SpeciesList) -> Vec<Option<Vec<bool>>> {
    let plays = pattern.iter().map(|word| {
        let answer = |name: &&SpeciesId| list.get(name).is_some_and(|species| answers(species, word));
        names.iter().map(answer).collect::<Vec<bool>>()
    });
    plays.map(|kinds| kinds.contains(&true).then_some(kinds)).collect()
}

/// Quotas by shares: each role's places among the kinds that play it.
fn by_role<'a>(
    groups: &BTreeMap<(Option<usize>, Site), Vec<usize>>,
    shares: &[(SpeciesId, f64)],
    plays: impl Fn(Option<usize>) -> &'a Vec<bool>,
) -> Vec<u64> {
    // Words that the same kinds answer to are shared out together, so that no remainder is rounded twice.
    let mut candidates: BTreeMap<&Vec<bool>, u64> = BTreeMap::new();
    for ((role, _), places) in groups {
        *candidates.entry(plays(*role)).or_default() += places.len() as u64;
    }
    let mut quotas = vec![0; shares.len()];
    for (candidate, places) in candidates {
        let shares: Vec<f64> = shares
            .iter()
            .zip(candidate)
            .map(|((_, share), plays)| if *plays { *share } else { 0.0 })
            .collect();
        for (kind, stems) in largest_remainder(places, &shares).into_iter().enumerate() {
            quotas[kind] += stems;
        }
    }
    quotas
}

fn because<'a>(
    kind: usize,
    above: bool,
    groups: &BTreeMap<(Option<usize>, Site), Vec<usize>>,
    plays: impl Fn(Option<usize>) -> &'a Vec<bool>,
    bears: impl Fn(Site, usize) -> bool,
) -> Because {
    let mut own = groups.keys().filter(|(role, _)| plays(*role)[kind]);
    match () {
        () if above => Because::StandsIn,
        () if own.any(|(_, site)| !bears(*site, kind)) => Because::Sensitive,
        () => Because::NoPlace,
    }
}

/// A kind for every place, by chance in proportion to what its group has left, but not the one before it in the row.
fn draw(slots: &[Slot], group_of: &[usize], mut left: Vec<Vec<u64>>, seed: u64) -> Vec<Option<usize>> {
    let chance = Chance::new(seed);
    let mut drawn: Vec<Option<usize>> = Vec::with_capacity(slots.len());
    for (at, slot) in slots.iter().enumerate() {
        let left = &mut left[group_of[at]];
        let before = at.checked_sub(1).filter(|before| slots[*before].row == slot.row);
        let before = before.and_then(|before| drawn[before]);
        let free = |kind: usize, left: &[u64]| if Some(kind) == before { 0 } else { left[kind] };
        let sum: u64 = (0..left.len()).map(|kind| free(kind, left)).sum();
        let kind = if sum == 0 {
            before.filter(|kind| left[*kind] > 0)
        } else {
            let mut rest = (uniform(&chance, at as u64) * sum as f64).floor() as u64;
            (0..left.len()).find(|kind| {
                let own = free(*kind, left);
                let found = rest < own;
                rest = rest.saturating_sub(own);
                found
            })
        };
        if let Some(kind) = kind {
            left[kind] -= 1;
        }
        drawn.push(kind);
    }
    drawn
}

/// A number between 0 and 1: half the square of a pair of normal numbers' length is exponential, as Box and Muller made it.
fn uniform(chance: &Chance, draw: u64) -> f64 {
    let [one, other] = chance.normals(draw, 0);
    libm::exp(-(one * one + other * other) / 2.0)
}

/// Whether two places, one after another, are of one row and one kind.
fn side_by_side(slots: &[Slot], drawn: &[Option<usize>], one: usize, other: usize) -> bool {
    slots[one].row == slots[other].row && drawn[one].is_some() && drawn[one] == drawn[other]
}

/// Parts pairs of one kind by exchanging one of them within its group, where that makes no new pair.
fn part(slots: &[Slot], group_of: &[usize], groups: &[&Vec<usize>], drawn: &mut [Option<usize>]) {
    let paired = |drawn: &[Option<usize>], at: usize| {
        (at > 0 && side_by_side(slots, drawn, at - 1, at))
            || (at + 1 < slots.len() && side_by_side(slots, drawn, at, at + 1))
    };
    for at in 0..slots.len() {
        if !paired(drawn, at) {
            continue;
        }
        let group = groups[group_of[at]];
        let from = group.partition_point(|place| *place <= at);
        let others = group[from..].iter().chain(&group[..from]).copied();
        for other in others {
            if drawn[other] == drawn[at] {
                continue;
            }
            drawn.swap(at, other);
            if !paired(drawn, at) && !paired(drawn, other) {
                break;
            }
            drawn.swap(at, other);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::{Form, Origin, Role, Species, Tolerance};

    fn id(name: &str) -> SpeciesId {
        SpeciesId(name.into())
    }

    fn species(name: &str, role: Role, frost: Tolerance) -> Species {
        Species {
            id: id(name),
            authority: None,
            common_name: None,
            family: None,
            form: Some(Form::Tree),
            role: Some(role),
            allometry: None,
            wood_density: None,
            frost,
            drought: Tolerance::Unknown,
            waterlogging: Tolerance::Unknown,
            mature_height: None,
            native: None,
            fact_source: None,
            confidence: None,
            origin: Origin::Folder,
        }
    }

    fn list() -> SpeciesList {
        let mut list = SpeciesList::default();
        for (name, role, frost) in [
            ("Acacia one", Role::Pioneer, Tolerance::Tolerant),
            ("Acacia two", Role::Pioneer, Tolerance::Sensitive),
            ("Ficus three", Role::Late, Tolerance::Tolerant),
            ("Corymbia four", Role::Late, Tolerance::Unknown),
        ] {
            list.put(species(name, role, frost));
        }
        list
    }

    fn names() -> [SpeciesId; 4] {
        ["Acacia one", "Acacia two", "Ficus three", "Corymbia four"].map(id)
    }

    fn pattern(words: &[&str]) -> Vec<String> {
        words.iter().map(|word| (*word).to_owned()).collect()
    }

    /// `rows` rows of `stems` stems, those after the first `mild` rows frosty.
    fn slots(rows: usize, stems: usize, roles: usize, mild: usize) -> Vec<Slot> {
        let slot = |at: usize| Slot {
            row: at / stems,
            role: (roles > 0).then(|| at % roles),
            site: Site { frosty: at / stems >= mild, ..Site::default() },
        };
        (0..rows * stems).map(slot).collect()
    }

    fn counted(assignment: &Assignment) -> Vec<u64> {
        assignment.totals.iter().map(|(_, stems)| stems.0).collect()
    }

    /// The hand-worked shares, assigned: totals to the stem, and none beside its own kind.
    #[test]
    fn totals_match_the_quotas_and_none_stands_beside_its_own_kind() {
        let mix = Mix::Shares(names().into_iter().zip([30.0, 25.0, 20.0, 25.0]).collect());
        let assignment = assign_species(&slots(29, 67, 0, 29), &mix, &[], &list(), 7);
        assert_eq!(counted(&assignment), largest_remainder(1943, &[30.0, 25.0, 20.0, 25.0]));
        assert_eq!((assignment.alike, assignment.shortfalls.len()), (0, 0));
        assert!(assignment.species.iter().all(Option::is_some));
        assert_eq!(assignment, assign_species(&slots(29, 67, 0, 29), &mix, &[], &list(), 7), "the same seed");
        assert_ne!(
            assignment.species,
            assign_species(&slots(29, 67, 0, 29), &mix, &[], &list(), 8).species,
            "another seed"
        );
    }

    #[test]
    fn roles_and_frost_are_kept() {
        let mix = Mix::Shares(names().into_iter().map(|name| (name, 1.0)).collect());
        let words = pattern(&["pioneer", "late", "eucalypt"]);
        let slots = slots(10, 30, 3, 5);
        let assignment = assign_species(&slots, &mix, &words, &list(), 1);
        for (slot, species) in slots.iter().zip(&assignment.species) {
            let species = list().get(species.as_ref().unwrap()).unwrap().clone();
            assert!(answers(&species, &words[slot.role.unwrap()]));
            assert!(slot.site.bears(&species));
        }
        // A third of 300 places is for two pioneers, half of them on mild ground.
        assert_eq!(counted(&assignment), [50, 50, 50, 150]);
        assert!(assignment.shortfalls.is_empty() && assignment.unanswered.is_empty());
    }

    #[test]
    fn what_can_not_be_kept_is_said() {
        let mix = Mix::Shares(names().into_iter().map(|name| (name, 1.0)).collect());
        let assignment = assign_species(&slots(4, 40, 0, 1), &mix, &[], &list(), 3);
        assert_eq!(counted(&assignment)[1], 40, "all of the mild row");
        assert!(assignment.alike > 0, "which then is one species");
        let words = pattern(&["pioneer", "shrub"]);
        let assignment = assign_species(&slots(4, 40, 2, 0), &mix, &words, &list(), 3);
        assert_eq!(assignment.unanswered, ["shrub"]);
        let missed: Vec<_> = assignment
            .shortfalls
            .iter()
            .map(|shortfall| (&*shortfall.species.0, shortfall.because))
            .collect();
        assert!(missed.contains(&("Acacia two", Because::Sensitive)), "{missed:?}");
        assert!(missed.contains(&("Acacia one", Because::StandsIn)), "{missed:?}");
        assert_eq!(counted(&assignment).iter().sum::<u64>(), 160);

        let counts = names().into_iter().zip([10, 0, 200, 5].map(Stems)).collect();
        let assignment = assign_species(&slots(4, 40, 0, 4), &Mix::Counts(counts), &[], &list(), 3);
        assert_eq!(counted(&assignment).iter().sum::<u64>(), 160);
        assert!(assignment.shortfalls.iter().all(|shortfall| shortfall.because == Because::NoPlace));
    }

    proptest::proptest! {
        /// With three kinds or more, none of them half of the whole, no two alike need stand side by side.
        #[test]
        fn none_beside_its_own_kind(
            shares in proptest::collection::vec(1.0f64..2.0, 4),
            (rows, stems) in (1usize..12, 8usize..40),
            seed in 0u64..1000,
        ) {
            let mix = Mix::Shares(names().into_iter().zip(shares.iter().copied()).collect());
            let assignment = assign_species(&slots(rows, stems, 0, rows), &mix, &[], &list(), seed);
            proptest::prop_assert_eq!(assignment.alike, 0);
            proptest::prop_assert_eq!(counted(&assignment), largest_remainder((rows * stems) as u64, &shares));
            for (at, (name, stems)) in assignment.totals.iter().enumerate() {
                let placed = assignment.species.iter().flatten().filter(|species| *species == name).count() as u64;
                proptest::prop_assert_eq!(placed, stems.0, "{}", at);
            }
        }
    }
}
