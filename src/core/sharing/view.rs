//! The project as one agreement sees it: its ground, its term, its rows, its shares of them, and nothing of the others.

use std::collections::BTreeSet;

use geo::{BoundingRect as _, Intersects as _, Rect, coord};

use crate::{
    project::{
        Agreement, AreaId, Block, BudgetLine, Claims, Feature, Measure, MoneyRules, NotCharged, Origin,
        Payer, Period, PlotId, Project, Reason, Shape, SpeciesId, Spending, VarianceTest, Work, slug,
    },
    sharing::{
        Cost, Shares, budget_lines,
        told::told,
        told_of::{binds, plans, tells_of},
    },
    units::{Money, day},
};

/// Degrees around an area within which a fence or a track still belongs to it: some 30 m (judgement).
const BESIDE: f64 = 0.0003;

/// `project` as `agreement` sees it, by the `shares` of the project. What it asks for stands where that of a folder with one agreement
/// stands, so that everything else reads it alike.
#[must_use]
pub fn seen_by(project: &Project, agreement: &Agreement, shares: &Shares) -> Project {
    let payer = Payer::Agreement(agreement.id.clone());
    let period = agreement.period_beside(project.period);
    let covers = |area: &AreaId| agreement.covers(area);
    let here = |area: &Option<AreaId>| area.as_ref().is_none_or(covers);
    let plots: BTreeSet<&PlotId> =
        project.plots.iter().filter(|plot| covers(&plot.area)).map(|plot| &plot.id).collect();
    let all = agreement.areas.is_none();
    let mut view = project.clone();
    identity(&mut view, agreement);
    view.period = period;
    view.approval = agreement.approval.clone();
    view.money = money(project, agreement, period);
    view.budget = budget(agreement, period);
    view.targets = agreement.targets.clone();
    view.agreements = vec![agreement.clone()];
    view.sharing = Vec::new();
    view.own_cash = Vec::new();
    view.areas.retain(|area| covers(&area.id));
    if !all {
        view.features.retain(|feature| lies_beside(feature, &view.areas));
    }
    view.plots.retain(|plot| covers(&plot.area));
    view.tallies.retain(|row| plots.contains(&row.plot));
    view.stems.retain(|row| plots.contains(&row.plot));
    view.cover.retain(|row| plots.contains(&row.plot));
    view.benchmarks.retain(|row| here(&row.area));
    view.slopes.retain(|row| covers(&row.area));
    view.sightings.retain(|row| row.area.as_ref().map_or(all, covers));
    view.photo_points.retain(|point| point.area.as_ref().map_or(all, covers));
    let shown = shown_in_words(project, agreement);
    view.photos.retain(|photo| match (&photo.point, &photo.area) {
        _ if shown.contains(&*photo.path) => true,
        _ if !photo.claims.is_empty() => names(&photo.claims, &payer),
        (Some(point), _) => view.photo_points.iter().any(|one| one.id == *point),
        (None, Some(area)) => covers(area),
        (None, None) => all,
    });
    let plantings = project.plantings.iter().zip(&shares.plantings);
    view.plantings = plantings.filter(|(_, of)| *of.owner() == payer).map(|(row, _)| row.clone()).collect();
    view.plantings.iter_mut().for_each(|row| row.claims = whole(&payer));
    view.works = works(project, agreement, &payer, shares);
    view.not_charged.extend(not_charged(project, agreement, &payer, shares));
    view.spending = spending(project, agreement, &payer, shares);
    view.reasons.retain(|reason| match reason.claims.is_empty() {
        false => names(&reason.claims, &payer),
        true => {
            concerns(reason, agreement)
                || reason.line.as_ref().is_some_and(|line| view.spending.iter().any(|row| row.line == *line))
        }
    });
    view.reasons.iter_mut().for_each(|reason| reason.claims = whole(&payer));
    view.commitments.retain(|row| binds(project, agreement, row));
    view.actions.retain(|row| tells_of(agreement, row));
    view.programme.retain(|row| plans(agreement, row));
    let known = |area: &mut Option<AreaId>| *area = area.take().filter(covers);
    view.actions.iter_mut().map(|row| &mut row.area).for_each(known);
    view.programme.iter_mut().map(|row| &mut row.area).for_each(known);
    for claims in view
        .commitments
        .iter_mut()
        .map(|row| &mut row.claims)
        .chain(view.actions.iter_mut().map(|row| &mut row.claims))
        .chain(view.programme.iter_mut().map(|row| &mut row.claims))
        .chain(view.photos.iter_mut().map(|row| &mut row.claims))
    {
        *claims = whole(&payer);
    }
    if project.agreements.len() > 1 {
        let found: BTreeSet<SpeciesId> = species_of(&view).cloned().collect();
        view.species.retain(|one| one.origin != Origin::Folder || found.contains(&one.id));
    }
    view.receipts.retain(|input| {
        let is_it = |row: &Spending| row.receipt.as_deref().is_some_and(|name| input.path.ends_with(name));
        view.spending.iter().any(is_it)
    });
    view
}

/// The species that its rows and targets name.
fn species_of(view: &Project) -> impl Iterator<Item = &SpeciesId> {
    let asked = view.targets.iter().filter_map(|target| match &target.measure {
        Measure::Height { species } => Some(species),
        _ => None,
    });
    let planted = view.plantings.iter().map(|row| &row.species);
    let counted = view.tallies.iter().map(|row| &row.species);
    planted.chain(counted).chain(view.stems.iter().map(|row| &row.species)).chain(asked)
}

/// Whether a reason is about a line of the budget of `agreement`, or one of its targets.
pub(crate) fn concerns(reason: &Reason, agreement: &Agreement) -> bool {
    let line = |name: &String| agreement.budget.iter().any(|line| slug(&line.line.line) == slug(name));
    let target = |id: &String| agreement.targets.iter().any(|target| target.id == *id);
    reason.line.as_ref().is_some_and(line) || reason.target.as_ref().is_some_and(target)
}

/// The photos that the words of `agreement`, and those that are for all, show.
fn shown_in_words<'p>(project: &'p Project, agreement: &Agreement) -> BTreeSet<&'p str> {
    let is_mine = |path: &str| match path.strip_prefix("narrative/").and_then(|rest| rest.split_once('/')) {
        Some((whose, _)) => whose == slug(&agreement.id.0),
        None => true,
    };
    let chapters = project.narrative.iter().filter(|chapter| is_mine(&chapter.path));
    let pictures = chapters.flat_map(|chapter| &chapter.blocks).filter_map(|block| match block {
        Block::Picture(picture) => Some(&*picture.path),
        _ => None,
    });
    pictures.collect()
}

fn whole(payer: &Payer) -> Claims {
    Claims(vec![(payer.clone(), rust_decimal::Decimal::ONE_HUNDRED)])
}

fn names(claims: &Claims, payer: &Payer) -> bool {
    claims.0.iter().any(|(one, _)| one == payer)
}

fn identity(view: &mut Project, agreement: &Agreement) {
    let identity = &mut view.identity;
    identity.funder.clone_from(&agreement.funder);
    identity.program.clone_from(&agreement.program);
    if let Some(reference) = &agreement.reference {
        identity.reference.clone_from(reference);
    }
    if agreement.grantee.is_some() {
        identity.grantee.clone_from(&agreement.grantee);
    }
    if agreement.signatory.is_some() {
        identity.signatory.clone_from(&agreement.signatory);
    }
}

/// How its money is acquitted; received is what came by the period's end, interest among it, less what went back.
fn money(project: &Project, agreement: &Agreement, period: Period) -> MoneyRules {
    let by_then = |on| on <= period.to;
    let came = agreement.received_by(period.to).map(|one| one.amount);
    let interest = agreement.interest.iter().filter(|one| by_then(one.on)).map(|one| one.amount);
    let back: Money = agreement.returned.iter().filter(|one| by_then(one.on)).map(|one| one.amount).sum();
    let received = (!agreement.instalments.is_empty()).then(|| came.chain(interest).sum::<Money>() - back);
    let line = agreement.explain.iter().find(|one| one.test == VarianceTest::Line);
    MoneyRules {
        acquit: agreement.tax,
        volunteer_rate: agreement.volunteer_rate.clone().or_else(|| project.money.volunteer_rate.clone()),
        received,
        explain_beyond: line.map(|line| line.over),
    }
}

/// The budget that spending is held against, as it stands approved at the period's end: that of the financial years that begin within it
/// where all of it is by year, else that up to then; a line once.
fn budget(agreement: &Agreement, period: Period) -> Vec<BudgetLine> {
    let mut lines: Vec<BudgetLine> = Vec::new();
    for one in budget_lines(agreement, period, agreement.budget_span().into()) {
        match lines.iter_mut().find(|line| slug(&line.line) == slug(&one.line)) {
            Some(line) => {
                line.cash = line.cash + one.cash;
                line.in_kind = line.in_kind + one.in_kind;
            }
            None => lines.push(one),
        }
    }
    lines
}

/// The works that the payer bears, each with its share of the hours; the quantity stays with its owner.
fn works(project: &Project, agreement: &Agreement, payer: &Payer, shares: &Shares) -> Vec<Work> {
    let rows = project.works.iter().zip(&shares.works);
    rows.filter(|(_, of)| of.of.iter().any(|(one, _)| one == payer))
        .map(|(row, of)| Work {
            hours: row.hours.map(|hours| of.hours(payer, hours)),
            quantity: row.quantity.filter(|_| of.owner() == payer),
            unit: row.unit.clone().filter(|_| of.owner() == payer),
            claims: whole(payer),
            // Ground that another reports is not among its areas; the hours are its own all the same.
            area: row.area.clone().filter(|area| agreement.covers(area)),
            ..row.clone()
        })
        .collect()
}

/// The payments that the payer bears and its agreement admits, each with its share and the day that counts.
fn spending(project: &Project, agreement: &Agreement, payer: &Payer, shares: &Shares) -> Vec<Spending> {
    let rows = project.spending.iter().zip(&shares.spending);
    rows.enumerate()
        .flat_map(|(at, (row, (of, parts)))| {
            let mine = parts.iter().filter(|part| part.payer == *payer && part.admitted);
            mine.map(move |part| Spending {
                counted_on: agreement.dates.day(row),
                amount: part.amount,
                tax: part.tax,
                claims: whole(payer),
                evidence: Some(row.evidence_number(at)),
                shared: row.shared.clone().or_else(|| told(project, row, of, payer)),
                ..row.clone()
            })
        })
        .collect()
}

/// The payments that are the payer's by their rows or by rules, and that its agreement does not admit, each with the reason.
fn not_charged(project: &Project, agreement: &Agreement, payer: &Payer, shares: &Shares) -> Vec<NotCharged> {
    let refused = shares.costs(project, payer).filter(|cost| !cost.admitted && cost.paid != Money::ZERO);
    let one = |cost: Cost<'_>| NotCharged {
        on: cost.day,
        line: cost.row.line.clone(),
        payee: cost.row.payee.clone(),
        receipt: cost.row.receipt.clone(),
        amount: cost.amount,
        in_kind: cost.row.in_kind,
        why: match agreement.approved {
            Some(approved) if cost.day < approved && cost.day >= agreement.term.from => {
                format!("before the approval of {}", day(approved))
            }
            _ if cost.day < agreement.term.from => {
                format!("before the term, which begins on {}", day(agreement.term.from))
            }
            _ => format!("after the term, which ended on {}", day(agreement.term.to)),
        },
        at: format!("{} row {}", cost.row.source.file, cost.row.source.row),
        source: cost.row.source.clone(),
    };
    refused.map(one).collect()
}

/// Whether a feature lies on the ground of `areas`, or beside it.
fn lies_beside(feature: &Feature, areas: &[crate::project::Area]) -> bool {
    areas.iter().filter_map(|area| area.boundary.bounding_rect()).any(|rect| {
        let wide = Rect::new(
            coord! { x: rect.min().x - BESIDE, y: rect.min().y - BESIDE },
            coord! { x: rect.max().x + BESIDE, y: rect.max().y + BESIDE },
        );
        match &feature.shape {
            Shape::Points(points) => points.intersects(&wide),
            Shape::Lines(lines) => lines.intersects(&wide),
            Shape::Polygons(polygons) => polygons.intersects(&wide),
        }
    })
}
