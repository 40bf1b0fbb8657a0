//! Turns the results of studies into files as `(name, bytes)`: tables, SVG, PNG. Knows no disk.
//!
//! A page is built once as a [`drawing::Drawing`] and written by [`svg`] and [`png`]; both draw text
//! from the outlines of the embedded fonts, so a page looks the same everywhere.
//! Page coordinates: pixels at scale 1, x to the right, y down, origin at the top left.

pub mod chart;
pub mod comparison;
pub mod drawing;
pub mod end_label;
pub mod explain_page;
pub mod font;
pub mod frame;
pub mod geometry;
pub mod overview;
pub mod palette;
pub mod png;
pub mod run_page;
pub mod sheet;
pub mod signed;
pub mod silhouette;
pub mod svg;
pub mod table;
pub mod text;
pub mod ticks;
