//! Each fix, carried out alone, removes its finding and adds none: over short logs put together from lines that a fix is near for, one below the other in every way.

mod holds;

use proptest::prelude::*;

const PIECES: &[&str] = &[
    "j*ob benc\n",
    " j*ob benc\n",
    "jobb benc\n",
    "machin x\n",
    "manul tarn-250\n",
    "manual tarn-250\n",
    "job x\n",
    "units mm\n",
    "2026-03-14 build\n",
    "12/3/2026 x\n",
    "web 25 mm\n",
    "  web 25 mm\n",
    "web width of crank 52.03 mm by mic\n",
    "web, 5\n",
    "5 mm\n",
    "was 5\n",
    "bore =\n",
    "  top 1\n",
    "hours 5 h\n",
    "did press\n",
    "did x, 5\n",
    "strip down\n",
    "fix web 5 6\n",
    "note a\n",
    "   x\n",
    "closed\n",
    "# c\n",
    "\n",
    "\r",
    "\t",
    "09:40 ",
    "é",
    "j*ob",
    "*",
    "=",
    ":",
    ",",
    "5",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_fix_removes_its_finding_and_adds_none(pieces in prop::collection::vec(prop::sample::select(PIECES), 1..7)) {
        holds::fixes::holds(pieces.concat().as_bytes());
    }
}
