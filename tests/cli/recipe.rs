//! samples/repository: the recipe for CI does what it says.

use super::*;

/// The sample repository in a folder of its own, so that it may be changed.
fn shop() -> TempDir {
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/repository");
    let folder = tempfile::tempdir().unwrap();
    for name in [
        "ci.sh",
        "gudgeon.toml",
        "known.jsonl",
        "logs/pellan-0031.rebuild",
        "logs/pellan-0112.rebuild",
        "manuals/pellan-90.manual",
    ] {
        write(folder.path(), name, fs::read(from.join(name)).unwrap());
    }
    folder
}

fn recipe(folder: &Path) -> Ran {
    let mut shell = Command::new("sh");
    shell
        .current_dir(folder)
        .env("GUDGEON", env!("CARGO_BIN_EXE_gudgeon"))
        .arg("ci.sh")
        .timeout(Duration::from_secs(60));
    ran(&mut shell)
}

#[test]
fn what_is_known_passes_and_its_danger_is_told() {
    let shop = shop();
    let ran = recipe(shop.path());
    assert_eq!(ran.code, Some(0), "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("danger[danger.precaution]"), "{}", ran.out);
    assert!(
        ran.out
            .contains("Nothing new found. Known from the baseline: 1 danger, 1 fault, 2 open.")
    );
    // The baseline is the one this program writes: nothing in it is gone, and none of it is missing.
    assert_eq!(ran.err, "");
    let before = fs::read(shop.path().join("known.jsonl")).unwrap();
    run(shop.path(), &["inspect", "--write-baseline", "known.jsonl"]);
    assert_eq!(fs::read(shop.path().join("known.jsonl")).unwrap(), before);
    let sarif = fs::read_to_string(shop.path().join("results/findings.sarif")).unwrap();
    assert_eq!(sarif.matches("\"baselineState\":\"unchanged\"").count(), 4);
    let junit = fs::read_to_string(shop.path().join("results/findings.xml")).unwrap();
    assert!(!junit.contains("<failure"), "{junit}");
}

#[test]
fn what_is_new_fails_and_what_cannot_be_read_fails_otherwise() {
    let shop = shop();
    let path = shop.path().join("logs/pellan-0112.rebuild");
    let log = fs::read_to_string(&path).unwrap();
    write(shop.path(), "logs/pellan-0112.rebuild", log.replace("49.01", "49.10"));
    let ran = recipe(shop.path());
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(ran.out.contains("web width is 49.10 mm"), "{}", ran.out);
    let sarif = fs::read_to_string(shop.path().join("results/findings.sarif")).unwrap();
    assert_eq!(sarif.matches("\"baselineState\":\"new\"").count(), 1);
    let junit = fs::read_to_string(shop.path().join("results/findings.xml")).unwrap();
    assert_eq!(junit.matches("<failure").count(), 1);

    write(shop.path(), "known.jsonl", "<<<<<<< ours\n");
    let ran = recipe(shop.path());
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("known.jsonl is no baseline"), "{}", ran.err);
}
