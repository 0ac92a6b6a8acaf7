//! Whether two logs are of one machine.
//!
//! What a shop writes behind `machine` is a make and a type, and behind a comma what tells one from the next on the same bench: `frame TN-0417`, `engine
//! K25-1183`, `serial 771`. So:
//!
//! - where both say the same number of the same thing, and one names the type with no word that the other lacks, they are one machine, whatever else is said
//!   (`Tarn 250, frame TN-0417, blue tank` is `Tarn 250 trials single, frame no. TN-0417`);
//! - where both say a number of the same thing and the numbers differ, they are two;
//! - else they are one only if the whole line is the same: a shop has many of a type.

use super::names::key;

/// What has a number, each with the words for it.
const NUMBERED: &[&[&str]] = &[
    &["serial", "s/n", "sn", "no", "no.", "nr", "number", "unit"],
    &["frame", "chassis", "vin"],
    &["engine", "motor"],
];

/// Words between the thing and its number.
const FILLERS: &[&str] = &["no", "no.", "nr", "nr.", "number", "serial"];

/// A machine as it is compared.
#[derive(Clone, Debug)]
pub struct Machine {
    /// All of it.
    whole: String,
    /// The words before the first comma.
    kind: Vec<String>,
    /// Which of [`NUMBERED`], and the number without anything but letters and figures.
    numbers: Vec<(usize, String)>,
}

impl Machine {
    /// What stands behind `machine`, in any case.
    pub fn new(text: &str) -> Machine {
        let whole = key(text).into_owned();
        let mut pieces = whole.split([',', ';']).map(str::trim);
        let kind = pieces.next().unwrap_or("").split(' ').map(str::to_owned).collect();
        let numbers = pieces.filter_map(number).collect();
        Machine { whole, kind, numbers }
    }

    /// All that was written, as a key.
    pub fn whole(&self) -> &str {
        &self.whole
    }

    /// Its make and type: the words before the first comma, as a key.
    pub fn kind(&self) -> String {
        self.kind.join(" ")
    }

    /// Its numbers, each with which thing it is the number of.
    pub fn numbers(&self) -> &[(usize, String)] {
        &self.numbers
    }

    /// Whether both are one machine.
    pub fn is(&self, other: &Machine) -> bool {
        if self.whole == other.whole {
            return true;
        }
        let (mut same, mut differ) = (false, false);
        for (what, number) in &self.numbers {
            for (_, theirs) in other.numbers.iter().filter(|(other, _)| other == what) {
                same |= number == theirs;
                differ |= number != theirs;
            }
        }
        let within = |one: &Machine, other: &Machine| one.kind.iter().all(|word| other.kind.contains(word));
        same && !differ && (within(self, other) || within(other, self))
    }
}

/// `frame no. tn-0417`: what has a number, and the number.
fn number(piece: &str) -> Option<(usize, String)> {
    let mut words = piece.split(' ').map(|word| word.trim_end_matches(':'));
    let first = words.next()?;
    let what = NUMBERED.iter().position(|names| names.contains(&first))?;
    let rest: String = words
        .skip_while(|word| FILLERS.contains(word))
        .flat_map(|word| word.chars())
        .filter(|c| c.is_alphanumeric())
        .collect();
    let has_figure = rest.chars().any(|c| c.is_ascii_digit());
    has_figure.then_some((what, rest))
}

#[cfg(test)]
mod tests {
    use super::Machine;

    fn one(a: &str, b: &str) -> bool {
        let (a, b) = (Machine::new(a), Machine::new(b));
        assert_eq!(a.is(&b), b.is(&a));
        a.is(&b)
    }

    #[test]
    fn a_machine_is_told_by_its_number_where_both_say_it() {
        assert!(one(
            "Tarn 250 trials single, frame TN-0417",
            "tarn 250  trials single, frame TN-0417"
        ));
        assert!(one(
            "Tarn 250 trials single, frame TN-0417",
            "Tarn 250, frame no. TN 0417, blue tank"
        ));
        assert!(!one("Tarn 250, frame TN-0417", "Tarn 250, frame TN-0418"));
        assert!(!one("Tarn 250, frame TN-0417", "Corvane 250, frame TN-0417"));
        assert!(!one("Tarn 250, frame 417", "Tarn 250, engine 417"));
        assert!(!one("Tarn 250, frame TN-0417", "Tarn 250"));
        assert!(!one("Tarn 250, blue", "Tarn 250, red"));
        assert!(one("Gannet pump no 5", "gannet pump no 5"));
        assert!(!one("Tarn 250, frame 1, engine 2", "Tarn 250, frame 1, engine 3"));
    }
}
