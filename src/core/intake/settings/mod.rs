//! `project.toml`: who, where, when, money, targets, soil, planting design, and how tables are mapped.

mod agreement;
mod approval;
mod carbon;
pub(crate) mod choose;
mod crew;
mod excerpt;
mod joined;
mod layers;
mod names;
mod not_held;
mod photos;
mod placed;
mod registers;
mod section;
mod sections;
mod survey;
mod tables;
mod target;
mod written;

use std::collections::BTreeMap;

use chrono::NaiveDate;
use toml::de::DeTable;

use crate::{
    intake::mapping::Mapping,
    problem::{self, Problem, Reading},
    project::{
        AgreementId, Approval, BudgetLine, CarbonRules, Climate, CoverBefore, CoverClass, Crew, DatedSum,
        Identity, MoneyRules, NurseryRules, Period, PlantingDesign, Sharing, SlopeClasses, Soil, Statistics,
    },
    source::Input,
};

use section::{Section, place};

pub(crate) use agreement::{RawAgreement, agreements};
pub use excerpt::{originals_excerpt, others_excerpt, settings_excerpt, settings_naming};
pub(crate) use joined::joined;
pub(crate) use names::Names;
pub use not_held::not_held_excerpt;
pub(crate) use photos::PhotoRules;
pub use placed::in_their_place;
pub(crate) use placed::{is_begun, placed};
pub(crate) use tables::FIELD_BOOK;
pub(crate) use target::{RawTarget, aged, targets};
pub use written::{set_by, with_answers};

/// Everything that `project.toml` says.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Settings {
    /// Who, where and under which reference.
    pub(crate) identity: Identity,
    /// The reporting period; all time where it could not be read, so that the checks of other files can go on.
    pub(crate) period: Period,
    /// How figures are judged.
    pub(crate) statistics: Statistics,
    /// The approval that an offset is done under.
    pub(crate) approval: Option<Approval>,
    /// How money is acquitted.
    pub(crate) money: MoneyRules,
    /// Wet season and frost months.
    pub(crate) climate: Climate,
    /// Soil facts.
    pub(crate) soil: Soil,
    /// The land as it was.
    pub(crate) cover_before: Option<CoverBefore>,
    /// The scale of cover that was read in classes.
    pub(crate) cover_scale: Vec<CoverClass>,
    /// How carbon is worked out.
    pub(crate) carbon: CarbonRules,
    /// Slope class breaks.
    pub(crate) slope_classes: SlopeClasses,
    /// The planting design.
    pub(crate) design: Option<PlantingDesign>,
    /// How plants are ordered and raised.
    pub(crate) nursery: NurseryRules,
    /// Who sets out and plants.
    pub(crate) crew: Crew,
    /// The agreed budget.
    pub(crate) budget: Vec<BudgetLine>,
    /// The agreements over the place; areas are still names.
    pub(crate) agreements: Vec<RawAgreement>,
    /// Whether the pack of each agreement holds the whole folder too.
    pub(crate) whole_inputs: bool,
    /// The files of the whole folder that a part was taken from.
    pub(crate) originals: Vec<Input>,
    /// Others who pay for the place, of a part that tells of them.
    pub(crate) other_sources: Vec<crate::project::OtherSource>,
    /// Costs that are not charged to this part.
    pub(crate) not_charged: Vec<crate::project::NotCharged>,
    /// What this part bore of things that several paid for.
    pub(crate) asset_shares: Vec<crate::project::AssetShare>,
    /// How rows that name no agreement are shared out.
    pub(crate) sharing: Vec<Sharing>,
    /// Cash that the landholder put in.
    pub(crate) own_cash: Vec<DatedSum>,
    /// What is asked for; areas and species are still names.
    pub(crate) targets: Vec<RawTarget>,
    /// Names of the user's own for areas, plots and species.
    pub(crate) names: Names,
    /// How a picture finds its photo point.
    pub(crate) photos: PhotoRules,
    /// How tables and layers are mapped, by the name of the table.
    pub(crate) tables: BTreeMap<String, Mapping>,
}

/// Reads `project.toml`. Gives `None` only for text that is not TOML: any other mistake is a problem, and reading goes on.
pub(crate) fn read(text: &str, problems: &mut Vec<Problem>) -> Option<Settings> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let (table, broken) = DeTable::parse_recoverable(text);
    if let Some(joined) = joined(text).filter(|_| !broken.is_empty()) {
        problems.extend(joined.twice.iter().map(|twice| stands_twice(text, twice)));
        let said = problems.len();
        let settings = read(&joined.text, problems);
        for place in problems[said..].iter_mut().map(|problem| &mut problem.place) {
            place.row = place.row.map(|row| joined.line(row));
        }
        return settings;
    }
    if !broken.is_empty() {
        problems.extend(broken.iter().map(|error| {
            let kind = Reading::Malformed { format: "TOML", why: error.message().to_owned() };
            Problem::new(kind, place(text, &error.span().unwrap_or_default()))
        }));
        return None;
    }
    let mut root = Section::root(text, &table, problems);
    let agreements = agreement::raw_agreements(&mut root);
    agreement::refuse_both(&mut root, &agreements);
    let ids: Vec<AgreementId> = agreements.iter().map(|agreement| agreement.id().clone()).collect();
    let settings = Settings {
        sharing: agreement::sharing(&mut root, &ids),
        own_cash: agreement::own_cash(&mut root),
        agreements,
        whole_inputs: sections::whole_inputs(&mut root),
        originals: excerpt::originals(&mut root),
        other_sources: excerpt::other_sources(&mut root),
        not_charged: not_held::not_charged(&mut root),
        asset_shares: not_held::asset_shares(&mut root),
        identity: sections::identity(&mut root),
        period: sections::period(&mut root).unwrap_or(Period { from: NaiveDate::MIN, to: NaiveDate::MAX }),
        statistics: sections::statistics(&mut root),
        approval: approval::approval(&mut root),
        money: sections::money(&mut root),
        climate: sections::climate(&mut root),
        soil: sections::soil(&mut root),
        cover_before: sections::cover_before(&mut root),
        cover_scale: survey::cover_scale(&mut root),
        carbon: carbon::carbon(&mut root),
        slope_classes: sections::slope_classes(&mut root),
        design: sections::design(&mut root),
        nursery: sections::nursery(&mut root),
        crew: crew::crew(&mut root),
        budget: sections::budget(&mut root),
        targets: target::raw_targets(&mut root),
        names: names::names(&mut root),
        photos: photos::photos(&mut root),
        tables: tables::tables(&mut root),
    };
    root.finish();
    Some(settings)
}

fn stands_twice(text: &str, twice: &joined::Twice) -> Problem {
    let [first, again] = twice.at;
    let before = text.split_inclusive('\n').take(again.0.saturating_sub(1) as usize).map(str::len).sum();
    let kind = problem::Settings::StandsTwice {
        name: twice.name.trim().to_owned(),
        first,
        again,
        joined: twice.joined.clone(),
        unlike: twice.unlike.clone(),
    };
    Problem::new(kind, place(text, &(before..before)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::{Bound, SpeciesList, TaxBasis};

    const LEAST: &str = "[project]\nname = \"Brindle Spur\"\nreference = \"BS-2025\"\nlandholder = \"The Trust\"\nlocality = \"Tarrow\"\ncurrency = \"AUD\"\n[period]\nfrom = 2025-07-01\nto = 2026-06-30\n";

    fn codes(text: &str) -> Vec<(Option<u32>, &'static str)> {
        let mut problems = Vec::new();
        read(text, &mut problems);
        problems.iter().map(|problem| (problem.place.row, problem.kind.own_code())).collect()
    }

    #[test]
    fn the_least_that_must_be_said_is_enough() {
        let mut problems = Vec::new();
        let settings = read(LEAST, &mut problems).unwrap();
        assert!(problems.is_empty(), "{problems:?}");
        assert_eq!(settings.identity.name, "Brindle Spur");
        assert_eq!(settings.period.to, NaiveDate::from_ymd_opt(2026, 6, 30).unwrap());
        assert_eq!(settings.money.acquit, TaxBasis::Excluded);
    }

    #[test]
    fn everything_of_the_contract_is_read() {
        let text = format!(
            "{LEAST}{}",
            r##"
[[budget]]
line = "Plants and guards"
cash = 18400.10
in_kind = 0
[[target]]
id = "survival-y1"
under = "grant"
measure = "survival"
area = "all"
at_least = 0.80
by = 2026-06-30
words = "At least 80 %"
[statistics]
confidence = 0.90
targets_by = "interval"
[money]
acquit = "tax included"
volunteer_rate = 30.00
volunteer_rate_source = "the agreement, 2025"
[terrain]
classes = "practice"
[climate]
wet_season = [12, 3]
frost = [6, 8]
[soil]
organic_matter_percent = 3.2
texture = "clay loam"
erosivity = 4200
[cover.before]
ground_percent = 55
canopy_percent = 0
source = "Photo points P1 and P2, July 2025"
[rows]
spacing_m = 4.0
stem_spacing_m = 2.0
strip_m = 2.5
setback_m = { fence = 3, watercourse = 5, power_line = 10, building = 20 }
pattern = ["pioneer", "late"]
[tables.plantings]
file = "Planting book 2025.csv"
columns = { "Day planted" = "date", "Sp." = "species" }
dates = "day-first"
"##
        );
        let mut problems = Vec::new();
        let settings = read(&text, &mut problems).unwrap();
        assert!(problems.is_empty(), "{problems:?}");
        assert_eq!(settings.budget[0].cash.0.to_string(), "18400.10", "exact as written");
        let targets = targets(&settings, &[], &SpeciesList::default(), &mut problems);
        assert_eq!(targets[0].bound, Bound::AtLeast(0.8));
        assert_eq!(settings.tables["plantings"].columns["Sp."], "species");
        assert_eq!(settings.design.unwrap().setback.len(), 4);
    }

    #[test]
    fn every_mistake_is_said_with_its_line() {
        let text = LEAST
            .replace("landholder", "landhodler")
            .replace("to = 2026", "to = 2024")
            .replace("AUD", "dollars");
        assert_eq!(
            codes(&text),
            [
                (Some(1), "key-missing"),
                (Some(6), "value-unreadable"),
                (Some(4), "key-unknown"),
                (Some(9), "period-backwards")
            ]
        );
        let text = format!(
            "{LEAST}[statistics]\nconfidence = \"high\"\n[[target]]\nid = \"a\"\nunder = \"grant\"\nmeasure = \"survivall\"\n[[budget]]\nline = \"x\"\ncash = -1\n[soli]\n"
        );
        let found = codes(&text);
        for expected in [
            (Some(11), "value-unreadable"),
            (Some(15), "value-unreadable"),
            (Some(18), "value-unreadable"),
            (Some(19), "key-unknown"),
        ] {
            assert!(found.contains(&expected), "{expected:?} in {found:?}");
        }
        assert_eq!(codes("[project\nname = 1"), [(Some(1), "malformed")]);
    }

    #[test]
    fn money_is_exact_however_it_is_written_and_nothing_else_passes_for_it() {
        let cash = |written: &str| {
            let mut problems = Vec::new();
            let text = format!("{LEAST}[[budget]]\nline = \"x\"\ncash = {written}\n");
            let budget = read(&text, &mut problems).unwrap().budget;
            (budget.first().map(|line| line.cash.0.to_string()), problems.len())
        };
        for (written, exact) in
            [("0.1", "0.1"), ("18_400.00", "18400.00"), ("1.84e4", "18400"), ("0", "0"), ("0.07", "0.07")]
        {
            assert_eq!(cash(written), (Some(exact.to_owned()), 0), "{written}");
        }
        for refused in ["-0.01", "nan", "inf", "0x10", "\"18400\"", "true", "[1]", "2025-07-01"] {
            assert_eq!(cash(refused), (None, 1), "{refused}");
        }
    }

    #[test]
    fn what_can_not_stand_is_said_of_each_section() {
        let wrong = [
            ("[statistics]\nconfidence = 0.5", "value-unreadable"),
            ("[statistics]\nconfidence = 0.999", "value-unreadable"),
            ("[statistics]\nconfidence = nan", "value-unreadable"),
            ("[climate]\nfrost = [0, 13]", "value-unreadable"),
            ("[climate]\nfrost = [6]", "value-unreadable"),
            ("[climate]\nfrost = [6.5, 8]", "value-unreadable"),
            ("[terrain]\nbreaks_deg = [12, 5]", "value-unreadable"),
            ("[terrain]\nbreaks_deg = [5, 95]", "value-unreadable"),
            ("[terrain]\nbreaks_deg = [5]\nclasses = \"practice\"", "value-unreadable"),
            ("[soil]\nstructure = 5", "value-unreadable"),
            ("[soil]\nclay_percent = 101", "value-unreadable"),
            ("[cover.before]\nground_percent = 55", "key-missing"),
            ("[cover.after]\nground_percent = 55", "key-unknown"),
            ("[rows]\nspacing_m = 2\nstem_spacing_m = 2\nstrip_m = 2.5", "value-unreadable"),
            ("[rows]\nspacing_m = 2\nstem_spacing_m = 2\nsetback_m = { fense = 3 }", "key-unknown"),
            ("[tables.plantigns]\nfile = \"a.csv\"", "key-unknown"),
            ("[tables.plantings.columns]\nA = \"date\"\nB = \"DATE\"", "name-twice"),
            ("[tables.plantings]\ndates = \"day last\"", "value-unreadable"),
            ("[money]\nacquit = \"net\"", "value-unreadable"),
            ("[[budget]]\nline = \"x\"\ncash = 1\n[[budget]]\nline = \"X \"\ncash = 1", "name-twice"),
            ("budget = 3", "value-unreadable"),
            ("[project.extra]\na = 1", "key-unknown"),
        ];
        for (text, code) in wrong {
            let text =
                if text.starts_with('[') { format!("{LEAST}{text}\n") } else { format!("{text}\n{LEAST}") };
            let codes: Vec<&str> = codes(&text).into_iter().map(|(_, code)| code).collect();
            assert_eq!(codes, [code], "{text}");
        }
    }

    #[test]
    fn targets_say_which_measure_needs_what() {
        let target = |lines: &str| {
            let text = format!("{LEAST}[[target]]\nid = \"t\"\nunder = \"grant\"\n{lines}\n");
            codes(&text).into_iter().map(|(_, code)| code).collect::<Vec<_>>()
        };
        assert_eq!(target("measure = \"cover\"\nat_least = 0.5"), ["target-lacks", "target-lacks"]);
        assert_eq!(
            target("measure = \"length\"\nkind = \"fence\"\nstatus = \"new\"\nat_least = 900"),
            [""; 0]
        );
        assert_eq!(target("measure = \"survival\"\nat_least = 80"), ["value-unreadable"], "80 % is 0.80");
        assert_eq!(target("measure = \"survival\"\nat_least = 0.8\nline = \"x\""), ["target-key-unused"]);
        assert_eq!(target("measure = \"survival\"\nat_least = 0.8\nat_most = 0.9"), ["target-without-bound"]);
        assert_eq!(target("measure = \"survivl\"\nat_least = 0.8\nlayer = \"x\""), ["value-unreadable"]);
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in "\\PC{0,200}") {
            read(&text, &mut Vec::new());
        }
    }
}
