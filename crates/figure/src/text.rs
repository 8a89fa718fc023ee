//! Text in SVG.

/// Ink, paper and faint lines of every figure.
pub(crate) const INK: &str = "#22262b";
pub(crate) const PAPER: &str = "#faf9f6";
pub(crate) const FAINT: &str = "#8b9097";
/// The face that ships with the program, then whatever is there.
pub(crate) const FACE: &str = "DejaVu Sans, Verdana, sans-serif";

/// Escapes text for element content and attributes.
pub(crate) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // What XML forbids.
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// How text hangs on its point.
#[derive(Clone, Copy)]
pub(crate) enum Hang {
    Start,
    Middle,
    End,
}

/// A line of text.
pub(crate) fn line(x: f64, y: f64, size: f64, hang: Hang, fill: &str, text: &str) -> String {
    let anchor = match hang {
        Hang::Start => "start",
        Hang::Middle => "middle",
        Hang::End => "end",
    };
    format!(
        "<text x=\"{x:.1}\" y=\"{y:.1}\" font-family=\"{FACE}\" font-size=\"{size}\" fill=\"{fill}\" text-anchor=\"{anchor}\">{}</text>\n",
        escape(text)
    )
}

/// A line of text that lies over other things, with paper around its letters.
pub(crate) fn over(x: f64, y: f64, size: f64, hang: Hang, text: &str) -> String {
    line(x, y, size, hang, INK, text).replacen(
        "<text ",
        &format!("<text stroke=\"{PAPER}\" stroke-width=\"4\" stroke-linejoin=\"round\" paint-order=\"stroke\" "),
        1,
    )
}

/// Lines of text one below another, the first at `y`, and where the next would stand.
pub(crate) fn lines(x: f64, y: f64, size: f64, fill: &str, texts: &[String]) -> (String, f64) {
    let leading = 1.32 * size;
    let svg = texts.iter().enumerate().map(|(i, text)| line(x, y + count(i) * leading, size, Hang::Start, fill, text));
    (svg.collect(), y + count(texts.len()) * leading)
}

/// A cross on a disc: outside its limits, whatever the colour below.
pub(crate) fn cross(x: f64, y: f64) -> String {
    format!(
        "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"8.5\" fill=\"{PAPER}\" stroke=\"{INK}\" stroke-width=\"1\"/>\n\
         <path d=\"M{:.1} {:.1} l7 7 m0 -7 l-7 7\" stroke=\"{INK}\" stroke-width=\"2\"/>\n",
        x - 3.5,
        y - 3.5
    )
}

/// A count as a number to reckon with.
pub(crate) fn count(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap_or(u32::MAX))
}

/// The head of a figure: size, title and summary for those who hear it, paper.
pub(crate) fn open(width: f64, height: f64, title: &str, summary: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width:.0} {height:.0}\" width=\"{width:.0}\" height=\"{height:.0}\" role=\"img\">\n\
         <title>{}</title>\n<desc>{}</desc>\n<rect width=\"100%\" height=\"100%\" fill=\"{PAPER}\"/>\n",
        escape(title),
        escape(summary)
    )
}

/// Rough width of text in the face, for what must not collide.
pub(crate) fn width(text: &str, size: f64) -> f64 {
    let count = u32::try_from(text.chars().count()).unwrap_or(u32::MAX);
    f64::from(count) * size * 0.62
}

/// The largest size up to `size` at which `text` fits into `room`.
pub(crate) fn fitting(text: &str, size: f64, room: f64) -> f64 {
    size.min(size * room / width(text, size).max(1.0)).max(9.0)
}

/// Breaks text into lines no wider than `room`.
pub(crate) fn wrap(text: &str, size: f64, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(last) if width(last, size) + width(word, size) + size < room => {
                last.push(' ');
                last.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
