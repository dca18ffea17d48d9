//! References to cells, such as `AB12` and `B2:C4`.

/// An area of cells: columns and rows, first and last.
pub(super) struct Area([u32; 4]);

impl Area {
    pub(super) fn of(text: &str) -> Option<Area> {
        let (one, other) = text.split_once(':')?;
        let row = |name: &str| {
            name.trim_start_matches(|letter: char| letter.is_ascii_alphabetic()).parse::<u32>().ok()
        };
        Some(Area([column(one)?, row(one)?, column(other)?, row(other)?]))
    }

    pub(super) fn contains(&self, (column, row): (u32, u32)) -> bool {
        let Area([left, top, right, bottom]) = *self;
        (left..=right).contains(&column) && (top..=bottom).contains(&row)
    }
}

/// The column of a reference such as `AB12`, from 1.
pub(super) fn column(reference: &str) -> Option<u32> {
    let letters = reference.bytes().take_while(u8::is_ascii_alphabetic);
    let number = letters.fold(0_u32, |sum, letter| {
        sum.saturating_mul(26) + u32::from(letter.to_ascii_uppercase() - b'A') + 1
    });
    (number > 0 && number <= 16_384).then_some(number)
}

/// The letters of a column.
pub(super) fn letters(mut column: u32) -> String {
    let mut letters = Vec::new();
    while column > 0 {
        let rest = (column - 1) % 26;
        letters.push(char::from(b'A' + u8::try_from(rest).unwrap_or(0)));
        column = (column - 1) / 26;
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_have_their_letters() {
        for (name, number) in [("A1", 1), ("Z9", 26), ("AA10", 27), ("XFD1", 16_384)] {
            assert_eq!(column(name), Some(number));
            assert_eq!(letters(number), name.trim_end_matches(|letter: char| letter.is_ascii_digit()));
        }
        assert_eq!((column("12"), column("XFE1")), (None, None));
        let area = Area::of("B2:C4").unwrap();
        assert!(area.contains((2, 4)) && !area.contains((4, 3)) && Area::of("B2").is_none());
    }
}
