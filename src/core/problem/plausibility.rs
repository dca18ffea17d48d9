//! Plausibility: values that no planting has, and rows that could as well mean something else.

use crate::problem::{
    answer::{Answer, to_paste},
    kinds,
};

kinds! {
    /// What is not believed without being asked about, with the arithmetic that raised the doubt.
    Plausibility {
        /// Days whose day and month stand in each other's place in part of a table.
        #[error("{}", swapped(.what, *.count, .example, .meant, *.alone))]
        Doubt "days-and-months-swapped" DaysAndMonthsSwapped {
            what: &'static str, count: usize, example: String, meant: String, alone: bool
        } => "look the days up in the book, and write them as 2025-03-01: a spreadsheet swaps those that it can read in its own order, and \
            leaves the rest";
        /// A row that stands a second time with another note, or with its day written in another way.
        #[error("the row is row {first} once more but for {but}; both are counted")]
        Doubt "row-again" RowAgain { first: String, but: &'static str }
            => "take one out if it was entered twice";
        /// A target that asks another number than its words.
        #[error("target {id} asks {asked}, and no number of its words is that: “{words}”")]
        Doubt "target-against-its-words" TargetAgainstItsWords { id: String, words: String, asked: String }
            => "look it up in the agreement, and write the same number in both";
        /// A benchmark that counts other stems than the plots do.
        #[error("`{words}`: the benchmark counts stems above a height, and what is held against it are all living stems")]
        Doubt "benchmark-of-tall-stems" BenchmarkOfTallStems { words: String }
            => "give the benchmark of all living stems, or take the row out";
        /// Infill by its note, which does not say which batch it replaces.
        #[error("the note says `{word}`, and `replaces` is empty: the {stems} stems count as planted besides those that died, and in no \
            count of infill")]
        Doubt "infill-without-batch" InfillWithoutBatch { word: String, stems: u64 }
            => "under `replaces` write the batch whose dead stems it replaces; if it is none, nothing to do";
        /// A receipt's number that stands twice, for sums that are not parts of one receipt.
        #[error("receipt {receipt} stands already in row {first}, {}; both are counted, {sum} together", .differs)]
        Doubt "receipt-number-twice" ReceiptNumberTwice {
            receipt: String, first: u32, differs: String, sum: String
        } => "correct the number, or take one out if it was paid once";
        /// Tax with another sign than the amount that it is in.
        #[error("tax of {tax} in an amount of {amount}: one is paid and the other got back")]
        Error "tax-against-amount" TaxAgainstAmount { tax: String, amount: String }
            => "give both the same sign: a payment has both above zero, a refund both below";
        /// More tax than any rate makes of an amount that holds it.
        #[error("tax of {tax} is {share} of the amount of {amount} that it is in; the highest rate, 27 % of the price without it, makes 21.3 %")]
        Error "tax-beyond-share" TaxBeyondShare { tax: String, amount: String, share: String }
            => "the amount is the whole sum on the receipt, tax included; check that the columns are not in each other's place";
        /// Hours of work that do not say who gave them.
        #[error("of {of} rows of work, {} without the basis on which it was done; the {hours} person hours count as \
            paid{}", rows_of(*.rows), .others)]
        Doubt "basis-empty" BasisEmpty { rows: usize, of: usize, hours: String, others: String }
            => "write paid, volunteer or in kind under `basis`";
        /// Hours of work that do not say of how many people.
        #[error("of {of} rows of {work}, {} without how many people worked, {others}", rows_of(*.rows))]
        Doubt "people-empty" PeopleEmpty { rows: usize, of: usize, work: &'static str, others: String, answer: &'static str }
            => to_paste("write how many worked; if the hours are of one person or of all together, in project.toml:", vec![
                Answer::of("tables.works", *answer),
            ]);
        /// Strata of which nobody knows how large they are.
        #[error("the plots of {area} stand in several strata ({plots}) and not each has a size of the same kind; they are taken together, so that a part \
            with many plots counts for more than its share of the ground")]
        Doubt "strata-without-size" StrataWithoutSize { area: String, plots: String }
            => "give every plot of the area a stratum, and each stratum its size under `stratum_ha` or `stratum_stems`: the hectares of it, or the stems planted in it";
        /// Strata larger than what they are parts of.
        #[error("the strata of {area} come to {sum} ha, and the area has {whole} ha")]
        Doubt "strata-beyond-area" StrataBeyondArea { area: String, sum: String, whole: String }
            => "write the size of each stratum in hectares; of a stratum that reaches into two areas, the part in each";
        /// A line that is drawn twice.
        #[error("{shared} m of this {kind} run within {tolerance} m of shape {first}, which is a {kind} too; both count, \
            {sum} m together")]
        Doubt "line-drawn-twice" LineDrawnTwice {
            kind: &'static str, first: u32, shared: String, tolerance: String, sum: String
        } => "take one out if it is one line; name the two differently in the layer if they are two";
        /// One tag on two stems.
        #[error("tag {tag} of plot {plot} stands already in row {first} on the same day; the two rows count as {counted}")]
        Doubt "tag-twice" TagTwice { tag: String, plot: String, first: u32, counted: &'static str }
            => "correct the tag, take one row out, or number the stems of one tree in the column `stem`";
        /// A survey that left out many of the plots that an earlier one went to.
        #[error("of {of} plots surveyed before, {seen} were visited in the latest survey ({when}); of the other {} its \
            figures say nothing", .of - .seen)]
        Doubt "plots-not-revisited" PlotsNotRevisited { of: usize, seen: usize, when: String }
            => "add the sheets that are missing, or say in the report why those plots were not visited";
        /// Plots of the list that no survey went to.
        #[error("of {of} plots in the list this one was never counted; what stands in it is in no figure")]
        Doubt "plots-never-counted" PlotsNeverCounted { of: usize }
            => "add the sheets that are missing, or take the plot out of the list if it was never laid out; a plot left out because it did badly \
                makes the others look better than the ground";
        /// Planted stems that come back to life.
        #[error("plot {plot} has {later} planted stems alive on {day}, {earlier} on {before}, and nothing was planted in \
            {area} between; {missing} were missing then")]
        Doubt "survival-rises" SurvivalRises {
            plot: String, later: u64, day: String, earlier: u64, before: String, area: String, missing: u64
        } => "count self-sown stems as recruits, log the infill in plantings, or correct the earlier count";
        /// Two words that are one but for a slip, and split a figure.
        #[error("`{one}` and `{other}` differ in a letter or two and count apart: {counts}")]
        Doubt "words-alike" WordsAlike { one: String, other: String, counts: String }
            => "write it in one way where one thing is meant";
        /// More stems in a plot, or fewer, than the planting log can explain.
        #[error("{set}, {in_plot} a hectare; the log has {in_log} a hectare of {area}{}", .explained)]
        Doubt "plot-against-log" PlotAgainstLog {
            set: String, in_plot: String, in_log: String, area: String, explained: String
        } => "check the plot's size and its counts, the area's boundary, and that the log is whole";
        /// A plot larger than plots are.
        #[error("plot {plot} has a radius of {radius} m, {size} m²; with a tenth of it, {tenth} m, it would have \
            {tenth_size} m²")]
        Doubt "plot-beyond-belief" PlotBeyondBelief {
            plot: String, radius: String, size: String, tenth: String, tenth_size: String
        } => "check the decimal point and the unit";
        /// A plot that its area has no room for.
        #[error("plot {plot} has {plot_size} m², {area} in which it lies {area_size} m²")]
        Doubt "plot-larger-than-area" PlotLargerThanArea {
            plot: String, plot_size: String, area: String, area_size: String
        } => "check the plot's measures and the boundary: one of them may be in another unit";
        /// Stems stand closer than they grow.
        #[error("{alive} stems alive in plot {plot} of {size} m² are {each} m² for each{}", .explained)]
        Doubt "stems-too-close" StemsTooClose { alive: u64, plot: String, size: String, each: String, explained: String }
            => "check the count and the plot's size";
        /// Measures that read as if they stood in another unit than their column says.
        #[error("the middle one of {count} {what} is {median}, {why}; {likely}")]
        Doubt "another-unit-likely" AnotherUnitLikely {
            what: &'static str, median: String, count: usize, why: String, likely: String
        } => "name the unit in the heading, such as height_m, height_cm, diameter_mm or diameter_cm; divide a girth by 3.1416";
        /// A stem whose height and diameter can't go together.
        #[error("a diameter of {diameter} mm at {height} m of height; {other} mm would go with it")]
        Doubt "stem-out-of-shape" StemOutOfShape { diameter: String, height: String, other: String }
            => "check the decimal point and the unit of both";
        /// A column of girths that is taken for diameters.
        #[error("`{heading}` reads as a girth and is taken as a diameter, which is less by 3.14")]
        Doubt "girth-as-diameter" GirthAsDiameter { heading: String }
            => "divide the girths by 3.1416, or rename the heading if they are diameters";
        /// Per cents that read as fractions.
        #[error("{}", fractions(.what, *.count, .mean, .fraction))]
        Doubt "fractions-as-percent" FractionsAsPercent {
            what: &'static str, count: usize, mean: String, fraction: String
        } => "write 40 for 40 %, not 0.4";
        /// Covers of one layer that make far more than the whole ground.
        #[error("the covers of the {layer} layer of plot {plot} on {date} make {sum} % together{}", .holds)]
        Doubt "cover-beyond-whole" CoverBeyondWhole {
            layer: &'static str, plot: String, date: String, sum: String, holds: String
        } => "correct the readings; where one class holds another (such as `native` and `native grass`), give the parts or the \
            whole";
        /// Numbers that stand for a missing reading of rain.
        #[error("{count} days bear {mark} mm, which many records write where nothing was read; taken as not read: {with} mm \
            would have fallen in all with them, {without} mm without")]
        Doubt "rain-hole-value" RainHoleValue { count: usize, mark: String, with: String, without: String }
            => "leave the cell empty where nothing was read";
        /// More rain in a day than nearly any station has seen.
        #[error("{mm} mm in a day is more than nearly any station has seen; it counts, {with} mm in all with it, {without} \
            mm without{}", .tenth)]
        Doubt "rain-beyond-belief" RainBeyondBelief { mm: String, with: String, without: String, tenth: String }
            => "check the decimal point and the unit; leave the cell empty where nothing was read";
        /// Rain of several gauges in one table.
        #[error("the table holds {}, and a day can count once", .stations)]
        Error "rain-of-stations" RainOfStations { stations: String }
            => "keep the rows of one station, the one nearest to the site, and take the others out";
        /// Rows and files of the folder that `new` writes.
        #[error("{what} of the invented example that `hillfolio new` writes, unchanged")]
        Doubt "starter-row" StarterRow { what: &'static str } => "take it out, or write your own over it";
        /// Hours of each person that no day has.
        #[error("{}", day_of_work(.hours, *.people, .sum))]
        Doubt "hours-beyond-a-day" HoursBeyondADay { hours: String, people: u32, sum: String }
            => "under `hours` write the hours of each person; give a row to each day";
        /// A name that stands for several species.
        #[error("`{found}` reads as a group of plants, and counts as one species")]
        Doubt "group-as-species" GroupAsSpecies { found: String }
            => "write yes under `group`: its stems count, and it counts as no species; write no if it is one species";
        /// The same, and not in the list of species.
        #[error("`{found}` names a group of plants, not a species")]
        Error "group-unknown" GroupUnknown { found: String }
            => format!("add `{found}` to species.csv with yes under `group`: its stems count, and it counts as no species");
    }
}

/// Rows whose day and month are likely changed over: because they stand alone, or lie outside the period.
fn swapped(what: &str, count: usize, example: &str, meant: &str, alone: bool) -> String {
    let one = count == 1;
    let why = match (alone, one) {
        (true, true) => "that day belongs to no survey, while a survey lacks just its plot",
        (true, false) => "those days belong to no survey, while a survey lacks just their plots",
        (false, true) => "that day lies outside the reporting period, and the row is left out of it",
        (false, false) => "those days lie outside the reporting period, and the rows are left out of it",
    };
    let rows = if one { format!("a row of {what}") } else { format!("{count} rows of {what}") };
    format!("day and month swapped? {example} would be {meant} in {rows}; {why}")
}

/// Readings that can only be fractions.
fn fractions(what: &str, count: usize, mean: &str, fraction: &str) -> String {
    match count {
        1 => format!("{what} is {mean} %; as a fraction it would be {fraction} %"),
        _ => format!(
            "all {count} readings of {what} lie from 0 to 1 per cent, {mean} % in the mean; as fractions they would be \
             {fraction} %"
        ),
    }
}

/// `1 row` or `3 rows`.
fn rows_of(rows: usize) -> String {
    format!("{rows} row{}", if rows == 1 { "" } else { "s" })
}

/// More hours than a day has.
fn day_of_work(hours: &str, people: u32, sum: &str) -> String {
    match people {
        1 => format!("{hours} hours of one person on one day"),
        _ => format!(
            "{hours} hours of each of {people} people on one day are {sum} person hours; if they are the hours of all together, \
             {hours} would count"
        ),
    }
}
