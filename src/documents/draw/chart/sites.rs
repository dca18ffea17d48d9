//! Survival over the sites of a portfolio: how many sites lie in each class, and where all of them together lie.

use crate::draw::{
    Drawing,
    chart::{
        canvas,
        frame::{Axis, Column, Frame, Row},
        scale::Scale,
        words::{interval, value},
    },
    palette::SERIES,
};
use hillfolio_core::{
    ledger::{Figure, Ledger, Member, catalogue},
    units::whole,
};

/// How many sites lie in each class of survival; `None` where no site was surveyed.
#[must_use]
pub fn survival_of_sites(ledger: &Ledger) -> Option<Drawing> {
    let classes: Vec<(String, &Figure)> = (0..10)
        .rev()
        .filter_map(|class| {
            let tenth = Member::tenth(class);
            let figure = ledger.figure_of(&catalogue::SITES_BY_SURVIVAL, &[tenth.code()])?;
            Some((tenth.words().to_owned(), figure))
        })
        .collect();
    let most = classes.iter().map(|(_, figure)| figure.value).fold(0.0, f64::max);
    if most <= 0.0 {
        return None;
    }
    let row = |(words, figure): &(String, &Figure)| Row::new(words, vec![value(figure)]);
    let frame = Frame::new(classes.iter().map(row).collect(), vec![Column::new("sites")], 0.0);
    let scale = Scale::over([0.0, most].into_iter(), frame.plot(), 6.0, 1.0);
    let svg = canvas::drawn(frame.size(), |canvas| {
        frame.draw(canvas, &scale, &Axis::new("sites"));
        for ((_, figure), middle) in classes.iter().zip(frame.middles()) {
            let half = frame.pitch() * 0.32;
            if figure.value > 0.0 {
                canvas.bar(
                    (scale.at(0.0), middle - half),
                    (scale.at(figure.value), middle + half),
                    SERIES[0],
                );
            }
        }
    });
    let said: Vec<String> = classes
        .iter()
        .filter(|(_, figure)| figure.value > 0.0)
        .map(|(words, figure)| format!("{words}: {}", value(figure)))
        .collect();
    let sites: f64 = classes.iter().map(|(_, figure)| figure.value).sum();
    let all = ledger.figure_of(&catalogue::SURVIVAL, &["all"]).map_or_else(String::new, |figure| {
        let interval = figure.interval.map_or_else(String::new, |_| format!(" ({})", interval(figure)));
        format!(" All sites together: {}{interval}.", value(figure))
    });
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count of sites")]
    let count = whole(sites as u64);
    Some(Drawing {
        name: "survival-of-sites".to_owned(),
        title: "Sites by the share of their planted stems that live".to_owned(),
        alt: format!("Bar chart of {count} sites by survival: {}.{all}", said.join("; ")),
        caption: format!("Bar: sites whose survival, by its value alone, lies in the class.{all}"),
        svg,
        size_mm: frame.size(),
        landscape: false,
    })
}
