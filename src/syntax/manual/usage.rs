//! How each line of a manual is written: the help behind a line that could not be read.

/// How a line with this keyword is written.
pub(super) fn usage(keyword: &str) -> &'static str {
    match keyword {
        "manual" => "write the manual's name: `manual Tarn 250 engine, edition 3`",
        "extends" => "write the name of the manual it builds on: `extends pressed crank`",
        "source" => "write where the limits come from: `source workshop manual, page 41`",
        "units" | "unit" => "write a unit: `unit mm`",
        "feature" => "write `feature NAME at PLACE, PLACE, also NAME`",
        "calc" => "write `calc NAME = EXPRESSION`: `calc piston clearance = smallest(bore) - largest(piston size)`",
        "precaution" => "write its name, and why on the next line: `precaution web supported`",
        "procedure" => "write its name: `procedure crank rebuild`",
        "step" => {
            "write `step NAME after STEP; needs TICK; disturbs FEATURE; force up to 6 t`: a bound on an amount stands behind `;`"
        }
        "never" => "write `never STEP, TICK because REASON`, or `never STEP before STEP because REASON`",
        "one" => "write the steps of which one is done: `one of press the pin dry, press the pin oiled`",
        "if" | "only" => {
            "write a condition: `if did STEP`, `if not did STEP`, `if found PART replace`, `if got PART`, `if FEATURE out`"
        }
        "directly" => "write the step that comes straight before: `directly after heat bearing`",
        "not" => "write the step that must not be done as well: `not with lock threads`",
        "uses" => "write the kind of tool: `uses press rated at least 10 t`",
        "say" => "write the choices: `say from deck or from crown`",
        "decide" => "write how figures are accepted: `decide plain`, `decide guarded` or `decide guarded at 95 %`",
        "material" => {
            "write what it is made of, or how much that grows by heat: `material steel`, `material 23 ± 2 ppm/K`"
        }
        "alike" => "write how far its parts may differ: `alike within 1 g`",
        "aim" => "write the figure that is aimed at: `aim 0.13 mm`",
        "limits" => "write whose limits hold for it: `limits of side play`",
        "agrees" => "write which other figure says the same: `agrees with spread by widths`",
        "choose" => {
            "write what is chosen: `choose rod kit`, `choose new valve shim from stock valve shims`, `choose end shim from stock shims, up to 2 together`"
        }
        "expects" => "write what is looked at before: `expects press force`",
        "pattern" => "write how the bolts stand: `pattern ring of 6`, `pattern 2 rows of 5`",
        "nominal" => "write the figure it is made to: `nominal 52.00 mm`",
        _ => {
            "write a limit: `build 0.35 to 0.50 mm`, `service up to 0.60 mm`, `build at least 0.05 mm`, `build 52.00 ± 0.02 mm`"
        }
    }
}
