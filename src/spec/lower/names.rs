//! Names: unique where they must be, and of what they stand for.

use std::collections::BTreeMap;
use std::ops::Range;

use super::joint::JointRead;
use super::shaft::ShaftRead;
use crate::spec::raw::{Node, Reader, shown};
use crate::spec::types::{Body, stem};

/// Something with a name, read whole or not.
pub(super) struct Named {
    pub(super) name: Option<String>,
    pub(super) span: Range<usize>,
}

/// Reports names of one list that are the same, or would make the same file name.
pub(super) fn unique(reader: &mut Reader<'_>, names: &[Named], of: &str) {
    let mut seen: BTreeMap<String, &str> = BTreeMap::new();
    for later in names {
        let Some(name) = &later.name else { continue };
        let Some(earlier) = seen.insert(stem(name), name) else { continue };
        let message = if earlier == name {
            format!("two {of} have the name \"{}\"; each has its own", shown(name))
        } else {
            format!(
                "the names \"{}\" and \"{}\" of two {of} make one file name, `{}`",
                shown(earlier),
                shown(name),
                stem(name)
            )
        };
        reader.error("duplicate-name", later.span.clone(), message, "rename one of them");
    }
}

/// The parts of the linkage by name.
pub(super) struct Names {
    bodies: Vec<(String, Body)>,
    /// Whether every joint and shaft has a name that was read.
    whole: bool,
}

impl Names {
    /// Column, joints, shafts, gear; reports those that bear one name.
    pub(super) fn new(reader: &mut Reader<'_>, joints: &[JointRead], shafts: &[ShaftRead]) -> Self {
        let mut bodies = vec![("column".to_string(), Body::Column)];
        let mut named = Vec::new();
        let slips_of = shafts;
        let joints = joints.iter().enumerate().map(|(i, joint)| (&joint.name, Body::Joint(i), "joint", i));
        let shafts = shafts.iter().enumerate().map(|(i, shaft)| (&shaft.name, Body::Shaft(i), "shaft", i));
        let mut whole = true;
        let slips: Vec<bool> = slips_of.iter().map(ShaftRead::slips).collect();
        for (name, body, list, i) in joints.chain(shafts) {
            let span = reader.span(&format!("{list}.{i}.name"));
            if let Some(name) = name {
                if matches!(stem(name).as_str(), "column" | "gear") {
                    let message = format!("a {list} is named \"{}\"; that name is the spec's own", shown(name));
                    reader.error("bad-name", span.clone(), message, "add a word to it, such as \"column joint\"");
                }
                bodies.push((name.clone(), body));
            } else {
                whole = false;
            }
            // The members of a slip shaft have files of their own, named after it.
            if let Body::Shaft(i) = body
                && let (Some(name), Some(true)) = (name, slips.get(i))
            {
                let members = ["outer", "inner"].map(|member| Some(format!("{name} {member}")));
                named.extend(members.map(|name| Named { name, span: span.clone() }));
            }
            named.push(Named { name: name.clone(), span });
        }
        bodies.push(("gear".to_string(), Body::Gear));
        unique(reader, &named, "joints or shafts");
        Self { bodies, whole }
    }

    /// Every part, column first and gear last.
    pub(super) fn bodies(&self) -> Vec<Body> {
        self.bodies.iter().map(|(_, body)| *body).collect()
    }

    /// A part by name, of those that `fits` accepts; `of` says which those are.
    pub(super) fn body(
        &self,
        reader: &mut Reader<'_>,
        node: &Node<'_>,
        name: &str,
        of: &str,
        fits: impl Fn(Body) -> bool,
    ) -> Option<Body> {
        let known: Vec<&(String, Body)> = self.bodies.iter().filter(|(_, body)| fits(*body)).collect();
        let found = known.iter().find(|(known, _)| known == name).map(|(_, body)| *body);
        // Where a joint or shaft could not be read, its name may be the one asked for.
        if found.is_none() && self.whole {
            let known: Vec<&str> = known.iter().map(|(name, _)| name.as_str()).collect();
            reader.no_such(node, name, of, &known);
        }
        found
    }
}
