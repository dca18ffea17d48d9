//! Photos, receipts and the words of the report.

use crate::problem::{Said, doubt, error, far};

/// What is wrong with the evidence behind a report.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are the words of the sentence below")]
pub enum Evidence {
    /// A picture that can't be decoded.
    PictureUnreadable { why: String },
    /// A picture too large to decode.
    PictureTooBig { width: u32, height: u32 },
    /// A picture that belongs to no photo point.
    PhotoWithoutPoint { found: String, nearest: Option<String> },
    /// A picture in no photo point's folder.
    PhotoUnplaced,
    /// A picture in a format that no document can hold, as some telephones save it.
    PictureFormat { ending: String },
    /// One picture under two names: no evidence of a change.
    PhotoTwice { first: String },
    /// A picture without a day: neither in its name nor in its EXIF.
    PhotoWithoutDate,
    /// The EXIF day is not the day in the file's name.
    PhotoDateDiffers { named: String, taken: String },
    /// The EXIF place is far from the photo point.
    PhotoFarAway { point: String, metres: f64 },
    /// A photo or receipt that a table names and the folder does not hold.
    FileAbsent { what: &'static str, name: String },
    /// A photo point of a layer that does not say which way the camera looks.
    NoBearing { point: String },
    /// A photo point without a picture.
    PointWithoutPhoto { point: String },
    /// Spending on a line that the budget does not have.
    NoBudgetLine { line: String, nearest: Option<String> },
    /// Tax larger than the amount it is in.
    TaxExceedsAmount { tax: String, amount: String },
    /// Two receipts alike: same payee, day and amount.
    ReceiptTwice { first: u32 },
    /// A name too long to be a file's name.
    NameShortened { name: String, short: String },
    /// Markdown that the report does not set.
    MarkdownLeftOut { what: &'static str },
}

impl Evidence {
    pub(super) fn said(&self) -> Said {
        match self {
            Evidence::PictureUnreadable { why } => {
                doubt("picture-unreadable", format!("the picture can't be read ({why}); left out"))
                    .help("save it again as JPEG or PNG")
            }
            Evidence::PictureTooBig { width, height } => doubt(
                "picture-too-big",
                format!("{width} × {height} pixels are more than are read; left out"),
            )
            .help("save it smaller"),
            Evidence::PhotoWithoutPoint { found, nearest } => doubt(
                "photo-without-point",
                format!("no photo point is called `{found}`; the picture is left out"),
            )
            .nearest(nearest.as_ref(), "name the folder under photos/ as the point, or add the point"),
            Evidence::PhotoUnplaced => {
                doubt("photo-unplaced", "the picture lies in no photo point's folder; left out".to_owned())
                    .help("move it to photos/POINT/, or name its point in a photos table")
            }
            Evidence::PictureFormat { ending } => doubt(
                "picture-format",
                format!("a picture ending in .{ending} can't be set in a document; left out"),
            )
            .help("save it as JPEG; telephones can be told to take JPEG pictures"),
            Evidence::PhotoTwice { first } => doubt(
                "photo-twice",
                format!("the picture is the same, byte for byte, as {first}; the two show no change"),
            )
            .help("take out the one that is not of its day or its point"),
            Evidence::PhotoWithoutDate => doubt(
                "photo-without-date",
                "neither the file's name nor its EXIF says the day; left out".to_owned(),
            )
            .help("begin the file's name with the day: 2025-03-01.jpg"),
            Evidence::PhotoDateDiffers { named, taken } => doubt(
                "photo-date-differs",
                format!("named for {named}, taken on {taken} by its own clock; the name is believed"),
            ),
            Evidence::PhotoFarAway { point, metres } => doubt(
                "photo-far-away",
                format!("taken {} from photo point {point} by its own position", far(*metres)),
            ),
            Evidence::FileAbsent { what, name } => {
                doubt("file-absent", format!("the {what} `{name}` is not in the folder"))
            }
            Evidence::NoBearing { point } => error(
                "no-bearing",
                format!("photo point {point} does not say which way the camera looks"),
            )
            .help(
                "give it the property bearing_deg, or write it into its description, such as `bearing 135`",
            ),
            Evidence::PointWithoutPhoto { point } => {
                doubt("point-without-photo", format!("photo point {point} has no picture"))
            }
            Evidence::NoBudgetLine { line, nearest } => {
                doubt("no-budget-line", format!("the budget has no line `{line}`"))
                    .nearest(nearest.as_ref(), "correct the line, or add it as [[budget]]")
            }
            Evidence::TaxExceedsAmount { tax, amount } => {
                error("tax-exceeds-amount", format!("tax of {tax} in an amount of {amount}"))
            }
            Evidence::ReceiptTwice { first } => doubt(
                "receipt-twice",
                format!("payee, day and amount are those of row {first}; both are counted"),
            ),
            Evidence::NameShortened { name, short } => doubt(
                "name-shortened",
                format!(
                    "{} letters are too many for a file's name; files are called `{short}`",
                    name.chars().count()
                ),
            ),
            Evidence::MarkdownLeftOut { what } => {
                doubt("markdown-left-out", format!("{what} is not set in the report; its words are"))
            }
        }
    }
}
