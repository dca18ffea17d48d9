//! The sheets of the workbook: each table as it was understood, then the figures, the targets and the doubts.

use crate::exports::sheet::{Cell, Sheet};
use hillfolio_core::{
    ledger::{Entry, Ledger},
    problem::{self, Problem},
    project::{CoverMeasure, DiameterAt, MeasuredOn, PlotShape, Project, StemStatus},
};

/// Every sheet that has a row.
pub(super) fn sheets<'a>(
    project: &'a Project,
    ledger: &'a Ledger,
    problems: &'a [Problem],
) -> Vec<Sheet<'a>> {
    let all = [
        figures(ledger),
        targets(ledger),
        plantings(project),
        plots(project),
        tallies(project),
        stems(project),
        cover(project),
        benchmarks(project),
        rain(project),
        works(project),
        spending(project),
        sightings(project),
        photo_points(project),
        doubts(problems),
    ];
    all.into_iter().filter_map(Sheet::filled).collect()
}

fn figures(ledger: &Ledger) -> Sheet<'_> {
    let columns = ["id", "label", "value", "unit", "low", "high", "confidence", "method", "notes"];
    Sheet::of("figures", &columns, ledger.iter(), |(id, entry)| match entry {
        Entry::Figure(figure) => vec![
            id.as_str().into(),
            figure.label.as_str().into(),
            figure.value.into(),
            figure.unit.code().into(),
            figure.interval.map(|interval| interval.low).into(),
            figure.interval.map(|interval| interval.high).into(),
            figure.interval.map(|interval| interval.confidence).into(),
            figure.method.id().into(),
            figure.notes.join("; ").into(),
        ],
        Entry::Missing(missing) => vec![
            id.as_str().into(),
            missing.label.as_str().into(),
            Cell::Empty,
            Cell::Empty,
            Cell::Empty,
            Cell::Empty,
            Cell::Empty,
            Cell::Empty,
            missing.reason.as_str().into(),
        ],
    })
}

fn rain(project: &Project) -> Sheet<'_> {
    Sheet::of("rain", &["date", "mm"], &project.rain, |day| {
        vec![day.date.into(), day.mm.map(|mm| mm.0).into()]
    })
}

fn targets(ledger: &Ledger) -> Sheet<'_> {
    let columns = ["target", "under", "words", "by", "figure", "standing", "because"];
    Sheet::of("targets", &columns, &ledger.targets, |judged| {
        vec![
            judged.target.id.as_str().into(),
            judged.target.under.as_str().into(),
            judged.target.words.as_deref().into(),
            judged.target.by.into(),
            judged.figure.as_str().into(),
            judged.standing.words().into(),
            judged.because.as_str().into(),
        ]
    })
}

fn plantings(project: &Project) -> Sheet<'_> {
    let columns = [
        "date",
        "area",
        "species",
        "stems",
        "stock",
        "provenance",
        "supplier",
        "row",
        "batch",
        "guard",
        "replaces",
        "note",
    ];
    Sheet::of("plantings", &columns, &project.plantings, |planting| {
        vec![
            planting.date.into(),
            (&*planting.area.0).into(),
            (&*planting.species.0).into(),
            planting.stems.0.into(),
            planting.stock.map(|stock| stock.words()).into(),
            planting.provenance.as_deref().into(),
            planting.supplier.as_deref().into(),
            planting.row.as_deref().into(),
            planting.batch.as_deref().into(),
            planting.guard.as_deref().into(),
            planting.replaces.as_deref().into(),
            planting.note.as_deref().into(),
        ]
    })
}

fn plots(project: &Project) -> Sheet<'_> {
    let columns = [
        "plot",
        "area",
        "size_m2",
        "radius_m",
        "length_m",
        "width_m",
        "longitude",
        "latitude",
        "measured_on",
        "stratum",
        "planted_stems",
        "note",
    ];
    Sheet::of("plots", &columns, &project.plots, |plot| {
        let (size, radius, length, width) = match plot.shape {
            PlotShape::Area(area) => (Some(area.0), None, None, None),
            PlotShape::Circle(radius) => (None, Some(radius.0), None, None),
            PlotShape::Rectangle(length, width) => (None, None, Some(length.0), Some(width.0)),
        };
        let measured_on = match plot.measured_on {
            MeasuredOn::Plan => "plan",
            MeasuredOn::Slope => "slope",
        };
        vec![
            (&*plot.id.0).into(),
            (&*plot.area.0).into(),
            size.into(),
            radius.into(),
            length.into(),
            width.into(),
            plot.position.map(|position| position.x()).into(),
            plot.position.map(|position| position.y()).into(),
            measured_on.into(),
            plot.stratum.as_deref().into(),
            plot.planted_stems.map(|stems| stems.0).into(),
            plot.note.as_deref().into(),
        ]
    })
}

fn tallies(project: &Project) -> Sheet<'_> {
    let columns = ["date", "plot", "species", "alive", "dead", "missing", "recruits", "cohort", "note"];
    Sheet::of("tallies", &columns, &project.tallies, |tally| {
        vec![
            tally.date.into(),
            (&*tally.plot.0).into(),
            (&*tally.species.0).into(),
            tally.alive.0.into(),
            tally.dead.map(|stems| stems.0).into(),
            tally.missing.map(|stems| stems.0).into(),
            tally.recruits.map(|stems| stems.0).into(),
            tally.cohort.map(f64::from).into(),
            tally.note.as_deref().into(),
        ]
    })
}

fn stems(project: &Project) -> Sheet<'_> {
    let columns = [
        "date",
        "plot",
        "species",
        "tag",
        "height_m",
        "diameter_mm",
        "diameter_at",
        "stem",
        "status",
        "note",
    ];
    Sheet::of("stems", &columns, &project.stems, |stem| {
        let diameter_at = stem.diameter_at.map(|at| match at {
            DiameterAt::Base => "base",
            DiameterAt::Breast => "breast",
        });
        let status = match stem.status {
            StemStatus::Alive => "alive",
            StemStatus::Dead => "dead",
            StemStatus::Missing => "missing",
        };
        vec![
            stem.date.into(),
            (&*stem.plot.0).into(),
            (&*stem.species.0).into(),
            stem.tag.as_deref().into(),
            stem.height.map(|height| height.0).into(),
            stem.diameter_mm.into(),
            diameter_at.into(),
            stem.stem.into(),
            status.into(),
            stem.note.as_deref().into(),
        ]
    })
}

fn cover(project: &Project) -> Sheet<'_> {
    let columns = [
        "date",
        "plot",
        "layer",
        "cover",
        "percent",
        "hits",
        "points",
        "class",
        "intercept_m",
        "line_m",
        "line",
        "height_m",
        "note",
    ];
    Sheet::of("cover", &columns, &project.cover, |reading| {
        let (mut percent, mut hits, mut points, mut class) = (None, None, None, None);
        let (mut covered, mut along, mut name) = (None, None, None);
        match &reading.measure {
            CoverMeasure::Percent(read) => percent = Some(*read),
            CoverMeasure::Hits { hits: hit, points: read } => (hits, points) = (Some(*hit), Some(*read)),
            CoverMeasure::Class(read) => class = Some(&*read.code),
            CoverMeasure::Intercept { covered: taken, line, name: called } => {
                (covered, along, name) = (Some(taken.0), Some(line.0), called.as_deref());
            }
        }
        vec![
            reading.date.into(),
            (&*reading.plot.0).into(),
            reading.layer.word().into(),
            reading.cover.as_str().into(),
            percent.into(),
            hits.into(),
            points.into(),
            class.into(),
            covered.into(),
            along.into(),
            name.into(),
            reading.height.map(|height| height.0).into(),
            reading.note.as_deref().into(),
        ]
    })
}

fn benchmarks(project: &Project) -> Sheet<'_> {
    let columns = ["attribute", "area", "benchmark", "source", "scored_as", "note"];
    Sheet::of("benchmarks", &columns, &project.benchmarks, |benchmark| {
        vec![
            benchmark.attribute.words().into(),
            benchmark.area.as_ref().map(|area| &*area.0).into(),
            benchmark.value.into(),
            benchmark.reference.as_str().into(),
            benchmark.scoring.map(|scoring| scoring.words()).into(),
            benchmark.note.as_deref().into(),
        ]
    })
}

fn works(project: &Project) -> Sheet<'_> {
    let columns = ["date", "task", "area", "hours", "people", "basis", "quantity", "unit", "note"];
    Sheet::of("works", &columns, &project.works, |work| {
        vec![
            work.date.into(),
            work.task.as_str().into(),
            work.area.as_ref().map(|area| &*area.0).into(),
            work.hours.map(|hours| hours.0).into(),
            work.people.into(),
            work.basis.words().into(),
            work.quantity.into(),
            work.unit.as_deref().into(),
            work.note.as_deref().into(),
        ]
    })
}

fn spending(project: &Project) -> Sheet<'_> {
    let columns = ["date", "line", "amount", "tax", "in_kind", "payee", "receipt", "note"];
    Sheet::of("spending", &columns, &project.spending, |spending| {
        vec![
            spending.date.into(),
            spending.line.as_str().into(),
            spending.amount.number().into(),
            spending.tax.number().into(),
            if spending.in_kind { "yes" } else { "no" }.into(),
            spending.payee.as_deref().into(),
            spending.receipt.as_deref().into(),
            spending.note.as_deref().into(),
        ]
    })
}

fn sightings(project: &Project) -> Sheet<'_> {
    let columns = ["date", "species", "count", "area", "longitude", "latitude", "sensitive", "note"];
    Sheet::of("sightings", &columns, &project.sightings, |sighting| {
        vec![
            sighting.date.into(),
            sighting.species.as_str().into(),
            sighting.count.map(|count| count.0).into(),
            sighting.area.as_ref().map(|area| &*area.0).into(),
            sighting.position.map(|position| position.x()).into(),
            sighting.position.map(|position| position.y()).into(),
            if sighting.sensitive { "yes" } else { "no" }.into(),
            sighting.note.as_deref().into(),
        ]
    })
}

fn photo_points(project: &Project) -> Sheet<'_> {
    let columns = ["photopoint", "longitude", "latitude", "bearing_deg", "area", "about", "pictures"];
    Sheet::of("photopoints", &columns, &project.photo_points, |point| {
        let pictures = project.photos.iter().filter(|photo| photo.point == point.id).count();
        vec![
            (&*point.id).into(),
            point.position.x().into(),
            point.position.y().into(),
            point.bearing.0.into(),
            point.area.as_ref().map(|area| &*area.0).into(),
            point.about.as_deref().into(),
            u64::try_from(pictures).unwrap_or(u64::MAX).into(),
        ]
    })
}

fn doubts(problems: &[Problem]) -> Sheet<'_> {
    let columns = ["file", "row", "column", "code", "says", "help"];
    Sheet::of("doubts", &columns, problem::doubts(problems), |problem| {
        let message = problem.kind.message();
        vec![
            (&*problem.place.path).into(),
            problem.place.row.into(),
            problem.place.column.as_deref().into(),
            message.code.into_owned().into(),
            message.sentence.into(),
            message.help.into(),
        ]
    })
}
