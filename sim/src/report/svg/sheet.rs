//! The paper: shapes and words in pixels.

use super::envelope::tenth;
use super::palette::INK;
use svg::node::Value;
use svg::node::element::{Group, Path, Rectangle, Text, Title};
use svg::{Document, Node};

/// What has been drawn so far.
#[derive(Debug, Default)]
pub(super) struct Sheet {
    drawn: Group,
}

/// How a line looks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stroke {
    /// Colour.
    pub colour: &'static str,
    /// Width, px.
    pub width: f64,
}

/// How words look and where they stand.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ink {
    /// Colour.
    pub colour: &'static str,
    /// Height of the letters, px.
    pub size: f64,
    /// `start`, `middle` or `end` of the text stands at its x.
    pub anchor: &'static str,
    /// Heavy letters.
    pub bold: bool,
}

impl Ink {
    /// Plain words of a size, beginning at their x.
    pub(super) const fn plain(size: f64) -> Self {
        Self { colour: INK, size, anchor: "start", bold: false }
    }

    /// In another colour.
    pub(super) const fn colour(self, colour: &'static str) -> Self {
        Self { colour, ..self }
    }

    /// Standing elsewhere.
    pub(super) const fn anchor(self, anchor: &'static str) -> Self {
        Self { anchor, ..self }
    }

    /// Heavy.
    pub(super) const fn bold(self) -> Self {
        Self { bold: true, ..self }
    }
}

impl Sheet {
    /// A filled rectangle: left, top, width, height.
    pub(super) fn fill(&mut self, (left, top): (f64, f64), size: (f64, f64), colour: &str) {
        let rectangle = Rectangle::new()
            .set("x", tenth(left))
            .set("y", tenth(top))
            .set("width", tenth(size.0))
            .set("height", tenth(size.1))
            .set("fill", colour);
        self.drawn.append(rectangle);
    }

    /// Ground inside path data; rings in rings are holes.
    pub(super) fn area(&mut self, data: impl Into<Value>, colour: &str) {
        let path = Path::new().set("d", data).set("fill", colour).set("fill-rule", "evenodd");
        self.drawn.append(path);
    }

    /// A line along path data.
    pub(super) fn line(&mut self, data: impl Into<Value>, stroke: Stroke) {
        let path = Path::new()
            .set("d", data)
            .set("fill", "none")
            .set("stroke", stroke.colour)
            .set("stroke-width", stroke.width)
            .set("stroke-linejoin", "round");
        self.drawn.append(path);
    }

    /// Any other shape.
    pub(super) fn shape(&mut self, shape: Path) {
        self.drawn.append(shape);
    }

    /// Words at (x, y of their base line).
    pub(super) fn words(&mut self, words: &str, (x, y): (f64, f64), ink: Ink) {
        let mut text = Text::new(words)
            .set("x", tenth(x))
            .set("y", tenth(y))
            .set("fill", ink.colour)
            .set("font-size", ink.size);
        if ink.anchor != "start" {
            text = text.set("text-anchor", ink.anchor);
        }
        if ink.bold {
            text = text.set("font-weight", "bold");
        }
        self.drawn.append(text);
    }

    /// The whole picture, on white, with a title for those who cannot see it.
    pub(super) fn finish(self, width: f64, height: f64, title: &str) -> String {
        let paper =
            Rectangle::new().set("width", width).set("height", height).set("fill", "#ffffff");
        let document = Document::new()
            .set("viewBox", (0, 0, tenth(width), tenth(height)))
            .set("width", width)
            .set("height", tenth(height))
            .set("role", "img")
            .set("font-family", "Helvetica, Arial, 'Liberation Sans', sans-serif")
            .add(Title::new(title))
            .add(paper)
            .add(self.drawn);
        format!("{document}\n")
    }
}

/// Width that words take, px: an estimate for letters of middling width.
pub(super) fn width_of(words: &str, size: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a word is short")]
    let letters = words.chars().count() as f64;
    letters * size * 0.5
}
