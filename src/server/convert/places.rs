//! Addresses of sources, and places in them.

use std::borrow::Cow;
use std::path::{Path, PathBuf};
use std::str::FromStr;

use tower_lsp::ls_types::{GotoDefinitionResponse, Location, LocationLink, Uri};

use crate::editor::definition::Destination;
use crate::server::facts::Facts;
use crate::server::positions::range;
use crate::server::shelf_files;
use crate::syntax::{Source, Span};

/// The address of a source by its name: a path, an address, or a manual of the shelf, which is then written to where it can be opened.
pub fn uri_of(name: &str) -> Option<Uri> {
    if name.starts_with("shelf:") {
        return Uri::from_file_path(shelf_files::path_of(name)?);
    }
    // A document that is in no file goes by its address; on no system does a path begin with more than one letter and a colon.
    if name
        .find(':')
        .is_some_and(|colon| colon > 1 && !name.get(..colon).unwrap_or("").contains(['/', '\\']))
    {
        return Uri::from_str(name).ok();
    }
    Uri::from_file_path(std::path::absolute(Path::new(name)).ok()?)
}

/// The path of an address; `None` for what is in no file (`untitled:`) or is another version of one (`git:`).
pub fn path_of(uri: &Uri) -> Option<PathBuf> {
    let is_file = uri.scheme().as_str().eq_ignore_ascii_case("file");
    is_file.then(|| uri.to_file_path()).flatten().map(Cow::into_owned)
}

/// Places to go to, from a span of the page that was asked of.
pub fn destinations(from: Span, page: &Source, list: &[Destination], facts: &Facts) -> Option<GotoDefinitionResponse> {
    if list.is_empty() {
        return None;
    }
    let origin = range(page, from, facts.encoding);
    let links = list.iter().filter_map(|to| {
        Some(LocationLink {
            origin_selection_range: Some(origin),
            target_uri: uri_of(&to.source.name)?,
            target_range: range(&to.source, to.whole.to(to.span), facts.encoding),
            target_selection_range: range(&to.source, to.span, facts.encoding),
        })
    });
    let links: Vec<LocationLink> = links.collect();
    if facts.links {
        return Some(GotoDefinitionResponse::Link(links));
    }
    let locations = links.into_iter().map(|link| Location {
        uri: link.target_uri,
        range: link.target_selection_range,
    });
    Some(GotoDefinitionResponse::Array(locations.collect()))
}
