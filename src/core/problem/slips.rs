//! Slips: sizes, sums and readings that contradict the rest of the folder as they are read, and agree with it if read in another way.

use crate::problem::{counted, kinds};

kinds! {
    /// What would agree with the rest of the folder if it were read in another way, with both readings.
    Slips {
        /// More living planted stems on the ground than were planted there, or far fewer set than were.
        #[error("{found}, {of_plots} a hectare; {planted}, {of_log} a hectare{}", .explained)]
        Doubt "standing-against-planted" StandingAgainstPlanted {
            found: String, of_plots: String, planted: String, of_log: String, explained: String
        } => "measure the sides of a plot again; check that the planting log is whole, that the boundary is drawn round what was \
            planted, and that self-sown stems are under `recruits`";
        /// Tax that is the same number whatever it is in.
        #[error("`tax` is {written} in each of {count} payments from {least} to {most}: as a rate of {rate} % it is {as_rate} in all; \
            as money, {as_money}")]
        Doubt "tax-is-a-rate" TaxIsARate {
            written: Box<str>, count: usize, least: Box<str>, most: Box<str>, rate: Box<str>, as_rate: Box<str>, as_money: Box<str>
        } => "under `tax` write the money of each receipt, not the rate";
        /// Tax that is the rate's part of the whole amount, and not of the price without it.
        #[error("{}", tax_of_whole(*.count, .rate, .inside, .as_read, .as_price))]
        Doubt "tax-of-the-whole" TaxOfTheWhole {
            count: usize, rate: String, inside: String, as_read: String, as_price: String
        } => "under `amount` write the whole sum on the receipt, tax included, and under `tax` what the receipt says is in it";
        /// A tax that is not the part of its amount that it is everywhere else.
        #[error("`tax` is {tax} of {amount}, {here} % of the price; in {others} it is {rate} %, which would be {then}")]
        Doubt "tax-out-of-line" TaxOutOfLine {
            tax: Box<str>, amount: Box<str>, here: Box<str>, others: Box<str>, rate: Box<str>, then: Box<str>
        } => "look it up on the receipt: the amount, its decimal point and its tax";
        /// No tax where the same payee charged it otherwise.
        #[error("no tax is in {amount} to {payee}, and {others} {rate} %; if the amount is without it, {then} with it")]
        Doubt "tax-left-out" TaxLeftOut {
            amount: Box<str>, payee: Box<str>, rate: Box<str>, others: Box<str>, then: Box<str>
        } => "write the whole sum on the receipt under `amount`, and its tax under `tax`";
        /// A row whose amount is the sum of others.
        #[error("{amount} {}; it counts besides: {with} in all with it, {without} without", .why)]
        Doubt "sum-among-payments" SumAmongPayments { amount: String, why: String, with: String, without: String }
            => "take the row out if the others are in the table";
        /// Money that came back, entered as money out.
        #[error("`{words}` reads as money got back, and {amount} counts as spent: {spent} in all; as money back, {back}")]
        Doubt "refund-as-payment" RefundAsPayment { words: String, amount: String, spent: String, back: String }
            => "write what came back below nothing, tax too: -1100.00";
        /// A gift entered as cash.
        #[error("{why}, and {amount} counts as cash: {cash} of cash in all; in kind, {without}")]
        Doubt "in-kind-as-cash" InKindAsCash { why: String, amount: String, cash: String, without: String }
            => "write yes under `in_kind` if nothing was paid";
        /// A crew many times as large as any other.
        #[error("{people} people, where no other row has more than {most}; their {sum} person hours would be {tenth} of a tenth as many")]
        Doubt "crew-out-of-line" CrewOutOfLine { people: u32, most: u32, sum: String, tenth: String }
            => "correct the number of people if it has a digit too many; if so many came, nothing to do";
        /// Hours with a point, among others that are written as a clock has them.
        #[error("{} written as `{example}`, beside {} as `{clock}`: read as hours and tenths they come to {read} person hours; as hours and minutes, {as_clock}", if *.cells == 1 { "1 cell is".to_owned() } else { format!("{} cells are", .cells) }, .clocks)]
        Doubt "hours-as-clock" HoursAsClock { cells: usize, example: String, clocks: usize, clock: String, read: String, as_clock: String }
            => "if minutes stand behind the point, write them as 3:30; else nothing to do";
        /// Hours of each of several people that no day has.
        #[error("{hours} hours of each of {people} people on one day, {sum} person hours in all, are more than a day has; if they are \
            the hours of all together, {hours} would count")]
        Error "hours-of-no-day" HoursOfNoDay { hours: String, people: u32, sum: String }
            => "under `hours` write the hours of each person, and give a row to each day; of the hours of all together, leave `people` empty";
        /// Money received that is far from what is budgeted and spent.
        #[error("{received} was received, {beside}{}", .explained)]
        Doubt "received-out-of-scale" ReceivedOutOfScale { received: String, beside: String, explained: String }
            => "check the decimal point of `received` under [money]";
    }
}

/// Tax that would be right of a price without tax.
fn tax_of_whole(count: usize, rate: &str, inside: &str, as_read: &str, as_price: &str) -> String {
    format!(
        "`tax` is {rate} % of `amount` in {}; in an amount that holds it, a rate of {rate} % makes {inside} %. As they are read they \
         are {as_read} with tax; if the amounts are without it, {as_price}",
        counted(count, "payment", "payments")
    )
}
