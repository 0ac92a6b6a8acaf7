//! ISO 286: standard tolerances and fundamental deviations of sizes up to 500 mm, µm.
//!
//! ISO 286-1:2010, tables 1 to 5; the tables rule, not the formulas behind them. IT5 to IT11 with c to h, k, m, n, p, s and u are held against another
//! package's tables over the whole range (`tests/outside/trade.py`), and what reprints of the standard give of 10 to 80 mm against those (`tests/trade_tables`).
//! The other grades, the letters j, r and t outside these, and J6 to J8 are values from memory. Left out: a, b, cd, ef, fg and v to zc, and sizes over 500 mm.

/// Upper ends of the main ranges of size, mm: over the one before, up to and including this.
const RANGES: [f64; 13] = [
    3.0, 6.0, 10.0, 18.0, 30.0, 50.0, 80.0, 120.0, 180.0, 250.0, 315.0, 400.0, 500.0,
];

/// Standard tolerances in tenths of a µm, IT1 to IT14, by range.
const TOLERANCES: [[u32; 13]; 14] = [
    [8, 10, 10, 12, 15, 15, 20, 25, 35, 45, 60, 70, 80],
    [12, 15, 15, 20, 25, 25, 30, 40, 50, 70, 80, 90, 100],
    [20, 25, 25, 30, 40, 40, 50, 60, 80, 100, 120, 130, 150],
    [30, 40, 40, 50, 60, 70, 80, 100, 120, 140, 160, 180, 200],
    [40, 50, 60, 80, 90, 110, 130, 150, 180, 200, 230, 250, 270],
    [60, 80, 90, 110, 130, 160, 190, 220, 250, 290, 320, 360, 400],
    [100, 120, 150, 180, 210, 250, 300, 350, 400, 460, 520, 570, 630],
    [140, 180, 220, 270, 330, 390, 460, 540, 630, 720, 810, 890, 970],
    [250, 300, 360, 430, 520, 620, 740, 870, 1000, 1150, 1300, 1400, 1550],
    [400, 480, 580, 700, 840, 1000, 1200, 1400, 1600, 1850, 2100, 2300, 2500],
    [
        600, 750, 900, 1100, 1300, 1600, 1900, 2200, 2500, 2900, 3200, 3600, 4000,
    ],
    [
        1000, 1200, 1500, 1800, 2100, 2500, 3000, 3500, 4000, 4600, 5200, 5700, 6300,
    ],
    [
        1400, 1800, 2200, 2700, 3300, 3900, 4600, 5400, 6300, 7200, 8100, 8900, 9700,
    ],
    [
        2500, 3000, 3600, 4300, 5200, 6200, 7400, 8700, 10000, 11500, 13000, 14000, 15500,
    ],
];

/// Upper deviations of shafts d to g, µm, by range; h is 0.
const D: [i32; 13] = [-20, -30, -40, -50, -65, -80, -100, -120, -145, -170, -190, -210, -230];
const E: [i32; 13] = [-14, -20, -25, -32, -40, -50, -60, -72, -85, -100, -110, -125, -135];
const F: [i32; 13] = [-6, -10, -13, -16, -20, -25, -30, -36, -43, -50, -56, -62, -68];
const G: [i32; 13] = [-2, -4, -5, -6, -7, -9, -10, -12, -14, -15, -17, -18, -20];
/// Lower deviations of shafts j5 and j6, and of j7.
const J6: [i32; 13] = [-2, -2, -2, -3, -4, -5, -7, -9, -11, -13, -16, -18, -20];
const J7: [i32; 13] = [-4, -4, -5, -6, -8, -10, -12, -15, -18, -21, -26, -28, -32];
/// Lower deviations of shafts k4 to k7, and of m, n, p.
const K: [i32; 13] = [0, 1, 1, 1, 2, 2, 2, 3, 3, 4, 4, 4, 5];
const M: [i32; 13] = [2, 4, 6, 7, 8, 9, 11, 13, 15, 17, 20, 21, 23];
const N: [i32; 13] = [4, 8, 10, 12, 15, 17, 20, 23, 27, 31, 34, 37, 40];
const P: [i32; 13] = [6, 12, 15, 18, 22, 26, 32, 37, 43, 50, 56, 62, 68];
/// Upper deviations of holes J6, J7, J8.
const HOLE_J: [[i32; 13]; 3] = [
    [2, 5, 5, 6, 8, 10, 13, 16, 18, 22, 25, 29, 33],
    [4, 6, 8, 10, 12, 14, 18, 22, 26, 30, 36, 39, 43],
    [6, 10, 12, 15, 20, 24, 28, 34, 41, 47, 55, 60, 66],
];

/// Deviations that change within the main ranges: up to and including a size in mm, µm.
const C: &[(f64, i32)] = &[
    (3.0, -60),
    (6.0, -70),
    (10.0, -80),
    (18.0, -95),
    (30.0, -110),
    (40.0, -120),
    (50.0, -130),
    (65.0, -140),
    (80.0, -150),
    (100.0, -170),
    (120.0, -180),
    (140.0, -200),
    (160.0, -210),
    (180.0, -230),
    (200.0, -240),
    (225.0, -260),
    (250.0, -280),
    (280.0, -300),
    (315.0, -330),
    (355.0, -360),
    (400.0, -400),
    (450.0, -440),
    (500.0, -480),
];
const R: &[(f64, i32)] = &[
    (3.0, 10),
    (6.0, 15),
    (10.0, 19),
    (18.0, 23),
    (30.0, 28),
    (50.0, 34),
    (65.0, 41),
    (80.0, 43),
    (100.0, 51),
    (120.0, 54),
    (140.0, 63),
    (160.0, 65),
    (180.0, 68),
    (200.0, 77),
    (225.0, 80),
    (250.0, 84),
    (280.0, 94),
    (315.0, 98),
    (355.0, 108),
    (400.0, 114),
    (450.0, 126),
    (500.0, 132),
];
const S: &[(f64, i32)] = &[
    (3.0, 14),
    (6.0, 19),
    (10.0, 23),
    (18.0, 28),
    (30.0, 35),
    (50.0, 43),
    (65.0, 53),
    (80.0, 59),
    (100.0, 71),
    (120.0, 79),
    (140.0, 92),
    (160.0, 100),
    (180.0, 108),
    (200.0, 122),
    (225.0, 130),
    (250.0, 140),
    (280.0, 158),
    (315.0, 170),
    (355.0, 190),
    (400.0, 208),
    (450.0, 232),
    (500.0, 252),
];
/// t begins above 24 mm.
const T: &[(f64, i32)] = &[
    (30.0, 41),
    (40.0, 48),
    (50.0, 54),
    (65.0, 66),
    (80.0, 75),
    (100.0, 91),
    (120.0, 104),
    (140.0, 122),
    (160.0, 134),
    (180.0, 146),
    (200.0, 166),
    (225.0, 180),
    (250.0, 196),
    (280.0, 218),
    (315.0, 240),
    (355.0, 268),
    (400.0, 294),
    (450.0, 330),
    (500.0, 360),
];
const U: &[(f64, i32)] = &[
    (3.0, 18),
    (6.0, 23),
    (10.0, 28),
    (18.0, 33),
    (24.0, 41),
    (30.0, 48),
    (40.0, 60),
    (50.0, 70),
    (65.0, 87),
    (80.0, 102),
    (100.0, 124),
    (120.0, 144),
    (140.0, 170),
    (160.0, 190),
    (180.0, 210),
    (200.0, 236),
    (225.0, 258),
    (250.0, 284),
    (280.0, 315),
    (315.0, 350),
    (355.0, 390),
    (400.0, 435),
    (450.0, 490),
    (500.0, 540),
];

/// The letters that are known, of shafts; holes have the same in capitals.
pub const LETTERS: [&str; 16] = [
    "c", "d", "e", "f", "g", "h", "j", "js", "k", "m", "n", "p", "r", "s", "t", "u",
];

/// The number of the main range a size lies in. `None` outside 1 to 500 mm.
fn range(size: f64) -> Option<usize> {
    if !(1.0..=500.0).contains(&size) {
        return None;
    }
    RANGES.iter().position(|end| size <= *end)
}

fn within(table: &[(f64, i32)], size: f64) -> Option<f64> {
    table
        .iter()
        .find(|(end, _)| size <= *end)
        .map(|(_, deviation)| f64::from(*deviation))
}

/// The standard tolerance of a grade, µm. `None` outside IT1 to IT14 and 1 to 500 mm.
pub fn tolerance(size: f64, grade: u8) -> Option<f64> {
    let row = TOLERANCES.get(usize::from(grade).checked_sub(1)?)?;
    row.get(range(size)?).map(|tenths| f64::from(*tenths) / 10.0)
}

/// Lower and upper deviation of a shaft, µm; the letter in small. `None` where the tables have no such class.
pub fn shaft(size: f64, letter: &str, grade: u8) -> Option<(f64, f64)> {
    let it = tolerance(size, grade)?;
    let place = range(size)?;
    let at = |row: &[i32; 13]| row.get(place).map(|deviation| f64::from(*deviation));
    let below = |es: f64| (es - it, es);
    let above = |ei: f64| (ei, ei + it);
    Some(match letter {
        "c" => below(within(C, size)?),
        "d" => below(at(&D)?),
        "e" => below(at(&E)?),
        "f" => below(at(&F)?),
        "g" => below(at(&G)?),
        "h" => below(0.0),
        "js" => (-it / 2.0, it / 2.0),
        "j" => above(match grade {
            5 | 6 => at(&J6)?,
            7 => at(&J7)?,
            _ => return None,
        }),
        "k" => above(if (4..=7).contains(&grade) { at(&K)? } else { 0.0 }),
        "m" => above(at(&M)?),
        "n" => above(at(&N)?),
        "p" => above(at(&P)?),
        "r" => above(within(R, size)?),
        "s" => above(within(S, size)?),
        "t" if size > 24.0 => above(within(T, size)?),
        "u" => above(within(U, size)?),
        _ => return None,
    })
}

/// Lower and upper deviation of a hole, µm; the letter in small. `None` where the tables have no such class.
///
/// C to H lie as far above as the shafts below; K to N up to IT8 and P to U up to IT7 are the shafts' turned round, plus the difference of two
/// grades for sizes over 3 mm (ISO 286-1:2010, the rule of hole deviations).
pub fn hole(size: f64, letter: &str, grade: u8) -> Option<(f64, f64)> {
    let it = tolerance(size, grade)?;
    let place = range(size)?;
    let under = |es: f64| (es - it, es);
    if letter == "js" {
        return Some((-it / 2.0, it / 2.0));
    }
    if letter == "j" {
        let row = HOLE_J.get(usize::from(grade).checked_sub(6)?)?;
        return row.get(place).map(|es| under(f64::from(*es)));
    }
    // A shaft's deviation that faces nought does not depend on its grade, but for k, which is then that of k4 to k7.
    let (ei, es) = shaft(size, letter, if letter == "k" { 6 } else { grade })?;
    if matches!(letter, "c" | "d" | "e" | "f" | "g" | "h") {
        return Some((-es, -es + it));
    }
    let finest = if matches!(letter, "k" | "m" | "n") { 8 } else { 7 };
    let delta = if size <= 3.0 || grade > finest {
        0.0
    } else {
        it - tolerance(size, grade.checked_sub(1)?)?
    };
    Some(match letter {
        "k" if size > 3.0 && grade > 8 => return None,
        // The one cell that does not follow the rule.
        "m" if grade == 6 && size > 250.0 && size <= 315.0 => under(-9.0),
        "n" if grade > 8 => under(if size <= 3.0 { -ei } else { 0.0 }),
        _ => under(-ei + delta),
    })
}
