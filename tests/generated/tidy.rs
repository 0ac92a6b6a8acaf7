//! Laying out changes no verdict.

use gudgeon::syntax::FileKind;
use gudgeon::syntax::layout::tidy;
use proptest::prelude::*;

use super::generate::Dice;
use super::shop::{Shop, all_told, cases};

/// A text as it is written in a hurry: blanks where none are needed, at the ends of lines, none around a `=`.
fn hurried(text: &str, seed: u64) -> String {
    let mut dice = Dice::new(seed, 9, 0);
    let mut out = String::new();
    for line in text.lines() {
        let mut line = line.to_owned();
        if dice.chance(10) {
            let around = dice.pick(&["=", "  =   ", "= ", " ="]);
            line = line.replacen(" = ", around, 1);
        }
        if dice.chance(8) && !line.starts_with(' ') {
            line = line.replacen(' ', dice.pick(&["  ", "\t", "    "]), 1);
        }
        if dice.chance(8) {
            line.push_str(dice.pick(&[" ", "\t", "   "]));
        }
        if dice.chance(3) {
            line.push('\n');
        }
        out.push_str(&line);
        out.push('\n');
    }
    out
}

proptest! {
    #![proptest_config(cases(8))]

    #[test]
    fn a_log_is_tidied_once_and_judged_the_same(seed in any::<u64>(), lines in 40u64..300) {
        let shop = Shop::new(seed, lines, 15);
        let text = hurried(&shop.log, seed);
        let laid = tidy(&text, FileKind::Log);
        prop_assert_eq!(&tidy(&laid, FileKind::Log), &laid);
        prop_assert_eq!(all_told(&shop.judge(&laid)), all_told(&shop.judge(&text)));
    }

    #[test]
    fn a_manual_is_tidied_once_and_judged_the_same(seed in any::<u64>()) {
        let shop = Shop::new(seed, 10, 15);
        for (name, text) in shop.manuals.iter().take(4) {
            let name = format!("{name}.manual");
            let text = hurried(text, seed);
            let laid = tidy(&text, FileKind::Manual);
            prop_assert_eq!(&tidy(&laid, FileKind::Manual), &laid);
            let judged = |text: &str| all_told(&shop.inspect(FileKind::Manual, &name, text));
            prop_assert_eq!(judged(&laid), judged(&text));
        }
    }

    /// A log says the same by manuals that were laid out.
    #[test]
    fn a_log_is_judged_the_same_by_tidied_manuals(seed in any::<u64>()) {
        let shop = Shop::new(seed, 200, 15);
        let before = all_told(&shop.judge(&shop.log));
        let tidied = shop.manuals.iter().map(|(name, text)| (name.clone(), tidy(&hurried(text, seed), FileKind::Manual)));
        let tidied = shop.with(tidied.collect());
        prop_assert_eq!(all_told(&tidied.judge(&shop.log)), before);
    }
}
