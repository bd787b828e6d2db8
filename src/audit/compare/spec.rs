//! Keys of two specs.

use toml::{Table, Value};

use super::Change;

/// Longest value shown (characters).
const LONG: usize = 90;

/// Every key that differs, by its dotted name; entries of lists go by their own `name` where they have one.
pub(super) fn changes(old: &str, new: &str) -> Vec<Change> {
    let read = |text: &str| text.parse::<Table>().unwrap_or_default();
    let mut changes = Vec::new();
    tables("", &read(old), &read(new), &mut changes);
    changes
}

fn below(path: &str, key: &str) -> String {
    if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") }
}

fn tables(path: &str, old: &Table, new: &Table, out: &mut Vec<Change>) {
    for (key, after) in new {
        let path = below(path, key);
        match old.get(key) {
            None => out.push(Change { what: path, before: None, after: Some(shown(after)) }),
            Some(before) => values(&path, before, after, out),
        }
    }
    for (key, before) in old.iter().filter(|(key, _)| !new.contains_key(*key)) {
        out.push(Change { what: below(path, key), before: Some(shown(before)), after: None });
    }
}

fn values(path: &str, old: &Value, new: &Value, out: &mut Vec<Change>) {
    match (old, new) {
        _ if old == new => {}
        (Value::Table(a), Value::Table(b)) => tables(path, a, b, out),
        (Value::Array(a), Value::Array(b)) if lists_tables(a) && lists_tables(b) => lists(path, a, b, out),
        _ => out.push(Change { what: path.to_owned(), before: Some(shown(old)), after: Some(shown(new)) }),
    }
}

fn lists_tables(list: &[Value]) -> bool {
    !list.is_empty() && list.iter().all(Value::is_table)
}

/// Entries by name, or by their number where they have none.
fn lists(path: &str, old: &[Value], new: &[Value], out: &mut Vec<Change>) {
    let name = |n: usize, entry: &Value| {
        let own = entry.get("name").and_then(Value::as_str).map(|name| format!("\"{name}\""));
        own.unwrap_or_else(|| (n + 1).to_string())
    };
    let named =
        |list: &[Value]| list.iter().enumerate().map(|(n, one)| (name(n, one), one.clone())).collect::<Vec<_>>();
    let mut left = named(old);
    for (name, after) in named(new) {
        let path = format!("{path} {name}");
        match left.iter().position(|(known, _)| *known == name) {
            Some(at) => values(&path, &left.remove(at).1, &after, out),
            None => out.push(Change { what: path, before: None, after: Some("added".to_owned()) }),
        }
    }
    for (name, _) in left {
        out.push(Change { what: format!("{path} {name}"), before: Some("there".to_owned()), after: None });
    }
}

/// A value on one line.
fn shown(value: &Value) -> String {
    let text = value.to_string();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if text.chars().count() <= LONG { text } else { text.chars().take(LONG - 2).chain("..".chars()).collect() }
}
