//! The output folder is always the old whole or the new whole, and nothing of anybody else's is lost.

use std::{fs, io::Read as _, path::Path, sync::Arc};

use hillfolio_core::problem::{Place, Problem, Reading};
use hillfolio_documents::pack::{self, File, Inputs, PackError, Packing, SUMS};

use crate::support::day;

fn file(path: &str, bytes: &[u8]) -> File {
    File { path: path.to_owned(), bytes: bytes.to_vec().into() }
}

fn none(path: &str) -> Result<Vec<u8>, Problem> {
    Err(Problem::new(Reading::FileUnreadable { why: "gone".to_owned() }, Place::file(path)))
}

fn write(folder: &Path, files: &[File]) -> Result<pack::Receipt, PackError> {
    let inputs = Inputs { listed: vec![], read: &none };
    packed(folder, &folder.join("out"), files, &inputs)
}

fn packed(
    folder: &Path,
    out: &Path,
    files: &[File],
    inputs: &Inputs<'_>,
) -> Result<pack::Receipt, PackError> {
    let mut packing = Packing::begin(folder, out, "pack", day("2026-06-30"))?;
    packing.add_inputs(inputs)?;
    packing.add(files)?;
    packing.finish()
}

#[test]
fn a_second_build_takes_the_place_of_the_first() {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), &[file("acquittal.pdf", b"one"), file("maps/site.pdf", b"map")]).unwrap();
    let receipt = write(folder.path(), &[file("acquittal.pdf", b"two")]).unwrap();
    let out = folder.path().join("out");
    assert_eq!(fs::read(out.join("acquittal.pdf")).unwrap(), b"two");
    assert!(!out.join("maps").exists(), "nothing of the first build stays");
    let names: Vec<&str> = receipt.files.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, [SUMS, "acquittal.pdf", "pack.zip"]);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "no stage is left behind");
}

#[test]
fn somebody_elses_file_is_never_lost() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    fs::create_dir(&out).unwrap();
    fs::write(out.join("thesis.doc"), b"years of work").unwrap();
    let refused = write(folder.path(), &[file("acquittal.pdf", b"one")]).unwrap_err();
    assert!(
        matches!(&refused, PackError::Stranger { stranger, .. } if stranger == "thesis.doc"),
        "{refused}"
    );
    assert_eq!(fs::read(out.join("thesis.doc")).unwrap(), b"years of work");
}

/// One's own notes, a PDF that was signed, a pack of another year and the pack of an earlier build that was changed: all stay, and
/// what stands in the way of a new file gets another name.
#[test]
fn what_no_build_wrote_or_somebody_changed_stays() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    write(folder.path(), &[file("acquittal.pdf", b"one"), file("maps/site.pdf", b"map")]).unwrap();
    fs::write(out.join("notes.txt"), b"mine").unwrap();
    fs::write(out.join("acquittal.pdf"), b"one, signed").unwrap();
    fs::write(out.join("last-year.zip"), b"last year").unwrap();
    fs::write(out.join("pack.zip"), b"changed").unwrap();
    fs::create_dir(out.join("letters")).unwrap();
    fs::write(out.join("letters/a.txt"), b"dear").unwrap();
    for build in 0..3 {
        let receipt = write(folder.path(), &[file("acquittal.pdf", b"two")]).unwrap();
        let kept: Vec<&str> = receipt.kept.iter().map(|kept| kept.now.as_str()).collect();
        let named =
            ["acquittal (kept).pdf", "last-year.zip", "letters/a.txt", "notes.txt", "pack (kept).zip"];
        assert_eq!(kept, named, "build {build}");
        assert_eq!(fs::read(out.join("acquittal.pdf")).unwrap(), b"two");
        assert_eq!(fs::read(out.join("acquittal (kept).pdf")).unwrap(), b"one, signed");
        assert_eq!(fs::read(out.join("pack (kept).zip")).unwrap(), b"changed");
        assert_eq!(fs::read(out.join("last-year.zip")).unwrap(), b"last year");
        assert_eq!(fs::read(out.join("letters/a.txt")).unwrap(), b"dear");
        assert!(!out.join("maps").exists(), "what an earlier build wrote goes");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "no stage is left behind");
    }
}

/// The sums in the folder hold for the pack too.
#[test]
fn the_pack_stands_among_the_sums() {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), &[file("acquittal.pdf", b"one")]).unwrap();
    let sums = fs::read_to_string(folder.path().join("out").join(SUMS)).unwrap();
    assert!(sums.lines().any(|line| line.ends_with("  pack.zip")), "{sums}");
}

#[cfg(unix)]
#[test]
fn an_output_that_is_a_link_is_written_where_it_points() {
    let (folder, elsewhere) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let target = elsewhere.path().join("shared");
    std::os::unix::fs::symlink(&target, folder.path().join("out")).unwrap();
    for bytes in [b"one", b"two"] {
        write(folder.path(), &[file("acquittal.pdf", bytes)]).unwrap();
        assert_eq!(fs::read(target.join("acquittal.pdf")).unwrap(), bytes);
        assert!(folder.path().join("out").is_symlink());
    }
}

/// What was put there while the documents were made is not lost either.
#[test]
fn a_file_that_comes_meanwhile_is_never_lost() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let mut packing = Packing::begin(folder.path(), &out, "pack", day("2026-06-30")).unwrap();
    packing.add(&[file("acquittal.pdf", b"one")]).unwrap();
    fs::create_dir(&out).unwrap();
    fs::write(out.join("thesis.doc"), b"years of work").unwrap();
    let refused = packing.finish().unwrap_err();
    assert!(
        matches!(&refused, PackError::Stranger { stranger, .. } if stranger == "thesis.doc"),
        "{refused}"
    );
    assert_eq!(fs::read(out.join("thesis.doc")).unwrap(), b"years of work");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "no stage is left behind");
}

#[test]
fn the_project_itself_is_never_the_output() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("project.toml"), b"").unwrap();
    let inputs = Inputs { listed: vec![], read: &none };
    let refused = packed(folder.path(), folder.path(), &[], &inputs);
    assert!(matches!(refused, Err(PackError::OverTheProject(_))));
}

#[test]
fn a_build_that_fails_leaves_the_old_output() {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), &[file("acquittal.pdf", b"one")]).unwrap();
    let out = folder.path().join("out");
    let inputs = Inputs { listed: vec![(Arc::from("plots.csv"), "00".repeat(32))], read: &none };
    let failed = packed(folder.path(), &out, &[file("acquittal.pdf", b"two")], &inputs);
    assert!(matches!(failed, Err(PackError::Input(_))));
    let changed =
        Inputs { listed: vec![(Arc::from("plots.csv"), "00".repeat(32))], read: &|_| Ok(b"x".to_vec()) };
    let failed = packed(folder.path(), &out, &[file("acquittal.pdf", b"two")], &changed);
    assert!(matches!(failed, Err(PackError::InputChanged(path)) if path == "plots.csv"));
    assert_eq!(fs::read(out.join("acquittal.pdf")).unwrap(), b"one");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "no stage is left behind");
}

#[test]
fn the_zip_holds_everything_under_safe_names_with_its_sums() {
    let folder = tempfile::tempdir().unwrap();
    let text = b"plot,area\nN1,North\n".to_vec();
    let digest = {
        use sha2::Digest as _;
        sha2::Sha256::digest(&text).iter().map(|byte| format!("{byte:02x}")).collect::<String>()
    };
    let read = |_: &str| Ok(text.clone());
    let inputs = Inputs { listed: vec![(Arc::from("plots.csv"), digest)], read: &read };
    let out = folder.path().join("out");
    packed(folder.path(), &out, &[file("maps/site.pdf", b"map")], &inputs).unwrap();
    let mut zip = zip::ZipArchive::new(fs::File::open(out.join("pack.zip")).unwrap()).unwrap();
    let mut names = Vec::new();
    for at in 0..zip.len() {
        let mut entry = zip.by_index(at).unwrap();
        let name = entry.name().unwrap().into_owned();
        assert!(entry.enclosed_name().is_some(), "{name}");
        names.push(name);
        let mut bytes = vec![];
        entry.read_to_end(&mut bytes).unwrap();
    }
    assert_eq!(names, ["inputs/plots.csv", "maps/site.pdf", SUMS]);
    let mut sums = String::new();
    zip.by_name(SUMS).unwrap().read_to_string(&mut sums).unwrap();
    let listed: Vec<&str> = sums.lines().map(|line| &line[66..]).collect();
    assert_eq!(listed, ["inputs/plots.csv", "maps/site.pdf"]);
}

#[test]
fn the_same_files_give_the_same_bytes() {
    let zip = |files: &[File]| {
        let folder = tempfile::tempdir().unwrap();
        write(folder.path(), files).unwrap();
        fs::read(folder.path().join("out/pack.zip")).unwrap()
    };
    let (a, b) = (file("a.csv", b"1"), file("b.csv", b"2"));
    assert_eq!(zip(&[a.clone(), b.clone()]), zip(&[b, a]));
}
