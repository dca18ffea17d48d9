//! The documents, set from the small project and from hostile, large and empty ones.

mod matter;

use std::{env, fs, path::Path};

use hillfolio::{
    draw, ledger,
    problem::Problem,
    project::Project,
    typeset::{Document, Engine, Matter, Proof},
};

/// Sets every document. With `PROOFS=DIR` in the environment the files are also written there, to be looked at.
fn set(name: &str, project: &Project, problems: &[Problem]) -> Vec<Proof> {
    let ledger = ledger::fill(project);
    let sheets = draw::sheets(project, &ledger);
    let pictures = matter::pictures(project);
    let matter =
        Matter { project, ledger: &ledger, sheets: &sheets, pictures: &pictures, problems, version: "0.0.0" };
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
fn every_section_is_set() {
    let proofs = set("full", &matter::full(), &matter::doubts());
    let text = proofs[0].pages.join("\n");
    assert!(text.contains("Brindle Spur"), "{text}");
}

#[test]
fn hostile_text_comes_out_as_typed() {
    set("hostile", &matter::hostile(), &[]);
}

#[test]
fn two_hundred_species_fill_a_table_with_repeated_heads() {
    set("large", &matter::large(), &[]);
}

#[test]
fn a_folder_of_boundaries_alone_makes_a_document() {
    set("empty", &matter::empty(), &[]);
}
