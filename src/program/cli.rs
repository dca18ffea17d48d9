//! What can be typed: the commands and their options.

use std::{num::NonZero, path::PathBuf, str::FromStr};

use clap::{Args, Parser, Subcommand, ValueEnum};

/// Turns a planting project's folder into checked figures, maps and typeset reports.
///
/// Exit codes: 0 done, or the same · 1 the folder has errors, or something differs · 2 the command, or the file it names, was
/// not understood · 3 something could not be read or written.
#[derive(Debug, Parser)]
#[command(name = "hillfolio", version, arg_required_else_help = true)]
pub struct Cli {
    /// Say nothing but what was asked for and what went wrong
    #[arg(long, short, global = true)]
    pub quiet: bool,
    /// What to do
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Make a new project folder with starter files, each explained; or a folder of templates to change
    New {
        /// The folder to make
        folder: PathBuf,
        /// Fill it with the built-in templates and a page on what they find, for `build --templates`
        #[arg(long)]
        templates: bool,
    },
    /// List everything that is wrong with a project folder; write nothing
    Check(Check),
    /// Check a project folder, then write its documents, maps, layers, tables and one zip
    Build(Build),
    /// Build every project folder below a folder, and roll all of them up into one report
    Portfolio(Portfolio),
    /// Build the projects that are named on standard input, a line each
    #[command(hide = true)]
    PortfolioWorker,
    /// Make the field book: sheets to fill in on the hill, printed and as a workbook that is read back
    Sheets {
        /// The project folder
        folder: PathBuf,
        /// The new folder to write into; FOLDER-field-book beside FOLDER if left out
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
    },
    /// Print what the template of a document finds, as JSON, for whoever writes a template of their own
    Data {
        /// The project folder
        folder: PathBuf,
        /// The document
        document: Paper,
        /// The agreement whose document it is, where the place has several
        #[arg(long, value_name = "ID")]
        agreement: Option<String>,
    },
    /// Say how a figure came about: its method, equation, source and rows
    Explain {
        /// The project folder
        folder: PathBuf,
        /// The figure's id, such as survival.all, as printed in the report and in figures.json
        id: String,
    },
    /// Look whether a pack still says what its inputs give: sums, figures, documents
    Verify {
        /// The zip that a build wrote
        pack: PathBuf,
        /// Hold members against their sums and work nothing out again
        #[arg(long)]
        sums_only: bool,
        /// Hold the seal beside the pack (PACK.minisig) against this public key of the sender
        #[arg(long, value_name = "KEY.pub")]
        by: Option<PathBuf>,
        /// Set the documents again with templates that the sender wrote: they are programs, and may take long
        #[arg(long)]
        run_templates: bool,
        /// Say it as JSON, for programs
        #[arg(long)]
        json: bool,
    },
    /// Seal a pack with your secret key: whoever has the public one sees that it is yours, and unchanged
    Seal {
        /// The zip that a build wrote; the seal is put beside it, as PACK.minisig
        #[arg(required_unless_present = "new_key")]
        pack: Option<PathBuf>,
        /// Your secret key, in minisign's form
        #[arg(long, value_name = "KEY", required_unless_present = "new_key")]
        key: Option<PathBuf>,
        /// Make a secret key of this name, and beside it NAME.pub to hand out
        #[arg(long, value_name = "NAME", conflicts_with_all = ["pack", "key"])]
        new_key: Option<PathBuf>,
    },
    /// Say what changed between two years, each a pack, a project folder or a figures.json
    Compare {
        /// The earlier
        then: PathBuf,
        /// The later
        now: PathBuf,
        /// Say it as JSON, for programs
        #[arg(long)]
        json: bool,
    },
}

/// What can be typed behind `check`.
#[derive(Debug, Args)]
pub struct Check {
    /// The project folder
    pub folder: PathBuf,
    /// List it as JSON, for programs
    #[arg(long)]
    pub json: bool,
    /// Write a list of corrections to hand to whoever keeps the book: FILE.csv, FILE.pdf to print, or FILE.xlsx to answer in
    #[arg(long, value_name = "FILE", value_parser = list)]
    pub corrections: Option<PathBuf>,
    /// Write the answers of such a workbook, .xlsx or .ods, into project.toml and corrections.csv
    #[arg(long, value_name = "FILE", conflicts_with_all = ["corrections", "json"])]
    pub answers: Option<PathBuf>,
    /// Give project.toml and corrections.csv back as they were before the last answers
    #[arg(long, conflicts_with_all = ["corrections", "json", "answers"])]
    pub take_back: bool,
}

/// What can be typed behind `build`.
#[derive(Debug, Args)]
pub struct Build {
    /// The project folder
    pub folder: PathBuf,
    /// Where to write; FOLDER/out if left out
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Only these documents, with commas between them
    #[arg(long, value_delimiter = ',', value_name = "DOCUMENT")]
    pub only: Vec<Paper>,
    /// Templates of your own that take the place of those of the same name
    #[arg(long, value_name = "DIR")]
    pub templates: Option<PathBuf>,
    /// Make every photo small anew: use none that an earlier build kept, and keep none
    #[arg(long)]
    pub no_cache: bool,
}

/// The name of a file that a list can be written to.
fn list(name: &str) -> Result<PathBuf, String> {
    let path = PathBuf::from(name);
    let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
    match ending.to_ascii_lowercase().as_str() {
        "csv" | "pdf" | "xlsx" => Ok(path),
        _ => Err("a list of corrections is written as .csv, .pdf or .xlsx".to_owned()),
    }
}

/// What can be typed behind `portfolio`.
#[derive(Debug, Args)]
pub struct Portfolio {
    /// The folder that holds the projects, at any depth
    pub folder: PathBuf,
    /// Where to write; FOLDER/out if left out
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// The projects' folders, a path inside FOLDER on each line; found by search if left out
    #[arg(long, value_name = "FILE")]
    pub list: Option<PathBuf>,
    /// Only the I-th of N slices of the list, without the roll-up
    #[arg(long, value_name = "I/N")]
    pub slice: Option<Slice>,
    /// Build every project, those whose documents are current too
    #[arg(long)]
    pub force: bool,
    /// Build nothing; roll up what slices have built
    #[arg(long, conflicts_with_all = ["force", "slice"])]
    pub merge: bool,
    /// What the report of all projects calls them
    #[arg(long, value_name = "TEXT")]
    pub name: Option<String>,
    /// Read every file to tell whether it changed, and trust no date
    #[arg(long)]
    pub reread: bool,
    /// Worker processes; one for each processor if left out
    #[arg(long, value_name = "N")]
    pub workers: Option<NonZero<usize>>,
    /// Memory for all workers together, in megabytes; four fifths of what is free if left out
    #[arg(long, value_name = "MB")]
    pub memory: Option<NonZero<u64>>,
    /// Minutes that one project may take before it is given up and the others go on; 0 for as long as it takes
    #[arg(long, value_name = "MINUTES", default_value = "30")]
    pub limit: u32,
    /// Templates of your own that take the place of those of the same name
    #[arg(long, value_name = "DIR")]
    pub templates: Option<PathBuf>,
    /// Make every photo small anew: use none that an earlier build kept, and keep none
    #[arg(long)]
    pub no_cache: bool,
    /// Print the run log, a line of JSON for each project, instead of the summary
    #[arg(long)]
    pub json: bool,
    /// Build nothing; print the list of projects, or what a scheduler needs to build them in slices on many machines
    #[arg(long, value_enum, value_name = "WHAT")]
    pub print: Option<Print>,
    /// How many slices a scheduler is to build
    #[arg(long, value_name = "N", default_value = "8", requires = "print")]
    pub tasks: NonZero<usize>,
}

/// What can be printed of a portfolio.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Print {
    /// The projects' paths, a line each, as --list takes them
    List,
    /// A batch script for a Slurm job array
    Slurm,
    /// A manifest for a Kubernetes indexed Job
    Kubernetes,
}

/// One of N slices of a list: the first counts as 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Slice {
    /// Which.
    pub number: usize,
    /// Of how many.
    pub of: usize,
}

impl FromStr for Slice {
    type Err = &'static str;

    fn from_str(text: &str) -> Result<Slice, Self::Err> {
        let parts =
            text.split_once('/').and_then(|(number, of)| Some((number.parse().ok()?, of.parse().ok()?)));
        match parts {
            Some((number, of)) if (1..=of).contains(&number) => Ok(Slice { number, of }),
            _ => Err("a slice is written I/N, such as 3/8, with I from 1 to N"),
        }
    }
}

/// A document that can be asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Paper {
    /// The year-end acquittal for the funder
    Acquittal,
    /// The year's report on an offset for the consent authority
    Offset,
    /// The landholder's plan: rows, plants, calendar
    Plan,
    /// The statement by source of a place with several agreements
    Sources,
}
