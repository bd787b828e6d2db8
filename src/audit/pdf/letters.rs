//! From the codes of a font to letters, as a reader that copies text does it.

use std::collections::BTreeMap;

use hayro_syntax::object::Stream;

use crate::audit::ink;

/// What each two-byte code of a font stands for (its `/ToUnicode` map; ISO 32000-1, 9.10.3).
#[derive(Debug, Default)]
pub(super) struct Letters {
    map: BTreeMap<u16, String>,
}

impl Letters {
    /// Reads the single entries (`beginbfchar`) of a map; a font without one copies as U+FFFD.
    pub(super) fn read(map: Option<&Stream<'_>>) -> Self {
        let mut letters = Self::default();
        let Some(bytes) = map.and_then(|map| map.decoded().ok()) else { return letters };
        let text = String::from_utf8_lossy(&bytes);
        for block in text.split("beginbfchar").skip(1) {
            let block = block.split("endbfchar").next().unwrap_or_default();
            let mut codes = block.split('<').skip(1).map(|part| hex(part.split('>').next().unwrap_or_default()));
            while let (Some(code), Some(stands_for)) = (codes.next(), codes.next()) {
                if let [high, low] = code[..] {
                    letters.map.insert(u16::from_be_bytes([high, low]), wide(&stands_for));
                }
            }
        }
        letters
    }

    /// Whether every code shows what it is said to stand for.
    pub(super) fn true_to_font(&self) -> bool {
        self.map.iter().all(|(&code, letters)| letters.chars().all(|letter| ink::shows(code, letter)))
    }

    /// The letters of a shown string.
    pub(super) fn decode(&self, shown: &[u8]) -> String {
        let codes = shown.chunks_exact(2).map(|pair| u16::from_be_bytes([pair[0], pair[1]]));
        codes.map(|code| self.map.get(&code).map_or("\u{fffd}", String::as_str)).collect()
    }
}

/// UTF-16, high byte first.
pub(super) fn wide(bytes: &[u8]) -> String {
    let units: Vec<u16> = bytes.chunks_exact(2).map(|pair| u16::from_be_bytes([pair[0], pair[1]])).collect();
    String::from_utf16_lossy(&units)
}

fn hex(digits: &str) -> Vec<u8> {
    let digit = |byte: u8| char::from(byte).to_digit(16).and_then(|digit| u8::try_from(digit).ok());
    let digits: Vec<u8> = digits.bytes().filter_map(digit).collect();
    digits.chunks_exact(2).map(|pair| pair[0] << 4 | pair[1]).collect()
}
