//! Diversity against the vegan package for R on the data that it ships (tests/reference/gpl-data).

use hillfolio_core::estimate::diversity::{chao1, evenness, rarefied, richness, shannon, simpson};

const EXPECTED: &str = include_str!("../gpl-data/diversity.csv");

fn close(what: &str, found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{what}: {found}, expected {expected}");
}

/// The counts of each site, in the order of the file.
fn sites(table: &str) -> Vec<Vec<u64>> {
    let counts = |line: &str| line.split(',').skip(1).map(|cell| cell.parse().unwrap()).collect();
    table.lines().skip(1).map(counts).collect()
}

/// The expected figures of each site: total, richness, Shannon, Simpson, evenness, Chao1 and its standard error.
fn expected(data: &str) -> Vec<[Option<f64>; 7]> {
    let figures = |line: &str| {
        let cells: Vec<Option<f64>> = line.split(',').skip(2).map(|cell| cell.parse().ok()).collect();
        <[Option<f64>; 7]>::try_from(cells).unwrap()
    };
    EXPECTED.lines().filter(|line| line.starts_with(data)).map(figures).collect()
}

/// vegan 2.6-4, `diversity` and `estimateR`, on the 50 plots of Barro Colorado Island and the 20 dune meadows; scikit-bio 0.7.4
/// agrees.
#[test]
fn every_site_equals_vegan() {
    let bci = sites(include_str!("../gpl-data/bci_counts.csv"));
    let dune = sites(include_str!("../gpl-data/dune_cover.csv"));
    assert_eq!((bci.len(), dune.len()), (50, 20));
    for (counts, expected) in bci.iter().zip(expected("bci")).chain(dune.iter().zip(expected("dune"))) {
        let [total, species, h, one_less_d, even, chao, error] =
            expected.map(|figure| figure.unwrap_or(f64::NAN));
        assert_eq!(counts.iter().sum::<u64>() as f64, total);
        assert_eq!(richness(counts) as f64, species);
        close("Shannon", shannon(counts).unwrap(), h, 1e-9);
        close("Simpson", simpson(counts).unwrap(), one_less_d, 1e-9);
        close("evenness", evenness(counts).unwrap(), even, 1e-9);
        close("Chao1", chao1(counts).species, chao, 1e-9);
        close("its error", chao1(counts).error, error, 1e-9);
    }
}

/// vegan 2.6-4, `rarefy`: plots 1 to 3 to 340 stems, plot 1 to 50, 100 and 200; dune meadow 2 to 15.
#[test]
fn rarefaction_by_stems_equals_vegan() {
    let bci = sites(include_str!("../gpl-data/bci_counts.csv"));
    let by_stems = |counts: &[u64], size| rarefied(counts, counts.iter().sum(), size).unwrap();
    for (plot, expected) in bci.iter().zip([84.339_919, 76.531_650, 79.115_036]) {
        close("to 340", by_stems(plot, 340), expected, 1e-6);
    }
    for (size, expected) in [(50, 32.032_14), (100, 48.253_52), (200, 67.802_86)] {
        close("plot 1", by_stems(&bci[0], size), expected, 1e-5);
    }
    let dune = sites(include_str!("../gpl-data/dune_cover.csv"));
    close("dune 2", by_stems(&dune[1], 15), 8.294_747, 1e-6);
}

/// Of the 50 plots, one holds on average as many species as the mean plot (90.78), and all hold 225: the two ends of the
/// sample-based curve, which need no other program. Between them, expected numbers of species are concave.
#[test]
fn the_curve_by_plots_runs_from_the_mean_plot_to_all_of_them() {
    let bci = sites(include_str!("../gpl-data/bci_counts.csv"));
    let species = bci[0].len();
    let held: Vec<u64> =
        (0..species).map(|at| bci.iter().filter(|plot| plot[at] > 0).count() as u64).collect();
    let mean = bci.iter().map(|plot| richness(plot)).sum::<usize>() as f64 / 50.0;
    let curve: Vec<f64> = (1..=50).map(|size| rarefied(&held, 50, size).unwrap()).collect();
    close("one plot", curve[0], mean, 1e-9);
    close("all plots", curve[49], 225.0, 1e-9);
    assert!(curve.windows(3).all(|three| three[2] - three[1] <= three[1] - three[0] + 1e-9));
}

/// Chao (1987), log-normal interval: S + T/K and S + T K of BCI plot 1 at 95 %, worked out from vegan's estimate and error.
#[test]
fn the_interval_of_chao1_never_reaches_below_what_was_seen() {
    let bci = sites(include_str!("../gpl-data/bci_counts.csv"));
    let (low, high) = chao1(&bci[0]).interval(1.959_964);
    let unseen: f64 = 117.473_684_210_526 - 93.0;
    let k = (1.959_964 * (1.0 + (11.583_784_848_658_7 / unseen).powi(2)).ln().sqrt()).exp();
    close("low", low, 93.0 + unseen / k, 1e-6);
    close("high", high, 93.0 + unseen * k, 1e-6);
    assert!(low > 93.0);
}
