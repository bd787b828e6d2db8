//! What several paths take up.

use crate::geometry::{Path, Vec2};

/// Least and greatest coordinates of several paths; `None` for no path.
pub fn bounds<'a>(paths: impl Iterator<Item = &'a Path>) -> Option<(Vec2, Vec2)> {
    paths.map(Path::bounds).reduce(|(a, b), (low, high)| {
        (Vec2::new(a.x.min(low.x), a.y.min(low.y)), Vec2::new(b.x.max(high.x), b.y.max(high.y)))
    })
}
