//! Charts hold what the ledger holds, at any size of project, and are well-formed SVG.

mod by_hand;
mod ground;
mod sheet;
pub(crate) mod surveys;

use hillfolio_core::{
    estimate::Gap,
    ledger::{FigureId, Ledger},
    project::{Bound, BudgetLine, Project, Target},
    source::{Row, Sources},
    units::{Share, Unit},
};
use hillfolio_documents::draw::charts;
use roxmltree::{Document, Node};

use crate::{
    charts::{
        by_hand::{cash, many, share, small, stems},
        sheet::{BEYOND, THIN, WIDE, bars, looked_at, named, number, words},
    },
    support::{self, money},
};

#[test]
fn a_whole_ledger_gives_every_chart() {
    let (project, ledger) = small();
    let drawings = charts(&project, &ledger);
    let names: Vec<&str> = drawings.iter().map(|drawing| drawing.name.as_str()).collect();
    assert_eq!(
        names,
        [
            "species-planted",
            "survival-by-area",
            "survival-by-species",
            "survival-by-cohort",
            "heights",
            "money-by-line"
        ]
    );
    looked_at("small", &drawings);
    assert_eq!(drawings, charts(&project, &ledger), "the same ledger gives the same bytes");
}

/// From the planting log to the bars, the estimators in between.
#[test]
fn a_filled_ledger_draws_what_the_folder_says() {
    let mut project = support::small_project();
    project.plantings[0].date = support::day("2024-08-20");
    project.stems.truncate(11);
    project.spending[0].in_kind = true;
    let drawings = charts(&project, &hillfolio_core::ledger::fill(&project));
    looked_at("filled", &drawings);
    let planted = named(&drawings, "species-planted");
    let (to_date, in_period) = (bars(planted, WIDE), bars(planted, THIN));
    let per_stem = to_date[0].1 / 1800.0;
    assert!((in_period[0].1 / per_stem - 600.0).abs() < 1.0, "1,200 of 1,800 were planted the year before");
    assert!((in_period[1].1 / per_stem - 1700.0).abs() < 1.0);
    let heights = named(&drawings, "heights");
    assert!(words(heights).contains(&"8".to_owned()) && words(heights).contains(&"3".to_owned()));
    let survival = named(&drawings, "survival-by-area");
    assert!(words(survival).windows(2).any(|pair| pair == ["2", "44"]), "{:?}", words(survival));
    let money = named(&drawings, "money-by-line");
    assert!(money.alt.contains("Plants and guards 0.00 spent of 18,400.00"), "{}", money.alt);
    assert!(words(money).contains(&"8,500.00".to_owned()), "given in kind: {:?}", words(money));
}

#[test]
fn an_empty_ledger_gives_no_chart() {
    assert!(charts(&support::small_project(), &Ledger::default()).is_empty());
}

#[test]
fn bars_are_as_long_as_their_figures() {
    let (project, ledger) = small();
    let drawings = charts(&project, &ledger);
    let planted = named(&drawings, "species-planted");
    let (to_date, in_period) = (bars(planted, WIDE), bars(planted, THIN));
    let per_stem = to_date[0].1 / 1800.0;
    assert!((to_date[1].1 / per_stem - 1700.0).abs() < 1.0);
    assert!((in_period[0].1 / per_stem - 1200.0).abs() < 1.0);
    assert!((in_period[1].1 / per_stem - 1700.0).abs() < 1.0);
    assert!(
        to_date.iter().chain(&in_period).all(|bar| (bar.0 - to_date[0].0).abs() < 0.03),
        "all begin at zero"
    );
    for word in ["Acacia melanoxylon", "1,800", "1,200", "3,500", "2,900", "all species"] {
        assert!(words(planted).iter().any(|text| text == word), "{word}");
    }
}

#[test]
fn money_past_its_budget_is_marked_and_in_kind_stands_apart() {
    let (project, ledger) = small();
    let drawings = charts(&project, &ledger);
    let chart = named(&drawings, "money-by-line");
    let (budget, spent, beyond) = (bars(chart, WIDE), bars(chart, THIN), bars(chart, BEYOND));
    let unit = budget[0].1 / 18_400.0;
    for (bar, amount) in [
        (budget[1], 9500.0),
        (budget[2], 1200.0),
        (spent[0], 18_400.0),
        (spent[1], 4120.0),
        (spent[2], 850.0),
        (beyond[0], 850.5),
    ] {
        assert!((bar.1 / unit - amount).abs() < 10.0, "{} for {amount}", bar.1 / unit);
    }
    assert_eq!(beyond.len(), 1);
    assert!(chart.caption.contains("where more was spent"));
    assert!(chart.alt.contains("Plants and guards 19,250.50 spent of 18,400.00"), "{}", chart.alt);
}

#[test]
fn refunds_and_lines_without_a_budget_are_drawn() {
    let (mut project, mut ledger) = small();
    project.spending[0].line = "Weed control".to_owned();
    cash(&mut ledger, "spend.line.fencing", "-1500");
    cash(&mut ledger, "spend.line.weed-control", "600");
    let drawings = charts(&project, &ledger);
    looked_at("refund", &drawings);
    let chart = named(&drawings, "money-by-line");
    let (budget, spent) = (bars(chart, WIDE), bars(chart, THIN));
    let unit = budget[0].1 / 18_400.0;
    let refund = spent.iter().find(|bar| bar.0 < budget[0].0 - 0.1).unwrap();
    assert!((refund.1 / unit - 1500.0).abs() < 10.0);
    assert!(((refund.0 + refund.1) - budget[0].0).abs() < 0.05, "it ends where the others begin");
    assert!(
        words(chart).contains(&"−1,500.00".to_owned()) && words(chart).contains(&"Weed control".to_owned())
    );
}

#[test]
fn a_dot_stands_at_its_value_and_is_open_without_an_interval() {
    let (project, ledger) = small();
    let drawings = charts(&project, &ledger);
    let chart = named(&drawings, "survival-by-species");
    let parsed = Document::parse(&chart.svg).unwrap();
    let axis: Vec<(String, f64)> = parsed
        .descendants()
        .filter(|node| node.has_tag_name("text") && node.attribute("text-anchor") == Some("middle"))
        .filter_map(|node| Some((node.text()?.to_owned(), number(node, "x")?)))
        .collect();
    let at = |label: &str| axis.iter().find(|(text, _)| text == label).unwrap().1;
    let (zero, whole) = (at("0\u{a0}%"), at("100\u{a0}%"));
    let centre = |node: Node<'_, '_>| (number(node, "cx").unwrap() - zero) / (whole - zero);
    let circles: Vec<Node<'_, '_>> =
        parsed.descendants().filter(|node| node.has_tag_name("circle")).collect();
    let closed: Vec<f64> =
        circles.iter().filter(|c| c.attribute("fill") == Some(THIN)).map(|c| centre(*c)).collect();
    let open: Vec<f64> =
        circles.iter().filter(|c| c.attribute("fill") == Some("none")).map(|c| centre(*c)).collect();
    assert_eq!((closed.len(), open.len()), (2, 1), "one species and all species have intervals");
    assert!((closed[0] - 0.884).abs() < 0.001 && (closed[1] - 0.876).abs() < 0.001, "{closed:?}");
    assert!((open[0] - 0.869).abs() < 0.001, "{open:?}");
    assert!(words(chart).contains(&"80.2–93.4\u{a0}%".to_owned()), "{:?}", words(chart));
    assert!(words(chart).contains(&"grant: at least 80\u{a0}%".to_owned()));
    assert!(
        words(chart).windows(2).any(|pair| pair == ["4", "43"]),
        "4 plots with 43 stems tallied: {:?}",
        words(chart)
    );
}

#[test]
fn stems_of_one_tag_are_one_tree_and_every_tree_is_a_dot() {
    let (mut project, ledger) = small();
    let trees = |project: &Project| {
        let drawings = charts(project, &ledger);
        let chart = named(&drawings, "heights");
        let parsed = Document::parse(&chart.svg).unwrap();
        let dots = parsed.descendants().filter(|node| node.attribute("r") == Some("21"));
        let heights = dots.map(|dot| number(dot, "cx").unwrap()).collect::<Vec<f64>>();
        (heights, words(chart).iter().filter(|text| *text == "8").count())
    };
    let (apart, said) = trees(&project);
    assert_eq!((apart.len(), said), (16, 2), "8 trees of each species");
    let (first, other) = (project.stems[0].tag.clone(), project.stems[4].plot.clone());
    assert_eq!(project.stems[0].plot, other);
    project.stems[4].tag = first;
    let (joined, said) = trees(&project);
    assert_eq!((joined.len(), said), (15, 1));
    let tallest = project.stems[4].height.unwrap().0;
    let at = |metres: f64| {
        let (low, high) = (0.6, 0.6 + 0.07 * 15.0);
        let (left, right) = apart.iter().fold((f64::MAX, 0.0_f64), |(l, r), x| (l.min(*x), r.max(*x)));
        left + (metres - low) / (high - low) * (right - left)
    };
    assert!(joined.iter().any(|x| (x - at(tallest)).abs() < 0.05), "the tree is as tall as its tallest stem");
    assert!(!joined.iter().any(|x| (x - at(0.6)).abs() < 0.05));
}

#[test]
fn targets_of_one_value_share_a_line_and_an_area_may_have_its_own() {
    let (mut project, ledger) = small();
    let model = project.targets[0].clone();
    for (under, area, value) in
        [("offset", None, 0.80), ("offset", None, 0.85), ("grant", Some("Gully head"), 0.6)]
    {
        project.targets.push(Target {
            under: under.to_owned(),
            area: area.map(support::area_id),
            bound: Bound::AtLeast(value),
            ..model.clone()
        });
    }
    let drawings = charts(&project, &ledger);
    looked_at("targets", &drawings);
    let chart = named(&drawings, "survival-by-area");
    let said: Vec<String> = words(chart).into_iter().filter(|text| text.contains("at least")).collect();
    assert_eq!(said, ["grant, offset: at least 80\u{a0}%", "offset: at least 85\u{a0}%"]);
    assert!(chart.caption.contains("that area's own target"));
    assert!(!named(&drawings, "survival-by-species").caption.contains("own target"));
}

#[test]
fn what_has_no_figure_is_named_with_its_reason() {
    let (project, mut ledger) = small();
    ledger.enter::<Share>(
        FigureId::fixed("survival.gully-head"),
        "Planted stems alive",
        Unit::Fraction,
        Err(Gap::NotSurveyed),
    );
    let drawings = charts(&project, &ledger);
    let chart = named(&drawings, "survival-by-area");
    assert!(
        chart.caption.contains("No figure for Gully head: no plot was surveyed there"),
        "{}",
        chart.caption
    );
    assert!(!words(chart).contains(&"Gully head".to_owned()));
}

#[test]
fn sixty_species_and_one_fit_a_page() {
    for count in [1, 18, 19, 60, 75] {
        let (project, ledger) = many(count);
        let drawings = charts(&project, &ledger);
        looked_at(&format!("many{count}"), &drawings);
        let planted = named(&drawings, "species-planted");
        let rows = bars(planted, WIDE).len();
        assert_eq!(rows, if count > 18 { 17 } else { count as usize });
        let others = words(planted).into_iter().find(|text| text.ends_with("stems each"));
        assert_eq!(others.is_some(), count > 18);
        if let Some(others) = others {
            assert!(others.starts_with(&format!("{} others, ", count - 17)), "{others}");
        }
        let survival = named(&drawings, "survival-by-species");
        assert_eq!(survival.caption.contains("left out"), count > 60);
    }
}

#[test]
fn nothing_planted_and_nothing_spent_draw_nothing() {
    let (project, mut ledger) = (support::small_project(), Ledger::default());
    stems(&mut ledger, "plantings.species-stems.acacia-melanoxylon", 0);
    stems(&mut ledger, "plantings.stems.all", 0);
    cash(&mut ledger, "budget.line.fencing", "0");
    cash(&mut ledger, "spend.line.fencing", "0");
    assert!(charts(&project, &ledger).is_empty());
    share(&mut ledger, "survival.species.acacia-melanoxylon", 0.0, None, Sources::default());
    let drawings = charts(&project, &ledger);
    looked_at("dead", &drawings);
    assert_eq!(drawings.len(), 1, "none alive is a figure, and is drawn");
}

#[test]
fn what_people_wrote_stays_text() {
    let (mut project, mut ledger) = small();
    let line = "<script>alert(\"1\")</script> & #panic() \u{0}\n\u{202e}x ".to_owned() + &"long ".repeat(60);
    project.budget.push(BudgetLine {
        line: line.clone(),
        cash: money("100"),
        in_kind: money("0"),
        source: Row { file: "project.toml".into(), row: 40 },
    });
    cash(&mut ledger, FigureId::of("budget.line", &line).as_str(), "100");
    let drawings = charts(&project, &ledger);
    looked_at("hostile", &drawings);
    let chart = named(&drawings, "money-by-line");
    let parsed = Document::parse(&chart.svg).unwrap();
    assert!(!parsed.descendants().any(|node| node.has_tag_name("script")));
    assert!(words(chart).iter().any(|text| text.starts_with("<script>alert(\"1\")") && text.ends_with('…')));
}
