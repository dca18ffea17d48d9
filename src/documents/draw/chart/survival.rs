//! Share of planted stems alive, by area, by species and by year of planting.

use crate::draw::{
    Drawing,
    chart::{
        canvas,
        counted::{surveyed, surveyed_cells},
        dots::{self, Mark, WORDS_HEIGHT},
        frame::{Axis, Column, Frame, Row},
        scale::Scale,
        words::{
            confidence, drawable, figures_under, interval, listed, missing_under, species_by_slug, value,
            why_missing,
        },
    },
};
use hillfolio_core::{
    ledger::{Entry, Figure, Ledger, catalogue},
    project::{Bound, Measure, Project, Target},
    units::percent,
};

/// Most rows that a page holds.
const MOST_ROWS: usize = 60;

/// What the last two columns hold.
const COUNTED: &str =
    " Plots, and stems tallied in them (alive, dead, missing): those that the figure rests on.";

/// One kind of survival chart.
struct Kind {
    name: &'static str,
    title: &'static str,
    by: &'static str,
    all: &'static str,
    is_species: bool,
}

/// One dot with its name.
struct Dot<'a> {
    name: String,
    figure: &'a Figure,
    target: Option<f64>,
}

/// Survival in each area, in the order of the boundary file.
pub(super) fn by_area(project: &Project, ledger: &Ledger) -> Option<Drawing> {
    let mut reasons = Vec::new();
    let mut dots = Vec::new();
    for area in &project.areas {
        let id = catalogue::SURVIVAL.of(Some(&area.id));
        match ledger.get(id.as_str()) {
            Some(Entry::Missing(missing)) => reasons.push((missing.reason.clone(), area.id.to_string())),
            _ => dots.extend(drawable(ledger, &id).map(|figure| Dot {
                name: area.id.to_string(),
                figure,
                target: survival_targets(project).find(|t| t.area.as_ref() == Some(&area.id)).map(bound),
            })),
        }
    }
    let kind = Kind {
        name: "survival-by-area",
        title: "Planted stems alive, by area",
        by: "area",
        all: "all areas",
        is_species: false,
    };
    chart(project, ledger, &kind, &dots, &why_missing(reasons.into_iter()))
}

/// Survival of each species, the best first.
pub(super) fn by_species(project: &Project, ledger: &Ledger) -> Option<Drawing> {
    let names = species_by_slug(project);
    let name = |slug: &str| names.get(slug).map_or_else(|| slug.to_owned(), |name| name.to_string());
    let mut dots: Vec<Dot<'_>> = figures_under(ledger, &catalogue::SPECIES_SURVIVAL, &[])
        .map(|(slug, figure)| Dot { name: name(slug), figure, target: None })
        .collect();
    dots.sort_by(|a, b| b.figure.value.total_cmp(&a.figure.value).then_with(|| a.name.cmp(&b.name)));
    let reasons = missing_under(ledger, &catalogue::SPECIES_SURVIVAL)
        .map(|(slug, missing)| (missing.reason.clone(), name(slug)));
    let kind = Kind {
        name: "survival-by-species",
        title: "Planted stems alive, by species",
        by: "species",
        all: "all species",
        is_species: true,
    };
    chart(project, ledger, &kind, &dots, &why_missing(reasons))
}

/// Survival of each year's planting, the oldest first.
pub(super) fn by_cohort(project: &Project, ledger: &Ledger) -> Option<Drawing> {
    let name = |year: &str| format!("planted {year}");
    let dots: Vec<Dot<'_>> = figures_under(ledger, &catalogue::COHORT_SURVIVAL, &[])
        .map(|(year, figure)| Dot { name: name(year), figure, target: None })
        .collect();
    let reasons = missing_under(ledger, &catalogue::COHORT_SURVIVAL)
        .map(|(year, missing)| (missing.reason.clone(), name(year)));
    let kind = Kind {
        name: "survival-by-cohort",
        title: "Planted stems alive, by year of planting",
        by: "year of planting",
        all: "all years",
        is_species: false,
    };
    chart(project, ledger, &kind, &dots, &why_missing(reasons))
}

fn chart(
    project: &Project,
    ledger: &Ledger,
    kind: &Kind,
    dots: &[Dot<'_>],
    missing: &str,
) -> Option<Drawing> {
    if dots.is_empty() {
        return None;
    }
    let shown = &dots[..dots.len().min(MOST_ROWS)];
    let all = drawable(ledger, &catalogue::SURVIVAL.whole()).filter(|_| shown.len() > 1);
    let figures: Vec<&Figure> = shown.iter().map(|dot| dot.figure).chain(all).collect();
    let confidence = confidence(figures.iter().copied());

    let is_counted = figures.iter().any(|figure| surveyed(project, figure).0 > 0);

    let row = |name: &str, figure: &Figure| {
        let mut cells = vec![value(figure)];
        cells.extend(confidence.as_ref().map(|_| interval(figure)));
        cells.extend(surveyed_cells(project, figure).into_iter().filter(|_| is_counted));
        if kind.is_species { Row::species(name, cells) } else { Row::new(name, cells) }
    };
    let mut rows: Vec<Row> = shown.iter().map(|dot| row(&dot.name, dot.figure)).collect();
    rows.extend(all.map(|figure| row(kind.all, figure).strong().begins_group()));
    let mut columns = vec![Column::new("alive")];
    columns.extend(confidence.as_ref().map(|level| Column::new(format!("{level} interval"))));
    columns.extend(["plots", "stems tallied"].into_iter().filter(|_| is_counted).map(Column::new));

    let marks = site_marks(project);
    let frame = Frame::new(rows, columns, marks.iter().map(|_| WORDS_HEIGHT).sum());
    let scale = Scale::of_shares(frame.plot());
    let svg = canvas::drawn(frame.size(), |canvas| {
        frame.draw(canvas, &scale, &Axis::of_shares("planted stems found alive"));
        dots::marks(canvas, &scale, frame.span(), frame.size().0, &marks);
        for (at, (figure, middle)) in figures.iter().zip(frame.middles()).enumerate() {
            if let Some(target) = shown.get(at).and_then(|dot| dot.target) {
                dots::row_mark(canvas, &scale, middle, frame.pitch(), target);
            }
            dots::dot(canvas, &scale, middle, figure);
        }
    });
    let left_out = match dots.len() - shown.len() {
        0 => String::new(),
        more => format!(" The {more} lowest are left out here; the table has them."),
    };
    Some(Drawing {
        name: kind.name.to_owned(),
        title: kind.title.to_owned(),
        alt: alt(kind, shown, all, &marks),
        caption: caption(shown, &figures, confidence.as_deref(), &marks)
            + if is_counted { COUNTED } else { "" }
            + &left_out
            + missing,
        svg,
        size_mm: frame.size(),
        landscape: false,
    })
}

fn alt(kind: &Kind, dots: &[Dot<'_>], all: Option<&Figure>, marks: &[Mark]) -> String {
    let named: Vec<String> = dots
        .iter()
        .map(|dot| match &dot.figure.interval {
            Some(_) => format!("{} {} ({})", dot.name, value(dot.figure), interval(dot.figure)),
            None => format!("{} {}", dot.name, value(dot.figure)),
        })
        .collect();
    let all = all.map_or_else(String::new, |figure| format!(" {}: {}.", kind.all, value(figure)));
    let marks: String = marks.iter().map(|mark| format!(" Target line, {}.", mark.name)).collect();
    format!(
        "Dot chart of the share of planted stems alive by {}: {}.{all}{marks}",
        kind.by,
        listed(&named, 20)
    )
}

fn caption(dots: &[Dot<'_>], figures: &[&Figure], confidence: Option<&str>, marks: &[Mark]) -> String {
    let mut caption =
        "Dot: planted stems found alive at the latest survey, missing stems counted as dead.".to_owned();
    if let Some(level) = confidence {
        caption += &format!(" Whisker: {level} interval.");
    }
    if figures.iter().any(|figure| figure.interval.is_none()) {
        caption += " An open dot has no interval.";
    }
    if !marks.is_empty() {
        caption += " Dashed line: target for all areas together.";
    }
    if dots.iter().any(|dot| dot.target.is_some()) {
        caption += " Short line in a row: that area's own target.";
    }
    caption
}

fn survival_targets(project: &Project) -> impl Iterator<Item = &Target> {
    project.targets.iter().filter(|target| target.measure == Measure::Survival)
}

/// Targets for all areas together, one line for each value, the lowest first.
fn site_marks(project: &Project) -> Vec<Mark> {
    let targets: Vec<&Target> = survival_targets(project).filter(|target| target.area.is_none()).collect();
    let mut marks: Vec<Mark> = Vec::new();
    for target in &targets {
        let value = bound(target);
        if marks.iter().any(|mark| mark.value == value) {
            continue;
        }
        let mut agreements: Vec<&str> = Vec::new();
        for same in targets.iter().filter(|other| bound(other) == value) {
            if !agreements.contains(&same.under.as_str()) {
                agreements.push(&same.under);
            }
        }
        let side = match target.bound {
            Bound::AtLeast(_) => "at least",
            Bound::AtMost(_) => "at most",
        };
        let digits = usize::from((value * 1000.0).round() % 10.0 != 0.0);
        marks.push(Mark {
            value,
            name: format!("{}: {side} {}", agreements.join(", "), percent(value, digits)),
        });
    }
    marks.sort_by(|a, b| a.value.total_cmp(&b.value));
    marks
}

fn bound(target: &Target) -> f64 {
    match target.bound {
        Bound::AtLeast(value) | Bound::AtMost(value) => value,
    }
}
