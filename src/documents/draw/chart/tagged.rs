//! How long tagged stems live: a step down at each survey that found some dead.

use crate::draw::{
    Drawing,
    chart::{
        across::Across,
        canvas,
        curve::{Curve, Join, Shape},
        panels::{ABREAST, Panel, Panels, Strip},
        rounds::Scopes,
        words::{confidence, figures_under, listed, value},
    },
};
use hillfolio_core::{
    ledger::{Figure, Ledger, catalogue},
    project::{Project, slug},
    units::whole,
};

/// The chart of tagged stems; `None` where no survey found one dead.
pub(super) fn tagged(project: &Project, ledger: &Ledger) -> Option<Drawing> {
    let scopes = Scopes::of(project);
    let panels: Vec<Panel<'_>> =
        scopes.shown.iter().filter_map(|(heading, name)| panel(ledger, heading, name)).collect();
    let steps = || panels.iter().flat_map(|panel| &panel.curves).flat_map(|curve| &curve.points);
    let longest = steps().map(|(days, _)| *days).fold(0.0, f64::max);
    let level = confidence(steps().map(|(_, figure)| *figure));
    let said: Vec<String> = panels.iter().filter_map(told).collect();
    if panels.is_empty() {
        return None;
    }
    let mut caption = "Mark: the share of tagged stems alive after a survey that found some dead; it holds \
                       until the next mark."
        .to_owned();
    if let Some(level) = level {
        caption += &format!(" Whisker and pale ground: its {level} interval.");
    }
    caption += " A curve ends with the last survey that found a death. Stems that no survey found again count as dead, those \
                that were not looked for leave the count alive.";
    caption +=
        " At risk: the stems that a share rests on, those that had lived and been looked for until then.";
    caption += &scopes.words();
    let mut strips = Vec::new();
    for some in panels.chunks(ABREAST) {
        let title = if strips.is_empty() { "Tagged stems alive" } else { "" };
        strips.push(Strip { title: title.to_owned(), shares: true, highest: 1.0, panels: some.to_vec() });
    }
    let across = Across::counts(longest, "days since a stem was first seen");
    let panels = Panels { strips, across, counted: "at risk" };
    Some(Drawing {
        name: "tagged-stems".to_owned(),
        title: "How long tagged stems live".to_owned(),
        alt: format!(
            "Step charts of tagged stems alive by days since they were first seen: {}.",
            listed(&said, 12)
        ),
        caption,
        svg: canvas::drawn(panels.size(), |canvas| panels.draw(canvas)),
        size_mm: panels.size(),
        landscape: false,
    })
}

fn panel<'a>(ledger: &'a Ledger, heading: &str, name: &str) -> Option<Panel<'a>> {
    let area = slug(name);
    let days = |code: &str| code.strip_suffix("-days")?.parse::<u32>().ok();
    let mut points: Vec<(f64, &Figure)> = figures_under(ledger, &catalogue::TAGGED_SURVIVAL, &[&area])
        .filter_map(|(rest, figure)| Some((f64::from(days(rest)?), figure)))
        .collect();
    points.sort_by(|(one, _), (other, _)| one.total_cmp(other));
    if points.is_empty() {
        return None;
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count of stems")]
    let mut counts: Vec<(f64, u64)> = figures_under(ledger, &catalogue::TAGGED_AT_RISK, &[&area])
        .filter_map(|(rest, figure)| Some((f64::from(days(rest)?), figure.value as u64)))
        .collect();
    counts.sort_by(|(one, _), (other, _)| one.total_cmp(other));
    Some(Panel {
        heading: heading.to_owned(),
        counts,
        bands: vec![band(&points)],
        curves: vec![Curve { name: "", shape: Shape::Disc, join: Join::Steps, points }],
        ..Panel::default()
    })
}

/// The outline of the intervals, each held until the next step; before the first every stem is alive.
fn band(points: &[(f64, &Figure)]) -> Vec<(f64, f64)> {
    let ends: Vec<(f64, f64, f64)> = points
        .iter()
        .map(|(days, figure)| {
            let (low, high) =
                figure.interval.map_or((figure.value, figure.value), |ends| (ends.low, ends.high));
            (*days, low, high)
        })
        .collect();
    let steps = ends.windows(2);
    let mut outline: Vec<(f64, f64)> =
        steps.clone().flat_map(|pair| [(pair[0].0, pair[0].2), (pair[1].0, pair[0].2)]).collect();
    outline.extend(steps.rev().flat_map(|pair| [(pair[1].0, pair[0].1), (pair[0].0, pair[0].1)]));
    outline
}

fn told(panel: &Panel<'_>) -> Option<String> {
    let (days, figure) = panel.curves.first()?.points.last()?;
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "days were read as a whole number"
    )]
    let days = whole(*days as u64);
    Some(format!("{} {} after {days} days", panel.heading, value(figure)))
}
