//! `[[not_charged]]` and `[[asset_share]]`: what the settings of a part of a folder tell of rows that it does not hold.

use crate::{
    intake::settings::{excerpt::quoted, section::Section},
    project::{Asset, AssetShare, NotCharged, Project},
};

/// Both, for the settings of the part that `view` is.
#[must_use]
pub fn not_held_excerpt(view: &Project) -> String {
    let words = |key: &str, words: &Option<String>| {
        words.as_ref().map(|words| format!("{key} = {}\n", quoted(words))).unwrap_or_default()
    };
    let mut out = String::new();
    for one in &view.not_charged {
        out += &format!("\n[[not_charged]]\non = {}\nline = {}\n", one.on, quoted(&one.line));
        out += &words("payee", &one.payee);
        out += &words("receipt", &one.receipt);
        out += &format!(
            "amount = {}\nin_kind = {}\nwhy = {}\nat = {}\n",
            one.amount,
            one.in_kind,
            quoted(&one.why),
            quoted(&one.at)
        );
    }
    for AssetShare { asset, own, share } in &view.asset_shares {
        let (what, price) = (quoted(&asset.words), asset.price);
        out += &format!("\n[[asset_share]]\nwords = {what}\non = {}\nprice = {price}\n", asset.on);
        out += &words("serial", &asset.serial);
        out += &words("place", &asset.place);
        out += &format!("own = {own}\nshare = {share}\n");
    }
    out
}

/// Every `[[not_charged]]` of a part.
pub(super) fn not_charged(root: &mut Section) -> Vec<NotCharged> {
    root.each("not_charged", |section| {
        let (line, why) = (section.text("line"), section.text("why"));
        Some(NotCharged {
            on: section.day("on")?,
            payee: section.text("payee"),
            receipt: section.text("receipt"),
            in_kind: section.flag("in_kind").unwrap_or_default(),
            at: section.text("at").unwrap_or_default(),
            amount: section.money("amount")?,
            line: line?,
            why: why?,
            source: section.row(),
        })
    })
}

/// Every `[[asset_share]]` of a part.
pub(super) fn asset_shares(root: &mut Section) -> Vec<AssetShare> {
    root.each("asset_share", |section| {
        let (words, serial, place) = (section.text("words"), section.text("serial"), section.text("place"));
        let (on, price, share) = (section.day("on"), section.money("price"), section.money("share"));
        let own = section.flag("own").unwrap_or_default();
        let asset = Asset {
            words: words?,
            on: on?,
            price: price?,
            serial,
            place,
            purpose: None,
            receipt: None,
            value: None,
            disposed: None,
            disposal: None,
            source: section.row(),
        };
        Some(AssetShare { asset, own, share: share? })
    })
}
