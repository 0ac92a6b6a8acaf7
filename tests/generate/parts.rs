//! Parts ordered, waited for and come; ways to go, drawers, money.

use super::pad::Pad;
use super::words;

/// A part that is ordered.
pub struct Part<'a> {
    /// Its name.
    pub name: &'a str,
    /// The number on its bag; empty for none.
    pub number: String,
    /// How many.
    pub many: i64,
    /// What one costs, about.
    pub price: i64,
}

impl Pad<'_> {
    /// A number as on bags.
    pub fn number(&mut self) -> String {
        match self.dice.between(0, 3) {
            0 => format!("{}-{:02}", self.dice.between(1000, 9999), self.dice.between(1, 60)),
            1 => format!(
                "{}{}",
                self.dice.pick(&["RK-", "GS", "P-", "KB", "LS-"]),
                self.dice.between(10, 9999)
            ),
            2 => format!("{} C3", self.dice.step(6203, 6308, 1)),
            _ => format!(
                "{}x{}x{}",
                self.dice.between(12, 45),
                self.dice.between(46, 80),
                self.dice.between(5, 12)
            ),
        }
    }

    /// Orders parts, and has them come some days later; now and then one is waited for.
    pub fn buy(&mut self, parts: &[Part<'_>]) {
        for part in parts {
            let mut line = format!("ordered {}", part.name);
            let mut facts = Vec::new();
            if !part.number.is_empty() {
                facts.push(format!("number {}", part.number));
            }
            if part.many > 1 {
                facts.push(format!("quantity {}", part.many));
            }
            if self.dice.chance(70) {
                let price = part.price + self.dice.between(-part.price / 4, part.price / 4);
                facts.push(format!("price {price} {}", self.money));
                if self.dice.chance(15) {
                    facts.push(format!("post {} {}", self.dice.between(4, 12), self.money));
                }
                if self.dice.chance(12) {
                    facts.push(self.dice.pick(&["vat included", "vat 23 %", "net"]).to_owned());
                }
            }
            if self.dice.chance(20) {
                facts.push(format!("from {}", self.dice.pick(words::SUPPLIERS)));
            }
            if !facts.is_empty() {
                line.push_str(": ");
                line.push_str(&facts.join(", "));
            }
            self.put(&line);
        }
        let days = self.dice.between(3, 16);
        self.day(days, "goods in");
        for part in parts {
            if self.dice.chance(3) {
                let since = self.today();
                self.put(&format!("waiting for {}, since {since}", part.name));
                self.day(2, "goods in");
            }
            let mut facts = Vec::new();
            let is_wrong = self.slips();
            if !part.number.is_empty() {
                facts.push(format!("number {}{}", part.number, if is_wrong { "1" } else { "" }));
            }
            if part.many > 1 {
                facts.push(format!("quantity {}", part.many - i64::from(is_wrong)));
            }
            let facts = if facts.is_empty() {
                String::new()
            } else {
                format!(": {}", facts.join(", "))
            };
            self.put(&format!("got {}{facts}", part.name));
        }
        if self.dice.chance(15) {
            let (name, price) = (
                self.dice
                    .pick(&["labour", "post", "rebore", "cleaning", "hire of the press"]),
                self.dice.between(8, 140),
            );
            self.put(&format!("cost {name}: work {price} {}", self.money));
        }
    }

    /// Ways to go, and which was chosen.
    pub fn options(&mut self, part: &str, kit: i64) {
        let money = self.money;
        let here = format!(
            "option do it here: {part} {kit} {money}, seals and gaskets {} {money}, labour {} h at {} {money}",
            self.dice.between(20, 60),
            self.dice.between(4, 14),
            self.dice.between(15, 45)
        );
        self.put(&here);
        let more = format!(
            "  risk {} % of {} {money}, takes {} days, lasts {} h",
            self.dice.between(5, 20),
            kit + 40,
            self.dice.between(4, 21),
            self.dice.step(200, 500, 50)
        );
        self.put(&more);
        let out = format!(
            "option send out: {part} {kit} {money}, work {} {money}, post 2 x {} {money}",
            self.dice.between(80, 260),
            self.dice.between(8, 16)
        );
        self.put(&out);
        let more = format!(
            "  risk {} % of {} {money}, takes {} days, lasts {} h",
            self.dice.between(2, 6),
            kit + 40,
            self.dice.between(20, 40),
            self.dice.step(200, 500, 50)
        );
        self.put(&more);
        self.put("chose do it here over send out, because the press is free");
    }

    /// What lies in a drawer: so many sizes from `low` up.
    pub fn stock(&mut self, name: &str, low: i64, step: i64, many: i64) {
        let sizes: Vec<String> = (0..many)
            .map(|number| {
                let size = self.figure(low + number * step, 2);
                if number + 1 < many && self.dice.chance(20) {
                    format!("{size} x2")
                } else {
                    size
                }
            })
            .collect();
        self.put(&format!("stock {name}: {} mm", sizes.join(" ")));
    }
}
