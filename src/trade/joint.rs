//! Two round parts pressed together: thick rings after Lamé, elastic, under plane stress.

/// A joint of two round parts, one pressed into the other; mm and N/mm².
#[derive(Clone, Copy, Debug)]
pub struct Joint {
    /// Interference of the diameters.
    pub interference: f64,
    /// Diameter where they touch.
    pub diameter: f64,
    /// Outside of the outer part.
    pub outside: f64,
    /// Bore of the inner part; 0 for a solid one.
    pub hole: f64,
    /// Modulus and Poisson's ratio of the outer part.
    pub hub: (f64, f64),
    /// The same of the inner part.
    pub shaft: (f64, f64),
}

impl Joint {
    /// Pressure where they touch: two thick rings under plane stress, elastic. Below nothing where there is a gap.
    pub fn pressure(&self) -> f64 {
        let (d, outer, inner) = (self.diameter, self.outside, self.hole);
        let of_hub = (outer.powi(2) + d.powi(2)) / (outer.powi(2) - d.powi(2)) + self.hub.1;
        let of_shaft = (d.powi(2) + inner.powi(2)) / (d.powi(2) - inner.powi(2)) - self.shaft.1;
        self.interference / (d * (of_hub / self.hub.0 + of_shaft / self.shaft.0))
    }

    /// Hoop stress at the bore of the outer part.
    pub fn hub_hoop(&self) -> f64 {
        let (d, outer) = (self.diameter.powi(2), self.outside.powi(2));
        self.pressure() * (outer + d) / (outer - d)
    }

    /// Stress at the bore of the outer part, by von Mises: what is held against the yield point.
    pub fn hub_stress(&self) -> f64 {
        let (hoop, pressure) = (self.hub_hoop(), self.pressure());
        (hoop.powi(2) + pressure.powi(2) + hoop * pressure).sqrt()
    }

    /// Hoop stress of the inner part where they touch. Below nothing it is compressed.
    pub fn contact_hoop(&self) -> f64 {
        let (d, hole) = (self.diameter.powi(2), self.hole.powi(2));
        -self.pressure() * (d + hole) / (d - hole)
    }

    /// Hoop stress of the inner part where it is greatest: at its bore, or where they touch if it is solid. Below nothing it is compressed.
    pub fn shaft_hoop(&self) -> f64 {
        let (d, hole) = (self.diameter.powi(2), self.hole.powi(2));
        if hole == 0.0 {
            -self.pressure()
        } else {
            -2.0 * self.pressure() * d / (d - hole)
        }
    }
}
