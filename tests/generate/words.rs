//! The words of an invented trade: makes, people, suppliers, and what is said in passing.

/// Makes of machines, all invented.
pub const MAKES: &[&str] = &[
    "Corvane",
    "Tesselby",
    "Haldrow",
    "Ostvane",
    "Larkmoor",
    "Caldmoor",
    "Wethermoor",
    "Brackmere",
    "Dunnerley",
    "Pellowick",
    "Garnstead",
    "Thrushby",
    "Quillmoor",
    "Sedgeholm",
    "Rookbarrow",
    "Tealcombe",
    "Marlowick",
    "Ashgarrow",
    "Cawderstone",
    "Eskwater",
    "Fallowmere",
    "Hollinside",
    "Inglemoor",
    "Kestwick",
    "Linthorne",
    "Nethergill",
    "Owlscar",
    "Ravenhow",
    "Stonegarth",
    "Thackmoor",
    "Wrenside",
    "Yarrowby",
];

/// People.
pub const PEOPLE: &[&str] = &[
    "A. Farrow",
    "T. Brindle",
    "D.",
    "M. Oakes",
    "the hire fleet at Stell Bridge",
    "J. Penhale",
    "R. Thwaite",
    "old Harker",
    "S. Lund",
    "K. Birkett",
    "the rowing club",
    "P. Nield",
    "E. Garside",
    "W. Tarn",
    "the orchard at Low Fold",
    "H. Quayle",
    "C. Ibbs",
    "N. Sedgwin",
];

/// Benches.
pub const BENCHES: &[&str] = &[
    "the bench at Oxley Yard",
    "the back shop",
    "T. at the window bench",
    "bench two",
    "the evening class",
    "M. and the apprentice",
];

/// Who sells parts and does work.
pub const SUPPLIERS: &[&str] = &[
    "Ninebrook Moto Parts",
    "Millgate Head Works",
    "Stell Bearings",
    "Oxley Gasket Room",
    "the plater in Tidewell",
    "Harrow Lane Spares",
    "Quay Street Grinding",
    "Low Fold Engineering",
    "the seal counter",
    "Brindle and Daughter",
];

/// What machines come in with.
pub const COMPLAINTS: &[&str] = &[
    "rattles, knocks on overrun",
    "hard to start hot, pops",
    "low flow",
    "whine on drive",
    "jumps out of third",
    "smokes when warm",
    "no power above half",
    "tick from the left",
    "seized once, freed",
    "drinks oil",
    "leaks where it stands",
    "big end knocks",
    "pulls to one side, then stops",
    "dead after the winter",
    "noisy since the last owner",
    "just a check",
    "for the season",
    "came in boxes",
    "overheats on the hill",
    "will not idle",
];

/// What a note speaks of.
pub const THINGS: &[&str] = &[
    "the sound",
    "the old gasket",
    "the drain plug",
    "oil on the bench",
    "one of the dowels",
    "the thread of the long bolt",
    "the paint",
    "the smell",
    "the last owner's sealant",
    "a bit of the circlip",
    "the smaller bearing",
    "the lock tab",
    "its number plate",
    "the kick shaft",
    "the cable end",
    "a mark from a chisel",
    "the plug",
    "the shop light",
    "the magnet",
    "the second washer",
    "the label on the box",
    "the cover",
    "an old repair",
    "the stand",
];

/// What it does.
pub const DOES: &[&str] = &[
    "changed when it came flush",
    "was not what the box said",
    "looks like someone was here before",
    "came off in one piece",
    "shines on one side",
    "has gone hard",
    "fits better the other way round",
    "is to be asked about",
    "was left in the tray",
    "went to the plater with the rest",
    "is black but clean",
    "had to be drilled out",
    "sits a hair proud",
    "was chased with the tap",
    "is new, so nobody has to look again",
    "moved when warm",
    "took an hour to find",
    "wants a photo before it is cleaned",
    "has been turned once already",
    "sticks at one place",
    "was the reason for it all",
    "will do for this season",
];

/// How it ends.
pub const ENDS: &[&str] = &[
    "",
    "",
    "",
    ", owner told",
    ", left as it is",
    ", will see",
    ", put aside",
    ", not our work",
    ", wiped and oiled",
    ", on Thursday",
    ", by lamp light",
    ", no marks",
    ", see photo",
    ", as last year",
    ", good enough",
    ", ask M. about it",
];

/// Lines of plain prose: none begins with a word of the language, none has a figure.
pub const PROSE: &[&str] = &[
    "mostly twist, some pinch",
    "turns free by hand",
    "good",
    "noisy, shaft seal weeps",
    "better than it looked",
    "owner rang, is in no hurry",
    "left overnight to cool",
    "all back in its tray",
    "this one had been opened before",
    "plating without flakes, edges still broken",
    "same again on the other side",
    "nothing loose in the sump",
    "smells burnt but is not",
    "threads all clean now",
    "went home early",
    "looked at it again in daylight",
];

/// What stands behind a `#`.
pub const REMARKS: &[&str] = &[
    "after cooling",
    "twice, same",
    "by lamp",
    "second look",
    "before lunch",
    "with the old one",
    "M. read it",
    "clean and dry",
    "as the book says",
    "owner watching",
    "stand wobbles",
    "new battery in it",
];

/// What is said behind a reading.
pub const BESIDE: &[&str] = &[
    "read twice",
    "at the mark",
    "key side",
    "felt by hand first",
    "wiped",
    "by the window",
    "the better of two",
    "between the bosses",
    "clear of the edge",
    "oil film wiped off",
    "as on the card",
    "tool side",
    "bright spot",
    "end on",
    "square to the pin",
    "well inside",
];

/// How a step was done, its first half.
pub const MANNERS: &[&str] = &[
    "slowly",
    "in one go",
    "by hand",
    "turned between",
    "from the left",
    "lifted square",
    "checked by eye",
    "marked first",
    "started by hand",
    "wiped first",
    "eased in",
    "set down twice",
    "taken in turn",
    "held level",
];

/// How a step was done, its second half.
pub const MEANS: &[&str] = &[
    "on the mat",
    "with the long bar",
    "on the stand",
    "with M. holding",
    "on soft jaws",
    "with the small puller",
    "by the book",
    "on wooden blocks",
    "with the old drift",
    "under the lamp",
    "with a clean rag",
    "on the surface plate",
    "with the brass sleeve",
    "at the window",
];

/// Headings of comments.
pub const HEADINGS: &[&str] = &[
    "what came in",
    "taken apart",
    "what the parts say",
    "put together",
    "last things",
    "by the book",
    "after the weekend",
    "the second half",
];

/// Why something was mended on paper.
pub const SLIPS: &[&str] = &[
    "misread",
    "digits turned round",
    "half a turn of the sleeve",
    "wrong line of the pad",
    "read from the wrong side",
    "decimal point",
    "ink run",
    "said wrong across the shop",
];

/// Why something was undone.
pub const UNDONE: &[&str] = &[
    "the dowel was left out",
    "it stood proud",
    "the gasket tore",
    "a washer was left on the bench",
    "it did not turn free",
    "the wrong one was taken",
];
