//! Words on the samples' maps and charts lie over no other words: counted on the drawn shapes, as a general-purpose SVG library (usvg)
//! lays out their type, and not as this program measured it.

use std::{fs, path::Path, sync::Arc};

use geo::{Area as _, BooleanOps as _, Coord, LineString, Polygon};
use hillfolio_core::{intake, intake::Folder, ledger, plan};
use hillfolio_documents::{draw, typeset};
use resvg::usvg;

/// Square millimetres of ink's boxes that may lie over one another: the boxes of two letters that touch at a corner.
const TOUCHING: f64 = 0.02;

/// Dots of the drawing to a millimetre of paper, as SVG has them: 96 to the inch.
const DOTS: f64 = 96.0 / 25.4;

fn faces() -> Arc<usvg::fontdb::Database> {
    let mut faces = usvg::fontdb::Database::new();
    let mut found = 0;
    for file in fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fonts")).unwrap() {
        let path = file.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "otf" || ending == "ttf") {
            faces.load_font_data(fs::read(path).unwrap());
            found += 1;
        }
    }
    assert!(found > 0, "no fonts");
    Arc::new(faces)
}

/// A piece of lettering: what it says, and the corners of its ink on paper, mm.
struct Words {
    says: String,
    ink: Polygon<f64>,
}

fn words(group: &usvg::Group, found: &mut Vec<Words>) {
    for node in group.children() {
        match node {
            usvg::Node::Group(group) => words(group, found),
            usvg::Node::Text(text) => {
                let says: String = text.chunks().iter().map(usvg::TextChunk::text).collect();
                let (ink, turned) = (text.flattened().bounding_box(), text.abs_transform());
                let corner = |x: f32, y: f32| {
                    let mut point = resvg::tiny_skia::Point::from_xy(x, y);
                    turned.map_point(&mut point);
                    Coord { x: f64::from(point.x) / DOTS, y: f64::from(point.y) / DOTS }
                };
                let ring = [
                    corner(ink.left(), ink.top()),
                    corner(ink.right(), ink.top()),
                    corner(ink.right(), ink.bottom()),
                    corner(ink.left(), ink.bottom()),
                ];
                found.push(Words { says, ink: Polygon::new(LineString::from(ring.to_vec()), vec![]) });
            }
            usvg::Node::Path(_) | usvg::Node::Image(_) => {}
        }
    }
}

fn over_one_another(name: &str, svg: &str, options: &usvg::Options<'_>) -> (usize, Vec<String>) {
    let tree = usvg::Tree::from_str(svg, options).unwrap();
    let mut found = Vec::new();
    words(tree.root(), &mut found);
    let mut over = Vec::new();
    for (at, one) in found.iter().enumerate() {
        for other in &found[at + 1..] {
            // Lettering with a halo is drawn twice in the same place.
            if one.says == other.says && one.ink == other.ink {
                continue;
            }
            let shared = one.ink.intersection(&other.ink).unsigned_area();
            if shared > TOUCHING {
                over.push(format!("{name}: “{}” and “{}” share {shared:.2} mm²", one.says, other.says));
            }
        }
    }
    (found.len(), over)
}

#[test]
fn no_words_of_a_map_or_chart_lie_over_others() {
    let options = usvg::Options { fontdb: faces(), ..usvg::Options::default() };
    let twice = |x: f64| {
        format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="20mm" viewBox="0 0 50 20" font-family="Inter"><text x="5" y="9" font-size="4">Upper</text><text x="{x}" y="9" font-size="4">slope</text></svg>"#
        )
    };
    assert_eq!(over_one_another("over", &twice(12.0), &options).1.len(), 1, "words over words are seen");
    assert_eq!(over_one_another("beside", &twice(25.0), &options), (2, vec![]), "words beside words are not");

    let (mut seen, mut drawings, mut over) = (0, 0, Vec::new());
    for sample in ["brindle-spur", "tussock-fold", "ashlar-gap", "lantern-rise"] {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sample-projects").join(sample);
        let folder = Folder::open(&root).unwrap();
        let project = intake::read(&folder, &typeset::printable()).unwrap().project;
        let plan = plan::make(&project);
        let mut filled = ledger::fill_but_plan(&project);
        if let Some(plan) = &plan {
            ledger::enter_plan(&mut filled.ledger, &project, plan);
        }
        let sheets = draw::sheets(&project, plan.as_ref(), &filled);
        let lists = [&sheets.maps, &sheets.charts, &sheets.rows, &sheets.large_rows, &sheets.plan];
        for drawing in sheets.front.iter().chain(lists.into_iter().flatten()) {
            let (count, found) = over_one_another(&drawing.name, &drawing.svg, &options);
            seen += count;
            drawings += 1;
            over.extend(found.into_iter().map(|says| format!("{sample}, {says}")));
        }
    }
    assert!(drawings > 40 && seen > 1_000, "{drawings} drawings with {seen} words");
    assert!(over.is_empty(), "of {seen} pieces of lettering in {drawings} drawings:\n{}", over.join("\n"));
}
