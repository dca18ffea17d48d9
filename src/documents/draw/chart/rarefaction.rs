//! How many species so many plots hold on average: where the curve is flat, more plots would show little more.

use crate::draw::{
    Drawing,
    chart::{
        across::Across,
        canvas,
        curve::{Curve, Join, Shape},
        panels::{Panel, Panels, Strip},
        words::{drawable, figures_under, listed, value},
    },
};
use hillfolio_core::{
    ledger::{Figure, Ledger, catalogue},
    units::whole,
};

/// Paper above the curve, for words.
const HEADROOM: f64 = 1.3;

/// The chart of species by plots; `None` where there are fewer than two plots.
pub(super) fn rarefaction(ledger: &Ledger) -> Option<Drawing> {
    let mut found: Vec<(u32, &Figure)> = figures_under(ledger, &catalogue::RAREFIED, &["all"])
        .filter_map(|(plots, figure)| Some((plots.parse().ok()?, figure)))
        .collect();
    found.sort_by_key(|(plots, _)| *plots);
    let [(first, one), .., (most, last)] = found.as_slice() else { return None };
    let chao = drawable(ledger, &catalogue::CHAO1.whole());
    let level =
        chao.map(|figure| (figure.value, format!("expected at the least, after Chao: {}", value(figure))));
    let points = found.iter().map(|(plots, figure)| (f64::from(*plots), *figure)).collect();
    let curve = Curve { name: "", shape: Shape::Disc, join: Join::Line, points };
    let panel = Panel { curves: vec![curve], level, ..Panel::default() };
    let strip = Strip {
        title: "Species".to_owned(),
        shares: false,
        highest: panel.highest() * HEADROOM,
        panels: vec![panel],
    };
    let panels =
        Panels { strips: vec![strip], across: Across::counts(f64::from(*most), "plots"), counted: "" };
    let said: Vec<String> = found
        .iter()
        .map(|(plots, figure)| format!("{} in {}", value(figure), whole((*plots).into())))
        .collect();
    let mut caption = format!(
        "Mark: the species to be expected in so many plots drawn at random from the {most} of the latest survey, worked out and \
         not drawn by chance; {first} plot holds {} on average. A flat end says that more plots would show few species more.",
        value(one)
    );
    if chao.is_some() {
        caption +=
            " Brown dashes: the species to be expected at the least if plots without end were counted.";
    }
    Some(Drawing {
        name: "rarefaction".to_owned(),
        title: "Species by number of plots".to_owned(),
        alt: format!(
            "Line chart of species expected by plots, ending at {}: {}.",
            value(last),
            listed(&said, 16)
        ),
        caption: caption + " The estimator gives no interval.",
        svg: canvas::drawn(panels.size(), |canvas| panels.draw(canvas)),
        size_mm: panels.size(),
        landscape: false,
    })
}
