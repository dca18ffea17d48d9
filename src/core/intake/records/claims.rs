//! The column `agreement`: the payers that a row names, each with its share.

use rust_decimal::Decimal;

use crate::{
    intake::{
        cell::Cells,
        nearest::{nearest, same},
        records::Known,
    },
    problem::Funding,
    project::{AgreementId, Claims, Payer},
};

impl Cells<'_> {
    /// The payers in the column `agreement`: `catchment`, or several with shares, `catchment 60; council 40`.
    pub(crate) fn claims(&mut self, known: &Known) -> Claims {
        const COLUMN: &str = "agreement";
        let Some(found) = self.raw(COLUMN) else { return Claims::default() };
        let written = || found.split(';').map(str::trim).filter(|part| !part.is_empty());
        let alone = written().count() == 1;
        let mut claims: Vec<(Payer, Decimal)> = Vec::new();
        for part in written() {
            let (name, share) = parted(part);
            let share = match share {
                Some(share) => share,
                None if alone => Decimal::ONE_HUNDRED,
                None => {
                    self.say(COLUMN, Funding::ShareMissing { found: part.to_owned() });
                    return Claims::default();
                }
            };
            let Some(payer) = payer(name, &known.agreements) else {
                let ids = known.agreements.iter().map(|id| &*id.0).chain([Payer::OWN]);
                let nearest = nearest(name, ids);
                self.say(COLUMN, Funding::AgreementUnknown { found: name.to_owned(), nearest });
                return Claims::default();
            };
            match claims.iter_mut().find(|(earlier, _)| *earlier == payer) {
                Some((_, sum)) => *sum += share,
                None => claims.push((payer, share)),
            }
        }
        let claims = Claims(claims);
        let sum = claims.sum();
        if sum > Decimal::ONE_HUNDRED {
            self.say(
                COLUMN,
                Funding::SharesBeyondWhole { found: found.to_owned(), sum: sum.normalize().to_string() },
            );
            return Claims::default();
        }
        claims
    }
}

/// The payer that `name` means.
pub(crate) fn payer(name: &str, agreements: &[AgreementId]) -> Option<Payer> {
    if same(name, Payer::OWN) {
        return Some(Payer::Own);
    }
    agreements.iter().find(|id| same(&id.0, name)).map(|id| Payer::Agreement(id.clone()))
}

/// A part of the cell as a name and its per cents.
fn parted(part: &str) -> (&str, Option<Decimal>) {
    let (name, share) = part.rsplit_once(char::is_whitespace).unwrap_or((part, ""));
    let share = share.trim_end_matches('%').replace(',', ".");
    let number = Decimal::from_str_exact(&share).ok().filter(|share| *share > Decimal::ZERO);
    match (number, part.trim_end_matches('%').trim_end()) {
        (Some(share), _) => (name.trim_end_matches([':', '=']).trim(), Some(share)),
        // `catchment 60 %`, with a space before the sign.
        (None, bare) if bare.len() < part.len() => parted(bare),
        (None, _) => (part, None),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_is_told_from_a_name() {
        let parts = |part| {
            let (name, share) = parted(part);
            (name.to_owned(), share.map(|share| share.to_string()))
        };
        for part in ["catchment 60", "catchment 60%", "catchment: 60 %", "catchment  60"] {
            assert_eq!(parts(part), ("catchment".to_owned(), Some("60".to_owned())), "{part}");
        }
        assert_eq!(parts("council 33.5"), ("council".to_owned(), Some("33.5".to_owned())));
        assert_eq!(parts("council"), ("council".to_owned(), None));
        assert_eq!(parts("round 0"), ("round 0".to_owned(), None));
    }
}
