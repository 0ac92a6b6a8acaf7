//! How each line of a log is written: the help behind a line that could not be read.

/// How a line with this keyword is written.
pub(super) fn usage(keyword: &str) -> &'static str {
    match keyword {
        "job" => "write what the job is: `job bottom end, side play at the limit`",
        "machine" => "write the machine and its number: `machine Tarn 250, frame TN-0417`",
        "owner" | "by" => "write a name: `owner A. Farrow`",
        "hours" => "write what the meter shows: `hours 312`",
        "manual" => "write the manual's name: `manual tarn-250`",
        "procedure" => "write the procedure's name: `procedure crank rebuild`",
        "units" => "write the units of bare figures: `units mm, N·m`",
        "tool" => "write `tool NAME: KIND, facts`: `tool mic 50-75: micrometer, reads to 0.01 mm`",
        "did" => "write `did STEP, details`: `did press together, force 6 t on press`",
        "found" => "write `found PART: condition, decision`: `found webs: good, reuse`",
        "ordered" => "write `ordered PART: number …, price …`",
        "got" => "write `got PART: number …`",
        "chose" => "write `chose A over B, because …`",
        "stock" => "write what lies in the drawer: `stock valve shims: 2.30 2.35 x2 2.40 mm`",
        "option" => {
            "write a way to go and what it costs: `option send out: work 95 EUR, post 22 EUR, labour 2 h at 30 EUR, risk 5 % of 120 EUR`"
        }
        "cost" => {
            "write what it is for and what was paid: `cost rebore: work 45 EUR, post 2 x 6 EUR`, `cost labour: 6 h at 30 EUR`, `cost old crank: less deposit 45 EUR`"
        }
        "waiting" => "write `waiting for PART, since 2026-03-14`",
        "undid" => "write which step was undone: `undid fit bearing, because it stood crooked`",
        "fix" => "write `fix FEATURE OLD -> NEW, why`: `fix web width 52.53 -> 52.03 mm, misread`",
        "checked" => "write which tool was checked, and against what: `checked mic 50-75, on its 50 mm standard`",
        "held" => "write how the work was held: `held on centres`",
        "photo" => "write the picture's path: `photo pictures/pin.jpg`",
        "day" => "a day is a date and a stage: `2026-03-14 as found`",
        _ => "write `closed 2026-04-09`, or `closed` alone",
    }
}
