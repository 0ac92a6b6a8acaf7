//! The verdict when a band is held against a limit.

use super::band::Band;

/// What a reading proves against a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// The whole band lies in the limit.
    In,
    /// The whole band lies outside it.
    Out,
    /// The limit lies inside the band.
    NotProven,
}

impl Verdict {
    /// The word for it, as printed.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::In => "in",
            Verdict::Out => "out",
            Verdict::NotProven => "not proven",
        }
    }
}

/// Holds a reading against a limit. The ends of a limit belong to it, whatever its flags say; an end of the reading that is
/// left out can neither spoil `in` nor save from `out`.
pub fn verdict(reading: &Band, limit: &Band) -> Verdict {
    let (lo, hi) = (reading.lower(), reading.upper());
    let (least, most) = (limit.lower().0, limit.upper().0);
    if least <= lo.0 && hi.0 <= most {
        return Verdict::In;
    }
    let below = hi.0 < least || (hi.0 == least && hi.1);
    let above = lo.0 > most || (lo.0 == most && lo.1);
    if below || above {
        Verdict::Out
    } else {
        Verdict::NotProven
    }
}
