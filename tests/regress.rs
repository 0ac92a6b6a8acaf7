//! Every input that ever broke something, replayed. A case that `tests/fuzz` finds is put into the folder of its target in `tests/regress`, under a name that
//! says what it is about.

#[path = "holds/mod.rs"]
mod holds;

use std::fs;
use std::panic::catch_unwind;
use std::path::PathBuf;
use std::sync::{Mutex, Once};

/// What went wrong on threads that catch it: the server lives on after a fault, but that is a fault.
static PANICS: Mutex<Vec<String>> = Mutex::new(Vec::new());

fn cases(name: &str) -> Vec<PathBuf> {
    let folder = fs::read_dir(format!("tests/regress/{name}"));
    let files = folder.into_iter().flatten().filter_map(Result::ok);
    let mut files: Vec<PathBuf> = files.map(|file| file.path()).collect();
    files.sort();
    files
}

fn replay(name: &str) {
    static WATCH: Once = Once::new();
    WATCH.call_once(|| {
        let usual = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |panic| {
            usual(panic);
            let thread = std::thread::current();
            // Where another property is replayed, its own test fails.
            if thread
                .name()
                .is_none_or(|name| name == "rpc_holds" || !name.ends_with("_holds"))
            {
                PANICS.lock().expect("no panic in here").push(panic.to_string());
            }
        }));
    });
    let (_, holds) = holds::ALL
        .iter()
        .find(|(known, _)| *known == name)
        .expect("it is a property");
    let mut broken = Vec::new();
    for case in cases(name) {
        let bytes = fs::read(&case).expect("a case can be read");
        if catch_unwind(|| holds(&bytes)).is_err() {
            broken.push(case);
        }
    }
    assert!(broken.is_empty(), "broken again: {broken:?}");
    if name == "rpc" {
        let panics = PANICS.lock().expect("no panic in here");
        assert!(panics.is_empty(), "{panics:?}");
    }
}

/// A test for each property.
macro_rules! replayed {
    ($($test:ident: $name:literal;)+) => {
        $(#[test]
        fn $test() {
            replay($name);
        })+

        #[test]
        fn no_property_and_no_folder_is_forgotten() {
            let tested = [$($name),+];
            assert_eq!(holds::ALL.iter().map(|(name, _)| *name).collect::<Vec<_>>(), tested);
            for folder in fs::read_dir("tests/regress").expect("it is there").filter_map(Result::ok) {
                let name = folder.file_name();
                assert!(tested.iter().any(|known| name == *known), "{name:?} is no property");
            }
        }
    };
}

replayed! {
    edits_holds: "edits";
    fixes_holds: "fixes";
    judge_holds: "judge";
    manuals_holds: "manuals";
    parse_holds: "parse";
    reckon_holds: "reckon";
    report_holds: "report";
    rpc_holds: "rpc";
    tidy_holds: "tidy";
}
