//! One getter a kind of value.

use toml::de::DeValue;

use super::keys::{Kind, Sign, listed, nearest};
use super::raw::{COMPARED, Node, Reader, Table, describe, last_name, shown, unresolved};
use crate::geometry::{Vec2, Vec3};
use crate::quantity::{self, QuantityError};

/// Longest text for a sheet, in characters.
const TEXT_MAX: usize = 1000;

/// Longest name, in characters: it stands in one cell of a table on paper, and in a file name.
const NAME_MAX: usize = 64;

/// A number as the document has it; infinite where it is too long to be one.
fn number_of(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(number) if number.radix() == 10 => number.as_str().parse().ok(),
        DeValue::Integer(number) => i64::from_str_radix(number.as_str(), number.radix()).ok().map(|n| n as f64),
        DeValue::Float(number) => number.as_str().parse().ok(),
        _ => None,
    }
}

/// The value of a key and its kind.
fn get<'d>(table: &Table<'d>, name: &str) -> Option<(Node<'d>, Kind)> {
    Some((table.node(name)?, table.keys.get(name)?.kind))
}

impl Reader<'_> {
    fn quantity(&mut self, node: &Node<'_>, result: Result<f64, QuantityError>, sign: Sign) -> Option<f64> {
        let value = match result {
            Ok(value) => value,
            Err(error) => {
                self.error("bad-value", node.span.clone(), error.to_string(), error.help());
                return None;
            }
        };
        let allowed = match sign {
            Sign::Any => return Some(value),
            Sign::NotNegative if value >= 0.0 => return Some(value),
            Sign::Positive if value > 0.0 => return Some(value),
            Sign::NotNegative => "0 or more",
            Sign::Positive => "more than 0",
        };
        let found = match node.value {
            DeValue::String(text) => format!("\"{}\"", shown(text)),
            other => describe(other).replace("the number ", ""),
        };
        let message = format!("`{}` is {found}; {allowed} is allowed", last_name(&node.path));
        let help = if value < 0.0 { "write it without a sign" } else { "write the size you measured" };
        self.error("bad-value", node.span.clone(), message, help);
        None
    }

    pub(super) fn length_at(&mut self, node: &Node<'_>, sign: Sign) -> Option<f64> {
        let result = match node.value {
            DeValue::String(text) => quantity::parse_length(text, self.units),
            value => {
                let Some(number) = number_of(value) else {
                    self.wrong_type(node, Kind::Length(sign));
                    return None;
                };
                quantity::length_of_number(number, self.units)
            }
        };
        self.quantity(node, result, sign)
    }

    /// A length (mm).
    pub(super) fn length(&mut self, table: &Table<'_>, name: &str) -> Option<f64> {
        let (node, kind) = get(table, name)?;
        let Kind::Length(sign) = kind else { return misused(name) };
        self.length_at(&node, sign)
    }

    /// An angle (rad).
    pub(super) fn angle_at(&mut self, node: &Node<'_>, sign: Sign) -> Option<f64> {
        let result = match node.value {
            DeValue::String(text) => quantity::parse_angle(text),
            value => {
                let Some(number) = number_of(value) else {
                    self.wrong_type(node, Kind::Angle(sign));
                    return None;
                };
                quantity::angle_of_number(number)
            }
        };
        self.quantity(node, result, sign)
    }

    pub(super) fn angle(&mut self, table: &Table<'_>, name: &str) -> Option<f64> {
        let (node, kind) = get(table, name)?;
        let Kind::Angle(sign) = kind else { return misused(name) };
        self.angle_at(&node, sign)
    }

    /// A torque (N m).
    pub(super) fn torque(&mut self, table: &Table<'_>, name: &str) -> Option<f64> {
        let (node, kind) = get(table, name)?;
        let DeValue::String(text) = node.value else {
            self.wrong_type(&node, kind);
            return None;
        };
        let result = quantity::parse_torque(text);
        self.quantity(&node, result, Sign::Positive)
    }

    /// A plain number under a key that states its limits.
    pub(super) fn number(&mut self, table: &Table<'_>, name: &str) -> Option<f64> {
        let (node, kind) = get(table, name)?;
        let Kind::Number(low, high) = kind else { return misused(name) };
        self.number_at(&node, low, high)
    }

    /// A plain number between two values.
    pub(super) fn number_at(&mut self, node: &Node<'_>, low: f64, high: f64) -> Option<f64> {
        match number_of(node.value) {
            Some(number) if number >= low && number <= high => Some(number),
            _ => {
                self.wrong_type(node, Kind::Number(low, high));
                None
            }
        }
    }

    pub(super) fn count_at(&mut self, node: &Node<'_>, low: u32, high: u32) -> Option<u32> {
        let whole = matches!(node.value, DeValue::Integer(_));
        match number_of(node.value) {
            Some(number) if whole && number >= f64::from(low) && number <= f64::from(high) => Some(number as u32),
            _ => {
                self.wrong_type(node, Kind::Count(low, high));
                None
            }
        }
    }

    /// A whole number between two values.
    pub(super) fn count(&mut self, table: &Table<'_>, name: &str) -> Option<u32> {
        let (node, kind) = get(table, name)?;
        let Kind::Count(low, high) = kind else { return misused(name) };
        self.count_at(&node, low, high)
    }

    /// Any text, with its place.
    fn string<'d>(&mut self, table: &Table<'d>, name: &str) -> Option<(Node<'d>, &'d str)> {
        let (node, kind) = get(table, name)?;
        let DeValue::String(text) = node.value else {
            self.wrong_type(&node, kind);
            return None;
        };
        Some((node, text))
    }

    /// A text for the sheets; empty where there is none.
    pub(super) fn text(&mut self, table: &Table<'_>, name: &str) -> String {
        let Some((node, text)) = self.string(table, name) else { return String::new() };
        let count = text.chars().count();
        if count > TEXT_MAX {
            let message = format!("`{name}` has {count} characters; up to {TEXT_MAX} are allowed");
            self.error("bad-text", node.span, message, "shorten it: it must fit on a sheet");
        } else if let Some(c) = text.chars().find(|c| c.is_control()) {
            let message = format!("`{name}` has the control character U+{:04X}; none is allowed", c as u32);
            self.error("bad-text", node.span, message, "write it on one line, without tabs");
        }
        text.to_string()
    }

    /// A name that becomes part of a file name; the stem is found by [`super::types::stem`].
    pub(super) fn name(&mut self, table: &Table<'_>, name: &str) -> Option<String> {
        let (node, text) = self.string(table, name)?;
        let count = text.chars().count();
        let stem = super::types::stem(text);
        let (message, help) = if let Some(c) = text.chars().find(|c| c.is_control()) {
            (
                format!("the name has the control character U+{:04X}; none is allowed", c as u32),
                "write it on one line, without tabs".to_string(),
            )
        } else if count > NAME_MAX {
            let message = format!("the name has {count} characters; up to {NAME_MAX} are allowed");
            (message, "shorten it: it stands in tables and file names".to_string())
        } else if stem.is_empty() {
            let message = format!("the name \"{}\" would not make a file name", shown(text));
            (message, "use at least one of the letters a to z or a digit in it".to_string())
        } else if is_reserved(&stem) {
            let message = format!("the name \"{}\" would not make a file name on every system", shown(text));
            (message, "add a word to it".to_string())
        } else {
            return Some(text.to_string());
        };
        self.error("bad-name", node.span, message, help);
        None
    }

    /// The name of a point, with its place.
    pub(super) fn point_name<'d>(&mut self, table: &Table<'d>, name: &str) -> Option<(Node<'d>, &'d str)> {
        let (node, text) = self.string(table, name)?;
        let count = text.chars().count();
        let (message, help) = if text.trim().is_empty() {
            ("the name is empty; a word is allowed".to_string(), "name the point as you would call it across the shop")
        } else if text.chars().any(char::is_control) {
            ("the name has a control character; none is allowed".to_string(), "write it on one line, without tabs")
        } else if count > NAME_MAX {
            let message = format!("the name has {count} characters; up to {NAME_MAX} are allowed");
            (message, "shorten it: it stands in tables")
        } else {
            return Some((node, text));
        };
        self.error("bad-name", node.span, message, help);
        None
    }

    /// The name of something else, with its place.
    pub(super) fn reference<'d>(&mut self, table: &Table<'d>, name: &str) -> Option<(Node<'d>, &'d str)> {
        self.string(table, name)
    }

    /// Reports a name that does not resolve.
    pub(super) fn no_such(&mut self, node: &Node<'_>, name: &str, of: &str, known: &[&str]) {
        let (message, help) = unresolved(name, of, known);
        self.error("unknown-name", node.span.clone(), message, help);
    }

    /// True or false; `None` where there is neither.
    pub(super) fn flag(&mut self, table: &Table<'_>, name: &str) -> Option<bool> {
        let (node, kind) = get(table, name)?;
        if let DeValue::Boolean(flag) = *node.value {
            return Some(flag);
        }
        self.wrong_type(&node, kind);
        None
    }

    /// A date as `2026-03-14`; empty where there is none.
    pub(super) fn date(&mut self, table: &Table<'_>, name: &str) -> String {
        let Some((node, kind)) = get(table, name) else { return String::new() };
        match node.value {
            DeValue::Datetime(date) if date.time.is_none() && date.offset.is_none() => date.to_string(),
            _ => {
                self.wrong_type(&node, kind);
                String::new()
            }
        }
    }

    /// One of the words of a key, by its number.
    pub(super) fn word(&mut self, table: &Table<'_>, name: &str) -> Option<&'static str> {
        let (node, kind) = get(table, name)?;
        let Kind::Word(words) = kind else { return misused(name) };
        let DeValue::String(text) = node.value else {
            self.wrong_type(&node, kind);
            return None;
        };
        let found = words.iter().copied().find(|word| word == text);
        if found.is_none() {
            let message = format!("`{name}` is \"{}\"; {} is allowed", shown(text), listed(words, "or"));
            let help = match nearest(text, words.iter().copied()) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => "write one of those, in quotes".into(),
            };
            self.error("bad-value", node.span, message, help);
        }
        found
    }

    /// A point: three lengths, or the name of one (mm).
    pub(super) fn point_at(&mut self, node: &Node<'_>) -> Option<Vec3> {
        let DeValue::String(name) = node.value else { return self.three_at(node, Kind::Point) };
        if let Some(point) = self.points.get(name.as_ref()).copied() {
            self.named.insert(name.to_string());
            return point;
        }
        let known: Vec<String> = self.points.keys().take(COMPARED).cloned().collect();
        let known: Vec<&str> = known.iter().map(String::as_str).collect();
        self.no_such(node, name, "point under [points] or in [survey]", &known);
        None
    }

    /// Three lengths (mm).
    pub(super) fn three_at(&mut self, node: &Node<'_>, kind: Kind) -> Option<Vec3> {
        let items = node.items();
        if items.len() != 3 {
            self.wrong_type(node, kind);
            return None;
        }
        let all: Vec<_> = items.iter().map(|item| self.length_at(item, Sign::Any)).collect();
        match all[..] {
            [Some(x), Some(y), Some(z)] => Some(Vec3::new(x, y, z)),
            _ => None,
        }
    }

    pub(super) fn point(&mut self, table: &Table<'_>, name: &str) -> Option<Vec3> {
        let (node, _) = get(table, name)?;
        self.point_at(&node)
    }

    /// A list of points, each with its place.
    pub(super) fn points<'d>(&mut self, table: &Table<'d>, name: &'static str) -> Option<Vec<(Node<'d>, Vec3)>> {
        let (node, kind) = get(table, name)?;
        let Kind::Points(low, high) = kind else { return misused(name) };
        let items = self.list(table, name);
        node.value.as_array()?;
        if items.len() < low || items.len() > high {
            self.wrong_type(&node, kind);
            return None;
        }
        let all: Vec<_> = items.into_iter().map(|item| (self.point_at(&item), item)).collect();
        all.into_iter().map(|(point, item)| Some((item, point?))).collect()
    }

    /// A direction of length 1.
    pub(super) fn direction(&mut self, table: &Table<'_>, name: &str) -> Option<Vec3> {
        let (node, kind) = get(table, name)?;
        let vector = self.three_at(&node, kind)?;
        let unit = vector.unit();
        if unit.is_none() {
            let message = format!("`{name}` has no length; a direction is not zero");
            self.error("bad-value", node.span, message, "write a direction such as [0, 0, 1], up");
        }
        unit
    }

    /// Two lengths of any sign (mm).
    pub(super) fn pair_at(&mut self, node: &Node<'_>, sign: Sign) -> Option<Vec2> {
        let items = node.items();
        if items.len() != 2 {
            self.wrong_type(node, Kind::Pair);
            return None;
        }
        let all: Vec<_> = items.iter().map(|item| self.length_at(item, sign)).collect();
        match all[..] {
            [Some(u), Some(v)] => Some(Vec2::new(u, v)),
            _ => None,
        }
    }

    pub(super) fn pair(&mut self, table: &Table<'_>, name: &str, sign: Sign) -> Option<Vec2> {
        let (node, _) = get(table, name)?;
        self.pair_at(&node, sign)
    }

    /// One pair of lengths or a list of them (mm).
    pub(super) fn pairs(&mut self, table: &Table<'_>, name: &str) -> Option<Vec<Vec2>> {
        let (node, kind) = get(table, name)?;
        let items = node.items();
        match items.first() {
            None => {
                self.wrong_type(&node, kind);
                None
            }
            Some(first) if first.value.as_array().is_none() => self.pair_at(&node, Sign::Any).map(|pair| vec![pair]),
            Some(_) => {
                let all: Vec<_> = items.iter().map(|item| self.pair_at(item, Sign::Any)).collect();
                all.into_iter().collect()
            }
        }
    }

    /// Two plain numbers.
    pub(super) fn numbers(&mut self, table: &Table<'_>, name: &str) -> Option<[f64; 2]> {
        let (node, kind) = get(table, name)?;
        let Kind::Numbers(low, high) = kind else { return misused(name) };
        let items = node.items();
        let [first, second] = &items[..] else {
            self.wrong_type(&node, kind);
            return None;
        };
        let (first, second) = (self.number_at(first, low, high), self.number_at(second, low, high));
        Some([first?, second?])
    }

    /// Two whole numbers.
    pub(super) fn counts(&mut self, table: &Table<'_>, name: &str) -> Option<[u32; 2]> {
        let (node, kind) = get(table, name)?;
        let Kind::Counts(low, high) = kind else { return misused(name) };
        let items = node.items();
        let [first, second] = &items[..] else {
            self.wrong_type(&node, kind);
            return None;
        };
        let (first, second) = (self.count_at(first, low, high), self.count_at(second, low, high));
        Some([first?, second?])
    }
}

/// A getter that does not fit its key is a slip in this room, caught by the tests.
fn misused<T>(name: &str) -> Option<T> {
    debug_assert!(false, "{name} is read as another kind than its key says");
    None
}

/// Device names that some systems keep for themselves, with or without an ending (common practice, no source).
fn is_reserved(stem: &str) -> bool {
    let numbered =
        |word: &str| stem.strip_prefix(word).is_some_and(|n| n.len() == 1 && n.bytes().all(|b| b.is_ascii_digit()));
    matches!(stem, "con" | "prn" | "aux" | "nul") || numbered("com") || numbered("lpt")
}
