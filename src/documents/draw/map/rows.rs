//! Maps to set rows out by: every row with its number and start, the ground kept free and why, gates and tracks.

use geo::{BooleanOps, Coord, MapCoords, MultiLineString, MultiPoint, MultiPolygon, Point};

use crate::draw::{
    map::{
        item::{Item, Label, Named, features},
        layout::Paper,
        locator::Locator,
        row_sheets::parted,
        sheet::MapSpec,
        sign::{Practice, Sign},
        site::{core_of, grid_of},
        slope::outlined,
    },
    text::{Line, Weight},
};
use hillfolio_core::{
    plan::{AreaPlan, HAND_FROM, LaidOn, MANUAL_FROM, Plan as SetOut, Reason, Row, steep_ground},
    project::{Area, AreaId, Project, Shape, slug},
    terrain::Grid,
    units::{Degrees, number},
};

/// Every so many-th row is drawn heavier, so that rows can be counted.
const HEAVY: u32 = 5;

/// The way a row starts is that of its first metres.
const FIRST_METRES: f64 = 2.0;

/// Steep ground in patches smaller than this is not drawn, m².
const SMALLEST_PATCH: f64 = 25.0;

/// The maps of every area with rows on `paper`, with what each shows for those who can't see it.
#[must_use]
pub(super) fn plans(project: &Project, set_out: &SetOut, paper: Paper) -> Vec<(MapSpec, String)> {
    let plans = set_out.areas.iter().flat_map(|rows| of_area(project, set_out, rows, paper));
    plans.collect()
}

fn of_area(project: &Project, set_out: &SetOut, planned: &AreaPlan, paper: Paper) -> Vec<(MapSpec, String)> {
    let id = &planned.rows.plantable.area;
    let Some(area) = project.areas.iter().find(|area| &area.id == id) else { return Vec::new() };
    let spacing = number(set_out.design.spacing.0, 1);
    let count = planned.rows.rows.len();
    let others = project.areas.iter().filter(|other| &other.id != id);
    let slope = set_out.ground.as_ref().map(|ground| &ground.slope);
    let steep = slope.map(|slope| steep(area, planned, slope)).unwrap_or_default();
    let tinted = !steep.is_empty();
    let own = Item { label: None, ..outlined(area, None) };
    let items: Vec<Item> = steep
        .into_iter()
        .chain(kept_free(planned))
        .chain(others.map(|other| outlined(other, None)))
        .chain([own])
        .chain(features(project))
        .chain(planned.rows.rows.iter().flat_map(|row| [course(planned, row), start(planned, row)]))
        .collect();
    let areas: Vec<MultiPolygon<f64>> = project.areas.iter().map(|area| area.boundary.clone()).collect();
    let whole = MapSpec {
        name: match paper {
            Paper::Large => format!("rows-{}-a3", file_part(project, id)),
            Paper::Page | Paper::Field => format!("rows-{}", file_part(project, id)),
        },
        title: format!("Rows of {id}"),
        caption: caption(planned, &spacing, tinted),
        items,
        core: core_of(&[area]),
        widens: false,
        grounds: Vec::new(),
        relief: None,
        locator: if areas.len() > 1 { Locator::Among(areas) } else { Locator::Graticule },
        paper,
    };
    // What lies between two rows on the map is less than what the tape reads.
    let apart = set_out.design.spacing.0 * planned.rows.mean_slope().cos();
    let alt = format!(
        "Map of {id} with its {count} rows, {spacing} m apart along the ground, each with its start and number."
    );
    let plans = parted(whole, apart, grid_of(project).as_ref());
    plans.into_iter().map(|plan| (plan, alt.clone())).collect()
}

fn caption(planned: &AreaPlan, spacing: &str, tinted: bool) -> String {
    let order = match planned.rows.laid_on {
        LaidOn::Contour(_) => "numbered from the top of the slope down",
        LaidOn::GuideLine(_) => "along the drawn guide line, numbered from one side",
    };
    let mut caption = format!(
        "Rows {spacing} m apart with the tape held along the ground, {order}; every fifth is drawn heavier. An arrowhead \
         stands where a row starts and points along it."
    );
    if tinted {
        caption += " Tinted ground is 12° or steeper; from 15° on it is for hand work alone (common practice, no source). This is not a \
                    map of where it is safe to drive: the machine's own manual says how steep is too steep.";
    }
    caption
}

/// A row's course.
fn course(planned: &AreaPlan, row: &Row) -> Item {
    let heavy = row.number.is_multiple_of(HEAVY);
    Item {
        sign: Sign::Row(heavy),
        words: if heavy { "Every fifth row" } else { "Row" }.to_owned(),
        shape: Shape::Lines(MultiLineString(vec![planned.rows.course(row)])),
        bearing: None,
        label: None,
    }
}

/// A row's start with its number.
fn start(planned: &AreaPlan, row: &Row) -> Item {
    let line = Line::new(row.number.to_string(), 7.5).weight(Weight::Bold);
    let first = row.line.0.first().copied();
    let place = first.map(|place| planned.rows.plantable.plane.position(place));
    Item {
        sign: Sign::RowStart,
        words: "Start of a row".to_owned(),
        shape: Shape::Points(MultiPoint(place.into_iter().collect())),
        bearing: Some(bearing(row)),
        label: Some(Label { named: Named::Row(row.number), forms: vec![vec![line]] }),
    }
}

/// The direction in which a row leaves its start; the plane of an area has true north up.
fn bearing(row: &Row) -> Degrees {
    let from = row.line.0.first().copied().unwrap_or(Coord::zero());
    let away = |to: &&Coord<f64>| libm::hypot(to.x - from.x, to.y - from.y) >= FIRST_METRES;
    let to = row.line.0.iter().find(away).or(row.line.0.last()).copied().unwrap_or(from);
    Degrees(libm::atan2(to.x - from.x, to.y - from.y).to_degrees())
}

/// The ground kept free of planting. What a feature covers bears the feature's own sign.
fn kept_free(planned: &AreaPlan) -> Vec<Item> {
    let ground = &planned.rows.plantable;
    let item = |sign: Sign, words: String, shape: &MultiPolygon<f64>| Item {
        sign,
        words,
        shape: Shape::Polygons(ground.placed(shape)),
        bearing: None,
        label: None,
    };
    let items = ground.taken_out.iter().filter_map(|taken| match taken.reason {
        Reason::Within(_) => None,
        Reason::Beside(..) => {
            Some(item(Sign::KeptFree, "Kept free beside features".to_owned(), &taken.shape))
        }
        reason @ Reason::Steep(_) => {
            Some(item(Sign::TooSteep, format!("{reason}: not planted"), &taken.shape))
        }
        Reason::NoModel => {
            Some(item(Sign::NoModel, "No ground model: no rows laid out".to_owned(), &taken.shape))
        }
    });
    items.collect()
}

/// Ground of 12° and of 15° and over within the area, where there is any.
fn steep(area: &Area, planned: &AreaPlan, slope: &Grid) -> Vec<Item> {
    let ground = &planned.rows.plantable;
    let boundary = area.boundary.map_coords(|corner| ground.plane.xy(Point(corner)));
    let from = |limit: Degrees| steep_ground(&boundary, &ground.plane, slope, limit);
    let (twelve, fifteen) = (from(MANUAL_FROM), from(HAND_FROM));
    let bands = [
        (Practice::Twelve, twelve.difference(&fifteen), "12° to under 15°"),
        (Practice::Fifteen, fifteen, "15° and steeper"),
    ];
    let drawn = bands.into_iter().filter_map(|(practice, shape, words)| {
        let shape = without_specks(shape);
        (!shape.0.is_empty()).then(|| Item {
            sign: Sign::SteepFrom(practice),
            words: words.to_owned(),
            shape: Shape::Polygons(ground.placed(&shape)),
            bearing: None,
            label: None,
        })
    });
    drawn.collect()
}

fn without_specks(shape: MultiPolygon<f64>) -> MultiPolygon<f64> {
    use geo::Area as _;
    MultiPolygon(shape.into_iter().filter(|part| part.unsigned_area() >= SMALLEST_PATCH).collect())
}

/// What stands for an area in the name of a file: its slug where every system can hold it, else its number in its own file.
fn file_part(project: &Project, id: &AreaId) -> String {
    const LONGEST: usize = 50;
    let slug = slug(&id.0);
    if slug.is_ascii() && !slug.is_empty() && slug.len() <= LONGEST {
        return slug;
    }
    let at = project.areas.iter().position(|area| &area.id == id).unwrap_or_default();
    format!("area-{}", at + 1)
}
