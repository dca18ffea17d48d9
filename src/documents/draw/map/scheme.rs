//! How values of the ground are parted into classes, and the colour of each.
//!
//! Colours fall in lightness from class to class, so that they hold in grey print and for the colour-blind. Slope classes are
//! cool below 12°, yellow from 12° and red from 15°, with a step of lightness at both that is wider than any other.

use hillfolio_core::{
    terrain::class_of,
    units::{Degrees, number},
};

/// Colours of slopes below 12°, gentlest first.
const GENTLE: [&str; 7] = ["#f7faf3", "#eef5f0", "#e4efec", "#dbe9e8", "#d1e4e3", "#c8dee0", "#bfd9db"];
/// Colours of slopes from 12° to under 15°.
const TWELVE: [&str; 3] = ["#e0b643", "#deae39", "#d9a62f"];
/// Colours of slopes from 15° on.
const FIFTEEN: [&str; 7] = ["#d27146", "#c16a4f", "#b16357", "#a05c5e", "#8f5565", "#804d6c", "#6f4571"];
/// Colours of soil loss, least first.
const LOSS: [&str; 7] = ["#faf5e6", "#f0e2bc", "#e2c88c", "#cfa362", "#b37a42", "#8a512d", "#56301f"];

/// Where the classes of soil loss begin, t/(ha.yr): each about twice the one before.
const LOSS_BREAKS: [f64; 6] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0];

/// The slopes at which common practice changes what machines and people do (common practice, no source).
const PRACTICE: [f64; 2] = [12.0, 15.0];

/// A class of coloured ground: its place among the colours of all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Tint(u8);

impl Tint {
    /// Its colour.
    #[must_use]
    pub fn colour(self) -> &'static str {
        let colours = GENTLE.iter().chain(&TWELVE).chain(&FIFTEEN).chain(&LOSS);
        colours.copied().nth(usize::from(self.0)).unwrap_or("#ffffff")
    }
}

/// Classes with their tints and words.
#[derive(Debug, Clone, PartialEq)]
pub struct Scheme {
    breaks: Vec<Degrees>,
    tints: Vec<Tint>,
    words: Vec<String>,
}

impl Scheme {
    /// The scheme of slopes that part at `breaks`.
    #[must_use]
    pub fn slope(breaks: &[Degrees]) -> Scheme {
        let bounds: Vec<f64> = breaks.iter().map(|one| one.0).collect();
        let froms: Vec<f64> = std::iter::once(0.0).chain(bounds.iter().copied()).collect();
        let kind = |from: f64| PRACTICE.iter().filter(|limit| from >= **limit - 1e-6).count();
        let kinds: Vec<usize> = froms.iter().map(|from| kind(*from)).collect();
        let tints = kinds.iter().enumerate().map(|(at, &kind)| {
            let rank = kinds[..at].iter().filter(|one| **one == kind).count();
            let of = kinds.iter().filter(|one| **one == kind).count();
            let (first, colours) = match kind {
                0 => (0, GENTLE.len()),
                1 => (GENTLE.len(), TWELVE.len()),
                _ => (GENTLE.len() + TWELVE.len(), FIFTEEN.len()),
            };
            tint(first + spread(rank, of, colours))
        });
        Scheme { breaks: breaks.to_vec(), tints: tints.collect(), words: words(&bounds, "°") }
    }

    /// The scheme of soil loss.
    #[must_use]
    pub fn loss() -> Scheme {
        let first = GENTLE.len() + TWELVE.len() + FIFTEEN.len();
        Scheme {
            breaks: LOSS_BREAKS.map(Degrees).to_vec(),
            tints: (0..LOSS.len()).map(|at| tint(first + at)).collect(),
            words: words(&LOSS_BREAKS, " t/(ha.yr)"),
        }
    }

    /// Every class, lowest first: its tint and its words.
    pub fn classes(&self) -> impl Iterator<Item = (Tint, &str)> {
        self.tints.iter().copied().zip(self.words.iter().map(String::as_str))
    }

    /// The class of `value`, counted from 0; a value on a break belongs to the higher class.
    #[must_use]
    pub fn class(&self, value: f64) -> usize {
        class_of(Degrees(value), &self.breaks)
    }
}

fn tint(place: usize) -> Tint {
    Tint(u8::try_from(place).unwrap_or(u8::MAX))
}

/// The place among `colours` of the `rank`th of `of` classes, spread over all of them.
fn spread(rank: usize, of: usize, colours: usize) -> usize {
    match of {
        0 | 1 => 0,
        of if of <= colours => (2 * rank * (colours - 1) + of - 1) / (2 * (of - 1)),
        of => rank * colours / of,
    }
}

/// `under 3°`, `3–6°`, …, `25° and over`.
fn words(breaks: &[f64], unit: &str) -> Vec<String> {
    let print = |value: f64| {
        let text = number(value, 1);
        text.strip_suffix(".0").map(str::to_owned).unwrap_or(text)
    };
    let (Some(first), Some(last)) = (breaks.first(), breaks.last()) else { return vec!["all".to_owned()] };
    let mut words = vec![format!("under {}{unit}", print(*first))];
    words.extend(
        breaks.windows(2).map(|pair| format!("{} to under {}{unit}", print(pair[0]), print(pair[1]))),
    );
    words.push(format!("{}{unit} and over", print(*last)));
    words
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::palette::lightness;

    fn lightnesses(scheme: &Scheme) -> Vec<f64> {
        scheme.classes().map(|(tint, _)| lightness(tint.colour())).collect()
    }

    #[test]
    fn colours_fall_in_lightness_and_twelve_and_fifteen_stand_out() {
        let practice = [3.0, 6.0, 9.0, 12.0, 15.0, 20.0, 25.0].map(Degrees);
        let slopes = Scheme::slope(&practice);
        let light = lightnesses(&slopes);
        let steps: Vec<f64> = light.windows(2).map(|pair| pair[0] - pair[1]).collect();
        assert!(steps.iter().all(|step| *step > 2.5), "{light:?}");
        // The fifth class begins at 15 degrees.
        let widest = steps.iter().copied().fold(0.0, f64::max);
        assert!((steps[4] - widest).abs() < 1e-9 && widest > 12.0, "{steps:?}");
        assert!(lightnesses(&Scheme::loss()).windows(2).all(|pair| pair[0] - pair[1] > 5.0));
    }

    #[test]
    fn any_breaks_keep_twelve_and_fifteen_apart() {
        for breaks in [vec![], vec![12.0, 15.0], vec![2.0, 15.0, 40.0], (1..=15).map(f64::from).collect()] {
            let breaks: Vec<Degrees> = breaks.into_iter().map(Degrees).collect();
            let scheme = Scheme::slope(&breaks);
            assert_eq!(scheme.classes().count(), breaks.len() + 1);
            let steep = scheme.classes().nth(scheme.class(15.0)).map(|(tint, _)| lightness(tint.colour()));
            let gentle = scheme.classes().nth(scheme.class(1.0)).map(|(tint, _)| lightness(tint.colour()));
            assert!(breaks.is_empty() || steep < gentle, "{breaks:?}");
        }
    }

    #[test]
    fn classes_are_said_in_words() {
        let scheme = Scheme::slope(&[12.0, 15.5].map(Degrees));
        let words: Vec<&str> = scheme.classes().map(|(_, words)| words).collect();
        assert_eq!(words, ["under 12°", "12 to under 15.5°", "15.5° and over"]);
    }
}
