//! The hill's heights, as the terrain models that surveyors hand out.

use std::{fmt::Write as _, io::Cursor};

use geo::Point;
use hillfolio_core::geometry::Grid;
use tiff::{
    encoder::{Compression, DeflateLevel, Predictor, TiffEncoder, colortype::Gray32Float},
    tags::Tag,
};

use super::hill::{Hill, Spot};

/// A north-up raster of heights in a map grid.
pub(crate) struct Heights {
    west: f64,
    north: f64,
    cell: f64,
    columns: u32,
    rows: u32,
    /// The spot and the height of each cell, row by row from the north-west.
    values: Vec<(Spot, f32)>,
}

impl Heights {
    /// Heights in cells of `cell` metres of `grid` over everything between the spots, `margin` metres beyond them too.
    pub(crate) fn over(hill: &Hill, grid: &Grid, spots: &[Spot], cell: f64, margin: f64) -> Heights {
        let places = spots.iter().map(|spot| {
            let (longitude, latitude) = hill.position(*spot);
            grid.to_grid(Point::new(longitude, latitude)).unwrap()
        });
        let mut ends = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
        for (x, y) in places {
            ends = [ends[0].min(x), ends[1].min(y), ends[2].max(x), ends[3].max(y)];
        }
        let west = ((ends[0] - margin) / cell).floor() * cell;
        let north = ((ends[3] + margin) / cell).ceil() * cell;
        let columns = ((ends[2] + margin - west) / cell).ceil() as u32;
        let rows = ((north - ends[1] + margin) / cell).ceil() as u32;
        let centre = |row: u32, column: u32| {
            (west + (f64::from(column) + 0.5) * cell, north - (f64::from(row) + 0.5) * cell)
        };
        let values = (0..rows).flat_map(|row| (0..columns).map(move |column| centre(row, column)));
        let height = |(x, y): (f64, f64)| {
            let position = grid.to_geographic(x, y).unwrap();
            let spot = hill.spot((position.x(), position.y()));
            // Surveyed to the centimetre.
            (spot, ((hill.height(spot) * 100.0).round() / 100.0) as f32)
        };
        Heights { west, north, cell, columns, rows, values: values.map(height).collect() }
    }

    /// As a GeoTIFF of single-precision heights in the grid with this EPSG code.
    pub(crate) fn geotiff(&self, epsg: u16) -> Vec<u8> {
        let mut file = Cursor::new(Vec::new());
        let encoder = TiffEncoder::new(&mut file).unwrap();
        let mut encoder = encoder
            .with_compression(Compression::Deflate(DeflateLevel::Balanced))
            .with_predictor(Predictor::None);
        let mut image = encoder.new_image::<Gray32Float>(self.columns, self.rows).unwrap();
        // A projected system by its code, cells as areas, metres: OGC 19-008r4, GeoTIFF 1.1.
        let keys: [u16; 16] = [1, 1, 0, 3, 1024, 0, 1, 1, 1025, 0, 1, 1, 3072, 0, 1, epsg];
        let tags = image.encoder();
        tags.write_tag(Tag::ModelPixelScaleTag, &[self.cell, self.cell, 0.0][..]).unwrap();
        tags.write_tag(Tag::ModelTiepointTag, &[0.0, 0.0, 0.0, self.west, self.north, 0.0][..]).unwrap();
        tags.write_tag(Tag::GeoKeyDirectoryTag, &keys[..]).unwrap();
        let heights: Vec<f32> = self.values.iter().map(|(_, height)| *height).collect();
        image.write_data(&heights).unwrap();
        file.into_inner()
    }

    /// As an ESRI ASCII grid, the cells whose spot `known` says no of left empty.
    pub(crate) fn ascii(&self, known: impl Fn(Spot) -> bool) -> Vec<u8> {
        let south = self.north - f64::from(self.rows) * self.cell;
        let mut text = format!(
            "ncols {}\nnrows {}\nxllcorner {}\nyllcorner {south}\ncellsize {}\nNODATA_value -9999\n",
            self.columns, self.rows, self.west, self.cell
        );
        for row in self.values.chunks(self.columns as usize) {
            for (column, (spot, height)) in row.iter().enumerate() {
                let gap = if column == 0 { "" } else { " " };
                match known(*spot) {
                    true => write!(text, "{gap}{height:.1}").unwrap(),
                    false => write!(text, "{gap}-9999").unwrap(),
                }
            }
            text.push('\n');
        }
        text.into_bytes()
    }
}
