//! Spellings brought to one form: case, spaces, marks between words, micro signs and raised figures.

use std::str;

/// The longest folded spelling, in bytes. Whatever is longer is no unit.
const MOST: usize = 32;

/// A spelling in its folded form, held on the stack so that a word that is no unit costs no allocation.
pub(super) struct Folded {
    bytes: [u8; MOST],
    length: usize,
}

impl Folded {
    /// Folds a spelling; `None` if it is empty, too long, or holds a mark that cannot be part of a unit where it stands.
    ///
    /// Letters become small, `µ` becomes `u`, `²` and `^2` become `2`. A space, `·`, `.`, `*` or `-` between two words of a
    /// compound becomes one `·`, so that `m·m` is not taken for `mm`; beside anything else a space or a closing point is
    /// dropped.
    pub(super) fn new(name: &str) -> Option<Folded> {
        let mut folded = Folded {
            bytes: [0; MOST],
            length: 0,
        };
        let mut last = None;
        // A mark waits until it is known whether a letter follows.
        let mut waiting = None;
        for c in name.trim().chars() {
            match c {
                '·' | '⋅' | '•' | '*' | '-' | '‑' | '^' => {
                    last?;
                    waiting = match waiting {
                        None | Some(' ' | '.') => Some(c),
                        Some(_) => return None,
                    };
                    continue;
                }
                '.' => {
                    last?;
                    waiting = Some(waiting.unwrap_or('.'));
                    continue;
                }
                c if c.is_whitespace() => {
                    waiting = waiting.or(Some(' '));
                    continue;
                }
                _ => {}
            }
            let c = plain(c);
            let joins = last.is_some_and(char::is_alphanumeric);
            match waiting.take() {
                None => {}
                Some('^') if joins && c.is_ascii_digit() => {}
                Some(' ' | '.') if !joins || !c.is_alphabetic() => {}
                Some(mark) if mark != '^' && joins && c.is_alphabetic() => folded.push('·')?,
                Some(_) => return None,
            }
            if c == '℃' || c == '℉' {
                folded.push('°')?;
            }
            let c = match c {
                '℃' => 'c',
                '℉' => 'f',
                c => c,
            };
            folded.push(c)?;
            last = Some(c);
        }
        (folded.length > 0 && matches!(waiting, None | Some('.'))).then_some(folded)
    }

    /// The folded text.
    pub(super) fn as_str(&self) -> &str {
        self.bytes
            .get(..self.length)
            .and_then(|b| str::from_utf8(b).ok())
            .unwrap_or("")
    }

    fn push(&mut self, c: char) -> Option<()> {
        let end = self.length + c.len_utf8();
        c.encode_utf8(self.bytes.get_mut(self.length..end)?);
        self.length = end;
        Some(())
    }
}

/// One sign for the several that look alike.
fn plain(c: char) -> char {
    match c {
        'µ' | 'μ' | 'Μ' => 'u',
        '²' | '₂' => '2',
        '³' => '3',
        '″' | '”' | '“' => '"',
        '′' | '’' => '\'',
        'º' | '˚' => '°',
        c if c.is_ascii() => c.to_ascii_lowercase(),
        // Some capitals have a small form of two characters; the first is enough to tell units apart.
        c => c.to_lowercase().next().unwrap_or(c),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn fold(name: &str) -> Option<String> {
        Folded::new(name).map(|f| f.as_str().to_owned())
    }

    #[test]
    fn one_form_for_many() {
        for (name, folded) in [
            ("MM", "mm"),
            (" mm ", "mm"),
            ("µm", "um"),
            ("μm", "um"),
            ("cm^2", "cm2"),
            ("cm ²", "cm2"),
            ("in.", "in"),
            ("Ft-Lb", "ft·lb"),
            ("ft . lb", "ft·lb"),
            ("ft.-lb.", "ft·lb"),
            ("N * m", "n·m"),
            ("kgf / cm²", "kgf/cm2"),
            ("r.p.m.", "r·p·m"),
            ("° C", "°c"),
            ("º C", "°c"),
            ("℃", "°c"),
            ("US gal", "us·gal"),
            ("N\u{a0}m", "n·m"),
        ] {
            assert_eq!(fold(name).as_deref(), Some(folded), "{name}");
        }
    }

    #[test]
    fn a_stray_mark_is_no_unit() {
        for name in [
            "", "  ", ".", "-mm", "mm-", "·m", "m·", "^2", "mm^", "mm^x", "N··m", "N·*m", "m-2",
        ] {
            assert_eq!(fold(name), None, "{name}");
        }
    }

    proptest! {
        #[test]
        fn never_panics_and_holds(name in any::<String>()) {
            if let Some(once) = fold(&name) {
                prop_assert!(!once.is_empty());
                prop_assert_eq!(fold(&once), Some(once));
            }
        }
    }
}
