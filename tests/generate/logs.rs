//! Logs: a head, rounds of work, and the end.

use std::io::{self, Write};

use super::dice::Dice;
use super::jobs;
use super::model::{Kind, Model};
use super::pad::Pad;
use super::words;

/// About one line in so many has a mistake that is told, where nothing else is wanted.
pub const MISTAKES: u64 = 45;

/// Logs longer than this would outlive the calibration of their tools, and say nothing of it.
const LONG: u64 = 2000;

/// One log of a repository.
#[derive(Clone, Copy, Debug)]
pub struct Log {
    /// The seed of the repository.
    pub seed: u64,
    /// Its number there.
    pub number: u64,
    /// How many models the repository has manuals of.
    pub models: u64,
    /// How many lines it is to have.
    pub lines: u64,
    /// About one line in so many has a mistake.
    pub mistakes: u64,
}

/// A round of work has no more lines than this.
const ROUND: u64 = 130;

/// How many jobs are done on one machine.
const JOBS: u64 = 4;

impl Log {
    /// The machine it is of, by its number.
    fn machine(&self) -> u64 {
        self.number / JOBS
    }

    /// The model it is of.
    pub fn model(&self) -> Model {
        let number = Dice::new(self.seed, 2, self.machine()).between(0, self.models as i64 - 1);
        Model::new(self.seed, number as u64)
    }

    /// The name of its file.
    pub fn file(&self) -> String {
        let word = match self.model().kind {
            Kind::Single => "crank",
            Kind::Twin => "twin",
            Kind::Valves => "top-end",
            Kind::Axle => "axle",
            Kind::Pump => "pump",
            Kind::Gearbox => "gearbox",
        };
        format!("{:05}-{word}.rebuild", self.number)
    }

    /// Its text.
    pub fn text(&self) -> String {
        let mut out = Vec::new();
        self.write(&mut out).expect("memory takes it");
        String::from_utf8(out).expect("it is text")
    }

    /// Writes it, a round at a time.
    pub fn write(&self, out: &mut dyn Write) -> io::Result<()> {
        let model = self.model();
        let mut machine = Dice::new(self.seed, 3, self.machine());
        let serial = machine.between(100, 9999);
        let (first_day, first_hours) = (machine.between(0, 500), machine.between(0, 4000));
        let owner = machine.pick(words::PEOPLE);
        let visit = (self.number % JOBS) as i64;

        let mut dice = Dice::new(self.seed, 4, self.number);
        let day = first_day + visit * 190 + dice.between(0, 60);
        let hours = first_hours + visit * dice.between(60, 140);
        let ends = dice.chance(5);
        let mut pad = Pad::new(dice, &model, day, self.lines, self.mistakes);
        head(&mut pad, self, serial, owner, hours);
        // One in six is still in hand: it breaks off somewhere.
        let in_hand = pad.dice.chance(17);
        // A long job begins with the top end: what is done first there is asked for later.
        let mut number = if self.lines > ROUND {
            1
        } else {
            pad.dice.between(0, 1) as u64
        };
        while pad.room() > 0 && (in_hand || number < 2 || pad.room() > ROUND) {
            jobs::round(&mut pad, number);
            number += 1;
            send(&mut pad, ends, out)?;
        }
        let mut meter = hours;
        while pad.room() > 1 {
            meter += pad.dice.between(4, 60);
            jobs::run_in(&mut pad, meter);
        }
        let today = pad.today();
        pad.flush(&format!("closed {today}"));
        send(&mut pad, ends, out)
    }
}

/// Hands on what was written; some keep the line ends of another system.
fn send(pad: &mut Pad<'_>, ends: bool, out: &mut dyn Write) -> io::Result<()> {
    let text = pad.take();
    let text = if ends { text.replace('\n', "\r\n") } else { text };
    out.write_all(text.as_bytes())
}

fn head(pad: &mut Pad<'_>, log: &Log, serial: i64, owner: &str, hours: i64) {
    let complaint = pad.dice.pick(words::COMPLAINTS);
    let name = &pad.model.name;
    let word = match pad.model.kind {
        Kind::Single | Kind::Twin | Kind::Valves => "engine",
        Kind::Axle | Kind::Pump => "serial",
        Kind::Gearbox => "frame",
    };
    let initials: String = name.chars().filter(char::is_ascii_uppercase).collect();
    let lines = [
        format!("job      {:04}, {complaint}", log.number),
        format!("machine  {name}, {word} {initials}{serial:04}"),
        format!("owner    {owner}"),
        format!("hours    {hours}"),
    ];
    for line in lines {
        pad.flush(&line);
    }
    if pad.dice.chance(30) {
        let bench = pad.dice.pick(words::BENCHES);
        pad.flush(&format!("by       {bench}"));
    }
    // One in ten is left to the shelf.
    if !pad.dice.chance(10) {
        let file = pad.model.file.clone();
        pad.flush(&format!("manual   {file}"));
    }
    pad.flush("units    mm, N·m, bar");
    pad.flush("");
    let due = (pad.dice.chance(50) && log.lines <= LONG).then(|| {
        let days = if pad.slips() { 1 } else { 1500 };
        pad.in_days(days)
    });
    for (name, facts) in jobs::tools(pad.model.kind) {
        let due = due
            .as_ref()
            .filter(|_| facts.contains("good to"))
            .map(|day| format!(", due {day}"))
            .unwrap_or_default();
        pad.flush(&format!("{:<17} {facts}{due}", format!("tool {name}:")));
    }
}
