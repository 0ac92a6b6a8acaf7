//! Repositories of invented rebuild logs, by a seed: what benchmarks run on, and what properties are held against.
//!
//! The logs are of many machines and several kinds of jobs; names, words and figures vary, and about one line in fifty has a mistake of the kind that is made
//! at a bench. The same arguments give the same bytes on every machine. Nothing here knows what Gudgeon says of it.
#![allow(dead_code, unused_imports)]

mod dice;
mod figures;
mod jobs;
mod logs;
mod manuals;
mod model;
mod pad;
mod parts;
mod readings;
mod steps;
mod words;

use std::fs::{self, File};
use std::io::{self, BufWriter, Write as _};
use std::path::Path;

pub use dice::Dice;
pub use logs::Log;
use model::Model;

/// A repository to be written.
#[derive(Clone, Copy, Debug)]
pub struct Repository {
    /// How many logs.
    pub files: u64,
    /// How many lines each has.
    pub lines: u64,
    /// What makes it this one and no other.
    pub seed: u64,
}

impl Repository {
    /// How many models it has manuals of.
    pub fn models(&self) -> u64 {
        (self.files / 40).clamp(12, 60)
    }

    /// One of its logs.
    pub fn log(&self, number: u64) -> Log {
        Log {
            seed: self.seed,
            number,
            models: self.models(),
            lines: self.lines,
            mistakes: logs::MISTAKES,
        }
    }

    /// Its manuals: names of files without `.manual`, and texts.
    pub fn manuals(&self) -> Vec<(String, String)> {
        let house = (manuals::HOUSE.to_owned(), manuals::house());
        let models = (0..self.models()).map(|number| {
            let model = Model::new(self.seed, number);
            (model.file.clone(), manuals::manual(&model))
        });
        std::iter::once(house).chain(models).collect()
    }

    /// Writes it to a folder: settings, manuals, and the logs in folders of a hundred, one after another.
    pub fn write(&self, folder: &Path) -> io::Result<()> {
        fs::create_dir_all(folder.join("manuals"))?;
        fs::write(
            folder.join("gudgeon.toml"),
            "# What holds for every log of the shop.\nfail-on = \"fault\"\n",
        )?;
        for (name, text) in self.manuals() {
            fs::write(folder.join("manuals").join(format!("{name}.manual")), text)?;
        }
        for number in 0..self.files {
            let log = self.log(number);
            let shelf = folder.join(format!("{:03}", number / 100));
            if number.is_multiple_of(100) {
                fs::create_dir_all(&shelf)?;
            }
            let mut file = BufWriter::new(File::create(shelf.join(log.file()))?);
            log.write(&mut file)?;
            file.flush()?;
        }
        Ok(())
    }
}
