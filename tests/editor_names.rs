//! The names of a page: where each stands, where it comes from, where else it is written, and what becomes of it when it is called otherwise.

mod support;

#[path = "editor_names/any_text.rs"]
mod any_text;
#[path = "editor_names/common.rs"]
mod common;
#[path = "editor_names/definitions.rs"]
mod definitions;
#[path = "editor_names/found.rs"]
mod found;
#[path = "editor_names/mentions.rs"]
mod mentions;
#[path = "editor_names/references.rs"]
mod references;
#[path = "editor_names/renamed.rs"]
mod renamed;
#[path = "editor_names/samples.rs"]
mod samples;
