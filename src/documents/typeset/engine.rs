//! The typesetter: templates and faces once, then any number of documents.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};
use typst::{
    diag::{SourceDiagnostic, Warned},
    foundations::{Bytes, Datetime, Dict, IntoValue, Smart},
};
use typst_as_lib::TypstEngine;
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

use crate::{
    draw::svg::Markup,
    typeset::{
        Document, Portfolio, Proof, ReportInputs, TemplateDiagnostic, TypesettingError,
        data::{self, Job},
        embedded::TEMPLATES,
        fonts, proof,
        setting::Setting,
        spot::{self, file_id},
        view::{self, View},
        words,
    },
};
use hillfolio_core::{
    problem::Correction,
    project::{FieldSheet, Project},
};

/// A document of more pages is laid out and written with as little memory as can be.
const LONG: usize = 100;

/// A finished document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pdf {
    /// Its name in the pack, such as `acquittal.pdf` or `maps/site-map.pdf`.
    pub name: String,
    /// The file.
    pub bytes: Vec<u8>,
}

/// The typesetter with its templates and faces. It sees these and the data of one document, no disk and no network.
pub struct Engine {
    typst: TypstEngine,
    /// Whether templates of the user's own stand in, which may ask for any figure by its id.
    own_templates: bool,
}

impl Engine {
    /// The typesetter with the embedded templates; `overrides` (path under `report-templates/`, text) stand in for those
    /// of the same path, or beside them.
    #[must_use]
    pub fn new(overrides: &[(String, String)]) -> Engine {
        let own = TEMPLATES.iter().map(|&(path, text)| (path, text));
        let theirs = overrides.iter().map(|(path, text)| (path.as_str(), text.as_str()));
        let templates: BTreeMap<&str, &str> = own.chain(theirs).collect();
        let sources = templates.into_iter().filter_map(|(path, text)| Some((file_id(path)?, text)));
        let typst = TypstEngine::builder()
            .fonts(fonts::faces().iter().cloned())
            .with_static_source_file_resolver(sources)
            // What one document made serves the next.
            .comemo_evict_max_age(None)
            .build();
        Engine { typst, own_templates: !overrides.is_empty() }
    }

    /// The documents asked for, and every map on a sheet of its own.
    ///
    /// # Errors
    /// The first document, in order of name, that a template can't set.
    pub fn documents(
        &self,
        matter: &ReportInputs<'_>,
        wanted: &[Document],
    ) -> Result<Vec<Pdf>, TypesettingError> {
        self.all(matter, wanted).documents()
    }

    /// The same with the words of every page and the typesetter's warnings.
    ///
    /// # Errors
    /// The first document, in order of name, that a template can't set.
    pub fn proofs(
        &self,
        matter: &ReportInputs<'_>,
        wanted: &[Document],
    ) -> Result<Vec<Proof>, TypesettingError> {
        self.all(matter, wanted).proofs()
    }

    /// All of them, set.
    fn all<'a>(&'a self, matter: &ReportInputs<'a>, wanted: &[Document]) -> Setting<'a> {
        let mut setting = self.begin(matter, wanted);
        rayon::in_place_scope(|scope| setting.start(scope));
        setting
    }

    /// Gathers what the documents `wanted`, and every map on a sheet of its own, are made of.
    #[must_use]
    pub fn begin<'a>(&'a self, matter: &ReportInputs<'a>, wanted: &[Document]) -> Setting<'a> {
        let (identity, period) = (&matter.project.identity, matter.project.period);
        let stamp = Stamp {
            about: format!("{}/{}", identity.name, identity.reference),
            days: Some((period.from, period.to)),
            version: matter.version,
        };
        let mut jobs = data::jobs(matter, wanted);
        if self.own_templates {
            data::with_figures(matter, &mut jobs);
        }
        Setting::new(self, stamp, jobs)
    }

    /// The report of a portfolio, with the words of its pages and the typesetter's warnings.
    ///
    /// # Errors
    /// The template can't set it.
    pub fn portfolio(&self, portfolio: &Portfolio<'_>) -> Result<Proof, TypesettingError> {
        let stamp = Stamp {
            about: format!("portfolio/{}", portfolio.name),
            days: Some((portfolio.from, portfolio.to)),
            version: portfolio.version,
        };
        self.set(&stamp, data::portfolio(portfolio))
    }

    /// The corrections that the folder called `folder` needs, as a list to be printed and filled in. It bears no date, for none is
    /// known of a folder that can't be read.
    ///
    /// # Errors
    /// A template can't set it.
    pub fn corrections(
        &self,
        folder: &str,
        list: &[Correction],
        version: &str,
    ) -> Result<Proof, TypesettingError> {
        let stamp = Stamp { about: format!("corrections/{folder}"), days: None, version };
        self.set(&stamp, data::corrections(folder, list, version))
    }

    /// Sets the field book of `project`, whose sheets are `sheets`.
    ///
    /// # Errors
    /// A template can't set it.
    pub fn field_book(
        &self,
        project: &Project,
        sheets: &[FieldSheet],
        version: &str,
    ) -> Result<Proof, TypesettingError> {
        let stamp = Stamp { about: format!("field-book/{}", project.identity.name), days: None, version };
        self.set(&stamp, data::field_book(project, sheets, version))
    }

    pub(super) fn set(&self, stamp: &Stamp<'_>, job: Job) -> Result<Proof, TypesettingError> {
        let name = job.name.clone();
        let fail = |diagnostics| TypesettingError { document: name.clone(), diagnostics };
        let inputs =
            inputs(job.data, job.images, &job.drawings).map_err(|diagnostic| fail(vec![diagnostic]))?;
        let template = file_id(job.template)
            .ok_or_else(|| fail(vec![TemplateDiagnostic::nowhere("no such template")]))?;
        let world = self.typst.world_builder(template).with_inputs(inputs).build();
        let world = world.map_err(|why| fail(vec![TemplateDiagnostic::nowhere(why)]))?;
        let world = View::new(world, job.drawings);
        let all = |list: &[SourceDiagnostic]| list.iter().map(|one| spot::placed(&world, one)).collect();
        let Warned { output, warnings } = typst::compile::<PagedDocument>(&world);
        let document = output.map_err(|list| fail(all(&list)))?;
        if document.pages().len() > LONG {
            // What was remembered to lay it out takes as much room as the file that is now to be made of it.
            comemo::evict(0);
        }
        let options =
            options(stamp, &job.name, job.standards).map_err(|diagnostic| fail(vec![diagnostic]))?;
        let bytes = typst_pdf::pdf(&document, &options).map_err(|list| fail(all(&list)))?;
        let mut warnings: Vec<TemplateDiagnostic> = all(&warnings);
        warnings.extend(proof::cut_off(&document));
        Ok(Proof {
            pages: proof::words(&document),
            filled: proof::filled(&document),
            warnings,
            name: job.name,
            bytes,
        })
    }
}

/// What the template finds under `sys.inputs`: `data`, a tree of values, and `images`, by key the bytes of a picture or an attachment
/// or the path of a drawing.
fn inputs(
    mut data: serde_json::Value,
    images: Vec<(String, bytes::Bytes)>,
    drawings: &[(String, Markup)],
) -> Result<Dict, TemplateDiagnostic> {
    words::clean_tree(&mut data);
    let data: Dict = serde_json::from_value(data).map_err(TemplateDiagnostic::nowhere)?;
    let mut files = Dict::new();
    for (key, bytes) in images {
        files.insert(key.into(), Bytes::new(bytes).into_value());
    }
    for (key, _) in drawings {
        files.insert(key.as_str().into(), view::path(key).into_value());
    }
    let mut inputs = Dict::new();
    inputs.insert("data".into(), data.into_value());
    inputs.insert("images".into(), files.into_value());
    Ok(inputs)
}

/// What tells a document from every other, and stands for the time of its making.
pub(super) struct Stamp<'a> {
    about: String,
    /// The first day and the last; `None` where none is known.
    days: Option<(NaiveDate, NaiveDate)>,
    version: &'a str,
}

fn options(
    stamp: &Stamp<'_>,
    name: &str,
    standards: &[PdfStandard],
) -> Result<PdfOptions, TemplateDiagnostic> {
    let days = stamp.days.map(|(from, to)| format!("/{from}/{to}")).unwrap_or_default();
    let ident = format!("hillfolio/{}/{name}{days}", stamp.about);
    Ok(PdfOptions {
        ident: Smart::Custom(ident),
        creator: Smart::Custom(Some(format!("hillfolio {}", stamp.version))),
        timestamp: stamp.days.and_then(|(_, to)| midnight(to)).map(Timestamp::new_utc),
        standards: PdfStandards::new(standards)
            .map_err(|hint| TemplateDiagnostic::nowhere(hint.message()))?,
        tagged: true,
        ..PdfOptions::default()
    })
}

/// The period's end stands for the time of making, so that a rebuild gives the same bytes.
fn midnight(day: NaiveDate) -> Option<Datetime> {
    let (month, date) = (u8::try_from(day.month()).ok()?, u8::try_from(day.day()).ok()?);
    Datetime::from_ymd_hms(day.year(), month, date, 0, 0, 0)
}
