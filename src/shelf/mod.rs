//! The built-in shelf: general manuals, plain text, compiled in. They hold common practice; a workshop's own manual wins over them.
//! No code but their list: what a manual means is found out by `syntax` and `model`, as for any other.

/// One manual of the shelf.
#[derive(Debug)]
pub struct ShelfEntry {
    /// Its name, as `manual` and `extends` lines give it.
    pub name: &'static str,
    /// Its file name.
    pub file: &'static str,
    /// Its text.
    pub text: &'static str,
}

impl ShelfEntry {
    /// What it is for: its first comment.
    pub fn about(&self) -> &'static str {
        self.text
            .lines()
            .find_map(|line| line.trim().strip_prefix('#'))
            .map_or("", str::trim)
    }
}

macro_rules! shelf {
    ($($name:literal => $file:literal),* $(,)?) => {
        &[$(ShelfEntry { name: $name, file: $file, text: include_str!($file) }),*]
    };
}

/// Every manual of the shelf, in the order in which they are asked when a log names none.
pub fn all() -> &'static [ShelfEntry] {
    shelf! {
        "pressed crank" => "pressed-crank.manual",
        "ball and roller bearings" => "bearings.manual",
        "plain bearings" => "plain-bearings.manual",
        "two-stroke top end" => "two-stroke-top-end.manual",
        "four-stroke top end" => "four-stroke-top-end.manual",
        "cases and end float" => "cases-and-end-float.manual",
        "seals" => "seals.manual",
        "leak test and first start" => "leak-test-and-first-start.manual",
        "gearbox" => "gearbox.manual",
        "differential" => "differential.manual",
        "clutch" => "clutch.manual",
        "gear pump" => "gear-pump.manual",
        "centrifugal pump" => "centrifugal-pump.manual",
        "threaded fasteners" => "threaded-fasteners.manual",
    }
}
