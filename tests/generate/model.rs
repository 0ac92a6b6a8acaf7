//! What machines there are: each model with its sizes, each machine with its number.

use super::dice::Dice;
use super::words;

/// What kind of machine it is, and so what its jobs are like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A two-stroke single with a pressed-up crank: bottom end and top end.
    Single,
    /// A two-stroke twin: bores, pistons, squish.
    Twin,
    /// A four-stroke with buckets and shims.
    Valves,
    /// A crownwheel-and-pinion axle.
    Axle,
    /// A gear pump.
    Pump,
    /// A gearbox with dogs and forks.
    Gearbox,
}

/// A model: what its manual is for. Sizes are thousandths of a millimetre unless said.
#[derive(Clone, Debug)]
pub struct Model {
    /// What it is.
    pub kind: Kind,
    /// `Corvane 250 trials`.
    pub name: String,
    /// The file of its manual, without `.manual`.
    pub file: String,
    /// The model this one is a later edition of, if it is.
    pub later_of: Option<String>,
    /// The page its limits stand on.
    pub page: i64,
    /// Bore and stroke.
    pub bore: i64,
    /// Bore and stroke.
    pub stroke: i64,
    /// Width of a crank over its webs, and length of its pin.
    pub width: i64,
    /// Thickness of a web.
    pub web: i64,
    /// Diameter of the pin's seats.
    pub pin: i64,
    /// How much tighter than its hole a pin is.
    pub grip: i64,
    /// Number of valves, half of them inlets.
    pub valves: i64,
    /// Torque of the head in N·m.
    pub torque: i64,
    /// Width of a pump's gears.
    pub gear: i64,
    /// Drag of a pinion in tenths of a N·m, the middle of what is allowed.
    pub drag: i64,
}

impl Model {
    /// Model `number` of the repository of a seed.
    pub fn new(seed: u64, number: u64) -> Model {
        // Each fifth is a later edition of the one before it, and has its sizes.
        let later = number % 5 == 4;
        let of = if later { number - 1 } else { number };
        let mut dice = Dice::new(seed, 1, of);
        let kind = match of % 12 {
            0 | 3 | 6 => Kind::Single,
            1 | 7 => Kind::Valves,
            2 | 8 => Kind::Twin,
            4 | 9 => Kind::Axle,
            5 | 10 => Kind::Pump,
            _ => Kind::Gearbox,
        };
        let make = words::MAKES[(of as usize * 7 + (seed % 32) as usize) % words::MAKES.len()];
        let (low, high, step, word) = match kind {
            Kind::Single => (80, 380, 5, dice.pick(&["trials", "trail", "road", "enduro", "sidecar"])),
            Kind::Twin => (100, 500, 25, dice.pick(&["kart twin", "road twin", "sledge"])),
            Kind::Valves => (125, 650, 25, dice.pick(&["road", "single", "marine", "generator"])),
            Kind::Axle => (3, 48, 1, dice.pick(&["rear axle", "quad axle", "front axle"])),
            Kind::Pump => (8, 60, 2, dice.pick(&["gear pump", "transfer pump", "oil pump"])),
            Kind::Gearbox => (100, 400, 25, dice.pick(&["gearbox", "road gearbox"])),
        };
        let size = dice.step(low, high, step);
        let mut name = format!("{make} {size} {word}");
        let mut file = format!("{}-{size}-{of:02}", make.to_lowercase());
        let later_of = later.then(|| file.clone());
        if later {
            name.push_str(" mark two");
            file.push_str("-mk2");
        }
        let width = dice.step(46_000, 62_000, 1000);
        let bore = match kind {
            Kind::Twin => dice.step(38_000, 49_000, 500),
            _ => dice.step(52_000, 74_000, 500),
        };
        Model {
            kind,
            name,
            file,
            later_of,
            page: dice.between(9, 88),
            bore,
            stroke: dice.step(bore - 12_000, bore + 4000, 500),
            width,
            web: dice.step(width * 34 / 100 / 500 * 500, width * 36 / 100 / 500 * 500, 500),
            pin: dice.step(18_000, 24_000, 1000),
            grip: dice.step(65, 85, 5),
            valves: if dice.chance(60) { 4 } else { 2 },
            torque: dice.step(18, 34, 2),
            gear: dice.step(15_000, 40_000, 1000),
            drag: dice.between(10, 15),
        }
    }

    /// Width of the rod at its big end, so that the play comes to its middle.
    pub fn rod(&self) -> i64 {
        self.width - 2 * self.web - 2 * WASHER - PLAY
    }

    /// Ring gap of a new ring, the lower of the two blades.
    pub fn ring_gap(&self) -> i64 {
        (self.bore * 4 / 1000 / 50 + 1) * 50
    }
}

/// The middle of the side play.
pub const PLAY: i64 = 450;

/// A big end washer.
pub const WASHER: i64 = 300;
