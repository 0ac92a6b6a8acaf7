//! The same bytes, however many threads judge.

use super::*;

/// A log with findings of several kinds, other ones for each number.
fn log(number: usize) -> String {
    let mut log = format!("job crank {number}\nmanual bench\ntool press: press, rated 10 t\n\n2026-03-14  build\n");
    for line in 0..6 {
        let size = 51.80 + f64::from(u32::try_from((number * 7 + line * 5) % 40).unwrap()) / 100.0;
        log.push_str(&format!("web width = {size:.2} mm\n"));
    }
    if number.is_multiple_of(3) {
        log.push_str("frobnicate the crank\n");
    }
    if number.is_multiple_of(5) {
        log = log.replace("manual bench\n", "");
        log.push_str("did press together, force 6 t on press\n");
    }
    log
}

#[test]
fn every_form_is_the_same_for_any_number_of_jobs() {
    let folder = folder(&[]);
    for number in 0..300 {
        write(
            folder.path(),
            &format!("{}/job {number:03}.rebuild", number % 9),
            log(number),
        );
    }
    // Manuals lie one folder up for all.
    write(folder.path(), "manuals/bench.manual", MANUAL);
    for form in ["text", "line", "json", "sarif", "junit"] {
        let judged = |jobs: &str| run(folder.path(), &["inspect", "--as", form, "--jobs", jobs]);
        let one = judged("1");
        assert_eq!(one.code, Some(1), "{}", one.err);
        assert!(one.out.contains("limit.out"), "{form}");
        for jobs in ["2", "5"] {
            assert!(judged(jobs).out == one.out, "{form} with {jobs} jobs");
        }
    }
    let baseline = |jobs: &str| {
        let name = format!("known-{jobs}.jsonl");
        run(folder.path(), &["inspect", "--write-baseline", &name, "--jobs", jobs]);
        fs::read(folder.path().join(name)).unwrap()
    };
    assert_eq!(baseline("1"), baseline("5"));
}
