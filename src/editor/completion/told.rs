//! x
pub(super) fn told(_p: &super::Page, _d: &str) -> Option<String> { None }
