//! Stroke, ports, spark, compression.

use gudgeon::trade::slider::Slider;
use proptest::prelude::*;

use crate::call::work;

fn straight() -> impl Strategy<Value = Slider> {
    (10.0..70.0, 1.15..3.35).prop_map(|(throw, strokes)| Slider {
        throw,
        rod: 2.0 * throw * strokes,
        offset: 0.0,
    })
}

/// With an offset of up to what is taken, either way.
fn sliders() -> impl Strategy<Value = Slider> {
    (straight(), prop_oneof![1 => Just(0.0), 3 => -0.95..0.95]).prop_map(|(slider, part)| Slider {
        offset: part * (slider.rod - slider.throw) / 2.0,
        ..slider
    })
}

/// The crank past top dead centre where the piston stands lowest, degrees.
fn bottom(slider: &Slider) -> f64 {
    let lean = |arm: f64| (slider.offset / arm).asin().to_degrees();
    180.0 + lean(slider.rod - slider.throw) - lean(slider.rod + slider.throw)
}

/// A function that takes one figure and a slider.
macro_rules! on {
    ($name:literal, $parameter:literal = $figure:expr, $slider:expr) => {
        work!(
            $name,
            $parameter = $figure,
            "stroke" = 2.0 * $slider.throw,
            "rod" = $slider.rod,
            "offset" = $slider.offset
        )
    };
}

/// Two parts of a whole that lie apart, the less first.
fn apart() -> impl Strategy<Value = (f64, f64)> {
    (0.01..0.98, 0.001..0.5).prop_map(|(low, more): (f64, f64)| (low, (low + more).min(0.99)))
}

proptest! {
    #[test]
    fn the_angle_of_a_drop_is_the_drops_angle(slider in sliders(), part in 0.01_f64..0.99) {
        let angle = part * bottom(&slider);
        let drop = on!("piston drop", "angle" = angle, slider);
        let back = on!("crank angle", "drop" = drop, slider);
        prop_assert!((back - angle).abs() < 1e-6, "{} {}", angle, back);
    }

    #[test]
    fn the_spark_comes_where_its_dial_says(slider in sliders(), angle in 1.0_f64..90.0, dial in 0.0_f64..60.0) {
        let drop = work!(
            "ignition drop", "angle" = angle, "stroke" = 2.0 * slider.throw, "rod" = slider.rod, "offset" = slider.offset, "dial angle" = dial,
        );
        let back = work!(
            "ignition angle", "drop" = drop, "stroke" = 2.0 * slider.throw, "rod" = slider.rod, "offset" = slider.offset, "dial angle" = dial,
        );
        prop_assert!((back - angle).abs() < 1e-6, "{} {}", angle, back);
        // A slanting dial shows more than the drop, by the cosine of its slant.
        let square = on!("ignition drop", "angle" = angle, slider);
        prop_assert!((drop * dial.to_radians().cos() - square).abs() < 1e-9);
    }

    #[test]
    fn a_port_of_a_duration_is_open_so_long(slider in sliders(), duration in 3.0_f64..357.0) {
        let height = on!("port height", "duration" = duration, slider);
        let open = on!("port duration", "height" = height, slider);
        prop_assert!((open - duration).abs() < 1e-6, "{} {}", duration, open);
    }

    #[test]
    fn a_port_of_a_height_stands_there(slider in sliders(), part in 0.001_f64..0.999) {
        let height = part * slider.stroke();
        let duration = on!("port duration", "height" = height, slider);
        let back = on!("port height", "duration" = duration, slider);
        prop_assert!((back - height).abs() < 1e-9, "{} {}", height, back);
    }

    #[test]
    fn a_lower_port_is_open_less_long(slider in sliders(), (high, low) in apart()) {
        let open = |part: f64| on!("port duration", "height" = part * slider.stroke(), slider);
        prop_assert!(open(high) > open(low));
    }

    /// On the way down the one opens so much before the other; without an offset that is half of what their durations differ.
    #[test]
    fn blowdown_is_between_the_two_openings(slider in sliders(), (high, low) in apart()) {
        let (exhaust, transfer) = (high * slider.stroke(), low * slider.stroke());
        let blowdown = work!(
            "port blowdown",
            "exhaust" = exhaust, "transfer" = transfer, "stroke" = 2.0 * slider.throw, "rod" = slider.rod, "offset" = slider.offset,
        );
        let opens = |height: f64| on!("crank angle", "drop" = height, slider);
        prop_assert!((blowdown - (opens(transfer) - opens(exhaust))).abs() < 1e-9, "{}", blowdown);
        if slider.offset == 0.0 {
            let open = |height: f64| on!("port duration", "height" = height, slider);
            prop_assert!((blowdown - (open(exhaust) - open(transfer)) / 2.0).abs() < 1e-9, "{}", blowdown);
        }
    }

    /// x(θ) + x(180° − θ) = S + 2(L − √(L² − r²sin²θ)).
    #[test]
    fn the_drop_from_both_ends(slider in straight(), angle in -180.0_f64..180.0) {
        let drop = |angle: f64| on!("piston drop", "angle" = angle, slider);
        let across = slider.throw * angle.to_radians().sin();
        let lean = slider.rod - (slider.rod.powi(2) - across.powi(2)).sqrt();
        let expected = 2.0 * slider.throw + 2.0 * lean;
        prop_assert!((drop(angle) + drop(180.0 - angle) - expected).abs() < 1e-9);
    }

    /// The offset on the other side is the crank turned the other way.
    #[test]
    fn an_offset_in_a_mirror(slider in sliders(), angle in -360.0_f64..360.0) {
        let mirrored = Slider { offset: -slider.offset, ..slider };
        let (one, other) = (on!("piston drop", "angle" = angle, slider), on!("piston drop", "angle" = -angle, mirrored));
        prop_assert!((one - other).abs() < 1e-9, "{} {}", one, other);
        let longest = slider.stroke();
        prop_assert!(one > -1e-9 && one < longest + 1e-9, "{} of {}", one, longest);
    }

    #[test]
    fn the_greatest_speed_is_over_the_mean(slider in straight(), turns in 1.0_f64..300.0) {
        let (stroke, rod) = (2.0 * slider.throw, slider.rod);
        let mean = work!("mean piston speed", "stroke" = stroke, "speed" = turns);
        let most = work!("greatest piston speed", "stroke" = stroke, "rod" = rod, "speed" = turns);
        // A rod without end gives π/2; one of a throw and no more gives 2 at the very most.
        prop_assert!(most > mean * std::f64::consts::FRAC_PI_2 && most < mean * 2.0, "{} {}", mean, most);
    }

    #[test]
    fn a_chamber_gives_its_ratio(swept in 1e3_f64..1e6, ratio in 2.1_f64..40.0) {
        let chamber = work!("chamber for ratio", "swept" = swept, "ratio" = ratio);
        let back = work!("ratio of compression", "swept" = swept, "chamber" = chamber);
        prop_assert!((back - ratio).abs() < 1e-9 * ratio, "{} {}", ratio, back);
    }
}
