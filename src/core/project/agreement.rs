//! Agreements: who pays for work on the place, for what, on which ground and in which years.

use chrono::NaiveDate;

use crate::{
    project::{
        AgreementId, Approval, AreaId, Asset, BudgetLine, Explain, LayerColumn, Matter, Period, Risk,
        Spending, StatementScope, Target, TaxBasis, UnspentRule, VolunteerRate, slug,
    },
    source::Row,
    units::Money,
};

/// What an agreement is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum AgreementKind {
    /// A grant, which is acquitted.
    #[default]
    Grant,
    /// A vegetation offset, which is reported on under an approval.
    Offset,
}

impl AgreementKind {
    /// The word that its targets stand under.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            AgreementKind::Grant => "grant",
            AgreementKind::Offset => "offset",
        }
    }
}

/// Who certifies the report, by what the agreement asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Signer {
    /// The project's manager; no certificate.
    Manager,
    /// A board, a chief executive or an authorised officer.
    AuthorisedOfficer,
    /// By statutory declaration before a witness.
    StatutoryDeclaration,
    /// An independent certifier or accountant, whose membership number is shown.
    Accountant,
    /// An independent auditor, with an opinion.
    Auditor,
    /// A technical signer: a forester, an ecologist, a certifier of practice.
    Technical,
}

impl Signer {
    /// Every signer.
    pub const ALL: [Signer; 6] = [
        Signer::Manager,
        Signer::AuthorisedOfficer,
        Signer::StatutoryDeclaration,
        Signer::Accountant,
        Signer::Auditor,
        Signer::Technical,
    ];

    /// The signer as `project.toml` writes it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Signer::Manager => "project manager",
            Signer::AuthorisedOfficer => "authorised officer",
            Signer::StatutoryDeclaration => "statutory declaration",
            Signer::Accountant => "accountant",
            Signer::Auditor => "auditor",
            Signer::Technical => "technical",
        }
    }
}

/// Which day of a payment counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DateBasis {
    /// The day on which it was paid.
    #[default]
    Paid,
    /// The day of the invoice.
    Invoice,
    /// The day on which it was delivered.
    Delivered,
}

impl DateBasis {
    /// The day of `payment` that counts; the day of payment where the other is not recorded.
    #[must_use]
    pub fn day(self, payment: &Spending) -> NaiveDate {
        match self {
            DateBasis::Paid => None,
            DateBasis::Invoice => payment.invoiced,
            DateBasis::Delivered => payment.delivered,
        }
        .unwrap_or(payment.date)
    }

    /// The day in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            DateBasis::Paid => "the day of payment",
            DateBasis::Invoice => "the day of the invoice",
            DateBasis::Delivered => "the day of delivery",
        }
    }
}

/// A line of an agreement's budget.
#[derive(Debug, Clone, PartialEq)]
pub struct YearBudget {
    /// The line as it was first approved.
    pub line: BudgetLine,
    /// The calendar year in which its financial year begins; `None` where the budget is of the whole life.
    pub year: Option<i32>,
}

/// Which spending a budget is held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BudgetSpan {
    /// A budget by financial year: that of the year against the spending of the year.
    Year,
    /// A budget of the whole life, or with lines of it: all that was spent up to the period's end.
    ToDate,
}

impl BudgetSpan {
    /// The span in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            BudgetSpan::Year => "this year",
            BudgetSpan::ToDate => "to date",
        }
    }
}

/// A payment of the funder.
#[derive(Debug, Clone, PartialEq)]
pub struct Instalment {
    /// The day it is due, or came.
    pub on: NaiveDate,
    /// How much.
    pub amount: Money,
    /// Whether it came.
    pub received: bool,
    /// When it came, where that is another day than the one it was due on.
    pub came: Option<NaiveDate>,
    /// What it is paid for.
    pub purpose: Option<String>,
    /// Where it stands.
    pub source: Row,
}

impl Instalment {
    /// The day on which it counts: that on which it came, else that on which it was due.
    #[must_use]
    pub fn day(&self) -> NaiveDate {
        self.came.unwrap_or(self.on)
    }
}

/// A sum of a day: interest, money given back, money committed, the landholder's own.
#[derive(Debug, Clone, PartialEq)]
pub struct DatedSum {
    /// The day.
    pub on: NaiveDate,
    /// How much.
    pub amount: Money,
    /// What it is.
    pub words: Option<String>,
    /// Where it stands.
    pub source: Row,
}

/// Something that the agreement asks to be done by a day.
#[derive(Debug, Clone, PartialEq)]
pub struct Milestone {
    /// What is to be done.
    pub words: String,
    /// By when.
    pub due: NaiveDate,
    /// When it was done; `None` where it is not.
    pub done: Option<NaiveDate>,
    /// What shows it: a target, a figure, or words.
    pub shown_by: Option<String>,
    /// Where it stands.
    pub source: Row,
}

/// A change of the agreement. Spending is held against what is approved; the first budget stands beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Variation {
    /// Its number.
    pub number: String,
    /// When it was asked for.
    pub asked: Option<NaiveDate>,
    /// When it was approved; `None` where it is not.
    pub approved: Option<NaiveDate>,
    /// The letter that says so.
    pub letter: Option<String>,
    /// The clause it is made under.
    pub clause: Option<String>,
    /// What changes, in words.
    pub words: Option<String>,
    /// The line of the budget that changes.
    pub line: Option<String>,
    /// The year of that line.
    pub year: Option<i32>,
    /// Cash of the line before.
    pub before: Option<Money>,
    /// Cash of the line after.
    pub after: Option<Money>,
    /// Where it stands.
    pub source: Row,
}

/// What somebody else promised to give.
#[derive(Debug, Clone, PartialEq)]
pub struct Contribution {
    /// Who.
    pub who: String,
    /// Whether it is given in kind.
    pub in_kind: bool,
    /// The calendar year in which the financial year of the promise begins.
    pub year: i32,
    /// How much was promised.
    pub promised: Money,
    /// How much has come.
    pub received: Money,
    /// When that came; `None` is within the year of the promise.
    pub came: Option<NaiveDate>,
    /// Where it stands.
    pub source: Row,
}

impl Contribution {
    /// How much had come by `day`.
    #[must_use]
    pub fn received_by(&self, day: NaiveDate) -> Money {
        if self.came.is_some_and(|came| came > day) { Money::ZERO } else { self.received }
    }
}

/// What the report of a year said of money carried over.
#[derive(Debug, Clone, PartialEq)]
pub struct CarriedOver {
    /// The calendar year in which its financial year begins.
    pub year: i32,
    /// Carried into the year.
    pub carried_in: Option<Money>,
    /// Carried out of it.
    pub carried_out: Option<Money>,
    /// Where it stands.
    pub source: Row,
}

/// What the agreement's reports have claimed up to now.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Reported {
    /// Stems.
    pub stems: Option<f64>,
    /// Plan hectares.
    pub hectares: Option<f64>,
}

/// How long an answer may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AnswerLimit {
    /// Words.
    Words(u32),
    /// Characters, spaces among them.
    Characters(u32),
}

/// A question of the funder's own form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// Its id in the form.
    pub id: String,
    /// Its words.
    pub words: String,
    /// How long the answer may be.
    pub limit: Option<AnswerLimit>,
    /// The answer: words, in which `{{ID}}` stands for a figure.
    pub answer: Option<String>,
    /// The file of the folder that holds the answer.
    pub file: Option<String>,
    /// Answers of other lengths: for how many words each is made, and its words, the shortest first.
    pub versions: Vec<(u32, String)>,
    /// Where it stands.
    pub source: Row,
}

impl Question {
    /// The lengths, in words, for which forms ask.
    pub const LENGTHS: [u32; 3] = [50, 150, 500];
}

/// One agreement over the place.
#[derive(Debug, Clone, PartialEq)]
pub struct Agreement {
    /// Its id.
    pub id: AgreementId,
    /// What it is.
    pub kind: AgreementKind,
    /// Who pays.
    pub funder: Option<String>,
    /// The funder's program.
    pub program: Option<String>,
    /// Its reference.
    pub reference: Option<String>,
    /// Who receives the money.
    pub grantee: Option<String>,
    /// The grantee's number of tax or registration.
    pub grantee_number: Option<String>,
    /// Who signs: name and position.
    pub signatory: Option<String>,
    /// Who certifies.
    pub signer: Option<Signer>,
    /// Its term; costs outside it are listed and not counted.
    pub term: Period,
    /// When it was approved; nothing paid before counts.
    pub approved: Option<NaiveDate>,
    /// Its reporting period, where that is not the place's.
    pub period: Option<Period>,
    /// The ground that it pays for; `None` is all of it.
    pub areas: Option<Vec<AreaId>>,
    /// Ground that another agreement reports and this one supports too.
    pub supports: Vec<AreaId>,
    /// The clause that lets an offset and a grant stand on the same ground.
    pub stacking: Option<String>,
    /// Without or with tax: budget and spending alike.
    pub tax: TaxBasis,
    /// Whether the agreement says so, or it is taken from whether the grantee claims tax back.
    pub tax_stated: bool,
    /// Whether the grantee claims the tax back that it pays; `None` where nobody said.
    pub claims_tax_back: Option<bool>,
    /// Which day of a payment counts.
    pub dates: DateBasis,
    /// Its tests of variances.
    pub explain: Vec<Explain>,
    /// What becomes of unspent money.
    pub unspent: Option<UnspentRule>,
    /// What an hour of volunteers is worth under it.
    pub volunteer_rate: Option<VolunteerRate>,
    /// Whether its money statement tells of the other sources too.
    pub statement: StatementScope,
    /// Whether its funder may be named to the others.
    pub may_be_named: bool,
    /// Words that name the funder wherever the work is shown.
    pub acknowledgement: Option<String>,
    /// Words to be signed.
    pub declaration: Option<String>,
    /// The approval of an offset.
    pub approval: Option<Approval>,
    /// The budget as it was first approved.
    pub budget: Vec<YearBudget>,
    /// The funder's payments.
    pub instalments: Vec<Instalment>,
    /// Interest earned on them.
    pub interest: Vec<DatedSum>,
    /// Money given back.
    pub returned: Vec<DatedSum>,
    /// Money that is committed and not paid.
    pub committed: Vec<DatedSum>,
    /// What is to be done by which day.
    pub milestones: Vec<Milestone>,
    /// Changes asked for and approved.
    pub variations: Vec<Variation>,
    /// What others promised.
    pub contributions: Vec<Contribution>,
    /// What earlier reports said of money carried over.
    pub carried: Vec<CarriedOver>,
    /// What its reports have claimed.
    pub reported: Reported,
    /// What it asks for.
    pub targets: Vec<Target>,
    /// The funder's own form.
    pub questions: Vec<Question>,
    /// What was bought and outlasts the work.
    pub assets: Vec<Asset>,
    /// Risks at the end of the period.
    pub risks: Vec<Risk>,
    /// What an offset owes and has given, by matter.
    pub matters: Vec<Matter>,
    /// The columns of its layer of activities, in their order; `None` is every field under its own name.
    pub layer_columns: Option<Vec<LayerColumn>>,
    /// What stands in a field of every activity, by field.
    pub layer_values: Vec<(&'static str, String)>,
    /// Where it stands.
    pub source: Row,
}

impl Agreement {
    /// Whether it pays for work on `area`.
    #[must_use]
    pub fn covers(&self, area: &AreaId) -> bool {
        self.areas.as_ref().is_none_or(|areas| areas.contains(area))
    }

    /// Which spending its budget is held against.
    #[must_use]
    pub fn budget_span(&self) -> BudgetSpan {
        match !self.budget.is_empty() && self.budget.iter().all(|line| line.year.is_some()) {
            true => BudgetSpan::Year,
            false => BudgetSpan::ToDate,
        }
    }

    /// Its reporting period beside that of the place.
    #[must_use]
    pub fn period_beside(&self, place: Period) -> Period {
        self.period.unwrap_or(place)
    }

    /// Whether its term has ended by `day`.
    #[must_use]
    pub fn has_ended(&self, day: NaiveDate) -> bool {
        self.term.to <= day
    }

    /// Instalments that had come by `day`.
    pub fn received_by(&self, day: NaiveDate) -> impl Iterator<Item = &Instalment> {
        self.instalments.iter().filter(move |one| one.received && one.day() <= day)
    }

    /// The first day on which a cost may count.
    #[must_use]
    pub fn earliest(&self) -> NaiveDate {
        self.approved.map_or(self.term.from, |approved| approved.max(self.term.from))
    }

    /// Whether a cost of `day` may count.
    #[must_use]
    pub fn admits(&self, day: NaiveDate) -> bool {
        self.earliest() <= day && day <= self.term.to
    }

    /// Its budget as it stands approved on `day`: each line with the variations that were approved by then.
    #[must_use]
    pub fn budget_on(&self, day: NaiveDate) -> Vec<YearBudget> {
        let mut lines = self.budget.clone();
        for variation in
            self.variations.iter().filter(|one| one.approved.is_some_and(|approved| approved <= day))
        {
            let (Some(name), Some(after)) = (&variation.line, variation.after) else { continue };
            let is_it = |line: &YearBudget| {
                slug(&line.line.line) == slug(name)
                    && (variation.year.is_none() || variation.year == line.year)
            };
            match lines.iter_mut().find(|line| is_it(line)) {
                Some(line) => line.line.cash = after,
                None => lines.push(YearBudget {
                    line: BudgetLine {
                        line: name.clone(),
                        cash: after,
                        in_kind: Money::ZERO,
                        source: variation.source.clone(),
                    },
                    year: variation.year,
                }),
            }
        }
        lines
    }
}
