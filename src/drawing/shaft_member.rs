//! Drawings of shafts piece by piece.

use super::Sheet;
use crate::solve::Solution;
use crate::spec::Spec;

/// The drawing of one piece of a shaft.
pub fn sheets(spec: &Spec, solution: &Solution, index: usize, _member: usize) -> Vec<Sheet> {
    super::shaft::sheets(spec, solution, index)
}
