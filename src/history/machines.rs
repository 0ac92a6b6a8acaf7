//! Which logs are of one machine.

use std::collections::BTreeMap;

use crate::judge::traces::Logged;
use crate::model::machine::Machine as Told;

/// The logs of one machine, by date.
#[derive(Debug)]
pub struct Group {
    /// As it is written in the earliest of them.
    pub name: String,
    /// Its model, as the latest of them has it.
    pub model: String,
    /// The key of that.
    pub model_key: String,
    /// The logs.
    pub logs: Vec<Logged>,
}

/// Puts logs together by their machines: two are of one machine if both say the same number of it (frame, engine, serial), and else if they write it
/// alike. Takes logs in order; what names no machine is left out, and said so.
pub fn groups(logs: Vec<Logged>, notes: &mut Vec<String>) -> Vec<Group> {
    let mut names: BTreeMap<String, Told> = BTreeMap::new();
    for name in logs.iter().filter_map(|log| log.machine.as_deref()) {
        let told = Told::new(name);
        names.entry(told.whole().to_owned()).or_insert(told);
    }
    let group_of = same(&names);
    let mut groups: Vec<Group> = Vec::new();
    // The place of each group in the list.
    let mut places: BTreeMap<usize, usize> = BTreeMap::new();
    for log in logs {
        let Some(name) = log.machine.clone() else {
            notes.push(format!(
                "{}: names no machine, and is left out: add a line `machine …`",
                log.path
            ));
            continue;
        };
        let number = group_of.get(Told::new(&name).whole()).copied().unwrap_or(0);
        let place = *places.entry(number).or_insert(groups.len());
        match groups.get_mut(place) {
            Some(group) => {
                group.model.clone_from(&log.model_name);
                group.model_key.clone_from(&log.model);
                group.logs.push(log);
            }
            None => groups.push(Group {
                name,
                model: log.model_name.clone(),
                model_key: log.model.clone(),
                logs: vec![log],
            }),
        }
    }
    groups
}

/// For each machine as it is written, a number of the machine that it is. One joins others only where it is one with each of them: a number that is said in
/// one log only must not tie two machines that differ.
fn same(names: &BTreeMap<String, Told>) -> BTreeMap<&str, usize> {
    let mut of: BTreeMap<&str, usize> = BTreeMap::new();
    let mut members: Vec<Vec<&Told>> = Vec::new();
    let mut by_number: BTreeMap<&(usize, String), Vec<usize>> = BTreeMap::new();
    for (whole, told) in names {
        let near = told
            .numbers()
            .iter()
            .filter_map(|number| by_number.get(number))
            .flatten();
        let mut near: Vec<usize> = near.copied().collect();
        near.sort_unstable();
        let is_one = |group: &usize| {
            members
                .get(*group)
                .is_some_and(|all| all.iter().all(|other| other.is(told)))
        };
        let group = near.into_iter().find(is_one).unwrap_or(members.len());
        match members.get_mut(group) {
            Some(all) => all.push(told),
            None => members.push(vec![told]),
        }
        for number in told.numbers() {
            by_number.entry(number).or_default().push(group);
        }
        of.insert(whole, group);
    }
    of
}
