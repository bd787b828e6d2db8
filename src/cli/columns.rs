//! Words in columns: lines that fit the terminal, wide letters counted as they stand.

use unicode_width::{UnicodeWidthChar as _, UnicodeWidthStr as _};

/// Columns of the terminal that everything fits.
pub(super) const WIDTH: usize = 80;

/// Words cut into lines of at most `width` columns, continued at `indent`.
pub(super) fn wrapped(words: &str, first: usize, indent: usize) -> String {
    let mut out = String::new();
    let mut column = first;
    for word in tied(words).iter().flat_map(|word| pieces(word, WIDTH - 1 - indent)) {
        let wide = word.width();
        if column + wide >= WIDTH && column > indent {
            out.push('\n');
            out.extend(std::iter::repeat_n(' ', indent));
            column = indent;
        } else if column > first || !out.is_empty() {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += wide;
    }
    out
}

/// A word in stretches of at most `room` columns: scripts without blanks and endless names are cut where they must.
fn pieces(word: &str, room: usize) -> Vec<&str> {
    let mut cut = Vec::new();
    let (mut start, mut column) = (0, 0);
    for (at, letter) in word.char_indices() {
        let wide = letter.width().unwrap_or(0);
        if column + wide > room {
            cut.push(&word[start..at]);
            (start, column) = (at, 0);
        }
        column += wide;
    }
    cut.push(&word[start..]);
    cut
}

/// Words to wrap at; a unit stays with its number.
fn tied(words: &str) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        let unit = matches!(word.trim_end_matches([',', ';', ':', ')', '.']), "in" | "mm" | "deg" | "MPa" | "%");
        match all.last_mut() {
            Some(last) if unit && last.ends_with(|c: char| c.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => all.push(word.to_owned()),
        }
    }
    all
}

/// A word with blanks up to a width, for columns; wide letters count as they stand.
pub(super) fn padded(word: &str, width: usize) -> String {
    format!("{word}{}", " ".repeat(width.saturating_sub(word.width())))
}

/// A name for the first column; one too wide for it has a line of its own.
pub(super) fn wrapped_name(name: &str, wide: usize) -> String {
    if name.width() <= wide { padded(name, wide) } else { format!("{name}\n  {}", padded("", wide)) }
}
