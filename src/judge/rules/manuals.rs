//! A manual judged by itself: names that are not there, limits without a source, circles.

use rustc_hash::{FxHashMap, FxHashSet};

use crate::calc::Rulebook;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::model::manual::{Condition, ConditionKind, Manual, Named, NeverWhen, Target};
use crate::model::names::place_within;
use crate::model::stage::Stage;
use crate::syntax::{Span, nearest};

/// Checks the names of a manual against the book it stands first in. `own` is its model; the book holds it and what it extends.
pub fn check(own: &Manual, rules: &Rulebook, out: &mut Vec<Finding>) {
    for procedure in &own.procedures {
        for step in &procedure.steps {
            let steps = [
                &step.after,
                &step.directly_after,
                &step.then,
                &step.then_directly,
                &step.not_with,
            ];
            let waits = step.waits.iter().map(|wait| &wait.after);
            for other in steps.into_iter().flatten().chain(waits) {
                step_name(other, rules, out);
            }
            for condition in step.owed_if.iter().chain(&step.only_if) {
                condition_name(condition, rules, out);
            }
            clause_in_name(&step.name, rules, out);
            for need in &step.needs {
                precaution_name(need, rules, out);
            }
            for target in step
                .disturbs
                .iter()
                .chain(&step.reads)
                .chain(&step.until)
                .chain(&step.given)
                .chain(&step.expects)
            {
                feature_name(target, rules, out);
            }
        }
    }
    for procedure in &own.procedures {
        for other in procedure.one_of.iter().flat_map(|one_of| &one_of.steps) {
            step_name(other, rules, out);
        }
        for never in &procedure.nevers {
            for condition in &never.only_if {
                condition_name(condition, rules, out);
            }
            match &never.when {
                NeverWhen::Before(other) | NeverWhen::After(other) => step_name(other, rules, out),
                NeverWhen::Ever => {}
            }
        }
    }
    for feature in &own.features {
        for limit in feature.limits.iter().filter(|l| !l.stage.is_empty()) {
            stage_name(&limit.stage, limit.span, out);
        }
        for stage in feature.required.iter().filter(|s| !s.is_empty()) {
            stage_name(stage, feature.name.span, out);
        }
    }
    circles(own, out);
    without_source(own, out);
}

/// A stage that is nearly one of the known ones is misspelt; any other may be the workshop's own.
fn stage_name(stage: &str, span: Span, out: &mut Vec<Finding>) {
    if Stage::is_known(stage) {
        return;
    }
    let near = Stage::all().find(|known| strsim::osa_distance(known, stage) <= 2);
    if let Some(near) = near {
        let message = format!("`{stage}` is no stage that is known");
        out.push(unknown(span, message, Some(near), ""));
    }
}

/// Steps that come after each other in a circle: none of them could ever be the first. The first step of the first circle is told.
fn circles(own: &Manual, out: &mut Vec<Finding>) {
    for procedure in &own.procedures {
        let steps = &procedure.steps;
        let mut numbers: FxHashMap<&str, usize> = FxHashMap::default();
        for (number, step) in steps.iter().enumerate() {
            numbers.entry(&step.name.key).or_insert(number);
        }
        let after: Vec<Vec<usize>> = steps
            .iter()
            .map(|step| {
                let names = step.after.iter().chain(&step.directly_after);
                names
                    .filter_map(|name| numbers.get(name.key.as_str()).copied())
                    .collect()
            })
            .collect();
        let Some(step) = first_in_circle(&after).and_then(|number| steps.get(number)) else {
            continue;
        };
        let message = format!("step `{}` comes after itself", step.name.name);
        out.push(
            Finding::new("manual.circle", Severity::Fault, step.name.span, message)
                .label("its `after` leads back to it")
                .help("take one of the `after` clauses out"),
        );
        return;
    }
}

/// The lowest number in the first circle that is met by going from each number to those it names, lowest first. Each is gone through once, and not by recursion: a
/// manual may have any number of steps in a row.
fn first_in_circle(next: &[Vec<usize>]) -> Option<usize> {
    let mut is_done = vec![false; next.len()];
    for start in 0..next.len() {
        // The way here, each with how many of those it names have been tried.
        let mut way: Vec<(usize, usize)> = vec![(start, 0)];
        let mut on_way = FxHashSet::from_iter([start]);
        while let Some((at, tried)) = way.last_mut() {
            let (here, further) = (*at, next.get(*at).and_then(|next| next.get(*tried)).copied());
            *tried += 1;
            match further {
                Some(further) if on_way.contains(&further) => {
                    let circle = way.iter().rev().map(|(at, _)| *at);
                    let to_start = circle.clone().position(|at| at == further)?;
                    return circle.take(to_start + 1).min();
                }
                Some(further) if is_done.get(further) == Some(&false) => {
                    way.push((further, 0));
                    on_way.insert(further);
                }
                Some(_) => {}
                None => {
                    if let Some(done) = is_done.get_mut(here) {
                        *done = true;
                    }
                    on_way.remove(&here);
                    way.pop();
                }
            }
        }
    }
    None
}

fn unknown(span: Span, message: String, near: Option<&str>, otherwise: &str) -> Finding {
    let help = near.map_or_else(|| otherwise.to_owned(), |near| format!("`{near}` is near"));
    Finding::new("manual.unknown-name", Severity::Fault, span, message)
        .label("not known")
        .help(help)
}

/// A need that is nearly a precaution is one misspelt, and would ask for less than was meant.
fn precaution_name(need: &Named, rules: &Rulebook, out: &mut Vec<Finding>) {
    if rules.book.precaution(&need.key).is_some() {
        return;
    }
    let all = rules
        .book
        .precautions
        .iter()
        .flat_map(|p| std::iter::once(&p.name.key).chain(&p.also));
    let near = all.into_iter().find(|name| is_misspelt(&need.key, name));
    if let Some(near) = near {
        let message = format!("no precaution is called `{}`", need.name);
        out.push(unknown(need.span, message, Some(near), ""));
    }
}

/// Whether a name is another with a letter or two wrong: two only in a long one, so that `oiled` is not taken for `bled`.
fn is_misspelt(written: &str, meant: &str) -> bool {
    let allowed = match written.len() {
        0..5 => 0,
        5..8 => 1,
        _ => 2,
    };
    written.len() > 4 && strsim::osa_distance(written, meant) <= allowed
}

/// A clause word with a letter missing does not end the step's name, and its clause is lost in it.
fn clause_in_name(name: &Named, rules: &Rulebook, out: &mut Vec<Finding>) {
    const CLAUSES: &[&str] = &[
        "after", "needs", "disturbs", "reads", "until", "optional", "given", "renews", "uses", "then", "expects",
    ];
    // `heads` is near `reads`, too: only what stands before names of this manual was to be a clause.
    let words: Vec<&str> = name.key.split(' ').collect();
    let slip = words.iter().enumerate().skip(1).find_map(|(number, word)| {
        let near = CLAUSES.iter().find(|clause| is_misspelt(word, clause))?;
        let behind = words.get(number + 1..).unwrap_or(&[]).join(" ");
        let is_known = rules.book.feature(&behind).is_some()
            || rules.book.step_id(&behind).is_some()
            || rules.book.precaution(&behind).is_some()
            || (behind.is_empty() && *near == "optional");
        is_known.then_some((word, near))
    });
    if let Some((word, near)) = slip {
        let message = format!("`{word}` stands in the name of a step, so nothing behind it is a clause");
        out.push(unknown(name.span, message, Some(near), ""));
    }
}

/// The step or feature behind `if`.
fn condition_name(condition: &Condition, rules: &Rulebook, out: &mut Vec<Finding>) {
    match &condition.kind {
        ConditionKind::Did(step) | ConditionKind::NotDid(step) => {
            let named = Named {
                key: step.clone(),
                name: step.clone(),
                span: condition.span,
                manual: condition.manual,
            };
            step_name(&named, rules, out);
        }
        ConditionKind::Feature(target, _) => feature_name(target, rules, out),
        ConditionKind::Found(..) | ConditionKind::Got(_) => {}
    }
}

/// Whether a further unknown name is held against all that are known: not where so much is wrong already that nobody reads it.
fn is_compared(out: &[Finding]) -> bool {
    out.len() < MOST_COMPARED
}

/// Findings of a manual behind which unknown names are not compared any more.
const MOST_COMPARED: usize = 500;

fn step_name(name: &Named, rules: &Rulebook, out: &mut Vec<Finding>) {
    if rules.book.step_id(&name.key).is_none() {
        let near = is_compared(out)
            .then(|| nearest(&name.key, rules.book.step_names()))
            .flatten();
        let message = format!("no step is called `{}`", name.name);
        out.push(unknown(name.span, message, near, "add it as a `step` line"));
    }
}

fn feature_name(target: &Target, rules: &Rulebook, out: &mut Vec<Finding>) {
    if rules.book.feature(&target.feature).is_none() {
        let near = is_compared(out)
            .then(|| nearest(&target.feature, rules.book.feature_names()))
            .flatten();
        let message = format!("no feature is called `{}`", target.feature);
        out.push(unknown(target.span, message, near, "add it as a `feature` line"));
        return;
    }
    let feature = rules
        .book
        .feature(&target.feature)
        .and_then(|id| rules.book.features.get(id));
    let Some(feature) = feature else { return };
    for (what, said, listed) in [
        ("part", &target.part, &feature.parts),
        ("place", &target.place, &feature.places),
    ] {
        let Some(said) = said else { continue };
        let known = |n: &Named| place_within(&n.key, said) || place_within(said, &n.key);
        if !listed.is_empty() && !listed.iter().any(known) {
            let near = nearest(said, listed.iter().map(|n| n.key.as_str()));
            let message = format!("{} has no {what} `{said}`", feature.name.name);
            out.push(unknown(target.span, message, near, "add it to the `feature` line"));
        }
    }
}

/// Whose figure is it? Said once a manual.
fn without_source(own: &Manual, out: &mut Vec<Finding>) {
    let bare: Vec<&crate::model::manual::Feature> = own
        .features
        .iter()
        .filter(|f| f.limits.iter().any(|limit| limit.source.is_none()))
        .collect();
    let Some(first) = bare.first() else { return };
    let message = match bare.len() {
        1 => format!("the limit of {} has no source", first.name.name),
        count => format!(
            "the limits of {count} features have no source, {} is the first",
            first.name.name
        ),
    };
    out.push(
        Finding::new("manual.no-source", Severity::Doubt, first.name.span, message)
            .label("whose figure is it?")
            .help("add `, source page 41` behind the limit, or a `source` line at the head of the manual; a rule of thumb is `common practice`"),
    );
}

const LOG: &str = "job x\nmanual m\n2026-03-14 build\nweb width = 52.03 mm\n";
const FEATURE: &str = "manual m\nsource page 1\nfeature web width\n  build 51.90 to 52.05 mm\n";

const fn of(manual: &'static str) -> Example {
    Example { manual, log: LOG }
}

/// What these findings mean. They are findings of the manual, so the examples are judged as manuals.
pub const RULES: &[Rule] = &[
    Rule {
        code: "manual.unknown-name",
        severity: "fault, in the manual",
        says: "A step or a sum names something that neither this manual nor what it extends defines.",
        why: "The step or the sum is then not used as it was meant.",
        source: "the language reference",
        fires: of(
            "manual m\nsource page 1\nfeature web width\n  build 51.90 to 52.05 mm\nprocedure crank\n  step press together  disturbs web widht\n",
        ),
        clean: of(FEATURE),
    },
    Rule {
        code: "manual.no-source",
        severity: "doubt, in the manual",
        says: "Limits of a manual do not say where they come from.",
        why: "A year later nobody knows whether a figure was the maker's, the machinist's or a guess.",
        source: "common practice, no source",
        fires: of("manual m\nfeature web width\n  build 51.90 to 52.05 mm\n"),
        clean: of(FEATURE),
    },
    Rule {
        code: "manual.duplicate",
        severity: "doubt, in the manual",
        says: "A manual defines a feature, a limit or a step twice.",
        why: "The first counts. Whether that was meant, only the writer knows.",
        source: "the language reference",
        fires: of("manual m\nsource page 1\nfeature web width\n  build 51.90 to 52.05 mm\n  build 51.80 to 52.05 mm\n"),
        clean: of(FEATURE),
    },
    Rule {
        code: "manual.stray",
        severity: "fault, in the manual",
        says: "A line belongs to nothing: a limit under no feature, a step outside any procedure.",
        why: "It is not used.",
        source: "the language reference",
        fires: of("manual m\nsource page 1\nbuild 51.90 to 52.05 mm\nfeature web width\n  build 51.90 to 52.05 mm\n"),
        clean: of(FEATURE),
    },
    Rule {
        code: "manual.limit",
        severity: "fault, in the manual",
        says: "A limit runs backwards, has no unit, or mixes units of different kinds.",
        why: "Nothing can be judged by it.",
        source: "arithmetic",
        fires: of("manual m\nsource page 1\nfeature web width\n  build 52.05 to 51.90 mm\n"),
        clean: of(FEATURE),
    },
    Rule {
        code: "manual.decide",
        severity: "fault, in the manual",
        says: "A `decide` line names no rule of acceptance.",
        why: "Figures are then accepted by the rule of the repository, or plainly, which may not be what was meant.",
        source: "JCGM 106:2012, ISO 14253-1",
        fires: of("manual m\nsource page 1\ndecide guarded at 40 %\nfeature web width\n  build 51.90 to 52.05 mm\n"),
        clean: of("manual m\nsource page 1\ndecide guarded at 95 %\nfeature web width\n  build 51.90 to 52.05 mm\n"),
    },
    Rule {
        code: "unknown.material",
        severity: "fault, in the manual",
        says: "A feature is made of a material that is not known.",
        why: "How much it grows by heat is then not known either, and its readings cannot be brought to 20 °C.",
        source: "the table of materials",
        fires: of("manual m\nsource page 1\nfeature web width\n  material steal\n  build 51.90 to 52.05 mm\n"),
        clean: of("manual m\nsource page 1\nfeature web width\n  material steel\n  build 51.90 to 52.05 mm\n"),
    },
    Rule {
        code: "manual.no-reason",
        severity: "doubt, in the manual",
        says: "A precaution does not say what it keeps people from.",
        why: "Whoever is stopped by it must be told why.",
        source: "common practice, no source",
        fires: of("manual m\nprecaution gloves\n"),
        clean: of("manual m\nprecaution gloves\n  because hot parts burn\n"),
    },
    Rule {
        code: "manual.circle",
        severity: "fault, in the manual",
        says: "Steps of a procedure come after each other in a circle.",
        why: "None of them could ever be done first.",
        source: "the language reference",
        fires: of(
            "manual m\nsource page 1\nprocedure crank\n  step press in  after press together\n  step press together  after press in\n",
        ),
        clean: of(FEATURE),
    },
    Rule {
        code: "manual.cycle",
        severity: "fault, in the manual",
        says: "A manual extends itself, directly or through others.",
        why: "What it takes from itself is nothing; the circle is cut at the first return.",
        source: "the language reference",
        fires: of("manual m\nsource page 1\nextends m\nfeature web width\n  build 51.90 to 52.05 mm\n"),
        clean: of(FEATURE),
    },
    Rule {
        code: "manual.chain",
        severity: "fault, in the manual",
        says: "A manual extends others, and they others, up to more than 64.",
        why: "Nobody can tell any more what holds; the bound keeps a broken folder from taking all the time there is. Those named first are used.",
        source: "the language reference",
        fires: of(""),
        clean: of(FEATURE),
    },
    Rule {
        code: "calc.dimension",
        severity: "fault, in the manual",
        says: "A sum adds or compares things of different kinds, or gives another kind than its limit.",
        why: "A length plus a torque is nothing.",
        source: "arithmetic of dimensions",
        fires: of(
            "manual m\nsource page 1\nfeature web width\n  build 51.90 to 52.05 mm\ncalc odd = web width + 3 N·m\n",
        ),
        clean: of(FEATURE),
    },
    Rule {
        code: "calc.function",
        severity: "fault, in the manual",
        says: "A sum calls a function that does not exist, or with the wrong number of arguments.",
        why: "The sum is not used.",
        source: "the language reference",
        fires: of(
            "manual m\nsource page 1\nfeature web width\n  build 51.90 to 52.05 mm\ncalc odd = smalest(web width)\n",
        ),
        clean: of(FEATURE),
    },
    Rule {
        code: "calc.power",
        severity: "fault, in the manual",
        says: "A power is not a whole number from 1 to 9.",
        why: "A length to the power of a half has no dimension that a workshop knows; write `sqrt(…)`.",
        source: "the language reference",
        fires: of(
            "manual m\nsource page 1\nfeature web width\n  build 51.90 to 52.05 mm\ncalc odd = web width ^ 0.5\n",
        ),
        clean: of(FEATURE),
    },
    Rule {
        code: "calc.circle",
        severity: "fault, in the manual",
        says: "A derived feature is worked out from itself, or rests on more than 16 others, one behind the other.",
        why: "It never comes to a figure.",
        source: "arithmetic",
        fires: of("manual m\nsource page 1\ncalc a = b + 1 mm\ncalc b = a + 1 mm\n"),
        clean: of(FEATURE),
    },
];
