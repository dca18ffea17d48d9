//! Receipts that are not there, and receipts that are there twice.

use std::collections::BTreeMap;

use crate::{
    intake::receipts,
    problem::{Evidence, Place, Problem},
    project::Project,
};

pub(super) fn check(project: &Project, files: &[String], problems: &mut Vec<Problem>) {
    let mut first: BTreeMap<(&str, _, _), u32> = BTreeMap::new();
    for spending in &project.spending {
        if let Some(name) = spending.receipt.as_deref().filter(|name| receipts::names_a_file(name))
            && receipts::file(name, files).is_none()
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
