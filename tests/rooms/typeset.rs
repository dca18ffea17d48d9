//! The documents, set from the small project and from hostile, large and empty ones.

use std::{env, fs, path::Path};

use hillfolio::{
    draw,
    ledger::Ledger,
    problem::Problem,
    project::Project,
    typeset::{Document, Engine, Matter, PrintPicture, Proof},
};

use crate::support;

/// Sets every document. With `PROOFS=DIR` in the environment the files are also written there, to be looked at.
fn set(
    name: &str,
    project: &Project,
    ledger: &Ledger,
    pictures: &[PrintPicture],
    problems: &[Problem],
) -> Vec<Proof> {
    let sheets = draw::sheets(project, ledger);
    let matter = Matter { project, ledger, sheets: &sheets, pictures, problems, version: "0.0.0" };
    let proofs = match Engine::new(&[]).proofs(&matter, &Document::ALL) {
        Ok(proofs) => proofs,
        Err(failure) => panic!("{failure}"),
    };
    for proof in &proofs {
        if let Ok(folder) = env::var("PROOFS") {
            let path = Path::new(&folder).join(name).join(&proof.name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, &proof.bytes).unwrap();
        }
        assert!(proof.warnings.is_empty(), "{name} {}: {:?}", proof.name, proof.warnings);
    }
    proofs
}

#[test]
fn an_empty_ledger_still_makes_a_document() {
    let project = support::small_project();
    let proofs = set("bare", &project, &Ledger::default(), &[], &[]);
    let text = proofs[0].pages.join("\n");
    assert!(text.contains("Brindle Spur"), "{text}");
}

#[test]
fn the_small_project_is_whole() {
    let project = support::small_project();
    let ledger = hillfolio::ledger::fill(&project);

    let _proofs = set("small", &project, &ledger, &[], &[]);
}
