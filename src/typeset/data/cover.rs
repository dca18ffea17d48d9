//! The cover: who, where, when, under which agreement.

use serde::Serialize;

use crate::{
    draw,
    typeset::{
        Document, Matter,
        data::{
            drawings::{self, Picture},
            printed,
        },
    },
};

/// What stands on the cover.
#[derive(Serialize)]
pub(crate) struct Cover {
    kind: &'static str,
    name: String,
    /// How large the name can be set: a name of three hundred letters must still fit.
    size: &'static str,
    period: String,
    facts: Vec<Fact>,
    /// The outline of the areas.
    emblem: Option<Picture>,
}

/// One fact with its name.
#[derive(Serialize)]
struct Fact {
    name: &'static str,
    says: String,
}

impl Cover {
    pub(crate) fn of(matter: &Matter<'_>) -> Cover {
        let identity = &matter.project.identity;
        let period = matter.project.period;
        let given = |text: &Option<String>| text.clone().unwrap_or_default();
        let facts = [
            ("Reference", identity.reference.clone()),
            ("Funder", given(&identity.funder)),
            ("Program", given(&identity.program)),
            ("Grantee", given(&identity.grantee)),
            ("Landholder", identity.landholder.clone()),
            ("Locality", identity.locality.clone()),
            ("Parcels", given(&identity.parcels)),
            ("Prepared by", given(&identity.author)),
            ("Contact", given(&identity.contact)),
        ];
        Cover {
            kind: Document::Acquittal.title(),
            name: identity.name.clone(),
            size: match identity.name.chars().count() {
                0..=32 => "large",
                33..=90 => "medium",
                _ => "small",
            },
            period: format!("{} to {}", printed::day(period.from), printed::day(period.to)),
            facts: facts
                .into_iter()
                .filter(|(_, says)| !says.trim().is_empty())
                .map(|(name, says)| Fact { name, says })
                .collect(),
            emblem: draw::emblem(matter.project).map(|emblem| Picture::of("emblem", 0, &emblem)),
        }
    }
}

/// The bytes of the outline.
pub(crate) fn images(matter: &Matter<'_>) -> Option<(String, Vec<u8>)> {
    draw::emblem(matter.project).map(|emblem| ("emblem-0".to_owned(), drawings::svg(&emblem)))
}
