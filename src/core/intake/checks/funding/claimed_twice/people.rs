//! People, as one is told from another however the name is written.

use std::collections::{BTreeMap, BTreeSet};

use crate::{intake::nearest::folded, project::Project};

/// Everybody whom the works log names, each under the longest writing of the name.
pub(super) struct People {
    /// The name as written, folded, and the one that it stands for.
    called: BTreeMap<String, String>,
}

impl People {
    pub(super) fn of(project: &Project) -> People {
        let names = project.works.iter().filter_map(|row| row.person.as_deref()).map(folded);
        let names: BTreeSet<String> = names.filter(|name| !name.is_empty()).collect();
        // Each person's name in the order in which it is spoken.
        let spoken: BTreeSet<String> = names.iter().map(|name| words(name).join(" ")).collect();
        // A short name that fits two people stands for neither.
        let stands_for = |name: &String| {
            let short = words(name).join(" ");
            let mut longer = spoken.iter().filter(|long| **long != short && shortens(&short, long));
            let only = longer.next().filter(|_| longer.next().is_none()).cloned();
            only.unwrap_or(if name.contains(',') { short } else { name.clone() })
        };
        let called = names.iter().map(|name| (name.clone(), stands_for(name))).collect();
        People { called }
    }

    /// Who is meant by `name`.
    pub(super) fn who(&self, name: &str) -> String {
        let name = folded(name);
        self.called.get(&name).cloned().unwrap_or(name)
    }
}

/// The words of a name, that of the family last: `Marl, Perrin` is `Perrin Marl`.
fn words(name: &str) -> Vec<String> {
    let name = match name.split_once(',') {
        Some((family, given)) => format!("{given} {family}"),
        None => name.to_owned(),
    };
    let words = name.split(|letter: char| !letter.is_alphanumeric() && letter != '\'');
    words.filter(|word| !word.is_empty()).map(str::to_owned).collect()
}

/// Whether `short` is `long` with initials in the place of given names, in another order, or the given name alone.
fn shortens(short: &str, long: &str) -> bool {
    let (short, long) = (words(short), words(long));
    let letters = |words: &[String]| words.iter().map(String::len).sum::<usize>();
    let (Some((family, given)), Some((long_family, long_given))) = (short.split_last(), long.split_last())
    else {
        return false;
    };
    if given.is_empty() {
        return !long_given.is_empty() && long_given.first() == Some(family);
    }
    let fits = |(one, other): (&String, &String)| one == other || one.len() == 1 && other.starts_with(&**one);
    family == long_family
        && given.len() <= long_given.len()
        && given.iter().zip(long_given).all(fits)
        && (letters(&short) < letters(&long) || short == long)
}

#[cfg(test)]
mod tests {
    use crate::intake::checks::funding::claimed_twice::people::shortens;

    #[test]
    fn a_name_with_initials_is_that_of_one_person() {
        for short in ["p. marl", "p marl", "marl, p.", "perrin", "marl, perrin"] {
            assert!(shortens(short, "perrin marl"), "{short}");
        }
        for other in ["i. marl", "p. marlow", "marl", "perrin alder", "perrine marl"] {
            assert!(!shortens(other, "perrin marl"), "{other}");
        }
    }
}
