//! `gudgeon report` for people: where it goes, what it leaves alone, what it says of photos.

use super::*;

const LOG: &str =
    "job side play\nmachine Tarn 250, frame TN-0417\n2026-03-14 build\nweb width = 52.00 mm\nphoto pictures/pin.jpg\n";

#[test]
fn a_report_is_printed_or_written_and_an_earlier_one_replaced() {
    let folder = folder(&[("a.rebuild", LOG)]);
    let printed = run(folder.path(), &["report", "a.rebuild"]);
    assert_eq!(printed.code, Some(0), "{}", printed.err);
    assert!(printed.out.starts_with("<!DOCTYPE html>") && printed.out.contains("Tarn 250, frame TN-0417"));
    for _ in 0..2 {
        let written = run(folder.path(), &["report", "a.rebuild", "--out", "a.html"]);
        assert_eq!((written.code, written.out.as_str()), (Some(0), ""), "{}", written.err);
    }
    assert_eq!(fs::read_to_string(folder.path().join("a.html")).unwrap(), printed.out);
}

#[test]
fn nothing_else_is_written_over() {
    let folder = folder(&[
        ("a.rebuild", LOG),
        ("letter.html", "<p>to a customer</p>"),
        ("b.rebuild", LOG),
    ]);
    for (out, why) in [
        ("letter.html", "stands there already and is something else"),
        ("a.rebuild", "that is the name of a log or a manual"),
        ("no/such/a.html", "there is no such file or folder"),
    ] {
        let ran = run(folder.path(), &["report", "a.rebuild", "--out", out]);
        assert_eq!(ran.code, Some(2), "{out}");
        assert!(ran.err.contains(why), "{out}: {}", ran.err);
        let csv = run(folder.path(), &["report", "a.rebuild", "--as", "csv", "--out", out]);
        assert_eq!(csv.code, Some(2), "{out}: {}", csv.err);
    }
    assert_eq!(
        fs::read_to_string(folder.path().join("letter.html")).unwrap(),
        "<p>to a customer</p>"
    );
    assert_eq!(fs::read_to_string(folder.path().join("a.rebuild")).unwrap(), LOG);
}

#[test]
fn several_logs_go_into_a_folder_each_under_its_name() {
    let folder = folder(&[("a.rebuild", LOG), ("b.rebuild", LOG), ("old/a.rebuild", LOG)]);
    let ran = run(folder.path(), &["report", "a.rebuild", "b.rebuild"]);
    assert_eq!(ran.code, Some(2));
    assert!(
        ran.err
            .contains("2 logs make 2 reports: name a folder for them with --out"),
        "{}",
        ran.err
    );
    let ran = run(
        folder.path(),
        &[
            "report",
            "a.rebuild",
            "b.rebuild",
            "--out",
            "reports",
            "--as",
            "markdown",
        ],
    );
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    for name in ["a.md", "b.md"] {
        assert!(
            fs::read_to_string(folder.path().join("reports").join(name))
                .unwrap()
                .contains("# Tarn 250")
        );
    }
    let ran = run(folder.path(), &["report", "a.rebuild", "b.rebuild", "--out", "pages"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let shelf = fs::read_to_string(folder.path().join("pages/index.html")).unwrap();
    for name in ["./a.html", "./b.html"] {
        assert!(
            shelf.contains(&format!("<a href=\"{name}\"><bdi>Tarn 250, frame TN-0417</bdi></a>")),
            "{shelf}"
        );
    }
    let ran = run(folder.path(), &["report", ".", "--out", "reports"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("would both be written to"), "{}", ran.err);
}

#[test]
fn a_photo_that_is_not_there_or_lies_outside_is_named_with_the_reason() {
    let log = LOG.replace("pictures/pin.jpg", "../../etc/passwd");
    let folder = folder(&[
        ("a.rebuild", LOG),
        ("b.rebuild", log.as_str()),
        ("gudgeon.toml", "[report]\nshop = \"Fennick & Sons\"\n"),
    ]);
    let missing = run(folder.path(), &["report", "a.rebuild"]);
    assert!(
        missing
            .out
            .contains("not shown: <bdi>there is no such file or folder</bdi>"),
        "{}",
        missing.out
    );
    assert!(missing.out.contains("Fennick &amp; Sons"));
    let outside = run(folder.path(), &["report", "b.rebuild"]);
    let is_told = ["it lies outside the repository", "there is no such file"]
        .iter()
        .any(|why| outside.out.contains(why));
    assert!(is_told && !outside.out.contains("href=\"../"), "{}", outside.out);
}

#[test]
fn the_readings_are_written_to_a_file_too() {
    let folder = folder(&[("a.rebuild", LOG)]);
    let printed = run(folder.path(), &["report", ".", "--as", "csv"]);
    let written = run(folder.path(), &["report", ".", "--as", "csv", "--out", "r.csv"]);
    assert_eq!((written.code, written.out.as_str()), (Some(0), ""), "{}", written.err);
    assert_eq!(fs::read_to_string(folder.path().join("r.csv")).unwrap(), printed.out);
    assert_eq!(
        run(folder.path(), &["report", ".", "--as", "csv", "--out", "r.csv"]).code,
        Some(0)
    );
}

#[test]
fn a_machine_is_told_over_its_jobs_where_its_other_logs_are_at_hand() {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/history");
    let alone = run(&samples, &["report", "wm-0044-2025-05.rebuild"]);
    assert!(!alone.out.contains("Over its jobs"), "{}", alone.err);
    let ran = run(&samples, &["report", "wm-0044-2025-05.rebuild", "--history", "."]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let (_, told) = ran.out.split_once("Over its jobs</h2>").unwrap();
    let (told, _) = told.split_once("</h2>").unwrap();
    assert!(told.contains("5 jobs of this machine are known, 2023-05-"), "{told}");
    assert!(told.contains("in 100 h") && told.contains("<svg"), "{told}");
    // Machines of the same model stay out of it.
    assert!(!told.contains("wm-0031"), "{told}");
}
