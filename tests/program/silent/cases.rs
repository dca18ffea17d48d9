//! The mistakes: people's own, as they were tried on the program before it noticed them.

use super::{
    Case,
    Edit::{Add, Each, Grid, Head, Put, Write},
};

const fn case(
    name: &'static str,
    edits: &'static [super::Edit],
    code: &'static str,
    rows: &'static [u32],
    says: &'static [&'static str],
) -> Case {
    Case { name, edits, code, rows, says }
}

/// Every case; a kind of mistake may have several.
pub(super) const CASES: &[Case] = &[
    // Values that no planting has.
    case(
        "sixteen thousand stems on a hectare",
        &[Put("plantings.csv", ",900,", ",30000,")],
        "too-dense",
        &[1],
        &[
            "30,700 stems on 2.00 ha of North are 15,343 a hectare",
            "one every 0.81 m",
            "a tenth of the stems would be 1,534 a hectare",
        ],
    ),
    case(
        "two hundred alive in a hundred square metres",
        &[Put(
            "tallies.csv",
            "2026-05-13,N1,Acacia melanoxylon,6,2",
            "2026-05-13,N1,Acacia melanoxylon,200,2",
        )],
        "stems-too-close",
        &[14],
        &["207 stems alive in plot N1 of 99.9 m²", "20 would be ten times fewer"],
    ),
    case(
        "a plot's radius without its decimal point",
        &[Put("plots.csv", "N2,North,5.64", "N2,North,56.4")],
        "plot-beyond-belief",
        &[3],
        &["9,993 m²", "5.64 m", "so Living stems per hectare, all areas would be"],
    ),
    case(
        "a radius that is a diameter ten times over",
        &[Put("plots.csv", "S1,South,5.64", "S1,South,35")],
        "plot-against-log",
        &[5],
        &["16 stems were set in plot S1", "the log has 800 a hectare of South"],
    ),
    case(
        "a plot larger than its area",
        &[
            Head("plots.csv", "radius_m", "size_m2"),
            Each("plots.csv", "size_m2", |_| "100".to_owned()),
            Put("plots.csv", "N3,North,100", "N3,North,100000"),
        ],
        "plot-larger-than-area",
        &[4],
        &["plot N3 has 100,000 m², North in which it lies 20,"],
    ),
    case(
        "strata of which nobody knows how large they are",
        &[Put("plots.csv", "148.0016,-35.9995,plan,upper slope", "148.0016,-35.9995,plan,gully")],
        "strata-without-size",
        &[2],
        &["the plots of North stand in several strata (1 of gully, 2 of upper slope)", "taken together"],
    ),
    case(
        "a stratum of two sizes",
        &[
            Head("plots.csv", "note", "stratum_stems"),
            Put("plots.csv", "upper slope,16,\nN2", "upper slope,16,600\nN2"),
            Put("plots.csv", "upper slope,16,\nN3", "upper slope,16,60\nN3"),
        ],
        "stratum-of-two-sizes",
        &[3],
        &["stratum upper slope is 60 here and 600 in row 2"],
    ),
    case(
        "strata larger than the area that they are parts of",
        &[
            Head("plots.csv", "note", "stratum_ha"),
            Put("plots.csv", "upper slope,16,\nN2", "upper slope,16,20\nN2"),
        ],
        "strata-beyond-area",
        &[2],
        &["the strata of North come to 20.00 ha, and the area has 2.00 ha"],
    ),
    case(
        "a length of next to nothing",
        &[Put("plots.csv", "N1,North,5.64", "N1,North,1e-300")],
        "out-of-range",
        &[2],
        &["`1e-300`", "from 0.001"],
    ),
    case(
        "a tally with a digit too many",
        &[
            Each("plots.csv", "planted_stems", |_| String::new()),
            Put("tallies.csv", "2026-05-14,S3,Acacia irrorata,7,1", "2026-05-14,S3,Acacia irrorata,70,1"),
        ],
        "plot-against-log",
        &[7],
        &["79 stems were set in plot S3", "ten times fewer stems would explain it"],
    ),
    // Units.
    case(
        "diameters in centimetres under millimetres",
        &[Each("stems.csv", "diameter_mm", |value| format!("{:.1}", value / 10.0))],
        "another-unit-likely",
        &[2, 25],
        &[
            "written in centimetres",
            "times as tall as thick",
            "Carbon stock of living wood and roots, all areas would be",
        ],
    ),
    case(
        "girths under diameters",
        &[Each("stems.csv", "diameter_mm", |value| format!("{:.0}", value * std::f64::consts::PI))],
        "another-unit-likely",
        &[2, 25],
        &["measured as girths", "Carbon stock of living wood and roots, all areas would be"],
    ),
    case(
        "girths by their heading",
        &[
            Head("stems.csv", "diameter_mm", "GBH"),
            Each("stems.csv", "GBH", |value| format!("{:.0}", value * std::f64::consts::PI)),
            Add("project.toml", "\n[tables.stems]\ncolumns = { \"GBH\" = \"diameter_mm\" }"),
        ],
        "girth-as-diameter",
        &[],
        &["`GBH`", "Carbon stock of living wood and roots, all areas would be"],
    ),
    case(
        "one diameter with its point slipped",
        &[Put("stems.csv", "N1-1,2.02,31,", "N1-1,2.02,3.1,")],
        "stem-out-of-shape",
        &[2],
        &["3.1 mm at 2.02 m", "31.0 mm would go with it"],
    ),
    case(
        "heights in metres under centimetres",
        &[Head("stems.csv", "height_m", "height_cm")],
        "another-unit-likely",
        &[2, 25],
        &["heights is 0.02", "written in metres under centimetres they would be 2."],
    ),
    case(
        "rain of 999 where nothing was read",
        &[
            Put("rain.csv", "2025-07-09,", "2025-07-09,999,x\n2024-07-09,"),
            Put("rain.csv", "2025-08-09,", "2025-08-09,999,\n2024-08-09,"),
        ],
        "rain-hole-value",
        &[10, 42],
        &["2 days bear 999 mm", "without"],
    ),
    case(
        "rain with its point slipped",
        &[Put("rain.csv", "2025-07-09,", "2025-07-09,640,\n2024-07-09,")],
        "rain-beyond-belief",
        &[10],
        &["640 mm in a day", "64 mm would be a tenth"],
    ),
    case(
        "rain of two stations",
        &[
            Head("rain.csv", "note", "station"),
            Add("rain.csv", "2025-07-01,12,Ridge\n2025-07-02,3,Valley\n2025-07-02,1,Ridge"),
        ],
        "rain-of-stations",
        &[],
        &["2 stations: Ridge (2 rows, 13.0 mm), Valley (1 rows"],
    ),
    case(
        "cover as fractions",
        &[Each("cover.csv", "percent", |value| format!("{:.2}", value / 100.0))],
        "fractions-as-percent",
        &[2, 31],
        &["as fractions they would be 22 %", "would be"],
    ),
    case(
        "the covers of a layer far over the whole",
        &[
            Put("cover.csv", "N1,ground,native grass,30", "N1,ground,native grass,90"),
            Put("cover.csv", "N1,ground,exotic grass,35", "N1,ground,grass,90"),
        ],
        "cover-beyond-whole",
        &[5],
        &["215 % together", "`grass` (90 %) may hold `native grass` (90 %)"],
    ),
    case(
        "a benchmark as a fraction",
        &[Put("benchmarks.csv", "native,60,", "native,0.6,")],
        "fractions-as-percent",
        &[2],
        &["the benchmark", "as a fraction it would be 60 %"],
    ),
    // What rises or is left out.
    case(
        "survival that rises from round to round",
        &[Put("tallies.csv", "2024-05-13,N1,Acacia melanoxylon,7,1", "2024-05-13,N1,Acacia melanoxylon,3,5")],
        "survival-rises",
        &[15],
        &["plot N1 has 13 planted stems alive on 13 May 2026, 11 on 13 May 2024"],
    ),
    case(
        "half the plots not visited again",
        &[
            Put(
                "tallies.csv",
                "2026-05-13,N1,Acacia melanoxylon,6,2,0,1,\n2026-05-13,N1,Acacia irrorata,7,1,0,1,\n",
                "",
            ),
            Put(
                "tallies.csv",
                "2026-05-13,N2,Acacia melanoxylon,6,2,0,1,\n2026-05-13,N2,Acacia irrorata,7,1,0,1,\n",
                "",
            ),
            Put(
                "tallies.csv",
                "2026-05-13,N3,Acacia melanoxylon,6,2,0,1,\n2026-05-13,N3,Acacia irrorata,7,1,0,1,\n",
                "",
            ),
        ],
        "plots-not-revisited",
        &[2, 3, 4],
        &["of 6 plots surveyed before, 3 were visited"],
    ),
    // Days.
    case(
        "tallies half of whose days are changed over",
        &[
            Put(
                "tallies.csv",
                "2026-05-13,N1,Acacia melanoxylon,6,2",
                "2026-12-05,N1,Acacia melanoxylon,2,6",
            ),
            Put("tallies.csv", "2026-05-13,N1,Acacia irrorata,7,1", "2026-12-05,N1,Acacia irrorata,2,6"),
        ],
        "days-and-months-swapped",
        &[14, 15],
        &["day and month swapped? 2026-12-05 would be 2026-05-12", "Planted stems alive, all areas would be"],
    ),
    case(
        "stems a year after the period",
        &[Put("stems.csv", "2026-05-13,N1,Acacia melanoxylon", "2027-05-13,N1,Acacia melanoxylon")],
        "after-period",
        &[2],
        &["1 of 24 rows of stems is dated after the period's end, 13 May 2027"],
    ),
    case(
        "tallies a year after the period",
        &[Put("tallies.csv", "2026-05-13,N2,Acacia melanoxylon", "2027-05-13,N2,Acacia melanoxylon")],
        "after-period",
        &[16],
        &["1 of 24 rows of tallies"],
    ),
    case(
        "cover a year after the period",
        &[Put("cover.csv", "2026-05-13,N1,canopy", "2027-05-13,N1,canopy")],
        "after-period",
        &[6],
        &["1 of 30 rows of cover"],
    ),
    case(
        "a sighting a year after the period",
        &[Put("sightings.csv", "2026-03-17", "2027-03-17")],
        "after-period",
        &[3],
        &["1 of 2 rows of sightings"],
    ),
    case(
        "a planting a year after the period",
        &[Put("plantings.csv", "2025-08-19,South", "2026-08-19,South")],
        "planted-after-period",
        &[6],
        &["1 of 5 rows of plantings", "400 stems"],
    ),
    case(
        "work a year before the period",
        &[Put("works.csv", "2025-10-15", "2024-10-15")],
        "outside-period",
        &[4],
        &["1 of 4 rows of works", "5.0 person hours"],
    ),
    case(
        "money out a year before the period",
        &[Put("spending.csv", "2025-08-20", "2024-08-20")],
        "outside-period",
        &[4],
        &["1 of 3 rows of spending", "AUD 330.00"],
    ),
    case(
        "work whose day is changed over",
        &[Put("works.csv", "2025-08-05", "2025-05-08")],
        "days-and-months-swapped",
        &[2],
        &["day and month swapped? 2025-05-08 would be 2025-08-05", "would be"],
    ),
    case(
        "money out whose day is changed over",
        &[Put("spending.csv", "2025-08-04", "2025-04-08")],
        "days-and-months-swapped",
        &[2],
        &["day and month swapped? 2025-04-08 would be 2025-08-04", "Cash spent in the period would be"],
    ),
    // Twice.
    case(
        "a planting pasted twice with another note",
        &[Add("plantings.csv", "2025-08-19,South,Acacia melanoxylon,400,tubestock,B5,,second copy")],
        "row-again",
        &[7],
        &[
            "row 6 once more but for its note",
            "Stems planted to date, all areas would be 3,200 stems and not 3,600 stems",
        ],
    ),
    case(
        "a planting pasted twice with its day in another form",
        &[Add("plantings.csv", "19 Aug 2025,South,Acacia melanoxylon,400,tubestock,B5,,")],
        "row-again",
        &[7],
        &["how its day is written", "3,200 stems and not 3,600 stems"],
    ),
    case(
        "work pasted twice with another note",
        &[Add("works.csv", "2025-08-05,Fencing,North,8,2,paid,180,m,as per invoice")],
        "row-again",
        &[6],
        &["row 2 once more", "would be"],
    ),
    case(
        "work pasted twice with its day in another form",
        &[Add("works.csv", "5 August 2025,Fencing,North,8,2,paid,180,m,")],
        "row-again",
        &[6],
        &["row 2 once more", "would be"],
    ),
    case(
        "a receipt's number twice",
        &[Add("spending.csv", "2025-09-20,Plants,330.00,30.00,Millrace Nursery,MN-237,")],
        "receipt-number-twice",
        &[5],
        &[
            "receipt MN-237 stands already in row 4",
            "AUD 660.00 together",
            "Cash spent in the period would be AUD 3,100.00 and not AUD 3,400.00",
        ],
    ),
    case(
        "a fence drawn twice",
        &[Put(
            "features.geojson",
            "{\"type\":\"Feature\",\"properties\":{\"kind\":\"track\"}",
            "{\"type\":\"Feature\",\"properties\":{\"kind\":\"fence\",\"status\":\"new\"},\"geometry\":{\"type\":\"LineString\",\"coordinates\":[[148.002,-36.00001],[148.001,-36.00001],[148.0,-36.0]]}},\n{\"type\":\"Feature\",\"properties\":{\"kind\":\"track\"}",
        )],
        "line-drawn-twice",
        &[2],
        &["m of this fence run within 3 m of shape 1", "Length of new fence would be 180"],
    ),
    case(
        "a tag twice in a day",
        &[Put("stems.csv", "Acacia irrorata,N1-4,", "Acacia irrorata,N1-2,")],
        "tag-twice",
        &[5],
        &["tag N1-2 of plot N1 stands already in row 3"],
    ),
    case(
        "a tag on two species",
        &[Put("stems.csv", "Acacia irrorata,N1-4,", "Acacia irrorata,N1-1,")],
        "tag-twice",
        &[5],
        &["count as two trees"],
    ),
    // Money.
    case(
        "tax below nothing",
        &[Put("spending.csv", "330.00,30.00", "330.00,-30.00")],
        "tax-against-amount",
        &[4],
        &["-30.00", "330.00"],
    ),
    case(
        "tax as large as the amount",
        &[Put("spending.csv", "330.00,30.00", "330.00,330.00")],
        "tax-beyond-share",
        &[4],
        &["100.0 %", "27 %"],
    ),
    case(
        "tax that no rate makes",
        &[Put("spending.csv", "330.00,30.00", "330.00,110.00")],
        "tax-beyond-share",
        &[4],
        &["33.3 %"],
    ),
    case(
        "the dollar's sign in a project in euros",
        &[
            Put("project.toml", "currency = \"AUD\"", "currency = \"EUR\""),
            Put("spending.csv", "2200.00,200.00", "$2200.00,200.00"),
        ],
        "other-currency",
        &[2],
        &["`$2200.00` is not in EUR"],
    ),
    case(
        "work that does not say who gave it",
        &[Put("works.csv", "2025-08-19,Planting,South,6,4,volunteer", "2025-08-19,Planting,South,6,4,")],
        "basis-empty",
        &[3],
        &["the 24.0 person hours count as paid", "beside 25.0 paid"],
    ),
    // Far off.
    case(
        "a sighting forty kilometres away",
        &[Put("sightings.csv", "148.001,-35.9996", "148.001,-35.6396")],
        "point-far",
        &[2],
        &["the sighting of Swamp wallaby lies 40 km"],
    ),
    // Words.
    case(
        "a cover with a letter missing",
        &[Put("cover.csv", "N2,ground,native grass", "N2,ground,native gras")],
        "words-alike",
        &[7],
        &["`native gras` and `native grass`", "1 and 5 rows"],
    ),
    case(
        "a cover in the plural",
        &[Put("cover.csv", "N2,ground,native grass", "N2,ground,native grasses")],
        "words-alike",
        &[7],
        &["`native grasses` and `native grass`"],
    ),
    case(
        "a task with a letter too many",
        &[Put("works.csv", "2026-03-17,Spot spraying", "2026-03-17,Spot sprayying")],
        "words-alike",
        &[5],
        &["`Spot sprayying` and `Spot spraying`", "4 person hours and 5"],
    ),
    case(
        "a stratum with two letters changed over",
        &[Put("plots.csv", "plan,upper slope,16,\nN3", "plan,upper solpe,16,\nN3")],
        "words-alike",
        &[3],
        &["`upper solpe` and `upper slope`", "1 and 2 rows"],
    ),
    // Work.
    case(
        "the hours of all people where those of each are read",
        &[Put("works.csv", "Planting,South,6,4,", "Planting,South,30,4,")],
        "hours-beyond-a-day",
        &[3],
        &[
            "30 hours of each of 4 people on one day are 120.0 person hours",
            "Hours worked, volunteer would be 30.0 h and not 120.0 h",
        ],
    ),
    // Species.
    case(
        "a group of plants among the species",
        &[Put("plantings.csv", "2023-08-04,South,Acacia irrorata", "2023-08-04,South,mixed shrubs")],
        "group-unknown",
        &[5],
        &["`mixed shrubs` names a group of plants"],
    ),
    case(
        "a group of plants in the list of species",
        &[
            Put("plantings.csv", "2023-08-04,South,Acacia irrorata", "2023-08-04,South,Grevillea spp."),
            Write("species.csv", "species,form\nGrevillea spp.,shrub\n"),
        ],
        "group-as-species",
        &[2],
        &["`Grevillea spp.` reads as a group of plants, and counts as one species"],
    ),
    // The ground.
    case(
        "heights with a hole that is not declared",
        &[
            Put("terrain.asc", "NODATA_value -9999\n", "NODATA_value -32768\n"),
            Put("terrain.asc", "597.9 598.0 ", "597.9 0 "),
        ],
        "terrain-hole-value",
        &[],
        &["0 m stands in 1 of the terrain's cells, and the others lie from 434 to 722 m"],
    ),
    case(
        "heights with a hole that no ground has",
        &[
            Put("terrain.asc", "NODATA_value -9999\n", "NODATA_value -32768\n"),
            Put("terrain.asc", "597.9 598.0 ", "597.9 -9999 "),
        ],
        "terrain-heights-beyond-belief",
        &[],
        &["the terrain holds heights from -9999 to 722"],
    ),
    case(
        "heights in feet taken for metres",
        &[Grid(3.280_84)],
        "slopes-differ",
        &[2, 3],
        &[
            "North slopes 33.",
            "and 11.0° by clinometer, 3.4 times as steep: heights in feet taken for metres",
        ],
    ),
    case(
        "heights in decimetres taken for metres",
        &[Grid(10.0)],
        "slopes-differ",
        &[2, 3],
        &["heights in decimetres taken for metres"],
    ),
    case(
        "heights in centimetres taken for metres",
        &[Grid(100.0)],
        "terrain-heights-beyond-belief",
        &[],
        &["which no ground has in its unit"],
    ),
    // Two tables of the same thing.
    case(
        "more stems in the works than in the planting log",
        &[Put("works.csv", "volunteer,400,stems", "volunteer,520,stems")],
        "stems-planted-differ",
        &[3],
        &["the works log has 520 stems planted in the period in South, the planting log 400", "23.1 % apart"],
    ),
    case(
        "more fence in the works than on the map",
        &[Put("works.csv", "paid,180,m", "paid,420,m")],
        "fence-differs",
        &[2],
        &["the works log has 420 m of fence put up, the map 180 m"],
    ),
    case(
        "days of planting that the planting log does not have",
        &[Add(
            "works.csv",
            "2025-08-20,Planting,South,6,4,volunteer,,,\n2025-08-21,Planting,South,6,4,volunteer,,,\n2025-08-22,Planting,South,6,4,volunteer,,,",
        )],
        "planting-days-differ",
        &[6],
        &["plantings of the period on 1 days, the works log planting on 4"],
    ),
    case(
        "work on more ground than there is",
        &[Put("works.csv", "paid,1.5,ha", "paid,15,ha")],
        "work-beyond-area",
        &[4],
        &["Spot spraying on 15 ha of North, which has 2.00 ha"],
    ),
    case(
        "hectares of the approval that are not drawn",
        &[Add(
            "project.toml",
            "\n[approval]\nauthority = \"Office\"\nreference = \"VA 1\"\nholder = \"Holder\"\nmatter = \"Clearing\"\napproved = 2022-01-01\nhectares = 5.8",
        )],
        "approved-hectares-differ",
        &[],
        &["the approval is for 5.80 ha, and 4.00 ha are drawn"],
    ),
    case(
        "a part of a cover that is more than the whole",
        &[Add(
            "cover.csv",
            "2026-05-13,N1,canopy,native shrub,40,\n2026-05-13,N2,canopy,native shrub,40,\n2026-05-13,N3,canopy,native shrub,40,\n2026-05-14,S1,canopy,native shrub,40,\n2026-05-14,S2,canopy,native shrub,40,\n2026-05-14,S3,canopy,native shrub,40,",
        )],
        "cover-part-beyond-whole",
        &[32],
        &["`native shrub`, 40.0 %, is more than `native`, 12.0 %"],
    ),
    case(
        "more trees measured than were tallied",
        &[Put(
            "tallies.csv",
            "2026-05-13,N1,Acacia irrorata,7,1,0,1",
            "2026-05-13,N1,Acacia irrorata,1,7,0,0",
        )],
        "measured-beyond-tallied",
        &[3],
        &[
            "2 trees of Acacia irrorata were measured alive in plot N1 on 13 May 2026, and 1 tallied alive there",
        ],
    ),
];
