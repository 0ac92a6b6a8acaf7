//! What several families share: which steps and readings there are to look at (`walk`), what a finding weighs (`weight`), what every danger ends with
//! (`danger`), and how far two readings may lie apart (`room`). No rule, and no code of a finding, lives here.

pub mod danger;
pub mod room;
pub mod walk;
pub mod weight;
