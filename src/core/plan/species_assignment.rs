//! Assignment of species to the stems, by quota, role, site and neighbours.

use std::collections::BTreeMap;

use crate::{
    plan::{
        planting_site::Site,
        quotas::{allot, largest_remainder, place_rest},
        species_order::{draw, part, side_by_side},
    },
    project::{SpeciesId, SpeciesList, Tolerance, answers},
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
    /// Parts of all stems, in any unit: exact to a stem, unless plants would die of it.
    Shares(Vec<(SpeciesId, f64)>),
    /// What was planted before: of each role, species share its places by it.
    AsPlanted(Vec<(SpeciesId, f64)>),
    /// Just so many stems, no more; places left over stay empty.
    Counts(Vec<(SpeciesId, Stems)>),
}

impl Mix {
    fn names(&self) -> Vec<&SpeciesId> {
        match self {
            Mix::Shares(shares) | Mix::AsPlanted(shares) => {
                shares.iter().map(|(species, _)| species).collect()
            }
            Mix::Counts(counts) => counts.iter().map(|(species, _)| species).collect(),
        }
    }
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
    /// Every place that is left lies on ground that it would die on.
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
    /// Stems at places of a word that they do not answer to: the pattern gives way to shares.
    pub off_pattern: u64,
    /// Stems of species on ground of which nobody has said whether they bear it.
    pub untried: Vec<(SpeciesId, Stems)>,
}

/// Places of one role on one kind of ground.
type Group = (Option<usize>, Site);

/// Assigns the `mix` to `slots`, whose roles are words of `pattern`; the same `seed` gives the same assignment.
///
/// # Method
/// Places of one role on one kind of ground are a group. Stems are allotted to groups so that every quota finds its places if
/// any way exists: first where the species answers to the word and is known to bear the ground, then, for shares, at any word, and
/// at last where nobody has said that it does not bear the ground. They are then drawn place by place in proportion to what is left
/// of each species in the group, never the one before. A pair that is left at the end is parted by an exchange within its group.
#[must_use]
pub fn assign_species(
    slots: &[Slot],
    mix: &Mix,
    pattern: &[String],
    list: &SpeciesList,
    seed: u64,
) -> Assignment {
    let names = mix.names();
    let plays = plays(&names, pattern, list);
    let unanswered = pattern.iter().zip(&plays).filter(|(_, plays)| plays.is_none());
    let unanswered: Vec<String> = unanswered.map(|(word, _)| word.clone()).collect();
    let any = vec![true; names.len()];
    let plays = |role: Option<usize>| role.and_then(|role| plays[role].as_ref()).unwrap_or(&any);
    let tolerance = |site: Site, kind: usize| {
        list.get(names[kind]).map_or(Tolerance::Tolerant, |species| site.tolerance(species))
    };
    let lives = |site: Site, kind: usize| tolerance(site, kind) != Tolerance::Sensitive;
    let proven = |site: Site, kind: usize| lives(site, kind) && tolerance(site, kind) != Tolerance::Unknown;

    let mut groups: BTreeMap<Group, Vec<usize>> = BTreeMap::new();
    for (at, slot) in slots.iter().enumerate() {
        groups.entry((slot.role, slot.site)).or_default().push(at);
    }
    let sizes: Vec<u64> = groups.values().map(|places| places.len() as u64).collect();
    let may = |own_role: bool, bears: &dyn Fn(Site, usize) -> bool| -> Vec<Vec<bool>> {
        let of = |(role, site): &Group| -> Vec<bool> {
            let plays = plays(*role).iter().enumerate();
            plays.map(|(kind, plays)| (*plays || !own_role) && bears(*site, kind)).collect()
        };
        groups.keys().map(of).collect()
    };
    let (quotas, rest) = match mix {
        Mix::Counts(counts) => (counts.iter().map(|(_, stems)| stems.0).collect(), vec![may(true, &lives)]),
        Mix::AsPlanted(shares) => (by_role(&groups, shares, plays), vec![may(true, &lives)]),
        Mix::Shares(shares) => {
            let shares: Vec<f64> = shares.iter().map(|(_, share)| *share).collect();
            let quotas = largest_remainder(slots.len() as u64, &shares);
            (quotas, vec![may(false, &proven), may(true, &lives), may(false, &lives)])
        }
    };
    let mut allotted = allot(&sizes, &quotas, &may(true, &proven));
    for may in &rest {
        place_rest(&sizes, &quotas, may, &mut allotted);
    }
    if let Mix::Shares(shares) | Mix::AsPlanted(shares) = mix {
        let (own, other) = (may(true, &lives), may(false, &lives));
        stand_in(&sizes, shares, (&own, &other), &mut allotted);
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
        because: because(kind, assigned(kind) > quotas[kind], &groups, plays, lives),
    });
    let where_not = |kind: usize, fits: &dyn Fn(&Group) -> bool| -> u64 {
        let groups = groups.keys().zip(&allotted).filter(|(group, _)| !fits(group));
        groups.map(|(_, allotted)| allotted[kind]).sum()
    };
    let off_pattern = (0..names.len()).map(|kind| where_not(kind, &|(role, _)| plays(*role)[kind])).sum();
    let untried = (0..names.len())
        .map(|kind| (names[kind].clone(), Stems(where_not(kind, &|(_, site)| proven(*site, kind)))))
        .filter(|(_, stems)| stems.0 > 0);
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
        off_pattern,
        untried: untried.collect(),
    }
}

/// Fills places that are left, of each group by the shares of those that may stand there: of its own role, else of any.
fn stand_in(
    sizes: &[u64],
    shares: &[(SpeciesId, f64)],
    (own, other): (&[Vec<bool>], &[Vec<bool>]),
    allotted: &mut [Vec<u64>],
) {
    for (group, size) in sizes.iter().enumerate() {
        let free = size - allotted[group].iter().sum::<u64>();
        let may = if own[group].contains(&true) { &own[group] } else { &other[group] };
        let shares = shares.iter().zip(may).map(|((_, share), may)| if *may { *share } else { 0.0 });
        for (kind, stems) in largest_remainder(free, &shares.collect::<Vec<f64>>()).into_iter().enumerate() {
            allotted[group][kind] += stems;
        }
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

/// Quotas by what was planted: each role's places among the kinds that play it.
fn by_role<'a>(
    groups: &BTreeMap<Group, Vec<usize>>,
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
    groups: &BTreeMap<Group, Vec<usize>>,
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
            group: false,
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
        let mix = Mix::AsPlanted(names().into_iter().map(|name| (name, 1.0)).collect());
        let words = pattern(&["pioneer", "late", "eucalypt"]);
        let slots = slots(10, 30, 3, 5);
        let assignment = assign_species(&slots, &mix, &words, &list(), 1);
        for (slot, species) in slots.iter().zip(&assignment.species) {
            let species = list().get(species.as_ref().unwrap()).unwrap().clone();
            assert!(answers(&species, &words[slot.role.unwrap()]));
            assert!(slot.site.tolerance(&species) != Tolerance::Sensitive);
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

    /// 40 % of pioneers where the pattern has half the places for them: shares are kept to the stem, the pattern gives way by a tenth.
    #[test]
    fn shares_are_of_all_stems_whatever_the_pattern() {
        let mix = Mix::Shares(names().into_iter().zip([29.0, 11.0, 33.0, 27.0]).collect());
        let assignment =
            assign_species(&slots(10, 31, 2, 10), &mix, &pattern(&["pioneer", "late"]), &list(), 1);
        assert_eq!(counted(&assignment), largest_remainder(310, &[29.0, 11.0, 33.0, 27.0]));
        // Rows of 31 stems begin with a pioneer by turns: 155 places, for 124 stems.
        assert_eq!((assignment.off_pattern, assignment.shortfalls.len()), (31, 0));
    }

    /// Half the ground is frosty, and of Corymbia four nobody says whether it bears frost: it goes to the mild half while that has
    /// room, and what does not is counted.
    #[test]
    fn frost_moves_species_and_unknown_tolerance_is_not_passed() {
        let mix = |corymbia: f64| {
            Mix::Shares(names().into_iter().zip([40.0, 10.0, 50.0 - corymbia, corymbia]).collect())
        };
        let slots = slots(10, 30, 0, 5);
        for (corymbia, untried) in [(30.0, 0), (45.0, 15)] {
            let assignment = assign_species(&slots, &mix(corymbia), &[], &list(), 1);
            assert!(assignment.shortfalls.is_empty());
            let frosty = |name: &str| {
                let placed = slots.iter().zip(&assignment.species).filter(|(slot, _)| slot.site.frosty);
                placed
                    .filter(|(_, species)| species.as_ref().is_some_and(|species| &*species.0 == name))
                    .count()
            };
            assert_eq!((frosty("Acacia two"), frosty("Corymbia four")), (0, untried));
            let said: u64 = assignment.untried.iter().map(|(_, stems)| stems.0).sum();
            assert_eq!(said, untried as u64);
        }
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
