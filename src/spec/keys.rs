//! Key tables: one for each table of a spec. They drive decoding, hints and the grammar page.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use super::grammar::ROOT;

/// The keys one table of a spec may hold.
#[derive(Debug)]
pub struct Keys {
    /// As the spec writes it, such as `[joint.upper]`.
    pub title: &'static str,
    /// What the table is for, one sentence.
    pub about: &'static str,
    /// In the order of the grammar page.
    pub keys: &'static [Key],
    /// Keys that exclude one another.
    pub choices: &'static [Choice],
}

/// One key.
#[derive(Debug)]
pub struct Key {
    /// As written.
    pub name: &'static str,
    /// What its value is.
    pub kind: Kind,
    /// Whether it must be there.
    pub need: Need,
    /// What it means.
    pub about: &'static str,
}

/// Whether a key must be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// An error without it.
    Must,
    /// An error without it, unless a shaft has a mock-up.
    Place,
    /// May be left out; the text says what then holds.
    May(&'static str),
}

/// What the grammar page says of a place left out.
const WITHOUT_PLACE: &str = "error, unless every shaft has a `mockup`";

/// Keys of which one alone may stand in a table.
#[derive(Debug)]
pub struct Choice {
    /// Their names.
    pub of: &'static [&'static str],
    /// Whether one of them must.
    pub need: Need,
}

/// Which values a quantity may take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// Any.
    Any,
    /// Zero or more.
    NotNegative,
    /// More than zero.
    Positive,
}

/// What a value is.
#[derive(Debug, Clone, Copy)]
pub enum Kind {
    /// A length.
    Length(Sign),
    /// An angle.
    Angle(Sign),
    /// A torque, more than zero.
    Torque,
    /// A plain number between two values.
    Number(f64, f64),
    /// A whole number between two values.
    Count(u32, u32),
    /// A text for the sheets.
    Text,
    /// A name that becomes part of a file name.
    Name,
    /// The name of something else in the spec or catalogue; the text says of what.
    Reference(&'static str),
    /// A list of those.
    References(&'static str),
    /// True or false.
    Flag,
    /// A date.
    Date,
    /// One of these words.
    Word(&'static [&'static str]),
    /// A point.
    Point,
    /// A list of points, at least this many and at most that.
    Points(usize, usize),
    /// A direction.
    Direction,
    /// Two lengths.
    Pair,
    /// One pair of lengths or a list of them.
    Pairs,
    /// A list of lengths.
    Lengths,
    /// Two plain numbers between two values.
    Numbers(f64, f64),
    /// Two whole numbers between two values.
    Counts(u32, u32),
    /// An end form: catalogue name or table.
    Form,
    /// A length, or a table of the other way to state it.
    LengthOr(&'static Keys),
    /// A length along a line, or a point in space.
    LengthOrPoint,
    /// A length or an angle, as what stands beside it asks.
    LengthOrAngle,
    /// A sheet size: word or two lengths.
    Sheet,
    /// `parallel`, `across` or an angle.
    Ears,
    /// `best` or an angle.
    Twist,
    /// Two words for a rail's edge, or `centre`.
    Edge,
    /// A table.
    Table(&'static Keys),
    /// A list of tables.
    Tables(&'static Keys),
    /// A table whose keys are the user's own names.
    Open(&'static str),
    /// In the format, but not acted on yet; the text says what to do meanwhile.
    Later(&'static str),
}

impl Key {
    pub(super) const fn must(name: &'static str, kind: Kind, about: &'static str) -> Self {
        Self { name, kind, need: Need::Must, about }
    }

    pub(super) const fn place(name: &'static str, about: &'static str) -> Self {
        Self { name, kind: Kind::Point, need: Need::Place, about }
    }

    pub(super) const fn may(name: &'static str, kind: Kind, default: &'static str, about: &'static str) -> Self {
        Self { name, kind, need: Need::May(default), about }
    }

    pub(super) const fn later(name: &'static str, meanwhile: &'static str) -> Self {
        Self { name, kind: Kind::Later(meanwhile), need: Need::May(""), about: "not acted on yet" }
    }
}

impl Keys {
    /// The key of that name.
    pub fn get(&self, name: &str) -> Option<&Key> {
        self.keys.iter().find(|key| key.name == name)
    }

    /// Names of the keys acted on.
    pub fn names(&self) -> impl Iterator<Item = &'static str> {
        self.keys.iter().filter(|key| !matches!(key.kind, Kind::Later(_))).map(|key| key.name)
    }
}

impl Kind {
    /// What is allowed, as a noun: `a length`.
    pub fn noun(self) -> String {
        match self {
            Self::Length(_) => "a length".into(),
            Self::Angle(_) => "an angle".into(),
            Self::Torque => "a torque".into(),
            Self::Number(low, high) => format!("a number from {low} to {high}"),
            Self::Count(low, high) if low == high => low.to_string(),
            Self::Count(low, high) => format!("a whole number from {low} to {high}"),
            Self::Text => "a text".into(),
            Self::Name => "a name".into(),
            Self::Reference(of) => format!("the name of {of}"),
            Self::References(of) => format!("a list of names of {of}"),
            Self::Flag => "true or false".into(),
            Self::Date => "a date".into(),
            Self::Word(words) => listed(words, "or"),
            Self::Point => "a point".into(),
            Self::Points(low, high) if low == high => format!("a list of {low} points"),
            Self::Points(low, _) => format!("a list of {low} or more points"),
            Self::Direction => "a direction".into(),
            Self::Pair => "a pair of lengths".into(),
            Self::Pairs => "a list of pairs of lengths".into(),
            Self::Lengths => "a list of lengths".into(),
            Self::Numbers(low, high) => format!("two numbers from {low} to {high}"),
            Self::Counts(low, high) => format!("two whole numbers from {low} to {high}"),
            Self::Form => "an end form".into(),
            Self::LengthOr(keys) => format!("a length or {}", keys.title),
            Self::LengthOrPoint => "a length or a point".into(),
            Self::LengthOrAngle => "a length or an angle".into(),
            Self::Sheet => "a sheet size".into(),
            Self::Ears => "\"parallel\", \"across\" or an angle".into(),
            Self::Twist => "\"best\" or an angle".into(),
            Self::Edge => "two faces of the rail".into(),
            Self::Table(_) | Self::Open(_) => "a table".into(),
            Self::Tables(_) => "a list of tables".into(),
            Self::Later(_) => "not acted on yet".into(),
        }
    }

    /// How one is written.
    pub fn example(self) -> &'static str {
        match self {
            Self::Length(_) => "\"2 1/4 in\" or \"57 mm\"",
            Self::Angle(_) => "\"30 deg\"",
            Self::Torque => "\"60 N m\" or \"44 ft lbf\"",
            Self::Number(..) => "a number, without quotes",
            Self::Count(..) => "a whole number, without quotes",
            Self::Text | Self::Name | Self::Reference(_) => "it in quotes",
            Self::References(_) => "[\"upper\", \"column\"]",
            Self::Flag => "true",
            Self::Date => "2026-03-14, without quotes",
            Self::Word(_) => "one of those, in quotes",
            Self::Point => "[24.5, \"-15 in\", 10.75], or a name under [points]",
            Self::Points(..) => "[[30, -11, 6], [0, -11, 6]]",
            Self::Direction => "[0, 0, 1]",
            Self::Pair => "[\"3 in\", \"2.5 in\"]",
            Self::Pairs => "[[\"0.75 in\", \"0.75 in\"], [\"5.25 in\", \"0.75 in\"]]",
            Self::Lengths => "[\"1/2 in\", \"0.9 in\"]",
            Self::Numbers(..) => "[1.0, 1.0]",
            Self::Counts(..) => "[4, 2]",
            Self::Form => "\"dd-3/4\" or { dd = { diameter = \"0.75 in\", flats = \"0.55 in\" } }",
            Self::LengthOr(_) => "\"1.60 in\" or { cap = [\"1.35 in\", \"1.85 in\"] }",
            Self::LengthOrAngle => "\"1 in\" or \"4 deg\"",
            Self::LengthOrPoint => "\"9 in\", or [24.5, \"-15 in\", 10.75]",
            Self::Sheet => "\"letter\", \"a4\" or [\"11 in\", \"17 in\"]",
            Self::Ears => "\"parallel\"",
            Self::Twist => "\"best\" or \"37 deg\"",
            Self::Edge => "\"top right\" or \"centre\"",
            Self::Table(_) | Self::Open(_) => "{ .. } or a [heading] of its own",
            Self::Tables(_) => "a [[heading]] for each",
            Self::Later(_) => "",
        }
    }
}

/// `a, b or c`, each in quotes.
pub(super) fn listed(words: &[&str], last: &str) -> String {
    joined(&words.iter().map(|word| format!("\"{word}\"")).collect::<Vec<_>>(), last)
}

/// `a, b or c`.
pub(super) fn joined<T: AsRef<str>>(words: &[T], last: &str) -> String {
    let mut text = String::new();
    for (i, word) in words.iter().enumerate() {
        if i > 0 {
            let _ = if i + 1 == words.len() { write!(text, " {last} ") } else { write!(text, ", ") };
        }
        text.push_str(word.as_ref());
    }
    text
}

/// Every key table once, parents before children.
pub fn tables() -> Vec<&'static Keys> {
    fn walk(keys: &'static Keys, seen: &mut BTreeSet<&'static str>, all: &mut Vec<&'static Keys>) {
        if !seen.insert(keys.title) {
            return;
        }
        all.push(keys);
        for key in keys.keys {
            match key.kind {
                Kind::Table(inner) | Kind::Tables(inner) | Kind::LengthOr(inner) => walk(inner, seen, all),
                Kind::Form => walk(&super::grammar::FORM, seen, all),
                _ => {}
            }
        }
    }
    let mut all = Vec::new();
    walk(&ROOT, &mut BTreeSet::new(), &mut all);
    all
}

/// Titles of the tables that have a key of that name.
pub(super) fn homes(name: &str) -> Vec<&'static str> {
    tables().into_iter().filter(|keys| keys.get(name).is_some()).map(|keys| keys.title).collect()
}

/// The nearest of some names, where one is near enough to be a slip of the pen.
pub fn nearest<'n>(wrong: &str, names: impl IntoIterator<Item = &'n str>) -> Option<&'n str> {
    // One slip in a short word, one in three letters of a longer one: more is another word.
    let most = (wrong.chars().count() / 3).max(1);
    names
        .into_iter()
        .map(|name| (strsim::osa_distance(&wrong.to_lowercase(), &name.to_lowercase()), name))
        .filter(|&(distance, _)| distance <= most)
        .min_by_key(|&(distance, _)| distance)
        .map(|(_, name)| name)
}

/// The tables of keys as Markdown, for `templates/README.md`.
pub fn markdown() -> String {
    let mut text = String::new();
    let tables = tables();
    for (i, keys) in tables.iter().enumerate() {
        let _ = writeln!(text, "### `{}`\n\n{}\n", keys.title, keys.about);
        if let Some(same) = tables.iter().take(i).find(|other| other.names().eq(keys.names()) && other.keys.len() > 2) {
            let _ = writeln!(text, "Its keys are those of `{}`.\n", same.title);
            continue;
        }
        text.push_str("| key | value | without it | meaning |\n| --- | --- | --- | --- |\n");
        for key in keys.keys {
            let (value, without, about) = match (key.kind, key.need) {
                (Kind::Later(meanwhile), _) => ("—".to_string(), "—", format!("not acted on yet: {meanwhile}")),
                (kind, Need::Must) => (value_words(kind), "error", key.about.to_string()),
                (kind, Need::Place) => (value_words(kind), WITHOUT_PLACE, key.about.to_string()),
                (kind, Need::May(default)) => (value_words(kind), default, key.about.to_string()),
            };
            let _ = writeln!(text, "| `{}` | {value} | {without} | {about} |", key.name);
        }
        for choice in keys.choices {
            let names: Vec<_> = choice.of.iter().map(|name| format!("`{name}`")).collect();
            let (rule, unless) = match choice.need {
                Need::Must => ("Exactly one of", ""),
                Need::Place => ("Exactly one of", ", or none with a mock-up alone"),
                Need::May(_) => ("At most one of", ""),
            };
            let _ = writeln!(text, "\n{rule} {}{unless}.", joined(&names, "and"));
        }
        text.push('\n');
    }
    text
}

fn value_words(kind: Kind) -> String {
    let sign = match kind {
        Kind::Length(Sign::NotNegative) | Kind::Angle(Sign::NotNegative) => ", 0 or more",
        Kind::Length(Sign::Positive) | Kind::Angle(Sign::Positive) | Kind::Torque => ", more than 0",
        Kind::Table(keys) | Kind::Tables(keys) => return format!("{} `{}`", kind.noun(), keys.title),
        Kind::LengthOr(keys) => return format!("a length or `{}`", keys.title),
        _ => "",
    };
    format!("{}{sign}", kind.noun())
}
