//! Photo points and their pictures.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::{
    estimate::{Estimate, Finding, Gap, Method},
    project::{PhotoPoint, Project},
    units::Count,
};

/// Photo points.
///
/// # Errors
/// There is no table of photo points.
pub fn points(project: &Project) -> Finding<Count> {
    counted(project, Method::DISTINCT, |_| true)
}

/// Photo points with pictures of two or more days up to the period's end.
///
/// # Errors
/// There is no table of photo points.
pub fn pairs(project: &Project) -> Finding<Count> {
    let mut days: BTreeMap<&str, BTreeSet<NaiveDate>> = BTreeMap::new();
    for photo in project.photos.iter().filter(|photo| photo.date <= project.period.to) {
        if let Some(point) = &photo.point {
            days.entry(point).or_default().insert(photo.date);
        }
    }
    counted(project, Method::PHOTO_PAIRS, |point| days.get(&*point.id).is_some_and(|days| days.len() > 1))
}

fn counted(project: &Project, method: Method, keep: impl Fn(&PhotoPoint) -> bool) -> Finding<Count> {
    if project.photo_points.is_empty() {
        return Err(Gap::TableMissing("photopoints"));
    }
    let kept: Vec<&PhotoPoint> = project.photo_points.iter().filter(|point| keep(point)).collect();
    let sources = kept.iter().map(|point| &point.source).collect();
    Ok(Estimate::counted(Count(kept.len() as u64), method, sources))
}
