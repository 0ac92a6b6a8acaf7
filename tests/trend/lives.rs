//! Which readings are of one life.

use super::*;

#[test]
fn what_was_found_belongs_to_the_old_life_and_what_was_built_to_a_new_one() {
    let jobs = [
        job(
            "a",
            "100",
            "2026-01-10 service\nside play = 0.40 mm\nclosed 2026-01-10\n",
        ),
        job(
            "b",
            "200",
            "2026-03-10 as found\nside play = 0.62 mm\n2026-03-12 build\ndid press together\nside play = 0.42 mm\nclosed 2026-03-12\n",
        ),
        job(
            "c",
            "300",
            "2026-05-10 as found\nside play = 0.48 mm\nclosed 2026-05-10\n",
        ),
    ];
    let side_play = track(&history(&jobs), "side play");
    assert_eq!(figures(&side_play), [vec!["0.40", "0.62"], vec!["0.42", "0.48"]]);
    let begins: Vec<Option<&str>> = side_play
        .lives
        .iter()
        .map(|life| life.begins.as_ref().map(|begins| begins.why.as_str()))
        .collect();
    assert_eq!(begins, [None, Some("did press together, line 8")]);
}

#[test]
fn where_nothing_was_done_the_life_goes_on_even_into_a_stage_of_building() {
    let jobs = [
        job(
            "a",
            "100",
            "2026-01-10 as found\nside play = 0.40 mm\n2026-01-11 build\nside play = 0.41 mm\n",
        ),
        job("b", "200", "2026-03-10 test\nside play = 0.44 mm\n"),
    ];
    let side_play = track(&history(&jobs), "side play");
    assert_eq!(figures(&side_play), [["0.40", "0.41", "0.44"]]);
    // Of two readings of one job at one meter reading the later one counts.
    let counts: Vec<bool> = side_play.lives[0].spots.iter().map(|spot| spot.counts).collect();
    assert_eq!(counts, [false, true, true]);
}

#[test]
fn what_is_read_again_behind_any_work_is_new_or_reworked() {
    let jobs = [job(
        "a",
        "100",
        "2026-01-10 as found\nside play = 0.60 mm\n2026-01-12 build\ndid clean webs\nside play = 0.41 mm\n",
    )];
    assert_eq!(figures(&track(&history(&jobs), "side play")), [["0.60"], ["0.41"]]);
}

#[test]
fn what_was_disturbed_and_not_read_again_begins_anew_in_the_next_job() {
    let jobs = [
        job(
            "a",
            "100",
            "2026-01-10 as found\nside play = 0.60 mm\n2026-01-12 build\ndid press together\n",
        ),
        job("b", "200", "2026-03-10 as found\nside play = 0.44 mm\n"),
    ];
    let side_play = track(&history(&jobs), "side play");
    assert_eq!(figures(&side_play), [["0.60"], ["0.44"]]);
    // It is told with the log that says so, not with that of the reading.
    let begins = side_play.lives[1].begins.clone().unwrap();
    assert_eq!((begins.why.as_str(), begins.job), ("did press together, line 8", 0));
}

#[test]
fn a_step_that_no_manual_knows_and_a_part_to_be_replaced_end_the_life_they_name() {
    for work in [
        "did grind pin",
        "found pin: blue, replace",
        "did fit pieces, from pin kit",
    ] {
        let jobs = [
            job(
                "a",
                "100",
                &format!("2026-01-10 as found\npin size = 19.98 mm\nside play = 0.40 mm\n{work}\n"),
            ),
            job(
                "b",
                "200",
                "2026-03-10 as found\npin size = 20.00 mm\nside play = 0.44 mm\n",
            ),
        ];
        let history = history(&jobs);
        assert_eq!(figures(&track(&history, "pin size")), [["19.98"], ["20.00"]], "{work}");
        assert_eq!(figures(&track(&history, "side play")), [["0.40", "0.44"]], "{work}");
    }
}

#[test]
fn a_cylinder_that_was_honed_leaves_the_other_as_it_was() {
    let bores = |one: &str, two: &str| format!("bore of cylinder 1 = {one} mm\nbore of cylinder 2 = {two} mm\n");
    let jobs = [
        job(
            "a",
            "100",
            &format!(
                "2026-01-10 as found\n{}did hone bore, on cylinder 2\n",
                bores("54.01", "54.08")
            ),
        ),
        job(
            "b",
            "200",
            &format!(
                "2026-03-10 as found\n{}found piston of cylinder 2: scored, replace\n",
                bores("54.02", "54.01")
            ),
        ),
        job("c", "300", &format!("2026-05-10 as found\n{}", bores("54.03", "54.02"))),
    ];
    let history = history(&jobs);
    assert_eq!(
        figures(&track(&history, "bore of cylinder 1")),
        [["54.01", "54.02", "54.03"]]
    );
    let two = figures(&track(&history, "bore of cylinder 2"));
    assert_eq!(two[0], ["54.08"]);
    assert_eq!(two[1][0], "54.01");
}

/// A clearance is that of the parts as they were found, and again of the parts as they are built in; a new pin begins it anew.
#[test]
fn a_derived_feature_is_worked_out_before_the_work_and_behind_it() {
    let jobs = [
        job(
            "a",
            "100",
            "2026-01-10 as found\neye size = 20.03 mm\npin size = 19.99 mm\n",
        ),
        job(
            "b",
            "200",
            "2026-03-10 as found\neye size = 20.04 mm\npin size = 19.97 mm\n2026-03-11 goods in\ngot pin: number 12\npin size = 20.00 mm\n",
        ),
        job(
            "c",
            "300",
            "2026-05-10 as found\neye size = 20.05 mm\npin size = 19.99 mm\n",
        ),
    ];
    let history = history(&jobs);
    assert_eq!(
        figures(&track(&history, "pin clearance")),
        [["0.04", "0.07"], ["0.04", "0.06"]]
    );
    assert_eq!(figures(&track(&history, "eye size")), [["20.03", "20.04", "20.05"]]);
}

#[test]
fn a_meter_that_goes_back_was_changed_and_is_told() {
    let jobs = [
        job("a", "100", "2026-01-10 service\nside play = 0.40 mm\n"),
        job("b", "180", "2026-03-10 service\nside play = 0.44 mm\n"),
        job("c", "4", "2026-05-10 service\nside play = 0.46 mm\n"),
        job("d", "60", "2026-07-10 service\nside play = 0.50 mm\n"),
    ];
    let history = history(&jobs);
    assert_eq!(
        figures(&track(&history, "side play")),
        [["0.40", "0.44"], ["0.46", "0.50"]]
    );
    let notes = &history.machines[0].notes;
    assert!(notes.len() == 1 && notes[0].contains("from 180 to 4 h"), "{notes:?}");
}

#[test]
fn hours_and_kilometres_are_never_mixed() {
    let jobs = [
        job("a", "100", "2026-01-10 service\nside play = 0.40 mm\n"),
        job("b", "4000 km", "2026-03-10 service\nside play = 0.44 mm\n"),
        job("c", "180", "2026-05-10 service\nside play = 0.46 mm\n"),
    ];
    let history = history(&jobs);
    let life = &track(&history, "side play").lives[0];
    let meters: Vec<Option<f64>> = life.spots.iter().map(|spot| spot.meter).collect();
    assert_eq!(meters, [Some(100.0), None, Some(180.0)]);
    near(life.rate.as_ref().unwrap().best, 0.06 / 80.0, 1e-12);
    assert!(history.machines[0].notes[0].contains("never mixed"));
}

#[test]
fn one_log_over_years_is_parted_by_its_meter_lines() {
    let log = "2026-01-10 service\neye size = 20.03 mm\npin size = 19.99 mm\nside play = 0.40 mm\n\
               2026-05-10 service\nhours 150\neye size = 20.04 mm\npin size = 19.98 mm\nside play = 0.44 mm\n";
    let history = history(&[job("a", "100", log)]);
    assert_eq!(figures(&track(&history, "pin clearance")), [["0.04", "0.06"]]);
    near(
        track(&history, "side play").lives[0].rate.as_ref().unwrap().best,
        0.04 / 50.0,
        1e-12,
    );
}

#[test]
fn a_log_without_a_machine_or_a_date_is_told_and_ties_nothing() {
    let mut nameless = job("a", "100", "2026-01-10 service\nside play = 0.40 mm\n");
    nameless.machine = None;
    let undated = job("b", "200", "side play = 0.44 mm\n");
    let dated = job("c", "300", "2026-05-10 service\nside play = 0.46 mm\n");
    let history = history(&[nameless, undated, dated]);
    assert!(
        history.notes[0].starts_with("a: names no machine"),
        "{:?}",
        history.notes
    );
    let side_play = track(&history, "side play");
    let rate = &side_play.lives[0].rate;
    assert!(rate.as_ref().unwrap_err().starts_with("one reading"), "{rate:?}");
    assert!(history.machines[0].notes.iter().any(|note| note.contains("no date")));
}

#[test]
fn a_part_that_was_left_for_another_has_no_history() {
    let text =
        "2026-01-10 goods in\npin size of kit A = 20.00 mm\npin size of kit B = 20.01 mm\nchose kit A over kit B\n";
    let history = history(&[job("a", "100", text)]);
    let names: Vec<String> = history.machines[0].tracks.iter().map(Track::name).collect();
    assert_eq!(names, ["pin size of kit a"]);
}
