//! What a document of words, tables and pictures is made of: the same blocks fill its pages and its web page.

use super::layout::Note;
use super::sheet::Sheet;
use super::table::Table;

/// One block, in the order of reading.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// Heading of a section.
    Section(String),
    /// Heading of a section that is set apart: what is in it is not known to be good.
    Apart(String),
    /// Heading inside a section.
    Heading(String),
    /// Paragraphs.
    Notes(Vec<Note>),
    /// A table.
    Table(Table),
    /// A drawing of its own size.
    Figure(Sheet),
    /// A drawing of the package, by its file; on paper it is bound elsewhere.
    Picture {
        /// The file of the package that shows it.
        path: String,
        /// What it is.
        title: String,
    },
    /// Things to do in order, each to be ticked off.
    Steps(Vec<String>),
    /// Things to fill in: what, and what is wanted of it.
    Blanks(Vec<[String; 2]>),
    /// Room for photographs, by what they show.
    Photos(Vec<String>),
    /// People who sign.
    Signatures(Vec<&'static str>),
    /// The files of the package; the web page has its own list of them.
    Files(Table),
}
