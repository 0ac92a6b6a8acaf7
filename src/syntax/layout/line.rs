//! Lines as they will be printed: their indentation, what is aligned with their neighbours, their comments.

use unicode_width::UnicodeWidthStr;

use crate::syntax::said::BLANKS;

/// Widest column that anything is aligned at; a line whose left side is wider does not take part.
const WIDEST: usize = 60;

/// What a line is aligned with: the same kind of line straight above and below it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Group {
    /// `job`, `machine`, … and the head of a manual: the texts behind the keywords.
    Head,
    /// What stands behind the colon of a tool.
    Tool,
    /// The `=` of readings.
    Reading,
    /// What stands behind the stage of a limit.
    Limit,
    /// The clauses of steps.
    Step,
}

impl Group {
    /// Blanks between the widest left side and the right side.
    fn gap(self) -> usize {
        match self {
            Group::Reading => 1,
            _ => 2,
        }
    }

    /// The least width of the left side: `machine` and `service` stand in most files, so that all heads and all limits look alike.
    fn least(self) -> usize {
        match self {
            Group::Head | Group::Limit => 7,
            _ => 0,
        }
    }

    /// Blanks between the two sides of a line that is aligned with nothing.
    fn alone(self) -> usize {
        match self {
            Group::Step => 2,
            _ => 1,
        }
    }
}

/// What stands on a line.
#[derive(Clone, Debug)]
pub(super) enum What<'a> {
    /// Nothing.
    Blank,
    /// A comment alone, and whether it was indented.
    Comment(bool),
    /// Kept as it was, with the indentation in front and the comment behind.
    Kept(&'a str),
    /// A left side, and a right side that is aligned by the group.
    Said {
        indent: usize,
        left: String,
        right: Option<(Group, String)>,
    },
}

/// A line that is to be printed.
#[derive(Clone, Debug)]
pub(super) struct Laid<'a> {
    pub what: What<'a>,
    pub comment: &'a str,
}

/// Prints lines: aligned, blank lines squeezed, without line ends.
pub(super) fn print(lines: &[Laid<'_>]) -> Vec<String> {
    let columns = columns(lines);
    let mut printed: Vec<String> = lines
        .iter()
        .zip(&columns)
        .map(|(line, column)| said(line, *column))
        .collect();
    let stops = comment_stops(lines, &printed);
    let indents = comment_indents(lines);
    for (number, line) in lines.iter().enumerate() {
        let Some(text) = printed.get_mut(number) else {
            continue;
        };
        match &line.what {
            What::Comment(_) => text.push_str(indents.get(number).map_or("", String::as_str)),
            What::Said { .. } if !line.comment.is_empty() => {
                pad(text, stops.get(number).copied().flatten().unwrap_or(0));
                let blanks = text.len() - text.trim_end_matches(' ').len();
                text.extend(std::iter::repeat_n(' ', 2_usize.saturating_sub(blanks)));
            }
            _ => continue,
        }
        text.push_str(line.comment);
    }
    squeeze(lines, printed)
}

/// Fills a text up with blanks to a width.
fn pad(text: &mut String, width: usize) {
    let missing = width.saturating_sub(text.width());
    text.extend(std::iter::repeat_n(' ', missing));
}

/// A line without its comment, its right side at a column.
fn said(line: &Laid<'_>, column: Option<usize>) -> String {
    match &line.what {
        What::Blank | What::Comment(_) => String::new(),
        What::Kept(text) => (*text).to_owned(),
        What::Said { indent, left, right } => {
            let mut text = " ".repeat(*indent);
            text.push_str(left);
            if let Some((group, right)) = right {
                match column {
                    Some(column) => pad(&mut text, column),
                    None => text.push_str(&" ".repeat(group.alone())),
                }
                text.push_str(right);
            }
            text.truncate(text.trim_end_matches(' ').len());
            text
        }
    }
}

/// The column of the right side of each line, where there is one that is aligned.
fn columns(lines: &[Laid<'_>]) -> Vec<Option<usize>> {
    let mut columns = vec![None; lines.len()];
    let mut run: Vec<(usize, usize)> = Vec::new();
    let mut current: Option<(Group, usize)> = None;
    for (number, line) in lines.iter().enumerate() {
        let key = match &line.what {
            // A remark between two readings does not part them.
            What::Comment(_) => continue,
            What::Said {
                indent,
                right: Some((group, _)),
                ..
            } => Some((*group, *indent)),
            _ => None,
        };
        if key != current {
            align(current, &run, &mut columns);
            run.clear();
            current = key;
        }
        if let What::Said { indent, left, .. } = &line.what
            && key.is_some()
        {
            run.push((number, indent + left.width()));
        }
    }
    align(current, &run, &mut columns);
    columns
}

/// Gives the lines of a run their column.
fn align(key: Option<(Group, usize)>, run: &[(usize, usize)], columns: &mut [Option<usize>]) {
    let Some((group, indent)) = key else {
        return;
    };
    let fitting = run.iter().filter(|(_, width)| *width <= WIDEST);
    let widest = fitting.clone().map(|(_, width)| *width).max().unwrap_or(0);
    let single = group == Group::Tool && run.len() == 1;
    let column = widest.max(indent + group.least()) + if single { 1 } else { group.gap() };
    for (number, _) in fitting {
        if let Some(place) = columns.get_mut(*number) {
            *place = Some(column);
        }
    }
}

/// The column of each line's comment: those of readings that follow each other stand below each other.
fn comment_stops(lines: &[Laid<'_>], printed: &[String]) -> Vec<Option<usize>> {
    let mut stops = vec![None; lines.len()];
    let mut start = 0;
    while start < lines.len() {
        let run = lines.iter().skip(start).take_while(|line| {
            let reading = matches!(
                &line.what,
                What::Said {
                    right: Some((Group::Reading, _)),
                    ..
                }
            );
            reading && !line.comment.is_empty()
        });
        let end = start + run.count();
        let widths = printed.get(start..end).unwrap_or_default();
        let fitting = widths.iter().map(|text| text.width()).filter(|width| *width <= WIDEST);
        let stop = fitting.max().map(|width| width + 2);
        for place in stops.get_mut(start..end).unwrap_or_default() {
            *place = stop;
        }
        start = end.max(start + 1);
    }
    stops
}

/// The indentation of comments that stand alone: as deep as the line below; with nothing straight below, one that was indented stands
/// as deep as the line above.
fn comment_indents(lines: &[Laid<'_>]) -> Vec<String> {
    let mut indents = vec![String::new(); lines.len()];
    let mut above = None;
    for (line, place) in lines.iter().zip(&mut indents) {
        match &line.what {
            What::Comment(true) => *place = above.clone().unwrap_or_default(),
            What::Comment(false) => {}
            _ => above = indent_of(line),
        }
    }
    let mut below = None;
    for (line, place) in lines.iter().zip(&mut indents).rev() {
        match (&line.what, &below) {
            (What::Comment(_), Some(below)) => *place = String::clone(below),
            (What::Comment(_), None) => {}
            _ => below = indent_of(line),
        }
    }
    indents
}

/// The indentation of a line that says something.
fn indent_of(line: &Laid<'_>) -> Option<String> {
    match &line.what {
        What::Said { indent, .. } => Some(" ".repeat(*indent)),
        What::Kept(text) => {
            let end = text.len() - text.trim_start_matches(BLANKS).len();
            text.get(..end).map(str::to_owned)
        }
        What::Blank | What::Comment(_) => None,
    }
}

/// Leaves out blank lines at the start, at the end, and behind another blank line.
fn squeeze(lines: &[Laid<'_>], printed: Vec<String>) -> Vec<String> {
    let mut kept: Vec<String> = Vec::with_capacity(printed.len());
    let mut blank = false;
    for (line, text) in lines.iter().zip(printed) {
        if matches!(line.what, What::Blank) {
            blank = true;
            continue;
        }
        if blank && !kept.is_empty() {
            kept.push(String::new());
        }
        blank = false;
        kept.push(text);
    }
    kept
}
