//! Every figure of every sample is laid open: equation, source of the method, inputs and rows.

use hillfolio::console;
use hillfolio_core::ledger;

use crate::commands::sample;

#[test]
fn every_figure_of_the_samples_tells_how_it_came_about() {
    let mut bare = Vec::new();
    for name in ["brindle-spur", "tussock-fold", "ashlar-gap"] {
        let project = hillfolio::check(&sample(name)).unwrap().project;
        let ledger = ledger::fill(&project);
        let (mut figures, mut gaps) = (0, 0);
        for (id, entry) in ledger.iter() {
            let explained = ledger::explain(&ledger, &project, id.as_str()).unwrap();
            let text = console::explanation(&explained);
            let says = |heading: &str| {
                text.lines()
                    .any(|line| line.strip_prefix(heading).is_some_and(|rest| !rest.trim().is_empty()))
            };
            if let ledger::Entry::Missing(missing) = entry {
                gaps += 1;
                assert!(text.contains(&missing.reason), "{text}");
                continue;
            }
            figures += 1;
            let wanted = ["value", "method", "equation", "assumes", "reference", "rows"];
            let lacks: Vec<&str> = wanted.into_iter().filter(|heading| !says(heading)).collect();
            if !lacks.is_empty() {
                bare.push(format!("{name} {id} lacks {lacks:?}"));
            }
            for rows in &explained.sources {
                let input = project.inputs.iter().find(|input| *input.path == rows.path);
                if input.is_none_or(|input| Some(&input.sha256) != rows.sha256.as_ref()) {
                    bare.push(format!("{name} {id}: {} is no input", rows.path));
                }
            }
        }
        assert!(figures > 250, "{name}: {figures} figures, {gaps} gaps");
    }
    assert!(bare.is_empty(), "{} figures can't be followed:\n{}", bare.len(), bare.join("\n"));
}
