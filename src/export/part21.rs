//! ISO 10303-21 records.

use std::fmt::{self, Display, Write};

use truck_stepio::out::{DisplayByStep, StepDisplay, StepLength};

/// A string as Part 21 writes it, quotes included.
///
/// Letters outside printable ASCII go as `\X2\` or `\X4\` hexadecimal (ISO
/// 10303-21:2016, 6.4.3; from memory). An apostrophe goes as the typographic
/// one, U+2019: doubled apostrophes are legal, but not every reader takes them.
pub(super) struct Text<'a>(pub(super) &'a str);

impl Display for Text<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_char('\'')?;
        for letter in self.0.chars() {
            match letter {
                '\'' => f.write_str("\\X2\\2019\\X0\\")?,
                '\\' => f.write_str("\\\\")?,
                ' '..='~' => f.write_char(letter)?,
                '\0'..='\u{FFFF}' => write!(f, "\\X2\\{:04X}\\X0\\", u32::from(letter))?,
                _ => write!(f, "\\X4\\{:08X}\\X0\\", u32::from(letter))?,
            }
        }
        f.write_char('\'')
    }
}

/// A list of record numbers: `(#1, #2)`.
pub(super) struct Refs<'a>(pub(super) &'a [usize]);

impl Display for Refs<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_char('(')?;
        for (i, id) in self.0.iter().enumerate() {
            write!(f, "{}#{id}", if i == 0 { "" } else { ", " })?;
        }
        f.write_char(')')
    }
}

/// `.T.` or `.F.`
pub(super) const fn flag(value: bool) -> &'static str {
    if value { ".T." } else { ".F." }
}

/// Records of the data section, numbered as they are added.
#[derive(Default)]
pub(super) struct Records {
    text: String,
    last: usize,
}

impl Records {
    /// Adds one record and returns its number.
    pub(super) fn add(&mut self, record: impl Display) -> usize {
        self.last += 1;
        // Writing to a string cannot fail.
        let _ = writeln!(self.text, "#{} = {record};", self.last);
        self.last
    }

    /// Adds a piece of geometry with the records it is made of, and returns the number of the first.
    pub(super) fn geometry(&mut self, entity: impl DisplayByStep + StepLength) -> usize {
        let first = self.last + 1;
        self.last += entity.step_length();
        let _ = write!(self.text, "{}", StepDisplay::new(entity, first));
        first
    }

    /// The whole file.
    pub(super) fn finish(self, header: &Header<'_>) -> String {
        format!("ISO-10303-21;\n{header}DATA;\n{}ENDSEC;\nEND-ISO-10303-21;\n", self.text)
    }
}

/// The header section.
pub(super) struct Header<'a> {
    /// What the file holds.
    pub(super) description: &'a str,
    /// Name of the file.
    pub(super) name: &'a str,
    /// `2026-03-14T00:00:00`, or empty.
    pub(super) time: &'a str,
    /// Who drew it.
    pub(super) author: &'a str,
    /// Program and version.
    pub(super) system: &'a str,
    /// Name of the schema with its object identifier.
    pub(super) schema: &'a str,
}

impl Display for Header<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { description, name, time, author, system, schema } = self;
        writeln!(f, "HEADER;")?;
        writeln!(f, "FILE_DESCRIPTION(({}), '2;1');", Text(description))?;
        writeln!(
            f,
            "FILE_NAME({}, {}, ({}), (''), {}, {}, '');",
            Text(name),
            Text(time),
            Text(author),
            Text(system),
            Text(system)
        )?;
        writeln!(f, "FILE_SCHEMA(({}));", Text(schema))?;
        writeln!(f, "ENDSEC;")
    }
}
