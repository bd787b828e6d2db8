//! The spanned document, walked table by table against its keys.
//!
//! Getters answer `None` where a value is not there or is wrong; what is wrong
//! is then already in the list of diagnostics, so that all of a file come together.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::keys::{self, Keys, Kind, Need, joined, listed, nearest};
use super::types::Axes;
use crate::diagnostic::{Diagnostic, Place};
use crate::geometry::Vec3;
use crate::quantity::Unit;

/// A value of the document with its dotted key.
#[derive(Clone)]
pub(super) struct Node<'d> {
    pub(super) path: String,
    pub(super) span: Range<usize>,
    pub(super) value: &'d DeValue<'d>,
    /// Taken from a catalogue part: the span is that of the part's name.
    pub(super) from_part: bool,
}

impl<'d> Node<'d> {
    /// The items of a list; none where it is no list.
    pub(super) fn items(&self) -> Vec<Node<'d>> {
        let items = self.value.as_array().into_iter().flat_map(|array| array.iter());
        items
            .enumerate()
            .map(|(i, item)| Node {
                path: format!("{}.{i}", self.path),
                span: if self.from_part { self.span.clone() } else { item.span() },
                value: item.get_ref(),
                from_part: self.from_part,
            })
            .collect()
    }
}

/// A table opened against its keys.
pub(super) struct Table<'d> {
    pub(super) keys: &'static Keys,
    pub(super) path: String,
    pub(super) span: Range<usize>,
    own: Option<&'d DeTable<'d>>,
    under: Option<(&'d DeTable<'d>, Range<usize>)>,
}

impl<'d> Table<'d> {
    /// The value of a key, the user's own before the part's.
    pub(super) fn node(&self, name: &str) -> Option<Node<'d>> {
        debug_assert!(self.keys.get(name).is_some(), "{name} is no key of {}", self.keys.title);
        let path = join(&self.path, name);
        if let Some(value) = self.own.and_then(|own| own.get(name)) {
            return Some(Node { path, span: value.span(), value: value.get_ref(), from_part: false });
        }
        // A key of a choice the user has made otherwise is not taken from the part.
        let settled = |of: &[&str]| of.contains(&name) && of.iter().any(|other| self.has_own(other));
        if self.keys.choices.iter().any(|choice| settled(choice.of)) {
            return None;
        }
        let (under, span) = self.under.as_ref()?;
        under.get(name).map(|value| Node { path, span: span.clone(), value: value.get_ref(), from_part: true })
    }

    fn has_own(&self, name: &str) -> bool {
        self.own.is_some_and(|own| own.contains_key(name))
    }

    pub(super) fn has(&self, name: &str) -> bool {
        self.node(name).is_some()
    }

    /// The one key of some that stands here.
    pub(super) fn chosen(&self, of: &[&'static str]) -> Option<&'static str> {
        let mut present = of.iter().copied().filter(|name| self.has(name));
        present.next().filter(|_| present.next().is_none())
    }

    /// Dotted key of one of its keys.
    pub(super) fn key(&self, name: &str) -> String {
        join(&self.path, name)
    }

    /// Span of a key's value, or of the table.
    pub(super) fn span_of(&self, name: &str) -> Range<usize> {
        self.node(name).map_or_else(|| self.span.clone(), |node| node.span)
    }
}

fn join(path: &str, name: &str) -> String {
    if path.is_empty() { name.to_string() } else { format!("{path}.{name}") }
}

/// What was read so far.
#[derive(Clone)]
pub(super) struct Reader<'a> {
    file: &'a str,
    pub(super) units: Unit,
    /// Points by name; `None` where one could not be read or is still to be found.
    pub(super) points: BTreeMap<String, Option<Vec3>>,
    /// Names that stood in place of coordinates.
    pub(super) named: BTreeSet<String>,
    /// Whether places are wanted, or a mock-up alone stands in for them.
    pub(super) axes: Axes,
    pub(super) diagnostics: Vec<Diagnostic>,
    pub(super) places: BTreeMap<String, Range<usize>>,
}

impl<'a> Reader<'a> {
    pub(super) fn new(file: &'a str) -> Self {
        Self {
            file,
            units: Unit::Millimetre,
            points: BTreeMap::new(),
            named: BTreeSet::new(),
            axes: Axes::Vehicle,
            diagnostics: Vec::new(),
            places: BTreeMap::new(),
        }
    }

    pub(super) fn file(&self) -> &str {
        self.file
    }

    /// Span of a dotted key, or of the nearest table above it.
    pub(super) fn span(&self, key: &str) -> Range<usize> {
        let mut key = key;
        loop {
            if let Some(span) = self.places.get(key) {
                return span.clone();
            }
            key = key.rfind('.').map_or("", |dot| &key[..dot]);
            if key.is_empty() {
                return self.places.get("").cloned().unwrap_or(0..0);
            }
        }
    }

    pub(super) fn error(
        &mut self,
        code: &'static str,
        span: Range<usize>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        let place = Place { file: self.file.to_string(), span };
        self.diagnostics.push(Diagnostic::error(code, message).at(Some(place)).help(help));
    }

    pub(super) fn warn(
        &mut self,
        code: &'static str,
        span: Range<usize>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        let place = Place { file: self.file.to_string(), span };
        self.diagnostics.push(Diagnostic::warning(code, message).at(Some(place)).help(help));
    }

    pub(super) fn wrong_type(&mut self, node: &Node<'_>, kind: Kind) {
        let found = describe(node.value);
        let key = last_name(&node.path);
        self.error(
            "wrong-type",
            node.span.clone(),
            format!("`{key}` is {found}; {} is allowed", kind.noun()),
            format!("write {}", kind.example()),
        );
    }

    /// Opens a table: every key known, every key that must be there is.
    pub(super) fn open<'d>(&mut self, keys: &'static Keys, node: &Node<'d>) -> Option<Table<'d>> {
        let Some(own) = node.value.as_table() else {
            self.wrong_type(node, Kind::Table(keys));
            return None;
        };
        let table = if node.from_part {
            Table {
                keys,
                path: node.path.clone(),
                span: node.span.clone(),
                own: None,
                under: Some((own, node.span.clone())),
            }
        } else {
            Table { keys, path: node.path.clone(), span: node.span.clone(), own: Some(own), under: None }
        };
        self.check(&table);
        Some(table)
    }

    /// Opens a table over the table of a catalogue part, whose name stands at `span`.
    pub(super) fn open_over<'d>(
        &mut self,
        keys: &'static Keys,
        node: &Node<'d>,
        part: &'d DeTable<'d>,
        span: Range<usize>,
    ) -> Option<Table<'d>> {
        let Some(own) = node.value.as_table() else {
            self.wrong_type(node, Kind::Table(keys));
            return None;
        };
        let table =
            Table { keys, path: node.path.clone(), span: node.span.clone(), own: Some(own), under: Some((part, span)) };
        self.check(&table);
        Some(table)
    }

    /// Opens the table of a key.
    pub(super) fn table<'d>(&mut self, of: &Table<'d>, name: &'static str) -> Option<Table<'d>> {
        let Some(Kind::Table(keys)) = of.keys.get(name).map(|key| key.kind) else {
            debug_assert!(false, "{name} of {} is no table", of.keys.title);
            return None;
        };
        let node = of.node(name)?;
        // A table the user writes in part still stands over the part's.
        let under = of.under.as_ref().filter(|_| !node.from_part);
        match under.and_then(|(part, span)| Some((part.get(name)?.get_ref().as_table()?, span))) {
            Some((part, span)) => self.open_over(keys, &node, part, span.clone()),
            None => self.open(keys, &node),
        }
    }

    /// A table whose keys are not looked at: only its name is wanted.
    pub(super) fn peek<'d>(keys: &'static Keys, node: &Node<'d>) -> Option<Table<'d>> {
        let own = node.value.as_table()?;
        Some(Table { keys, path: node.path.clone(), span: node.span.clone(), own: Some(own), under: None })
    }

    /// Opens every table of a list.
    pub(super) fn tables<'d>(&mut self, of: &Table<'d>, name: &'static str) -> Vec<Option<Table<'d>>> {
        let Some(Kind::Tables(keys)) = of.keys.get(name).map(|key| key.kind) else {
            debug_assert!(false, "{name} of {} is no list of tables", of.keys.title);
            return Vec::new();
        };
        self.list(of, name).iter().map(|node| self.open(keys, node)).collect()
    }

    /// The items of a list, each with its place.
    pub(super) fn list<'d>(&mut self, of: &Table<'d>, name: &'static str) -> Vec<Node<'d>> {
        let Some(node) = of.node(name) else { return Vec::new() };
        if node.value.as_array().is_none() {
            if let Some(key) = of.keys.get(name) {
                self.wrong_type(&node, key.kind);
            }
            return Vec::new();
        }
        let items = node.items();
        for item in &items {
            self.places.insert(item.path.clone(), item.span.clone());
        }
        items
    }

    /// Finds every key that is not known, not acted on, missing, or one too many.
    fn check(&mut self, table: &Table<'_>) {
        self.places.insert(table.path.clone(), table.span.clone());
        for key in table.keys.keys {
            if let Some(node) = table.node(key.name) {
                self.places.insert(node.path, node.span);
            }
        }
        let mut meant = BTreeSet::new();
        for (name, value) in table.own.into_iter().flatten() {
            match table.keys.get(name.get_ref()).map(|key| key.kind) {
                None => meant.extend(self.unknown_key(table, name.get_ref(), name.span())),
                Some(Kind::Later(meanwhile)) => {
                    let at = match value.get_ref() {
                        DeValue::Table(_) | DeValue::Array(_) => value.span(),
                        _ => name.span(),
                    };
                    let message = format!("`{}` is not acted on yet", name.get_ref());
                    self.error("not-acted-on", at, message, meanwhile);
                }
                Some(_) => {}
            }
        }
        for key in table.keys.keys {
            if self.wants(key.need) && !table.has(key.name) && !meant.contains(key.name) {
                let home = home(table.keys, &table.path);
                let message = format!("{home} has no `{}`", key.name);
                let help = match key.kind {
                    Kind::Table(keys) | Kind::Tables(keys) if keys.title.starts_with('[') => {
                        format!("add {}: {}", keys.title, key.about)
                    }
                    Kind::Table(keys) => format!("add `{}`: {}", keys.title, key.about),
                    Kind::Text | Kind::Name | Kind::Reference(_) => {
                        format!("add `{} = \"..\"`: {}", key.name, key.about)
                    }
                    Kind::Word(words) => format!("add `{} = ..`, {}: {}", key.name, listed(words, "or"), key.about),
                    Kind::Count(low, high) if low == high => {
                        format!("add `{} = {low}`: {}", key.name, key.about)
                    }
                    Kind::Count(..) | Kind::Number(..) => format!("add `{} = ..`: {}", key.name, key.about),
                    kind => format!("add `{} = ..`: {}; such as {}", key.name, key.about, kind.example()),
                };
                self.error("missing-key", table.span.clone(), message, help);
            }
        }
        for choice in table.keys.choices {
            let present: Vec<_> = choice.of.iter().copied().filter(|name| table.has(name)).collect();
            if present.is_empty() && self.wants(choice.need) && !choice.of.iter().any(|name| meant.contains(name)) {
                let later = |name: &&&str| !matches!(table.keys.get(name).map(|key| key.kind), Some(Kind::Later(_)));
                let names: Vec<_> = choice.of.iter().filter(later).map(|name| format!("`{name}`")).collect();
                self.error(
                    "missing-key",
                    table.span.clone(),
                    format!("{} has none of {}", home(table.keys, &table.path), joined(&names, "and")),
                    "add one of them",
                );
            } else if let [_, second, ..] = present[..] {
                let names: Vec<_> = present.iter().map(|name| format!("`{name}`")).collect();
                self.error(
                    "one-too-many",
                    table.span_of(second),
                    format!("{} has {}; one of them is allowed", home(table.keys, &table.path), joined(&names, "and")),
                    "keep the one you measured and take the other out",
                );
            }
        }
    }

    /// Whether what is needed so is an error to leave out of this spec.
    fn wants(&self, need: Need) -> bool {
        match need {
            Need::Must => true,
            Need::Place => self.axes == Axes::Vehicle,
            Need::May(_) => false,
        }
    }

    /// Reports a key not known; the key it was meant to be, if that is plain.
    fn unknown_key(&mut self, table: &Table<'_>, name: &str, span: Range<usize>) -> Option<&'static str> {
        let shown = shown(name);
        let title = table.keys.title;
        let near = nearest(name, table.keys.names().filter(|known| !table.has_own(known)));
        let (message, help) = if let Some(near) = near {
            (format!("`{shown}` is not a key of {title}"), format!("did you mean `{near}`?"))
        } else {
            let homes = keys::homes(name);
            if homes.is_empty() {
                let names: Vec<_> = table.keys.names().collect();
                (format!("`{shown}` is not a key of {title}"), format!("its keys are {}", joined(&names, "and")))
            } else {
                let homes: Vec<_> = homes.iter().take(3).collect();
                let homes = joined(&homes, "or");
                (
                    format!("`{shown}` is not known in {title}"),
                    format!("it belongs in {homes}: move it under that heading"),
                )
            }
        };
        self.error("unknown-key", span, message, help);
        near
    }
}

/// The table in words, with its number where there are several: `[joint.upper] of joint 1`, `hole 2 of plate 1`.
fn home(keys: &Keys, path: &str) -> String {
    let parts: Vec<&str> = path.split('.').collect();
    let counted = |end: usize| {
        let number = parts.get(end)?.parse::<usize>().ok()? + 1;
        let noun = parts.get(end.checked_sub(1)?)?;
        Some(format!("{} {number}", noun.strip_suffix('s').unwrap_or(noun)))
    };
    let last = parts.len() - 1;
    let own = counted(last).unwrap_or_else(|| keys.title.to_string());
    match counted(1).filter(|_| last > 1) {
        Some(of) => format!("{own} of {of}"),
        None => own,
    }
}

/// Last name of a dotted key, past any index.
pub(super) fn last_name(path: &str) -> &str {
    path.rsplit('.').find(|part| part.parse::<usize>().is_err()).unwrap_or(path)
}

/// A user's text in a message: short, and free of control characters.
pub(super) fn shown(text: &str) -> String {
    /// Enough to know it again on a line of 80.
    const MOST: usize = 40;
    let clean: String = text.chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).take(MOST).collect();
    if text.chars().count() > MOST { format!("{clean}..") } else { clean }
}

/// What stands there, with its article.
pub(super) fn describe(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(text) => format!("the text \"{}\"", shown(text)),
        DeValue::Integer(number) => format!("the number {}", shown(&number.to_string())),
        DeValue::Float(number) => format!("the number {}", shown(&number.to_string())),
        DeValue::Boolean(flag) => flag.to_string(),
        DeValue::Datetime(date) => format!("the date {date}"),
        DeValue::Array(items) => match items.len() {
            0 => "an empty list".into(),
            1 => "a list of one".into(),
            n => format!("a list of {n}"),
        },
        DeValue::Table(_) => "a table".into(),
    }
}

/// Names compared with one that does not resolve: a file of a mebibyte could hold thousands, and as many mentions.
pub(super) const COMPARED: usize = 500;

/// Message and help for a name that does not resolve.
pub(super) fn unresolved(name: &str, of: &str, known: &[&str]) -> (String, String) {
    let message = format!("there is no {of} named \"{}\"", shown(name));
    let help = match nearest(name, known.iter().copied().take(COMPARED)) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None if known.is_empty() => format!("this spec has no {of}"),
        None => {
            // A dozen names fit on two lines; a longer list is better looked up.
            let few = &known[..known.len().min(12)];
            if known.len() > few.len() {
                let quoted: Vec<String> = few.iter().map(|name| format!("\"{name}\"")).collect();
                format!("known are {} and more", quoted.join(", "))
            } else {
                format!("known are {}", listed(few, "and"))
            }
        }
    };
    (message, help)
}
