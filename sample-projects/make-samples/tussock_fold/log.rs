//! The planting book: a spreadsheet kept for three seasons, saved the way an office saved it.

use super::super::{dice::Dice, sheet::Sheet, stand};

use super::kinds_of;

/// Area, stems, days of planting.
const SEASONS: [(&str, u64, [&str; 3]); 6] = [
    ("Woolshed Face", 5_800, ["2023-06-19", "2023-06-21", "2023-06-23"]),
    ("Totara Gully", 3_900, ["2023-07-03", "2023-07-05", "2023-07-06"]),
    ("Kahikatea Flat", 4_400, ["2024-06-11", "2024-06-13", "2024-06-14"]),
    ("Basin", 7_200, ["2024-07-01", "2024-07-03", "2024-07-09"]),
    ("Roadside", 2_300, ["2025-06-10", "2025-06-11", "2025-06-12"]),
    ("Lambing Spur", 1_500, ["2025-07-01", "2025-07-02", "2025-07-08"]),
];

/// Infill: day, area, species, stems, the batch it replaces.
const INFILL: [(&str, &str, &str, u64, &str); 9] = [
    ("2024-06-18", "Woolshed Face", "Kunzea robusta", 180, "W23-02"),
    ("2024-06-18", "Woolshed Face", "Sophora tetraptera", 80, "W23-13"),
    ("2024-06-19", "Woolshed Face", "Dodonaea viscosa", 60, "W23-12"),
    ("2025-06-17", "Woolshed Face", "Myrsine australis", 80, "W23-09"),
    ("2025-06-18", "Totara Gully", "Melicytus ramiflorus", 90, "T23-08"),
    ("2025-06-18", "Totara Gully", "Aristotelia serrata", 70, "T23-09"),
    ("2025-06-18", "Totara Gully", "Alectryon excelsus", 40, "T23-17"),
    ("2025-06-24", "Kahikatea Flat", "Vitex lucens", 40, "K24-08"),
    ("2025-06-24", "Kahikatea Flat", "Dacrycarpus dacrydioides", 120, "K24-06"),
];

/// Words in the margin; every letter is one that Latin-1 holds.
const REMARKS: [(&str, &str); 8] = [
    ("W23-03", "Zoë's crew; ½ day lost to wind"),
    ("W23-09", "Steeper than 15°, harness on the top row"),
    ("T23-02", "Provenance said to be \"the gully itself\"; ask Zoë"),
    ("K24-08", "Against advice: frost lies here until September"),
    ("B24-01", "Grass ±30 cm; spots only, no strips above the track"),
    ("B24-05", "Déjà vu: second delivery of the same trays?"),
    ("R25-01", "Path kept clear; power line overhead"),
    ("L25-04", "Heeled in for 9 days, café au lait roots"),
];

/// Semicolons, days before months, Latin-1, titles above, a total below.
pub(super) fn planting_book() -> Vec<u8> {
    let mut book = Sheet::new(
        "Day planted,Block,Species (Latin),No.,Grown as,Seed from,Nursery,Batch,Guard,Replaces,Weather,Remarks",
    );
    let mut total = 0;
    for (area, stems, days) in SEASONS {
        let kinds = kinds_of(area);
        let year = &days[0][2..4];
        let rows = kinds.iter().zip(stand::shares_out(stems, &kinds)).enumerate();
        for (n, (kind, stems)) in rows {
            let batch = format!("{}{year}-{:02}", &area[..1], n + 1);
            // Most species came in two or three lots on as many days.
            let lots = if stems >= 480 { 3 } else { 1 + u64::from(stems >= 200) };
            for lot in 0..lots {
                let part = stems / lots + if lot == 0 { stems % lots } else { 0 };
                total += part;
                let remark = if lot == 0 { remark(&batch) } else { "" };
                row(&mut book, days[(n + lot as usize) % 3], area, kind.name, part, &batch, "", remark);
            }
        }
        for (n, (day, area, species, stems, replaces)) in
            INFILL.iter().enumerate().filter(|(_, row)| row.1 == area)
        {
            total += stems;
            row(
                &mut book,
                day,
                area,
                species,
                *stems,
                &format!("I{}-{:02}", &day[2..4], n + 1),
                replaces,
                "Infill",
            );
        }
        if area == "Basin" {
            book.last_row_again();
        }
    }
    let total = thousands(total);
    book.row(["TOTAL", "", "", &total, "", "", "", "", "", "", "", ""]);
    let titles = "Tussock Fold Station;;;;;;;;;;;\r\nPlanting book, winters 2023 to 2025 (kept in the woolshed);;;;;;;;;;;\r\n;;;;;;;;;;;\r\n";
    latin1(&format!("{titles}{}", book.text(';', "\r\n")))
}

#[allow(clippy::too_many_arguments, reason = "the columns of the book")]
fn row(
    book: &mut Sheet,
    day: &str,
    area: &str,
    species: &str,
    stems: u64,
    batch: &str,
    replaces: &str,
    remark: &str,
) {
    let mut dice = Dice::new(&format!("{batch} {day}"));
    let stock = *dice.one(&["tubestock", "tubestock", "seedling tray", "potted", ""]);
    let seed = *dice.one(&["Upper Fold", "Upper Fold", "Hawkstone Range", "not recorded", ""]);
    let nursery = *dice.one(&["Greywacke Natives", "Greywacke Natives", "Pukekaro Nursery", ""]);
    let guard = *dice.one(&["none", "none", "sleeve", ""]);
    let weather = *dice.one(&["fine", "showers", "southerly", "", ""]);
    let (year, month, date) = (&day[..4], &day[5..7], &day[8..]);
    let day = format!("{date}/{month}/{year}");
    book.row([
        &day,
        area,
        species,
        &thousands(stems),
        stock,
        seed,
        nursery,
        batch,
        guard,
        replaces,
        weather,
        remark,
    ]);
}

fn remark(batch: &str) -> &'static str {
    REMARKS.iter().find(|(known, _)| *known == batch).map_or("", |(_, words)| words)
}

/// `12345` as `12,345`.
fn thousands(number: u64) -> String {
    match number {
        0..1_000 => number.to_string(),
        _ => format!("{},{:03}", thousands(number / 1_000), number % 1_000),
    }
}

fn latin1(text: &str) -> Vec<u8> {
    text.chars().map(|letter| u8::try_from(u32::from(letter)).unwrap()).collect()
}
