//! `gudgeon tidy`.

use super::*;

const UNTIDY: &str = "job     a crank   \nmanual  bench\n\n2026-03-14  build\nweb   width=52.00 mm  \n";

#[test]
fn a_dry_run_shows_and_changes_nothing() {
    let folder = folder(&[("a.rebuild", UNTIDY)]);
    let ran = run(folder.path(), &["tidy", "--dry", "a.rebuild"]);
    assert_eq!(ran.code, Some(1), "{}{}", ran.out, ran.err);
    assert!(ran.out.starts_with("a.rebuild: "), "{}", ran.out);
    assert!(ran.out.contains("5 - web   width=52.00 mm··"), "{}", ran.out);
    assert!(ran.out.contains("5 + "), "{}", ran.out);
    assert_eq!(fs::read_to_string(folder.path().join("a.rebuild")).unwrap(), UNTIDY);
}

#[test]
fn a_file_is_tidied_once_and_then_left_alone() {
    let folder = folder(&[("a.rebuild", UNTIDY)]);
    let path = folder.path().join("a.rebuild");
    let ran = run(folder.path(), &["tidy", "a.rebuild"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert!(
        ran.out.contains("tidied a.rebuild\n1 file tidied, 0 tidy already."),
        "{}",
        ran.out
    );
    let once = fs::read_to_string(&path).unwrap();
    assert_ne!(once, UNTIDY);
    let about = fs::metadata(&path).unwrap();

    let again = run(folder.path(), &["tidy", "a.rebuild"]);
    assert_eq!(again.code, Some(0));
    assert!(again.out.contains("0 files tidied, 1 tidy already."), "{}", again.out);
    assert_eq!(fs::read_to_string(&path).unwrap(), once);
    let after = fs::metadata(&path).unwrap();
    assert_eq!(about.modified().unwrap(), after.modified().unwrap());
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        assert_eq!(about.ino(), after.ino());
    }
    assert_eq!(run(folder.path(), &["tidy", "--dry", "a.rebuild"]).code, Some(0));
    // Nothing is left lying about.
    let mut names: Vec<_> = fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name())
        .collect();
    names.sort();
    assert_eq!(names, ["a.rebuild", "bench.manual"]);
}

#[test]
fn standard_input_goes_to_standard_output() {
    let folder = folder(&[("a.rebuild", UNTIDY)]);
    let piped = ran(gudgeon(folder.path()).args(["tidy", "-"]).write_stdin(UNTIDY));
    assert_eq!(piped.code, Some(0));
    run(folder.path(), &["tidy", "a.rebuild"]);
    let tidied = fs::read_to_string(folder.path().join("a.rebuild")).unwrap();
    assert_eq!(piped.out, tidied);
    let dry = ran(gudgeon(folder.path()).args(["tidy", "-", "--dry"]).write_stdin(tidied));
    assert_eq!((dry.code, dry.out.as_str()), (Some(0), ""));
}

#[test]
fn what_is_not_text_is_left_as_it_is() {
    let folder = folder(&[]);
    let bytes = b"job a crank   \nnote \xff   \n";
    write(folder.path(), "a.rebuild", bytes);
    let ran = run(folder.path(), &["tidy", "a.rebuild"]);
    assert_eq!(ran.code, Some(2));
    assert!(
        ran.err
            .contains("a.rebuild: not UTF-8 text: the first bad byte is in line 2"),
        "{}",
        ran.err
    );
    assert_eq!(fs::read(folder.path().join("a.rebuild")).unwrap(), bytes);
}

#[cfg(unix)]
#[test]
fn links_and_permissions_are_kept() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let folder = folder(&[("kept/real.rebuild", UNTIDY)]);
    let real = folder.path().join("kept/real.rebuild");
    let link = folder.path().join("a.rebuild");
    symlink("kept/real.rebuild", &link).unwrap();
    fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).unwrap();
    let ran = run(folder.path(), &["tidy", "a.rebuild", "kept"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_ne!(fs::read_to_string(&real).unwrap(), UNTIDY);
    assert_eq!(fs::metadata(&real).unwrap().permissions().mode() & 0o777, 0o640);
}

#[cfg(unix)]
#[test]
fn a_write_protected_file_is_left_alone() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder(&[("a.rebuild", UNTIDY)]);
    let path = folder.path().join("a.rebuild");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
    let ran = run(folder.path(), &["tidy", "a.rebuild"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("write-protected"), "{}", ran.err);
    assert_eq!(fs::read_to_string(&path).unwrap(), UNTIDY);
}
