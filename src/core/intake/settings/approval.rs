//! `[approval]`: the approval that an offset is done under.

use crate::{intake::settings::section::Section, project::Approval, units::Hectares};

/// More hectares than any one approval covers.
const MOST_HECTARES: f64 = 1e6;

/// The section, where there is one.
pub(crate) fn approval(root: &mut Section) -> Option<Approval> {
    let mut section = root.section("approval")?;
    let approval = Approval {
        authority: section.text("authority"),
        reference: section.text("reference"),
        holder: section.text("holder"),
        holder_number: section.text("holder_number"),
        matter: section.text("matter"),
        approved: section.day("approved"),
        expires: section.day("expires"),
        started: section.day("started"),
        plan: section.text("plan"),
        plan_version: section.text("plan_version"),
        security: section.text("security"),
        hectares: section.number("hectares", 0.0, MOST_HECTARES, "hectares, 0 or more").map(Hectares),
        guideline: section.text("guideline"),
        declaration: section.text("declaration"),
    };
    section.finish();
    Some(approval)
}
