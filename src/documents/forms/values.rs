//! What the placeholders of a form stand for.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::{
    draw::{Drawing, Sheets},
    forms::{
        Shot, Unfilled,
        placeholder::{Placeholder, Wanted},
    },
};
use hillfolio_core::{
    ledger::{
        Answer, Entry, Figure, Ledger, NOT_RECORDED, Series, answers, catalogue, nearest_of, not_of_period,
    },
    problem::Funding,
    project::{BudgetSpan, Cell, Column, Project, Spending, TableRow as _},
    units::{Unit, as_written, day, number},
};

/// Everything that a form may ask for.
pub struct Values<'a> {
    ledger: &'a Ledger,
    answers: Vec<Answer>,
    settings: BTreeMap<&'static str, Value<'static>>,
    /// The rows of each table, by name: columns, and rows of cells.
    rows: BTreeMap<&'static str, (Vec<&'static str>, Vec<Vec<Cell>>)>,
    drawings: Vec<(String, &'a Drawing)>,
    shots: &'a [Shot],
    /// Which spending the budget is held against.
    span: BudgetSpan,
}

/// One member of a list, which a repeated row is about.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Bound {
    /// A row of a table, by its place.
    Row(usize),
    /// A member of a series: its code and its words.
    Member(String, String),
}

/// What stands for a placeholder.
#[derive(Debug, Clone, Copy)]
pub(super) enum Picture<'a> {
    Drawing(&'a Drawing),
    Shot(&'a Shot),
}

/// What stands for a placeholder.
#[derive(Debug, Clone)]
pub(super) enum Value<'a> {
    /// A number: as it is printed, and its digits for a cell; of a share in per cent; whether it is a sum of money.
    Number { text: String, digits: String, share: bool, money: bool },
    /// A day.
    Day(NaiveDate),
    /// Words.
    Text(String),
    /// A picture.
    Picture(Picture<'a>),
}

impl Value<'_> {
    /// As words.
    pub(super) fn text(&self) -> String {
        match self {
            Value::Number { text, .. } | Value::Text(text) => text.clone(),
            Value::Day(on) => day(*on),
            Value::Picture(_) => String::new(),
        }
    }
}

impl<'a> Values<'a> {
    /// Those of `project`.
    #[must_use]
    pub fn of(project: &Project, ledger: &'a Ledger, sheets: &'a Sheets, shots: &'a [Shot]) -> Values<'a> {
        let charts = sheets.charts.iter().map(|chart| (format!("chart.{}", chart.name), chart));
        let maps = sheets.maps.iter().chain(&sheets.front).map(|map| (format!("map.{}", map.name), map));
        let rows = project.tables().into_iter().map(|table| {
            let columns: Vec<&str> =
                table.heads.iter().filter(|head| head.kept).map(|head| head.name).collect();
            let date = columns.iter().position(|name| *name == "date");
            // A report is about its period: what is dated outside it is no row of its lists.
            let within = |row: &Vec<Cell>| match date.and_then(|at| row.get(at)) {
                Some(Cell::Day(on)) => project.period.holds(*on),
                _ => true,
            };
            (table.name, (columns, table.rows.filter(within).collect()))
        });
        let rows = rows.chain([
            (Spending::TABLE, receipts(project, |row| !row.in_kind)),
            (IN_KIND, receipts(project, |row| row.in_kind)),
        ]);
        Values {
            ledger,
            answers: answers(ledger, project).0,
            settings: settings(project),
            rows: rows.collect(),
            drawings: maps.chain(charts).collect(),
            shots,
            // Of one period there is but one spending.
            span: match project.only_agreement() {
                Some(_) => project.budget_span(),
                None => BudgetSpan::Year,
            },
        }
    }

    /// What stands for `asked`, in a row about `bound`; what can't be had is said.
    pub(super) fn get(
        &self,
        asked: &Placeholder,
        bound: Option<&Bound>,
        unfilled: &mut Unfilled,
    ) -> Option<Value<'_>> {
        let Some(wanted) = asked.wanted else {
            unfilled.say(&asked.inside, "behind the stroke may stand `interval`, `number` or `label`", None);
            return None;
        };
        let name = match bound {
            Some(Bound::Member(code, words)) => {
                if asked.name == "name.*" {
                    return Some(Value::Text(words.clone()));
                }
                asked
                    .name
                    .strip_suffix('*')
                    .map_or_else(|| asked.name.clone(), |stem| format!("{stem}{code}"))
            }
            _ => asked.name.clone(),
        };
        let found = if let Some(id) = name.strip_prefix("question.") {
            let answer = self.answers.iter().find(|answer| answer.id == id);
            answer.map(|answer| match answer.text.is_empty() {
                true => Err("the question has no answer".to_owned()),
                false => Ok(Value::Text(answer.text.clone())),
            })
        } else if let Some(rest) = name.strip_prefix("rows.") {
            self.cell(rest, bound).map(Ok)
        } else if let Some(value) = self.settings.get(name.as_str()) {
            Some(Ok(value.clone()))
        } else if let Some((_, drawing)) = self.drawings.iter().find(|(known, _)| *known == name) {
            Some(Ok(Value::Picture(Picture::Drawing(drawing))))
        } else if let Some(shot) = self.shots.iter().find(|shot| shot.name == name) {
            Some(Ok(Value::Picture(Picture::Shot(shot))))
        } else {
            match (self.ledger.get(&name), bound) {
                (Some(Entry::Figure(figure)), _) => Some(of_figure(figure, wanted)),
                (Some(Entry::Missing(missing)), _) => {
                    unfilled.say(&asked.inside, not_recorded(&missing.reason), None);
                    return Some(Value::Text(NOT_RECORDED.to_owned()));
                }
                // Of a list not every member has every figure.
                (None, Some(Bound::Member(..))) if asked.is_of_list() => Some(Ok(Value::Text(String::new()))),
                (None, _) => None,
            }
        };
        match found {
            Some(Ok(value)) => {
                unfilled.put(&asked.name);
                Some(value)
            }
            Some(Err(why)) => {
                unfilled.say(&asked.inside, why, None);
                None
            }
            // What goes to a funder says so in words where a figure can't be given, and never holds braces.
            None => match not_of_period(&name) {
                Some(why) => {
                    unfilled.say(&asked.inside, not_recorded(&why), None);
                    Some(Value::Text(NOT_RECORDED.to_owned()))
                }
                None => {
                    unfilled.say(&asked.inside, "nothing is called so", self.nearest(&asked.name));
                    None
                }
            },
        }
    }

    /// What is misleading of the names that a form asks for: a budget of the whole term beside what was spent in the period, and nowhere what was
    /// spent of that budget.
    pub(super) fn unlike_spans(&self, asked: &BTreeSet<String>) -> Option<Funding> {
        let first = |of: &[&Series]| {
            let is = |name: &&String| {
                let named = |series: &&Series| {
                    name.strip_prefix(series.stem)
                        .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
                };
                of.iter().any(named)
            };
            asked.iter().find(is)
        };
        let budget = match self.span {
            BudgetSpan::ToDate => first(&[&catalogue::BUDGET, &catalogue::BUDGET_LINE]),
            BudgetSpan::Year => None,
        };
        let budget = budget.or_else(|| first(&[&catalogue::BUDGET_LIFE, &catalogue::BUDGET_LIFE_LINE]))?;
        let spent = first(&[&catalogue::SPENT, &catalogue::SPENT_LINE])?;
        let like = [
            &catalogue::SPENT_TO_DATE,
            &catalogue::SPENT_TO_DATE_LINE,
            &catalogue::SPENT_AGAINST_BUDGET,
            &catalogue::SPENT_AGAINST_BUDGET_LINE,
        ];
        if first(&like).is_some() {
            return None;
        }
        let like = match spent.strip_prefix(catalogue::SPENT_LINE.stem) {
            Some(line) => format!("{}{line}", catalogue::SPENT_TO_DATE_LINE.stem),
            None => catalogue::SPENT_TO_DATE.stem.to_owned(),
        };
        Some(Funding::FormUnlikeSpans { budget: budget.clone(), spent: spent.clone(), like })
    }

    fn cell(&self, name: &str, bound: Option<&Bound>) -> Option<Value<'_>> {
        let (table, column) = name.split_once('.')?;
        let (columns, rows) = self.rows.get(table)?;
        let at = columns.iter().position(|known| *known == column)?;
        let Some(Bound::Row(row)) = bound else { return Some(Value::Text(String::new())) };
        Some(match rows.get(*row).and_then(|row| row.get(at)) {
            None | Some(Cell::Empty) => Value::Text(String::new()),
            Some(Cell::Text(words)) => Value::Text(words.clone()),
            Some(Cell::Day(on)) => Value::Day(*on),
            Some(Cell::Number(number)) => {
                let digits = number.to_string();
                Value::Number { text: as_written(*number), digits, share: false, money: false }
            }
            Some(Cell::Money(sum)) => Value::Number {
                text: number(sum.number(), 2),
                digits: sum.0.normalize().to_string(),
                share: false,
                money: true,
            },
        })
    }

    /// The members of the list that `asked` is of, in their order; what is no list is said, and gives none.
    pub(super) fn list(&self, asked: &[Placeholder], unfilled: &mut Unfilled) -> Option<Vec<Bound>> {
        let of_list = |one: &&Placeholder| one.is_of_list() && one.name != "name.*";
        let Some(first) = asked.iter().find(of_list) else {
            unfilled.say(
                &asked.first()?.inside,
                "the row has no list, such as `spend.line.*`, to take names from",
                None,
            );
            return None;
        };
        if let Some(rest) = first.name.strip_prefix("rows.") {
            let rows = rest.split_once('.').and_then(|(table, column)| {
                let (columns, rows) = self.rows.get(table)?;
                columns.contains(&column).then_some(rows.len())
            });
            if let Some(count) = rows {
                // Of nothing there is one empty row.
                return Some(match count {
                    0 => vec![Bound::Row(usize::MAX)],
                    count => (0..count).map(Bound::Row).collect(),
                });
            }
        } else if let Some(stem) = first.name.strip_suffix(".*")
            && let Some(members) = self.members(stem)
        {
            return Some(match members.is_empty() {
                true => vec![Bound::Member(String::new(), String::new())],
                false => members,
            });
        }
        unfilled.say(&first.inside, "nothing is listed under that name", self.nearest(&first.name));
        None
    }

    /// The members of the series called `stem`, but for all of them together.
    fn members(&self, stem: &str) -> Option<Vec<Bound>> {
        let (series, _) = Series::find(&format!("{stem}.all"))?;
        if series.stem != stem || series.dimensions.len() != 1 {
            return None;
        }
        let members = self.ledger.of(series).filter_map(|(codes, _, entry)| {
            let code = codes.first().filter(|code| **code != "all")?;
            let label = match entry {
                Entry::Figure(figure) => &figure.label,
                Entry::Missing(missing) => &missing.label,
            };
            Some(Bound::Member((*code).to_owned(), member_words(series, label).to_owned()))
        });
        Some(members.collect())
    }

    fn nearest(&self, name: &str) -> Option<String> {
        let questions: Vec<String> =
            self.answers.iter().map(|answer| format!("question.{}", answer.id)).collect();
        let rows = self.rows.iter();
        let rows = rows
            .flat_map(|(table, (columns, _))| columns.iter().map(move |one| format!("rows.{table}.{one}")));
        let rows: Vec<String> = rows.collect();
        let names = self.ledger.iter().map(|(id, _)| id.as_str());
        let pictures = self.drawings.iter().map(|(name, _)| name.as_str());
        let shots = self.shots.iter().map(|shot| shot.name.as_str());
        let others = questions.iter().chain(&rows).map(String::as_str);
        let all = names.chain(pictures).chain(shots).chain(self.settings.keys().copied()).chain(others);
        let near = nearest_of(name, all);
        (!near.is_empty()).then(|| near.join("`, `"))
    }
}

/// The list of what was given and not paid for.
const IN_KIND: &str = "in_kind";

/// The column of a receipt's day by the rule of the agreement.
const COUNTED_ON: &str = "counted_on";

/// The receipts of the period that `keep` takes, by the day that counts, which has a column of its own; a gift is no payment.
fn receipts(project: &Project, keep: impl Fn(&Spending) -> bool) -> (Vec<&'static str>, Vec<Vec<Cell>>) {
    let mut columns: Vec<&'static str> = Spending::COLUMNS.iter().map(Column::name).collect();
    columns.retain(|name| *name != "money_in");
    columns.push(COUNTED_ON);
    let cells = |(at, row): (usize, &Spending)| {
        let known: BTreeMap<_, _> = Spending::COLUMNS.iter().filter_map(|column| column.of(row)).collect();
        let cell = |name: &&'static str| match *name {
            COUNTED_ON => row.counted_on.into(),
            "evidence" => row.evidence_number(at).into(),
            name => known.get(name).cloned().unwrap_or(Cell::Empty),
        };
        columns.iter().map(cell).collect()
    };
    let of_period = |(_, row): &(usize, &Spending)| project.period.holds(row.counted_on) && keep(row);
    let rows = project.spending.iter().enumerate().filter(of_period).map(cells).collect();
    (columns, rows)
}

/// Why a figure is not given, and what stands in its place.
fn not_recorded(why: &str) -> String {
    format!("{why}; “{NOT_RECORDED}” stands there")
}

/// What of a figure is wanted.
fn of_figure(figure: &Figure, wanted: Wanted) -> Result<Value<'static>, String> {
    let text = figure.text();
    Ok(match wanted {
        Wanted::Label => Value::Text(figure.label.clone()),
        Wanted::Interval => {
            Value::Text(figure.interval_text().ok_or("the figure has no interval: it is a count or a sum")?)
        }
        Wanted::Value | Wanted::Number => {
            let number = figure.number_text();
            let share = figure.unit == Unit::Fraction;
            // Thousands are parted and the minus is a sign of its own on paper; a cell takes digits.
            let digits: String =
                number.chars().filter(|letter| letter.is_ascii_digit() || ".−-".contains(*letter)).collect();
            let digits = digits.replace('−', "-");
            let text = if wanted == Wanted::Number { number } else { text };
            match digits.parse::<f64>() {
                Ok(_) => {
                    let money = matches!(figure.unit, Unit::Currency(_));
                    Value::Number { text, digits, share, money }
                }
                Err(_) => Value::Text(text),
            }
        }
    })
}

/// The words of the only member in the label of a figure of `series`.
fn member_words<'l>(series: &Series, label: &'l str) -> &'l str {
    match series.label.split_once("{0}") {
        Some((before, behind)) => {
            let rest = label.strip_prefix(before).unwrap_or(label);
            rest.strip_suffix(behind).unwrap_or(rest)
        }
        None => label.strip_prefix(series.label).map_or(label, |rest| rest.trim_start_matches([',', ' '])),
    }
}

/// What the settings say: names, references, days.
fn settings(project: &Project) -> BTreeMap<&'static str, Value<'static>> {
    let identity = &project.identity;
    let mut words: BTreeMap<&'static str, Option<String>> = BTreeMap::from([
        ("project.name", Some(identity.name.clone())),
        ("project.reference", Some(identity.reference.clone())),
        ("project.landholder", Some(identity.landholder.clone())),
        ("project.locality", Some(identity.locality.clone())),
        ("project.grantee", identity.grantee.clone()),
        ("project.funder", identity.funder.clone()),
        ("project.program", identity.program.clone()),
        ("project.signatory", identity.signatory.clone()),
        ("project.contact", identity.contact.clone()),
        ("project.author", identity.author.clone()),
    ]);
    let mut days = vec![("period.from", project.period.from), ("period.to", project.period.to)];
    if let Some(agreement) = project.only_agreement() {
        words.extend([
            ("agreement.id", Some(agreement.id.to_string())),
            ("agreement.grantee_number", agreement.grantee_number.clone()),
            ("agreement.acknowledgement", agreement.acknowledgement.clone()),
        ]);
        days.extend([("agreement.from", agreement.term.from), ("agreement.to", agreement.term.to)]);
    }
    let words = words.into_iter().filter_map(|(name, words)| Some((name, Value::Text(words?))));
    words.chain(days.into_iter().map(|(name, day)| (name, Value::Day(day)))).collect()
}
