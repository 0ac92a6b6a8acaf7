//! What several families share: which steps and readings there are to look at (`walk`), what a finding weighs (`weight`), what every danger ends with
//! (`danger`), how far two readings may lie apart (`room`), and what is known of one in words (`known`). No rule, and no code of a finding, lives here.

pub mod danger;
pub mod known;
pub mod room;
pub mod walk;
pub mod weight;
