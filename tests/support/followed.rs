//! What somebody makes of lines to paste who takes every word as it stands.

/// `text`, a project.toml, with the lines that a check has `said`: those that name lines of the text in their place, all others at the end.
pub(crate) fn followed(text: &str, said: &str) -> String {
    let mut lines: Vec<Vec<String>> = text.lines().map(|line| vec![line.to_owned()]).collect();
    let mut end: Vec<String> = Vec::new();
    let mut at: Option<usize> = None;
    for line in said.lines() {
        let numbers: Vec<usize> = line.split([' ', ':', ',']).filter_map(|word| word.parse().ok()).collect();
        let replaces = line.starts_with("# in the place of line");
        match (replaces || line.starts_with("# below line"), numbers.as_slice()) {
            (true, &[from, ..]) => {
                let to = *numbers.last().unwrap();
                if replaces {
                    (from..=to).for_each(|gone| lines[gone - 1].clear());
                }
                at = Some(to - 1);
            }
            _ if line == "# at its end:" => at = None,
            _ => match at {
                Some(at) => lines[at].push(line.to_owned()),
                None => end.push(line.to_owned()),
            },
        }
    }
    lines.into_iter().flatten().chain(end).map(|line| format!("{line}\n")).collect()
}
