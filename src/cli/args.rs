//! What may be written on the command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use super::trend::TrendArgs;
use crate::judge::Severity;

/// Reads rebuild logs by the workshop manual: every reading against its limit, every sum worked again, every step that is
/// missing or overtaken named.
#[derive(Parser)]
#[command(
    name = "gudgeon",
    version = crate::VERSION,
    after_help = "A log ends in .rebuild, a manual in .manual.\n\
                  Exit codes: 0 all in order, 1 something found, 2 something could not be done.\n\
                  Example: gudgeon inspect logs"
)]
pub struct Arguments {
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Subcommand)]
pub enum Command {
    Inspect(InspectArgs),
    Next(NextArgs),
    Report(ReportArgs),
    Trend(TrendArgs),
    Costs(CostsArgs),
    Tidy(TidyArgs),
    Start(StartArgs),
    Why(WhyArgs),
    Reckon(ReckonArgs),
    Shelf(ShelfArgs),
    Serve(ServeArgs),
    Completions(CompletionsArgs),
    Manpages(ManpagesArgs),
}

/// Judge logs and manuals
#[derive(Args)]
#[command(
    after_help = "Exit codes: 0 nothing found at or above --fail-on, 1 something found, 2 something could not be read, \
                  or no log and no manual was there.\n\
                  Folders are searched with all folders in them; hidden files, what .gitignore names, and linked folders \
                  are left out.\n\
                  Example: gudgeon inspect logs --as line --fail-on doubt\n\
                  Example: gudgeon inspect --since main --as sarif > findings.sarif"
)]
pub struct InspectArgs {
    /// Logs, manuals and folders; - is standard input; without any, the folder you are in
    #[arg(value_name = "PATH")]
    pub paths: Vec<PathBuf>,

    /// What standard input is to be called; the ending says whether it is a log or a manual, and manuals are looked for
    /// from its folder
    #[arg(long, value_name = "NAME")]
    pub name: Option<PathBuf>,

    /// How to write the findings
    #[arg(long = "as", value_enum, value_name = "FORM", default_value_t = Form::Text)]
    pub form: Form,

    /// The least severity that makes the exit code 1; without it, what gudgeon.toml says, else fault
    #[arg(long, value_enum, value_name = "SEVERITY")]
    pub fail_on: Option<FailOn>,

    /// Findings that are known and do not make the exit code 1: a file that --write-baseline wrote; without it, the one
    /// that gudgeon.toml names
    #[arg(long, value_name = "FILE", conflicts_with = "no_baseline")]
    pub baseline: Option<PathBuf>,

    /// Go without the baseline that gudgeon.toml names
    #[arg(long)]
    pub no_baseline: bool,

    /// Write down all that is found as known; what the file knows of files that are not judged now is kept
    #[arg(long, value_name = "FILE", conflicts_with_all = ["baseline", "no_baseline"])]
    pub write_baseline: Option<PathBuf>,

    /// Judge only what differs from a commit, branch or tag, committed or not, and what rests on a manual or on settings
    /// that do; asks git
    #[arg(long, value_name = "REV", allow_hyphen_values = true)]
    pub since: Option<String>,

    /// Whether to colour; auto does so on a terminal, unless NO_COLOR is set
    #[arg(long, alias = "color", value_enum, value_name = "WHEN", default_value_t = Colour::Auto)]
    pub colour: Colour,

    /// How many files to judge at a time; without it, as many as there are processors
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub jobs: Option<u16>,

    /// Print the JSON Schema of --as json, and judge nothing
    #[arg(long)]
    pub schema: bool,
}

/// How findings are written.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Form {
    /// For people: the line, the place, the limit, what to do
    Text,
    /// One line each: path:line:column: severity[code] message; columns count characters, from 1
    Line,
    /// For programs; --schema prints its shape
    Json,
    /// For code hosts and viewers: SARIF 2.1.0
    Sarif,
    /// For the view of tests of a CI service: JUnit XML
    Junit,
}

/// A severity on the command line.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FailOn {
    /// Only what can hurt someone
    Danger,
    /// Also a wrong record, or a reading out of limit
    Fault,
    /// Also what is not proven, or probably a slip
    Doubt,
    /// Also what is still to do
    Open,
}

impl FailOn {
    /// The severity it stands for.
    pub fn severity(self) -> Severity {
        match self {
            FailOn::Danger => Severity::Danger,
            FailOn::Fault => Severity::Fault,
            FailOn::Doubt => Severity::Doubt,
            FailOn::Open => Severity::Open,
        }
    }
}

/// When to colour.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal, unless NO_COLOR is set
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

/// What is to be done next: what to stop for, put right, wait for, order, read again and do
#[derive(Args)]
#[command(
    after_help = "Steps stand in the order their procedures allow, with the reason for each and what its line is to say.\n\
                  Exit codes: 0 nothing is left to do, 1 something is, 2 a log could not be read.\n\
                  Example: gudgeon next bottom-end.rebuild"
)]
pub struct NextArgs {
    /// Logs
    #[arg(value_name = "FILE", required_unless_present = "schema")]
    pub paths: Vec<PathBuf>,

    /// How to write it
    #[arg(long = "as", value_enum, value_name = "FORM", default_value_t = WhyForm::Text)]
    pub form: WhyForm,

    /// As it stood then: only the log's lines up to this one, or its days up to this date
    #[arg(long, value_name = "LINE|DATE")]
    pub at: Option<String>,

    /// Print the JSON Schema of --as json, and judge nothing
    #[arg(long)]
    pub schema: bool,
}

/// Write a job down for the machine's owner, or the readings of logs as a table
#[derive(Args)]
#[command(
    after_help = "As html or markdown each log is a report of its own: one is printed, or written with --out; several go into a folder. As csv or json there is one row \
                  a figure, of all logs together; grammar/READINGS.md says what each column holds. A file that is no earlier report is never written over.\n\
                  Exit codes: 0 done, 2 something could not be read or written, or no log was there.\n\
                  Example: gudgeon report samples/corrected/corvane-250-crank.rebuild --out crank.html\n\
                  Example: gudgeon report samples --as csv"
)]
pub struct ReportArgs {
    /// Logs, and folders to search for logs
    #[arg(value_name = "PATH", required_unless_present_any = ["schema", "page"])]
    pub paths: Vec<PathBuf>,

    /// How to write it
    #[arg(long = "as", value_enum, value_name = "FORM", default_value_t = ReportForm::Html)]
    pub form: ReportForm,

    /// Write to this file; of several logs to this folder, each under the name of its log
    #[arg(long, value_name = "FILE|FOLDER")]
    pub out: Option<PathBuf>,

    /// Units of html and markdown; without it as gudgeon.toml says, else as they were written
    #[arg(long, value_enum, value_name = "UNITS")]
    pub units: Option<UnitsWanted>,

    /// Decimal mark of html and markdown; without it as gudgeon.toml says, else the point
    #[arg(long, value_enum, value_name = "MARK")]
    pub decimal: Option<MarkWanted>,

    /// Photos of html and markdown; without it as gudgeon.toml says, else in the page
    #[arg(long, value_enum, value_name = "HOW")]
    pub photos: Option<PhotosWanted>,

    /// Other logs, and folders of them, to tell the machine's wear over its jobs by, in html; may be given several times
    #[arg(long, value_name = "PATH")]
    pub history: Vec<PathBuf>,

    /// Print the JSON Schema of --as json, and read nothing
    #[arg(long)]
    pub schema: bool,

    /// Print what each column of csv and json holds on one page of Markdown, and read nothing
    #[arg(long)]
    pub page: bool,
}

/// How reports are written.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ReportForm {
    /// One page with everything in it, for people
    Html,
    /// The same as plain text with marks
    Markdown,
    /// The readings as a table for spreadsheets and data frames
    Csv,
    /// The readings for programs; --schema prints its shape
    Json,
}

/// Units on the command line.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum UnitsWanted {
    /// As they were written
    Written,
    /// mm, N·m, bar, °C
    Metric,
    /// in, lbf·ft, psi, °F
    Inch,
}

/// A decimal mark on the command line.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum MarkWanted {
    /// 0.40
    Point,
    /// 0,40
    Comma,
}

/// What becomes of photos.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PhotosWanted {
    /// In the page, made small
    Embed,
    /// As links beside it
    Link,
    /// Only their names
    None,
}

/// Lay files out neatly, in place
#[derive(Args)]
#[command(
    after_help = "A file that is tidy already is not touched. Only the layout changes, never a word or a figure.\n\
                  Exit codes: 0 done, 1 with --dry something would change, 2 something could not be read or written.\n\
                  Example: gudgeon tidy logs --dry"
)]
pub struct TidyArgs {
    /// Logs, manuals and folders; - is standard input, written to standard output; without any, the folder you are in
    #[arg(value_name = "PATH")]
    pub paths: Vec<PathBuf>,

    /// What standard input is to be called; the ending says whether it is a log or a manual
    #[arg(long, value_name = "NAME")]
    pub name: Option<PathBuf>,

    /// Show what would change, and change nothing
    #[arg(long)]
    pub dry: bool,
}

/// Begin a new log from a manual
#[derive(Args)]
#[command(
    after_help = "The log has the head, the steps and the readings to fill in. A file that exists is never written over.\n\
                  Exit codes: 0 done, 2 no such manual, or the file could not be written.\n\
                  Example: gudgeon start 'pressed crank' --out bottom-end.rebuild"
)]
pub struct StartArgs {
    /// Name of the manual: one beside the log, in a manuals folder, or on the shelf
    pub manual: String,

    /// Write the log to this file; without it, it is printed
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
}

/// Explain a finding by its code, or a figure by where it stands
#[derive(Args)]
#[command(
    after_help = "A figure is shown as it was read, with what was corrected, where its uncertainty comes from, and what is decided by it.\n\
                  Exit codes: 0 done, 2 no such code, no figure there, or the log could not be read.\n\
                  Example: gudgeon why limit.out\n\
                  Example: gudgeon why job.rebuild:23\n\
                  Example: gudgeon why job.rebuild 'piston clearance'"
)]
pub struct WhyArgs {
    /// The code, such as limit.out; or its first word, for all codes of that family; or a log, FILE.rebuild, for all its figures, or FILE.rebuild:LINE for
    /// those of a line; without it, all codes
    #[arg(value_name = "CODE|FILE[:LINE]")]
    pub subject: Option<String>,

    /// Only figures of this name
    #[arg(value_name = "FEATURE")]
    pub feature: Option<String>,

    /// How to write figures
    #[arg(long = "as", value_enum, value_name = "FORM", default_value_t = WhyForm::Text)]
    pub form: WhyForm,

    /// Print the JSON Schema of figures --as json, and explain nothing
    #[arg(long)]
    pub schema: bool,

    /// Print every code on one page of Markdown
    #[arg(long)]
    pub page: bool,
}

/// How figures are written.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum WhyForm {
    /// For people
    Text,
    /// For programs; --schema prints its shape
    Json,
}

/// Work a sum out at the bench, or list the functions of the trade
#[derive(Args)]
#[command(
    after_help = "A sum may end in the unit it is wanted in. A range, as 0.12 to 0.20, may stand for an argument. The name of a function alone explains it.\n\
                  Exit codes: 0 done, 2 a sum cannot be worked.\n\
                  Example: gudgeon reckon 'ignition angle(1.8 mm, stroke = 54 mm, rod = 105 mm)'\n\
                  Example: gudgeon reckon 'press force(0.06 mm, diameter = 22 mm, outside = 60 mm, length = 18 mm, friction = 0.12 to 0.20) in t'"
)]
pub struct ReckonArgs {
    /// Sums, each in quotes; without any, all functions are listed
    #[arg(value_name = "SUM")]
    pub sums: Vec<String>,

    /// How to write the results; as json without a sum, sums are read from standard input, one a line
    #[arg(long = "as", value_enum, value_name = "FORM", default_value_t = WhyForm::Text)]
    pub form: WhyForm,

    /// Print the JSON Schema of --as json, and work nothing
    #[arg(long)]
    pub schema: bool,

    /// Print every function on one page of Markdown
    #[arg(long)]
    pub page: bool,
}

/// List or print the built-in manuals
#[derive(Args)]
#[command(after_help = "Exit codes: 0 done, 2 no such manual.\n\
                  Example: gudgeon shelf 'pressed crank'")]
pub struct ShelfArgs {
    /// Name of the manual to print; without it, all are listed
    pub name: Option<String>,
}

/// Serve an editor over the Language Server Protocol, on standard input and output
#[derive(Args)]
#[command(
    after_help = "Editors start it themselves; editors/README.md says how to set each of them up.\n\
                  Exit codes: 0 after `shutdown` and `exit`, 1 if the editor went away without, 2 if what it sent was no message.\n\
                  Example: gudgeon serve"
)]
pub struct ServeArgs {
    /// The only way there is; taken since some editors say so
    #[arg(long)]
    pub stdio: bool,
}

/// What a job costs: what was paid, what is still to come, what is on order since when
#[derive(Args)]
#[command(
    after_help = "Money of each currency stands by itself. As csv and json figures are exact; as text they are rounded to the currency's cents.\n\
                  Exit codes: 0 done, 2 a log could not be read.\n\
                  Example: gudgeon costs bottom-end.rebuild\n\
                  Example: gudgeon costs bottom-end.rebuild --as csv"
)]
pub struct CostsArgs {
    /// Logs
    #[arg(value_name = "FILE", required_unless_present = "schema")]
    pub paths: Vec<PathBuf>,

    /// How to write it
    #[arg(long = "as", value_enum, value_name = "FORM", default_value_t = CostsForm::Text)]
    pub form: CostsForm,

    /// As it stood then: only the log's lines up to this one, or its days up to this date
    #[arg(long, value_name = "LINE|DATE")]
    pub at: Option<String>,

    /// Print the JSON Schema of --as json, and reckon nothing
    #[arg(long)]
    pub schema: bool,
}

/// How costs are written.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CostsForm {
    /// For people
    Text,
    /// For programs; --schema prints its shape
    Json,
    /// For a spreadsheet: a row a line of costs, of all the logs
    Csv,
}

/// Print what makes a shell complete the words of this program
#[derive(Args)]
#[command(
    after_help = "Where it goes, for you alone; the shell reads it when it is started the next time:\n\
                  bash        ~/.local/share/bash-completion/completions/gudgeon\n\
                  zsh         a file _gudgeon in a folder of $fpath\n\
                  fish        ~/.config/fish/completions/gudgeon.fish\n\
                  elvish      at the end of ~/.config/elvish/rc.elv\n\
                  powershell  at the end of the file that $PROFILE names\n\
                  Exit codes: 0 done, 2 no such shell.\n\
                  Example: gudgeon completions bash > gudgeon.bash"
)]
pub struct CompletionsArgs {
    /// The shell
    #[arg(value_name = "SHELL")]
    pub shell: clap_complete::Shell,
}

/// Write the manual pages of this program, one for each command
#[derive(Args)]
#[command(
    after_help = "Pages of an earlier version are written over, each whole or not at all; other files are left alone. To read one: man ./gudgeon.1. To have them found \
                  by their names, write them to ~/.local/share/man/man1.\n\
                  Exit codes: 0 done, 2 a page could not be written.\n\
                  Example: gudgeon manpages man1"
)]
pub struct ManpagesArgs {
    /// The folder to write to; it is made where it is missing
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
}
