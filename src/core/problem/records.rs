//! Plantings, surveys and works that contradict themselves or one another.

use crate::problem::{
    Help,
    answer::{Answer, key, quoted, to_choose, to_paste},
    counted, did_you_mean, kinds,
};

kinds! {
    /// What is wrong with a record.
    Records {
        /// An id that names nothing.
        #[error("no {what} is called `{found}`")]
        Error "id-unknown" IdUnknown { what: &'static str, found: String, nearest: Option<String> }
            => renamed(nearest, found, what, "correct the name, or add it to its own file");
        /// An id used twice.
        #[error("{what} `{id}` stands already in row {first}")]
        Error "id-twice" IdTwice { what: &'static str, id: String, first: u32 } => "give each its own id";
        /// The same row twice.
        #[error("the row is the same as row {first}; each is counted")]
        Doubt "row-twice" RowTwice { first: String } => "take one out if it was entered twice";
        /// A species that is not in the list.
        #[error("`{found}` is not in the species list")]
        Error "species-unknown" SpeciesUnknown { found: String, nearest: Option<String> }
            => renamed(nearest, found, "species", "correct the name, or add the species to species.csv");
        /// A name that is not in the list and whose last word can mean one species alone.
        #[error("`{found}` is not in the species list; {species} is the only one of the project that could be called {last}")]
        Error "species-likely" SpeciesLikely { found: String, species: String, last: String }
            => to_choose(
                "if it is that, in project.toml; else correct the name, or add the species to species.csv:",
                vec![named("species", found, species)],
            );
        /// Plants whose status is empty, in a table in which others have one.
        #[error("`{column}` is empty in {cells} of {rows} rows: it can't be told whether these plants were found alive")]
        Error "status-empty" StatusEmpty { table: &'static str, column: String, cells: usize, rows: usize, alone: bool }
            => to_choose("say what an empty cell means, in project.toml; or fill it:", {
                let section = format!("tables.{table}");
                let blank = |means, word| Answer::meaning(means, &section, format!("blank = {{ status = \"{word}\" }}"));
                let mut answers = vec![
                    blank("they were alive", "alive"),
                    blank("they were dead", "dead"),
                    blank("they were not found", "missing"),
                    Answer::meaning("nobody looked at them", &section, "skip = { status = [\"\"] }"),
                ];
                // What holds for these would hold for plants that were measured too.
                answers.truncate(if *alone { 4 } else { 1 });
                answers
            });
        /// A count beyond belief.
        #[error("{found} in one row; at most {limit} are believed")]
        Error "count-too-big" CountTooBig { found: u64, limit: u64 }
            => "look for a date, a telephone number or a total in the column of the count, and correct it";
        /// More alive than set in the plot, or than planted in the area.
        #[error("{alive} alive of {planted} planted in {whereabouts}")]
        Doubt "more-alive-than-planted" MoreAliveThanPlanted { alive: u64, planted: u64, whereabouts: String }
            => "correct the tally, count self-sown stems as recruits, or log the infill in plantings";
        /// A visit before anything was planted there.
        #[error("counted on {date}, before the first planting in {whereabouts} on {planted}")]
        Doubt "survey-before-planting" SurveyBeforePlanting { date: String, planted: String, whereabouts: String }
            => "correct the day that is wrong, here or in plantings";
        /// A tally of a species that was never planted there.
        #[error("{species} was counted in {area}, where none was planted")]
        Doubt "tallied-not-planted" TalliedNotPlanted { species: String, area: String }
            => "count self-sown stems as recruits, or log the planting";
        /// alive + dead + missing is not what was set in the plot.
        #[error("alive, dead and missing make {sum}; {planted} were set in plot {plot}{fits}")]
        Doubt "tally-does-not-add-up" TallyDoesNotAddUp { sum: u64, planted: u64, plot: String, fits: String }
            => format!("look it up: correct the counts, or the stems set in the plot: {sum} under planted_stems of plot {plot} in plots if {sum} is right");
        /// The same stems of a plot twice in one round of survey.
        #[error("plot {plot} was {how} on {days}, in one round of survey; of {what} only the later counts")]
        Doubt "twice-in-a-round" TwiceInARound { plot: String, how: &'static str, days: String, what: String }
            => "if the two days saw different stems, tell them apart: by tags, or by the cohort of a tally";
        /// A plot of which the sheet doesn't tell whether it has none or was not read.
        #[error("{what} has no row for {plots} in the survey of {survey}, where others have; left out")]
        Doubt "row-absent" RowAbsent { what: String, plots: String, survey: String }
            => "write 0 where there was none";
        /// Work or spending outside the reporting period.
        #[error("{} outside the reporting period, {when}, with {held}; left out of it", rows_of(*.rows, *.of, .what))]
        Doubt "outside-period" OutsidePeriod { rows: usize, of: usize, what: &'static str, when: String, held: String }
            => "correct the days that are wrong; if the report should hold them, set from and to under [period]; else nothing to do";
        /// Surveys and sightings dated after the period's end.
        #[error("{} after the period's end, {when}; left out of every figure", rows_of(*.rows, *.of, .what))]
        Doubt "after-period" AfterPeriod { rows: usize, of: usize, what: &'static str, when: String }
            => "correct the days that are wrong; if the report should hold them, set to under [period]; else nothing to do";
        /// Plantings dated after the period's end.
        #[error("{} after the period's end, {when}, with {held}; left out of every figure", rows_of(*.rows, *.of, "plantings"))]
        Doubt "planted-after-period" PlantedAfterPeriod { rows: usize, of: usize, when: String, held: String }
            => "correct the days that are wrong; if the report should hold them, set to under [period], such as the last day of the planting; else \
                nothing to do";
        /// A batch that replaces a batch which is not there.
        #[error("no batch is called `{batch}`")]
        Error "replaces-nothing" ReplacesNothing { batch: String, nearest: Option<String> }
            => did_you_mean(nearest, "name the batch that this infill replaces");
        /// More stems on a hectare than can stand there.
        #[error("{planted} are {per_hectare} a hectare, one every {apart} m, more than is planted{}", .explained)]
        Doubt "too-dense" TooDense { planted: String, per_hectare: String, apart: String, explained: String } => "check the counts and the boundary";
        /// A height or diameter beyond belief.
        #[error("{what} of {found} is beyond {limit}")]
        Doubt "size-beyond-belief" SizeBeyondBelief { what: &'static str, found: String, limit: String }
            => "check the unit";
        /// A species sensitive to frost in an area marked frosty.
        #[error("{species} is sensitive to frost and {area} is marked frosty")]
        Doubt "frost-sensitive" FrostSensitive { species: String, area: String }
            => "check the name, or `frosty` of the area; else watch it after the first winter";
        /// New rows asked for where stems stand.
        #[error("new rows are asked for in {area}, where {stems} stems were planted since {first}")]
        Error "planted-already" PlantedAlready { area: String, stems: String, first: String }
            => "take it out of areas under [rows]: what died there is in the plan's infill; ground of it that is not planted is to be drawn \
                as an area of its own";
        /// A species of the plan that no word of its pattern calls and whose role is not known.
        #[error("the plan's pattern has no place for {species}: its role is not known and no word of the pattern calls it")]
        Error "role-not-known" RoleNotKnown { species: String }
            => "in species.csv fill its role: pioneer, secondary, late or ground; or write its name or its form into the pattern";
        /// Shares of the stems that the pattern has not the places for.
        #[error("the pattern asks for {asks}; the shares give {gives}: both can't be kept")]
        Error "pattern-against-shares" PatternAgainstShares { asks: String, gives: String, offer: Option<String> }
            => match offer {
                Some(pattern) => format!("under [rows] set {pattern}, or change the shares, or leave one of the two out"),
                None => "change the shares, or leave the pattern out under [rows]".to_owned(),
            };
        /// Planted in the months of frost.
        #[error("planted in {month}, among the months of frost that [climate] states")]
        Remark "planted-in-frost" PlantedInFrost { month: String }
            => "frost kills young plants: look at them first at the next survey, and plant earlier or later the next time";
        /// A plot without any size.
        #[error("plot {plot} has no size")]
        Error "plot-without-size" PlotWithoutSize { plot: String }
            => "fill size_m2, or radius_m, or length_m and width_m";
        /// Two sizes of one plot that differ.
        #[error("the plot's measures make {used:.1} m² and {other:.1} m²; the first is used")]
        Doubt "plot-sizes-differ" PlotSizesDiffer { used: f64, other: f64 } => "give the size in one way only";
        /// One stratum that is two sizes.
        #[error("stratum {stratum} is {size} here and {first} in row {row}")]
        Error "stratum-of-two-sizes" StratumOfTwoSizes { stratum: String, size: String, first: String, row: u32 }
            => "write the size of the whole stratum, the same in every plot of it or in one of them";
        /// Sensible only with both.
        #[error("`{has}` is given without `{lacks}`")]
        Error "half-position" HalfPosition { has: &'static str, lacks: &'static str }
            => match *lacks {
                "hits" | "points" => format!("write the {lacks} beside it, or take the {has} out"),
                _ => format!("write the {lacks} beside it, or take the {has} out: a plot needs no position"),
            };
        /// A plot taped on the slope with no slope known.
        #[error("plot {plot} was taped on the slope and no slope is known for {area}; taken as level")]
        Doubt "slope-unknown" SlopeUnknown { plot: String, area: String }
            => "add the area to slopes.csv, or a terrain model to the folder";
        /// Empty cells in a column of counts that may mean none or nothing recorded.
        #[error(
            "{} empty in {empty} of {rows} rows: if that means none, {if_none} of the stems are alive; if it was not recorded, \
             {if_unrecorded} of those in the other rows", are(.columns)
        )]
        Error "blank-or-none" BlankOrNone {
            section: &'static str, columns: Vec<&'static str>, empty: usize, rows: usize, if_none: String, if_unrecorded: String
        } => to_paste("say which, in project.toml:", vec![
            Answer::meaning("empty means none", section, format!("blank = {}", blanks(columns, "0"))),
            Answer::meaning(
                "it was not recorded", section, format!("blank = {}", blanks(columns, "\"not recorded\""))
            ),
        ]);
        /// Marks where counts are needed: a row a plant, ticked where it belongs.
        #[error("{marks} marks stand in the place of counts, such as `{mark}`, in {}", listed(.columns))]
        Error "ticks-for-counts" TicksForCounts { marks: usize, mark: String, columns: Vec<(&'static str, Vec<String>)> }
            => to_paste("if each is one plant, in project.toml:", vec![Answer::of("tables.tallies", ticked(columns))]);
        /// A species by its common name.
        #[error("`{found}` is read as {species} ({})", counted(*.cells, "such cell", "such cells"))]
        Doubt "common-name" CommonName { found: String, species: String, cells: usize }
            => to_paste("if so, in project.toml:", vec![named("species", found, species)]);
        /// A common name that several species bear.
        #[error("{} is the name of {}", like_of(.found, .like.as_deref()), .bearers.join(", "))]
        Error "common-name-of-several" CommonNameOfSeveral { found: String, like: Option<String>, bearers: Vec<String> }
            => to_choose(
                "say which, in project.toml:",
                bearers.iter().map(|bearer| named("species", found, bearer)).collect(),
            );
        /// A day of rain that stands twice.
        #[error("{date} stands already in row {first}, which is the one that counts")]
        Doubt "rain-day-twice" RainDayTwice { date: String, first: u32 }
            => "take one out; a day without rain is 0, a day without a reading is empty";
        /// Rain of several days read as one.
        #[error("rain of {days} days read as one; left out, for it can't be told on which it fell")]
        Doubt "rain-of-days" RainOfDays { days: u32 }
            => "check the days; a long gap is better left empty";
        /// Cover in classes, and no scale to read them by.
        #[error("`{found}` is a class of cover, and project.toml names no scale that it belongs to")]
        Error "cover-scale-not-set" CoverScaleNotSet { found: String }
            => "under [survey] set cover_scale = \"Braun-Blanquet\", \"Domin\" or \"Daubenmire\", or give your own classes";
        /// Two lengths of one line.
        #[error("the line is {one:.2} m long in an earlier row and {other:.2} m here")]
        Error "lines-differ" LinesDiffer { one: f64, other: f64 }
            => "where the plot has several lines, name them in the column `line`";
        /// More of a line covered than there is of it.
        #[error("the cover takes {sum:.2} m of this line together with earlier rows; the line is {line:.2} m")]
        Error "beyond-line" BeyondLine { sum: f64, line: f64 }
            => "give each stretch once, or name the lines in the column `line` where the plot has several";
        /// An area that was planted and never surveyed.
        #[error("{area} was planted and has no surveyed plot; left out of survival")]
        Doubt "area-not-surveyed" AreaNotSurveyed { area: String }
            => "count a plot there, or nothing if the survey left it out on purpose";
    }
}

/// A common name, or the one that it was most likely meant to be.
fn like_of(found: &str, like: Option<&str>) -> String {
    match like {
        Some(like) => format!("`{found}` is not in the species list; the like `{like}`"),
        None => format!("`{found}`"),
    }
}

/// How many of the rows of a table are dated so.
fn rows_of(rows: usize, of: usize, what: &str) -> String {
    match (rows, of) {
        (1, 1) => format!("the only row of {what} is dated"),
        (1, _) => format!("1 of {of} rows of {what} is dated"),
        _ => format!("{rows} of {of} rows of {what} are dated"),
    }
}

/// Help that offers the nearest right name, and the line that makes the one found stand for it.
fn renamed(nearest: &Option<String>, found: &str, what: &str, otherwise: &str) -> Help {
    let mut help = did_you_mean(nearest, otherwise);
    if let Some(nearest) = nearest.as_ref().filter(|_| ["area", "plot", "species"].contains(&what)) {
        let pasted = to_paste(
            &format!("{} if so, correct it, or in project.toml:", help.words),
            vec![named(what, found, nearest)],
        );
        help = Help { nearest: help.nearest, ..pasted };
    }
    help
}

/// The line that makes one name stand for another.
fn named(what: &str, found: &str, stands_for: &str) -> Answer {
    Answer::of(&format!("names.{what}"), format!("{} = {}", quoted(found), quoted(stands_for)))
}

/// The columns that marks stand in.
fn listed(columns: &[(&str, Vec<String>)]) -> String {
    let named: Vec<String> = columns.iter().map(|(column, _)| format!("`{column}`")).collect();
    named.join(" and ")
}

/// What makes counts of marks: each is one, an empty cell none, and rows that agree in all else are added up.
fn ticked(columns: &[(&str, Vec<String>)]) -> String {
    let ones = |marks: &Vec<String>| {
        let one: Vec<String> = marks.iter().map(|mark| format!("{} = 1", key(mark))).collect();
        one.join(", ")
    };
    let values: Vec<String> =
        columns.iter().map(|(column, marks)| format!("{column} = {{ {} }}", ones(marks))).collect();
    let names: Vec<&str> = columns.iter().map(|(column, _)| *column).collect();
    let sums: Vec<String> = names.iter().map(|name| quoted(name)).collect();
    format!(
        "values = {{ {} }}\nblank = {}\nsum = [{}]",
        values.join(", "),
        blanks(&names, "0"),
        sums.join(", ")
    )
}

/// The columns as the subject of a sentence.
fn are(columns: &[&str]) -> String {
    let named: Vec<String> = columns.iter().map(|column| format!("`{column}`")).collect();
    format!("{} is", named.join(" or "))
}

/// What the empty cells of the columns stand for, as TOML.
fn blanks(columns: &[&str], stand_for: &str) -> String {
    let each: Vec<String> = columns.iter().map(|column| format!("{column} = {stand_for}")).collect();
    format!("{{ {} }}", each.join(", "))
}
