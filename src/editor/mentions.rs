//! Every name on a page: where it stands, and what it names.

use super::Page;
use crate::syntax::Span;

/// What a name names.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Entity {
    /// Something that is measured or worked out.
    Feature,
    /// A step, forbidden ones too.
    Step,
    /// A part.
    Part,
    /// A place on a part.
    Place,
    /// An instrument or a machine.
    Tool,
    /// A manual.
    Manual,
    /// A procedure of a manual.
    Procedure,
    /// A precaution or a tick that a step needs.
    Need,
    /// The machine that the log is of.
    Machine,
    /// A stock.
    Stock,
    /// A way to go.
    Choice,
}

/// A name at a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mention {
    /// What it names.
    pub entity: Entity,
    /// The name as it is compared ([`crate::model::names::key`]; of a manual [`crate::model::names::file_key`]).
    pub key: String,
    /// Where.
    pub span: Span,
    /// Whether it is introduced here: `tool NAME:`, `feature NAME`, `step NAME`, `also NAME`.
    pub is_declaration: bool,
}

/// Every name of a page, in order of place.
pub fn mentions(_page: &Page) -> Vec<Mention> {
    Vec::new()
}

/// The name at an offset; at the end of a name still that name.
pub fn mention_at(page: &Page, offset: u32) -> Option<Mention> {
    mentions(page)
        .into_iter()
        .find(|m| m.span.start <= offset && offset <= m.span.end)
}
