//! Which shapes of a boundary file are boundaries, and which are fences, gates and creeks beside them.

use geo::{MultiLineString, MultiPoint, MultiPolygon};

use crate::{
    geometry,
    intake::layers::{closed::closed, drawn::Drawn, features::Hints, position::Parts},
    problem::{Ground, Place, Problem},
    project::{FeatureKind, Shape},
};

/// The least ground in hectares that somebody would walk round to plant.
const LEAST: f64 = 0.01;

/// The shapes of a boundary file by what they are.
#[derive(Default)]
pub(super) struct Sorted<'a> {
    /// The boundaries, with the doubt that a gap in one was closed.
    pub(super) boundaries: Vec<(&'a Drawn, MultiPolygon<f64>, Option<Ground>)>,
    /// What stands or runs beside them.
    pub(super) features: Vec<(&'a Drawn, Shape)>,
    /// Shapes of which nothing can be made, and why.
    pub(super) wrong: Vec<(&'a Drawn, Ground)>,
    /// Points without a name or a kind: labels and ways.
    points: Vec<&'a Drawn>,
    /// Walks that come back and are called as what runs along a line, and how many hectares they enclose.
    around: Vec<(&'a Drawn, f64)>,
}

/// Sorts the shapes of a boundary file.
pub(super) fn sorted(drawn: &[Drawn]) -> Sorted<'_> {
    let mut sorted = Sorted::default();
    // Walks that come back and are called a fence: boundaries where there is no other.
    let mut called = Vec::new();
    for one in drawn {
        match one.parts() {
            Ok(parts) => sorted.take(one, parts, &mut called),
            Err(wrong) => sorted.wrong.push((one, wrong)),
        }
    }
    if sorted.boundaries.is_empty() {
        for (one, lines) in called {
            match closed(&lines, one.name().unwrap_or_default()) {
                Ok((polygons, doubt)) => sorted.boundaries.push((one, polygons, doubt)),
                Err(wrong) => sorted.wrong.push((one, wrong)),
            }
        }
    } else {
        for (one, lines) in called {
            sorted.encloses(one, &lines);
            sorted.features.push((one, Shape::Lines(lines)));
        }
    }
    sorted
}

impl<'a> Sorted<'a> {
    fn take(&mut self, one: &'a Drawn, parts: Parts, called: &mut Vec<(&'a Drawn, MultiLineString<f64>)>) {
        let hints = Hints::of(one);
        let (lines, points) = (MultiLineString(parts.lines), MultiPoint(parts.points));
        if !parts.polygons.is_empty() {
            let polygons = MultiPolygon(parts.polygons);
            match hints.said || hints.kind == Some(FeatureKind::Property) {
                true => self.features.push((one, Shape::Polygons(polygons))),
                false => self.boundaries.push((one, polygons, None)),
            }
            // A point beside a polygon is where its label stands.
            if !lines.0.is_empty() {
                self.features.push((one, Shape::Lines(lines)));
            }
            return;
        }
        if !points.0.is_empty() {
            let named = one.property("name").is_some_and(|name| name.chars().any(char::is_alphabetic));
            match hints.kind.is_some() || named {
                true => self.features.push((one, Shape::Points(points))),
                false => self.points.push(one),
            }
        }
        if lines.0.is_empty() {
            return;
        }
        if !one.walked {
            self.features.push((one, Shape::Lines(lines)));
            return;
        }
        let runs = hints.kind.is_some_and(runs);
        match closed(&lines, one.name().unwrap_or("a nameless track")) {
            Ok((polygons, doubt)) if !runs => self.boundaries.push((one, polygons, doubt)),
            Ok(_) => called.push((one, lines)),
            Err(_) if runs || hints.kind.is_some() || !one.is_track => {
                self.features.push((one, Shape::Lines(lines)))
            }
            Err(wrong) => self.wrong.push((one, wrong)),
        }
    }

    /// Remembers a walk that comes back, unless it goes there and back on one way.
    fn encloses(&mut self, one: &'a Drawn, lines: &MultiLineString<f64>) {
        let enclosed = closed(lines, one.name().unwrap_or_default()).ok();
        let hectares = enclosed
            .and_then(|(polygons, _)| geometry::clean(&polygons).ok())
            .map(|clean| geometry::area(&clean.shape).0 / 10_000.0);
        self.around.extend(hectares.filter(|hectares| *hectares >= LEAST).map(|hectares| (one, hectares)));
    }

    /// Says what is left out: points that are nothing, and where a boundary stands, walks and shapes of which none can be made.
    /// What is wrong with others is an error.
    pub(super) fn say(&mut self, path: &str, problems: &mut Vec<Problem>) {
        let first_row = |shapes: &[&Drawn]| shapes.first().map(|one| Place::row(&one.source));
        if let Some(place) = first_row(&self.points).filter(|_| !self.boundaries.is_empty()) {
            problems.push(Problem::new(Ground::PointsLeftOut { points: self.points.len() }, place));
        }
        let (mut open, mut empty) = (Vec::new(), Vec::new());
        let stands = !self.boundaries.is_empty();
        for (one, wrong) in std::mem::take(&mut self.wrong) {
            let nothing = one.walked || one.property("area").is_none();
            match wrong {
                Ground::TrackOpen { metres, .. } if stands => {
                    open.push(format!("{} ({metres:.0} m)", one.name().unwrap_or("a nameless track")));
                }
                Ground::NoShape | Ground::TooFewCorners { .. } if stands && nothing => empty.push(one),
                wrong => {
                    let id = one.name().unwrap_or("the shape");
                    problems.push(one.problem(turned(wrong, one.property("area").unwrap_or(id)), "geometry"));
                }
            }
        }
        for (one, hectares) in std::mem::take(&mut self.around) {
            let Some(kind) = Hints::of(one).kind.filter(|kind| *kind != FeatureKind::Property) else {
                continue;
            };
            let name = one.name().unwrap_or_default().to_owned();
            problems.push(one.problem(Ground::WalkAround { name, kind: kind.words(), hectares }, "geometry"));
        }
        if !open.is_empty() {
            let kind = Ground::TracksLeftOut { tracks: open.len(), names: listed(&open) };
            problems.push(Problem::new(kind, Place::file(path)));
        }
        if let Some(place) = first_row(&empty) {
            problems.push(Problem::new(Ground::EmptyLeftOut { shapes: empty.len() }, place));
        }
        if !stands && !self.points.is_empty() && problems.iter().all(|problem| *problem.place.path != *path) {
            for one in &self.points {
                let kind = Ground::WrongShape { found: one.type_name().to_owned(), wanted: "a polygon" };
                problems.push(one.problem(kind, "geometry"));
            }
        }
    }
}

/// Whether a kind of feature runs along a line.
fn runs(kind: FeatureKind) -> bool {
    use FeatureKind::{BuriedService, Fence, GuideLine, PowerLine, Property, Road, Track, Watercourse};
    matches!(kind, Fence | Track | Road | Watercourse | PowerLine | BuriedService | GuideLine | Property)
}

/// The first few of `names`, and how many more there are.
pub(super) fn listed(names: &[String]) -> String {
    const SHOWN: usize = 8;
    let shown = names.iter().take(SHOWN).cloned().collect::<Vec<_>>().join("; ");
    match names.len() {
        more if more > SHOWN => format!("{shown}; and {} more", more - SHOWN),
        _ => shown,
    }
}

/// A latitude beyond the poles is a longitude, if the other number can be a latitude.
fn turned(kind: Ground, id: &str) -> Ground {
    match &kind {
        Ground::NotOnEarth { longitude, latitude } => {
            let within =
                |text: &str, limit: f64| text.parse::<f64>().is_ok_and(|degrees| degrees.abs() <= limit);
            match within(longitude, 90.0) && within(latitude, 180.0) && !within(latitude, 90.0) {
                true => Ground::AxesSwapped { id: id.to_owned() },
                false => kind,
            }
        }
        _ => kind,
    }
}
