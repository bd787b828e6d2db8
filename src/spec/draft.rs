//! A spec whose document and survey are read, but whose named points may still have to be found.

use std::collections::BTreeMap;

use toml::de::{DeTable, DeValue};

use super::lower::{self, Head};
use super::raw::{Node, Reader};
use super::types::{Build, Hung, Output, Spec, Survey};
use super::{LARGEST, LimitKey, Source, not_text, syntax, too_large};
use crate::diagnostic::{Diagnostic, Place, Severity};
use crate::digest::sha256;
use crate::geometry::Vec3;

/// The parsed document with its headings, points and survey readings checked.
///
/// [`Draft::place`] lowers the rest, once the points that a survey is to find are given; it may be called again with
/// other places for them.
pub struct Draft<'a> {
    document: DeValue<'a>,
    length: usize,
    sha256: String,
    limits: Vec<LimitKey>,
    /// As it stands after the head.
    reader: Reader<'a>,
    head: Head,
}

impl<'a> Draft<'a> {
    /// Parses a text and reads what stands before the linkage itself: headings, paper, points, survey.
    ///
    /// Where anything of those is wrong, the errors of the whole file come with it. Where the TOML itself is broken,
    /// the first syntax error comes alone.
    pub fn read(source: Source<'a>, limits: &[LimitKey]) -> Result<Self, Vec<Diagnostic>> {
        if source.text.len() > LARGEST {
            return Err(vec![too_large(source.name)]);
        }
        let (document, faults) = DeTable::parse_recoverable(source.text);
        if let Some(fault) = faults.first() {
            return Err(vec![syntax::explain(source, fault)]);
        }
        let document = DeValue::Table(document.into_inner());
        let mut reader = Reader::new(source.name);
        let node = root(&document, source.text.len());
        let head = lower::head(&mut reader, &node);
        let draft = Self {
            length: source.text.len(),
            sha256: sha256(source.text.as_bytes()),
            limits: limits.to_vec(),
            reader,
            head,
            document,
        };
        let wrong = draft.reader.diagnostics.iter().any(|diagnostic| diagnostic.severity == Severity::Error);
        if wrong { Err(draft.refused(Vec::new())) } else { Ok(draft) }
    }

    /// The same from bytes, which must be UTF-8.
    pub fn read_bytes(name: &'a str, bytes: &'a [u8], limits: &[LimitKey]) -> Result<Self, Vec<Diagnostic>> {
        if bytes.len() > LARGEST {
            return Err(vec![too_large(name)]);
        }
        match std::str::from_utf8(bytes) {
            Ok(text) => Self::read(Source { name, text }, limits),
            Err(error) => Err(vec![not_text(name, error.valid_up_to())]),
        }
    }

    /// What the sheets are headed with.
    pub fn build(&self) -> Option<&Build> {
        self.head.build.as_ref()
    }

    /// Paper and file choices.
    pub fn output(&self) -> Option<&Output> {
        self.head.output.as_ref()
    }

    /// The readings, where there are any.
    pub fn survey(&self) -> Option<&Survey> {
        self.head.survey.as_ref()
    }

    /// Where the file begins.
    pub fn start(&self) -> Place {
        Place { file: self.reader.file().to_string(), span: 0..0 }
    }

    /// The shafts that are mocked up, their readings taken or not.
    pub fn mock_ups(&self) -> &[Hung] {
        &self.head.mock_ups
    }

    /// SHA-256 of the spec's bytes, lower-case hexadecimal.
    pub fn sha256(&self) -> &str {
        &self.sha256
    }

    /// Some errors of a later stage with all that are in the rest of the file, in the order of the file.
    #[must_use]
    pub fn refused(&self, errors: Vec<Diagnostic>) -> Vec<Diagnostic> {
        let mut reader = self.reader.clone();
        // A point still to be found is known by name, so that only true slips are reported.
        let _ = self.lower(&mut reader, &BTreeMap::new());
        reader.diagnostics.extend(errors);
        sorted(reader.diagnostics)
    }

    /// The whole linkage with its warnings, given where the points to be found are (mm, vehicle axes), by name; or
    /// every error there is.
    pub fn place(&self, points: &BTreeMap<String, Vec3>) -> Result<(Spec, Vec<Diagnostic>), Vec<Diagnostic>> {
        let mut reader = self.reader.clone();
        let spec = self.lower(&mut reader, points);
        let diagnostics = sorted(std::mem::take(&mut reader.diagnostics));
        let wrong = diagnostics.iter().any(|diagnostic| diagnostic.severity == Severity::Error);
        match spec {
            Some(spec) if !wrong => Ok((spec, diagnostics)),
            _ if wrong => Err(diagnostics),
            // Whatever is left out is reported where it is found; only points not given remain.
            _ => Err(vec![not_placed(reader.file(), self.survey())]),
        }
    }

    fn lower(&self, reader: &mut Reader<'a>, points: &BTreeMap<String, Vec3>) -> Option<Spec> {
        for point in self.survey().into_iter().flat_map(Survey::unknown) {
            reader.points.insert(point.name.clone(), points.get(&point.name).copied());
        }
        lower::lower(reader, &root(&self.document, self.length), &self.head, &self.sha256, &self.limits)
    }
}

/// Nothing stands where a missing table should: the start of the file is shown.
fn root<'d>(document: &'d DeValue<'d>, length: usize) -> Node<'d> {
    Node { path: String::new(), span: 0..length.min(1), value: document, from_part: false }
}

fn sorted(mut diagnostics: Vec<Diagnostic>) -> Vec<Diagnostic> {
    diagnostics.sort_by_key(|diagnostic| diagnostic.place.as_ref().map(|place| (place.span.start, place.span.end)));
    diagnostics.dedup();
    diagnostics
}

fn not_placed(file: &str, survey: Option<&Survey>) -> Diagnostic {
    let place = survey.map(|survey| survey.place.clone());
    let place = place.or_else(|| Some(Place { file: file.to_string(), span: 0..0 }));
    Diagnostic::error("not-placed", "a point of the survey was not found, so the linkage cannot be placed")
        .at(place)
        .help("add the readings that reach it")
}
