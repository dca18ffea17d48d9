//! `[[agreement.asset]]`, `[[agreement.risk]]` and `[[agreement.matter]]`.

use crate::{
    intake::settings::section::Section,
    problem,
    project::{Asset, Matter, Risk, slug},
};

fn needed(section: &mut Section, key: &'static str, example: &'static str) {
    if !section.has(key) {
        section.missing(key, example);
    }
}

pub(super) fn assets(section: &mut Section) -> Vec<Asset> {
    section.each("asset", |one| {
        let words = one.text_needed("words", "words = \"Quad bike sprayer\"");
        needed(one, "on", "on = 2025-08-15");
        needed(one, "price", "price = 1240.00");
        let (on, price) = (one.day("on"), one.money("price"));
        Some(Asset {
            purpose: one.text("for"),
            receipt: one.text("receipt"),
            serial: one.text("serial"),
            place: one.text("place"),
            value: one.money("value"),
            disposed: one.day("disposed"),
            disposal: one.text("disposal"),
            source: one.row(),
            words: words?,
            on: on?,
            price: price?,
        })
    })
}

pub(super) fn risks(section: &mut Section) -> Vec<Risk> {
    section.each("risk", |one| {
        let words = one.text_needed("words", "words = \"A dry first summer\"");
        Some(Risk {
            seen: one.day("seen"),
            likelihood: one.text("likelihood"),
            consequence: one.text("consequence"),
            response: one.text("response"),
            who: one.text("who"),
            source: one.row(),
            words: words?,
        })
    })
}

/// More of no unit is owed for anything.
const MOST: f64 = 1e9;

pub(super) fn matters(section: &mut Section) -> Vec<Matter> {
    let mut names: Vec<String> = Vec::new();
    section.each("matter", |one| {
        let words = one.text_needed("words", "words = \"Creek woodland\"");
        if let Some(name) = words.clone().filter(|name| names.contains(&slug(name))) {
            one.say("words", problem::Settings::NameTwice { what: "matters", name });
        }
        names.extend(words.as_deref().map(slug));
        let unit = one.text_needed("unit", "unit = \"habitat hectares, rules of 2017\"");
        needed(one, "owed", "owed = 0.62");
        needed(one, "delivered", "delivered = 0.20");
        let number = "how much, 0 or more";
        let mut count = |key: &'static str| one.number(key, 0.0, MOST, number);
        let (lost_hectares, lost) = (count("lost_hectares"), count("lost"));
        let (owed, secured, delivered) = (count("owed"), count("secured"), count("delivered"));
        Some(Matter {
            lost_hectares,
            lost,
            secured,
            due: one.day("due"),
            instrument: one.text("instrument"),
            secured_on: one.day("secured_on"),
            source: one.row(),
            words: words?,
            unit: unit?,
            owed: owed?,
            delivered: delivered?,
        })
    })
}
