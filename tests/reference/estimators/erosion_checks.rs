//! Every check case of soil erosion, worked out by the estimators: see `data/erosion/NOTICE.md`.

use std::collections::BTreeMap;

use crate::{cover_factor, erodibility, erosivity, ls, soil_loss};

/// A table beside this file, as one map from heading to cell a row.
pub(crate) fn table(name: &str) -> Vec<BTreeMap<String, String>> {
    let path = format!("{}/../../tests/reference/data/erosion/{name}", env!("CARGO_MANIFEST_DIR"));
    let rows: Vec<BTreeMap<String, String>> =
        csv::Reader::from_path(path).unwrap().deserialize().map(Result::unwrap).collect();
    assert!(!rows.is_empty());
    rows
}

pub(crate) fn number(row: &BTreeMap<String, String>, column: &str) -> f64 {
    row[column].parse().unwrap_or_else(|_| panic!("{column} of {row:?}"))
}

/// 76 cases of the whole chain and 13 more of erosivity; each file of tests answers for its own ids, and none is left over.
#[test]
fn every_check_case_comes_out() {
    let answers = [erosivity::found, erodibility::found, ls::found, cover_factor::found, soil_loss::found];
    let mut cases = table("erosion-checks.csv");
    assert_eq!(cases.len(), 76);
    cases.extend(table("erosivity-checks.csv"));
    for case in cases {
        let id = &case["id"];
        let found: Vec<f64> = answers.iter().filter_map(|answer| answer(id)).collect();
        let [found] = found[..] else { panic!("{id} is answered {} times", found.len()) };
        let (expected, within) = (number(&case, "expected"), number(&case, "tolerance"));
        assert!(
            (found - expected).abs() <= within,
            "{id} {}: {found}, not {expected} ({})",
            case["what"],
            case["source"]
        );
        // Where the equation's own value is given with six digits, the code must give it.
        let equation = number(&case, "equation_gives");
        assert!((found / equation - 1.0).abs() < 2e-4, "{id}: {found}, the equation gives {equation}");
    }
}
