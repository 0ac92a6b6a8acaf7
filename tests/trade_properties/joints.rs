//! Press fits, heat, bolts, backlash.

use proptest::prelude::*;
use proptest::sample::select;

use crate::call::work;

/// Contact, outside, hole, length, interference, friction.
#[derive(Clone, Copy, Debug)]
struct Press {
    diameter: f64,
    outside: f64,
    hole: f64,
    length: f64,
    interference: f64,
    friction: f64,
}

fn presses() -> impl Strategy<Value = Press> {
    (5.0..100.0, 1.2..4.0, 0.0..0.8, 1.0..100.0, 1e-5..0.009, 0.01..0.5).prop_map(
        |(diameter, wall, hole, length, share, friction)| Press {
            diameter,
            outside: diameter * wall,
            hole: diameter * hole,
            length,
            interference: diameter * share,
            friction,
        },
    )
}

fn force(press: Press, hub: &str) -> f64 {
    work!(
        "press force",
        "interference" = press.interference,
        "diameter" = press.diameter,
        "outside" = press.outside,
        "length" = press.length,
        "friction" = press.friction,
        "hole" = press.hole,
        "hub" = hub,
    )
}

fn pressure(press: Press, hub: &str) -> f64 {
    work!(
        "contact pressure",
        "interference" = press.interference,
        "diameter" = press.diameter,
        "outside" = press.outside,
        "hole" = press.hole,
        "hub" = hub,
    )
}

const HUBS: [&str; 4] = ["steel", "cast iron", "aluminium", "magnesium"];

/// Equal but for rounding.
fn alike(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * one.abs().max(other.abs())
}

const THREADS: [&str; 6] = ["M5", "M8", "M8x1", "M10x1.25", "M12", "M24"];

fn preload(torque: f64, thread: &str, friction: f64, under_head: f64) -> f64 {
    work!(
        "bolt preload",
        "torque" = torque,
        "thread" = thread,
        "friction" = friction,
        "head friction" = under_head
    )
}

fn class_preload(thread: &str, class: &str, friction: f64, share: f64) -> f64 {
    work!(
        "class preload",
        "thread" = thread,
        "class" = class,
        "friction" = friction,
        "share" = share
    )
}

const CLASSES: [&str; 5] = ["4.8", "5.8", "8.8", "10.9", "12.9"];
const MATERIALS: [&str; 4] = ["steel", "cast iron", "aluminium", "bronze"];

proptest! {
    /// Interference, friction and length each multiply the force; a thinner inner part, and a thinner wall, grip less.
    #[test]
    fn the_force_rises_and_falls(press in presses(), more in 1.01_f64..2.0, hub in select(&HUBS[..])) {
        let was = force(press, hub);
        prop_assert!(was > 0.0);
        let grown = [
            Press { interference: press.interference * more, ..press },
            Press { friction: press.friction * more, ..press },
            Press { length: press.length * more, ..press },
        ];
        for grown in grown {
            prop_assert!(alike(force(grown, hub), was * more), "{:?}", grown);
        }
        let hollow = Press { hole: press.hole + (press.diameter - press.hole) * (more - 1.0) * 0.5, ..press };
        prop_assert!(force(hollow, hub) < was);
        let thick = Press { outside: press.outside * more, ..press };
        prop_assert!(force(thick, hub) > was);
    }

    /// Two parts with a gap do not hold: no force, and a pressure that is that of the grip with the other sign.
    #[test]
    fn a_gap_holds_nothing(press in presses(), hub in select(&HUBS[..])) {
        let gap = Press { interference: -press.interference, ..press };
        prop_assert_eq!(force(gap, hub), 0.0);
        prop_assert!(pressure(press, hub) > 0.0 && alike(pressure(gap, hub), -pressure(press, hub)));
    }

    /// Parts twice as large with twice the interference press as hard.
    #[test]
    fn the_pressure_knows_no_size(press in presses(), times in 0.5_f64..3.0, hub in select(&HUBS[..])) {
        let large = Press {
            diameter: press.diameter * times,
            outside: press.outside * times,
            hole: press.hole * times,
            interference: press.interference * times,
            ..press
        };
        prop_assert!(alike(pressure(large, hub), pressure(press, hub)));
    }

    /// A part that is as warm as it must be has grown by grip and room; one as cold as it must be has shrunk by them.
    #[test]
    fn heat_grows_what_it_is_asked_for(
        diameter in 5.0_f64..200.0, grip in 0.0_f64..0.002, room in 0.0_f64..0.001, material in select(&MATERIALS[..]), shop in -30.0_f64..50.0,
    ) {
        let (grip, room) = (grip * diameter, room * diameter);
        let heat = work!(
            "heat for fit", "interference" = grip, "room" = room, "diameter" = diameter, "material" = material, "shop" = shop,
        );
        let grown = work!("growth", "size" = diameter, "material" = material, "warmer" = heat - shop);
        prop_assert!((grown - grip - room).abs() < 1e-9, "{} {}", grown, grip + room);
    }

    #[test]
    fn cold_shrinks_what_it_is_asked_for(
        diameter in 5.0_f64..200.0, grip in 0.0_f64..0.0005, room in 0.0_f64..0.0005, material in select(&MATERIALS[..]), shop in -30.0_f64..50.0,
    ) {
        let (grip, room) = (grip * diameter, room * diameter);
        let cold = work!(
            "chill for fit", "interference" = grip, "room" = room, "diameter" = diameter, "material" = material, "shop" = shop,
        );
        let grown = work!("growth", "size" = diameter, "material" = material, "warmer" = cold - shop);
        prop_assert!((grown + grip + room).abs() < 1e-9, "{} {}", grown, grip + room);
    }

    /// A grip that is loose already needs no heat.
    #[test]
    fn what_drops_in_needs_no_heat(diameter in 5.0_f64..200.0, gap in 0.001_f64..0.01, shop in -30.0_f64..50.0) {
        let heat = work!(
            "heat for fit", "interference" = -gap * diameter, "room" = 0.0, "diameter" = diameter, "material" = "steel", "shop" = shop,
        );
        prop_assert_eq!(heat, shop);
    }

    #[test]
    fn a_size_grown_and_cold_again(size in 1.0_f64..500.0, material in select(&MATERIALS[..]), warm in -100.0_f64..400.0) {
        let grown = size + work!("growth", "size" = size, "material" = material, "warmer" = warm - 20.0);
        let cold = work!("cold size", "size" = grown, "material" = material, "temperature" = warm);
        prop_assert!(alike(cold, size), "{} {}", size, cold);
    }

    #[test]
    fn a_torque_makes_the_preload_it_came_from(
        torque in 1e2_f64..1e6, thread in select(&THREADS[..]), friction in 0.02_f64..0.6, under_head in 0.02_f64..0.6,
    ) {
        let force = preload(torque, thread, friction, under_head);
        let back = work!("bolt torque", "preload" = force, "thread" = thread, "friction" = friction, "head friction" = under_head);
        prop_assert!(alike(back, torque), "{} {}", torque, back);
    }

    #[test]
    fn preload_rises_with_torque_and_falls_with_friction(
        torque in 1e2_f64..1e6, more in 1.001_f64..2.0, thread in select(&THREADS[..]), friction in 0.02_f64..0.3, under_head in 0.02_f64..0.3,
    ) {
        let was = preload(torque, thread, friction, under_head);
        prop_assert!(alike(preload(torque * more, thread, friction, under_head), was * more));
        prop_assert!(preload(torque, thread, friction * more, under_head) < was);
        prop_assert!(preload(torque, thread, friction, under_head * more) < was);
    }

    #[test]
    fn the_short_form_and_back(torque in 1e2_f64..1e6, diameter in 3.0_f64..36.0, factor in 0.05_f64..0.5) {
        let force = work!("rule of thumb preload", "torque" = torque, "diameter" = diameter, "factor" = factor);
        let back = work!("rule of thumb torque", "preload" = force, "diameter" = diameter, "factor" = factor);
        prop_assert!(alike(back, torque), "{} {}", torque, back);
    }

    #[test]
    fn the_torque_of_a_class_makes_its_preload(
        thread in select(&THREADS[..]), class in select(&CLASSES[..]), friction in 0.02_f64..0.6, share in 0.1_f64..1.0,
    ) {
        let torque = work!("class torque", "thread" = thread, "class" = class, "friction" = friction, "share" = share);
        let own = class_preload(thread, class, friction, share);
        prop_assert!(alike(preload(torque, thread, friction, friction), own), "{}", own);
    }

    /// More friction turns more of the yield point into torsion; more of the yield point is more preload.
    #[test]
    fn the_preload_of_a_class_rises_and_falls(
        thread in select(&THREADS[..]), class in select(&CLASSES[..]), friction in 0.02_f64..0.3, more in 1.001_f64..2.0, share in 0.1_f64..0.5,
    ) {
        let was = class_preload(thread, class, friction, share);
        prop_assert!(class_preload(thread, class, friction * more, share) < was);
        prop_assert!(alike(class_preload(thread, class, friction, share * more), was * more));
    }

    #[test]
    fn a_move_makes_the_backlash_it_came_from(change in -1.0_f64..1.0, angle in 10.0_f64..35.0) {
        let apart = work!("move for backlash", "change" = change, "pressure angle" = angle);
        let back = work!("backlash change", "move" = apart, "pressure angle" = angle);
        prop_assert!((back - change).abs() < 1e-12, "{} {}", change, back);
    }
}
