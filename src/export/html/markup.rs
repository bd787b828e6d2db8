//! One way out for markup: every text and every attribute is escaped.

use quick_xml::Writer;
use quick_xml::events::{BytesEnd, BytesStart, BytesText, Event};

use crate::export::paper::plain;

/// Markup being written.
pub(super) struct Markup(Writer<Vec<u8>>);

impl Markup {
    pub(super) fn new() -> Self {
        let mut markup = Self(Writer::new(Vec::new()));
        markup.event(Event::DocType(BytesText::from_escaped("html")));
        markup.line();
        markup
    }

    /// Writing to memory cannot fail.
    fn event(&mut self, event: Event<'_>) {
        let _ = self.0.write_event(event);
    }

    /// Ends a line of the file: after what stands on one of its own.
    fn line(&mut self) {
        self.0.get_mut().push(b'\n');
    }

    fn start<'t>(name: &'t str, attributes: &[(&str, &str)]) -> BytesStart<'t> {
        let mut start = BytesStart::new(name);
        for (key, value) in attributes {
            start.push_attribute((*key, plain(value).as_str()));
        }
        start
    }

    pub(super) fn open(&mut self, name: &str, attributes: &[(&str, &str)]) {
        self.event(Event::Start(Self::start(name, attributes)));
        self.line();
    }

    pub(super) fn close(&mut self, name: &str) {
        self.event(Event::End(BytesEnd::new(name)));
        self.line();
    }

    /// An element of text alone; a line break in it stays one.
    pub(super) fn leaf(&mut self, name: &str, attributes: &[(&str, &str)], text: &str) {
        self.event(Event::Start(Self::start(name, attributes)));
        for (n, line) in text.lines().enumerate() {
            if n > 0 {
                self.event(Event::Empty(BytesStart::new("br")));
            }
            self.event(Event::Text(BytesText::new(&plain(line))));
        }
        self.close(name);
    }

    /// An element that never has content.
    pub(super) fn empty(&mut self, name: &str, attributes: &[(&str, &str)]) {
        self.event(Event::Empty(Self::start(name, attributes)));
        self.line();
    }

    /// Markup that was escaped by its own writer.
    pub(super) fn raw(&mut self, markup: &str) {
        self.0.get_mut().extend_from_slice(markup.as_bytes());
        self.line();
    }

    pub(super) fn finish(self) -> Vec<u8> {
        self.0.into_inner()
    }
}
