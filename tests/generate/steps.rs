//! Steps that were done, undone, and what is said with them.

use super::pad::Pad;
use super::words;

impl Pad<'_> {
    /// A step: what must be said with it, and of what may be said some.
    pub fn did(&mut self, step: &str, must: &[&str], may: &[&str]) {
        let mut said: Vec<&str> = must.to_vec();
        for one in may {
            if self.dice.chance(35) {
                said.push(one);
            }
        }
        let own = format!("{} {}", self.dice.pick(words::MANNERS), self.dice.pick(words::MEANS));
        if self.dice.chance(30) {
            said.push(&own);
        }
        if self.slips() {
            match self.dice.between(0, 3) {
                0 if !must.is_empty() => {
                    said.remove(0);
                }
                1 => {
                    self.put(step);
                    return;
                }
                2 => {
                    let mut letters: Vec<char> = step.chars().collect();
                    let last = letters.len() - 1;
                    letters.swap(last, last - 1);
                    let wrong: String = letters.into_iter().collect();
                    self.put(&format!("did {wrong}"));
                }
                _ => said.push("torque 12 ft-lb"),
            }
        }
        let all: String = said.iter().map(|one| format!(", {one}")).collect();
        self.entry(&format!("did {step}{all}"));
        if self.dice.chance(2) {
            let why = self.dice.pick(words::UNDONE);
            self.put(&format!("undid {step}, because {why}"));
            self.put(&format!("did {step}{all}"));
        }
    }

    /// A torque in this hand's words.
    pub fn torque(&mut self, figure: i64) -> String {
        match self.dice.between(0, 3) {
            0 => format!("torque {}/{}/{figure} N·m", figure / 3, figure * 2 / 3),
            1 => format!("torque {figure} N·m, cross"),
            2 => format!("torque {figure} N·m, 3 stages, cross"),
            _ => format!("torque {}/{figure} N·m", figure / 2),
        }
    }
}
