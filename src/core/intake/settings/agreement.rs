//! `[[agreement]]`: the agreements over the place, `[[sharing]]` between them, and `[[own]]` cash of the landholder.

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::{
    intake::{
        nearest::same,
        records::claims::payer,
        settings::{
            approval, layers, registers,
            section::Section,
            sections,
            target::{RawTarget, raw_targets_under, resolved_under},
        },
    },
    problem::{self, Funding, Problem},
    project::{
        Agreement, AgreementId, AgreementKind, AnswerLimit, Area, AreaId, BudgetLine, CarriedOver,
        Contribution, DateBasis, DatedSum, Explain, Instalment, Milestone, Payer, Period, Question, Reported,
        ShareBasis, ShareOver, Sharing, Signer, SpeciesList, StatementScope, TaxBasis, UnspentFate,
        UnspentRule, VarianceTest, Variation, YearBudget, refused_by_windows, slug,
    },
    units::Money,
};

/// Names that an agreement can't have: those of other folders among the documents, and words with a meaning of their own.
const TAKEN: [&str; 9] =
    ["own", "unclaimed", "all", "data", "forms", "layers", "maps", "templates", "inputs"];

/// An agreement whose areas and targets are still names.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RawAgreement {
    agreement: Agreement,
    areas: Option<Vec<String>>,
    supports: Vec<String>,
    targets: Vec<RawTarget>,
    places: [problem::Place; 2],
}

impl RawAgreement {
    /// The lines of its budget.
    pub(crate) fn budget_lines(&self) -> impl Iterator<Item = &String> {
        self.agreement.budget.iter().map(|of_year| &of_year.line.line)
    }
}

impl RawAgreement {
    /// Its id.
    pub(crate) fn id(&self) -> &AgreementId {
        &self.agreement.id
    }
}

/// Every `[[agreement]]`.
pub(crate) fn raw_agreements(root: &mut Section) -> Vec<RawAgreement> {
    let mut ids: Vec<String> = Vec::new();
    root.each("agreement", |section| {
        let id = section.text_needed("id", "id = \"catchment\"");
        let plain = |id: &String| {
            let free = !TAKEN.contains(&id.as_str()) && refused_by_windows(id).is_none();
            free && slug(id) == *id && id.len() <= 40
        };
        let usable = id.as_ref().is_none_or(plain);
        if !usable {
            let wanted = "a short name for tables and folders: small letters, digits and hyphens, such as \"catchment\"; \
                          not own, unclaimed, all, data, forms, layers, maps, templates or inputs, nor a device such as con or aux";
            section.wrong("id", wanted, None);
        }
        if let Some(id) = &id
            && ids.iter().any(|earlier| same(earlier, id))
        {
            section.say("id", problem::Settings::NameTwice { what: "agreements", name: id.clone() });
        }
        ids.extend(id.clone());
        let read = agreement(section, id.clone().unwrap_or_default());
        (id.is_some() && usable).then_some(read)
    })
}

fn agreement(section: &mut Section, id: String) -> RawAgreement {
    let kinds = [("grant", AgreementKind::Grant), ("offset", AgreementKind::Offset)];
    let kind = section.choice("kind", &kinds).unwrap_or_default();
    let term = sections::span_needed(section, ("from", "from = 2024-07-01"), ("to", "to = 2027-06-30"));
    let period = sections::period_within(section);
    let bases = [("excluded", TaxBasis::Excluded), ("included", TaxBasis::Included)];
    let days =
        [("paid", DateBasis::Paid), ("invoice", DateBasis::Invoice), ("delivered", DateBasis::Delivered)];
    let approval = match kind {
        AgreementKind::Offset => Some(approval::approval(section).unwrap_or_default()),
        AgreementKind::Grant => None,
    };
    let places = [section.place_of("areas"), section.place_of("supports")];
    let areas = section.texts("areas");
    if areas.as_ref().is_some_and(Vec::is_empty) {
        section.wrong("areas", "the names of its areas; left out, all of the ground", None);
    }
    let supports = section.texts("supports").unwrap_or_default();
    let (tax, claims_tax_back) = (section.choice("tax", &bases), section.flag("claims_tax_back"));
    if tax == Some(TaxBasis::Included) && claims_tax_back == Some(true) {
        section.say("tax", Funding::TaxClaimedAndCharged { id: id.clone() });
    }
    let targets = raw_targets_under(section, Some(kind.word()));
    let agreement = Agreement {
        id: AgreementId(id.into()),
        kind,
        funder: section.text("funder"),
        program: section.text("program"),
        reference: section.text("reference"),
        grantee: section.text("grantee"),
        grantee_number: section.text("grantee_number"),
        signatory: section.text("signatory"),
        signer: section.choice("signer", &Signer::ALL.map(|signer| (signer.words(), signer))),
        term: term.unwrap_or_else(any_day),
        approved: section.day("approved"),
        period,
        areas: None,
        supports: Vec::new(),
        stacking: section.text("stacking"),
        tax: tax.unwrap_or(match claims_tax_back {
            Some(false) => TaxBasis::Included,
            _ => TaxBasis::default(),
        }),
        tax_stated: tax.is_some(),
        claims_tax_back,
        dates: section.choice("dates", &days).unwrap_or_default(),
        explain: explain(section),
        unspent: unspent(section),
        volunteer_rate: sections::volunteer_rate(section),
        statement: section
            .choice("statement", &StatementScope::ALL.map(|scope| (scope.words(), scope)))
            .unwrap_or_default(),
        may_be_named: section.flag("may_be_named").unwrap_or_default(),
        acknowledgement: section.text("acknowledgement"),
        declaration: section.text("declaration"),
        approval,
        budget: budget(section),
        instalments: instalments(section),
        interest: sums(section, "interest"),
        returned: sums(section, "returned"),
        committed: sums(section, "committed"),
        milestones: milestones(section),
        variations: variations(section),
        contributions: contributions(section),
        carried: carried(section),
        reported: reported(section),
        targets: Vec::new(),
        questions: questions(section),
        assets: registers::assets(section),
        risks: registers::risks(section),
        matters: registers::matters(section),
        layer_columns: layers::columns(section),
        layer_values: layers::values(section),
        source: section.row(),
    };
    RawAgreement { agreement, areas, supports, targets, places }
}

/// The term of an agreement whose own was refused: it holds every day, so that one mistake is said once.
fn any_day() -> Period {
    let day = |year| NaiveDate::from_ymd_opt(year, 1, 1).unwrap_or_default();
    Period { from: day(1800), to: day(2300) }
}

fn explain(section: &mut Section) -> Vec<Explain> {
    section.each("explain", |one| {
        let test = one.choice("test", &VarianceTest::ALL.map(|test| (test.words(), test)));
        let over = one.number("over", 0.0, 1.0, "a share from 0 to 1: 0.10 for ten per cent");
        needed(one, "test", "test = \"line\"");
        Some(Explain { test: test?, over: over.unwrap_or(0.0) })
    })
}

fn unspent(section: &mut Section) -> Option<UnspentRule> {
    let mut rule = section.section("unspent")?;
    needed(&mut rule, "rule", "rule = \"return\"");
    let fate = rule.choice("rule", &UnspentFate::ALL.map(|fate| (fate.words(), fate)));
    let of_paid =
        rule.number("of_paid", 0.0, 1.0, "a share from 0 to 1: 0.05 for five per cent of all money paid");
    let at_most = rule.money("at_most");
    let less_committed = rule.flag("less_committed").unwrap_or_default();
    rule.finish();
    Some(UnspentRule { fate: fate?, of_paid, at_most, less_committed })
}

/// The lowest and the highest year that a budget is for.
const YEARS: (f64, f64) = (1900.0, 2200.0);

fn year(section: &mut Section) -> Option<i32> {
    let wanted = "the calendar year in which the financial year begins, such as 2025";
    let year = section.number("year", YEARS.0, YEARS.1, wanted)?;
    if year.fract() != 0.0 {
        section.wrong("year", wanted, None);
        return None;
    }
    #[allow(clippy::cast_possible_truncation, reason = "a whole number within the range above")]
    Some(year as i32)
}

fn needed(section: &mut Section, key: &'static str, example: &'static str) {
    if !section.has(key) {
        section.missing(key, example);
    }
}

fn budget(section: &mut Section) -> Vec<YearBudget> {
    let mut names: Vec<(String, Option<i32>)> = Vec::new();
    section.each("budget", |one| {
        let line = one.text_needed("line", "line = \"Fencing\"");
        needed(one, "cash", "cash = 24000.00");
        let (cash, in_kind) = (one.money("cash"), one.money("in_kind").unwrap_or(Money::ZERO));
        let (year, source) = (year(one), one.row());
        let line = line?;
        if names.iter().any(|(name, of)| slug(name) == slug(&line) && *of == year) {
            one.say("line", problem::Settings::NameTwice { what: "budget lines", name: line.clone() });
        }
        names.push((line.clone(), year));
        Some(YearBudget { line: BudgetLine { line, cash: cash?, in_kind, source }, year })
    })
}

fn instalments(section: &mut Section) -> Vec<Instalment> {
    section.each("instalment", |one| {
        needed(one, "on", "on = 2025-08-15");
        needed(one, "amount", "amount = 45000.00");
        let (on, amount) = (one.day("on"), one.money("amount"));
        let received = one.flag("received").unwrap_or_default();
        let (came, purpose) = (one.day("came"), one.text("for"));
        let received = received || came.is_some();
        Some(Instalment { on: on?, amount: amount?, received, came, purpose, source: one.row() })
    })
}

fn sums(section: &mut Section, key: &'static str) -> Vec<DatedSum> {
    section.each(key, |one| {
        needed(one, "on", "on = 2025-08-15");
        needed(one, "amount", "amount = 60.00");
        let (on, amount, words) = (one.day("on"), one.money("amount"), one.text("for"));
        Some(DatedSum { on: on?, amount: amount?, words, source: one.row() })
    })
}

fn milestones(section: &mut Section) -> Vec<Milestone> {
    section.each("milestone", |one| {
        let words = one.text_needed("words", "words = \"All of the fence stands\"");
        needed(one, "due", "due = 2026-03-31");
        let (due, done) = (one.day("due"), one.day("done"));
        Some(Milestone { words: words?, due: due?, done, shown_by: one.text("shown_by"), source: one.row() })
    })
}

fn variations(section: &mut Section) -> Vec<Variation> {
    section.each("variation", |one| {
        let number = one.text_needed("number", "number = \"V1\"");
        Some(Variation {
            asked: one.day("asked"),
            approved: one.day("approved"),
            letter: one.text("letter"),
            clause: one.text("clause"),
            words: one.text("words"),
            line: one.text("line"),
            year: year(one),
            before: one.money("before"),
            after: one.money("after"),
            source: one.row(),
            number: number?,
        })
    })
}

fn contributions(section: &mut Section) -> Vec<Contribution> {
    section.each("contribution", |one| {
        let who = one.text_needed("who", "who = \"Landholder\"");
        needed(one, "promised", "promised = 4000.00");
        needed(one, "year", "year = 2025");
        let (promised, received) = (one.money("promised"), one.money("received").unwrap_or(Money::ZERO));
        let (in_kind, year) = (one.flag("in_kind").unwrap_or_default(), year(one));
        Some(Contribution {
            who: who?,
            in_kind,
            year: year?,
            promised: promised?,
            received,
            came: one.day("came"),
            source: one.row(),
        })
    })
}

fn carried(section: &mut Section) -> Vec<CarriedOver> {
    section.each("carried", |one| {
        needed(one, "year", "year = 2025");
        let (carried_in, carried_out) = (one.money("in"), one.money("out"));
        let year = year(one);
        Some(CarriedOver { year: year?, carried_in, carried_out, source: one.row() })
    })
}

fn reported(section: &mut Section) -> Reported {
    let Some(mut reported) = section.section("reported") else { return Reported::default() };
    let count = "how many the reports have claimed, 0 or more";
    let (stems, hectares) =
        (reported.number("stems", 0.0, 1e9, count), reported.number("hectares", 0.0, 1e6, count));
    reported.finish();
    Reported { stems, hectares }
}

fn questions(section: &mut Section) -> Vec<Question> {
    let mut ids: Vec<String> = Vec::new();
    section.each("question", |one| {
        let id = one.text_needed("id", "id = \"q7\"");
        let words = one.text_needed("words", "words = \"What was achieved?\"");
        let most = "a whole number, 1 or more";
        let limit = one.number("limit_words", 1.0, 1e6, most).map(|limit| AnswerLimit::Words(limit as u32));
        let characters = one.number("limit_characters", 1.0, 1e6, most);
        if limit.is_some() && characters.is_some() {
            one.wrong("limit_characters", "left out where limit_words is set: one of the two counts", None);
        }
        let limit = limit.or(characters.map(|limit| AnswerLimit::Characters(limit as u32)));
        let (answer, file) = (one.text("answer"), one.text("file"));
        let keys = ["answer_50", "answer_150", "answer_500"];
        let lengths = Question::LENGTHS.into_iter().zip(keys);
        let versions = lengths.filter_map(|(words, key)| Some((words, one.text(key)?))).collect();
        let id = id?;
        if ids.iter().any(|earlier| same(earlier, &id)) {
            one.say("id", problem::Settings::NameTwice { what: "questions", name: id.clone() });
        }
        ids.push(id.clone());
        Some(Question { id, words: words?, limit, answer, file, versions, source: one.row() })
    })
}

/// Cash that the landholder put in, each `[[own]]` with its day.
pub(crate) fn own_cash(root: &mut Section) -> Vec<DatedSum> {
    sums(root, "own")
}

/// Every `[[sharing]]` between `agreements`.
pub(crate) fn sharing(root: &mut Section, agreements: &[AgreementId]) -> Vec<Sharing> {
    root.each("sharing", |section| {
        needed(section, "by", "by = \"area\"");
        let by = section.choice("by", &ShareBasis::ALL.map(|basis| (basis.words(), basis)));
        let basis = section.text_needed("basis", "basis = \"metres of fence along each funder's ground\"");
        needed(section, "decided", "decided = 2025-08-01");
        let decided = section.day("decided");
        let between = between(section, agreements);
        let rule = Sharing {
            lines: section.texts("lines").unwrap_or_default(),
            tasks: section.texts("tasks").unwrap_or_default(),
            count: section.texts("count").unwrap_or_default(),
            from: section.day("from"),
            to: section.day("to"),
            between: between?,
            by: by?,
            over: section
                .choice("over", &ShareOver::ALL.map(|over| (over.words(), over)))
                .unwrap_or_default(),
            basis: basis?,
            decided: decided?,
            source: section.row(),
        };
        let sum: Decimal = rule.between.iter().filter_map(|(_, share)| *share).sum();
        let lacks = rule.between.iter().any(|(_, share)| share.is_none());
        if by == Some(ShareBasis::Fixed) && !lacks && sum < Decimal::ONE_HUNDRED {
            let kind = match sum * Decimal::ONE_HUNDRED <= Decimal::ONE_HUNDRED * Decimal::TWO {
                true => Funding::SharesOfOne {
                    sum: sum.normalize().to_string(),
                    meant: format!("{} % together", (sum * Decimal::ONE_HUNDRED).normalize()),
                },
                false => Funding::ShareUnclaimed { sum: sum.normalize().to_string() },
            };
            section.say("shares", kind);
        }
        if by == Some(ShareBasis::Fixed) && (lacks || sum > Decimal::ONE_HUNDRED) {
            section.say("by", Funding::FixedSharesUnfit { sum: sum.normalize().to_string() });
            return None;
        }
        Some(rule)
    })
}

fn between(section: &mut Section, agreements: &[AgreementId]) -> Option<Vec<(Payer, Option<Decimal>)>> {
    let mut found = Vec::new();
    let names = section.texts("between");
    if let Some(mut shares) = section.section("shares") {
        for name in shares.own_keys() {
            match payer(&name, agreements) {
                Some(payer) => found.push((payer, shares.factor_of(&name))),
                None => shares.say(&name, unknown(&name, agreements)),
            }
        }
    } else if let Some(names) = names {
        for name in names {
            match payer(&name, agreements) {
                Some(payer) => found.push((payer, None)),
                None => section.say("between", unknown(&name, agreements)),
            }
        }
    } else {
        section.missing("between", "between = [\"catchment\", \"council\"]");
    }
    found.sort_by_key(|(payer, _)| agreements.iter().position(|id| payer.is(id)).unwrap_or(usize::MAX));
    (!found.is_empty()).then_some(found)
}

fn unknown(name: &str, agreements: &[AgreementId]) -> problem::Settings {
    let nearest =
        crate::intake::nearest::nearest(name, agreements.iter().map(|id| &*id.0).chain([Payer::OWN]));
    problem::Settings::ValueUnreadable {
        key: "sharing".to_owned(),
        found: name.to_owned(),
        wanted: "the id of an agreement, or own".to_owned(),
        nearest,
    }
}

/// The agreements with the names in them resolved.
pub(crate) fn agreements(
    raw: &[RawAgreement],
    areas: &[Area],
    species: &SpeciesList,
    problems: &mut Vec<Problem>,
) -> Vec<Agreement> {
    let one = |raw: &RawAgreement| {
        let mut found = |names: &[String], place: &problem::Place| -> Vec<AreaId> {
            let mut ids = Vec::new();
            for name in names {
                match areas.iter().find(|area| same(&area.id.0, name)) {
                    Some(area) => ids.push(area.id.clone()),
                    None if areas.is_empty() => {}
                    None => {
                        let nearest =
                            crate::intake::nearest::nearest(name, areas.iter().map(|area| &*area.id.0));
                        let what = "area";
                        let kind = problem::Records::IdUnknown { what, found: name.clone(), nearest };
                        problems.push(Problem::new(kind, place.clone()));
                    }
                }
            }
            ids
        };
        let own = raw.areas.as_ref().map(|names| found(names, &raw.places[0]));
        let supports = found(&raw.supports, &raw.places[1]);
        let lines: Vec<&BudgetLine> = raw.agreement.budget.iter().map(|line| &line.line).collect();
        let targets = resolved_under(&raw.targets, &lines, areas, species, problems);
        Agreement { areas: own, supports, targets, ..raw.agreement.clone() }
    };
    raw.iter().map(one).collect()
}

/// Sections that make one agreement of the whole folder, beside `[[agreement]]`s: one of the two must go.
pub(crate) fn refuse_both(root: &mut Section, agreements: &[RawAgreement]) {
    let Some(first) = agreements.first() else { return };
    for key in ["budget", "target", "approval"] {
        if root.has(key) {
            root.say(key, Funding::BesideAgreements { key, id: first.id().to_string() });
        }
    }
}
