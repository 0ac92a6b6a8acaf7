//! Files that are out of the ordinary.

use super::*;

#[test]
fn bytes_that_are_no_text_become_a_finding() {
    let folder = folder(&[]);
    write(folder.path(), "a.rebuild", b"job a crank\nnote \xff\xfe\n");
    let ran = run(folder.path(), &["inspect", "--as", "line"]);
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(ran.out.contains("[text.not-utf8]"), "{}", ran.out);
}

#[test]
fn control_characters_never_reach_the_terminal() {
    let folder = folder(&[]);
    write(folder.path(), "a.rebuild", b"job a crank\nnote a\0b\x1b[31mc\n");
    for form in ["text", "line", "json"] {
        let ran = run(folder.path(), &["inspect", "--as", form]);
        assert!(ran.out.contains("text.control"), "{}", ran.out);
        assert!(
            !ran.out.chars().any(|c| c != '\n' && c.is_control()),
            "{form}: {:?}",
            ran.out
        );
    }
    let shown = run(folder.path(), &["inspect"]);
    assert!(shown.out.contains('␀'), "{}", shown.out);
}

#[test]
fn a_line_of_fifty_megabytes() {
    let folder = folder(&[]);
    let mut log = b"job a crank\nnote ".to_vec();
    log.resize(log.len() + 50_000_000, b'x');
    log.push(b'\n');
    write(folder.path(), "a.rebuild", &log);
    let began = Instant::now();
    for form in ["text", "line", "json"] {
        let ran = run(folder.path(), &["inspect", "--as", form]);
        assert!(ran.out.contains("text.long-line"), "{form}");
        assert!(ran.out.len() < 10_000, "{form}: {}", ran.out.len());
    }
    assert!(began.elapsed() < Duration::from_secs(50));
}

#[test]
fn a_file_of_too_many_lines_is_not_read() {
    let folder = folder(&[("a.rebuild", IN_LIMIT)]);
    write(folder.path(), "long.rebuild", "\n".repeat(2_000_001));
    let ran = run(folder.path(), &["inspect"]);
    assert_eq!(ran.code, Some(2));
    let said = "long.rebuild: too long: 2000001 lines, and no more than 2000000 are read; write a log for each job";
    assert!(ran.err.contains(said), "{}", ran.err);
    assert!(ran.out.contains("1 log, 1 manual:"), "{}", ran.out);
}

/// Each extends the next, without end.
#[test]
fn manuals_that_extend_each_other_in_a_chain_are_cut() {
    let folder = folder(&[]);
    for number in 0..300 {
        let text = format!("manual m{number}\nextends m{}\n", number + 1);
        write(folder.path(), &format!("manuals/m{number}.manual"), text);
    }
    write(folder.path(), "a.rebuild", "job x\nmanual m0\n2026-03-14 build\n");
    let ran = run(folder.path(), &["inspect", "a.rebuild", "--as", "line"]);
    assert!(
        ran.out.contains("[manual.faulty] manual manuals/m0.manual has"),
        "{}{}",
        ran.out,
        ran.err
    );
    let ran = run(folder.path(), &["inspect", "manuals/m0.manual", "--as", "line"]);
    assert!(
        ran.out
            .contains("m0.manual:2:9: fault[manual.chain] this manual rests on more than 64 others"),
        "{}",
        ran.out
    );
    // Near the end of the chain there is no such trouble.
    let ran = run(folder.path(), &["inspect", "manuals/m250.manual", "--as", "line"]);
    assert!(!ran.out.contains("manual.chain"), "{}", ran.out);
}

#[test]
fn a_file_of_names_to_leave_out_that_is_huge_is_named() {
    let folder = folder(&[("logs/a.rebuild", IN_LIMIT), ("b.rebuild", IN_LIMIT)]);
    let ignored = fs::File::create(folder.path().join("logs/.gitignore")).unwrap();
    ignored.set_len(2 * 1024 * 1024).unwrap();
    let ran = run(folder.path(), &["inspect"]);
    assert_eq!(ran.code, Some(2));
    assert!(
        ran.err
            .contains("logs/.gitignore: larger than 1 MiB, so its folder is not searched"),
        "{}",
        ran.err
    );
    assert!(ran.out.contains("1 log, 1 manual:"), "{}", ran.out);
}

#[test]
fn settings_that_are_huge_are_a_fault() {
    let folder = folder(&[("a.rebuild", IN_LIMIT)]);
    write(folder.path(), "gudgeon.toml", "# long\n".repeat(200_000));
    let ran = run(folder.path(), &["inspect", "--as", "line"]);
    assert_eq!(ran.code, Some(1));
    assert!(
        ran.out.contains("gudgeon.toml cannot be read: larger than 1 MiB"),
        "{}",
        ran.out
    );
}

#[test]
fn a_folder_with_the_name_of_a_log_is_searched() {
    let folder = folder(&[("x.rebuild/a.rebuild", OUT_OF_LIMIT)]);
    for args in [
        &["inspect", "--as", "line"][..],
        &["inspect", "--as", "line", "x.rebuild"],
    ] {
        let ran = run(folder.path(), args);
        assert_ne!(ran.code, Some(2), "{}", ran.err);
        assert!(ran.out.contains("x.rebuild/a.rebuild:"), "{}", ran.out);
        assert!(
            ran.err.contains("x.rebuild: a folder with the name of a file"),
            "{}",
            ran.err
        );
        assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
    }
}

#[test]
fn a_file_that_is_too_large_is_not_read() {
    let folder = folder(&[("a.rebuild", IN_LIMIT)]);
    let file = fs::File::create(folder.path().join("huge.rebuild")).unwrap();
    file.set_len(300 * 1024 * 1024).unwrap();
    let ran = run(folder.path(), &["inspect"]);
    assert_eq!(ran.code, Some(2));
    assert!(
        ran.err
            .contains("huge.rebuild: too large: 300 MiB, and no more than 64 MiB are read"),
        "{}",
        ran.err
    );
    assert!(ran.out.contains("1 log, 1 manual:"), "{}", ran.out);
}

#[cfg(unix)]
mod unix {
    use std::os::unix::fs::symlink;

    use super::*;

    #[test]
    fn a_link_to_nothing_is_named() {
        let folder = folder(&[("a.rebuild", IN_LIMIT)]);
        symlink("gone", folder.path().join("b.rebuild")).unwrap();
        for args in [&["inspect"][..], &["inspect", "a.rebuild", "b.rebuild"]] {
            let ran = run(folder.path(), args);
            assert_eq!(ran.code, Some(2));
            assert!(
                ran.err.contains("b.rebuild: a link to something that is not there"),
                "{}",
                ran.err
            );
            assert!(ran.out.contains("1 log"), "{}", ran.out);
        }
    }

    #[test]
    fn links_in_a_circle_end() {
        let folder = folder(&[("logs/a.rebuild", IN_LIMIT)]);
        write(folder.path(), "logs/bench.manual", MANUAL);
        symlink("..", folder.path().join("logs/up")).unwrap();
        symlink("loop.rebuild", folder.path().join("logs/loop.rebuild")).unwrap();
        let ran = run(folder.path(), &["inspect"]);
        assert_eq!(ran.code, Some(2));
        assert!(ran.err.contains("logs/loop.rebuild: "), "{}", ran.err);
        assert!(ran.out.contains("1 log, 2 manuals:"), "{}", ran.out);
    }

    /// A log cannot have what lies outside its repository read, unless the settings of the repository allow it.
    #[test]
    fn a_link_out_of_the_repository_is_no_manual() {
        let folder = folder(&[("shop/a.rebuild", OUT_OF_LIMIT), ("shop/gudgeon.toml", "")]);
        fs::create_dir(folder.path().join("shop/manuals")).unwrap();
        symlink("../../bench.manual", folder.path().join("shop/manuals/bench.manual")).unwrap();
        let ran = run(folder.path(), &["inspect", "shop/a.rebuild", "--as", "line"]);
        assert!(ran.out.contains("[manual.faulty]"), "{}", ran.out);
        assert!(!ran.out.contains("limit.out"), "{}", ran.out);
        write(folder.path(), "shop/gudgeon.toml", "[manuals]\noutside = true\n");
        let ran = run(folder.path(), &["inspect", "shop/a.rebuild", "--as", "line"]);
        assert!(ran.out.contains("limit.out"), "{}", ran.out);
    }

    #[test]
    fn a_linked_log_is_judged() {
        let folder = folder(&[("kept/a.txt", OUT_OF_LIMIT)]);
        symlink("kept/a.txt", folder.path().join("a.rebuild")).unwrap();
        let ran = run(folder.path(), &["inspect", "--as", "line"]);
        assert!(ran.out.contains("a.rebuild:5:"), "{}{}", ran.out, ran.err);
    }

    #[test]
    fn a_pipe_does_not_make_it_hang() {
        let folder = folder(&[]);
        let pipe = folder.path().join("p.rebuild");
        let made = std::process::Command::new("mkfifo").arg(&pipe).status();
        if !made.is_ok_and(|status| status.success()) {
            return;
        }
        for args in [&["inspect"][..], &["inspect", "p.rebuild"], &["tidy", "p.rebuild"]] {
            let ran = run(folder.path(), args);
            assert_eq!(ran.code, Some(2));
            assert!(ran.err.contains("p.rebuild: not a plain file"), "{}", ran.err);
        }
    }

    #[test]
    fn a_file_without_permission_is_named() {
        use std::os::unix::fs::PermissionsExt;
        let folder = folder(&[("a.rebuild", IN_LIMIT)]);
        let path = folder.path().join("a.rebuild");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o000)).unwrap();
        if fs::read(&path).is_ok() {
            // Whoever may read everything cannot be refused.
            return;
        }
        let ran = run(folder.path(), &["inspect"]);
        assert_eq!(ran.code, Some(2));
        assert!(ran.err.contains("a.rebuild: no permission"), "{}", ran.err);
    }

    #[test]
    fn a_name_with_an_escape_in_it_is_shown_without() {
        let folder = folder(&[("a\u{1b}[31m\n.rebuild", OUT_OF_LIMIT)]);
        for form in ["text", "line", "json"] {
            let ran = run(folder.path(), &["inspect", "--as", form]);
            assert!(ran.out.contains("limit.out"));
            assert!(!ran.out.contains('\u{1b}'), "{form}: {:?}", ran.out);
        }
    }

    #[test]
    fn nobody_reads_on() {
        use std::io::Read;
        use std::process::Stdio;
        let folder = folder(&[]);
        for number in 0..300 {
            write(folder.path(), &format!("{number}.rebuild"), OUT_OF_LIMIT);
        }
        let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_gudgeon"))
            .current_dir(folder.path())
            .arg("inspect")
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut some = [0; 10];
        let mut out = child.stdout.take().unwrap();
        out.read_exact(&mut some).unwrap();
        drop(out);
        let output = child.wait_with_output().unwrap();
        assert_eq!(String::from_utf8_lossy(&output.stderr), "");
        // The findings were there, whether or not anybody read them.
        assert_eq!(output.status.code(), Some(1));
    }

    #[test]
    fn a_full_disk_is_no_success() {
        let folder = folder(&[("a.rebuild", IN_LIMIT)]);
        let Ok(full) = fs::OpenOptions::new().write(true).open("/dev/full") else {
            return;
        };
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_gudgeon"))
            .current_dir(folder.path())
            .arg("inspect")
            .stdout(full)
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(2));
        let err = String::from_utf8_lossy(&output.stderr);
        assert!(err.contains("could not print: the disk is full"), "{err}");
    }
}
