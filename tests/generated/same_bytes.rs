//! The generator itself: the same arguments give the same bytes, and what it writes is like what people write.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use gudgeon::judge::Severity;
use gudgeon::syntax::FileKind;

use super::generate::Repository;
use super::shop::Shop;

/// Every file of a folder by its path from there.
fn files(root: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    let mut folders = vec![root.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("it was written") {
            let path = entry.expect("it can be read").path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let name = path
                    .strip_prefix(root)
                    .expect("it lies in there")
                    .to_string_lossy()
                    .into_owned();
                all.insert(name, fs::read(&path).expect("it can be read"));
            }
        }
    }
    all
}

#[test]
fn the_same_arguments_give_the_same_bytes() {
    let repository = Repository {
        files: 104,
        lines: 60,
        seed: 7,
    };
    let (one, two, other) = (tempfile::tempdir(), tempfile::tempdir(), tempfile::tempdir());
    let (one, two, other) = (one.expect("a folder"), two.expect("a folder"), other.expect("a folder"));
    repository.write(one.path()).expect("it is written");
    repository.write(two.path()).expect("it is written");
    Repository { seed: 8, ..repository }
        .write(other.path())
        .expect("it is written");
    let written = files(one.path());
    assert_eq!(written, files(two.path()));
    assert_ne!(written, files(other.path()));
    // Each log has as many lines as were wanted, and is what it is by itself too.
    let logs: Vec<(&String, &Vec<u8>)> = written.iter().filter(|(name, _)| name.ends_with(".rebuild")).collect();
    assert_eq!(logs.len(), 104);
    for (name, bytes) in &logs {
        assert_eq!(bytes.iter().filter(|byte| **byte == b'\n').count(), 60, "{name}");
    }
    let log = repository.log(103);
    let kept = written.get(&format!("001/{}", log.file())).expect("it is there");
    assert_eq!(&log.text().into_bytes(), kept);
}

/// The bytes are those that figures were told of: whoever changes the generator measures anew.
#[test]
fn the_bytes_are_known() {
    let mut digest = 0xcbf2_9ce4_8422_2325_u64;
    let repository = Repository {
        files: 24,
        lines: 300,
        seed: 1,
    };
    let mut eat = |text: &str| {
        for byte in text.bytes() {
            digest = (digest ^ u64::from(byte)).wrapping_mul(0x100_0000_01b3);
        }
    };
    for (name, text) in repository.manuals() {
        eat(&name);
        eat(&text);
    }
    for number in 0..repository.files {
        eat(&repository.log(number).text());
    }
    assert_eq!(format!("{digest:016x}"), "1207a4d0e30bf05b");
}

#[test]
fn the_manuals_are_without_fault() {
    for seed in 0..2 {
        let shop = Shop::new(seed, 10, 40);
        for (name, text) in &shop.manuals {
            let inspected = shop.inspect(FileKind::Manual, &format!("{name}.manual"), text);
            let told: Vec<&str> = inspected
                .findings
                .iter()
                .map(|finding| finding.message.as_str())
                .collect();
            assert!(told.is_empty(), "{name}: {told:?}\n{text}");
        }
    }
}

#[test]
fn a_log_has_mistakes_but_most_of_it_is_right() {
    let (mut lines, mut wrong) = (0, 0);
    for seed in 0..12 {
        let shop = Shop::new(seed, 500, 45);
        let inspected = shop.judge(&shop.log);
        lines += shop.log.lines().count();
        wrong += inspected
            .findings
            .iter()
            .filter(|finding| finding.severity > Severity::Open)
            .count();
        let read = inspected
            .findings
            .iter()
            .filter(|finding| finding.code == "line.unread")
            .count();
        assert!(read < 12, "{seed}: {read} lines were not read");
    }
    let rate = lines / wrong;
    assert!((30..=90).contains(&rate), "one finding in {rate} lines");
}
