//! What the nursery must grow, and the seed that it takes.

use std::collections::BTreeMap;

use chrono::{Days, Months, NaiveDate};
use statrs::function::beta::checked_beta_reg;

use crate::{
    project::SpeciesId,
    units::{Share, Stems},
};

/// Months before planting by which a nursery wants the order, so that it can find the seed and grow the plants, where it has not
/// said: 18 to 24 in the wet tropics of Queensland.
///
/// # Reference
/// Trees for the Evelyn and Atherton Tablelands, Information Note 2.
const ORDER_MONTHS: u32 = 18;

/// A number needed is looked for up to this many times the number that must live.
const MOST: u64 = 100;

/// Shares that live through each step between the seedling in its tray and the plant in the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Raising {
    /// Of seedlings pricked out, those that grow on.
    pub pricking: Share,
    /// Of plants hardened off, those fit to plant.
    pub hardening: Share,
}

/// A lot of seed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeedLot {
    /// Share of pure seeds that give a normal seedling.
    pub germination: Share,
    /// Share of the mass that is seed of the species.
    pub purity: Share,
    /// Pure seeds in a gram; `None` where it is not known.
    pub per_gram: Option<f64>,
    /// Seed sown beyond what the shares ask for.
    pub overage: Share,
}

/// `stems` and what must be there before a step that `lives` of them come through; people handle whole plants, so it is rounded up.
/// `None` where none lives.
#[must_use]
pub fn before_loss(stems: Stems, lives: Share) -> Option<Stems> {
    (lives.part() > 0.0).then(|| Stems(up(stems.0 as f64 / lives.part())))
}

/// The smallest number of which at least `need` live with a probability of `assurance`, each living by itself with `lives`.
///
/// # Equation
/// P(X ≥ k) = I_p(k, n − k + 1) for X binomial of n and p, with I the regularised incomplete beta function.
///
/// # Assumption
/// Losses fall on plants one by one; they come by the tray and by the frost, so 5 to 10 % more is the least (advice).
///
/// # Reference
/// Abramowitz and Stegun (1964), *Handbook of Mathematical Functions*, 26.5.24.
#[must_use]
pub fn assured(need: Stems, lives: Share, assurance: Share) -> Option<Stems> {
    let (p, k) = (lives.part(), need.0);
    if k == 0 || p >= 1.0 {
        return Some(need);
    }
    let enough = |n: u64| {
        let chance = checked_beta_reg(k as f64, (n - k) as f64 + 1.0, p).ok();
        chance.is_some_and(|chance| chance >= assurance.part())
    };
    let (mut low, mut high) = (k, k.saturating_mul(MOST));
    if p <= 0.0 || !enough(high) {
        return None;
    }
    while low < high {
        let middle = low + (high - low) / 2;
        (low, high) = if enough(middle) { (low, middle) } else { (middle + 1, high) };
    }
    Some(Stems(low))
}

impl SeedLot {
    /// Share of the mass that is seed which will grow.
    #[must_use]
    pub fn pure_live_seed(&self) -> Share {
        Share::nearest(self.purity.part() * self.germination.part())
    }

    /// Pure seeds to sow for so many seedlings to prick out, overage counted; `None` where none germinates.
    ///
    /// # Equation
    /// seeds = ⌈⌈seedlings / germination⌉ × (1 + overage)⌉
    #[must_use]
    pub fn seeds(&self, seedlings: Stems) -> Option<u64> {
        let without = before_loss(seedlings, self.germination)?;
        Some(up(without.0 as f64 * (1.0 + self.overage.part())))
    }

    /// Grams of the lot that hold so many pure seeds.
    ///
    /// # Equation
    /// m = seeds / (seeds in a gram × purity)
    #[must_use]
    pub fn grams(&self, seeds: u64) -> Option<f64> {
        let held = self.per_gram? * self.purity.part();
        (held > 0.0).then(|| seeds as f64 / held)
    }
}

/// What is known of the raising of the plants.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Nursery {
    /// Plants beyond those in the plan, as a share of them.
    pub spares: Share,
    /// Plants to hand already.
    pub in_hand: BTreeMap<SpeciesId, Stems>,
    /// Losses while they are raised; `None` where the nursery is to reckon with them itself.
    pub raising: Option<Raising>,
    /// Seed lots.
    pub lots: BTreeMap<SpeciesId, SeedLot>,
    /// Plants in a tray; orders are made up to whole trays.
    pub tray: Option<u64>,
}

/// Stems of one species to plant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToPlant {
    /// The species.
    pub species: SpeciesId,
    /// In new rows.
    pub new: Stems,
    /// In the place of stems that died.
    pub infill: Stems,
}

/// One species of the order.
#[derive(Debug, Clone, PartialEq)]
pub struct OrderLine {
    /// The species.
    pub species: SpeciesId,
    /// Stems in new rows.
    pub planned: Stems,
    /// Stems in the place of those that died.
    pub infill: Stems,
    /// Spares beyond them.
    pub spares: Stems,
    /// Plants to hand, as far as they are needed.
    pub in_hand: Stems,
    /// Plants to order: planned and spares less those to hand, made up to whole trays.
    pub order: Stems,
    /// The day by which it is with the nursery; `None` where nothing is ordered or no planting is in sight.
    pub order_by: Option<NaiveDate>,
    /// Trays.
    pub trays: Option<u64>,
    /// Plants to harden off.
    pub harden: Option<Stems>,
    /// Seedlings to prick out.
    pub prick: Option<Stems>,
    /// Pure seeds to sow, overage counted.
    pub seeds: Option<u64>,
    /// Grams of the seed lot that hold them.
    pub grams: Option<f64>,
}

/// The order for what is to be planted, species by species, by the nursery's shares.
#[must_use]
pub fn order(to_plant: &[ToPlant], nursery: &Nursery) -> Vec<OrderLine> {
    let line = |ToPlant { species, new, infill }: &ToPlant| {
        let stems = new.0 + infill.0;
        let spares = Stems(up(stems as f64 * nursery.spares.part()));
        let needed = stems + spares.0;
        let in_hand = nursery.in_hand.get(species).map_or(0, |stems| stems.0).min(needed);
        let short = needed - in_hand;
        let trays = nursery.tray.filter(|tray| *tray > 0).map(|tray| short.div_ceil(tray));
        let order = Stems(trays.zip(nursery.tray).map_or(short, |(trays, tray)| trays * tray));
        let harden = nursery.raising.and_then(|raising| before_loss(order, raising.hardening));
        let prick = nursery.raising.zip(harden);
        let prick = prick.and_then(|(raising, harden)| before_loss(harden, raising.pricking));
        let lot = nursery.lots.get(species);
        let seeds = lot.zip(prick).and_then(|(lot, prick)| lot.seeds(prick));
        let grams = lot.zip(seeds).and_then(|(lot, seeds)| lot.grams(seeds));
        let species = species.clone();
        OrderLine {
            species,
            planned: *new,
            infill: *infill,
            spares,
            in_hand: Stems(in_hand),
            order,
            order_by: None,
            trays,
            harden,
            prick,
            seeds,
            grams,
        }
    };
    to_plant.iter().map(line).collect()
}

/// How long the raising takes, in days.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LeadTimes {
    /// From sowing to pricking out.
    pub germination: u64,
    /// From pricking out to hardening off.
    pub growing: u64,
    /// From hardening off to planting.
    pub hardening: u64,
    /// From the seed's coming in to sowing, for drying, cleaning and treating it.
    pub treatment: u64,
    /// From the order to planting, in months.
    pub order_months: u32,
}

impl Default for LeadTimes {
    /// Tubestock of hill country trees: six weeks to prick out, half a year to grow, four weeks to harden, two weeks for the seed
    /// (common practice, no source; species differ by months, and the nursery knows its own).
    fn default() -> LeadTimes {
        LeadTimes { germination: 42, growing: 180, hardening: 28, treatment: 14, order_months: ORDER_MONTHS }
    }
}

/// The days on which the raising must begin each step, counted back from the planting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NurseryDates {
    /// The order is with the nursery.
    pub order: NaiveDate,
    /// The seed is in.
    pub seed_in: NaiveDate,
    /// Sowing.
    pub sow: NaiveDate,
    /// Pricking out.
    pub prick: NaiveDate,
    /// Hardening off.
    pub harden: NaiveDate,
}

/// The dates for a planting on `planting`; `None` beyond what a calendar holds.
#[must_use]
pub fn nursery_dates(planting: NaiveDate, times: LeadTimes) -> Option<NurseryDates> {
    let back = |from: NaiveDate, days: u64| from.checked_sub_days(Days::new(days));
    let harden = back(planting, times.hardening)?;
    let prick = back(harden, times.growing)?;
    let sow = back(prick, times.germination)?;
    let seed_in = back(sow, times.treatment)?;
    let order = planting.checked_sub_months(Months::new(times.order_months))?.min(seed_in);
    Some(NurseryDates { order, seed_in, sow, prick, harden })
}

/// Rounded up to a whole number, rounding errors of the division let pass.
fn up(number: f64) -> u64 {
    (number - 1e-9).ceil().max(0.0) as u64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn share(part: f64) -> Share {
        Share::new(part).unwrap()
    }

    fn id(name: &str) -> SpeciesId {
        SpeciesId(name.into())
    }

    /// By hand: 150 in new rows, 50 of infill and a tenth more, 45 to hand, are 175 short: 5 trays of 40; 200 / 0.95 = 210.5 to harden, 211 / 0.9 =
    /// 234.4 to prick, 235 / 0.45 = 522.2 seeds and a fifth more, 627.6: 628 seeds, and 628 / (120 × 0.8) g of the lot.
    #[test]
    fn the_order_counts_spares_stock_trays_and_losses() {
        let lot = SeedLot {
            germination: share(0.45),
            purity: share(0.8),
            per_gram: Some(120.0),
            overage: share(0.2),
        };
        let nursery = Nursery {
            spares: share(0.1),
            in_hand: BTreeMap::from([(id("Acacia one"), Stems(45)), (id("Ficus two"), Stems(900))]),
            raising: Some(Raising { pricking: share(0.9), hardening: share(0.95) }),
            lots: BTreeMap::from([(id("Acacia one"), lot)]),
            tray: Some(40),
        };
        let of = |name: &str, new: u64, infill: u64| ToPlant {
            species: id(name),
            new: Stems(new),
            infill: Stems(infill),
        };
        let lines = order(&[of("Acacia one", 150, 50), of("Ficus two", 100, 0)], &nursery);
        let [acacia, ficus] = &lines[..] else { panic!() };
        assert_eq!((acacia.planned, acacia.infill), (Stems(150), Stems(50)));
        assert_eq!((acacia.spares, acacia.in_hand, acacia.order), (Stems(20), Stems(45), Stems(200)));
        assert_eq!(
            (acacia.trays, acacia.harden, acacia.prick),
            (Some(5), Some(Stems(211)), Some(Stems(235)))
        );
        assert_eq!(acacia.seeds, Some(628));
        assert!((acacia.grams.unwrap() - 628.0 / 96.0).abs() < 1e-9);
        assert_eq!((ficus.in_hand, ficus.order, ficus.seeds), (Stems(110), Stems(0), None));
    }

    #[test]
    fn dates_are_counted_back_from_the_planting() {
        let day = |text: &str| text.parse::<NaiveDate>().unwrap();
        let times =
            LeadTimes { germination: 42, growing: 180, hardening: 28, treatment: 14, order_months: 18 };
        let dates = nursery_dates(day("2027-03-15"), times).unwrap();
        assert_eq!(dates.harden, day("2027-02-15"));
        assert_eq!(dates.prick, day("2026-08-19"));
        assert_eq!(dates.sow, day("2026-07-08"));
        assert_eq!(dates.seed_in, day("2026-06-24"));
        assert_eq!(dates.order, day("2025-09-15"));
        // However soon the nursery takes orders, it wants them before it gathers the seed.
        let soon = nursery_dates(day("2027-03-15"), LeadTimes { order_months: 3, ..times }).unwrap();
        assert_eq!(soon.order, soon.seed_in);
    }

    proptest::proptest! {
        /// One plant fewer would not be enough.
        #[test]
        fn the_assured_number_is_the_smallest(need in 1u64..400, lives in 0.2f64..0.99, assurance in 0.5f64..0.99) {
            let number = assured(Stems(need), share(lives), share(assurance)).unwrap().0;
            let chance = |n: u64| -> f64 {
                // Sum of the binomial's upper tail, by the ratio of neighbouring terms from the top down.
                let mut term = n as f64 * libm::log(lives);
                let mut sum = 0.0;
                for k in (0..=n).rev() {
                    if k < need { break }
                    sum += libm::exp(term);
                    term += libm::log(k as f64 / (n - k + 1) as f64 * (1.0 - lives) / lives);
                }
                sum
            };
            proptest::prop_assert!(chance(number) >= assurance - 1e-9);
            proptest::prop_assert!(number == need || chance(number - 1) < assurance + 1e-9);
        }
    }
}
