//! `layer_fields` and `layer_values` of an agreement: the columns of its layer of activities as the funder calls them.

use crate::{
    intake::{nearest::nearest, settings::section::Section},
    project::{LAYER_FIELDS, LayerColumn},
};

fn known(name: &str) -> Option<&'static str> {
    LAYER_FIELDS.into_iter().find(|field| *field == name.trim())
}

/// `layer_fields`: each a field, or a field and what the funder calls it, such as `claim_ha as AREA_HA`.
pub(super) fn columns(section: &mut Section) -> Option<Vec<LayerColumn>> {
    let written = section.texts("layer_fields")?;
    let mut columns: Vec<LayerColumn> = Vec::new();
    for one in &written {
        let (field, name) = one.split_once(" as ").unwrap_or((one, one));
        let (field, name) = (field.trim(), name.trim());
        let Some(field) = known(field) else {
            let wanted = format!("fields of the layer of activities: {}", LAYER_FIELDS.join(", "));
            section.wrong("layer_fields", &wanted, nearest(field, LAYER_FIELDS));
            return None;
        };
        let plain = |letter: char| letter.is_ascii_alphanumeric() || letter == '_';
        let twice = columns.iter().any(|known| known.name.eq_ignore_ascii_case(name));
        if name.is_empty() || name.len() > LayerColumn::NAME || !name.chars().all(plain) || twice {
            let wanted = "names of ten letters, digits and strokes at the most, as the table of a shapefile holds them, each once: \"claim_ha as AREA_HA\"";
            section.wrong("layer_fields", wanted, None);
            return None;
        }
        columns.push(LayerColumn { field, name: name.to_owned() });
    }
    (!columns.is_empty()).then_some(columns)
}

/// `layer_values`: what stands in a field of every activity, such as `{ capture = "phone", acc_m = 4 }`.
pub(super) fn values(section: &mut Section) -> Vec<(&'static str, String)> {
    let Some(mut table) = section.section("layer_values") else { return Vec::new() };
    let (mut values, mut strange) = (Vec::new(), None);
    for key in table.own_keys() {
        match known(&key) {
            Some(field) => values.extend(table.written_of(&key).map(|words| (field, words))),
            None => strange = Some(nearest(&key, LAYER_FIELDS)),
        }
    }
    if let Some(nearest) = strange {
        let wanted = format!("a table of fields of the layer of activities: {}", LAYER_FIELDS.join(", "));
        section.wrong("layer_values", &wanted, nearest);
    }
    values
}
