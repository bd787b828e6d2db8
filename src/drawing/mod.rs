//! Neutral pages: what the sheets show, in millimetres.

pub mod sheet;

pub mod band;
pub mod collision;
pub mod contents;
pub mod dimension;
pub mod drilling;
pub mod font;
pub mod layout;
pub mod layout_sheet;
pub mod mock_up;
mod mock_up_sketch;
pub mod notch;
pub mod outline;
pub mod plate;
mod plot;
pub mod print_test;
pub mod record;
pub mod record_built;
pub mod record_curves;
mod record_notch;
pub mod record_steer;
mod record_tables;
pub mod repair;
pub mod scale_check;
pub mod shaft;
mod shaft_detail;
mod shaft_end;
mod shaft_groove;
pub mod shaft_member;
mod shaft_milled;
mod shaft_views;
mod shaft_words;
pub mod strip;
pub mod style;
pub mod survey_sheet;
mod survey_sketch;
pub mod table;
mod taken;
pub mod template;
pub mod tile;
pub mod title_block;
mod unrolled;
mod value;

pub use band::band;
pub use sheet::{Anchor, Item, Role, Sheet, View};
