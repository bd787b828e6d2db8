//! Bolts through several parts.

use super::hole::clearance;
use super::names::{Named, unique};
use crate::spec::raw::{Reader, Table};
use crate::spec::types::{Bolt, HoleSize};

/// The two ends of a bolt's axis are never nearer than this (mm).
const LEAST_REACH: f64 = 1.0;

pub(super) fn bolts(reader: &mut Reader<'_>, root: &Table<'_>) -> Option<Vec<Bolt>> {
    let mut named = Vec::new();
    let mut all = Vec::new();
    for table in reader.tables(root, "bolt") {
        let Some(table) = table else {
            all.push(None);
            continue;
        };
        let name = reader.name(&table, "name");
        named.push(Named { name: name.clone(), span: table.span_of("name") });
        let from = reader.point(&table, "from");
        let reach = reader.length(&table, "reach");
        let to = match table.chosen(&["to", "along"]) {
            Some("to") => {
                if table.has("reach") {
                    let message = "`reach` goes with `along`; this bolt has `to`";
                    reader.error("one-too-many", table.span_of("reach"), message, "take it out");
                }
                reader.point(&table, "to")
            }
            Some(_) => {
                if !table.has("reach") {
                    let message = "a bolt with `along` has no `reach`";
                    let help = "add `reach = ..`: how far along it parts are looked for";
                    reader.error("missing-key", table.span.clone(), message, help);
                }
                let along = reader.direction(&table, "along");
                from.zip(along).zip(reach).map(|((from, along), reach)| from + along * reach)
            }
            None => None,
        };
        if let Some((from, to)) = from.zip(to)
            && (to - from).length() < LEAST_REACH
        {
            let message = "the two ends of the bolt's axis are one point";
            let help = "put `from` on one side of all it holds and `to` on the other";
            reader.error("degenerate", table.span_of("from"), message, help);
        }
        let size = clearance(reader, &table);
        let whole = || match size? {
            HoleSize::Clearance { bolt, diameter, drill, .. } => {
                Some(Bolt { name: name?, from: from?, to: to?, size: bolt, diameter, drill })
            }
            _ => None,
        };
        all.push(whole());
    }
    unique(reader, &named, "bolts");
    all.into_iter().collect()
}
