//! Everything that the typesetter needs of a folder, made beforehand.

use std::path::Path;

use hillfolio::VERSION;
use hillfolio_core::{intake, ledger, plan};
use hillfolio_documents::{draw, thumbnails::Thumbnails, typeset};

/// What `of` makes of the documents' matter and of the documents that the project in `folder` calls for.
pub(crate) fn with_matter<T>(
    folder: &Path,
    of: impl FnOnce(&typeset::ReportInputs<'_>, &[typeset::Document]) -> T,
) -> T {
    let folder = intake::Folder::open(folder).unwrap();
    let intake::Intake { project, problems, .. } = intake::read(&folder, &typeset::printable()).unwrap();
    let plan = plan::make(&project);
    let mut filled = ledger::fill_but_plan(&project);
    if let Some(plan) = &plan {
        ledger::enter_plan(&mut filled.ledger, &project, plan);
    }
    let sheets = draw::sheets(&project, plan.as_ref(), &filled);
    let ledger::Filled { ledger, cells } = filled;
    sheets.finish();
    let (pictures, _) = hillfolio::commands::pictures(&folder, &project, &Thumbnails::none());
    let records = ledger::files(&ledger, &project, &problems, VERSION).unwrap();
    let matter = typeset::ReportInputs {
        project: &project,
        plan: plan.as_ref(),
        ledger: &ledger,
        cells: cells.as_ref(),
        sheets: &sheets,
        pictures: &pictures,
        problems: &problems,
        records: &records,
        version: VERSION,
    };
    of(&matter, &typeset::Document::due(&project))
}
