//! The cover: who, where, when, under which agreement.

use schemars::JsonSchema;
use serde::Serialize;

use crate::{
    draw::{self, Drawing, svg::Markup},
    typeset::{
        Document, ReportInputs,
        data::{drawings::Picture, printed},
        title,
    },
};
use hillfolio_core::project::{Approval, Period};

/// What stands on the cover.
#[derive(Serialize, JsonSchema)]
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
#[derive(Serialize, JsonSchema)]
struct Fact {
    name: &'static str,
    says: String,
}

impl Cover {
    pub(crate) fn of(inputs: &ReportInputs<'_>, document: Document) -> Cover {
        let identity = &inputs.project.identity;
        let period = inputs.project.period;
        let given = |text: &Option<String>| text.clone().unwrap_or_default();
        let approval = inputs.project.approval.as_ref().filter(|_| document == Document::Offset);
        let approved =
            |of: fn(&Approval) -> &Option<String>| approval.map_or_else(String::new, |one| given(of(one)));
        let granted =
            |text: &Option<String>| if document == Document::Acquittal { given(text) } else { String::new() };
        let facts = [
            ("Reference", identity.reference.clone()),
            ("Approval", approved(|approval| &approval.reference)),
            ("Authority", approved(|approval| &approval.authority)),
            ("Approval holder", approved(|approval| &approval.holder)),
            ("Funder", granted(&identity.funder)),
            ("Program", granted(&identity.program)),
            ("Grantee", granted(&identity.grantee)),
            ("Landholder", identity.landholder.clone()),
            ("Locality", identity.locality.clone()),
            ("Parcels", given(&identity.parcels)),
            ("Prepared by", given(&identity.author)),
            ("Contact", given(&identity.contact)),
        ];
        Cover {
            emblem: emblem(inputs).map(|emblem| Picture::of("emblem", 0, &emblem)),
            ..Cover::without_emblem(title(document, inputs.project), &identity.name, period, facts)
        }
    }

    /// The head of the workings of a project, called `title`.
    pub(crate) fn of_workings(inputs: &ReportInputs<'_>, title: &'static str) -> Cover {
        let identity = &inputs.project.identity;
        let facts = [("Reference", identity.reference.clone()), ("Landholder", identity.landholder.clone())];
        Cover::without_emblem(title, &identity.name, inputs.project.period, facts)
    }

    /// The same for another time than the period.
    pub(crate) fn for_time(mut self, time: String) -> Cover {
        self.period = time;
        self
    }

    /// A cover of words alone; facts of which nothing is said are left out.
    pub(crate) fn without_emblem(
        kind: &'static str,
        name: &str,
        period: Period,
        facts: impl IntoIterator<Item = (&'static str, String)>,
    ) -> Cover {
        Cover {
            kind,
            name: name.to_owned(),
            size: size(name),
            period: format!("{} to {}", printed::day(period.from), printed::day(period.to)),
            facts: facts
                .into_iter()
                .filter(|(_, says)| !says.trim().is_empty())
                .map(|(name, says)| Fact { name, says })
                .collect(),
            emblem: None,
        }
    }
}

/// How large a name can be set.
fn size(name: &str) -> &'static str {
    match name.chars().count() {
        0..=32 => "large",
        33..=90 => "medium",
        _ => "small",
    }
}

/// The outline of the areas; a name of many lines takes its place.
fn emblem(inputs: &ReportInputs<'_>) -> Option<Drawing> {
    draw::emblem(inputs.project).filter(|_| size(&inputs.project.identity.name) != "small")
}

/// The outline by its key.
pub(crate) fn drawing(inputs: &ReportInputs<'_>) -> Option<(String, Markup)> {
    emblem(inputs).map(|emblem| ("emblem-0".to_owned(), emblem.svg))
}
