//! The work of one worker process: tasks in, a line each; what came of them out.

use std::io::{self, BufRead, Write};

use crate::portfolio::{
    memory,
    record::{Record, refused, stamped, summed},
    task::{Done, Ending, Task},
};
use hillfolio_core::{
    intake::{Folder, stamp},
    problem::{Grade, Problem},
};
use hillfolio_documents::{pack, typeset};

/// How many of the errors of a folder are told.
const TOLD: usize = 3;

/// What building a project's folder gave.
#[derive(Debug)]
pub enum Made {
    /// Its documents, with what was found wrong all the same.
    Documents(Vec<Problem>),
    /// Nothing, for these errors.
    Errors(Vec<Problem>),
    /// Nothing, for this reason.
    Not(String),
}

/// Works off the tasks of `orders`, one a line, with `build`; each answer is a line of `answers`.
///
/// # Errors
/// The one who gives the orders is gone.
pub fn serve(orders: impl BufRead, mut answers: impl Write, build: &dyn Fn(&Task) -> Made) -> io::Result<()> {
    for order in orders.lines() {
        let task: Task = serde_json::from_str(&order?).map_err(io::Error::other)?;
        let mut done = work(&task, build);
        // Nothing of one project serves the next but what every document shares.
        typeset::forget();
        done.memory = memory::own_memory();
        writeln!(answers, "{}", serde_json::to_string(&done).map_err(io::Error::other)?)?;
        answers.flush()?;
    }
    Ok(())
}

/// One task from its first record to its last. The last is written when the documents are there, whole.
fn work(task: &Task, build: &dyn Fn(&Task) -> Made) -> Done {
    let unwritten = |failure: pack::PackError| Done::because(Ending::Failed, failure.to_string());
    let recorded = Record::begin(task).map_err(unwritten).and_then(|mut record| {
        record.done = worked(task, &mut record, build).unwrap_or_else(|failed| failed);
        record.write(&task.record).map_err(unwritten)?;
        Ok(record.done)
    });
    recorded.unwrap_or_else(|failed| failed)
}

fn worked(task: &Task, record: &mut Record, build: &dyn Fn(&Task) -> Made) -> Result<Done, Done> {
    let because = |why: String| Done::because(Ending::Failed, why);
    let unread = |why: io::Error| because(format!("its files can't be read: {why}"));
    let listed = |folder: &Folder| stamped(folder).map(|stamps| (stamps, refused(folder)));
    let folder = Folder::open(&task.folder).map_err(|problem| failed(&[problem]))?;
    let before = listed(&folder).map_err(unread)?;
    record.inputs = summed(folder.root(), before.0.clone()).map_err(unread)?;
    record.refused = before.1.clone();
    let problems = match build(task) {
        Made::Documents(problems) => problems,
        Made::Errors(problems) => return Err(failed(&problems)),
        Made::Not(why) => return Err(because(why)),
    };
    let after = Folder::open(&task.folder).ok().and_then(|folder| listed(&folder).ok());
    if after != Some(before) {
        return Err(because("its files changed while it was built; run again".to_owned()));
    }
    record.outputs = stamp::stamps_below(&task.out)
        .and_then(|files| summed(&task.out, files))
        .map_err(|why| because(format!("its documents can't be read back: {why}")))?;
    let doubts = problems.iter().filter(|problem| problem.grade() == Grade::Doubt).count();
    Ok(Done { doubts, files: record.outputs.len(), ..Done::bare(Ending::Built) })
}

fn failed(problems: &[Problem]) -> Done {
    let of = |grade| problems.iter().filter(move |problem| problem.grade() == grade);
    let told = of(Grade::Error).take(TOLD);
    Done {
        errors: of(Grade::Error).count(),
        doubts: of(Grade::Doubt).count(),
        says: told.map(|problem| format!("{}: {}", problem.place, problem.kind)).collect(),
        ..Done::bare(Ending::Errors)
    }
}
