//! Ways to answer a problem: the lines of `project.toml` that say what a folder leaves open.

use crate::problem::Help;

/// One way to answer a problem.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// What it says of the folder, such as `it was paid back`; empty where the lines say it.
    pub means: String,
    /// The lines that say so: the head of a section, such as `[tables.spending]`, and its settings beneath it.
    pub lines: String,
}

impl Answer {
    /// An answer whose lines speak for themselves.
    pub(super) fn of(section: &str, settings: impl Into<String>) -> Answer {
        Answer::meaning("", section, settings)
    }

    /// An answer that means something.
    pub(super) fn meaning(means: &str, section: &str, settings: impl Into<String>) -> Answer {
        Answer { means: means.to_owned(), lines: format!("[{section}]\n{}", settings.into()) }
    }

    /// Lines that were made elsewhere.
    pub(super) fn lines(lines: &str) -> Answer {
        Answer { means: String::new(), lines: lines.to_owned() }
    }

    /// The head of the section, and the settings beneath it.
    #[must_use]
    pub fn parts(&self) -> (&str, &str) {
        self.lines.split_once('\n').unwrap_or(("", &self.lines))
    }
}

/// Help in words, with the lines to paste beneath them; several answers are parted by `or`. A head that was just said is not said
/// again.
pub(super) fn to_paste(words: &str, answers: Vec<Answer>) -> Help {
    Help {
        words: told(words, &answers, &|_| None),
        nearest: None,
        answers,
        lead: words.to_owned(),
        open: false,
    }
}

/// The same where none of the answers is likelier than another: whoever knows must choose, and none is taken for granted.
pub(super) fn to_choose(words: &str, answers: Vec<Answer>) -> Help {
    Help { open: true, ..to_paste(words, answers) }
}

/// The same in one text, each answer as `placed` has it where that is elsewhere than at the end.
pub(super) fn told(words: &str, answers: &[Answer], placed: &dyn Fn(&Answer) -> Option<String>) -> String {
    let mut text = words.to_owned();
    let mut head = "";
    for (number, answer) in answers.iter().enumerate() {
        let (section, settings) = answer.parts();
        match (number, answer.means.as_str()) {
            (0, _) => {}
            (_, "") => text.push_str("\nor"),
            (_, means) => text.push_str(&format!("\nor, if {means},")),
        }
        if let Some(placed) = placed(answer) {
            text.push_str(&format!("\n{placed}"));
            head = "";
            continue;
        }
        if section != head {
            text.push_str(&format!("\n{section}"));
        }
        text.push_str(&format!("\n{settings}"));
        head = section;
    }
    text
}

/// The text as TOML has it, on one line.
#[must_use]
pub fn quoted(text: &str) -> String {
    // A text of JSON is one of TOML, but for the one control character that JSON lets stand.
    serde_json::Value::from(text).to_string().replace('\u{7f}', "\\u007f")
}

/// A key as TOML has it: bare where it may be.
#[must_use]
pub fn key(name: &str) -> String {
    let bare = !name.is_empty() && name.chars().all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_');
    if bare { name.to_owned() } else { quoted(name) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_head_is_said_once_and_every_answer_is_whole() {
        let answers = vec![
            Answer::of("tables.spending", "money_in = \"left out\""),
            Answer::meaning("it was paid back", "tables.spending", "money_in = \"refunds\""),
            Answer::of("names.area", "Top = \"Top Paddock\""),
        ];
        let help = to_paste("say which:", answers);
        assert_eq!(
            help.words,
            "say which:\n[tables.spending]\nmoney_in = \"left out\"\nor, if it was paid back,\nmoney_in = \"refunds\"\n\
             or\n[names.area]\nTop = \"Top Paddock\""
        );
        assert_eq!(help.answers[1].lines, "[tables.spending]\nmoney_in = \"refunds\"");
    }

    proptest::proptest! {
        #[test]
        fn any_name_and_any_text_can_be_pasted(name in "\\PC{0,12}", text in "\\PC{0,12}") {
            let line = format!("{} = {}", key(&name), quoted(&text));
            let table: toml::Table = line.parse().unwrap();
            proptest::prop_assert_eq!(table[&name].as_str(), Some(text.as_str()));
        }
    }
}
