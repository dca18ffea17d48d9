//! Files that are no data by themselves: they lie beside another of the same name and go the way that it goes.

use crate::intake::nearest::same;

/// Endings of files, and those of what may lie beside each. Of a shapefile's the first three are read, of heights the one.
const BESIDE: [(&str, &[&str]); 4] = [
    ("shp", &["dbf", "prj", "cpg", "shx", "qpj", "sbn", "sbx", "qix", "qmd", "shp.xml"]),
    ("asc", &["prj", "aux.xml", "asc.aux.xml"]),
    ("tif", &["prj", "tfw", "tifw", "wld", "aux.xml", "tif.aux.xml", "ovr", "tif.ovr", "tif.xml"]),
    ("tiff", &["prj", "tfw", "tiffw", "wld", "aux.xml", "tiff.aux.xml", "ovr", "tiff.ovr", "tiff.xml"]),
];

/// Whether the file at `path` lies beside one of `others` and belongs to it.
pub(crate) fn goes_with<'a>(path: &str, others: impl IntoIterator<Item = &'a str>) -> bool {
    others.into_iter().any(|other| {
        let Some((stem, ending)) = other.rsplit_once('.') else { return false };
        let mut kinds = BESIDE.iter().filter(|(of, _)| ending.eq_ignore_ascii_case(of));
        kinds.any(|(_, beside)| beside.iter().any(|beside| same(path, &format!("{stem}.{beside}"))))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_lies_beside_a_file_belongs_to_it() {
        let others = ["areas.shp", "features.geojson", "maps/terrain.ASC", "plots.csv", "x"];
        for path in ["areas.shx", "areas.QPJ", "areas.shp.xml", "areas.dbf", "maps/terrain.prj"] {
            assert!(goes_with(path, others), "{path}");
        }
        for path in
            ["features.shx", "areas.kml", "areas2.shx", "terrain.prj", "maps/terrain.dbf", "plots.prj", "x"]
        {
            assert!(!goes_with(path, others), "{path}");
        }
    }
}
