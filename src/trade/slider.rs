//! The slider-crank: where the piston stands at an angle, at which angle it stands somewhere, and how fast it goes.

/// A crank, a rod and a pin that may stand off the middle of the bore: mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slider {
    /// Half the stroke of a pin on the middle.
    pub throw: f64,
    /// Between the centres of the rod.
    pub rod: f64,
    /// How far the bore's line passes the crank's centre, towards the side the crank turns to after top dead centre.
    pub offset: f64,
}

impl Slider {
    /// The pin's height over the crank's centre at top dead centre.
    pub fn top(&self) -> f64 {
        ((self.throw + self.rod).powi(2) - self.offset.powi(2)).sqrt()
    }

    /// The angle of the crank from the bore's line where the piston stands highest, rad.
    pub fn top_angle(&self) -> f64 {
        (self.offset / (self.throw + self.rod)).asin()
    }

    /// How far the piston goes: twice the throw, and a little more with an offset.
    pub fn stroke(&self) -> f64 {
        self.top() - ((self.rod - self.throw).powi(2) - self.offset.powi(2)).sqrt()
    }

    /// How far the piston has gone down from its highest point, with the crank so far past that point; rad.
    pub fn drop(&self, past_top: f64) -> f64 {
        let (sin, cos) = (past_top + self.top_angle()).sin_cos();
        self.top() - self.throw * cos - (self.rod.powi(2) - (self.throw * sin - self.offset).powi(2)).sqrt()
    }

    /// How far the crank is past the top (and before it) where the piston stands so far down; rad. `None` if it never does.
    pub fn angles(&self, drop: f64) -> Option<(f64, f64)> {
        let height = self.top() - drop;
        let away = height.hypot(self.offset);
        let lean = self.offset.atan2(height);
        let cos = (away.powi(2) + self.throw.powi(2) - self.rod.powi(2)) / (2.0 * self.throw * away);
        // At the very ends of the stroke it is 1 but for the last digit.
        let cos = if cos.abs() > 1.0 && cos.abs() < 1.0 + 1e-9 {
            cos.signum()
        } else {
            cos
        };
        let half = (-1.0..=1.0).contains(&cos).then(|| cos.acos())?;
        let top = self.top_angle();
        Some((lean + half - top, half - lean + top))
    }

    /// The depth at which a port is open so long: found by halving, since the opening only falls with the depth.
    pub fn depth(&self, duration: f64) -> f64 {
        let (mut shallow, mut deep) = (0.0, self.stroke());
        for _ in 0..100 {
            let middle = f64::midpoint(shallow, deep);
            let so_long = self
                .angles(middle)
                .map_or(0.0, |(past, before)| 360.0 - (past + before).to_degrees());
            if so_long > duration {
                shallow = middle;
            } else {
                deep = middle;
            }
        }
        f64::midpoint(shallow, deep)
    }
}

/// The piston's greatest speed at so many turns a second, mm/s, and where it is reached, degrees past the top: found on the way down by golden section, since it
/// only rises and then falls.
pub fn fastest(slider: &Slider, turns: f64) -> (f64, f64) {
    let omega = std::f64::consts::TAU * turns;
    let speed = |past_top: f64| {
        let (sin, cos) = (past_top + slider.top_angle()).sin_cos();
        let across = slider.throw * sin - slider.offset;
        let along = (slider.rod.powi(2) - across.powi(2)).sqrt();
        omega * slider.throw * (sin + across * cos / along)
    };
    let ratio = (5.0_f64.sqrt() - 1.0) / 2.0;
    let (mut low, mut high) = (0.0, std::f64::consts::PI);
    for _ in 0..100 {
        let (a, b) = (high - ratio * (high - low), low + ratio * (high - low));
        if speed(a) > speed(b) {
            high = b;
        } else {
            low = a;
        }
    }
    let at = f64::midpoint(low, high);
    (speed(at), at.to_degrees())
}
