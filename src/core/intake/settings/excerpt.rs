//! `project.toml` as one agreement's documents need it: what is common to all, this agreement, and nothing of the others.
//!
//! Values are written anew, each as it stands, and comments are left behind: they may speak of anybody.

use crate::{
    intake::settings::section::{Section, line_of},
    project::OtherSource,
    source::Input,
    units::Money,
};
use toml::{
    Spanned,
    de::{DeTable, DeValue},
};

/// Sections that are common to every agreement, each with the keys that are left out.
const COMMON: [(&str, &[&str]); 11] = [
    ("project", &["funder", "program"]),
    ("period", &[]),
    ("statistics", &[]),
    ("money", &["acquit", "received", "explain_beyond"]),
    ("terrain", &[]),
    ("climate", &[]),
    ("soil", &[]),
    ("cover", &[]),
    ("survey", &[]),
    ("carbon", &[]),
    ("photos", &[]),
];

/// The settings in `text` for the agreement called `id`; `ground` says whether the ground that it supports is among its areas. `None`
/// where the text is not TOML, which has been said where it was read.
#[must_use]
pub fn settings_excerpt(text: &str, id: &str, ground: bool) -> Option<String> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let table = DeTable::parse(text).ok()?;
    let mut out = String::new();
    for (head, section, left_out) in sections(table.get_ref(), id, ground) {
        write_section(&mut out, text, &head, section, left_out);
    }
    Some(out)
}

/// A section that goes along: its heading, what it holds, and the keys that are left out.
type Along<'t> = (String, &'t DeTable<'t>, &'static [&'static str]);

fn sections<'t>(root: &'t DeTable<'t>, id: &str, ground: bool) -> Vec<Along<'t>> {
    let common = COMMON
        .iter()
        .filter_map(|(name, left_out)| Some((format!("[{name}]"), table_under(root, name)?, *left_out)));
    let mut found: Vec<Along<'t>> = common.collect();
    // Of the tables only the terrain's own file goes along as it is.
    if let Some(terrain) = table_under(root, "tables").and_then(|tables| table_under(tables, "terrain")) {
        found.push(("[tables.terrain]".to_owned(), terrain, &[]));
    }
    let Some(DeValue::Array(agreements)) = root.get("agreement").map(Spanned::get_ref) else {
        return found;
    };
    for agreement in agreements.iter() {
        let DeValue::Table(agreement) = agreement.get_ref() else { continue };
        let own = agreement.get("id").and_then(|id| id.get_ref().as_str());
        if own.is_some_and(|own| own.trim() == id) {
            let left_out: &[&str] = if ground { &[] } else { &["supports"] };
            found.push(("[[agreement]]".to_owned(), agreement, left_out));
        }
    }
    found
}

/// The lines of the settings in `text` that go along to the agreement called `id` and in whose words `holds` finds something: the line, the key,
/// and what it found.
#[must_use]
pub fn settings_naming<T>(
    text: &str,
    id: &str,
    ground: bool,
    holds: &dyn Fn(&str) -> Vec<T>,
) -> Vec<(u32, String, T)> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let Ok(table) = DeTable::parse(text) else { return Vec::new() };
    let mut found = Vec::new();
    for (_, section, left_out) in sections(table.get_ref(), id, ground) {
        for (key, value) in section.iter().filter(|(key, _)| !left_out.contains(&key.get_ref().as_ref())) {
            words_within(text, key.get_ref(), value, holds, &mut found);
        }
    }
    found
}

fn words_within<T>(
    text: &str,
    key: &str,
    value: &Spanned<DeValue<'_>>,
    holds: &dyn Fn(&str) -> Vec<T>,
    found: &mut Vec<(u32, String, T)>,
) {
    match value.get_ref() {
        DeValue::String(words) => {
            let line = line_of(text, value.span().start.min(text.len()));
            found.extend(holds(words).into_iter().map(|what| (line, key.to_owned(), what)));
        }
        DeValue::Array(list) => list.iter().for_each(|one| words_within(text, key, one, holds, found)),
        DeValue::Table(table) => {
            for (inner, one) in table.iter() {
                words_within(text, &format!("{key}.{}", inner.get_ref()), one, holds, found);
            }
        }
        _ => {}
    }
}

/// The sums of the files of the whole folder from which a part was taken, for the settings of the part.
#[must_use]
pub fn originals_excerpt<'i>(files: impl IntoIterator<Item = &'i Input>) -> String {
    let one = |file: &Input| {
        let (path, sum) = (quoted(&file.path), quoted(&file.sha256));
        format!("\n[[original]]\npath = {path}\nsha256 = {sum}\nbytes = {}\n", file.bytes)
    };
    files.into_iter().map(one).collect()
}

/// Others who pay for the place, for the settings of a part whose documents tell of them: who, whether named, and what each spent.
#[must_use]
pub fn others_excerpt(others: &[(String, bool, Money)]) -> String {
    let one = |(name, named, spent): &(String, bool, Money)| {
        format!("\n[[other_source]]\nname = {}\nnamed = {named}\nspent = {spent}\n", quoted(name))
    };
    others.iter().map(one).collect()
}

/// Every `[[other_source]]` of a part.
pub(super) fn other_sources(root: &mut Section) -> Vec<OtherSource> {
    root.each("other_source", |section| {
        let name = section.text_needed("name", "name = \"another grant\"");
        let (named, spent) = (section.flag("named").unwrap_or_default(), section.money("spent"));
        Some(OtherSource { name: name?, named, spent: spent?, source: section.row() })
    })
}

/// Every `[[original]]` of a part.
pub(super) fn originals(root: &mut Section) -> Vec<Input> {
    root.each("original", |section| {
        let path = section.text_needed("path", "path = \"spending.csv\"");
        let sha256 = section.text_needed("sha256", "sha256 = \"…\"");
        let bytes = section.number("bytes", 0.0, 9e15, "the size in bytes");
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the limits above")]
        let bytes = bytes.map_or(0, |bytes| bytes as u64);
        Some(Input { path: path?.into(), sha256: sha256?, bytes, rows: None })
    })
}

fn table_under<'t>(table: &'t DeTable<'t>, key: &str) -> Option<&'t DeTable<'t>> {
    match table.get(key)?.get_ref() {
        DeValue::Table(table) => Some(table),
        _ => None,
    }
}

fn write_section(out: &mut String, text: &str, head: &str, section: &DeTable<'_>, left_out: &[&str]) {
    if !out.is_empty() {
        out.push('\n');
    }
    out.push_str(head);
    out.push('\n');
    for (key, value) in section.iter().filter(|(key, _)| !left_out.contains(&key.get_ref().as_ref())) {
        out.push_str(&format!("{} = {}\n", key_of(key.get_ref()), written(text, value)));
    }
}

/// A value on one line.
fn written(text: &str, value: &Spanned<DeValue<'_>>) -> String {
    match value.get_ref() {
        DeValue::String(words) => quoted(words),
        DeValue::Array(list) => {
            let values: Vec<String> = list.iter().map(|one| written(text, one)).collect();
            format!("[{}]", values.join(", "))
        }
        DeValue::Table(table) => {
            let pair = |(key, value): (&Spanned<_>, &Spanned<DeValue<'_>>)| {
                let key: &std::borrow::Cow<'_, str> = key.get_ref();
                format!("{} = {}", key_of(key), written(text, value))
            };
            let pairs: Vec<String> = table.iter().map(pair).collect();
            format!("{{ {} }}", pairs.join(", "))
        }
        // Numbers and days stand as they were written: no digit may change.
        _ => text.get(value.span()).unwrap_or_default().to_owned(),
    }
}

/// A key, in quotes only where it needs them.
fn key_of(key: &str) -> String {
    let bare = |letter: char| letter.is_ascii_alphanumeric() || letter == '_' || letter == '-';
    if !key.is_empty() && key.chars().all(bare) { key.to_owned() } else { quoted(key) }
}

/// `words` as a basic string of TOML.
pub(super) fn quoted(words: &str) -> String {
    let mut quoted = String::with_capacity(words.len() + 2);
    quoted.push('"');
    for letter in words.chars() {
        match letter {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            '\n' => quoted.push_str("\\n"),
            '\t' => quoted.push_str("\\t"),
            '\r' => quoted.push_str("\\r"),
            letter if letter.is_control() => quoted.push_str(&format!("\\u{:04X}", u32::from(letter))),
            letter => quoted.push(letter),
        }
    }
    quoted.push('"');
    quoted
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_agreement_comes_through_whole_and_nothing_of_the_others_does() {
        let text = "# a secret remark\n[project]\nname = \"Lantern \\\"Rise\\\"\"\nfunder = \"Other Fund\"\nreference = '''LR'''\n[money]\nvolunteer_rate = 47.380\nreceived = 12.00\n[names.area]\n\"Their Paddock\" = \"North\"\n[[agreement]]\nid = \"catchment\"\nfrom = 2024-07-01 # another remark\nto = 2026-06-30\nbudget = [{ line = \"Works\", cash = 18_400.10 }]\n[[agreement.target]]\nid = \"spend\"\n[[agreement]]\nid = \"council\"\nfunder = \"Secret Council\"\n";
        let excerpt = settings_excerpt(text, "catchment", false).unwrap_or_default();
        for there in ["\"Lantern \\\"Rise\\\"\"", "47.380", "18_400.10", "2024-07-01", "\"spend\"", "\"LR\""]
        {
            assert!(excerpt.contains(there), "{there} in {excerpt}");
        }
        for private in ["remark", "Other Fund", "12.00", "Their Paddock", "council", "Secret"] {
            assert!(!excerpt.contains(private), "{private} in {excerpt}");
        }
        assert!(DeTable::parse(&excerpt).is_ok(), "{excerpt}");
    }
}
