//! Receipts that are not there, and receipts that are there twice.

use std::collections::BTreeMap;

use crate::{
    problem::{Evidence, Place, Problem},
    project::Project,
};

/// Endings by which a receipt's cell is known to name a file and not a number.
const ENDINGS: [&str; 7] = [".pdf", ".jpg", ".jpeg", ".png", ".heic", ".tif", ".eml"];

pub(super) fn check(project: &Project, files: &[String], problems: &mut Vec<Problem>) {
    let mut first: BTreeMap<(&str, _, _), u32> = BTreeMap::new();
    for spending in &project.spending {
        if let Some(name) = spending.receipt.as_deref().filter(|name| names_a_file(name))
            && !there(name, files)
        {
            let kind = Evidence::FileAbsent { what: "receipt", name: name.to_owned() };
            problems.push(Problem::new(kind, Place::row(&spending.source).column("receipt")));
        }
        let Some(payee) = spending.payee.as_deref() else { continue };
        match first.get(&(payee, spending.date, spending.amount)) {
            Some(&row) => {
                let kind = Evidence::ReceiptTwice { first: row };
                problems.push(Problem::new(kind, Place::row(&spending.source).column("amount")));
            }
            None => drop(first.insert((payee, spending.date, spending.amount), spending.source.row)),
        }
    }
}

fn names_a_file(cell: &str) -> bool {
    let lower = cell.to_lowercase();
    ENDINGS.iter().any(|ending| lower.ends_with(ending))
}

/// A receipt may be named with its folder or without.
fn there(name: &str, files: &[String]) -> bool {
    files
        .iter()
        .any(|file| file == name || file.strip_suffix(name).is_some_and(|folder| folder.ends_with('/')))
}
