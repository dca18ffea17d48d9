//! Funding: who pays for what, where several pay: shares that do not fit, things claimed twice, days and sums that contradict.

use crate::problem::{did_you_mean, kinds};

kinds! {
    /// What is wrong with who pays for what.
    Funding {
        /// A row that names an agreement which is not there.
        #[error("no agreement is called `{found}`")]
        Error "agreement-unknown" AgreementUnknown { found: String, nearest: Option<String> }
            => did_you_mean(nearest, "name an [[agreement]] by its id, or write `own`");
        /// One of several payers without a share.
        #[error("`{found}` has no share; several payers of one row need one each, such as `catchment 60; council 40`")]
        Error "share-missing" ShareMissing { found: String } => "give every payer its per cent of the row";
        /// Shares of one thing that are more than the whole.
        #[error("the shares of `{found}` make {sum} %, more than the whole")]
        Error "shares-beyond-whole" SharesBeyondWhole { found: String, sum: String } => "correct the shares";
        /// Fixed shares that leave a payer out or go beyond the whole.
        #[error("a fixed rule of sharing needs a per cent for each payer, 100 at the most together; they make {sum}")]
        Error "fixed-shares-unfit" FixedSharesUnfit { sum: String }
            => "for example: shares = { catchment = 60, council = 40 }";
        /// Two ways to say who pays.
        #[error("`{key}` makes one agreement of the whole folder, and there is an [[agreement]] `{id}` too")]
        Error "beside-agreements" BesideAgreements { key: &'static str, id: String }
            => format!("move it into its agreement: [[agreement.{key}]] below the [[agreement]]; an approval is [agreement.approval]");
        /// Something that only one can own, shared in equal parts.
        #[error("the largest share of the {what} is held by two: one payer must own what is counted once")]
        Error "owner-unclear" OwnerUnclear { what: &'static str }
            => "give the one that reports it the larger share; the other supports it";
        /// Shares that are written as parts of one.
        #[error("the shares make {sum} %; shares are per cent, and these look like parts of one")]
        Error "shares-of-one" SharesOfOne { sum: String, meant: String }
            => format!("did you mean {meant}? write per cent, such as `catchment 60; council 40`");
        /// Stems of an agreement on ground that it does not report.
        #[error("{stems} stems on {area} are of {agreement}, and {area} is not among its areas, in {at}")]
        Error "stems-off-ground" StemsOffGround { stems: String, area: String, agreement: String, at: String }
            => "put the area under its `areas`, or name first the payer that reports the ground: `council 60; catchment 40`";
        /// Shares of one thing that are less than the whole.
        #[error("the shares make {sum} %; the rest is unclaimed")]
        Doubt "share-unclaimed" ShareUnclaimed { sum: String } => "give the rest to a payer, or to `own`";
        /// A row that names no agreement and that several could pay for.
        #[error("{rows} of {what} name no agreement and could be paid by {payers}; taken as the landholder's own")]
        Doubt "payer-unclear" PayerUnclear { rows: String, what: &'static str, payers: String }
            => "name it in a column `agreement`, or write a rule under [[sharing]]; `own` ends the question";
        /// Something that went wrong of which nothing says whose it is.
        #[error("{what} names neither an agreement nor an area: it is told to {payers}")]
        Doubt "told-to-all" ToldToAll { what: String, payers: String }
            => "name its agreement in a column `agreement`, or its ground under `area`; of all of them nothing is to do but to know that each reads it";
        /// A row that no agreement's documents tell of.
        #[error("{what} is of no agreement's ground and names none: {but}")]
        Doubt "in-no-document" InNoDocument { what: String, but: &'static str }
            => "name its agreement in a column `agreement`; `own` is the landholder's";
        /// An agreement that has no document for the period.
        #[error("{agreement} {when}, and nothing of it falls into {period}: no document is made for it")]
        Remark "nothing-due" NothingDue { agreement: String, when: String, period: String }
            => "check `from` and `to` of the agreement; where it is to be reported on, give it a `period` of its own";
        /// An agreement that ended and still had money, work or plants.
        #[error("{agreement} {when}, and money, work or plants of {period} are under it: it has a document still")]
        Doubt "moved-after-end" MovedAfterEnd { agreement: String, when: String, period: String }
            => "check the days of its rows, and `to` of the agreement: what is dated outside its term is listed and not counted";
        /// A reason that names no agreement and could be that of several.
        #[error("`{about}` is asked about by {payers}, and this reason names none of them: it would be told to each")]
        Error "reason-of-several" ReasonOfSeveral { about: String, payers: String }
            => "name its agreement in a column `agreement`; a reason for several is a row for each";
        /// A reason for the target of another agreement than the one that it names.
        #[error("the target `{target}` is of {owner}, in {at}, and this reason names {named}")]
        Error "reason-of-another" ReasonOfAnother { target: String, owner: String, at: String, named: String }
            => "name the agreement whose target it is, or the target that is meant";
        /// A reason that no agreement's documents have.
        #[error("no agreement asks about `{about}`, and this reason {names}: it is told to nobody")]
        Doubt "reason-of-nobody" ReasonOfNobody { about: String, names: &'static str }
            => "name in a column `agreement` whom it is told to";
        /// A rule of sharing that is younger than what it shares.
        #[error("the rule for {of} was decided on {decided}, after the days of what it shares: {rows}; {sum} in all{closed}")]
        Doubt "rule-decided-later" RuleDecidedLater { of: String, decided: String, rows: String, sum: String, closed: String }
            => "if the rule was altered, keep the old one with `to`, the last day that it is for, and give the new one `from`: each then \
                shares the rows of its own days; if it is as it was from the start, correct `decided`";
        /// A name that is private to one agreement, in what another's funder gets.
        #[error("“{words}”, {what} of {whose} in {at}, stands here, and goes into the documents and the pack of {to}")]
        Doubt "words-of-another" WordsOfAnother { words: String, what: &'static str, whose: String, at: String, to: String }
            => "write it otherwise, or where only one of them reads it; a funder that may be named to the others has may_be_named = true";
        /// Instalments that come to more than was approved.
        #[error("with this instalment of {sum} those of {agreement} come to {together}, and {approved} are approved, {apart} less")]
        Doubt "received-beyond-grant" ReceivedBeyondGrant {
            sum: String, agreement: String, together: String, approved: String, apart: String
        } => "correct the instalment, or add what was approved: [[agreement.budget]] or [[agreement.variation]]; what came without approval goes back, [[agreement.returned]]";
        /// One sum of one day that stands twice.
        #[error("{what} of {sum} on {day} stands twice under {agreement}, first in {first}: both count")]
        Doubt "money-in-twice" MoneyInTwice { what: &'static str, sum: String, day: String, agreement: String, first: String }
            => "take one out if it came once";
        /// A row that an offset and a grant bear together.
        #[error("{what} is borne by the offset {offset} and the grant {grant} together ({share}), and no clause that allows it is on file")]
        Doubt "offset-and-grant-share" OffsetAndGrantShare { what: String, offset: String, grant: String, share: String }
            => "charge it to one of them; or quote the clause under `stacking` of the offset";
        /// Payments that no receipt shows.
        #[error("{rows} of {agreement}, {sum} in all, without the number of a receipt: {places}")]
        Doubt "receipt-missing" ReceiptMissing { rows: String, agreement: String, sum: String, places: String }
            => "write it under `receipt`; what nobody gave a receipt for is told there in words, such as `statutory declaration`";
        /// What went wrong on the ground of an agreement that is not told.
        #[error("{what} names {named}, and {area} is ground of {owner} in {at}: {owner} is not told")]
        Doubt "ground-of-another" GroundOfAnother { what: String, named: String, area: String, owner: String, at: String }
            => "name both in the column `agreement`, such as `catchment 50; council 50`, or correct the area; where the one whose ground it is need not be told, nothing to do";
        /// Something of the landholder's own of which nothing says where it was.
        #[error("{what} is the landholder's own and names no area: none of {payers} is told, and whose ground it was on nothing says")]
        Doubt "own-without-area" OwnWithoutArea { what: String, payers: String }
            => "name its ground under `area`; of ground that no agreement has, nothing more is to do";
        /// A row whose rule of sharing has nothing to weigh.
        #[error("the rule for {name} shares by {by}, in {rule}, and {found}: this row is shared by no rule")]
        Doubt "sharing-unweighed" SharingUnweighed { name: String, by: &'static str, rule: String, found: String }
            => "name the payers in the column `agreement`, record what the rule counts, or let the rule count all that was done before: over = \"to date\"";
        /// One receipt claimed under two agreements.
        #[error("{receipt}, {sum}, is claimed {by}")]
        Doubt "receipt-claimed-twice" ReceiptClaimedTwice {
            receipt: String, sum: String, by: String
        } => "claim it once, or share it: `catchment 60; council 40` in one row";
        /// One receipt in rows of several agreements, and nothing says what it comes to.
        #[error("receipt {receipt} is charged with {parts}, {together} together: one receipt of that sum in its parts, or one charged whole and in part again")]
        Doubt "receipt-in-parts" ReceiptInParts { receipt: String, parts: String, together: String }
            => "write what the whole receipt comes to in the column `receipt_total` of its rows; or leave one row and share it there: `catchment 60; council 40`";
        /// One receipt of which several agreements bear more than it comes to.
        #[error("receipt {receipt} comes to {total}, and {parts} are charged, {together} together")]
        Doubt "receipt-beyond-total" ReceiptBeyondTotal {
            receipt: String, total: String, parts: String, together: String
        } => "a cent is claimed once: correct the row that is too much, or leave one row and share it there: `catchment 60; council 40`";
        /// Two receipts of two agreements that are likely one.
        #[error("{receipt} is likely {other}: the supplier, the day and the sum are the same, {sum}, claimed {by}")]
        Doubt "receipt-likely-twice" ReceiptLikelyTwice { receipt: String, other: String, sum: String, by: String }
            => "look at both receipts: of one payment take a row out, or share it in one row; of two nothing to do";
        /// One planting claimed under two agreements.
        #[error("{stems} stems of {species} of {day} are claimed {by}")]
        Doubt "stems-claimed-twice" StemsClaimedTwice {
            stems: String, species: String, day: String, by: String
        } => "a stem has one owner: take one row out, or name both in one row with their shares";
        /// One batch of seedlings under two agreements.
        #[error("batch {batch} of {species} is claimed with {by}, {together} stems of one batch")]
        Doubt "batch-claimed-twice" BatchClaimedTwice { batch: String, species: String, by: String, together: String }
            => "correct the batch or the agreement of the row that is wrong; a batch that was parted is written as two, such as `LR24-3a` and `LR24-3b`";
        /// The hours of one day claimed under two agreements.
        #[error("{hours} person hours of {task} on {day} are claimed {by}")]
        Doubt "hours-claimed-twice" HoursClaimedTwice {
            hours: String, task: String, day: String, by: String
        } => "claim them once, or share them in one row";
        /// Hours of one day that nobody can have worked.
        #[error("{person} is claimed for {hours} hours on {day}, {payers}")]
        Doubt "day-claimed-beyond-hours" DayClaimedBeyondHours {
            person: String, hours: String, day: String, payers: String
        } => "correct the hours of that day: few work so long, and nobody longer than a day is, whoever pays; if it was so, nothing to do";
        /// One person's day at one task under two agreements.
        #[error("{person} is claimed for {hours} hours of {task} on {day}, {by}")]
        Doubt "day-claimed-twice" DayClaimedTwice {
            person: String, hours: String, task: String, day: String, by: String
        } => "an hour has one payer: correct the hours, claim them once, or share them in one row; hours of two grounds name their areas";
        /// One quantity claimed under two agreements.
        #[error("{quantity} of {task} is claimed {by}")]
        Doubt "quantity-claimed-twice" QuantityClaimedTwice {
            quantity: String, task: String, by: String
        } => "a metre has one owner: take one row out, or name both in one row with their shares";
        /// One crew on the grounds of two agreements.
        #[error("{people} people and {hours} hours of {task} each on {day} stand {by}")]
        Doubt "crew-in-two-places" CrewInTwoPlaces {
            people: u32, hours: String, task: String, day: String, by: String
        } => "one crew is in one place at a time: if these are the same hours, take one row out or share them in one; of two crews, or of one that parted its day, nothing to do";
        /// One quantity again on another ground.
        #[error("{quantity} of {task} stand {by}")]
        Doubt "quantity-elsewhere" QuantityElsewhere {
            quantity: String, task: String, by: String
        } => "if it is one piece of work, take one row out, or name both payers in one row with their shares; of two that are equally long, nothing to do";
        /// The stems of one day again on another ground.
        #[error("{stems} stems of {species} of {day}, of one supplier, stand {by}, and no batches tell them apart")]
        Doubt "stems-elsewhere" StemsElsewhere {
            stems: String, species: String, day: String, by: String
        } => "if they are the same plants, take one row out; else write the batch of each under `batch`";
        /// Ground that two agreements report.
        #[error("{area}, {hectares} ha, is reported {by}")]
        Doubt "ground-claimed-twice" GroundClaimedTwice {
            area: String, hectares: String, by: String
        } => "leave it in `areas` of the one that reports it, and put it under `supports` of the other";
        /// Ground that is both offset and grant.
        #[error("{area}, {hectares} ha, is ground of the offset {offset} and of the grant {grant}, and no clause that allows it is on file")]
        Doubt "offset-in-grant" OffsetInGrant { area: String, hectares: String, offset: String, grant: String }
            => "take it out of the grant's `areas`; or quote the clause under `stacking` of the offset";
        /// What an offset counts on a grant's ground, or at its cost.
        #[error("{what}, which {offset} counts, and the grant {grant} pays for it; no clause that allows it is on file")]
        Doubt "offset-met-by-grant" OffsetMetByGrant { what: String, offset: String, grant: String }
            => "what a grant pays for meets no condition of an offset unless a clause allows it: charge it to the offset, name its own ground, or quote the clause under `stacking` of the offset";
        /// A cost before the agreement was approved.
        #[error("{done} on {day}, before {agreement} was approved on {approved}; {fate}")]
        Doubt "cost-before-approval" CostBeforeApproval {
            done: &'static str, day: String, agreement: String, approved: String, fate: &'static str
        }
            => "check the day of the row, or `approved` of the agreement; else nothing to do";
        /// Tax that is claimed back and charged to the funder as well.
        #[error("{id} counts tax among its costs, and the grantee claims it back")]
        Doubt "tax-claimed-and-charged" TaxClaimedAndCharged { id: String }
            => "tax that comes back is no cost: tax = \"excluded\", or claims_tax_back = false where it does not";
        /// A receipt without the day by which its agreement counts.
        #[error("{agreement} counts receipts by {day}, and {rows} of its receipts have none in the column “{column}”: counted by the day of payment")]
        Doubt "counted-day-missing" CountedDayMissing {
            agreement: String, day: &'static str, rows: String, column: &'static str
        } => format!("write the day into the column `{column}`, or say `dates = \"paid\"` under the agreement");
        /// A cost outside the term of its agreement.
        #[error("of {day}, {side} the term of {agreement}, {term}; {fate}")]
        Doubt "outside-term" OutsideTerm {
            day: String, side: &'static str, agreement: String, term: String, fate: &'static str
        }
            => "check the day of the row, or `from` and `to` of the agreement; else nothing to do";
        /// Money spent on a line that the agreement's budget does not have.
        #[error("{sum} of {agreement} went out on `{line}`, a line that its budget does not have: {rows}")]
        Doubt "line-without-budget" LineWithoutBudget {
            sum: String, agreement: String, line: String, rows: String, nearest: Option<String>
        } => did_you_mean(nearest, "correct the line, charge another payer, or add the line as it was approved: [[agreement.budget]] or [[agreement.variation]]");
        /// A contribution that was promised and has not come.
        #[error("{who} promised {promised} to {agreement}; {received} has come")]
        Doubt "contribution-outstanding" ContributionOutstanding {
            who: String, promised: String, agreement: String, received: String
        } => "a promised contribution that has not arrived is a milestone missed: record what came, or say why under the narrative";
        /// One contribution promised to two agreements.
        #[error("{who} promised {promised} {kind} for {year} {by}")]
        Doubt "contribution-promised-twice" ContributionPromisedTwice {
            who: String, promised: String, kind: &'static str, year: String, by: String
        } => "what is given once is promised once: leave it under one agreement, or write the part that each has";
        /// What came of a promise, and receipts in kind of the same giver that say otherwise.
        #[error("{who} is said to have given {received} {how} to {agreement}, and its receipts in kind of that year come to {whole}, {part} of it there: {receipts}")]
        Doubt "contribution-unlike-receipts" ContributionUnlikeReceipts {
            who: String, received: String, how: &'static str, agreement: String, receipts: String, whole: String, part: String
        } => "a gift is counted once: the receipts show what was received and are no second gift; correct `received`, `in_kind`, or the receipts' sum or agreement";
        /// One asset in two registers, or twice in one.
        #[error("{asset} is listed {by}")]
        Doubt "asset-listed-twice" AssetListedTwice { asset: String, by: String }
            => "an asset has one register: leave it where it was paid for, or correct the serial number";
        /// An asset that no payment bought.
        #[error("{asset}, {price}, is an asset of {agreement}, and {by}")]
        Doubt "asset-without-payment" AssetWithoutPayment { asset: String, price: String, agreement: String, by: String }
            => "name the receipt that it was bought with, receipt = \"MN-511\", enter the payment, or take the asset out";
        /// An asset without a receipt, and a payment that fits it.
        #[error("{asset}, {price}, is an asset of {agreement} and names no receipt; {payment} is of that sum")]
        Doubt "asset-receipt-unnamed" AssetReceiptUnnamed { asset: String, price: String, agreement: String, payment: String, receipt: String }
            => format!("if it was bought with that, write receipt = \"{receipt}\"; else name the receipt that it was bought with");
        /// An asset bought outside the term of its agreement.
        #[error("{asset} was bought on {day}, {side} the term of {agreement}, {term}")]
        Doubt "asset-outside-term" AssetOutsideTerm {
            asset: String, day: String, side: &'static str, agreement: String, term: String
        } => "check `on` of the asset, or `from` and `to` of the agreement; what was not bought under it is not its asset";
        /// Carried out of one year and not into the next.
        #[error("{agreement} carried {out}, and {carried_in}")]
        Doubt "carried-differs" CarriedDiffers {
            agreement: String, out: String, carried_in: String
        } => "the two are one sum: correct the one that is wrong";
        /// Carried over as reported and as the records give it.
        #[error("{agreement} reported {said} carried out of {year}; received, interest and spending give {worked_out}")]
        Doubt "carried-unlike-records" CarriedUnlikeRecords { agreement: String, said: String, year: String, worked_out: String }
            => "correct the report, the instalments or the spending of that year";
        /// A change of the budget used before it was approved.
        #[error("{line} had cost {spent}, over the {before} approved then; variation {variation}")]
        Doubt "variation-before-approval" VariationBeforeApproval {
            line: String, spent: String, before: String, variation: String
        } => "money committed before its approval may be refused: ask the funder, and keep the letter";
        /// A change of the budget from another sum than was approved.
        #[error("variation {variation} changes {line} from {before}, and {approved} were approved for it then, in {at}")]
        Doubt "variation-unlike-budget" VariationUnlikeBudget {
            variation: String, line: String, before: String, approved: String, at: String
        } => "the two are one sum: correct `before` of the variation, or the budget as it was first approved";
        /// More reported under an agreement than is its own.
        #[error("{agreement} has reported {claimed} {what}; {there} are its own")]
        Doubt "reported-beyond-own" ReportedBeyondOwn { agreement: String, claimed: String, what: &'static str, there: String }
            => "correct `reported` of the agreement, or the rows that are its own: nothing may be claimed twice";
        /// A question whose answer is longer than its form takes.
        #[error("the answer to {id} has {count}, {over} more than the {limit} it may have")]
        Doubt "answer-too-long" AnswerTooLong { id: String, count: String, over: usize, limit: u32 } => "shorten the answer";
        /// A placeholder for a figure that is not there.
        #[error("`{{{{{found}}}}}` is no figure of this agreement, and is answered with “not recorded”")]
        Doubt "answer-without-figure" AnswerWithoutFigure { found: String, nearest: Option<String> }
            => did_you_mean(nearest, "`hillfolio build` lists every figure in data/figures.csv");
        /// A placeholder for a figure that can't be given for this period.
        #[error("`{{{{{found}}}}}` can't be given, {why}, and is answered with “not recorded”")]
        Doubt "answer-figure-missing" AnswerFigureMissing { found: String, why: String }
            => "write the answer of this period without it, or add the records that it is worked out of";
        /// A form that can't be opened as what its name says.
        #[error("the form can't be filled: {why}")]
        Doubt "form-unreadable" FormUnreadable { why: String } => "save it anew from the program that it was made with, as DOCX or XLSX";
        /// A placeholder of a form that stays as it is.
        #[error("`{{{{{found}}}}}` can't be filled: {why}")]
        Doubt "form-unfilled" FormUnfilled { found: String, why: String, nearest: Option<String> }
            => did_you_mean(nearest, "the README lists what a form may ask for; data/figures.csv has every figure");
        /// A form that sets a budget of the whole term beside the spending of one period.
        #[error("`{{{{{budget}}}}}` is approved for the whole term, and `{{{{{spent}}}}}` is what was spent in the period alone: side by side they mislead")]
        Doubt "form-unlike-spans" FormUnlikeSpans { budget: String, spent: String, like: String }
            => format!("beside that budget belongs all that was spent of it: `{{{{{like}}}}}`");
        /// A list of a form that is longer than the room below it: half of it would stand there, so nothing is written.
        #[error("the form is not written: the list at row {row} of the sheet `{sheet}` has {rows} rows, and {fit} fit above what stands below")]
        Doubt "form-too-few-rows" FormTooFewRows { sheet: String, row: u32, rows: usize, fit: usize }
            => format!("put in {} empty rows below row {} of that sheet, and build again", rows - fit, *row as usize + fit.max(&1) - 1);
        /// A question that nobody has answered.
        #[error("question {id} has no answer")]
        Doubt "answer-missing" AnswerMissing { id: String } => "write it as `answer`, or name its file under `file`";
    }
}
