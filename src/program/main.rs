//! Parses the command line, calls the library, prints what came of it and chooses the exit code.

use std::{
    env, io,
    io::Write,
    path::{self, Path, PathBuf},
    process::ExitCode,
    time::Duration,
};

use clap::Parser as _;
use hillfolio::{
    Failure, Order,
    cli::{self, Cli, Command, Paper, Print},
    console::{self, Bar, Listing, Progress},
    portfolio::{self, Build, Chosen, Elsewhere, Slice},
};
use hillfolio_core::problem::{Kind, Problem, Reading};
use hillfolio_documents::{pack, typeset::Document};

/// A large project is made in a sixth less memory and a tenth less time than with the system's own allocator.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// The folder has errors.
const ERRORS: u8 = 1;
/// A pack does not say what its inputs give, or two ledgers are not the same.
const DIFFERS: u8 = 1;
/// The command, or what it names, was not understood.
const USAGE: u8 = 2;
/// Something could not be read or written.
const NOT_WRITTEN: u8 = 3;

fn main() -> ExitCode {
    let cli = Cli::parse();
    match run(cli) {
        Ok(code) => ExitCode::from(code),
        // Whoever reads the output has closed it, as `| head` does: nothing is left to say.
        Err(why) if why.kind() == io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(_) => ExitCode::from(NOT_WRITTEN),
    }
}

fn run(cli: Cli) -> io::Result<u8> {
    match cli.command {
        Command::New { folder } => new(&folder, cli.quiet),
        Command::Check { folder, json, corrections } => {
            check(&folder, json, corrections.as_deref(), cli.quiet)
        }
        Command::Build { folder, out, only, templates, no_cache } => {
            let only = only.into_iter().map(document).collect();
            build(&Order { folder, out, only, templates, photo_cache: photo_cache(no_cache) }, cli.quiet)
        }
        Command::Explain { folder, id } => explain(&folder, &id),
        Command::Verify { pack, json } => verify(&pack, json, cli.quiet),
        Command::Compare { then, now, json } => compare(&then, &now, json),
        Command::Portfolio(asked) => portfolio(asked, cli.quiet),
        Command::PortfolioWorker => {
            portfolio::serve(io::stdin().lock(), io::stdout().lock(), &hillfolio::build_member)?;
            Ok(0)
        }
    }
}

fn portfolio(asked: cli::Portfolio, quiet: bool) -> io::Result<u8> {
    if let Some(what) = asked.print {
        return print(&asked, what);
    }
    let order = portfolio::Order {
        out: asked.out.unwrap_or_else(|| asked.folder.join("out")),
        root: asked.folder,
        list: asked.list,
        slice: asked.slice.map_or(Slice::WHOLE, |slice| Slice { number: slice.number, of: slice.of }),
        build: match (asked.force, asked.merge) {
            (true, _) => Build::All,
            (_, true) => Build::None,
            _ => Build::Due,
        },
        by_stamp: !asked.reread,
        workers: asked.workers,
        memory: asked.memory.map(|megabytes| megabytes.get().saturating_mul(1_000_000)),
        limit: (asked.limit > 0).then(|| Duration::from_secs(60 * u64::from(asked.limit))),
        templates: asked.templates,
        photo_cache: photo_cache(asked.no_cache),
        program: env::current_exe()?,
    };
    let bar = Bar::new(quiet || asked.json);
    let ran = portfolio::run(&order, &|event| match asked.json {
        // Whoever reads it may be gone; the run log holds the same.
        true => drop(writeln!(out(), "{}", event.line())),
        false => bar.says(event),
    });
    bar.done();
    let report = match ran {
        Ok(report) => report,
        Err(failure) => return not_gone_through(&failure),
    };
    // A slice knows nothing of the others; whoever merges them rolls up.
    let rolled_up = match order.slice {
        Slice::WHOLE => {
            portfolio::roll_up(&report, &order.out, asked.name.as_deref(), order.templates.as_deref())
        }
        _ => Ok(None),
    };
    let rolled_up = match rolled_up {
        Ok(rolled_up) => rolled_up,
        Err(failure) => return not_gone_through(&failure),
    };
    if !asked.json {
        let text = console::roster(&report, rolled_up.as_ref());
        match quiet {
            true if report.code() == 0 => {}
            true => write!(err(), "{text}")?,
            false => writeln!(out(), "{text}in {}", order.out.display())?,
        }
    }
    Ok(report.code())
}

/// Where photos made small are kept: in the folder that the system has for what a user's programs may lose.
fn photo_cache(none: bool) -> Option<PathBuf> {
    let folder = dirs::cache_dir().filter(|_| !none)?;
    Some(folder.join("hillfolio").join("photos"))
}

/// Prints the list of a portfolio, or what a scheduler needs.
fn print(asked: &cli::Portfolio, what: Print) -> io::Result<u8> {
    let (root, out_folder) = (path::absolute(&asked.folder)?, asked.out.clone());
    let out_folder = path::absolute(out_folder.unwrap_or_else(|| asked.folder.join("out")))?;
    let text = match what {
        Print::List => match Chosen::of(&root, &out_folder, asked.list.as_deref(), Slice::WHOLE) {
            Ok(chosen) => chosen.members.iter().map(|member| format!("{}\n", member.path)).collect(),
            Err(failure) => return not_gone_through(&failure),
        },
        Print::Slurm | Print::Kubernetes => {
            let elsewhere = Elsewhere {
                program: env::current_exe()?,
                root,
                out: out_folder,
                list: asked.list.as_deref().map(path::absolute).transpose()?,
                templates: asked.templates.as_deref().map(path::absolute).transpose()?,
                limit: asked.limit,
                no_cache: asked.no_cache,
                tasks: asked.tasks.get(),
            };
            if what == Print::Slurm { elsewhere.slurm() } else { elsewhere.kubernetes() }
        }
    };
    write!(out(), "{text}")?;
    Ok(0)
}

/// Says why a portfolio was not gone through.
fn not_gone_through(failure: &portfolio::Failure) -> io::Result<u8> {
    let code = not_written(failure, failure.help().as_deref())?;
    Ok(if matches!(failure, portfolio::Failure::NoProject { .. }) { ERRORS } else { code })
}

fn document(paper: Paper) -> Document {
    match paper {
        Paper::Acquittal => Document::Acquittal,
        Paper::Offset => Document::Offset,
        Paper::Plan => Document::Plan,
    }
}

fn new(folder: &Path, quiet: bool) -> io::Result<u8> {
    match pack::write_new(folder, pack::starter()) {
        Ok(()) if quiet => Ok(0),
        Ok(()) => {
            let folder = folder.display();
            writeln!(out(), "made {folder}; fill it, then: hillfolio check {folder}")?;
            Ok(0)
        }
        Err(failure) => not_written(&failure, failure.help()),
    }
}

fn check(folder: &Path, json: bool, corrections: Option<&Path>, quiet: bool) -> io::Result<u8> {
    let (problems, code) = match hillfolio::check(folder) {
        Ok(intake) => (intake.problems, 0),
        Err(problems) => (problems, ERRORS),
    };
    match json {
        true => write!(out(), "{}", console::as_json(&problems))?,
        false => write!(out(), "{}", Listing { problems: &problems, remarks: !quiet })?,
    }
    if let Some(list) = corrections {
        match hillfolio::write_corrections(folder, &problems, list) {
            Ok(count) if !quiet => writeln!(err(), "{count} corrections listed in {}", list.display())?,
            Ok(_) => {}
            Err(failure) => return not_written(&failure, failure.help()),
        }
    }
    Ok(code)
}

fn build(order: &Order, quiet: bool) -> io::Result<u8> {
    let progress = Progress::new(quiet);
    let outcome = hillfolio::build(order, &|doing| progress.says(doing));
    progress.done();
    match outcome {
        Ok(built) => {
            if !quiet {
                list(&built.problems)?;
                write!(out(), "{}", console::receipt(&built.receipt))?;
            }
            Ok(0)
        }
        Err(Failure::Folder(problems)) => {
            list(&problems)?;
            writeln!(err(), "nothing was written")?;
            Ok(ERRORS)
        }
        Err(failure) => not_written(&failure, failure.help()),
    }
}

fn explain(folder: &Path, id: &str) -> io::Result<u8> {
    match hillfolio::explain(folder, id) {
        Ok(Ok(explanation)) => {
            write!(out(), "{}", console::explanation(&explanation))?;
            Ok(0)
        }
        Ok(Err(nearest)) => {
            writeln!(err(), "no figure is called `{id}`")?;
            if !nearest.is_empty() {
                writeln!(err(), "nearest: {}", nearest.join(", "))?;
            }
            Ok(USAGE)
        }
        Err(problems) => {
            list(&problems)?;
            Ok(ERRORS)
        }
    }
}

fn verify(pack: &Path, json: bool, quiet: bool) -> io::Result<u8> {
    let progress = Progress::new(quiet);
    let verdict = hillfolio::verify(pack, &|doing| progress.says(doing));
    progress.done();
    match verdict {
        Ok(verdict) => {
            let text = if json { console::verdict_json(&verdict) } else { console::verdict(&verdict) };
            write!(out(), "{text}")?;
            Ok(if verdict.is_same() { 0 } else { DIFFERS })
        }
        Err(failure) => not_read(&failure),
    }
}

fn compare(then: &Path, now: &Path, json: bool) -> io::Result<u8> {
    match hillfolio::compare(then, now) {
        Ok((then, now, changes)) => {
            let say = if json { console::changes_json } else { console::changes };
            write!(out(), "{}", say(&then, &now, &changes))?;
            Ok(if changes.is_none() { 0 } else { DIFFERS })
        }
        Err(failure) => not_read(&failure),
    }
}

/// Says why a pack, a folder or a ledger could not be read.
fn not_read(failure: &Failure) -> io::Result<u8> {
    let Failure::Folder(problems) = failure else { return not_written(failure, failure.help()) };
    list(problems)?;
    let refused = |problem: &Problem| {
        matches!(
            problem.kind,
            Kind::Reading(Reading::FileUnreadable { .. } | Reading::FolderUnreadable { .. })
        )
    };
    Ok(if problems.iter().any(refused) { NOT_WRITTEN } else { USAGE })
}

fn list(problems: &[Problem]) -> io::Result<()> {
    write!(err(), "{}", Listing { problems, remarks: true })
}

/// Says why nothing was written, with every cause beneath it, and what to do.
fn not_written(failure: &dyn std::error::Error, help: Option<&str>) -> io::Result<u8> {
    writeln!(err(), "nothing was written: {failure}")?;
    let mut cause = failure.source();
    while let Some(why) = cause {
        writeln!(err(), "  because: {why}")?;
        cause = why.source();
    }
    if let Some(help) = help {
        writeln!(err(), "  help: {help}")?;
    }
    Ok(NOT_WRITTEN)
}

/// Standard output; styles are dropped where it is not a terminal.
fn out() -> impl Write {
    anstream::stdout()
}

/// Standard error, likewise.
fn err() -> impl Write {
    anstream::stderr()
}
