//! Lines of which somebody has to choose: they stand as comments where the one that is chosen belongs, so that taking its # away is enough.

use crate::{
    intake::settings::{placed, set_by, with_answers},
    problem::Answer,
};

/// What stands above lines to choose from.
const CHOOSE: &str = "# choose one of these, and take its # away:";

/// What stands above a single line that somebody has to decide on or to fill in.
const DECIDE: &str = "# if it is so, take the # away:";

/// What stands above a line with a blank in it.
const FILL_IN: &str = "# fill in what is left blank, and take the # away:";

/// Whether a line of the settings stands above lines to choose from.
pub(super) fn is_offer(line: &str) -> bool {
    [CHOOSE, DECIDE, FILL_IN].contains(&line)
}

/// The `sure` answers as they are to be written into a project.toml that holds `text`, with the lines of each of the `choices` as comments in
/// its section; besides those choices whose lines can't stand so.
pub(crate) fn offered(text: &str, sure: &[String], choices: Vec<Vec<Answer>>) -> (String, Vec<Vec<Answer>>) {
    let with_sure = with_answers(text, sure.iter().map(String::as_str)).unwrap_or_default();
    let taken = set_by(&with_sure);
    let is_free = |answers: &[Answer]| {
        let new = answers.iter().flat_map(|answer| set_by(&answer.lines));
        let within = |one: &str, other: &str| {
            other.strip_prefix(one).is_some_and(|rest| rest.starts_with('.') || rest.is_empty())
        };
        let free = |name: String| !taken.iter().any(|taken| within(&name, taken) || within(taken, &name));
        let head = answers.first().map(|answer| answer.parts().0);
        // A part of a setting that is there can't be a line of its own.
        let begins = |answer: &Answer| {
            let section = answer.parts().0.trim_matches(['[', ']']);
            let setting = answer.parts().1.split([' ', '=']).next().unwrap_or_default();
            let whole = format!("{section}.{setting}");
            !setting.is_empty() && !taken.iter().any(|taken| within(&whole, taken))
        };
        new.into_iter().all(free)
            && answers.iter().all(|answer| Some(answer.parts().0) == head && !answer.parts().1.contains('\n'))
            && answers.iter().all(begins)
    };
    let (mut offered, mut others): (Vec<_>, Vec<_>) =
        choices.into_iter().partition(|answers| is_free(answers));
    loop {
        let firsts = offered.iter().filter_map(|answers| answers.first()).map(|answer| answer.lines.clone());
        let lines: Vec<String> = sure.iter().cloned().chain(firsts).collect();
        let mut said = placed(text, &lines);
        let mut unmet = None;
        for (at, answers) in offered.iter().enumerate() {
            let first = answers.first().map(written).unwrap_or_default();
            match said.lines().filter(|line| *line == first).count() {
                1 => {
                    said = said
                        .lines()
                        .map(|line| if line == first { commented(answers) } else { line.to_owned() })
                        .collect::<Vec<_>>()
                        .join("\n")
                }
                _ => unmet = Some(at),
            }
        }
        match unmet {
            None => return (said, others),
            Some(at) => others.push(offered.remove(at)),
        }
    }
}

/// The setting of an answer as it comes to stand in the settings: of a name in quotes these may go.
fn written(answer: &Answer) -> String {
    let alone = with_answers("", [answer.lines.as_str()]).unwrap_or_default();
    alone.lines().rfind(|line| !line.trim().is_empty()).unwrap_or_default().to_owned()
}

/// The lines of the answers as comments, each with what it means behind it.
fn commented(answers: &[Answer]) -> String {
    let one = |answer: &Answer| match answer.means.as_str() {
        "" => format!("# {}", answer.parts().1),
        means => format!("# {}   # {means}", answer.parts().1),
    };
    let lead = match answers {
        [only] if only.lines.contains('…') => FILL_IN,
        [_] => DECIDE,
        _ => CHOOSE,
    };
    std::iter::once(lead.to_owned()).chain(answers.iter().map(one)).collect::<Vec<_>>().join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answer(means: &str, lines: &str) -> Answer {
        Answer { means: means.to_owned(), lines: lines.to_owned() }
    }

    #[test]
    fn what_is_to_be_chosen_stands_as_a_comment_in_its_section() {
        let text = "[project]\nname = \"Top\"\n\n[tables.spending]\nfile = \"bank.csv\"\n";
        let sure = ["[names.species]\n\"Wattle\" = \"Acacia dealbata\"".to_owned()];
        let choices = vec![
            vec![
                answer("", "[names.species]\n\"Toetoe\" = \"Austroderia fulvida\""),
                answer("", "[names.species]\n\"Toetoe\" = \"Austroderia toetoe\""),
            ],
            vec![
                answer("none of it is spending", "[tables.spending]\nmoney_in = \"left out\""),
                answer("it was paid back", "[tables.spending]\nmoney_in = \"refunds\""),
            ],
            vec![answer("it is so", "[tables.spending]\nfile = \"other.csv\"")],
        ];
        let (said, others) = offered(text, &sure, choices);
        assert_eq!(
            said,
            "# in the place of lines 4 to 5:\n[tables.spending]\nfile = \"bank.csv\"\n# choose one of these, and take its # away:\n\
             # money_in = \"left out\"   # none of it is spending\n# money_in = \"refunds\"   # it was paid back\n\n\
             # at its end:\n[names.species]\nWattle = \"Acacia dealbata\"\n# choose one of these, and take its # away:\n\
             # \"Toetoe\" = \"Austroderia fulvida\"\n# \"Toetoe\" = \"Austroderia toetoe\""
        );
        assert_eq!(others.len(), 1, "what stands there already is not written over");
    }
}
