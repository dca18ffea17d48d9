//! Pictures of the work: those of one day and area together, with what was done there that day beside them.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::typeset::{
    ReportInputs,
    data::{
        photos::{key, picture},
        printed,
    },
};
use hillfolio_core::{
    project::{AreaId, Photo, Project},
    units::whole,
};

/// Pictures of one day and area that are printed; the others are in the pack.
const OF_ONE_DAY: usize = 3;

/// Pictures that are printed in all.
const MOST: usize = 48;

/// The page of the pictures of the work.
#[derive(Serialize, JsonSchema)]
pub(crate) struct WorkPhotos {
    days: Vec<Day>,
    /// Pictures of the period that are in the pack alone.
    others: usize,
}

/// A day in one area.
#[derive(Serialize, JsonSchema)]
struct Day {
    date: String,
    area: String,
    works: Vec<String>,
    pictures: Vec<Shot>,
}

/// One picture.
#[derive(Serialize, JsonSchema)]
struct Shot {
    image: String,
    caption: Option<String>,
    alt: String,
}

impl WorkPhotos {
    pub(crate) fn of(inputs: &ReportInputs<'_>) -> WorkPhotos {
        let project = inputs.project;
        let shown: Vec<&Photo> = shown(project).collect();
        let all = project.photos.iter().filter(|photo| of_the_work(project, photo)).count();
        let mut days = Vec::new();
        for ((date, area), photos) in by_day(shown.iter().copied()) {
            let pictures: Vec<Shot> = photos.into_iter().filter_map(|photo| shot(inputs, photo)).collect();
            if !pictures.is_empty() {
                let works = works(project, date, area);
                let area = area.map(ToString::to_string).unwrap_or_default();
                days.push(Day { date: printed::day(date), area, works, pictures });
            }
        }
        let printed: usize = days.iter().map(|day| day.pictures.len()).sum();
        WorkPhotos { days, others: all.saturating_sub(printed) }
    }
}

/// The pictures of the work that are printed, by day and area.
pub(crate) fn shown(project: &Project) -> impl Iterator<Item = &Photo> {
    let days = by_day(project.photos.iter().filter(|photo| of_the_work(project, photo)));
    days.into_values().flat_map(|photos| photos.into_iter().take(OF_ONE_DAY)).take(MOST)
}

/// Whether it is a picture of the work of the period.
fn of_the_work(project: &Project, photo: &Photo) -> bool {
    photo.point.is_none() && project.period.from <= photo.date && photo.date <= project.period.to
}

fn by_day<'p>(
    photos: impl Iterator<Item = &'p Photo>,
) -> BTreeMap<(NaiveDate, Option<&'p AreaId>), Vec<&'p Photo>> {
    let mut days: BTreeMap<(NaiveDate, Option<&AreaId>), Vec<&Photo>> = BTreeMap::new();
    for photo in photos {
        days.entry((photo.date, photo.area.as_ref())).or_default().push(photo);
    }
    days
}

/// What was done on the day: in the area, or on the whole site; where the picture has no area, anywhere.
fn works(project: &Project, date: NaiveDate, area: Option<&AreaId>) -> Vec<String> {
    let here = |of: Option<&AreaId>| area.is_none() || of.is_none() || of == area;
    let at = |of: Option<&AreaId>| match (area, of) {
        (None, Some(of)) => format!(", {of}"),
        _ => String::new(),
    };
    let works = project.works.iter().filter(|work| work.date == date && here(work.area.as_ref()));
    let works = works.map(|work| format!("{}{}", work.task, at(work.area.as_ref())));
    let mut stems: BTreeMap<&AreaId, u64> = BTreeMap::new();
    for planting in project.plantings.iter().filter(|one| one.date == date && here(Some(&one.area))) {
        *stems.entry(&planting.area).or_default() += planting.stems.0;
    }
    let planted = stems.into_iter().map(|(of, stems)| {
        let word = if stems == 1 { "stem" } else { "stems" };
        format!("{} {word} planted{}", whole(stems), at(Some(of)))
    });
    let mut all: Vec<String> = works.chain(planted).collect();
    all.dedup();
    all
}

fn shot(inputs: &ReportInputs<'_>, photo: &Photo) -> Option<Shot> {
    let shows = photo.caption.as_ref().map(|caption| format!(": {caption}")).unwrap_or_default();
    let area = photo.area.as_ref().map(|area| format!(" in {area}")).unwrap_or_default();
    Some(Shot {
        image: key(picture(inputs, photo)?),
        alt: format!("Photo of the work{area} on {}{shows}", printed::day(photo.date)),
        caption: photo.caption.clone(),
    })
}
