//! Pictures in a form: photos as they are printed, maps and charts drawn in dots.

use std::{
    io::Cursor,
    sync::{Arc, LazyLock},
};

use bytes::Bytes;
use image::{ImageFormat, RgbImage};
use resvg::{tiny_skia, usvg};

use crate::{
    draw::{Drawing, map::furniture::PRINTED_SCALE},
    forms::{FormError, values::Picture},
    typeset::font_files,
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

static FACES: LazyLock<Arc<usvg::fontdb::Database>> = LazyLock::new(|| {
    let mut faces = usvg::fontdb::Database::new();
    font_files().for_each(|bytes| faces.load_font_data(bytes.to_vec()));
    Arc::new(faces)
});

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

/// A drawing in dots, on white. A map that is `reduced` keeps the bar of its scale and says no ratio.
fn png(drawing: &Drawing, reduced: bool) -> Result<Vec<u8>, FormError> {
    let wrong = |why: String| FormError::Picture(format!("{}: {why}", drawing.name));
    let style_sheet = reduced.then(|| format!(".{PRINTED_SCALE} {{ display: none }}"));
    let options = usvg::Options { fontdb: Arc::clone(&FACES), style_sheet, ..usvg::Options::default() };
    let tree = usvg::Tree::from_str(&drawing.svg, &options).map_err(|why| wrong(why.to_string()))?;
    let (width, height) = (drawing.size_mm.0 / 25.4 * DOTS, drawing.size_mm.1 / 25.4 * DOTS);
    let by = (MOST_DOTS / width.max(height).max(1.0)).min(1.0);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few thousand dots")]
    let (across, down) = ((width * by).round() as u32, (height * by).round() as u32);
    let mut dots = tiny_skia::Pixmap::new(across, down).ok_or_else(|| wrong("it has no size".to_owned()))?;
    dots.fill(tiny_skia::Color::WHITE);
    #[allow(clippy::cast_precision_loss, reason = "a few thousand dots")]
    let scale = tiny_skia::Transform::from_scale(
        across as f32 / tree.size().width(),
        down as f32 / tree.size().height(),
    );
    resvg::render(&tree, scale, &mut dots.as_mut());
    let plain: Vec<u8> = dots.data().chunks_exact(4).flat_map(|dot| [dot[0], dot[1], dot[2]]).collect();
    let plain = RgbImage::from_raw(across, down, plain).ok_or_else(|| wrong("it has no dots".to_owned()))?;
    let mut bytes = Vec::new();
    plain.write_to(&mut Cursor::new(&mut bytes), ImageFormat::Png).map_err(|why| wrong(why.to_string()))?;
    Ok(bytes)
}
