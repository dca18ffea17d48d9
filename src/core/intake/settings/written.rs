//! Answers written into `project.toml`: what stands in it stays as it was typed, comments and all.

use toml_edit::{Array, DocumentMut, Item, Table, TableLike, Value};

/// Settings that say the same in two ways, of which one may stand.
const EITHER: [(&str, &str); 2] = [("file", "files"), ("sheet", "sheets")];

/// Lists that an answer adds to; any other list it replaces.
const ADDED_TO: [&str; 6] = ["fill_down", "empty", "ignore", "sum", "left out", "refunds"];

/// `text`, the text of a `project.toml`, with the `answers` in it, each some lines of TOML. A line that answers what stands there
/// already takes its place; nothing else is changed. `None` where one of them is not TOML.
pub fn with_answers<'a>(text: &str, answers: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let (mark, text) = match text.strip_prefix('\u{feff}') {
        Some(text) => ("\u{feff}", text),
        None => ("", text),
    };
    // Where lines end in two signs, those that are added do so too.
    let windows = text.contains("\r\n");
    let mut document: DocumentMut = text.parse().ok()?;
    let before = document.to_string();
    for answer in answers {
        let answer: DocumentMut = answer.parse().ok()?;
        merge(document.as_table_mut(), answer.as_table());
    }
    let mut written = document.to_string();
    if written == before {
        return Some(format!("{mark}{text}"));
    }
    if windows {
        written = written.replace("\r\n", "\n").replace('\n', "\r\n");
    }
    Some(format!("{mark}{written}"))
}

/// The dotted names of the settings that some lines of a `project.toml` set.
#[must_use]
pub fn set_by(lines: &str) -> Vec<String> {
    fn dotted(under: &str, table: &dyn TableLike, names: &mut Vec<String>) {
        for (key, item) in table.iter() {
            let name = if under.is_empty() { key.to_owned() } else { format!("{under}.{key}") };
            match item.as_table_like() {
                Some(inner) => dotted(&name, inner, names),
                None => names.push(name),
            }
        }
    }
    let mut names = Vec::new();
    if let Ok(lines) = lines.parse::<DocumentMut>() {
        dotted("", lines.as_table(), &mut names);
    }
    names
}

/// Whether the list called `name` is one that lines add to.
pub(super) fn adds_to(name: &str) -> bool {
    ADDED_TO.contains(&name)
}

/// Puts what `new` holds into `old`.
pub(super) fn merge(old: &mut dyn TableLike, new: &dyn TableLike) {
    for (name, item) in new.iter() {
        for (one, other) in EITHER.iter().flat_map(|&(one, other)| [(one, other), (other, one)]) {
            if name == one {
                old.remove(other);
            }
        }
        if let Some(made) = item.as_table_like().filter(|_| name == "set") {
            unmap(old, made);
        }
        if let (Some(known), Some(columns)) = (
            old.get_mut(name).and_then(Item::as_table_like_mut).filter(|_| name == "columns"),
            item.as_table_like(),
        ) {
            unhead(known, columns);
        }
        match old.get_mut(name) {
            Some(known) => put(known, name, item),
            None => insert(old, name, item),
        }
    }
}

/// Takes headings out of `known` that stand for a column for which `columns` names another.
fn unhead(known: &mut dyn TableLike, columns: &dyn TableLike) {
    let is_renamed =
        |item: &Item| columns.iter().any(|(_, new)| new.as_str().is_some() && new.as_str() == item.as_str());
    let old: Vec<String> = known
        .iter()
        .filter(|(heading, item)| is_renamed(item) && !columns.contains_key(heading))
        .map(|(heading, _)| heading.to_owned())
        .collect();
    for heading in &old {
        known.remove(heading);
    }
}

/// Takes the columns that are now `made` out of those that a heading stands for.
fn unmap(table: &mut dyn TableLike, made: &dyn TableLike) {
    let Some(columns) = table.get_mut("columns").and_then(Item::as_table_like_mut) else { return };
    let is_made = |item: &Item| item.as_str().is_some_and(|column| made.contains_key(column));
    let mapped: Vec<String> =
        columns.iter().filter(|(_, item)| is_made(item)).map(|(heading, _)| heading.to_owned()).collect();
    for heading in &mapped {
        columns.remove(heading);
    }
    if columns.is_empty() {
        table.remove("columns");
    }
}

/// Puts `item` where `known` stands under `name`.
fn put(known: &mut Item, name: &str, item: &Item) {
    if let (Some(list), Some(added)) = (known.as_array_mut(), item.as_array())
        && adds_to(name)
    {
        add(list, added);
        return;
    }
    match (known.as_table_like_mut(), item.as_table_like()) {
        (Some(table), Some(item)) => {
            merge(table, item);
            // On one line it is spaced anew; over several it may hold comments, and stays.
            if let Some(inline) =
                known.as_inline_table_mut().filter(|inline| !inline.to_string().contains('\n'))
            {
                inline.fmt();
            }
        }
        _ => {
            // What is written round the value, such as a remark behind it, stays.
            let decor = known.as_value().map(|value| value.decor().clone());
            *known = item.clone();
            if let (Some(value), Some(decor)) = (known.as_value_mut(), decor) {
                *value.decor_mut() = decor;
            }
        }
    }
}

fn add(list: &mut Array, added: &Array) {
    for value in added {
        let text = |value: &Value| value.as_str().map(str::to_owned);
        if !list.iter().any(|known| text(known) == text(value)) {
            list.push(text(value).unwrap_or_default());
        }
    }
}

/// Puts what is new at the end of `old`; a new section stands below all others.
fn insert(old: &mut dyn TableLike, name: &str, item: &Item) {
    match item.as_table() {
        Some(section) => {
            let mut new = Table::new();
            new.set_implicit(section.is_implicit());
            new.decor_mut().set_prefix("\n");
            merge(&mut new, section);
            old.insert(name, Item::Table(new));
        }
        None => {
            old.insert(name, item.clone());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SETTINGS: &str = "# Ours.\n[project]\nname = \"Top\" # as on the gate\n\n[tables.spending]\nfile = \"bank.csv\"   # from the bank\n\
        columns = { Day = \"date\" }\n\n[[target]] # the grant's\nid = \"a\"\n";

    fn with(answers: &[&str]) -> String {
        with_answers(SETTINGS, answers.iter().copied()).unwrap()
    }

    #[test]
    fn lines_are_added_where_they_belong_and_comments_stay() {
        let written = with(&[
            "[tables.spending]\nsign = \"out is negative\"",
            "[tables.spending]\ncolumns = { \"Paid to\" = \"payee\" }",
            "[names.species]\n\"Wattle\" = \"Acacia dealbata\"",
            "[tables.tallies]\nblank = { dead = 0 }",
            "[tables.tallies]\nblank = { missing = 0 }\nempty = [\"x\"]",
            "[tables.tallies]\nempty = [\"?\", \"x\"]",
        ]);
        assert_eq!(
            written,
            "# Ours.\n[project]\nname = \"Top\" # as on the gate\n\n[tables.spending]\nfile = \"bank.csv\"   # from the bank\n\
             columns = { Day = \"date\", \"Paid to\" = \"payee\" }\nsign = \"out is negative\"\n\n[tables.tallies]\n\
             blank = { dead = 0, missing = 0 }\nempty = [\"x\", \"?\"]\n\n[[target]] # the grant's\nid = \"a\"\n\n[names.species]\n\
             Wattle = \"Acacia dealbata\"\n"
        );
    }

    #[test]
    fn an_answer_takes_the_place_of_what_it_answers() {
        let written = with(&[
            "[tables.spending]\nfiles = [\"bank.csv\", \"card.csv\"]",
            "[project]\nname = \"Bottom\"",
        ]);
        assert!(written.contains("name = \"Bottom\" # as on the gate"), "{written}");
        assert!(
            !written.contains("file = ") && written.contains("files = [\"bank.csv\", \"card.csv\"]"),
            "{written}"
        );
    }

    #[test]
    fn a_column_that_is_made_is_no_longer_mapped() {
        let written = with(&["[tables.spending]\nset = { date = \"{Day}-07-01\" }"]);
        assert!(
            written.contains("set = { date = \"{Day}-07-01\" }") && !written.contains("columns"),
            "{written}"
        );
    }

    #[test]
    fn without_an_answer_no_byte_is_another() {
        for text in ["", "\u{feff}a=1\r\n# b\r\n", SETTINGS, "a = 1", "a = [1,\n 2 ]\n\n\n"] {
            assert_eq!(with_answers(text, []).as_deref(), Some(text));
        }
        assert_eq!(with_answers("a = ", []), None);
        let windows = with_answers("\u{feff}a=1\r\n", ["[b]\nc = 2"]).unwrap();
        assert_eq!(windows, "\u{feff}a=1\r\n\r\n[b]\r\nc = 2\r\n");
    }

    proptest::proptest! {
        #[test]
        fn what_is_written_is_read(column in "[a-zA-Z .#\"]{1,9}", value in "\\PC{0,9}") {
            let line = format!("[tables.works]\nvalues = {{ task = {{ {} = {} }} }}", crate::problem::key(&column), crate::problem::quoted(&value));
            let table: toml::Table = with(&[&line]).parse().unwrap();
            proptest::prop_assert_eq!(table["tables"]["works"]["values"]["task"][column.as_str()].as_str(), Some(value.as_str()));
        }
    }
}
