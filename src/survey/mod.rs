//! From readings to positions.
//!
//! [`adjust()`] finds the points of a survey by least squares with how sure they
//! are, and names what is missing, at odds or likely wrong; [`place`] gives
//! them to the spec and answers the [`Layout`] that the solver takes.

pub mod adjust;
pub mod advice;
pub mod blunder;
pub mod layout;
pub mod mock_up;
pub mod result;
pub mod words;

mod contradiction;
mod defect;
mod guess;
mod iterate;
mod network;

pub use adjust::{Adjustment, adjust};
pub use layout::{Layout, adjusted, place};
pub use result::SurveyResult;
