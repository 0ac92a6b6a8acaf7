//! The pad that a log is written on: the hand of whoever writes, the day, the meter, and when the next mistake is due.

use super::dice::Dice;
use super::figures::figure;
use super::model::Model;
use super::words;

/// How somebody writes.
pub struct Hand {
    /// `52,03` for `52.03`.
    pub comma: bool,
    /// `.40` for `0.40`.
    pub bare: bool,
    /// `mm` behind every length, though the head says it.
    pub units: bool,
    /// Times in front of some lines.
    pub clock: bool,
    /// Days are indented under their dates.
    pub indent: bool,
    /// The `=` of readings stand below each other.
    pub neat: bool,
    /// `by mic 50-75` is written behind readings.
    pub tools: bool,
    /// Fine tools are checked on each day they are used, and that is written down.
    pub checks: bool,
}

/// The pad.
pub struct Pad<'a> {
    /// The chance of this log.
    pub dice: Dice,
    /// What the job is done on.
    pub model: &'a Model,
    /// How it is written.
    pub hand: Hand,
    /// What money is named.
    pub money: &'a str,
    out: String,
    lines: u64,
    wanted: u64,
    /// Days since the first of 2023.
    day: i64,
    minute: i64,
    in_day: bool,
    checked: Vec<String>,
    slip_at: u64,
    rate: u64,
}

impl<'a> Pad<'a> {
    /// An empty pad; about one line in `rate` is to have a mistake, and `wanted` lines are to be written.
    pub fn new(mut dice: Dice, model: &'a Model, day: i64, wanted: u64, rate: u64) -> Pad<'a> {
        let hand = Hand {
            comma: dice.chance(6),
            bare: dice.chance(15),
            units: dice.chance(50),
            clock: dice.chance(25),
            indent: dice.chance(8),
            neat: dice.chance(40),
            tools: dice.chance(92),
            checks: dice.chance(15),
        };
        let slip_at = dice.wait(rate);
        let money = dice.pick(&["EUR", "EUR", "EUR", "GBP", "CZK", "PLN"]);
        Pad {
            dice,
            model,
            hand,
            money,
            out: String::new(),
            lines: 0,
            wanted,
            day,
            minute: 0,
            in_day: false,
            checked: Vec::new(),
            slip_at,
            rate,
        }
    }

    /// What has been written since it was last taken.
    pub fn take(&mut self) -> String {
        std::mem::take(&mut self.out)
    }

    /// Whether all the lines that were wanted stand there.
    pub fn is_full(&self) -> bool {
        self.lines >= self.wanted
    }

    /// The lines that are still to be written.
    pub fn room(&self) -> u64 {
        self.wanted.saturating_sub(self.lines)
    }

    /// Whether a mistake is to be made now.
    pub fn slips(&mut self) -> bool {
        if self.lines < self.slip_at {
            return false;
        }
        self.slip_at = self.lines + self.dice.wait(self.rate);
        true
    }

    /// A line as it stands, below the day. Nothing once the pad is full.
    pub fn put(&mut self, text: &str) {
        // Above the first day nothing stands below a date.
        self.row(if self.hand.indent && self.in_day { "  " } else { "" }, text);
    }

    /// A line that begins at the margin.
    pub fn flush(&mut self, text: &str) {
        self.row("", text);
    }

    fn row(&mut self, indent: &str, text: &str) {
        if self.is_full() {
            return;
        }
        if !text.is_empty() {
            self.out.push_str(indent);
            self.out.push_str(text);
        }
        self.out.push('\n');
        self.lines += 1;
    }

    /// An entry: a line that may have its time in front and a remark behind it.
    pub fn entry(&mut self, text: &str) {
        let clock = if self.hand.clock && self.dice.chance(12) {
            self.time()
        } else {
            String::new()
        };
        let remark = if self.dice.chance(3) {
            format!("  # {}", self.dice.pick(words::REMARKS))
        } else {
            String::new()
        };
        self.put(&format!("{clock}{text}{remark}"));
    }

    /// The time, later than all times of the day before it; empty where the day is over.
    fn time(&mut self) -> String {
        self.minute = self.minute.max(7 * 60 + 30) + self.dice.between(2, 18);
        if self.minute > 20 * 60 {
            return String::new();
        }
        format!("{:02}:{:02} ", self.minute / 60, self.minute % 60)
    }

    /// A new day, so many days after the last, with its stage.
    pub fn day(&mut self, after: i64, stage: &str) {
        if after > 0 {
            self.minute = 0;
            self.checked.clear();
        }
        self.day += after;
        self.flush("");
        if self.dice.chance(20) {
            let heading = self.dice.pick(words::HEADINGS);
            self.flush(&format!("# ---- {heading} ----"));
            self.flush("");
        }
        let date = if self.dice.chance(4) && self.slips() {
            date(self.day - 40)
        } else {
            date(self.day)
        };
        let gap = if self.hand.neat { "  " } else { " " };
        self.flush(&format!("{date}{gap}{stage}"));
        self.in_day = true;
    }

    /// Today.
    pub fn today(&self) -> String {
        date(self.day)
    }

    /// A day so long from now.
    pub fn in_days(&self, days: i64) -> String {
        date(self.day + days)
    }

    /// Whether the tool was checked today; it is from now on.
    pub fn check(&mut self, tool: &str) -> bool {
        let known = self.checked.iter().any(|one| one == tool);
        if !known {
            self.checked.push(tool.to_owned());
        }
        known
    }

    /// A figure from thousandths as this hand writes it.
    pub fn figure(&self, thousandths: i64, decimals: usize) -> String {
        let mut text = figure(thousandths, decimals);
        if self.hand.bare {
            text = text.strip_prefix("0.").map_or(text.clone(), |rest| format!(".{rest}"));
        }
        if self.hand.comma {
            text = text.replace('.', ",");
        }
        text
    }

    /// A note, a remark in plain prose, a photo: what is written between the lines.
    pub fn aside(&mut self) {
        match self.dice.between(0, 9) {
            0..=5 => {
                let note = self.sentence();
                self.entry(&format!("note {note}"));
            }
            6 | 7 => {
                let prose = self.dice.pick(words::PROSE);
                self.put(prose);
            }
            8 => {
                let picture = format!(
                    "photo pictures/{}-{}.jpg",
                    self.dice.pick(&["pin", "bore", "bench", "gasket", "tag"]),
                    self.dice.between(1, 9999)
                );
                self.put(&picture);
            }
            _ => {
                let (one, two) = (self.sentence(), self.sentence());
                self.put(&format!("note {one},"));
                self.put(&format!("  {two}"));
            }
        }
    }

    /// Something said in passing.
    pub fn sentence(&mut self) -> String {
        let (thing, does, end) = (
            self.dice.pick(words::THINGS),
            self.dice.pick(words::DOES),
            self.dice.pick(words::ENDS),
        );
        format!("{thing} {does}{end}")
    }

    /// Now and then something is said in passing.
    pub fn maybe_aside(&mut self, percent: u32) {
        if self.dice.chance(percent) {
            self.aside();
        }
    }
}

/// A date, so many days after the first of 2023.
pub fn date(days: i64) -> String {
    let (mut year, mut left) = (2023, days.max(0));
    let is_leap = |year: i64| year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    while left >= 365 + i64::from(is_leap(year)) {
        left -= 365 + i64::from(is_leap(year));
        year += 1;
    }
    let february = 28 + i64::from(is_leap(year));
    let mut month = 1;
    for length in [31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] {
        if left < length {
            break;
        }
        left -= length;
        month += 1;
    }
    format!("{year}-{month:02}-{:02}", left + 1)
}
