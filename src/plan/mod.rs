//! Reading `.shop` text into [`syntax`]. pest stays inside.

pub mod syntax;
