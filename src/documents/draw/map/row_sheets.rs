//! A map of rows parted into sheets, where rows would stand too close on one.

use geo::{Coord, LineString, MapCoords, Point, Rect};

use crate::draw::map::{
    clip,
    item::Item,
    layout::{self, Paper},
    sheet::{MapSpec, window_of},
    sign::Sign,
    site::frame_item,
    window::upright,
};
use hillfolio_core::{
    geometry::{Grid, Plane},
    project::Shape,
};

/// Rows stand no closer than this on paper, mm.
const CLOSEST_ROWS_MM: f64 = 2.3;

/// No area is parted into more sheets than this; beyond, rows stand closer.
const MOST_SHEETS: usize = 30;

/// Rows of a legend that a sheet is planned with.
const LEGEND_ROWS: usize = 14;

/// A sheet's corners are turned a little against the area's by the grid: so much is kept free for that.
const TURN: f64 = 1.005;

/// `whole` as one sheet, or as an index and its sheets, `apart` metres of plan lying between two rows.
#[must_use]
pub(super) fn parted(whole: MapSpec, apart: f64, grid: Option<&Grid>) -> Vec<MapSpec> {
    let fits = |plan: &MapSpec| {
        window_of(plan, grid).is_none_or(|(_, window)| window.scale.paper(apart) >= CLOSEST_ROWS_MM)
    };
    let Some((plane, ground)) = upright(&whole.core, grid).filter(|_| !fits(&whole)) else {
        return vec![whole];
    };
    let lines: Vec<LineString<f64>> = whole.items.iter().flat_map(|item| row_on(item, &plane)).collect();
    let tiles: Vec<Rect<f64>> = tiles(whole.paper, ground, apart)
        .into_iter()
        .filter(|tile| lines.iter().any(|line| !clip::line(line, *tile).is_empty()))
        .collect();
    let count = tiles.len();
    let sheets: Vec<MapSpec> = (1..)
        .zip(&tiles)
        .map(|(number, tile)| MapSpec {
            name: format!("{}-{number}", whole.name),
            title: format!("{}, sheet {number} of {count}", whole.title),
            core: corners(tile).map(|corner| plane.position(corner)).to_vec(),
            caption: format!("{} Sheets overlap at their edges.", whole.caption),
            ..whole.clone()
        })
        .collect();
    let mut index = MapSpec {
        name: format!("{}-index", whole.name),
        title: format!("{}: which sheet shows what", whole.title),
        caption:
            "The frames are those of the sheets that follow; of the rows only every fifth is drawn here."
                .to_owned(),
        ..whole
    };
    index.items.retain(|item| !matches!(item.sign, Sign::Row(false) | Sign::RowStart));
    for (number, sheet) in (1..).zip(&sheets) {
        if let Some((_, window)) = window_of(sheet, grid) {
            let item = frame_item(&window, number);
            index.items.push(Item { words: "Sheet of rows".to_owned(), ..item });
        }
    }
    std::iter::once(index).chain(sheets).collect()
}

/// A row on the plane of the sheets.
fn row_on(item: &Item, plane: &Plane) -> Vec<LineString<f64>> {
    match (&item.shape, item.sign) {
        (Shape::Lines(lines), Sign::Row(_)) => {
            lines.map_coords(|place| plane.xy(Point(place))).into_iter().collect()
        }
        _ => Vec::new(),
    }
}

/// The fewest equal oblongs that cover `ground` and each fit a page with rows far enough apart, from the north-west on.
fn tiles(paper: Paper, ground: Rect<f64>, apart: f64) -> Vec<Rect<f64>> {
    let mut divisions: Vec<(usize, usize)> = (1..=MOST_SHEETS)
        .flat_map(|across| (1..=MOST_SHEETS / across).map(move |down| (across, down)))
        .collect();
    divisions.sort_by_key(|(across, down)| across * down);
    let scale = |(across, down): (usize, usize)| {
        let size = (TURN * ground.width() / across as f64, TURN * ground.height() / down as f64);
        layout::largest(paper, LEGEND_ROWS, 1, size).1
    };
    let fitting = divisions.iter().find(|one| scale(**one).paper(apart) >= CLOSEST_ROWS_MM);
    let (across, down) =
        fitting.or_else(|| divisions.iter().min_by_key(|one| scale(**one))).copied().unwrap_or((1, 1));
    let (width, height) = (ground.width() / across as f64, ground.height() / down as f64);
    let tile = |n: usize| {
        let (west, north) =
            (ground.min().x + width * (n % across) as f64, ground.max().y - height * (n / across) as f64);
        Rect::new(Coord { x: west, y: north - height }, Coord { x: west + width, y: north })
    };
    (0..across * down).map(tile).collect()
}

fn corners(tile: &Rect<f64>) -> [Coord<f64>; 4] {
    let (low, high) = (tile.min(), tile.max());
    [low, Coord { x: high.x, y: low.y }, high, Coord { x: low.x, y: high.y }]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tiles_cover_the_ground_with_rows_far_enough_apart() {
        let grounds = [(900.0, 300.0), (250.0, 1_100.0), (700.0, 700.0)];
        let every =
            grounds.into_iter().flat_map(|size| [Paper::Field, Paper::Large].map(|paper| (size, paper)));
        for ((width, height), paper) in every {
            let ground = Rect::new((0.0, 0.0), (width, height));
            let tiles = tiles(paper, ground, 3.0);
            let area: f64 = tiles.iter().map(|tile| tile.width() * tile.height()).sum();
            assert!((area - width * height).abs() < 1e-6 * area);
            assert!(tiles.len() > 1 && tiles.len() <= MOST_SHEETS);
            for tile in tiles {
                let (_, scale) = layout::largest(paper, LEGEND_ROWS, 1, (tile.width(), tile.height()));
                assert!(scale.paper(3.0) >= CLOSEST_ROWS_MM, "{scale:?}");
            }
        }
    }
}
