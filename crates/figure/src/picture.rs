//! SVG to pixels.

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};
use std::sync::Arc;

/// DejaVu Sans, cut down to the letters used here (Bitstream Vera licence, see THIRD-PARTY.md).
static FACE: &[u8] = include_bytes!("../font/DejaVuSans-latin.ttf");

/// A picture that cannot be made.
#[derive(Debug, thiserror::Error)]
pub enum PictureError {
    /// The SVG is not one of ours, or broken.
    #[error("the figure is not valid SVG: {0}")]
    Svg(String),
    /// No room.
    #[error("a picture of {width} by {height} pixels cannot be made")]
    Size {
        /// Pixels across.
        width: u32,
        /// Pixels down.
        height: u32,
    },
    /// The encoder refused.
    #[error("the picture cannot be encoded: {0}")]
    Png(String),
}

/// Renders an SVG made here as PNG, `scale` pixels to its unit.
///
/// # Errors
/// [`PictureError`].
pub fn png(svg: &str, scale: f32) -> Result<Vec<u8>, PictureError> {
    let mut options = Options { font_family: "DejaVu Sans".to_owned(), ..Options::default() };
    Arc::make_mut(&mut options.fontdb).load_font_data(FACE.to_vec());
    let tree = Tree::from_str(svg, &options).map_err(|e| PictureError::Svg(e.to_string()))?;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "figures are some thousand pixels")]
    let [width, height] = [tree.size().width(), tree.size().height()].map(|v| (v * scale).ceil() as u32);
    let mut pixels = Pixmap::new(width, height).ok_or(PictureError::Size { width, height })?;
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixels.as_mut());
    pixels.encode_png().map_err(|e| PictureError::Png(e.to_string()))
}
