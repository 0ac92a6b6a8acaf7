//! A workshop's manual, a log judged by it, and a workspace of both.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use gudgeon::editor::index::Summary;
use gudgeon::editor::{Index, Mention, Page};
use gudgeon::judge::Edit;
use gudgeon::syntax::{FileKind, LineIndex, Span};

/// Names of every kind.
pub const MANUAL: &str = "\
manual   bench, edition 1
source   invented for this test
units    mm

feature web width, also width over webs
  build    51.90 to 52.05 mm
feature side play
  build    0.35 to 0.50 mm
  agrees with play worked
feature run-out at drive side, flywheel side
  also     r/o
  build    up to 0.03 mm
feature piston mass of cylinder 1, cylinder 2
  unit     g
feature pin length
  unit     mm
feature web gap at left, right
  unit     mm
calc play worked = pin length - web width + smallest(run-out at drive side) * 0
  limits of side play
  choose rod kit
calc fit = least clearance(25 H7/p6) + pin length
  choose pin length from stock pin drawer, up to 2 together

precaution web supported, also lower web held
  because  an unsupported web bends the shaft

procedure crank
  step press together  needs web supported, oiled or dry; disturbs side play; also press up
    force up to rating of press
    uses press rated at least 8 t
  step true crank      after press together; disturbs run-out; optional; renews circlips
  step measure         reads web width; then true crank; optional
  step weld pin        if did press together; if found crankpin replace; optional
  one of true crank, measure
  never weld pin before press together if did measure because it cracks
";

/// A log with names of every kind.
pub const LOG: &str = "\
job      bottom end
machine  Tarn 250, frame TN-0417
hours    312
manual   bench
procedure crank
tool press: press, rated 10 t
tool mic A: micrometer, good to 0.004 mm
2026-03-14 build
option do it here: parts 128 EUR
chose do it here
stock pin drawer: 51.9 52.0 mm
found crankpin: blue, replace
ordered rod kit A: number 44, from Ninebrook Parts
got rod kit A: number 44
width over webs = 52.01 mm by mic A at 21 C
Web  Width = 52.00 mm by mic A
pin length of rod kit A = 52.00 mm, by mic A
web gap = 1.02 1.01 mm at left right
run-out at drive side = 0.01 mm
did press together, from rod kit A, web supported close in, oiled, force 6 t on press, on cylinder 1
fix press together, dry
side play = go 0.40, no-go 0.45 mm by feelers
fix side play 0.45 -> 0.50 mm, misread
fix side play, because no other kit
did press up, lower web held, web well supported, dry
undid press up, because it slipped
checked mic A, on its standard
chose rod kit A over rod kit B, because it fits
waiting for circlips
piston mass = g
   cylinder 1  120.1
   cylinder 2  120.3
closed 2026-03-20
";

/// The index of some files.
pub fn index(files: &[(&str, &str)]) -> Index {
    let mut index = Index::default();
    for (path, text) in files {
        let kind = FileKind::of_path(Path::new(path)).expect("a log or a manual");
        index
            .files
            .insert(PathBuf::from(path), Arc::new(Summary::read(kind, text)));
    }
    index
}

/// The manual under `bench.manual` and the log under `x.rebuild`, as the pages of the tests have them.
pub fn bench() -> Index {
    index(&[("bench.manual", MANUAL), ("x.rebuild", LOG)])
}

/// Each place as `path:line:column name`; the texts are those of the workspace.
pub fn placed(places: &[(PathBuf, Span)], files: &[(&str, &str)]) -> String {
    let one = |(path, span): &(PathBuf, Span)| {
        let (name, text) = files
            .iter()
            .find(|(name, _)| Path::new(name) == path)
            .expect("a file of the test");
        let at = LineIndex::new(text).place(span.start, text);
        format!("{name}:{}:{} {}\n", at.line, at.column, span.text(text))
    };
    places.iter().map(one).collect()
}

/// The byte offset of the first place where a text stands, and how far in.
pub fn at(text: &str, what: &str, in_it: usize) -> u32 {
    let start = text.find(what).unwrap_or_else(|| panic!("`{what}` is not there"));
    u32::try_from(start + in_it).expect("a short text")
}

/// Each mention on a line of its own: its line, what it names, the name as written, and whether it is introduced there.
pub fn listed(page: &Page, mentions: &[Mention]) -> String {
    let source = page.source();
    let one = |m: &Mention| {
        let line = source.lines.line_of(m.span.start) + 1;
        let mark = if m.is_declaration { " *" } else { "" };
        format!("{line} {}: {}{mark}\n", m.entity.word(), m.span.text(&source.text))
    };
    mentions.iter().map(one).collect()
}

/// Files by their path, with their texts.
pub type Files = Vec<(String, String)>;

/// The files with their changes.
pub fn applied(files: &Files, edits: &[(PathBuf, Vec<Edit>)]) -> Files {
    let one = |(name, text): &(String, String)| {
        let mut text = text.clone();
        let own = edits.iter().find(|(path, _)| path == Path::new(name));
        for edit in own.into_iter().flat_map(|(_, edits)| edits.iter().rev()) {
            text.replace_range(edit.span.range(), &edit.text);
        }
        (name.clone(), text)
    };
    files.iter().map(one).collect()
}
