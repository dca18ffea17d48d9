//! Stems planted, by species: in all, and of these within the period.

use crate::draw::{
    Drawing,
    chart::{
        bars::{Bars, THIN, WIDE},
        canvas,
        frame::{Axis, Column, Frame, Row, Sign},
        scale::Scale,
        words::{NOTHING, drawable, figures_under, listed, species_by_slug, value, value_or_dash},
    },
};
use hillfolio_core::{
    ledger::{Figure, Ledger, catalogue},
    project::Project,
    units::number,
};

/// Most rows with bars; where there are more species, the last row says how many others there are.
///
/// It has no bar: a heap of species would dwarf every one of them.
const MOST_ROWS: usize = 18;

struct Planted<'a> {
    name: String,
    to_date: f64,
    in_period: Option<f64>,
    printed: &'a Figure,
}

/// The chart of stems planted by species.
pub(super) fn species_planted(project: &Project, ledger: &Ledger) -> Option<Drawing> {
    let species = planted(project, ledger);
    let most = species.first()?;
    let shown = if species.len() > MOST_ROWS { MOST_ROWS - 1 } else { species.len() };
    let (own, others) = species.split_at(shown);
    let is_split = species.iter().any(|one| one.in_period.is_some_and(|stems| stems < one.to_date));

    let mut rows = Vec::new();
    let mut bars = Vec::new();
    for one in own {
        rows.push(Row::species(&one.name, one.cells(is_split)));
        bars.push(one.bars(is_split));
    }
    if let (Some(most), Some(least)) = (others.first(), others.last()) {
        let between = format!("{}–{}", value(least.printed), value(most.printed));
        rows.push(Row::new(&format!("{} others, {between} stems each", others.len()), vec![]).begins_group());
        bars.push(Bars::default());
    }
    let all = drawable(ledger, &catalogue::STEMS.whole());
    if let Some(all) = all.filter(|_| species.len() > 1) {
        let within = value_or_dash(drawable(ledger, &catalogue::STEMS_IN_PERIOD.whole()));
        let cells = if is_split { vec![within, value(all)] } else { vec![value(all)] };
        rows.push(Row::new("all species", cells).strong().begins_group());
        bars.push(Bars::default());
    }

    let columns = if is_split {
        vec![Column::signed("in the period", Sign::ThinBar(THIN)), Column::signed("to date", Sign::Bar(WIDE))]
    } else {
        vec![Column::new("stems")]
    };
    let frame = Frame::new(rows, columns, 0.0);
    let scale = Scale::over(bars.iter().flat_map(|bars| bars.values()), frame.plot(), 6.0, 1.0);
    let svg = canvas::drawn(frame.size(), |canvas| {
        frame.draw(canvas, &scale, &Axis::new("stems planted"));
        for (bars, middle) in bars.iter().zip(frame.middles()) {
            bars.draw(canvas, &scale, middle, frame.pitch());
        }
    });

    let named: Vec<String> = own.iter().map(|one| format!("{} {}", one.name, value(one.printed))).collect();
    let total = all.map_or_else(String::new, |all| format!(" All species together: {} stems.", value(all)));
    Some(Drawing {
        name: "species-planted".to_owned(),
        title: "Stems planted, by species".to_owned(),
        alt: format!(
            "Bar chart of stems planted by species. Most were of {}, with {} stems. {}.{total}",
            most.name,
            value(most.printed),
            listed(&named, MOST_ROWS)
        ),
        caption: caption(project, is_split, others.len()),
        svg,
        size_mm: frame.size(),
        landscape: false,
    })
}

impl Planted<'_> {
    fn bars(&self, is_split: bool) -> Bars {
        Bars { wide: Some(self.to_date), thin: self.in_period.filter(|_| is_split) }
    }

    fn cells(&self, is_split: bool) -> Vec<String> {
        let in_period = self.in_period.map_or_else(|| NOTHING.to_owned(), |stems| number(stems, 0));
        let to_date = value(self.printed);
        if is_split { vec![in_period, to_date] } else { vec![to_date] }
    }
}

fn planted<'a>(project: &Project, ledger: &'a Ledger) -> Vec<Planted<'a>> {
    let names = species_by_slug(project);
    let mut species: Vec<Planted<'_>> = figures_under(ledger, &catalogue::SPECIES_STEMS, &[])
        .filter(|(_, figure)| figure.value > 0.0)
        .map(|(slug, figure)| Planted {
            name: names.get(slug).map_or_else(|| slug.to_owned(), |name| name.to_string()),
            to_date: figure.value,
            in_period: drawable(ledger, &catalogue::SPECIES_STEMS_IN_PERIOD.id(&[slug])).map(|f| f.value),
            printed: figure,
        })
        .collect();
    species.sort_by(|a, b| b.to_date.total_cmp(&a.to_date).then_with(|| a.name.cmp(&b.name)));
    species
}

fn caption(project: &Project, is_split: bool, others: usize) -> String {
    let end = hillfolio_core::units::day(project.period.to);
    let mut caption = format!("Stems set by {end}, from the planting log, infill included.");
    if is_split {
        let start = hillfolio_core::units::day(project.period.from);
        caption += &format!(" The thin dark bar is the part planted in the period, from {start}.");
    }
    if others > 0 {
        caption += &format!(
            " The {others} species planted least have no bar of their own; the species table has them all."
        );
    }
    caption
}
