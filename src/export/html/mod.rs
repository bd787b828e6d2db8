//! The build record as one web page: no outside resource, no program in it, well-formed as XML too.
//!
//! It is written as polyglot markup, so that the audit and any XML reader can take it apart again. Every text goes
//! through one escaping writer; nothing the user wrote is ever markup.

mod markup;
mod style;

use super::paper::{PaperMeta, plain};
use super::{ExportError, manifest, svg};
use crate::drawing::Sheet;
use crate::drawing::block::Block;
use crate::drawing::layout::Note;
use crate::drawing::record_figures::KeyFigure;
use crate::drawing::table::Table;
use crate::spec::Spec;
use markup::Markup;

/// A file of the package as the page lists it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// Path in the package.
    pub path: String,
    /// What it is.
    pub what: String,
    /// Its bytes.
    pub bytes: usize,
    /// SHA-256 of them.
    pub sha256: String,
}

/// All that the page shows.
pub struct RecordPage<'a> {
    /// Whose build it is.
    pub spec: &'a Spec,
    /// How many rules fail.
    pub failed: usize,
    /// The record, block by block.
    pub blocks: &'a [Block],
    /// The figures that matter most.
    pub figures: &'a [KeyFigure],
    /// Drawings by the file that shows them.
    pub pictures: &'a [(String, Sheet)],
    /// Every other file made before this page.
    pub files: &'a [Listed],
}

/// The page.
///
/// # Errors
/// A picture with a number that is not finite.
pub fn write(page: &RecordPage<'_>, meta: &PaperMeta) -> Result<Vec<u8>, ExportError> {
    let mut out = Markup::new();
    let build = &page.spec.build;
    let title = plain(&meta.title);
    out.open("html", &[("lang", &meta.language), ("xmlns", "http://www.w3.org/1999/xhtml")]);
    out.open("head", &[]);
    out.empty("meta", &[("charset", "utf-8")]);
    out.empty("meta", &[("name", "viewport"), ("content", "width=device-width, initial-scale=1")]);
    out.empty("meta", &[("name", "spec-sha256"), ("content", &page.spec.sha256)]);
    out.empty("meta", &[("name", "generator"), ("content", manifest::PROGRAM)]);
    // What user text is shown as is set here; a longer one is cut by the browser's own title bar.
    out.leaf("title", &[], &title.chars().take(70).collect::<String>());
    out.raw(&format!("<style>{}</style>", style::STYLE));
    out.close("head");
    out.open("body", &[]);
    if page.failed > 0 {
        let checks = if page.failed == 1 { "check fails" } else { "checks fail" };
        out.open("aside", &[("class", "band"), ("aria-label", "Warning")]);
        out.leaf("p", &[], &format!("DO NOT CUT: {} {checks}", page.failed));
        out.close("aside");
    }
    out.open("header", &[]);
    out.leaf("h1", &[], &plain(&build.title));
    let under = [&build.vehicle, &build.record, &build.revision, &build.date];
    let heads = ["vehicle", "record", "revision", "date"];
    out.open("dl", &[("class", "identity")]);
    for (head, text) in heads.into_iter().zip(under) {
        out.open("div", &[]);
        out.leaf("dt", &[], head);
        out.leaf("dd", &[], if text.is_empty() { "not stated" } else { text });
        out.close("div");
    }
    out.close("dl");
    out.close("header");
    out.open("main", &[]);
    contents(&mut out, page);
    figures(&mut out, page.figures);
    let mut open = false;
    let mut section = 0;
    for (n, block) in page.blocks.iter().enumerate() {
        match block {
            Block::Section(words) | Block::Apart(words) => {
                if open {
                    out.close("section");
                }
                open = true;
                section += 1;
                let id = format!("s{section}");
                let class = if matches!(block, Block::Apart(_)) { "apart" } else { "part" };
                out.open("section", &[("class", class), ("aria-labelledby", &id)]);
                out.leaf("h2", &[("id", &id)], words);
            }
            Block::Heading(words) => out.leaf("h3", &[], words),
            Block::Notes(notes) => paragraphs(&mut out, notes),
            Block::Table(table) => rows(&mut out, table, &caption(page.blocks, n)),
            Block::Figure(sheet) => {
                let words = caption(page.blocks, n);
                out.open("figure", &[("class", "plot")]);
                out.raw(&svg::inline(sheet, &words, meta)?);
                out.close("figure");
            }
            Block::Picture { path, title } => picture(&mut out, page, (path, title), meta)?,
            Block::Steps(steps) => ticks(&mut out, steps, n),
            Block::Blanks(rows) => blanks(&mut out, rows, n),
            Block::Photos(shots) => photos(&mut out, shots),
            Block::Signatures(people) => signatures(&mut out, people),
            Block::Files(_) => files(&mut out, page),
        }
    }
    if open {
        out.close("section");
    }
    out.close("main");
    out.open("footer", &[]);
    out.leaf("p", &[], &format!("{}; spec SHA-256 {}", manifest::PROGRAM, page.spec.sha256));
    out.close("footer");
    out.close("body");
    out.close("html");
    Ok(out.finish())
}

/// What a table or figure is of: the heading over it.
fn caption(blocks: &[Block], at: usize) -> String {
    let over = blocks.iter().take(at).rev().find_map(|block| match block {
        Block::Section(words) | Block::Apart(words) | Block::Heading(words) => Some(words.clone()),
        _ => None,
    });
    over.unwrap_or_default()
}

/// Links to the sections.
fn contents(out: &mut Markup, page: &RecordPage<'_>) {
    out.open("nav", &[("aria-label", "Contents")]);
    out.open("ol", &[]);
    let sections = page.blocks.iter().filter_map(|block| match block {
        Block::Section(words) | Block::Apart(words) => Some(words),
        _ => None,
    });
    for (n, words) in sections.enumerate() {
        out.open("li", &[]);
        out.leaf("a", &[("href", &format!("#s{}", n + 1))], words);
        out.close("li");
    }
    out.close("ol");
    out.close("nav");
}

fn figures(out: &mut Markup, figures: &[KeyFigure]) {
    out.open("section", &[("class", "part"), ("aria-labelledby", "figures")]);
    out.leaf("h2", &[("id", "figures")], "At a glance");
    out.open("dl", &[("class", "figures")]);
    for figure in figures {
        out.open("div", &[]);
        out.leaf("dt", &[], &figure.label);
        out.open("dd", &[]);
        let value = serde_json::json!(figure.value).to_string();
        let about = [("data-pointer", figure.pointer.as_str()), ("data-unit", figure.unit), ("value", &value)];
        out.leaf("data", &about, &figure.text);
        out.close("dd");
        out.close("div");
    }
    out.close("dl");
    out.close("section");
}

fn paragraphs(out: &mut Markup, notes: &[Note]) {
    for note in notes {
        let class = if note.bold { "strong" } else { "plain" };
        out.leaf("p", &[("class", class)], &note.words);
    }
}

/// A table; on a narrow screen every cell carries its head.
fn rows(out: &mut Markup, table: &Table, words: &str) {
    // Of two columns the first names the second: heads would say nothing more.
    let (form, kept) = if table.columns.len() == 2 { ("pairs", KEPT_PAIRS) } else { ("wide", KEPT_WIDE) };
    // A short one is kept on one page of a print.
    let length = if table.rows.len() > kept { "long" } else { "short" };
    out.open("table", &[("class", &format!("{form} {length}"))]);
    out.leaf("caption", &[], words);
    out.open("thead", &[]);
    out.open("tr", &[]);
    for (head, _) in &table.columns {
        match head.as_str() {
            "" => out.leaf("td", &[], ""),
            head => out.leaf("th", &[("scope", "col")], head),
        }
    }
    out.close("tr");
    out.close("thead");
    out.open("tbody", &[]);
    for row in &table.rows {
        out.open("tr", &[]);
        for ((head, _), cell) in table.columns.iter().zip(row) {
            // Short lines are numbers with their units, and names: they are not broken.
            let whole = cell.lines().all(|line| line.chars().count() <= SHORT);
            let class = if whole { "whole" } else { "words" };
            out.leaf("td", &[("data-head", head), ("class", class)], cell);
        }
        out.close("tr");
    }
    out.close("tbody");
    out.close("table");
}

/// Most rows of a table of two columns, and of one of more, that is printed on one page: under half of it.
const KEPT_PAIRS: usize = 14;
const KEPT_WIDE: usize = 5;

/// Longest line of a cell (characters) that is not broken.
const SHORT: usize = 14;

fn picture(
    out: &mut Markup,
    page: &RecordPage<'_>,
    (path, title): (&str, &str),
    meta: &PaperMeta,
) -> Result<(), ExportError> {
    let Some((_, sheet)) = page.pictures.iter().find(|(known, _)| known == path) else { return Ok(()) };
    out.open("figure", &[("class", "picture"), ("data-file", path)]);
    out.raw(&svg::inline(sheet, title, meta)?);
    out.leaf("figcaption", &[], &format!("{title}; to scale in {path}"));
    out.close("figure");
    Ok(())
}

fn ticks(out: &mut Markup, steps: &[String], block: usize) {
    out.open("ol", &[("class", "steps")]);
    for (n, step) in steps.iter().enumerate() {
        let id = format!("b{block}-{}", n + 1);
        out.open("li", &[]);
        out.empty("input", &[("type", "checkbox"), ("id", &id)]);
        out.leaf("label", &[("for", &id)], step);
        out.open("span", &[("class", "by")]);
        field(out, "initials and date", &format!("initials and date of step {}", n + 1));
        out.close("span");
        out.close("li");
    }
    out.close("ol");
}

/// A line to write on, by hand on paper or typed before printing.
fn field(out: &mut Markup, hint: &str, label: &str) {
    out.empty("input", &[("type", "text"), ("placeholder", hint), ("aria-label", label), ("autocomplete", "off")]);
}

fn blanks(out: &mut Markup, rows: &[[String; 2]], block: usize) {
    out.open("ul", &[("class", "blanks")]);
    for (n, [what, wanted]) in rows.iter().enumerate() {
        let id = format!("b{block}-{}", n + 1);
        out.open("li", &[]);
        out.leaf("label", &[("for", &id)], what);
        out.leaf("span", &[("class", "wanted")], wanted);
        out.empty("input", &[("type", "text"), ("id", &id), ("autocomplete", "off")]);
        out.open("span", &[("class", "by")]);
        field(out, "initials and date", &format!("initials and date of line {}", n + 1));
        out.close("span");
        out.close("li");
    }
    out.close("ul");
}

fn photos(out: &mut Markup, shots: &[String]) {
    out.open("ul", &[("class", "photos")]);
    for shot in shots {
        out.leaf("li", &[], shot);
    }
    out.close("ul");
}

fn signatures(out: &mut Markup, people: &[&str]) {
    out.open("ul", &[("class", "signatures")]);
    for person in people {
        out.open("li", &[]);
        out.leaf("strong", &[], person);
        for what in ["name", "signature", "date"] {
            field(out, what, &format!("{person}, {what}"));
        }
        out.close("li");
    }
    out.close("ul");
}

fn files(out: &mut Markup, page: &RecordPage<'_>) {
    let words = "This page cannot hold its own hash; manifest.json has it, and those of all others again.";
    out.leaf("p", &[("class", "plain")], words);
    out.open("table", &[("class", "files")]);
    out.leaf("caption", &[], "Files of this package");
    out.open("thead", &[]);
    out.open("tr", &[]);
    let heads = ["file", "what it is", "bytes", "SHA-256"];
    for head in heads {
        out.leaf("th", &[("scope", "col")], head);
    }
    out.close("tr");
    out.close("thead");
    out.open("tbody", &[]);
    for file in page.files {
        out.open("tr", &[]);
        let bytes = file.bytes.to_string();
        for (head, cell) in heads.into_iter().zip([&file.path, &file.what, &bytes, &file.sha256]) {
            out.leaf("td", &[("data-head", head)], cell);
        }
        out.close("tr");
    }
    out.close("tbody");
    out.close("table");
}
