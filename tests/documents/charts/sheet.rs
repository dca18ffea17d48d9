//! What stands on a drawn chart: its bars, its words, and what must hold of every drawing.

use std::{fs, path::Path};

use hillfolio_documents::draw::Drawing;
use roxmltree::{Document, Node};

/// Dark thin bars, light wide bars, and what lies beyond a budget, as charts colour them.
pub(crate) const THIN: &str = "#22384F";
pub(crate) const WIDE: &str = "#8FB0C4";
pub(crate) const BEYOND: &str = "#8A4A2B";

pub(crate) fn named<'a>(drawings: &'a [Drawing], name: &str) -> &'a Drawing {
    drawings.iter().find(|drawing| drawing.name == name).unwrap_or_else(|| panic!("no chart {name}"))
}

/// Puts the charts where a person can look at them, and checks what must hold for every drawing.
pub(crate) fn looked_at(case: &str, drawings: &[Drawing]) {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("charts");
    fs::create_dir_all(&folder).unwrap();
    for drawing in drawings {
        fs::write(folder.join(format!("{case}-{}.svg", drawing.name)), &*drawing.svg).unwrap();
        let parsed =
            Document::parse(&drawing.svg).unwrap_or_else(|error| panic!("{}: {error}", drawing.name));
        let root = parsed.root_element();
        let (width, height) = drawing.size_mm;
        assert_eq!(root.attribute("width"), Some(format!("{width:.2}mm").as_str()));
        assert_eq!(root.attribute("viewBox"), Some(format!("0 0 {width:.2} {height:.2}").as_str()));
        assert!(height <= 247.0, "{} is {height} mm high", drawing.name);
        for word in ["NaN", "inf", "-0 "] {
            assert!(!drawing.svg.contains(word), "{}: {word}", drawing.name);
        }
        for node in parsed.descendants().filter(Node::is_element) {
            for (name, most) in
                [("x", width), ("cx", width), ("x1", width), ("x2", width), ("y", height), ("cy", height)]
            {
                if let Some(at) = number(node, name) {
                    assert!((0.0..=most).contains(&at), "{}: {name} {at} off the sheet", drawing.name);
                }
            }
            if let Some(size) = node.attribute("font-size") {
                let points = size.parse::<f64>().unwrap() / 50.0 / 25.4 * 72.0;
                assert!(points >= 6.98, "{}: type of {points} points", drawing.name);
            }
        }
        assert!(!drawing.alt.is_empty() && !drawing.caption.is_empty() && !drawing.landscape);
    }
}

/// An attribute in millimetres.
pub(crate) fn number(node: Node<'_, '_>, name: &str) -> Option<f64> {
    Some(node.attribute(name)?.parse::<f64>().ok()? / 50.0)
}

/// Left end and width of every bar of a colour below the headings, from the top down.
pub(crate) fn bars(drawing: &Drawing, colour: &str) -> Vec<(f64, f64)> {
    let parsed = Document::parse(&drawing.svg).unwrap();
    let bars = parsed
        .descendants()
        .filter(|node| node.has_tag_name("rect") && node.attribute("fill") == Some(colour));
    bars.filter(|bar| number(*bar, "y").unwrap() > 6.0)
        .map(|bar| (number(bar, "x").unwrap(), number(bar, "width").unwrap()))
        .collect()
}

pub(crate) fn words(drawing: &Drawing) -> Vec<String> {
    let parsed = Document::parse(&drawing.svg).unwrap();
    let texts = parsed.descendants().filter(|node| node.has_tag_name("text"));
    texts.map(|text| text.text().unwrap_or_default().to_owned()).collect()
}
