//! What goes wrong with the machine: a build that is killed, two at once, a disk that is full, a folder that may not be
//! written. The output folder is always the old whole or the new whole.
#![cfg(unix)]

use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
    thread,
    time::{Duration, Instant},
};

use tempfile::TempDir;

use crate::{broken::laid_out, commands::hillfolio, samples::make_samples::dice::Dice};

/// Kills in the ordinary run.
const FEW: usize = 8;

/// Kills in the long one.
const MANY: usize = 200;

/// Every file below a folder with its bytes.
type Tree = BTreeMap<PathBuf, Vec<u8>>;

fn tree(folder: &Path) -> Tree {
    let (mut folders, mut found) = (vec![folder.to_owned()], Tree::new());
    while let Some(at) = folders.pop() {
        for entry in fs::read_dir(at).unwrap() {
            let path = entry.unwrap().path();
            match path.is_dir() {
                true => folders.push(path),
                false => drop(
                    found.insert(path.strip_prefix(folder).unwrap().to_owned(), fs::read(&path).unwrap()),
                ),
            }
        }
    }
    found
}

fn base() -> TempDir {
    laid_out(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program/broken/base"))
}

/// The base and the base with one more stem alive, so that the output of each can be told from the other's.
fn two() -> [TempDir; 2] {
    let (one, other) = (base(), base());
    let tallies = other.path().join("tallies.csv");
    let text = fs::read_to_string(&tallies).unwrap();
    fs::write(tallies, text.replace("Acacia melanoxylon,8,2", "Acacia melanoxylon,9,1")).unwrap();
    [one, other]
}

fn build(folder: &Path, out: &Path) -> Command {
    let mut build = Command::new(assert_cmd::cargo::cargo_bin!("hillfolio"));
    build
        .arg("--quiet")
        .arg("build")
        .arg(folder)
        .args(["--no-cache", "--only", "acquittal", "--out"])
        .arg(out);
    build.stdout(Stdio::null()).stderr(Stdio::null());
    build
}

fn whole(folder: &Path, out: &Path) -> Tree {
    assert!(build(folder, out).status().unwrap().success());
    tree(out)
}

/// Stages and the like that stand beside `out`.
fn beside(out: &Path) -> Vec<String> {
    let names = fs::read_dir(out.parent().unwrap()).unwrap();
    let names = names.map(|entry| entry.unwrap().file_name().into_string().unwrap());
    names.filter(|name| name.starts_with(".hillfolio")).collect()
}

/// Kills builds `times` over at moments drawn at random: every other one anywhere, the rest once the writing has begun.
fn killed(times: usize) {
    let (folders, home) = (two(), tempfile::tempdir().unwrap());
    let out = home.path().join("out");
    let began = Instant::now();
    let wholes = [whole(folders[0].path(), &out), whole(folders[1].path(), &out)];
    let lasts = began.elapsed() / 2;
    assert!(wholes[0] != wholes[1]);
    let (mut old, mut unfinished) = (1, 0);
    for round in 0..times {
        let mut dice = Dice::new(&format!("kill {round}"));
        let new = 1 - old;
        let mut child = build(folders[new].path(), &out).spawn().unwrap();
        if round % 2 == 0 {
            thread::sleep(lasts.mul_f64(dice.whole(0, 1_000) as f64 / 1_000.0));
        } else {
            let left_behind = beside(&out).len();
            while beside(&out).len() <= left_behind && running(&mut child) {
                thread::sleep(Duration::from_micros(200));
            }
            thread::sleep(Duration::from_micros(dice.whole(0, 60_000)));
        }
        drop(child.kill());
        unfinished += usize::from(!child.wait().unwrap().success());
        let now = tree(&out);
        let is = wholes.iter().position(|whole| *whole == now);
        old = is.unwrap_or_else(|| {
            panic!("round {round}: out is neither the old whole nor the new: {:?}", now.keys())
        });
    }
    assert!(unfinished * 4 > times, "only {unfinished} of {times} builds were killed before their end");
    whole(folders[0].path(), &out);
    assert_eq!(beside(&out), Vec::<String>::new(), "the next build clears away what the killed ones left");
}

fn running(child: &mut Child) -> bool {
    child.try_wait().unwrap().is_none()
}

#[test]
fn a_killed_build_leaves_the_old_whole_or_the_new() {
    killed(FEW);
}

#[test]
#[ignore = "takes minutes: `cargo test --test program -- --ignored killed`"]
fn two_hundred_killed_builds_leave_the_old_whole_or_the_new() {
    killed(MANY);
}

#[test]
fn two_builds_at_once_both_end_and_one_of_them_stands() {
    let (folders, home) = (two(), tempfile::tempdir().unwrap());
    let out = home.path().join("out");
    let wholes = [whole(folders[0].path(), &out), whole(folders[1].path(), &out)];
    for round in 0..3 {
        if round == 2 {
            fs::remove_dir_all(&out).unwrap();
        }
        let builds = folders.each_ref().map(|folder| build(folder.path(), &out).spawn().unwrap());
        for mut build in builds {
            assert!(build.wait().unwrap().success());
        }
        assert!(wholes.contains(&tree(&out)));
        assert_eq!(beside(&out), Vec::<String>::new());
    }
}

/// The words and the exit code of a build that is run through `sh` after `first`.
fn after(first: &str, folder: &Path, out: &Path) -> (String, Option<i32>) {
    let mut shell = Command::new("sh");
    shell.arg("-c").arg(format!("{first}; exec \"$@\"")).arg("sh");
    let output = shell
        .arg(assert_cmd::cargo::cargo_bin!("hillfolio"))
        .args(["--quiet", "build", "--no-cache"])
        .arg(folder)
        .arg("--out")
        .arg(out)
        .output()
        .unwrap();
    (String::from_utf8(output.stderr).unwrap(), output.status.code())
}

#[test]
fn a_disk_that_takes_no_more_leaves_the_old_output_and_says_what_to_do() {
    let (folders, home) = (two(), tempfile::tempdir().unwrap());
    let out = home.path().join("out");
    let old = whole(folders[0].path(), &out);
    // Blocks of 512 bytes; the signal would end the program before it could say a word.
    for blocks in [1, 16, 128] {
        let (said, code) = after(&format!("trap '' XFSZ; ulimit -f {blocks}"), folders[1].path(), &out);
        assert_eq!(code, Some(3), "{said}");
        assert!(said.contains("nothing was written") && said.contains("help: no file may grow"), "{said}");
        assert!(old == tree(&out) && beside(&out).is_empty());
    }
}

/// On a small file system of its own, where whoever runs the tests may make one.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_called_so() {
    let (folder, home) = (base(), tempfile::tempdir().unwrap());
    let disk = home.path().join("disk");
    fs::create_dir(&disk).unwrap();
    let mount = Command::new("mount").args(["-t", "tmpfs", "-o", "size=96k", "tmpfs"]).arg(&disk).output();
    if !mount.is_ok_and(|mount| mount.status.success()) {
        return;
    }
    let build =
        hillfolio().arg("build").arg(folder.path()).arg("--out").arg(disk.join("out")).output().unwrap();
    let left = fs::read_dir(&disk).unwrap().count();
    assert!(Command::new("umount").arg(&disk).status().unwrap().success());
    let said = String::from_utf8(build.stderr).unwrap();
    assert_eq!(build.status.code(), Some(3), "{said}");
    assert!(said.contains("help: the disk is full") && left == 0, "{said}");
}

#[test]
fn a_folder_that_may_not_be_written_says_so() {
    use std::os::unix::{fs::PermissionsExt as _, process::CommandExt as _};
    let (folder, home) = (base(), tempfile::tempdir().unwrap());
    for path in [folder.path(), home.path()] {
        fs::set_permissions(path, fs::Permissions::from_mode(0o555)).unwrap();
    }
    let mut build = Command::new(assert_cmd::cargo::cargo_bin!("hillfolio"));
    build.args(["build", "--no-cache"]).arg(folder.path()).arg("--out").arg(home.path().join("out"));
    if fs::write(home.path().join("probe"), b"").is_ok() {
        // Whoever may do everything takes on the number of one who may not.
        build.uid(65_534);
    }
    let output = build.output();
    let Ok(output) = output else { return };
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(3), "{said}");
    assert!(said.contains("help: you may not write there"), "{said}");

    let file = home.path().join("probe");
    fs::set_permissions(home.path(), fs::Permissions::from_mode(0o755)).unwrap();
    fs::write(&file, b"").unwrap();
    let (said, code) = after("true", folder.path(), &file.join("out"));
    assert_eq!(code, Some(3), "{said}");
    assert!(said.contains("help: a file stands where a folder has to be"), "{said}");
}
