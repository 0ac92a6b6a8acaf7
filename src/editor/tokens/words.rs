//! Names, figures and details as words, for logs and manuals alike.

use super::{Marks, Token, TokenKind};
use crate::calc::Rulebook;
use crate::model::names::key;
use crate::quantity::unit;
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Detail, DetailKind, Figure, Subject, Value};

/// Gathers the words of an entry.
pub(super) struct Words<'a> {
    pub text: &'a str,
    pub rules: &'a Rulebook,
    pub list: Vec<Token>,
    /// What marks the figures that follow.
    pub figures: Marks,
}

impl<'a> Words<'a> {
    pub fn new(text: &'a str, rules: &'a Rulebook) -> Words<'a> {
        Words {
            text,
            rules,
            list: Vec::new(),
            figures: Marks::default(),
        }
    }

    /// A word of a kind.
    pub fn put(&mut self, span: Span, kind: TokenKind) {
        self.list.push(Token::new(span, kind));
    }

    /// A word of a kind with what is known of it.
    pub fn mark(&mut self, span: Span, kind: TokenKind, marks: Marks) {
        self.list.push(Token { span, kind, marks });
    }

    /// Several of a kind.
    pub fn all(&mut self, spans: &[Span], kind: TokenKind) {
        for span in spans {
            self.put(*span, kind);
        }
    }

    /// Whether a manual of the book is built in.
    fn on_shelf(&self, manual: usize) -> bool {
        let entry = self.rules.book.manuals.get(manual);
        entry.is_some_and(|entry| entry.on_shelf)
    }

    /// What the book knows of a feature by its name.
    pub fn of_feature(&self, name: Span) -> Marks {
        let book = &self.rules.book;
        let feature = book
            .feature(&key(name.text(self.text)))
            .and_then(|id| book.features.get(id));
        feature.map_or_else(Marks::default, |feature| Marks {
            default_library: self.on_shelf(feature.manual),
            readonly: feature.calc.is_some(),
            ..Marks::default()
        })
    }

    /// What the book knows of a step by its name.
    pub fn of_step(&self, name: Span) -> Marks {
        let book = &self.rules.book;
        let step = book.step_id(&key(name.text(self.text))).and_then(|id| book.step(id));
        Marks {
            default_library: step.is_some_and(|step| self.on_shelf(step.manual)),
            ..Marks::default()
        }
    }

    pub fn feature(&mut self, name: Span) {
        let marks = self.of_feature(name);
        self.mark(name, TokenKind::Property, marks);
    }

    pub fn step(&mut self, name: Span) {
        let marks = self.of_step(name);
        self.mark(name, TokenKind::Function, marks);
    }

    pub fn steps(&mut self, names: &[Span]) {
        for name in names {
            self.step(*name);
        }
    }

    /// A manual that is named.
    pub fn manual(&mut self, name: Span, but: Option<&str>) {
        let found = super::super::links::manual_named(&self.rules.book, name.text(self.text), but);
        let marks = Marks {
            default_library: found.is_some_and(|entry| entry.on_shelf),
            ..Marks::default()
        };
        self.mark(name, TokenKind::Namespace, marks);
    }

    /// A feature with its part and place.
    pub fn subject(&mut self, subject: &Subject) {
        self.feature(subject.feature);
        self.where_(subject);
    }

    /// The part and the place of a subject.
    pub fn where_(&mut self, subject: &Subject) {
        for (span, kind) in [(subject.part, TokenKind::Class), (subject.place, TokenKind::Parameter)] {
            if let Some(span) = span {
                self.put(span, kind);
            }
        }
    }

    pub fn subjects(&mut self, subjects: &[Subject]) {
        for subject in subjects {
            self.subject(subject);
        }
    }

    /// A figure with its unit.
    pub fn amount(&mut self, amount: &Amount) {
        self.mark(amount.number, TokenKind::Number, self.figures);
        self.unit(amount.unit);
    }

    pub fn unit(&mut self, unit: Option<Span>) {
        if let Some(unit) = unit {
            self.put(unit, TokenKind::Type);
        }
    }

    pub fn amounts<'b>(&mut self, amounts: impl IntoIterator<Item = &'b Amount>) {
        for amount in amounts {
            self.amount(amount);
        }
    }

    /// Whatever stands as a value.
    pub fn figure(&mut self, figure: &Figure) {
        match &figure.value {
            Value::Empty => {}
            Value::Words(words) => {
                // A unit in front of a table, or no figure at all.
                let is_unit = unit::find(words.text(self.text), None).is_some();
                self.put(*words, if is_unit { TokenKind::Type } else { TokenKind::String });
            }
            Value::Single(amount) | Value::Times(amount, _) => self.amount(amount),
            Value::Blades { go, no_go } => self.amounts(go.iter().chain(no_go)),
            Value::Range(a, b) | Value::PlusMinus(a, b) => self.amounts([a, b]),
            Value::Many(amounts) | Value::Stages(amounts) => self.amounts(amounts),
            Value::Ring(amounts, places) => {
                self.amounts(amounts);
                for place in places {
                    let is_angle = place.text(self.text).starts_with(|c: char| c.is_ascii_digit());
                    self.put(
                        *place,
                        if is_angle {
                            TokenKind::Number
                        } else {
                            TokenKind::Parameter
                        },
                    );
                }
            }
            Value::Sum { first, terms, result } => {
                self.amount(first);
                self.amounts(terms.iter().map(|(_, amount)| amount));
                self.amount(result);
            }
        }
        self.unit(figure.unit);
    }

    /// What is said behind the commas.
    pub fn details(&mut self, details: &[Detail]) {
        for detail in details {
            match &detail.kind {
                DetailKind::Tick(words)
                | DetailKind::Because(words)
                | DetailKind::Number(words)
                | DetailKind::OrderedAs(words) => self.put(*words, TokenKind::String),
                DetailKind::From(part) => self.put(*part, TokenKind::Class),
                DetailKind::Date { name, date } => {
                    if let Some(name) = name {
                        self.put(*name, TokenKind::Keyword);
                    }
                    self.put(*date, TokenKind::Namespace);
                }
                DetailKind::Amount {
                    name,
                    figure,
                    tool,
                    trailing,
                } => {
                    for (span, kind) in [
                        (name, TokenKind::Property),
                        (tool, TokenKind::Variable),
                        (trailing, TokenKind::String),
                    ] {
                        if let Some(span) = span {
                            self.put(*span, kind);
                        }
                    }
                    self.figure(figure);
                }
            }
        }
    }
}
