//! Metric bolts: thread geometry, what a class bears (ISO 898-1), and torque against preload (ISO 16047, VDI 2230).

use std::f64::consts::PI;

use super::function::{Example, Function, Given, Gives, Group, Parameter, Refused, Word, Words, shown};
use crate::quantity::Dimension;

/// A metric thread, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thread {
    /// Nominal diameter.
    pub diameter: f64,
    /// Pitch.
    pub pitch: f64,
}

/// Coarse pitches (ISO 261), and what stands under a hexagon head: least bearing diameter (ISO 4014, product grade A) and medium clearance hole (ISO 273),
/// mm. M6 to M12 are those of the worked cases; of the heads the others are values from memory.
const COARSE: &[(f64, f64, f64, f64)] = &[
    (3.0, 0.5, 4.57, 3.4),
    (4.0, 0.7, 5.88, 4.5),
    (5.0, 0.8, 6.88, 5.5),
    (6.0, 1.0, 8.88, 6.6),
    (7.0, 1.0, 9.63, 7.6),
    (8.0, 1.25, 11.63, 9.0),
    (10.0, 1.5, 14.63, 11.0),
    (12.0, 1.75, 16.63, 13.5),
    (14.0, 2.0, 19.64, 15.5),
    (16.0, 2.0, 22.49, 17.5),
    (18.0, 2.5, 25.34, 20.0),
    (20.0, 2.5, 28.19, 22.0),
    (22.0, 2.5, 31.71, 24.0),
    (24.0, 3.0, 33.61, 26.0),
];

impl Thread {
    /// Reads `M8`, `M8x1`, `M8×1.25`.
    pub fn read(text: &str) -> Result<Thread, String> {
        let unknown = || format!("`{text}` is no metric thread: write `M8`, or with its pitch `M8x1`");
        let lower = text.trim().to_lowercase().replace('×', "x").replace(',', ".");
        let body = lower.strip_prefix('m').ok_or_else(unknown)?;
        let (diameter, pitch) = match body.split_once('x') {
            Some((diameter, pitch)) => (diameter.trim(), Some(pitch.trim())),
            None => (body.trim(), None),
        };
        let diameter: f64 = diameter.parse().map_err(|_| unknown())?;
        let coarse = COARSE.iter().find(|row| row.0 == diameter);
        let pitch = match (pitch, coarse) {
            (Some(pitch), _) => pitch.parse().map_err(|_| unknown())?,
            (None, Some((_, pitch, ..))) => *pitch,
            (None, None) => {
                return Err(format!(
                    "the coarse pitch of `{text}` is not known here: write it, as `M8x1`"
                ));
            }
        };
        let is_thread = (1.0..=100.0).contains(&diameter) && pitch > 0.0 && pitch < diameter / 3.0;
        if is_thread {
            Ok(Thread { diameter, pitch })
        } else {
            Err(unknown())
        }
    }

    /// Height of the basic triangle.
    fn height(&self) -> f64 {
        3.0_f64.sqrt() / 2.0 * self.pitch
    }

    /// Pitch diameter, d₂.
    pub fn flank(&self) -> f64 {
        self.diameter - 0.75 * self.height()
    }

    /// Root diameter of the bolt, d₃.
    pub fn root(&self) -> f64 {
        self.diameter - 17.0 / 12.0 * self.height()
    }

    /// Diameter of the stress area, d₀.
    fn stressed(&self) -> f64 {
        f64::midpoint(self.flank(), self.root())
    }

    /// Stress area, mm².
    pub fn area(&self) -> f64 {
        PI / 4.0 * self.stressed().powi(2)
    }

    /// Middle diameter under a hexagon head. `None` for a size whose heads are not known here.
    pub fn head(&self) -> Option<f64> {
        let (.., bearing, hole) = COARSE.iter().find(|row| row.0 == self.diameter)?;
        Some(f64::midpoint(*bearing, *hole))
    }

    /// Torque for one newton of preload, mm: pitch, thread friction, head friction.
    pub fn arm(&self, thread_friction: f64, head_friction: f64, head: f64) -> f64 {
        let flank = self.flank() / (2.0 * 30.0_f64.to_radians().cos());
        self.pitch / (2.0 * PI) + thread_friction * flank + head_friction * head / 2.0
    }
}

/// What a class of bolts bears, N/mm²: ISO 898-1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PropertyClass {
    /// As it is stamped.
    pub name: &'static str,
    /// Proof stress up to M16, and above.
    proof: (f64, f64),
    /// Tensile strength up to M16, and above.
    tensile: (f64, f64),
    /// Yield point, or 0.2 % limit, up to M16, and above.
    yields: (f64, f64),
}

/// Proof and tensile figures of 8.8, 10.9 and 12.9 up to M16 and the proof figures of 4.8 and 5.8 were read; the others are values from memory.
const CLASSES: &[PropertyClass] = &[
    PropertyClass {
        name: "4.8",
        proof: (310.0, 310.0),
        tensile: (420.0, 420.0),
        yields: (340.0, 340.0),
    },
    PropertyClass {
        name: "5.8",
        proof: (380.0, 380.0),
        tensile: (520.0, 520.0),
        yields: (420.0, 420.0),
    },
    PropertyClass {
        name: "8.8",
        proof: (580.0, 600.0),
        tensile: (800.0, 830.0),
        yields: (640.0, 660.0),
    },
    PropertyClass {
        name: "10.9",
        proof: (830.0, 830.0),
        tensile: (1040.0, 1040.0),
        yields: (940.0, 940.0),
    },
    PropertyClass {
        name: "12.9",
        proof: (970.0, 970.0),
        tensile: (1220.0, 1220.0),
        yields: (1100.0, 1100.0),
    },
];

impl PropertyClass {
    /// Reads the figures that are stamped on the head.
    pub fn read(text: &str) -> Result<PropertyClass, String> {
        let found = CLASSES.iter().find(|class| class.name == text);
        found.copied().ok_or_else(|| {
            format!("`{text}` is no property class that is known here: there are 4.8, 5.8, 8.8, 10.9 and 12.9")
        })
    }

    fn of(pair: (f64, f64), thread: &Thread) -> f64 {
        if thread.diameter <= 16.0 { pair.0 } else { pair.1 }
    }

    /// Proof load of a thread, N.
    pub fn proof_load(&self, thread: &Thread) -> f64 {
        Self::of(self.proof, thread) * thread.area()
    }

    /// Least breaking load of a thread, N.
    pub fn breaking_load(&self, thread: &Thread) -> f64 {
        Self::of(self.tensile, thread) * thread.area()
    }

    /// Preload that uses so much of the yield point in tension and torsion together, N (VDI 2230).
    pub fn preload(&self, thread: &Thread, thread_friction: f64, share: f64) -> f64 {
        let (flank, stressed) = (thread.flank(), thread.stressed());
        let lead = thread.pitch / (PI * flank) + thread_friction / 30.0_f64.to_radians().cos();
        let torsion = 1.5 * flank / stressed * lead;
        share * Self::of(self.yields, thread) * thread.area() / (1.0 + 3.0 * torsion.powi(2)).sqrt()
    }
}

const NONE: Dimension = Dimension::NONE;
const LENGTH: Dimension = Dimension::LENGTH;
const FORCE: Dimension = Dimension::FORCE;
const TORQUE: Dimension = Dimension::TORQUE;

const THREAD: Parameter = Parameter::word("thread", Words::Thread, "the thread; without a pitch the coarse one");
const CLASS: Parameter = Parameter::word("class", Words::PropertyClass, "stamped on the head");
const FRICTION: Parameter =
    Parameter::within("friction", NONE, 0.02, 0.6, "in the thread: about 0.10 oiled, 0.14 dry").or(0.12);
const UNDER_HEAD: Parameter = Parameter::within("head friction", NONE, 0.02, 0.6, "under the head").or(0.12);
const HEAD: Parameter = Parameter::within(
    "head diameter",
    LENGTH,
    0.0,
    200.0,
    "middle diameter of what the head turns on; 0 for a plain hexagon head",
)
.or(0.0);

fn thread(given: &Given<'_>, place: usize) -> Result<Thread, Refused> {
    match given.word(place) {
        Some(Word::Thread(thread)) => Ok(*thread),
        _ => Err(Refused::new(place, "this is no thread")),
    }
}

fn class(given: &Given<'_>, place: usize) -> Result<PropertyClass, Refused> {
    match given.word(place) {
        Some(Word::PropertyClass(class)) => Ok(*class),
        _ => Err(Refused::new(place, "this is no property class")),
    }
}

/// The middle diameter under the head: as given, or that of a plain hexagon head.
fn head(given: &Given<'_>, place: usize, thread: &Thread) -> Result<f64, Refused> {
    let own = given.figure(place);
    if own == 0.0 {
        let why = format!(
            "the head of M{} is not known here: give its middle diameter",
            shown(thread.diameter)
        );
        return thread.head().ok_or_else(|| Refused::new(place, why));
    }
    if own <= thread.diameter {
        let why = format!("a head that turns on {} mm is smaller than its thread", shown(own));
        return Err(Refused::new(place, why));
    }
    Ok(own)
}

const GEOMETRY: &str = "ISO 724, ISO 898-1:2013, 9.1.6.1";
const LOADS: &str = "ISO 898-1:2013: stress area times stress; its table rounds";
const LONG_FORM: &str = "ISO 16047, VDI 2230: pitch, thread and head";
const PRELOAD_HOLDS: &str = "Clean threads of the friction that is said; of one torque the preload scatters by a quarter either way. The maker's own torque comes first.";

/// The functions of this chapter.
pub(super) const FUNCTIONS: &[Function] = &[
    Function {
        name: "stress area",
        group: Group::Fasteners,
        says: "The area of a metric thread that bears its load.",
        parameters: &[THREAD],
        gives: Gives::Of(Dimension::AREA),
        holds: "Metric threads of 60°.",
        source: GEOMETRY,
        example: Example {
            call: "stress area(M8)",
            gives: "36.6085 mm²",
            source: "ISO 898-1 prints 36.6",
        },
        work: |given| Ok(thread(given, 0)?.area()),
        is_range: false,
    },
    Function {
        name: "flank diameter",
        group: Group::Fasteners,
        says: "Pitch diameter of a metric thread, where bolt and nut bear on each other.",
        parameters: &[THREAD],
        gives: Gives::Of(LENGTH),
        holds: "Metric threads of 60°.",
        source: GEOMETRY,
        example: Example {
            call: "flank diameter(M10)",
            gives: "9.0257 mm",
            source: "d - 0.75 H, worked separately",
        },
        work: |given| Ok(thread(given, 0)?.flank()),
        is_range: false,
    },
    Function {
        name: "root diameter",
        group: Group::Fasteners,
        says: "Root diameter of a bolt.",
        parameters: &[THREAD],
        gives: Gives::Of(LENGTH),
        holds: "Metric threads of 60°.",
        source: GEOMETRY,
        example: Example {
            call: "root diameter(M10)",
            gives: "8.1597 mm",
            source: "d - 17/12 H, worked separately",
        },
        work: |given| Ok(thread(given, 0)?.root()),
        is_range: false,
    },
    Function {
        name: "proof load",
        group: Group::Fasteners,
        says: "The load a bolt of a class must bear without staying longer.",
        parameters: &[THREAD, CLASS],
        gives: Gives::Of(FORCE),
        holds: "Full threads; classes 4.8, 5.8, 8.8, 10.9 and 12.9.",
        source: LOADS,
        example: Example {
            call: "proof load(M8, 8.8)",
            gives: "21.2 kN",
            source: "ISO 898-1: 21 200 N, to its rounding",
        },
        work: |given| Ok(class(given, 1)?.proof_load(&thread(given, 0)?)),
        is_range: false,
    },
    Function {
        name: "breaking load",
        group: Group::Fasteners,
        says: "The least load that may break a bolt of a class.",
        parameters: &[THREAD, CLASS],
        gives: Gives::Of(FORCE),
        holds: "Full threads; classes 4.8, 5.8, 8.8, 10.9 and 12.9.",
        source: LOADS,
        example: Example {
            call: "breaking load(M10, 10.9)",
            gives: "60.3 kN",
            source: "ISO 898-1: 60 300 N, to its rounding",
        },
        work: |given| Ok(class(given, 1)?.breaking_load(&thread(given, 0)?)),
        is_range: false,
    },
    Function {
        name: "bolt preload",
        group: Group::Fasteners,
        says: "The preload that a torque gives.",
        parameters: &[
            Parameter::positive("torque", TORQUE, "on the wrench"),
            THREAD,
            FRICTION,
            UNDER_HEAD,
            HEAD,
        ],
        gives: Gives::Of(FORCE),
        holds: PRELOAD_HOLDS,
        source: LONG_FORM,
        example: Example {
            call: "bolt preload(21.269144 N·m, M8, friction = 0.12, head friction = 0.14, head diameter = 10.3 mm)",
            gives: "15.0 kN",
            source: "worked separately: 2.984 + 7.470 + 10.815 N·m for 15 kN",
        },
        work: |given| {
            let thread = thread(given, 1)?;
            let head = head(given, 4, &thread)?;
            Ok(given.figure(0) / thread.arm(given.figure(2), given.figure(3), head))
        },
        is_range: false,
    },
    Function {
        name: "bolt torque",
        group: Group::Fasteners,
        says: "The torque that gives a preload.",
        parameters: &[
            Parameter::positive("preload", FORCE, "in the bolt"),
            THREAD,
            FRICTION,
            UNDER_HEAD,
            HEAD,
        ],
        gives: Gives::Of(TORQUE),
        holds: PRELOAD_HOLDS,
        source: LONG_FORM,
        example: Example {
            call: "bolt torque(25 kN, M10, friction = 0.10, head friction = 0.10, head diameter = 12.8 mm)",
            gives: "34.996 N·m",
            source: "worked separately",
        },
        work: |given| {
            let thread = thread(given, 1)?;
            let head = head(given, 4, &thread)?;
            Ok(given.figure(0) * thread.arm(given.figure(2), given.figure(3), head))
        },
        is_range: false,
    },
    Function {
        name: "class preload",
        group: Group::Fasteners,
        says: "The preload that uses so much of a bolt's yield point, in tension and torsion together.",
        parameters: &[
            THREAD,
            CLASS,
            FRICTION,
            Parameter::within("share", NONE, 0.1, 1.0, "of the yield point").or(0.9),
        ],
        gives: Gives::Of(FORCE),
        holds: PRELOAD_HOLDS,
        source: "VDI 2230",
        example: Example {
            call: "class preload(M10x1.25, 8.8, friction = 0.12)",
            gives: "31.6 kN",
            source: "VDI 2230 (2001), reprint of a distributor: 31.6 kN",
        },
        work: |given| Ok(class(given, 1)?.preload(&thread(given, 0)?, given.figure(2), given.figure(3))),
        is_range: false,
    },
    Function {
        name: "class torque",
        group: Group::Fasteners,
        says: "The torque that uses so much of a bolt's yield point: what such a bolt is tightened to where its maker says nothing, and the most it bears.",
        parameters: &[
            THREAD,
            CLASS,
            Parameter::within("friction", NONE, 0.02, 0.6, "in the thread and under the head").or(0.12),
            Parameter::within("share", NONE, 0.1, 1.0, "of the yield point").or(0.9),
            HEAD,
        ],
        gives: Gives::Of(TORQUE),
        holds: PRELOAD_HOLDS,
        source: "VDI 2230",
        example: Example {
            call: "class torque(M12x1.25, 10.9, friction = 0.12)",
            gives: "133 N·m",
            source: "VDI 2230 (2001), reprint of a distributor: 133 N·m",
        },
        work: |given| {
            let thread = thread(given, 0)?;
            let friction = given.figure(2);
            let preload = class(given, 1)?.preload(&thread, friction, given.figure(3));
            let head = head(given, 4, &thread)?;
            Ok(preload * thread.arm(friction, friction, head))
        },
        is_range: false,
    },
    Function {
        name: "rule of thumb torque",
        group: Group::Fasteners,
        says: "Torque for a preload by the short form, with one factor for everything.",
        parameters: &[
            Parameter::positive("preload", FORCE, "in the bolt"),
            Parameter::positive("diameter", LENGTH, "of the thread"),
            Parameter::within("factor", NONE, 0.05, 0.5, "about 0.20 dry, 0.15 oiled").or(0.2),
        ],
        gives: Gives::Of(TORQUE),
        holds: "A first guess: the factor hides pitch and both frictions.",
        source: "common practice: factor × preload × diameter",
        example: Example {
            call: "rule of thumb torque(12 kN, 8 mm, factor = 0.20)",
            gives: "19.2 N·m",
            source: "arithmetic",
        },
        work: |given| Ok(given.figure(0) * given.figure(1) * given.figure(2)),
        is_range: false,
    },
    Function {
        name: "rule of thumb preload",
        group: Group::Fasteners,
        says: "Preload from a torque by the short form.",
        parameters: &[
            Parameter::positive("torque", TORQUE, "on the wrench"),
            Parameter::positive("diameter", LENGTH, "of the thread"),
            Parameter::within("factor", NONE, 0.05, 0.5, "about 0.20 dry, 0.15 oiled").or(0.2),
        ],
        gives: Gives::Of(FORCE),
        holds: "A first guess: the factor hides pitch and both frictions.",
        source: "common practice: torque / (factor × diameter)",
        example: Example {
            call: "rule of thumb preload(24 N·m, 8 mm, factor = 0.20)",
            gives: "15.0 kN",
            source: "arithmetic",
        },
        work: |given| Ok(given.figure(0) / (given.figure(1) * given.figure(2))),
        is_range: false,
    },
    Function {
        name: "wrench setting",
        group: Group::Fasteners,
        says: "What a torque wrench is set to with an extension in line with it, as a crow-foot.",
        parameters: &[
            Parameter::positive("torque", TORQUE, "at the bolt"),
            Parameter::positive("wrench", LENGTH, "from the square drive to the middle of the grip"),
            Parameter::positive("extension", LENGTH, "from the square drive to the middle of the bolt"),
            Parameter::within(
                "angle",
                Dimension::ANGLE,
                0.0,
                180.0,
                "between the two; at 90° nothing changes",
            )
            .or(0.0),
        ],
        gives: Gives::Of(TORQUE),
        holds: "A hand on the middle of the grip.",
        source: "leverage: torque × wrench / (wrench + extension × cos angle)",
        example: Example {
            call: "wrench setting(40 N·m, wrench = 300 mm, extension = 40 mm)",
            gives: "35.294118 N·m",
            source: "40 × 300 / 340, arithmetic",
        },
        work: |given| {
            let (wrench, extension) = (given.figure(1), given.figure(2));
            let arm = wrench + extension * given.figure(3).to_radians().cos();
            if arm <= 0.0 {
                return Err(Refused::new(
                    2,
                    "the extension is longer than the wrench and turned back over it",
                ));
            }
            Ok(given.figure(0) * wrench / arm)
        },
        is_range: false,
    },
];
