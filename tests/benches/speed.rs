//! Speed of what is done to a log: `cargo bench --bench speed`, `cargo bench --bench speed -- judge` for some of it. Lines a second stand beside the times.
//!
//! By divan: it counts lines a second by itself, and what moved between two states of the tree is told by instruction counts (`instructions.sh`), not by
//! statistics over a noisy clock.

#[path = "../generate/mod.rs"]
mod generate;
mod inputs;

use std::path::{Path, PathBuf};

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use gudgeon::workspace::discover::{discover, read};
use gudgeon::workspace::{Library, inspect};
use rayon::prelude::*;

use generate::Repository;
use inputs::{Logs, SEED, Typing, pages, tables};

fn main() {
    divan::main();
}

/// Logs of 500 lines, of several kinds of jobs.
const FILES: u64 = 24;

fn many() -> Logs {
    Logs::new(FILES, 500)
}

#[divan::bench]
fn parse_log(bencher: Bencher) {
    let logs = many();
    bencher
        .counter(ItemsCount::new(logs.lines()))
        .bench(|| black_box(&logs).read());
}

#[divan::bench]
fn parse_manual(bencher: Bencher) {
    let logs = many();
    let lines = ItemsCount::new(logs.lines_of_manuals());
    bencher.counter(lines).bench(|| black_box(&logs).read_manuals());
}

#[divan::bench]
fn judge(bencher: Bencher) {
    let logs = many();
    logs.judge();
    bencher
        .counter(ItemsCount::new(logs.lines()))
        .bench(|| black_box(&logs).judge());
}

#[divan::bench(args = [1_000, 10_000, 100_000], sample_count = 10)]
fn judge_one_log(bencher: Bencher, lines: u64) {
    let logs = Logs::new(1, lines);
    bencher
        .counter(ItemsCount::new(lines))
        .bench(|| black_box(&logs).judge());
}

#[divan::bench]
fn tidy(bencher: Bencher) {
    let logs = many();
    bencher
        .counter(ItemsCount::new(logs.lines()))
        .bench(|| black_box(&logs).tidy());
}

#[divan::bench]
fn report_html(bencher: Bencher) {
    let logs = many();
    let judged = logs.judged();
    bencher
        .counter(ItemsCount::new(logs.lines()))
        .bench(|| pages(black_box(&judged)));
}

#[divan::bench]
fn report_csv(bencher: Bencher) {
    let logs = many();
    let judged = logs.judged();
    bencher
        .counter(ItemsCount::new(logs.lines()))
        .bench(|| tables(black_box(&judged)));
}

/// A digit typed in the middle of a log.
mod keystroke {
    use super::{Bencher, Typing, black_box};

    const LINES: [u64; 3] = [500, 10_000, 100_000];

    #[divan::bench(args = LINES, sample_count = 20)]
    fn read_again(bencher: Bencher, lines: u64) {
        let typing = Typing::new(lines);
        bencher
            .with_inputs(|| typing.tree())
            .bench_values(|tree| black_box(&typing).read(tree));
    }

    #[divan::bench(args = LINES, sample_count = 20)]
    fn glance(bencher: Bencher, lines: u64) {
        let typing = Typing::new(lines);
        bencher.bench(|| black_box(&typing).glance());
    }

    #[divan::bench(args = LINES, sample_count = 20)]
    fn whole(bencher: Bencher, lines: u64) {
        let typing = Typing::new(lines);
        bencher
            .with_inputs(|| typing.tree())
            .bench_values(|tree| black_box(&typing).whole(tree));
    }
}

/// A folder of 200 logs of 500 lines, files found, read and judged.
#[divan::bench(args = [1, 2], sample_count = 10)]
fn repository(bencher: Bencher, threads: usize) {
    let folder = tempfile::tempdir().expect("a folder can be made");
    let repository = Repository {
        files: 200,
        lines: 500,
        seed: SEED,
    };
    repository.write(folder.path()).expect("it can be written");
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .build()
        .expect("threads can be started");
    let lines = ItemsCount::new(repository.files * repository.lines);
    bencher
        .counter(lines)
        .bench(|| pool.install(|| inspected(folder.path())));
}

/// Every file of a folder inspected by a library of its own: how many findings there are.
fn inspected(folder: &Path) -> usize {
    let library = Library::new();
    let found = discover(&[PathBuf::from(folder)]);
    let files = found.files.par_iter();
    files
        .map(|file| {
            let bytes = read(&file.path).expect("it was just written");
            inspect(&file.name, file.folder(), file.kind, bytes, &library)
                .findings
                .len()
        })
        .sum()
}
