//! Budget and spending, by line; in kind apart.

use std::collections::BTreeMap;

use crate::draw::{
    Drawing,
    chart::{
        bars::{Bars, THIN, WIDE},
        canvas,
        frame::{Axis, Column, Frame, Row, Sign},
        scale::Scale,
        words::{drawable, figures_under, listed, value, value_or_dash},
    },
};
use hillfolio_core::{
    ledger::{Figure, FigureId, Held, Ledger, Series, catalogue},
    project::{Project, TaxBasis, TaxRecorded, slug},
    units::day,
};

struct MoneyLine<'a> {
    name: String,
    budget: Option<&'a Figure>,
    spent: Option<&'a Figure>,
}

/// The chart of budget and spending by line.
pub(super) fn by_line(project: &Project, ledger: &Ledger) -> Option<Drawing> {
    let held = ledger.held();
    let lines = lines(project, ledger, held);
    if lines.iter().all(|line| line.bars().values().all(|money| money == 0.0)) {
        return None;
    }
    let mut rows: Vec<Row> = lines.iter().map(|line| Row::new(&line.name, line.cells())).collect();
    let mut bars: Vec<Bars> = lines.iter().map(MoneyLine::bars).collect();
    let total = MoneyLine::of(ledger, "all lines", &catalogue::BUDGET.whole(), &held.spent.whole());
    if lines.len() > 1 {
        rows.push(Row::new(&total.name, total.cells()).strong().begins_group());
        bars.push(Bars::default());
    }
    let (given, agreed) = (held.in_kind.whole(), catalogue::BUDGET_IN_KIND.whole());
    let in_kind = MoneyLine::of(ledger, "in kind, all lines", &agreed, &given);
    if in_kind.bars().values().any(|money| money != 0.0) {
        rows.push(Row::new(&in_kind.name, in_kind.cells()).begins_group());
        bars.push(in_kind.bars());
    }

    let columns =
        vec![Column::signed("spent", Sign::ThinBar(THIN)), Column::signed("budget", Sign::Bar(WIDE))];
    let frame = Frame::new(rows, columns, 0.0);
    let scale = Scale::over(bars.iter().flat_map(|bars| bars.values()), frame.plot(), 5.0, 0.01);
    let currency = &project.identity.currency;
    let svg = canvas::drawn(frame.size(), |canvas| {
        frame.draw(canvas, &scale, &Axis::new(currency.clone()));
        for (bars, middle) in bars.iter().zip(frame.middles()) {
            bars.draw(canvas, &scale, middle, frame.pitch());
        }
    });

    let named: Vec<String> = lines.iter().map(MoneyLine::said).collect();
    Some(Drawing {
        name: "money-by-line".to_owned(),
        title: "Budget and spending, by line".to_owned(),
        alt: format!(
            "Bar chart of budget and spending by line, in {currency}: {}. In all {}.",
            listed(&named, 20),
            total.said().trim_start_matches("all lines ")
        ),
        caption: caption(project, held, &bars),
        svg,
        size_mm: frame.size(),
        landscape: false,
    })
}

impl<'a> MoneyLine<'a> {
    fn of(ledger: &'a Ledger, name: &str, budget: &FigureId, spent: &FigureId) -> MoneyLine<'a> {
        MoneyLine { name: name.to_owned(), budget: drawable(ledger, budget), spent: drawable(ledger, spent) }
    }

    fn bars(&self) -> Bars {
        Bars { wide: self.budget.map(|figure| figure.value), thin: self.spent.map(|figure| figure.value) }
    }

    fn cells(&self) -> Vec<String> {
        vec![value_or_dash(self.spent), value_or_dash(self.budget)]
    }

    fn said(&self) -> String {
        match (self.spent, self.budget) {
            (Some(spent), Some(budget)) => {
                format!("{} {} spent of {}", self.name, value(spent), value(budget))
            }
            (Some(spent), None) => format!("{} {} spent, without a budget", self.name, value(spent)),
            (None, Some(budget)) => format!("{} nothing spent of {}", self.name, value(budget)),
            (None, None) => format!("{} not given", self.name),
        }
    }
}

/// Budget lines in the order of `project.toml`, then lines on which money was spent without a budget.
fn lines<'a>(project: &Project, ledger: &'a Ledger, held: Held) -> Vec<MoneyLine<'a>> {
    let mut names: BTreeMap<String, &str> = BTreeMap::new();
    let mut order: Vec<String> = Vec::new();
    let budgeted = project.budget.iter().map(|line| line.line.as_str());
    let written = project.spending.iter().map(|payment| payment.line.as_str());
    for name in budgeted.chain(written) {
        names.entry(slug(name)).or_insert_with(|| {
            order.push(slug(name));
            name
        });
    }
    let figures = |series| figures_under(ledger, series, &[]);
    for (rest, _) in figures(&catalogue::BUDGET_LINE).chain(figures(held.spent_line)) {
        if !order.iter().any(|known| known == rest) {
            order.push(rest.to_owned());
        }
    }
    order
        .iter()
        .map(|slug| {
            let name = names.get(slug).map_or(slug.as_str(), |name| name);
            let id = |series: &Series| series.id(&[slug]);
            MoneyLine::of(ledger, name, &id(&catalogue::BUDGET_LINE), &id(held.spent_line))
        })
        .filter(|line| line.budget.is_some() || line.spent.is_some())
        .collect()
}

fn caption(project: &Project, held: Held, bars: &[Bars]) -> String {
    let paid = project.spending.iter().filter(|payment| project.period.holds(payment.counted_on));
    let tax = match project.money.acquit {
        TaxBasis::Excluded if TaxRecorded::of(paid).nowhere() => "not recorded",
        TaxBasis::Excluded => "excluded",
        TaxBasis::Included => "included",
    };
    let days = match held.span {
        "to date" => format!("up to {}", day(project.period.to)),
        _ => format!("from {} to {}", day(project.period.from), day(project.period.to)),
    };
    let mut caption = format!("Wide light bar: budget. Thin dark bar: spent {days}, tax {tax}.");
    if bars.iter().any(|bars| bars.is_beyond()) {
        caption += " The upright stroke marks the budget's end where more was spent.";
    }
    caption
}
