//! Photos, receipts and the words of the report.

use crate::problem::{
    answer::{Answer, key, quoted, to_choose, to_paste},
    counted, did_you_mean, far, kinds,
    tables_told::{some, texts},
};

kinds! {
    /// What is wrong with the evidence behind a report.
    Evidence {
        /// Hours of volunteers that a receipt in kind values a second time.
        #[error("{receipt}, {sum} in kind, is likely the {hours} hours of {task} of {day} that volunteers gave by {at}: those are valued by the hour too")]
        Doubt "hours-valued-twice" HoursValuedTwice {
            receipt: String, sum: String, hours: String, task: String, day: String, at: String
        } => "what was given is valued once: leave the hours in the works log and take the receipt out, or say basis = in kind there; of other hours nothing to do";
        /// Work of volunteers that was paid for.
        #[error("{who} stands as a volunteer at {task} on {day}, and {receipt}, {sum} in {at}, was paid for likely the same")]
        Doubt "volunteer-also-paid" VolunteerAlsoPaid {
            who: String, task: String, day: String, receipt: String, sum: String, at: String
        } => "work that was paid for is no gift: write `paid` under `basis`; of somebody else, or of other work, nothing to do";
        /// A picture that can't be decoded.
        #[error("the picture can't be read ({why}); left out")]
        Doubt "picture-unreadable" PictureUnreadable { why: String } => "save it again as JPEG or PNG";
        /// A picture too large to decode.
        #[error("{width} × {height} pixels are more than are read; left out")]
        Doubt "picture-too-big" PictureTooBig { width: u32, height: u32 } => "save it smaller";
        /// A picture that belongs to no photo point.
        #[error("no photo point is called `{found}`; the picture is left out")]
        Doubt "photo-without-point" PhotoWithoutPoint { found: String, nearest: Option<String> }
            => did_you_mean(nearest, "name the folder under photos/ as the point, or add the point");
        /// Pictures that were placed by what their cameras wrote.
        #[error("{}", placed(*.place, *.time, *.work, *.metres, *.degrees, *.minutes))]
        Remark "photos-placed" PhotosPlaced { place: usize, time: usize, work: usize, metres: f64, degrees: f64, minutes: f64 }
            => "look at each for faces and number plates before it is handed out: that is yours to judge; a folder called as the \
                point settles where a picture belongs, and [photos] within_m, within_degrees and within_minutes set the limits";
        /// A picture that fits two photo points.
        #[error("the picture fits photo point {one} as well as {other}; taken as a photo of the work")]
        Doubt "photo-fits-several" PhotoFitsSeveral { one: String, other: String }
            => "move it to photos/POINT/, or name its point in a photos table";
        /// A picture of another place.
        #[error("taken {} from the nearest area by its own position; left out", far(*.metres))]
        Doubt "photo-elsewhere" PhotoElsewhere { metres: f64 }
            => "if it belongs to the project, move it to photos/POINT/ or name it in a photos table; else take it out";
        /// A picture in a format that no document can hold, as some telephones save it.
        #[error("a picture ending in .{ending} can't be set in a document; left out")]
        Doubt "picture-format" PictureFormat { ending: String }
            => "save it as JPEG; telephones can be told to take JPEG pictures";
        /// One picture under two names: no evidence of a change.
        #[error("the picture is the same, byte for byte, as {first}; the two show no change")]
        Doubt "photo-twice" PhotoTwice { first: String } => "take out the one that is not of its day or its point";
        /// A picture without a day: neither in its name nor in its EXIF.
        #[error("neither the file's name nor its EXIF says the day; left out")]
        Doubt "photo-without-date" PhotoWithoutDate => "begin the file's name with the day: 2025-03-01.jpg";
        /// The EXIF day is not the day in the file's name.
        #[error("named for {named}, taken on {taken} by its own clock; the name is believed")]
        Doubt "photo-date-differs" PhotoDateDiffers { named: String, taken: String }
            => "if the clock is right, rename the picture after the day; else nothing to do";
        /// The EXIF place is far from the photo point.
        #[error("taken {} from photo point {point} by its own position", far(*.metres))]
        Doubt "photo-far-away" PhotoFarAway { point: String, metres: f64 }
            => "move it to the folder of the point where it was taken, or right under photos/";
        /// A photo or receipt that a table names and the folder does not hold.
        #[error("the {what} `{name}` is not in the folder")]
        Doubt "file-absent" FileAbsent { what: &'static str, name: String }
            => format!("put it there, or correct the name in the table; a {what} that you keep elsewhere needs nothing");
        /// A photo point of a layer that does not say which way the camera looks.
        #[error("photo point {point} does not say which way the camera looks")]
        Error "no-bearing" NoBearing { point: String }
            => "give it the property bearing_deg, or write it into its description, such as `bearing 135`";
        /// A photo point without a picture.
        #[error("photo point {point} has no picture")]
        Doubt "point-without-photo" PointWithoutPhoto { point: String }
            => format!("put a picture into photos/{point}/, called after its day, such as 2025-03-01.jpg; or take the point out");
        /// Spending on a line that the budget does not have.
        #[error("the budget has no line `{line}`")]
        Doubt "no-budget-line" NoBudgetLine { line: String, nearest: Option<String> }
            => did_you_mean(nearest, "correct the line, or add it as [[budget]]");
        /// Tax larger than the amount it is in.
        #[error("tax of {tax} in an amount of {amount}")]
        Error "tax-exceeds-amount" TaxExceedsAmount { tax: String, amount: String }
            => "under `amount` write the whole sum, tax included, and under `tax` what of it is tax; look for the two in each other's column";
        /// Most sums are below nothing, as in the export of a bank.
        #[error(
            "{below} of {sums} amounts are below nothing: as they are written {as_written} were spent; as a bank writes them {out} \
             went out and {came_in} came in{}", balances_say(.balance.as_ref())
        )]
        Error "sign-unclear" SignUnclear {
            below: usize, sums: usize, as_written: String, out: String, came_in: String, balance: Option<(String, bool)>
        } => to_paste("say which, in project.toml:", signs(!matches!(balance, Some((_, false)))));
        /// The settings read the sums one way, and the balances beside them follow from the other.
        #[error("as the settings have it {out} went out and {came_in} came in; {}, so it is the other way round",
            account(heading, *.negative))]
        Doubt "sign-against-balance" SignAgainstBalance { heading: String, out: String, came_in: String, negative: bool }
            => to_paste("if the balances are right, in project.toml, in the place of the line that says otherwise:", signs(*negative).into_iter().take(1).collect());
        /// A column that tells money that came in from money that went out, and is not read.
        #[error("`{heading}` says which sums came in, and is not read: {} with `{into}`, {sum} in all, would count as spent",
            counted(*.rows, "row", "rows"))]
        Error "direction-unread" DirectionUnread { heading: String, into: String, rows: usize, sum: String }
            => to_paste("to have them read as money that came in, in project.toml; what of it was paid back is asked then:", vec![
                Answer::of("tables.spending", format!("came_in = {{ {} = [{}] }}", key(heading), quoted(into))),
            ]);
        /// Rows of an account that are balances by their words.
        #[error("{}", balances(.words, .read.as_deref()))]
        Doubt "balance-row" Balance { words: Vec<String>, heading: String, skip: Vec<String>, read: Option<String> }
            => to_paste("if they are no payments, in project.toml:", vec![
                Answer::of("tables.spending", format!("skip = {{ {} = {} }}", key(heading), texts(skip.iter()))),
            ]);
        /// A few sums are below nothing.
        #[error("{} below nothing and {} as refunds, {sum} in all: {spent} were spent with them taken off, {without} if they are no part of it",
            counted(*.rows, "amount is", "amounts are"), if *.rows == 1 { "is taken" } else { "are taken" })]
        Doubt "refunds" Refunds { rows: usize, sum: String, spent: String, without: String }
            => to_paste("if so, in project.toml:", vec![
                Answer::meaning("sums below nothing are refunds", "tables.spending", "sign = \"out is positive\""),
                Answer::meaning("they are no part of the spending", "tables.spending", "money_in = \"left out\""),
            ]);
        /// Money that came in, in a table of money out.
        #[error("{}, {sum} in all; left out of spending, which is then {left_out}; were it paid back, {paid_back}",
            counted(*.rows, "row is money that came in", "rows are money that came in"))]
        Doubt "money-in" MoneyIn {
            rows: usize, sum: String, left_out: String, paid_back: String, refunds: Vec<String>, left: Vec<String>,
            by_words: bool, also_paid: Option<String>
        } => match also_paid {
            Some(payee) => to_choose(
                &format!("`{payee}` was paid too, so that it could have paid back; say which, in project.toml:"),
                uses_of(refunds, left, *by_words),
            ),
            None => to_paste("say which, in project.toml:", uses_of(refunds, left, *by_words)),
        };
        /// Money that came in and is left out, because the settings say so.
        #[error("{}, {sum} in all, and left out of spending, which is then {spent}; were it paid back, {paid_back}{}",
            counted(*.rows, "row is money that came in", "rows are money that came in"), too(.also_paid))]
        Doubt "money-left-out" MoneyLeftOut {
            rows: usize, sum: String, spent: String, paid_back: String, also_paid: Option<String>
        } => "nothing to do if none of it was paid back; else change money_in under [tables.spending] of project.toml";
        /// Money that was paid back, and taken off, because the settings say so.
        #[error("{}, {sum} in all, and taken off the spending, which is then {spent}; without {without}",
            counted(*.rows, "row was paid back", "rows were paid back"))]
        Doubt "paid-back" PaidBack { rows: usize, sum: String, spent: String, without: String }
            => "nothing to do if all of it was paid back; else change sign or money_in under [tables.spending] of project.toml";
        /// A row with money out and money in.
        #[error("the row has money out, {out}, and money in, {came_in}; only one of them would count")]
        Error "out-and-in" OutAndIn { out: String, came_in: String }
            => "a row of an account is one or the other: correct it, or map another column onto money_in, such as the one headed credit or deposit";
        /// Money that somebody gave, taken off what was spent.
        #[error("{amount} that came in, `{words}`, is taken off the spending as if it was paid back: {spent} in all; left out it is {without}, \
            without all that came in {rest}")]
        Doubt "income-as-refund" IncomeAsRefund {
            words: String, amount: String, spent: String, without: String, rest: String, refunds: Vec<String>, left: Vec<String>
        } => to_paste("say which, in project.toml:", uses_of(refunds, left, false));
        /// Two receipts alike: same payee, day and amount.
        #[error("payee, day and amount are those of row {first}; both are counted")]
        Doubt "receipt-twice" ReceiptTwice { first: u32 }
            => "if it is one payment, take this row out, or answer (leave the row out) in the list that `check FOLDER --corrections LIST.xlsx` writes; \
                if it was paid twice, nothing to do";
        /// A name too long to be a file's name.
        #[error("{} letters are too many for a file's name; files are called `{short}`", .name.chars().count())]
        Doubt "name-shortened" NameShortened { name: String, short: String }
            => "nothing to do, or give it a shorter name";
        /// A picture among the words that is none of the folder's photos.
        #[error("`{found}` is none of the folder's photos, and is left out of the words")]
        Doubt "picture-not-there" PictureNotThere { found: String, nearest: Option<String> }
            => match nearest {
                Some(nearest) => format!("did you mean `{nearest}`? else put the picture into photos/"),
                None => "put the picture into photos/, and name it from there: ![what it shows](photos/name.jpg)".to_owned(),
            };
        /// Markdown that the report does not set.
        #[error("{what} is not set in the report; its words are")]
        Doubt "markdown-left-out" MarkdownLeftOut { what: &'static str }
            => "write it as headings, paragraphs, lists and tables";
    }
}

/// What can become of money that came in: where some of it reads as paid back and some as given, each by its words first. Where the settings
/// go by words already, so do all answers.
fn uses_of(refunds: &[String], left: &[String], by_words: bool) -> Vec<Answer> {
    let list = |words: &[String]| words.iter().map(|words| quoted(words)).collect::<Vec<_>>().join(", ");
    let each = |means| {
        let each = format!("money_in = {{ \"left out\" = [{}], refunds = [{}] }}", list(left), list(refunds));
        Answer::meaning(means, "tables.spending", each)
    };
    let whole = |means, word| Answer::meaning(means, "tables.spending", format!("money_in = \"{word}\""));
    if by_words {
        let one = |means, of: &str, words: &[String]| {
            Answer::meaning(means, "tables.spending", format!("money_in = {{ {of} = [{}] }}", list(words)))
        };
        let all = [refunds, left].concat();
        let mut answers = vec![
            one("it was paid back", "refunds", &all),
            one("it is no part of the spending", "\"left out\"", &all),
        ];
        match (refunds, left) {
            ([], _) => answers.swap(0, 1),
            (_, []) => {}
            _ => answers.insert(0, each("each is what its words say")),
        }
        return answers;
    }
    let mut answers = vec![
        whole("none of it is a part of the spending", "left out"),
        whole("all of it was paid back", "refunds"),
    ];
    match (refunds, left) {
        ([], [_, _, ..]) => {
            answers.push(each("some of it was paid back: its words then go into the second list"))
        }
        (_, []) => answers.swap(0, 1),
        ([], _) => {}
        _ => answers.insert(0, each("each is what its words say")),
    }
    answers
}

/// What becomes of rows that are balances by their words.
fn balances(words: &[String], read: Option<&str>) -> String {
    let words = some(words);
    match read {
        None => format!("{words}: a balance and no payment by its words, without a sum of its own; left out"),
        Some(read) => {
            format!("{words}: a balance and no payment by its words; {read} of it is read as a payment")
        }
    }
}

/// Who gave money and was paid too.
fn too(payee: &Option<String>) -> String {
    payee
        .as_ref()
        .map(|payee| format!(", as it may have been, since `{payee}` was paid too"))
        .unwrap_or_default()
}

/// How many pictures were placed in which way.
fn placed(place: usize, time: usize, work: usize, metres: f64, degrees: f64, minutes: f64) -> String {
    let pictures = place + time + work;
    let ways = [
        (
            place,
            format!("{place} at photo points by their place and bearing (within {metres} m and {degrees}°)"),
        ),
        (time, format!("{time} at photo points by their time (within {minutes} minutes of others)")),
        (work, format!("{work} as photos of the work of their day")),
    ];
    let ways: Vec<String> =
        ways.into_iter().filter(|(count, _)| *count > 0).map(|(_, words)| words).collect();
    let are = if pictures == 1 { "picture is" } else { "pictures are" };
    format!("{pictures} {are} placed by what the camera wrote: {}", ways.join(", "))
}

/// The two ways to read the sums' sign, the likelier first.
fn signs(negative: bool) -> Vec<Answer> {
    let mut answers = vec![
        Answer::meaning("sums below nothing went out", "tables.spending", "sign = \"out is negative\""),
        Answer::meaning("sums below nothing are refunds", "tables.spending", "sign = \"out is positive\""),
    ];
    if !negative {
        answers.reverse();
    }
    answers
}

/// What the balances beside sums say of these.
fn account(heading: &str, negative: bool) -> String {
    format!(
        "the balances under `{heading}` fall by the sums {} nothing",
        if negative { "below" } else { "above" }
    )
}

/// The same at the end of a sentence; nothing where they say nothing.
fn balances_say(balance: Option<&(String, bool)>) -> String {
    balance.map(|(heading, negative)| format!("; {}", account(heading, *negative))).unwrap_or_default()
}
