//! Photo points and their pictures.

use rayon::prelude::*;

use super::{
    dice::Dice,
    exif::{self, Shot},
    hill::{Hill, Spot},
    scene::{Moment, scene},
    sheet::Sheet,
};

/// A photo point.
pub(crate) struct Point {
    pub(crate) id: &'static str,
    pub(crate) stands: Spot,
    pub(crate) looks_at: Spot,
    pub(crate) area: &'static str,
    pub(crate) about: &'static str,
    /// Whether the camera is held upright here.
    pub(crate) upright: bool,
}

/// The table of photo points.
pub(crate) fn table(hill: &Hill, points: &[Point]) -> Sheet {
    let mut sheet = Sheet::new("photopoint,longitude,latitude,bearing_deg,area,about");
    for point in points {
        let (longitude, latitude) = hill.position(point.stands);
        let bearing = format!("{:.0}", hill.bearing(point.stands, point.looks_at));
        sheet.row([
            point.id,
            &format!("{longitude:.6}"),
            &format!("{latitude:.6}"),
            &bearing,
            point.area,
            point.about,
        ]);
    }
    sheet
}

/// A picture from every point at every moment.
pub(crate) fn photos(hill: &Hill, points: &[Point], moments: &[Moment]) -> Vec<(String, Vec<u8>)> {
    let shots: Vec<(&Point, &Moment)> =
        points.iter().flat_map(|point| moments.iter().map(move |moment| (point, moment))).collect();
    let file = |(point, moment): &(&Point, &Moment)| {
        (format!("photos/{}/{}.jpg", point.id, moment.day), photo(hill, point, moment, moment.day))
    };
    shots.par_iter().map(file).collect()
}

/// One picture, by whose own clock it was `taken` on that day.
pub(crate) fn photo(hill: &Hill, point: &Point, moment: &Moment, taken: &str) -> Vec<u8> {
    let mut dice = Dice::new(&format!("{} on {taken}", point.id));
    // A telephone knows its place to a few metres.
    let stands = (point.stands.0 + 2.0 * dice.bell(), point.stands.1 + 2.0 * dice.bell());
    let time = format!("{taken} {:02}:{:02}:{:02}", dice.whole(9, 15), dice.whole(0, 59), dice.whole(0, 59));
    let shot = Shot { taken: &time, position: Some(hill.position(stands)), on_its_side: point.upright };
    exif::jpeg(&scene(point.id, moment, point.upright), &shot)
}
