//! `.prj` files: the coordinate reference system as well-known text.

use crate::{
    geometry,
    intake::terrain::reference::{Reference, geographic_by_name, projected_by_name},
    terrain::Coordinates,
};

/// Words that begin a projected system, in both editions of well-known text.
const PROJECTED: [&str; 3] = ["PROJCS", "PROJCRS", "PROJECTEDCRS"];

/// Words that begin a geographic system.
const GEOGRAPHIC: [&str; 4] = ["GEOGCS", "GEOGCRS", "GEOGRAPHICCRS", "GEODCRS"];

/// Words that begin a system of heights.
const VERTICAL: [&str; 4] = ["VERTCS", "VERT_CS", "VERTCRS", "VERTICALCRS"];

/// What the well-known text says; `None` where it names no system.
///
/// # Reference
/// OGC 01-009 (well-known text, first edition) and OGC 18-010r11 (second edition).
#[must_use]
pub fn read(text: &str) -> Option<Reference> {
    let mut reference = Reference::unnamed();
    if let Some(body) = section(text, &PROJECTED) {
        reference.name = quoted(body).to_owned();
        reference.epsg = authority(body).or_else(|| projected_by_name(&reference.name));
        let known = reference.epsg.and_then(geometry::Grid::of_epsg).map(|grid| grid.metres_per_unit());
        let metres_per_unit = known.or_else(|| unit(body)).unwrap_or(1.0);
        reference.coordinates = Coordinates::Projected { metres_per_unit };
    } else {
        let body = section(text, &GEOGRAPHIC)?;
        reference.name = quoted(body).to_owned();
        reference.epsg = authority(body).or_else(|| geographic_by_name(&reference.name));
        reference.coordinates = Coordinates::Geographic;
    }
    reference.height_unit = section(text, &VERTICAL).and_then(unit).unwrap_or(1.0);
    Some(reference)
}

/// What stands in the brackets of the first of `words`.
fn section<'a>(text: &'a str, words: &[&str]) -> Option<&'a str> {
    let upper = text.to_ascii_uppercase();
    let start = words.iter().find_map(|word| {
        let mut places = upper.match_indices(word);
        places.find_map(|(at, _)| {
            let whole =
                !upper[..at].ends_with(|before: char| before.is_ascii_alphanumeric() || before == '_');
            upper[at + word.len()..].trim_start().starts_with('[').then_some(at).filter(|_| whole)
        })
    })?;
    let open = start + upper[start..].find('[')? + 1;
    let mut depth = 1usize;
    let mut in_name = false;
    for (at, letter) in upper[open..].char_indices() {
        match letter {
            '"' => in_name = !in_name,
            '[' if !in_name => depth += 1,
            ']' if !in_name => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return Some(&text[open..open + at]);
        }
    }
    None
}

/// The parts of a section between its own commas.
fn parts(body: &str) -> Vec<&str> {
    let (mut parts, mut depth, mut in_name, mut start) = (Vec::new(), 0usize, false, 0);
    for (at, letter) in body.char_indices() {
        match letter {
            '"' => in_name = !in_name,
            '[' if !in_name => depth += 1,
            ']' if !in_name => depth = depth.saturating_sub(1),
            ',' if !in_name && depth == 0 => {
                parts.push(body[start..at].trim());
                start = at + 1;
            }
            _ => {}
        }
    }
    parts.push(body[start..].trim());
    parts
}

/// The first text in quotes.
fn quoted(body: &str) -> &str {
    body.split('"').nth(1).unwrap_or_default()
}

/// The section's own EPSG code, not one of a section within it.
fn authority(body: &str) -> Option<u16> {
    parts(body).into_iter().find_map(|part| {
        let upper = part.to_ascii_uppercase();
        let own = upper.starts_with("AUTHORITY[") || upper.starts_with("ID[");
        let digits = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
        (own && upper.contains("\"EPSG\"")).then(|| digits(&upper).parse().ok())?
    })
}

/// Metres in the section's own unit of length.
fn unit(body: &str) -> Option<f64> {
    parts(body).into_iter().find_map(|part| {
        let upper = part.to_ascii_uppercase();
        let own = upper.starts_with("UNIT[") || upper.starts_with("LENGTHUNIT[");
        let number = part.split(',').nth(1)?.trim_end_matches(']').trim();
        own.then(|| number.parse().ok())?.filter(|metres: &f64| (0.1..10.0).contains(metres))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_editions_and_both_kinds_are_read() {
        let esri = r#"PROJCS["GDA2020_MGA_Zone_55",GEOGCS["GDA2020",DATUM["GDA2020",SPHEROID["GRS_1980",6378137.0,298.257222101]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],UNIT["Meter",1.0]],VERTCS["heights",VDATUM["x"],UNIT["Foot_US",0.304800609601219]]"#;
        let reference = read(esri).unwrap();
        assert_eq!(reference.epsg, Some(7855));
        assert!(reference.in_feet());
        let ogc = r#"PROJCS["a name of our own",GEOGCS["WGS 84",AUTHORITY["EPSG","4326"]],UNIT["metre",1,AUTHORITY["EPSG","9001"]],AUTHORITY["EPSG","32616"]]"#;
        assert_eq!(read(ogc).unwrap().epsg, Some(32616));
        let second = r#"GEOGCRS["WGS 84",DATUM["World Geodetic System 1984",ELLIPSOID["WGS 84",6378137,298.257223563]],ID["EPSG",4326]]"#;
        let reference = read(second).unwrap();
        assert_eq!((reference.epsg, reference.coordinates), (Some(4326), Coordinates::Geographic));
        let feet = r#"PROJCS["State Plane of our own",GEOGCS["NAD83"],UNIT["Foot_US",0.3048006096012192]]"#;
        let metres = read(feet).unwrap().coordinates;
        assert!(
            matches!(metres, Coordinates::Projected { metres_per_unit } if (metres_per_unit - 0.3048).abs() < 1e-5)
        );
    }

    #[test]
    fn what_is_no_system_gives_nothing() {
        for text in ["", "PROJCS", "PROJCS[", "PROJCS[\"a", "LOCAL_CS[\"a\"]", "\u{fffd}\u{fffd}[[[]]]"] {
            assert_eq!(read(text), None, "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_gives_nothing(
            text in "(PROJCS|GEOGCS|VERTCS|UNIT|AUTHORITY|EPSG|ID|\\[|\\]|\"|,|[0-9.]{1,20}|[a-zé ]{1,4}){0,40}",
        ) {
            let _ = read(&text);
        }
    }
}
