//! What can be typed: the commands and their options.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};

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
    /// Make a new project folder with starter files, each explained
    New {
        /// The folder to make
        folder: PathBuf,
    },
    /// List everything that is wrong with a project folder; write nothing
    Check {
        /// The project folder
        folder: PathBuf,
        /// List it as JSON, for programs
        #[arg(long)]
        json: bool,
        /// Write a list of corrections to hand to whoever keeps the book: FILE.csv, or FILE.pdf to print
        #[arg(long, value_name = "FILE", value_parser = list)]
        corrections: Option<PathBuf>,
    },
    /// Check a project folder, then write its documents, maps, layers, tables and one zip
    Build {
        /// The project folder
        folder: PathBuf,
        /// Where to write; FOLDER/out if left out
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
        /// Only these documents, with commas between them
        #[arg(long, value_delimiter = ',', value_name = "DOCUMENT")]
        only: Vec<Paper>,
        /// Templates of your own that take the place of those of the same name
        #[arg(long, value_name = "DIR")]
        templates: Option<PathBuf>,
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
        /// Say it as JSON, for programs
        #[arg(long)]
        json: bool,
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

/// The name of a file that a list can be written to.
fn list(name: &str) -> Result<PathBuf, String> {
    let path = PathBuf::from(name);
    let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
    match ending.to_ascii_lowercase().as_str() {
        "csv" | "pdf" => Ok(path),
        _ => Err("a list of corrections is written as .csv or .pdf".to_owned()),
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
}
