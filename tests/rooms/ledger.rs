//! The ledger of the small project.

use hillfolio::ledger;

use crate::support::small_project;

#[test]
fn print_it() {
    let project = small_project();
    let book = ledger::fill(&project);
    println!("{}", ledger::csv(&book));
    println!("{:?}", book.targets);
}
