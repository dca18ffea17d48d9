//! The roll-up: one report of all sites together, and one table of all their figures.

mod figures;
mod site;
mod table;

use std::path::Path;

use bytes::Bytes;
use rayon::{iter::Either, prelude::*};

use crate::{
    audit::Sums,
    portfolio::{
        PROGRAM, PortfolioError, Report, members::Member, own_templates, record::Record, task::Ending,
    },
};
use hillfolio_core::{
    intake::stamp,
    ledger::{self, Series, Standing, catalogue},
    source::{Input, sha256},
    units::Unit,
};
use hillfolio_documents::{
    draw::{
        self, Drawing,
        map::{self, sign::SiteMark},
    },
    pack::{self, File},
    typeset::{Engine, LeftOut, Portfolio, SiteLine, Told},
};
use site::Site;
use table::Table;

/// Columns of the table of sites.
const COLUMNS: [&Series; 6] = [
    &catalogue::AREA,
    &catalogue::STEMS,
    &catalogue::SURVIVAL,
    &catalogue::CARBON_STOCK,
    &catalogue::SOIL_KEPT,
    &catalogue::SPENT,
];

/// What came of a roll-up.
#[derive(Debug, Clone, PartialEq)]
pub struct RolledUp {
    /// Sites in it.
    pub sites: usize,
    /// Projects that are not in it, each with the reason.
    pub left_out: Vec<LeftOut>,
    /// Whether the report was there already, made from the same documents.
    pub unchanged: bool,
}

/// Rolls up every project of `report` whose documents are there; `None` where there is none. What it writes depends on these
/// documents alone: again gives the same, and projects that come later are taken in then.
///
/// # Errors
/// Something could not be read back, set or written; the roll-up is then as it was before.
pub fn roll_up(
    report: &Report,
    out: &Path,
    name: Option<&str>,
    templates: Option<&Path>,
) -> Result<Option<RolledUp>, PortfolioError> {
    let (there, lacking): (Vec<_>, Vec<_>) =
        report.projects.iter().partition(|(_, done)| done.ending.is_good());
    let mut left_out: Vec<LeftOut> = lacking
        .into_iter()
        .map(|(member, done)| LeftOut {
            path: member.path.clone(),
            because: match (done.ending, done.says.first()) {
                (Ending::Errors, Some(first)) => format!("its folder has errors: {first}"),
                (_, Some(first)) => format!("its documents could not be made: {first}"),
                (_, None) => "its documents are not there".to_owned(),
            },
        })
        .collect();
    if there.is_empty() {
        return Ok(None);
    }
    let members: Vec<&Member> = there.into_iter().map(|(member, _)| member).collect();
    let place = out.join("roll-up");
    let (templates, sum) = own_templates(templates)?;
    let key = key(&members, out, &left_out, name, &sum);
    let key_file = out.join("records").join("roll-up.json");
    if let Some(sites) = standing(&key_file, &key, &place) {
        return Ok(Some(RolledUp { sites, left_out, unchanged: true }));
    }
    let (sites, unread): (Vec<Site>, Vec<LeftOut>) =
        members.par_iter().partition_map(|member| match Site::read(member, &member.out(out)) {
            Ok(site) => Either::Left(site),
            Err(because) => Either::Right(LeftOut { path: member.path.clone(), because }),
        });
    left_out.extend(unread);
    if sites.is_empty() {
        return Ok(None);
    }
    let files = files(&sites, &left_out, name, &templates)?;
    pack::write_folder(&place, &files)?;
    let state =
        State { key, sites: sites.len(), sums: stamp::sum(&place.join(pack::SUMS)).unwrap_or_default() };
    let state = serde_json::to_string(&state).unwrap_or_default();
    pack::write_file(&key_file, state.as_bytes())?;
    Ok(Some(RolledUp { sites: sites.len(), left_out, unchanged: false }))
}

/// What the roll-up was made from.
#[derive(serde::Serialize, serde::Deserialize)]
struct State {
    key: String,
    sites: usize,
    /// The sum of the list of sums of its files.
    sums: String,
}

/// A sum over everything that the roll-up is made from.
fn key(members: &[&Member], out: &Path, left_out: &[LeftOut], name: Option<&str>, templates: &str) -> String {
    let documents = members.par_iter().map(|member| {
        let sums: String = Record::read(&member.record(out))
            .map(|record| {
                record.outputs.iter().map(|file| format!("{}\0{}\0", file.path, file.sha256)).collect()
            })
            .unwrap_or_default();
        format!("{}\0{}\0", member.path, sha256(sums.as_bytes()))
    });
    let mut all = format!("{PROGRAM}\0{templates}\0{}\0", name.unwrap_or_default());
    all.extend(documents.collect::<Vec<_>>());
    all.extend(left_out.iter().map(|left| format!("{}\0{}\0", left.path, left.because)));
    sha256(all.as_bytes())
}

/// How many sites the roll-up in `place` holds, if it was made from what `key` stands for and is whole.
fn standing(key_file: &Path, key: &str, place: &Path) -> Option<usize> {
    let state: State = serde_json::from_str(&stamp::text(key_file).ok()?).ok()?;
    let list = place.join(pack::SUMS);
    if state.key != key || stamp::sum(&list).ok()? != state.sums {
        return None;
    }
    let sums = Sums::of(&stamp::text(&list).ok()?);
    let is_there = |(path, sum): (&str, &str)| stamp::sum(&place.join(path)).is_ok_and(|found| found == sum);
    let whole = sums.unclear.is_empty() && sums.listed().all(is_there);
    whole.then_some(state.sites)
}

/// The files of the roll-up.
fn files(
    sites: &[Site],
    left_out: &[LeftOut],
    name: Option<&str>,
    templates: &[(String, String)],
) -> Result<Vec<File>, PortfolioError> {
    let table = Table::of(sites);
    let rows = table::as_csv(sites)?;
    let ledger = figures::fill(sites, &table);
    let (Some(from), Some(to)) =
        (sites.iter().map(|site| site.from).min(), sites.iter().map(|site| site.to).max())
    else {
        return Ok(Vec::new());
    };
    let count = sites.iter().map(|site| site.lines.len()).sum::<usize>();
    let input = Input {
        path: table::NAME.into(),
        sha256: sha256(&rows),
        bytes: rows.len() as u64,
        rows: u32::try_from(count).ok(),
    };
    let default_name = if sites.len() == 1 { "1 site".to_owned() } else { format!("{} sites", sites.len()) };
    let name = name.map_or(default_name, str::to_owned);
    let map = map_of(sites, &name, to);
    let charts: Vec<Drawing> = draw::survival_of_sites(&ledger).into_iter().collect();
    let lines: Vec<SiteLine> = sites.iter().enumerate().map(|(at, site)| line_of(at + 1, site)).collect();
    let figures = Bytes::from(ledger::csv(&ledger)?);
    let attached = [("figures.csv".to_owned(), figures.clone())];
    let report = Engine::new(templates).portfolio(&Portfolio {
        name: &name,
        from,
        to,
        periods_differ: sites.iter().any(|site| (site.from, site.to) != (from, to)),
        confidence: figures::confidence(sites),
        ledger: &ledger,
        map: map.as_ref(),
        charts: &charts,
        sites: &lines,
        left_out,
        currencies: &figures::currencies(sites),
        attached: &attached,
        inputs: &[input],
        version: env!("CARGO_PKG_VERSION"),
    })?;
    let file = |path: &str, bytes: Bytes| File { path: path.to_owned(), bytes };
    Ok(vec![
        file(table::PARQUET, table::as_parquet(sites)?.into()),
        file("portfolio.pdf", report.bytes.into()),
        file("figures.csv", figures),
        file(table::NAME, rows.into()),
    ])
}

fn map_of(sites: &[Site], name: &str, to: chrono::NaiveDate) -> Option<Drawing> {
    let placed = sites.iter().enumerate().filter_map(|(at, site)| {
        Some(map::Site { number: at + 1, name: site.name.clone(), extent: site.extent?, mark: mark_of(site) })
    });
    let state = format!("State of {}. {name}", to.format("%-d %B %Y"));
    map::sites(&placed.collect::<Vec<_>>(), &state)
}

fn mark_of(site: &Site) -> SiteMark {
    let any = |standings: &[Standing]| site.targets.iter().any(|target| standings.contains(&target.standing));
    match () {
        () if any(&[Standing::NotMet, Standing::NotShown]) => SiteMark::Short,
        () if any(&[Standing::Met, Standing::ProbablyMet]) => SiteMark::Met,
        () => SiteMark::Unjudged,
    }
}

fn line_of(number: usize, site: &Site) -> SiteLine {
    let told = |series: &&Series| {
        let (_, line) = site.figure(&series.whole())?;
        let unit = series.unit.clone().unwrap_or_else(|| Unit::Currency(line.unit().into()));
        Some(Told { value: line.number()?, interval: line.interval(), unit })
    };
    SiteLine {
        number,
        name: site.name.clone(),
        reference: site.reference.clone(),
        path: site.path.clone(),
        period: (site.from, site.to),
        figures: COLUMNS.iter().map(told).collect(),
        targets: site.targets.clone(),
        doubts: site.doubts.clone(),
    }
}
