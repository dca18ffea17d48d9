//! What was bought with a receipt that several bear: what of its price each of them paid.

use crate::{
    intake::checks::funding::claimed_twice::bought,
    project::{AssetShare, Payer, Project},
    sharing::Shares,
    units::Money,
};

/// What `payer` bore of everything in the registers of the agreements that it did not pay for alone, or not at all by its own register.
#[must_use]
pub fn asset_shares(project: &Project, shares: &Shares, payer: &Payer) -> Vec<AssetShare> {
    let mut found = Vec::new();
    for agreement in &project.agreements {
        let lister = Payer::Agreement(agreement.id.clone());
        for asset in &agreement.assets {
            let bought_with =
                shares.costs(project, &lister).find(|cost| !cost.row.in_kind && bought(asset, cost));
            let Some(row) = bought_with.map(|cost| cost.row) else { continue };
            let of_row =
                project.spending.iter().zip(&shares.spending).find(|(one, _)| one.source == row.source);
            let Some((_, (_, parts))) = of_row.filter(|(_, (_, parts))| parts.len() > 1) else { continue };
            let borne: Money = parts
                .iter()
                .filter(|part| part.payer == *payer && part.admitted)
                .map(|part| part.amount)
                .sum();
            // Of a receipt with other things on it, the same part of the price.
            let share = (asset.price.0 * borne.0).checked_div(row.amount.0).unwrap_or_default().round_dp(2);
            if borne != Money::ZERO {
                found.push(AssetShare { asset: asset.clone(), own: lister == *payer, share: Money(share) });
            }
        }
    }
    found
}
