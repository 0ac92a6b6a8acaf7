//! Readings in every form, and what is written about them later.

use super::pad::Pad;
use super::words;

/// A length that is read.
pub struct Read<'a> {
    /// Feature, part and place, as written.
    pub name: &'a str,
    /// Thousandths of a millimetre.
    pub value: i64,
    /// Decimals it is written with.
    pub decimals: usize,
    /// The tool; empty for none.
    pub by: &'a str,
    /// What stands behind it, with its comma; empty for nothing.
    pub more: &'a str,
}

/// The micrometer for a size in thousandths.
pub fn mic(value: i64) -> &'static str {
    match value {
        ..25_000 => "mic 0-25",
        25_000..50_000 => "mic 25-50",
        50_000..75_000 => "mic 50-75",
        _ => "mic 75-100",
    }
}

impl Pad<'_> {
    /// `NAME =`, in line with others where the hand is neat.
    fn begin(&self, name: &str) -> String {
        if self.hand.neat {
            format!("{name:<26} =")
        } else {
            format!("{name} =")
        }
    }

    fn by(&mut self, tool: &str) -> String {
        if tool.is_empty() || !self.hand.tools {
            return String::new();
        }
        if self.hand.checks && (tool.starts_with("mic") || tool == "bore gauge") && !self.check(tool) {
            let on = self
                .dice
                .pick(&["on its standard", "zero ok", "on the block", "in the ring"]);
            self.put(&format!("checked {tool}, {on}"));
        }
        format!(" by {tool}")
    }

    fn unit(&self) -> &'static str {
        if self.hand.units { " mm" } else { "" }
    }

    /// A single figure, a few repeats, or one of the mistakes that are made with them.
    pub fn read(&mut self, read: &Read<'_>) {
        if self.slips() {
            self.misread(read);
            return;
        }
        let digit = [1000, 100, 10, 1][read.decimals.min(3)];
        let by = self.by(read.by);
        let (begin, unit) = (self.begin(read.name), self.unit());
        let figure = self.figure(read.value, read.decimals);
        let more = if read.more.is_empty() && self.dice.chance(8) {
            format!(", {}", self.dice.pick(words::BESIDE))
        } else {
            read.more.to_owned()
        };
        let is_fine = !by.is_empty() && read.decimals >= 2;
        match self.dice.between(0, 99) {
            0..=5 if is_fine => {
                let off = digit * self.dice.between(-1, 1);
                let off = self.figure(read.value + off, read.decimals);
                self.entry(&format!("{begin} {figure} {off} {figure}{unit}{by}{more}"));
            }
            6..=9 if is_fine => {
                let warm = self.dice.between(18, 22);
                self.entry(&format!("{begin} {figure}{unit}{by} at {warm} C{more}"));
            }
            10 | 11 => {
                // Written wrong at first, and mended.
                let wrong =
                    read.value + self.dice.pick(&[&500, &50, &-100, &200]) * if read.decimals < 2 { 10 } else { 1 };
                let wrong = self.figure(wrong, read.decimals);
                self.entry(&format!("{begin} {wrong}{unit}{by}{more}"));
                let why = self.dice.pick(words::SLIPS);
                self.put(&format!("fix {} {wrong} -> {figure}, {why}", read.name));
            }
            12 if is_fine => {
                let room = self.figure(2 * digit, read.decimals);
                self.entry(&format!("{begin} {figure} ± {room} mm{by}{more}"));
            }
            _ => self.entry(&format!("{begin} {figure}{unit}{by}{more}")),
        }
    }

    fn misread(&mut self, read: &Read<'_>) {
        let begin = self.begin(read.name);
        let figure = self.figure(read.value, read.decimals);
        let by = self.by(read.by);
        match self.dice.between(0, 10) {
            0 => self.put(&format!("{begin} felt right")),
            1 => self.put(&format!("{} {figure} mm{by}", read.name)),
            2 => {
                let tool = self
                    .dice
                    .pick(&["the good one", "mic 5-75", "feller gauge", "harry's gauge"]);
                self.put(&format!("{begin} {figure} mm by {tool}"));
            }
            3 => {
                let wrong = misspelt(read.name);
                self.put(&format!("{wrong} = {figure} mm{by}"));
            }
            4 => self.put(&format!("{begin} {figure} N·m{by}")),
            5 => self.put(&format!("{begin} {figure}, {figure} mm{by}")),
            6 => self.put(&format!("{begin} {figure} mmm{by}")),
            7 => self.put(&format!("{begin} {figure} mm ?{by}")),
            8 => {
                let figure = self.figure(read.value + 500, read.decimals);
                self.put(&format!("{begin} {figure} mm{by}"));
            }
            9 => {
                let figure = self.figure(read.value / 10, 3);
                self.put(&format!("{begin} {figure} mm{by}"));
            }
            _ => {
                let figure = self.figure(read.value + 120, read.decimals);
                self.put(&format!("{begin} {figure} mm{by}, because no other can be had"));
            }
        }
    }

    /// A figure of another quantity, as it is written.
    pub fn value(&mut self, name: &str, text: &str) {
        let begin = self.begin(name);
        self.entry(&format!("{begin} {text}"));
    }

    /// Two blades, `step` apart: it goes at `goes`.
    pub fn blades(&mut self, name: &str, goes: i64, step: i64, by: &str) {
        let begin = self.begin(name);
        let (go, no) = (self.figure(goes, 2), self.figure(goes + step, 2));
        let by = if by.is_empty() {
            String::new()
        } else {
            format!(" by {by}")
        };
        if self.slips() {
            match self.dice.between(0, 2) {
                0 => self.put(&format!("{begin} go {no}, no-go {go} mm{by}")),
                1 => self.put(&format!("{begin} goes {go} mm{by}")),
                _ => {
                    let (go, no) = (self.figure(goes + 10 * step, 2), self.figure(goes + 11 * step, 2));
                    self.put(&format!("{begin} go {go}, no-go {no} mm{by}"));
                }
            }
            return;
        }
        let unit = self.unit();
        match self.dice.between(0, 5) {
            0 => self.entry(&format!("{begin} {go} goes {no} no{by}")),
            1 => self.entry(&format!("{begin} {go} go {no} no-go{by}")),
            _ => self.entry(&format!("{begin} go {go}, no-go {no}{unit}{by}")),
        }
    }

    /// A figure at each angle.
    pub fn ring(&mut self, name: &str, around: i64, spread: i64, by: &str) {
        let figures: Vec<String> = (0..4)
            .map(|_| {
                let off = self.dice.between(-spread, spread);
                self.figure((around + off) / 10 * 10, 2)
            })
            .collect();
        let tool = self.by(by);
        let begin = self.begin(name);
        let angles = if self.slips() { "0 90 180" } else { "0 90 180 270" };
        self.entry(&format!("{begin} {} at {angles} mm{tool}", figures.join(" ")));
    }

    /// A run-out with the angle of its high point.
    pub fn runs_out(&mut self, name: &str, value: i64, by: &str) {
        let begin = self.begin(name);
        let (figure, unit) = (self.figure(value, 2), self.unit());
        let angle = self.dice.step(0, 355, 5);
        let high = if self.hand.units && self.dice.chance(20) {
            format!(", high at {angle} ± 3°")
        } else {
            format!(" high at {angle}°")
        };
        let by = self.by(by);
        self.entry(&format!("{begin} {figure}{unit}{high}{by}"));
    }

    /// A table of a bore: three rows, two columns. Gives the smallest and the largest figure.
    pub fn bore(&mut self, name: &str, size: i64, worn: i64) -> (i64, i64) {
        let by = self.by("bore gauge");
        let begin = self.begin(name);
        let warm = self.dice.between(19, 21);
        let is_wrong = self.slips();
        self.entry(&format!("{begin} mm{by} at {warm} C"));
        self.put("             along   across");
        let (mut least, mut most) = (i64::MAX, i64::MIN);
        for (row, more) in [("top", worn / 2), ("middle", worn), ("bottom", 0)] {
            let along = size + more + self.dice.between(0, 3);
            let across = size + more + self.dice.between(0, 3);
            least = least.min(along).min(across);
            most = most.max(along).max(across);
            let (along, across) = (self.figure(along, 3), self.figure(across, 3));
            let across = if is_wrong && row == "bottom" {
                String::new()
            } else {
                format!("   {across}")
            };
            self.put(&format!("   {row:<8} {along}{across}"));
        }
        (least, most)
    }

    /// A figure that follows from others: the hand sum that leads to it, or the sum alone.
    pub fn claims(&mut self, name: &str, sum: &str, value: i64, decimals: usize) {
        let begin = self.begin(name);
        let is_wrong = self.slips();
        let value = self.figure(value + if is_wrong { 100 } else { 0 }, decimals);
        let sum = if sum.is_empty() {
            String::new()
        } else {
            format!("{sum} = ")
        };
        self.entry(&format!("{begin} {sum}{value}"));
    }
}

/// A name with two letters turned round.
fn misspelt(name: &str) -> String {
    let mut letters: Vec<char> = name.chars().collect();
    if letters.len() > 3 {
        letters.swap(1, 2);
    }
    letters.into_iter().collect()
}
