//! Damage to what is seen of a sheet and not to what is copied from it: letters drawn otherwise, words elsewhere, ink
//! that nobody sees, and drawings that differ from their other rendition.

use lopdf::{Document, Object};

use super::PAGE;
use super::figures::nudged;
use super::kinds::{BRACKET, BRACKET_PAPER, Damage, FIREWALL, FIREWALL_PAPER, NOTCH, NOTCH_PAPER, damage, text};
use super::paper::{content, pdf, svg_line};

const SHAFT: &str = "drawings/shaft-intermediate.svg";
const SHAFT_PAPER: &str = "drawings/shaft-intermediate.pdf";
const LAYOUT: &str = "drawings/layout.svg";
const LAYOUT_PAPER: &str = "drawings/layout.pdf";
const DRILLING: &str = "drawings/drilling-firewall.pdf";
const STRIPS: &str = "print/strips-firewall.pdf";

/// Changes the line of an SVG file that has some words in it, the first such.
fn labelled(label: &'static str, change: impl FnOnce(&str) -> String) -> impl FnOnce(Vec<u8>) -> Vec<u8> {
    move |bytes| {
        let text = text(bytes);
        let line = text.lines().find(|line| line.contains(label)).unwrap();
        text.replacen(line, &change(line), 1).into_bytes()
    }
}

/// The place of the first words of a content stream moved across by 2 mm.
fn words_moved(text: &str) -> String {
    let (head, tail) = text.split_once(" Tm ").unwrap();
    let mut words: Vec<&str> = head.split(' ').collect();
    let at = words.len() - 2;
    let x = (words[at].parse::<f64>().unwrap() + 2.0).to_string();
    words[at] = &x;
    format!("{} Tm {tail}", words.join(" "))
}

/// The first stroke of a content stream in another colour and width.
fn drawn_with(text: &str, look: &str) -> String {
    let at = text.find(" m\n").unwrap();
    let at = text[..at].rfind('\n').unwrap() + 1;
    format!("{}{look}\n{}", &text[..at], &text[at..])
}

/// The maps from codes to letters changed: a 1 is copied where a 2 is seen.
fn said_otherwise(document: &mut Document) {
    for object in document.objects.values_mut() {
        let Object::Stream(stream) = object else { continue };
        let Ok(bytes) = stream.decompressed_content() else { continue };
        let map = String::from_utf8_lossy(&bytes).into_owned();
        if map.contains("beginbfchar") {
            let other = map.replace("<0031>", "<0032>");
            assert!(other != map, "no map has a 1");
            stream.set_plain_content(other.into_bytes());
        }
    }
}

/// A letter of the fonts' programs moved.
fn drawn_otherwise(document: &mut Document) {
    for object in document.objects.values_mut() {
        let Object::Stream(stream) = object else { continue };
        if stream.dict.has(b"Length1") {
            let mut program = stream.decompressed_content().unwrap();
            let middle = program.len() / 2;
            program[middle] ^= 1;
            stream.set_plain_content(program);
        }
    }
}

/// One a file.
pub(super) fn looks() -> Vec<Damage> {
    vec![
        damage("letters of a drawing that show another number", SHAFT, "labels whose letters show", |bytes| {
            let text = text(bytes);
            let line = text.lines().find(|line| line.contains("aria-label=\"[485.07")).unwrap();
            let (head, rest) = line.split_once(" d=\"M").unwrap();
            let (x, rest) = rest.split_once(' ').unwrap();
            let other = format!("{head} d=\"M{} {rest}", x.parse::<f64>().unwrap() + 0.1);
            text.replacen(line, &other, 1).into_bytes()
        }),
        damage(
            "a line of a drawing moved that nothing else measures",
            LAYOUT,
            "lines that are not those of",
            |bytes| {
                let text = text(bytes);
                let line = text.lines().find(|line| line.starts_with("<path d=") && line.contains(" L ")).unwrap();
                text.replacen(line, &nudged(&nudged(line, 1), 1), 1).into_bytes()
            },
        ),
        damage(
            "a hole that is not shown",
            BRACKET,
            "SVG",
            svg_line("hole.1", |line| line.replacen("<path ", "<path display=\"none\" ", 1)),
        ),
        damage(
            "an outline in white",
            FIREWALL,
            "SVG",
            labelled("class=\"cut\"", |line| {
                let (head, tail) = line.split_once("stroke=\"#").unwrap();
                format!("{head}stroke=\"#ffffff{}", &tail[6..])
            }),
        ),
        damage(
            "an outline no wider than nothing",
            NOTCH,
            "SVG",
            labelled("class=\"cut\"", |line| line.replacen("stroke-width=\"0.1\"", "stroke-width=\"0\"", 1)),
        ),
        damage("lines of a template in white", BRACKET_PAPER, "PDF", content(1, |text| drawn_with(&text, "1 1 1 RG"))),
        damage("lines of a template of no width", FIREWALL_PAPER, "PDF", content(1, |text| drawn_with(&text, "0 w"))),
        damage(
            "letters of a template in white",
            NOTCH_PAPER,
            "PDF",
            content(1, |text| text.replacen("BT ", "1 1 1 rg\nBT ", 1)),
        ),
        damage("letters that copy as others", DRILLING, "fonts", pdf(said_otherwise)),
        damage("letters of another font", STRIPS, "fonts", pdf(drawn_otherwise)),
        damage(
            "words of a drawing not shown",
            SHAFT_PAPER,
            "PDF",
            content(1, |text| text.replacen("BT ", "3 Tr\nBT ", 1)),
        ),
        damage("a curve of a plot on the page moved", PAGE, "plot 1, curve 1", |bytes| {
            let text = text(bytes);
            let plot = text.find("<figure class=\"plot\"").unwrap();
            let curve = plot
                + text[plot..]
                    .lines()
                    .find(|line| line.len() > 400)
                    .map(|line| text[plot..].find(line).unwrap())
                    .unwrap();
            let line = text[curve..].lines().next().unwrap();
            format!("{}{}{}", &text[..curve], nudged(line, 40), &text[curve + line.len()..]).into_bytes()
        }),
    ]
}

/// Words moved on one rendition of a drawing are missed on the other, and in the book.
#[test]
fn words_elsewhere_are_named() {
    let mut package = super::heron();
    let moved = content(1, |text| words_moved(&text));
    package.insert(SHAFT_PAPER.to_owned(), moved(package[SHAFT_PAPER].clone()));
    let moved = content(1, |text| words_moved(&text));
    package.insert(LAYOUT_PAPER.to_owned(), moved(package[LAYOUT_PAPER].clone()));
    super::seal(&mut package);
    let report = yokeline::audit::audit(&package);
    let off = super::off(&report);
    for (file, what) in [
        (SHAFT, "words that are not those of drawings/shaft-intermediate.pdf"),
        (LAYOUT, "words that are not those of drawings/layout.pdf"),
        (super::kinds::BOOK, "letters farthest from page 1 of drawings/shaft-intermediate.pdf"),
        (super::kinds::BOOK, "letters farthest from page 1 of drawings/layout.pdf"),
    ] {
        assert!(off.iter().any(|line| line.file == file && line.what.contains(what)), "{file}, {what}: {off:#?}");
    }
}
