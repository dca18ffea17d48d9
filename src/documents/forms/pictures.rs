//! Pictures in a form: photos as they are printed, maps and charts drawn in dots.

use bytes::Bytes;
use geo::{Coord, Rect};

use crate::{
    draw::{Drawing, map::furniture::PRINTED_SCALE},
    forms::{FormError, values::Picture},
    typeset::raster,
};

/// Dots of an inch: what office printers show.
const DOTS: f64 = 200.0;

/// Dots along the longer side at the most.
const MOST_DOTS: f64 = 4_000.0;

/// Widest and highest that a picture stands on a page of a form, mm.
const WIDEST: (f64, f64) = (160.0, 220.0);

/// A photo that documents print, by the name that a form asks for it.
#[derive(Debug, Clone)]
pub struct Shot {
    /// Such as `photo.P1/2026-05-12.jpg`.
    pub name: String,
    /// The picture.
    pub jpeg: Bytes,
    /// Width and height, px.
    pub size: (u32, u32),
}

/// A picture as it goes into a form.
#[derive(Debug)]
pub(super) struct Drawn {
    pub(super) bytes: Vec<u8>,
    /// `png` or `jpeg`.
    pub(super) ending: &'static str,
    /// Width and height on paper, mm.
    pub(super) size_mm: (f64, f64),
    /// What it shows, for those who can't see it.
    pub(super) alt: String,
}

pub(super) fn drawn(picture: Picture<'_>) -> Result<Drawn, FormError> {
    match picture {
        Picture::Shot(shot) => {
            let (width, height) = (f64::from(shot.size.0), f64::from(shot.size.1));
            Ok(Drawn {
                bytes: shot.jpeg.to_vec(),
                ending: "jpeg",
                size_mm: fitted((WIDEST.0, WIDEST.0 * height / width.max(1.0))),
                alt: shot.name.clone(),
            })
        }
        Picture::Drawing(drawing) => {
            let size_mm = fitted(drawing.size_mm);
            let bytes = png(drawing, size_mm.0 < drawing.size_mm.0)?;
            Ok(Drawn { bytes, ending: "png", size_mm, alt: drawing.alt.clone() })
        }
    }
}

/// As large as the page of a form has room for.
fn fitted((width, height): (f64, f64)) -> (f64, f64) {
    let by = (WIDEST.0 / width.max(1.0)).min(WIDEST.1 / height.max(1.0)).min(1.0);
    (width * by, height * by)
}

/// A drawing in dots. A map that is `reduced` keeps the bar of its scale and says no ratio.
fn png(drawing: &Drawing, reduced: bool) -> Result<Vec<u8>, FormError> {
    let style_sheet = reduced.then(|| format!(".{PRINTED_SCALE} {{ display: none }}"));
    let (width, height) = (drawing.size_mm.0 / 25.4 * DOTS, drawing.size_mm.1 / 25.4 * DOTS);
    let by = (MOST_DOTS / width.max(height).max(1.0)).min(1.0);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few thousand dots")]
    let dots = ((width * by).round() as u32, (height * by).round() as u32);
    let whole = Rect::new(Coord::zero(), Coord { x: drawing.size_mm.0, y: drawing.size_mm.1 });
    raster(drawing, whole, dots, style_sheet)
        .map_err(|why| FormError::Picture(format!("{}: {why}", drawing.name)))
}
