//! Every reading as a row of CSV (RFC 4180), for spreadsheets.

use super::{clean, in_unit, label, value};
use crate::history::{History, Spot, Track};
use crate::quantity::number;

/// What stands above the columns.
const COLUMNS: [&str; 15] = [
    "machine",
    "feature",
    "part",
    "place",
    "job",
    "line",
    "date",
    "stage",
    "meter",
    "meter unit",
    "value",
    "unit",
    "low",
    "high",
    "life",
];

/// One row a reading. `low` and `high` are what it may be, about 95 %, and empty where it has no such end. The error is one of writing, and says which.
pub fn csv(history: &History) -> Result<String, String> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let told = |error: csv::Error| error.to_string();
    writer.write_record(COLUMNS).map_err(told)?;
    for machine in history.wanted() {
        for track in &machine.tracks {
            for life in &track.lives {
                for spot in &life.spots {
                    let job = machine.jobs.get(spot.job).map_or("", |job| &job.path);
                    let meter_unit = life
                        .meter
                        .filter(|_| spot.meter.is_some())
                        .map_or("", |unit| unit.label());
                    let row = row(spot, track);
                    let [line, date, meter, best, low, high] = row.each_ref().map(String::as_str);
                    let life = life.number.to_string();
                    let (part, place) = (track.part.as_deref(), track.place.as_deref());
                    let cells = [
                        machine.name.as_str(),
                        &track.feature,
                        part.unwrap_or(""),
                        place.unwrap_or(""),
                        job,
                        line,
                        date,
                        &spot.point.stage,
                        meter,
                        meter_unit,
                        best,
                        label(track),
                        low,
                        high,
                        &life,
                    ];
                    writer.write_record(cells).map_err(told)?;
                }
            }
        }
    }
    let bytes = writer.into_inner().map_err(|error| error.to_string())?;
    String::from_utf8(bytes).map_err(|error| error.to_string())
}

/// Line, date, meter, value, low, high.
fn row(spot: &Spot, track: &Track) -> [String; 6] {
    let end = |base: f64| {
        let value = clean(in_unit(base, track.unit));
        if base.is_finite() {
            format!("{value}")
        } else {
            String::new()
        }
    };
    [
        spot.point.line.to_string(),
        spot.point.date.map_or(String::new(), |date| date.to_string()),
        spot.meter.map_or(String::new(), |meter| format!("{}", clean(meter))),
        number::show(value(spot, track.unit), 12),
        end(spot.point.low()),
        end(spot.point.high()),
    ]
}
