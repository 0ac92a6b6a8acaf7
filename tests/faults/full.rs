//! A disk that is really full.

use std::process::Command;

use super::{GUDGEON, scripts, skipped};

/// Code by which the script says that no disk could be had.
const NO_DISK: i32 = 77;

#[test]
fn on_a_full_disk_nothing_is_lost() {
    let ran = Command::new("sh").arg(scripts().join("full.sh")).arg(GUDGEON).output();
    let Some(ran) = ran.ok().filter(|_| cfg!(target_os = "linux")) else {
        return skipped("a full disk: only shown on Linux");
    };
    let said = format!(
        "{}{}",
        String::from_utf8_lossy(&ran.stdout),
        String::from_utf8_lossy(&ran.stderr)
    );
    if ran.status.code() == Some(NO_DISK) {
        return skipped(&format!("a full disk: {}", said.trim()));
    }
    assert!(ran.status.success(), "{said}");
    assert!(said.contains("all five said so"), "{said}");
}
