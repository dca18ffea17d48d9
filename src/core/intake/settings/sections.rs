//! The sections of `project.toml`, each a function from the file to its typed value.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    geometry::Grid,
    intake::{
        nearest::{folded, same},
        settings::section::Section,
    },
    problem::Settings,
    project::{
        AreaId, BudgetLine, Climate, CoverBefore, FeatureKind, Identity, MoneyRules, Months, NurseryRules,
        Paper, Period, PlantingDesign, SlopeClasses, Soil, Statistics, TargetRule, TaxBasis, VolunteerRate,
    },
    units::{Degrees, Metres, Money, Share},
};

/// `[project]`.
pub(crate) fn identity(root: &mut Section) -> Identity {
    let Some(mut section) = root.section("project") else {
        if !root.has("project") {
            root.missing("project", "[project] with name, reference, landholder, locality and currency");
        }
        return Identity::default();
    };
    let identity = Identity {
        name: section.text_needed("name", "name = \"Brindle Spur\"").unwrap_or_default(),
        reference: section.text_needed("reference", "reference = \"BS-2025\"").unwrap_or_default(),
        landholder: section
            .text_needed("landholder", "landholder = \"The Brindle Spur Trust\"")
            .unwrap_or_default(),
        locality: section.text_needed("locality", "locality = \"Upper Tarrow Valley\"").unwrap_or_default(),
        funder: section.text("funder"),
        program: section.text("program"),
        grantee: section.text("grantee"),
        author: section.text("author"),
        signatory: section.text("signatory"),
        contact: section.text("contact"),
        parcels: section.text("parcels"),
        grid: grid(&mut section),
        currency: currency(&mut section),
        paper: section.choice("paper", &[("a4", Paper::A4), ("letter", Paper::Letter)]).unwrap_or_default(),
        accent: accent(&mut section),
    };
    section.finish();
    identity
}

fn grid(section: &mut Section) -> Option<u16> {
    let written = section.text("coordinates")?;
    let code = folded(&written).strip_prefix("epsg:").and_then(|code| code.trim().parse::<u16>().ok());
    let grid = code.and_then(Grid::of_epsg);
    if grid.is_none() {
        let wanted = "the EPSG code of a projected grid, such as \"EPSG:7855\" for GDA2020 / MGA zone 55";
        section.wrong("coordinates", wanted, None);
    }
    grid.and_then(|grid| grid.epsg())
}

fn currency(section: &mut Section) -> String {
    let Some(written) = section.text_needed("currency", "currency = \"AUD\"") else { return String::new() };
    let code = written.to_uppercase();
    if code.len() != 3 || !code.bytes().all(|letter| letter.is_ascii_uppercase()) {
        section.wrong("currency", "the three letters of a currency (ISO 4217), such as \"AUD\"", None);
    }
    code
}

fn accent(section: &mut Section) -> Option<String> {
    let colour = section.text("accent")?.to_lowercase();
    let digits = colour.strip_prefix('#').unwrap_or_default();
    if digits.len() != 6 || !digits.bytes().all(|digit| digit.is_ascii_hexdigit()) {
        section.wrong("accent", "a colour written \"#2f5d50\"", None);
        return None;
    }
    Some(colour)
}

/// `[period]`; `None` where a day is missing, unreadable or the two stand the wrong way round.
pub(crate) fn period(root: &mut Section) -> Option<Period> {
    let Some(mut section) = root.section("period") else {
        if !root.has("period") {
            root.missing("period", "[period] with from = 2025-07-01 and to = 2026-06-30");
        }
        return None;
    };
    let period = span_needed(&mut section, ("from", "from = 2025-07-01"), ("to", "to = 2026-06-30"));
    section.finish();
    period
}

/// The period of an agreement, where it has one of its own.
pub(crate) fn period_within(section: &mut Section) -> Option<Period> {
    if section.has("period") { period(section) } else { None }
}

/// Two days that must be there, each key with an example; `None` where one is missing, unreadable or the two stand the wrong way round.
pub(crate) fn span_needed(
    section: &mut Section,
    first: (&'static str, &'static str),
    last: (&'static str, &'static str),
) -> Option<Period> {
    let (from, to) = (section.day(first.0), section.day(last.0));
    for (key, example) in [first, last] {
        if !section.has(key) {
            section.missing(key, example);
        }
    }
    let period = from.zip(to).map(|(from, to)| Period { from, to });
    let forward = period.filter(|period| period.from <= period.to);
    if let (Some(period), None) = (period, forward) {
        section.say(
            last.0,
            Settings::PeriodBackwards { from: period.from.to_string(), to: period.to.to_string() },
        );
    }
    forward
}

/// `[pack]`: whether the pack of each agreement holds the whole folder beside the part that its documents rest on.
pub(crate) fn whole_inputs(root: &mut Section) -> bool {
    let Some(mut section) = root.section("pack") else { return false };
    let whole = section.choice("inputs", &[("used", false), ("whole", true)]).unwrap_or_default();
    section.finish();
    whole
}

/// `[statistics]`.
pub(crate) fn statistics(root: &mut Section) -> Statistics {
    let usual = Statistics::default();
    let Some(mut section) = root.section("statistics") else { return usual };
    let wanted = "a two-sided confidence level above 0.5 and below 0.999, such as 0.90";
    let confidence = section.number("confidence", f64::NEG_INFINITY, f64::INFINITY, wanted);
    if confidence.is_some_and(|level| level <= 0.5 || level >= 0.999) {
        section.wrong("confidence", wanted, None);
    }
    let rules = [("interval", TargetRule::Interval), ("value", TargetRule::Value)];
    let targets_by = section.choice("targets_by", &rules).unwrap_or_default();
    section.finish();
    Statistics { confidence: confidence.unwrap_or(usual.confidence), targets_by }
}

/// `[money]`.
pub(crate) fn money(root: &mut Section) -> MoneyRules {
    let Some(mut section) = root.section("money") else { return MoneyRules::default() };
    let bases = [("tax excluded", TaxBasis::Excluded), ("tax included", TaxBasis::Included)];
    let acquit = section.choice("acquit", &bases).unwrap_or_default();
    let volunteer_rate = volunteer_rate(&mut section);
    let received = section.money("received");
    let explain_beyond =
        section.number("explain_beyond", 0.0, 1.0, "a share from 0 to 1: 0.10 for ten per cent of a line");
    section.finish();
    MoneyRules { acquit, volunteer_rate, received, explain_beyond }
}

/// What an hour of volunteers is worth, in whichever section it stands.
pub(crate) fn volunteer_rate(section: &mut Section) -> Option<VolunteerRate> {
    let source = section.text("volunteer_rate_source");
    let rate =
        section.money("volunteer_rate").map(|per_hour| VolunteerRate { per_hour, source: source.clone() });
    if rate.is_some() && source.is_none() {
        section.say("volunteer_rate", Settings::RateWithoutSource);
    }
    rate
}

/// `[climate]`.
pub(crate) fn climate(root: &mut Section) -> Climate {
    let Some(mut section) = root.section("climate") else { return Climate::default() };
    let climate = Climate {
        wet_season: months(&mut section, "wet_season"),
        frost: months(&mut section, "frost"),
        fire: months(&mut section, "fire"),
    };
    section.finish();
    climate
}

fn months(section: &mut Section, key: &'static str) -> Option<Months> {
    let wanted = "the first and the last month, such as [12, 3] for December to March";
    let numbers = section.numbers(key, wanted)?;
    let month = |number: &f64| (1..=12u32).find(|month| f64::from(*month) == *number);
    let months = match numbers.as_slice() {
        [first, last] => month(first).zip(month(last)),
        _ => None,
    };
    if months.is_none() {
        section.wrong(key, wanted, None);
    }
    months
}

/// `[soil]`.
pub(crate) fn soil(root: &mut Section) -> Soil {
    let Some(mut section) = root.section("soil") else { return Soil::default() };
    let percent = "a percentage from 0 to 100";
    let soil = Soil {
        texture: section.text("texture"),
        organic_matter_percent: section.number("organic_matter_percent", 0.0, 100.0, percent),
        silt_and_very_fine_sand_percent: section.number(
            "silt_and_very_fine_sand_percent",
            0.0,
            100.0,
            percent,
        ),
        clay_percent: section.number("clay_percent", 0.0, 100.0, percent),
        structure: section.whole("structure", 1, 4),
        permeability: section.whole("permeability", 1, 6),
        k: section.number("k", 0.0, 0.2, "the erodibility K in t.ha.h/(ha.MJ.mm), from 0 to 0.2"),
        erosivity: section.number(
            "erosivity",
            0.0,
            100_000.0,
            "the erosivity R in MJ.mm/(ha.h.yr), from 0 to 100 000",
        ),
        rain_2y_6h_mm_per_h: section.number(
            "rain_2y_6h_mm_per_h",
            0.0,
            200.0,
            "the intensity of the 2-year 6-hour storm in mm/h, from 0 to 200",
        ),
    };
    section.finish();
    soil
}

/// `[cover.before]`.
pub(crate) fn cover_before(root: &mut Section) -> Option<CoverBefore> {
    let mut cover = root.section("cover")?;
    let before = cover.section("before").and_then(|mut section| {
        let percent = "a percentage from 0 to 100";
        let keys = [("ground_percent", "ground_percent = 55"), ("canopy_percent", "canopy_percent = 0")];
        let [ground, canopy] = keys.map(|(key, example)| {
            if !section.has(key) {
                section.missing(key, example);
            }
            section.number(key, 0.0, 100.0, percent).and_then(|number| Share::new(number / 100.0))
        });
        let source = section.text("source");
        if source.is_none() && ground.is_some() && canopy.is_some() {
            section.say("ground_percent", Settings::CoverBeforeWithoutSource);
        }
        section.finish();
        Some(CoverBefore { ground: ground?, canopy: canopy?, source })
    });
    cover.finish();
    before
}

/// `[terrain]`.
pub(crate) fn slope_classes(root: &mut Section) -> SlopeClasses {
    let Some(mut section) = root.section("terrain") else { return SlopeClasses::default() };
    let known = [("practice", SlopeClasses::Practice), ("field handbook", SlopeClasses::FieldHandbook)];
    let classes = section.choice("classes", &known);
    let wanted = "rising degrees below 90, such as [5, 12, 15, 18]";
    let breaks = section.numbers("breaks_deg", wanted);
    if let Some(breaks) = &breaks {
        let rising = breaks.windows(2).all(|pair| pair[0] < pair[1]);
        let inside = breaks.iter().all(|degrees| *degrees > 0.0 && *degrees < 90.0);
        if breaks.is_empty() || !rising || !inside {
            section.wrong("breaks_deg", wanted, None);
        }
        if section.has("classes") {
            section.wrong("classes", "left out where breaks_deg is set: one of the two decides", None);
        }
    }
    section.finish();
    match breaks {
        Some(breaks) => SlopeClasses::Breaks(breaks.into_iter().map(Degrees).collect()),
        None => classes.unwrap_or_default(),
    }
}

/// Different words of a pattern at the most.
const MOST_WORDS: usize = 12;

/// `[rows]`.
pub(crate) fn design(root: &mut Section) -> Option<PlantingDesign> {
    let mut section = root.section("rows")?;
    let metres = "metres, more than 0 and at most 100";
    for (key, example) in [("spacing_m", "spacing_m = 4.0"), ("stem_spacing_m", "stem_spacing_m = 2.0")] {
        if !section.has(key) {
            section.missing(key, example);
        }
    }
    let spacing = section.number("spacing_m", f64::MIN_POSITIVE, 100.0, metres);
    let stem_spacing = section.number("stem_spacing_m", f64::MIN_POSITIVE, 100.0, metres);
    let strip = section.number("strip_m", 0.0, 100.0, "metres, from 0 to 100").map(Metres);
    let mut rate = |key: &'static str| {
        section.number(key, 1.0, 100_000.0, "metres of strip in an hour, from 1").map(Metres)
    };
    let (machine_rate, hand_rate) = (rate("machine_m_per_h"), rate("hand_m_per_h"));
    let setback = setbacks(&mut section);
    let pattern = section.words("pattern").unwrap_or_default();
    let areas =
        section.words("areas").map(|names| names.into_iter().map(|name| AreaId(name.into())).collect());
    let words: BTreeSet<String> = pattern.iter().map(|word| folded(word)).collect();
    if words.len() > MOST_WORDS || words.contains("") {
        section.wrong(
            "pattern",
            "words such as \"pioneer\", none of them empty and at most 12 different ones",
            None,
        );
    }
    let steepest = section.number("steepest_deg", f64::MIN_POSITIVE, 89.0, "degrees below 90").map(Degrees);
    if let (Some(Metres(strip)), Some(spacing)) = (strip, spacing)
        && strip >= spacing
    {
        section.wrong("strip_m", "less than spacing_m: the strip of grass lies between two rows", None);
    }
    let exposed = section.number("exposed_m", f64::MIN_POSITIVE, 100.0, metres).map(Metres);
    let stagger = section.flag("stagger").unwrap_or(true);
    section.finish();
    let (spacing, stem_spacing) = (Metres(spacing?), Metres(stem_spacing?));
    Some(PlantingDesign {
        areas,
        spacing,
        stem_spacing,
        strip,
        machine_rate,
        hand_rate,
        setback,
        pattern,
        steepest,
        exposed,
        stagger,
    })
}

/// `[nursery]`.
pub(crate) fn nursery(root: &mut Section) -> NurseryRules {
    let usual = NurseryRules::default();
    let Some(mut section) = root.section("nursery") else { return usual };
    let mut share = |key: &'static str, most: f64| {
        let wanted = "a percentage";
        section.number(key, 0.0, most, wanted).map(|percent| Share::nearest(percent / 100.0))
    };
    let (spares, pricking, hardening) =
        (share("spares_percent", 100.0), share("pricking_percent", 100.0), share("hardening_percent", 100.0));
    let tray = section.whole("tray", 1, 250);
    let order_months = section.whole("order_months", 1, 60);
    section.finish();
    NurseryRules { spares: spares.unwrap_or(usual.spares), tray, pricking, hardening, order_months }
}

fn setbacks(section: &mut Section) -> BTreeMap<FeatureKind, Metres> {
    let Some(mut setbacks) = section.section("setback_m") else { return BTreeMap::new() };
    // A TOML key holds no space unless quoted, so `power_line` stands for "power line".
    const KEYS: [(&str, FeatureKind); 17] = [
        ("property", FeatureKind::Property),
        ("fence", FeatureKind::Fence),
        ("gate", FeatureKind::Gate),
        ("track", FeatureKind::Track),
        ("road", FeatureKind::Road),
        ("watercourse", FeatureKind::Watercourse),
        ("water", FeatureKind::Water),
        ("water_point", FeatureKind::WaterPoint),
        ("gully", FeatureKind::Gully),
        ("slip", FeatureKind::Slip),
        ("exclusion", FeatureKind::Exclusion),
        ("remnant", FeatureKind::Remnant),
        ("power_line", FeatureKind::PowerLine),
        ("buried_service", FeatureKind::BuriedService),
        ("building", FeatureKind::Building),
        ("guide_line", FeatureKind::GuideLine),
        ("other", FeatureKind::Other),
    ];
    let wanted = "metres, from 0 to 1000";
    let found = KEYS
        .iter()
        .filter_map(|(key, kind)| Some((*kind, Metres(setbacks.number(key, 0.0, 1000.0, wanted)?))))
        .collect();
    setbacks.finish();
    found
}

/// Every `[[budget]]`.
pub(crate) fn budget(root: &mut Section) -> Vec<BudgetLine> {
    let mut names: Vec<String> = Vec::new();
    root.each("budget", |section| {
        let line = section.text_needed("line", "line = \"Plants and guards\"");
        if !section.has("cash") {
            section.missing("cash", "cash = 18400.00");
        }
        let (cash, in_kind) = (section.money("cash"), section.money("in_kind").unwrap_or(Money::ZERO));
        let line = line?;
        if names.iter().any(|name| same(name, &line)) {
            section.say("line", Settings::NameTwice { what: "budget lines", name: line.clone() });
        }
        names.push(line.clone());
        Some(BudgetLine { line, cash: cash?, in_kind, source: section.row() })
    })
}
