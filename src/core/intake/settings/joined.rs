//! A `project.toml` in which a section or a setting stands twice, as when lines were pasted beneath others: joined into one, line by line,
//! so that whatever else is wrong is said at once and under the lines that it stands in.

use std::collections::BTreeMap;

use toml_edit::{DocumentMut, Item, Table};

use crate::intake::settings::{
    choose::is_offer,
    placed::is_pasted_with_lines,
    written::{adds_to, merge},
};

/// The most lines that one setting is looked for in.
const LONGEST: usize = 400;

/// A text in which everything stands once.
pub(crate) struct Joined {
    /// The text.
    pub(crate) text: String,
    /// For each of its lines the line that it was, from 1.
    lines: Vec<u32>,
    /// What stood twice, in the order of the file.
    pub(crate) twice: Vec<Twice>,
}

impl Joined {
    /// The line that was the joined text's `line`.
    pub(crate) fn line(&self, line: u32) -> u32 {
        self.lines.get(line.saturating_sub(1) as usize).copied().unwrap_or(line)
    }
}

/// A section or a setting that stands twice.
pub(crate) struct Twice {
    /// Its name, as it is written.
    pub(crate) name: String,
    /// The lines of each, first and last, from 1.
    pub(crate) at: [(u32, u32); 2],
    /// What both say, in one.
    pub(crate) joined: String,
    /// Settings of which both say something else.
    pub(crate) unlike: Vec<String>,
}

/// Some lines of the text that belong together.
struct Piece {
    from: usize,
    to: usize,
    is: Is,
}

enum Is {
    /// An empty line or a comment.
    Nothing,
    /// The head of a section, under what it is known by.
    Head(String),
    /// A setting, under the first part of its name.
    Entry(String),
}

/// What a setting came to: its lines and the line that each was.
type Written = Vec<(String, u32)>;

/// A section as it was found: where its head stands, where its last line, and its settings by name.
struct Section {
    head: Option<usize>,
    last: usize,
    entries: BTreeMap<String, usize>,
    again: Option<(usize, usize)>,
}

/// `text` with everything once; `None` where nothing stands twice, or where the text is no TOML for another reason.
pub(crate) fn joined(text: &str) -> Option<Joined> {
    let lines: Vec<&str> = text.lines().collect();
    let pieces = pieces(&lines)?;
    let written = |piece: &Piece| -> Written {
        (piece.from..piece.to).map(|at| (lines[at].to_owned(), number(at))).collect()
    };
    let plain =
        |lines: &[(String, u32)]| lines.iter().map(|(line, _)| &**line).collect::<Vec<_>>().join("\n");
    let mut texts: Vec<Written> = pieces.iter().map(written).collect();
    let mut sections: BTreeMap<String, Section> = BTreeMap::new();
    let (mut here, mut repeats) = (String::new(), false);
    let mut moved: BTreeMap<usize, Written> = BTreeMap::new();
    let mut twice: Vec<(String, [usize; 2], Vec<String>)> = Vec::new();
    sections.insert(String::new(), Section { head: None, last: 0, entries: BTreeMap::new(), again: None });
    let mut offered = false;
    for (at, piece) in pieces.iter().enumerate() {
        offered &= matches!(piece.is, Is::Nothing) && lines[piece.from].starts_with('#');
        match &piece.is {
            Is::Nothing if is_pasted_with_lines(lines[piece.from]) => texts[at].clear(),
            // Lines to choose from were pasted too, and are offered anew while they are open.
            Is::Nothing if is_offer(lines[piece.from]) => {
                offered = true;
                texts[at].clear();
            }
            Is::Nothing if offered && lines[piece.from].starts_with("# ") => texts[at].clear(),
            Is::Nothing => {}
            Is::Head(id) => {
                here.clone_from(id);
                repeats = sections.contains_key(id);
                let section = sections.entry(id.clone()).or_insert(Section {
                    head: Some(at),
                    last: at,
                    entries: BTreeMap::new(),
                    again: None,
                });
                if repeats {
                    section.again = Some((at, at));
                    texts[at].clear();
                    let head = plain(&written(&pieces[section.head.unwrap_or(at)]));
                    twice.push((head, [section.head.unwrap_or(at), at], Vec::new()));
                }
            }
            Is::Entry(name) => {
                let section = sections.get_mut(&here)?;
                if let Some((_, last)) = section.again.as_mut().filter(|_| repeats) {
                    *last = at;
                }
                match section.entries.get(name) {
                    None if repeats => {
                        section.entries.insert(name.clone(), at);
                        let lines = std::mem::take(&mut texts[at]);
                        moved.entry(section.last).or_default().extend(lines);
                        // What comes to it later is joined where it now stands.
                    }
                    None => {
                        section.entries.insert(name.clone(), at);
                        section.last = at;
                    }
                    Some(&first) => {
                        let (one, unlike) = both(&plain(&texts[first]), &plain(&texts[at]))?;
                        let line = texts[first].first().map_or(number(pieces[first].from), |(_, line)| *line);
                        texts[first] = one.lines().map(|text| (text.to_owned(), line)).collect();
                        texts[at].clear();
                        match twice.last_mut().filter(|_| repeats) {
                            Some((.., differs)) => differs.extend(unlike),
                            None => twice.push((name.clone(), [first, at], unlike)),
                        }
                    }
                }
            }
        }
    }
    if twice.is_empty() {
        return None;
    }
    let now = |at: usize| -> Written {
        texts[at].iter().chain(moved.get(&at).into_iter().flatten()).cloned().collect()
    };
    let twice = twice.into_iter().map(|(name, [one, other], unlike)| {
        let (to, again) = match &pieces[one].is {
            Is::Head(id) => {
                let section = sections.get(id);
                let last = section.map_or(one, |section| section.last);
                (last, section.and_then(|section| section.again).map_or(other, |(_, last)| last))
            }
            _ => (one, other),
        };
        let joined: Written = (one..=to).flat_map(now).collect();
        let span = |from: usize, to: usize| (number(pieces[from].from), number(pieces[to].to - 1));
        Twice { name, at: [span(one, to), span(other, again)], joined: plain(&joined), unlike }
    });
    let twice = twice.collect();
    let all: Written = (0..pieces.len()).flat_map(now).collect();
    let mut text = plain(&all);
    text.push('\n');
    text.parse::<DocumentMut>().ok()?;
    Some(Joined { text, lines: all.into_iter().map(|(_, line)| line).collect(), twice })
}

fn number(at: usize) -> u32 {
    u32::try_from(at + 1).unwrap_or(u32::MAX)
}

/// The text in pieces; `None` where one of them is no TOML by itself.
fn pieces(lines: &[&str]) -> Option<Vec<Piece>> {
    let mut pieces = Vec::new();
    let mut lists: BTreeMap<String, usize> = BTreeMap::new();
    let mut from = 0;
    while from < lines.len() {
        let line = lines[from].trim();
        if line.is_empty() || line.starts_with('#') {
            pieces.push(Piece { from, to: from + 1, is: Is::Nothing });
            from += 1;
            continue;
        }
        let (to, document) = (from + 1..=lines.len().min(from + LONGEST))
            .find_map(|to| Some((to, lines[from..to].join("\n").parse::<DocumentMut>().ok()?)))?;
        let is = match line.strip_prefix('[') {
            Some(inner) => Is::Head(known_by(document.as_table(), inner.starts_with('['), &mut lists)),
            None => Is::Entry(dotted(document.as_table())?),
        };
        pieces.push(Piece { from, to, is });
        from = to;
    }
    Some(pieces)
}

/// The name of the only setting, with all its parts.
fn dotted(table: &Table) -> Option<String> {
    let (name, item) = table.iter().next()?;
    match item.as_table().filter(|inner| inner.is_dotted()) {
        Some(inner) => Some(format!("{name:?}.{}", dotted(inner)?)),
        None => Some(name.to_owned()),
    }
}

/// What a section is known by: its path, in which every list is numbered by how often it has begun.
fn known_by(head: &Table, begins: bool, lists: &mut BTreeMap<String, usize>) -> String {
    let (mut path, mut plain) = (String::new(), Vec::new());
    let mut table = head;
    while let Some((name, item)) = table.iter().next() {
        plain.push(name.to_owned());
        path.push_str(&format!("{name:?}."));
        let bare = plain.join("\u{0}");
        let inner = match item {
            Item::ArrayOfTables(list) => list.iter().next(),
            item => item.as_table(),
        };
        let last = inner.is_none_or(Table::is_empty);
        if last && begins {
            *lists.entry(bare.clone()).or_default() += 1;
        }
        if let Some(number) = lists.get(&bare) {
            path.push_str(&format!("{number}."));
        }
        match inner {
            Some(inner) => table = inner,
            None => break,
        }
    }
    path
}

/// Two settings of one name in one, and what they say otherwise than one another.
fn both(one: &str, other: &str) -> Option<(String, Vec<String>)> {
    let mut document: DocumentMut = one.parse().ok()?;
    let new: DocumentMut = other.parse().ok()?;
    let mut unlike = Vec::new();
    differ("", document.as_table(), new.as_table(), &mut unlike);
    merge(document.as_table_mut(), new.as_table());
    Some((document.to_string().trim_end().to_owned(), unlike))
}

/// Names of which the two say something else, and no list that one adds to.
fn differ(
    under: &str,
    one: &dyn toml_edit::TableLike,
    other: &dyn toml_edit::TableLike,
    unlike: &mut Vec<String>,
) {
    for (name, item) in other.iter() {
        let Some(known) = one.get(name) else { continue };
        let dotted = if under.is_empty() { name.to_owned() } else { format!("{under}.{name}") };
        match (known.as_table_like(), item.as_table_like()) {
            (Some(known), Some(item)) => differ(&dotted, known, item, unlike),
            _ if adds_to(name) && known.is_array() && item.is_array() => {}
            _ if known.to_string().trim() == item.to_string().trim() => {}
            _ => unlike.push(dotted),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TWICE: &str = "# Ours.\n[project]\nname = \"Top\"\n\n[tables.spending]\nfile = \"bank.csv\" # the bank's\ncolumns = { Day = \"date\" }\n\n\
        [[target]]\nid = \"a\"\n[[target]]\nid = \"b\"\n\n[tables.spending]\ncolumns = { Sum = \"amount\" }\nsign = \"out is negative\"\n\
        fill_down = [\n  \"Day\",\n]\n";

    #[test]
    fn a_section_that_stands_twice_is_one_of_what_both_say() {
        let joined = joined(TWICE).unwrap();
        assert_eq!(
            joined.text,
            "# Ours.\n[project]\nname = \"Top\"\n\n[tables.spending]\nfile = \"bank.csv\" # the bank's\n\
             columns = { Day = \"date\", Sum = \"amount\" }\nsign = \"out is negative\"\nfill_down = [\n  \"Day\",\n]\n\n\
             [[target]]\nid = \"a\"\n[[target]]\nid = \"b\"\n\n"
        );
        let [twice] = joined.twice.as_slice() else { panic!("{}", joined.twice.len()) };
        assert_eq!(
            (twice.name.as_str(), twice.at, twice.unlike.len()),
            ("[tables.spending]", [(5, 7), (14, 19)], 0)
        );
        assert!(
            twice.joined.starts_with("[tables.spending]\nfile") && twice.joined.ends_with("]"),
            "{}",
            twice.joined
        );
        assert_eq!([1, 7, 8, 13, 15].map(|line| joined.line(line)), [1, 7, 16, 9, 11]);
    }

    #[test]
    fn a_setting_that_stands_twice_is_joined_where_it_stood_first() {
        let text = "[tables.works]\ncolumns = { A = \"date\" }\nfile = \"a.csv\"\nfile = \"b.csv\"\ncolumns = { B = \"task\" }\n";
        let joined = joined(text).unwrap();
        assert_eq!(
            joined.text,
            "[tables.works]\ncolumns = { A = \"date\", B = \"task\" }\nfile = \"b.csv\"\n"
        );
        let twice: Vec<_> = joined.twice.iter().map(|one| (one.at, one.unlike.join(" "))).collect();
        assert_eq!(twice, [([(3, 3), (4, 4)], "file".to_owned()), ([(2, 2), (5, 5)], String::new())]);
    }

    #[test]
    fn what_is_no_toml_or_stands_once_is_left() {
        for text in [
            "",
            "a = 1\n",
            "[[a]]\nb = 1\n[a.c]\nd = 1\n[[a]]\nb = 2\n[a.c]\nd = 2\n",
            "a = \nb = 1\na = 2\n",
            "a.b = 1\na.c = 1\n",
        ] {
            assert!(joined(text).is_none(), "{text}");
        }
    }
}
