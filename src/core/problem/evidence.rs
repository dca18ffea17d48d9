//! Photos, receipts and the words of the report.

use crate::problem::{did_you_mean, far, kinds};

kinds! {
    /// What is wrong with the evidence behind a report.
    Evidence {
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
        /// A picture in no photo point's folder.
        #[error("the picture lies in no photo point's folder; left out")]
        Doubt "photo-unplaced" PhotoUnplaced => "move it to photos/POINT/, or name its point in a photos table";
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
        Doubt "photo-date-differs" PhotoDateDiffers { named: String, taken: String };
        /// The EXIF place is far from the photo point.
        #[error("taken {} from photo point {point} by its own position", far(*.metres))]
        Doubt "photo-far-away" PhotoFarAway { point: String, metres: f64 };
        /// A photo or receipt that a table names and the folder does not hold.
        #[error("the {what} `{name}` is not in the folder")]
        Doubt "file-absent" FileAbsent { what: &'static str, name: String };
        /// A photo point of a layer that does not say which way the camera looks.
        #[error("photo point {point} does not say which way the camera looks")]
        Error "no-bearing" NoBearing { point: String }
            => "give it the property bearing_deg, or write it into its description, such as `bearing 135`";
        /// A photo point without a picture.
        #[error("photo point {point} has no picture")]
        Doubt "point-without-photo" PointWithoutPhoto { point: String };
        /// Spending on a line that the budget does not have.
        #[error("the budget has no line `{line}`")]
        Doubt "no-budget-line" NoBudgetLine { line: String, nearest: Option<String> }
            => did_you_mean(nearest, "correct the line, or add it as [[budget]]");
        /// Tax larger than the amount it is in.
        #[error("tax of {tax} in an amount of {amount}")]
        Error "tax-exceeds-amount" TaxExceedsAmount { tax: String, amount: String };
        /// Most sums are below nothing, as in the export of a bank.
        #[error(
            "{below} of {sums} amounts are below nothing: as they are written {as_written} were spent; as a bank writes them {out} \
             went out and {came_in} came in"
        )]
        Error "sign-unclear" SignUnclear { below: usize, sums: usize, as_written: String, out: String, came_in: String }
            => "say which, in project.toml:\n[tables.spending]\nsign = \"out is negative\"\nor, where they are refunds,\nsign = \"out is positive\"";
        /// A few sums are below nothing.
        #[error("{rows} amounts are below nothing and are taken as refunds, {sum} in all")]
        Doubt "refunds" Refunds { rows: usize, sum: String }
            => "if so, in project.toml:\n[tables.spending]\nsign = \"out is positive\"";
        /// Money that came in, in a table of money out.
        #[error("{rows} rows are money that came in, {sum} in all; left out of spending")]
        Doubt "money-in" MoneyIn { rows: usize, sum: String }
            => "if so, in project.toml:\n[tables.spending]\nmoney_in = \"left out\"\nor, where it was paid back,\nmoney_in = \"refunds\"";
        /// Two receipts alike: same payee, day and amount.
        #[error("payee, day and amount are those of row {first}; both are counted")]
        Doubt "receipt-twice" ReceiptTwice { first: u32 };
        /// A name too long to be a file's name.
        #[error("{} letters are too many for a file's name; files are called `{short}`", .name.chars().count())]
        Doubt "name-shortened" NameShortened { name: String, short: String };
        /// Markdown that the report does not set.
        #[error("{what} is not set in the report; its words are")]
        Doubt "markdown-left-out" MarkdownLeftOut { what: &'static str };
    }
}
