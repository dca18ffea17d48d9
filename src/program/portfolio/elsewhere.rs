//! The same work on many machines, by schedulers that others make: what to hand them, ready to send.
//!
//! Each task builds one slice of the list. It reads the projects' folders and writes only its own projects' places below the output
//! folder, so tasks need nothing of each other and may be sent again.

use std::path::{Path, PathBuf};

use serde_json::json;

/// Memory that a task asks for, in mebibytes: that of one worker with a large project.
const MEMORY: u32 = 2_048;

/// A portfolio that is to be built by several tasks.
#[derive(Debug, Clone)]
pub struct Elsewhere {
    /// The program, as the tasks' machines find it.
    pub program: PathBuf,
    /// The folder of the portfolio.
    pub root: PathBuf,
    /// Where everything is written.
    pub out: PathBuf,
    /// A list of project folders; `None` lets each task search for them.
    pub list: Option<PathBuf>,
    /// Templates of the user's own, as the tasks' machines find them.
    pub templates: Option<PathBuf>,
    /// What else a task that builds is told, as it is typed.
    pub options: String,
    /// How many tasks.
    pub tasks: usize,
}

impl Elsewhere {
    /// A batch script for Slurm: a job array with one task for each slice.
    #[must_use]
    pub fn slurm(&self) -> String {
        let (program, portfolio) = (quoted(&self.program), self.portfolio());
        let tasks = self.tasks;
        format!(
            "#!/bin/sh\n\
             #SBATCH --job-name=hillfolio\n\
             #SBATCH --array=1-{tasks}\n\
             #SBATCH --cpus-per-task=1\n\
             #SBATCH --mem={MEMORY}\n\
             # Each task builds one of {tasks} slices of the portfolio. In: the projects' folders, which are only read. Out: the\n\
             # places of its own projects below the output folder, and its log in runs/. A task that failed may be sent again\n\
             # by itself, for instance: sbatch --array=3 THIS-FILE\n\
             # Once all are done, or to see how far they are, anywhere:\n\
             #   {program} {portfolio} --merge\n\
             exec {program} --quiet {portfolio} {} --slice \"$SLURM_ARRAY_TASK_ID/{tasks}\" \\\n  \
             --workers \"${{SLURM_CPUS_PER_TASK:-1}}\" --memory \"${{SLURM_MEM_PER_NODE:-{MEMORY}}}\"\n",
            self.options
        )
    }

    /// A manifest for Kubernetes, as JSON: a Job with one index for each slice.
    ///
    /// The image and the claims of the two volumes are for the reader to name.
    #[must_use]
    pub fn kubernetes(&self) -> String {
        let (root, out) = (self.root.display().to_string(), self.out.display().to_string());
        let line = format!(
            "exec hillfolio --quiet {} {} --slice \"$((JOB_COMPLETION_INDEX + 1))/{}\" --workers 1 --memory {MEMORY}",
            self.portfolio(),
            self.options,
            self.tasks
        );
        let resources = json!({ "cpu": "1", "memory": format!("{}Mi", MEMORY + 512) });
        let manifest = json!({
            "apiVersion": "batch/v1",
            "kind": "Job",
            "metadata": { "name": "hillfolio-portfolio" },
            "spec": {
                "completionMode": "Indexed",
                "completions": self.tasks,
                "parallelism": self.tasks,
                "backoffLimitPerIndex": 2,
                // A folder with errors has them the next time too; only what could not be written is tried again.
                "podFailurePolicy": {
                    "rules": [{ "action": "FailIndex", "onExitCodes": { "operator": "In", "values": [1, 2] } }]
                },
                "template": { "spec": {
                    "restartPolicy": "Never",
                    "containers": [{
                        "name": "hillfolio",
                        "image": concat!("REGISTRY/hillfolio:", env!("CARGO_PKG_VERSION")),
                        "command": ["/bin/sh", "-c", line],
                        "resources": { "requests": resources.clone(), "limits": resources },
                        "volumeMounts": [
                            { "name": "projects", "mountPath": root, "readOnly": true },
                            { "name": "out", "mountPath": out },
                        ],
                    }],
                    "volumes": [
                        { "name": "projects", "persistentVolumeClaim": { "claimName": "projects" } },
                        { "name": "out", "persistentVolumeClaim": { "claimName": "out" } },
                    ],
                } },
            },
        });
        format!("{manifest:#}\n")
    }

    /// The command but for its program and its slice.
    fn portfolio(&self) -> String {
        let mut command = format!("portfolio {} --out {}", quoted(&self.root), quoted(&self.out));
        if let Some(list) = &self.list {
            command += &format!(" --list {}", quoted(list));
        }
        if let Some(templates) = &self.templates {
            command += &format!(" --templates {}", quoted(templates));
        }
        command
    }
}

/// A path as a shell takes it for one word.
fn quoted(path: &Path) -> String {
    format!("'{}'", path.display().to_string().replace('\'', r"'\''"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn elsewhere() -> Elsewhere {
        Elsewhere {
            program: "/opt/hillfolio".into(),
            root: "/data/the group's $HOME".into(),
            out: "/data/out".into(),
            list: Some("/data/projects.txt".into()),
            templates: Some("/data/own".into()),
            options: "--limit 45 --no-cache".to_owned(),
            tasks: 8,
        }
    }

    #[test]
    fn a_job_array_runs_each_slice_once() {
        let script = elsewhere().slurm();
        assert!(script.starts_with("#!/bin/sh\n") && script.contains("\n#SBATCH --array=1-8\n"), "{script}");
        let command = r"exec '/opt/hillfolio' --quiet portfolio '/data/the group'\''s $HOME' --out '/data/out' --list '/data/projects.txt' --templates '/data/own' --limit 45 --no-cache --slice";
        assert!(script.contains(command), "{script}");
        assert!(script.contains("\"$SLURM_ARRAY_TASK_ID/8\""), "{script}");
    }

    #[test]
    fn an_indexed_job_runs_each_slice_once() {
        let manifest: serde_json::Value = serde_json::from_str(&elsewhere().kubernetes()).unwrap();
        let spec = &manifest["spec"];
        assert_eq!((&spec["completionMode"], &spec["completions"]), (&json!("Indexed"), &json!(8)));
        let line = spec["template"]["spec"]["containers"][0]["command"][2].as_str().unwrap();
        assert!(line.contains("\"$((JOB_COMPLETION_INDEX + 1))/8\""), "indices are counted from 0: {line}");
    }
}
