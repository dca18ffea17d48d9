//! A drawing in dots, on white: for forms and for globes, which take no drawings.

use std::{
    io::Cursor,
    sync::{Arc, LazyLock},
};

use geo::Rect;
use image::{ImageFormat, RgbImage};
use resvg::{tiny_skia, usvg};

use crate::{draw::Drawing, typeset::fonts};

/// Why a drawing could not be made into dots.
#[derive(Debug, thiserror::Error)]
pub enum RasterError {
    /// It is no drawing that can be read.
    #[error("it can't be read: {0}")]
    Unread(#[from] usvg::Error),
    /// It has no size.
    #[error("it has no size")]
    NoSize,
    /// The picture could not be written.
    #[error("it can't be written: {0}")]
    Unwritten(#[from] image::ImageError),
}

static FACES: LazyLock<Arc<usvg::fontdb::Database>> = LazyLock::new(|| {
    let mut faces = usvg::fontdb::Database::new();
    fonts::files().for_each(|bytes| faces.load_font_data(bytes.to_vec()));
    Arc::new(faces)
});

/// The part of `drawing` that lies in `part` (mm on paper, y down), `across` by `down` dots, as a PNG without transparency; drawn as
/// `style_sheet` says, where there is one.
///
/// # Errors
/// [`RasterError`].
pub fn raster(
    drawing: &Drawing,
    part: Rect<f64>,
    (across, down): (u32, u32),
    style_sheet: Option<String>,
) -> Result<Vec<u8>, RasterError> {
    let options = usvg::Options { fontdb: Arc::clone(&FACES), style_sheet, ..usvg::Options::default() };
    let tree = usvg::Tree::from_str(&drawing.svg, &options)?;
    let mut dots = tiny_skia::Pixmap::new(across, down).ok_or(RasterError::NoSize)?;
    dots.fill(tiny_skia::Color::WHITE);
    // Units of the drawing to a millimetre of paper.
    let unit = f64::from(tree.size().width()) / drawing.size_mm.0;
    #[allow(clippy::cast_possible_truncation, reason = "lengths on paper")]
    let (left, top, wide, high) = (
        (part.min().x * unit) as f32,
        (part.min().y * unit) as f32,
        (part.width() * unit) as f32,
        (part.height() * unit) as f32,
    );
    #[allow(clippy::cast_precision_loss, reason = "a few thousand dots")]
    let (by_x, by_y) = (across as f32 / wide, down as f32 / high);
    let scale = tiny_skia::Transform::from_translate(-left, -top).post_scale(by_x, by_y);
    resvg::render(&tree, scale, &mut dots.as_mut());
    let plain: Vec<u8> = dots.data().chunks_exact(4).flat_map(|dot| [dot[0], dot[1], dot[2]]).collect();
    let plain = RgbImage::from_raw(across, down, plain).ok_or(RasterError::NoSize)?;
    let mut bytes = Vec::new();
    plain.write_to(&mut Cursor::new(&mut bytes), ImageFormat::Png)?;
    Ok(bytes)
}
