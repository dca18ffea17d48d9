//! The table of coverage, a line for each kind of population.

use rand::{SeedableRng, rngs::StdRng};

/// What an estimator says of one survey.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Said {
    pub(crate) interval: (f64, f64),
    /// What a verdict has to hold to besides.
    pub(crate) cautious: Option<(f64, f64)>,
    /// What a textbook says of the same.
    pub(crate) textbook: Option<(f64, f64)>,
}

/// Which side of a target is right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Asked {
    AtLeast,
    AtMost,
}

/// Prints lines as they come.
pub(crate) struct Table {
    replicates: u64,
    lines: u64,
    only: Option<String>,
}

impl Table {
    pub(crate) fn new(replicates: u64, only: Option<String>) -> Table {
        println!(
            "{replicates} replicates a line; a coverage of 90 % is known to ±{:.1} points (one standard error)\n",
            100.0 * (0.09 / replicates as f64).sqrt()
        );
        println!(
            "| figure | population | covers, % | truth below; above, % | no interval, % | width over truth | met in error, % | textbook: covers, % | width over its |"
        );
        println!("|---|---|---|---|---|---|---|---|---|");
        Table { replicates, lines: 0, only }
    }

    /// One line: `survey` makes a population, surveys it, and gives the truth and what is said of it.
    pub(crate) fn line(
        &mut self,
        figure: &str,
        population: &str,
        asked: Asked,
        survey: impl Fn(&mut StdRng) -> (f64, Option<Said>),
    ) {
        self.lines += 1;
        if self.only.as_ref().is_some_and(|only| !figure.contains(only)) {
            return;
        }
        let mut chance = StdRng::seed_from_u64(0x6869_6c6c ^ (self.lines << 32));
        let (mut below, mut above, mut met, mut width, mut silent, mut truths) =
            (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
        let (mut other, mut other_holds, mut other_width, mut ours) = (0.0f64, 0.0, 0.0, 0.0);
        for _ in 0..self.replicates {
            let (truth, said) = survey(&mut chance);
            truths += truth.abs();
            let Some(Said { interval, cautious, textbook }) = said else {
                silent += 1.0;
                continue;
            };
            let hair = 1e-9 * truth.abs().max(1e-9);
            below += f64::from(u8::from(truth < interval.0 - hair));
            above += f64::from(u8::from(truth > interval.1 + hair));
            width += interval.1 - interval.0;
            if let Some(ends) = textbook {
                other += 1.0;
                other_holds += f64::from(u8::from(ends.0 - hair <= truth && truth <= ends.1 + hair));
                other_width += ends.1 - ends.0;
                ours += interval.1 - interval.0;
            }
            // The truth lies just on the wrong side of what was asked.
            let right = |ends: (f64, f64)| match asked {
                Asked::AtLeast => ends.0 > truth + hair,
                Asked::AtMost => ends.1 < truth - hair,
            };
            met += f64::from(u8::from(right(interval) && cautious.is_none_or(right)));
        }
        let all = self.replicates as f64;
        let told = (all - silent).max(1.0);
        println!(
            "| {figure} | {population} | {:.1} | {:.1}; {:.1} | {:.1} | {:.3} | {:.1} | {:.1} | {:.2} |",
            100.0 * (1.0 - (below + above) / told),
            100.0 * below / told,
            100.0 * above / told,
            100.0 * silent / all,
            width / told / (truths / all).max(1e-12),
            100.0 * met / all,
            100.0 * other_holds / other.max(1.0),
            ours / other_width,
        );
    }
}
