//! A pack verifies wherever it is taken, and whatever was changed in it is found out, also where its sums were made anew.

use std::{
    collections::BTreeMap,
    fs,
    io::{Cursor, Read as _, Write as _},
    path::{Path, PathBuf},
};

use hillfolio::{
    How,
    audit::{Fault, FileFault, Recomputed, Redone, Seal, Verdict},
};
use hillfolio_core::source::sha256;
use tempfile::TempDir;

use crate::{
    broken::laid_out,
    commands::{copy, hillfolio, sample},
};

/// Members of a pack by name.
type Members = BTreeMap<String, Vec<u8>>;

const SUMS: &str = "SHA256SUMS";

fn base() -> TempDir {
    laid_out(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program/broken/base"))
}

/// The pack that a build of `folder` writes.
fn built(folder: &Path, options: &[&str]) -> PathBuf {
    let mut build = hillfolio();
    build.arg("--quiet").arg("build").arg(folder).args(options).assert().code(0);
    let packs = fs::read_dir(folder.join("out")).unwrap().map(|entry| entry.unwrap().path());
    packs.into_iter().find(|path| path.extension().is_some_and(|ending| ending == "zip")).unwrap()
}

fn opened(pack: &Path) -> Members {
    let mut zip = zip::ZipArchive::new(fs::File::open(pack).unwrap()).unwrap();
    (0..zip.len())
        .map(|at| {
            let mut member = zip.by_index(at).unwrap();
            let mut bytes = Vec::new();
            member.read_to_end(&mut bytes).unwrap();
            (member.name().unwrap().into_owned(), bytes)
        })
        .collect()
}

fn zipped(members: &Members) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in members {
        zip.start_file(name.as_str(), zip::write::SimpleFileOptions::default()).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

/// The manifest made anew, as a forger would.
fn with_new_sums(mut members: Members) -> Members {
    members.remove(SUMS);
    let sums: String = members.iter().map(|(name, bytes)| format!("{}  {name}\n", sha256(bytes))).collect();
    members.insert(SUMS.to_owned(), sums.into_bytes());
    members
}

fn replaced(bytes: &[u8], from: &str, to: &str) -> Vec<u8> {
    let text = std::str::from_utf8(bytes).unwrap();
    assert!(text.contains(from), "{from} is not in it");
    text.replacen(from, to, 1).into_bytes()
}

fn verdict(members: &Members) -> Verdict {
    let home = tempfile::tempdir().unwrap();
    let pack = home.path().join("a pack.zip");
    fs::write(&pack, zipped(members)).unwrap();
    hillfolio::verify(&pack, How::default(), &|_| {}).unwrap()
}

fn redone(verdict: &Verdict) -> &Redone {
    match &verdict.again {
        Recomputed::Done(redone) => redone,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_pack_verifies_on_another_machine() {
    let folder = tempfile::tempdir().unwrap();
    copy(&sample("ashlar-gap"), folder.path());
    let pack = built(folder.path(), &[]);
    let (elsewhere, scratch) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let sent = elsewhere.path().join("as sent.zip");
    fs::copy(pack, &sent).unwrap();
    // Nothing of the folder that it was made from is at hand.
    drop(folder);
    let verify = hillfolio()
        .current_dir(elsewhere.path())
        .envs([("TZ", "Pacific/Chatham"), ("LANG", "de_DE.UTF-8"), ("LC_ALL", "tr_TR.UTF-8")])
        .envs([("RAYON_NUM_THREADS", "1"), ("TMPDIR", scratch.path().to_str().unwrap())])
        .args(["verify", "as sent.zip"])
        .assert()
        .code(0);
    let said = String::from_utf8(verify.get_output().stdout.clone()).unwrap();
    assert!(
        said.contains("figures worked out again and the same") && said.contains("byte for byte"),
        "{said}"
    );
    assert!(said.ends_with("the pack says what its inputs give\n"), "{said}");
    assert_eq!(fs::read_dir(scratch.path()).unwrap().count(), 0, "nothing stays behind");
}

#[test]
fn one_changed_digit_is_caught() {
    let folder = base();
    let sound = opened(&built(folder.path(), &[]));
    let same = verdict(&sound);
    assert!(same.is_same(), "{same:?}");
    assert!(redone(&same).same > 40 && redone(&same).compared > 10, "{same:?}");

    // In an input, with the sums left as they were.
    let mut changed = sound.clone();
    let tallies =
        replaced(&changed["inputs/tallies.csv"], "Acacia melanoxylon,8,2", "Acacia melanoxylon,9,1");
    changed.insert("inputs/tallies.csv".to_owned(), tallies.clone());
    let found = verdict(&changed);
    assert!(
        matches!(&found.sums[..], [(path, Fault::Differs { .. })] if path == "inputs/tallies.csv"),
        "{found:?}"
    );
    assert!(redone(&found).figures.iter().any(|change| change.id == "survival.all"), "{found:?}");

    // With the sums made anew, the ledger still knows what was read.
    let found = verdict(&with_new_sums(changed));
    assert!(found.sums.is_empty() && !found.is_same(), "{found:?}");
    assert_eq!(found.inputs.iter().map(|input| &*input.path).collect::<Vec<_>>(), ["tallies.csv"]);

    // With the ledger's sum forged too, the figures don't follow from the input, and no document does.
    let mut forged = sound.clone();
    let (old, new) = (sha256(&sound["inputs/tallies.csv"]), sha256(&tallies));
    forged.insert("inputs/tallies.csv".to_owned(), tallies);
    forged.insert("data/figures.json".to_owned(), replaced(&sound["data/figures.json"], &old, &new));
    let found = verdict(&with_new_sums(forged));
    assert!(found.sums.is_empty() && found.inputs.is_empty(), "{found:?}");
    assert!(redone(&found).figures.iter().any(|change| change.id == "survival.all"), "{found:?}");
    assert!(redone(&found).files.contains(&("acquittal.pdf".to_owned(), FileFault::Differs)), "{found:?}");

    // In the ledger alone.
    let mut forged = sound.clone();
    forged.insert(
        "data/figures.json".to_owned(),
        replaced(&sound["data/figures.json"], "\"value\": 0.8", "\"value\": 0.9"),
    );
    let found = verdict(&with_new_sums(forged));
    assert_eq!(redone(&found).figures.len(), 1, "{found:?}");

    // In a document alone.
    for document in ["acquittal.pdf", "maps/site-map.pdf"] {
        let mut forged = sound.clone();
        let bytes = forged.get_mut(document).unwrap_or_else(|| panic!("{document}: {:?}", sound.keys()));
        let digit = bytes.iter().rposition(u8::is_ascii_digit).unwrap();
        bytes[digit] = if bytes[digit] == b'9' { b'8' } else { bytes[digit] + 1 };
        let found = verdict(&with_new_sums(forged));
        assert!(found.sums.is_empty() && redone(&found).figures.is_empty(), "{found:?}");
        assert_eq!(redone(&found).files, [(document.to_owned(), FileFault::Differs)]);
    }
}

#[test]
fn members_that_are_missing_added_or_broken_are_named() {
    let sound = opened(&built(base().path(), &[]));
    let mut changed = sound.clone();
    changed.remove("data/figures.csv");
    changed.insert("maps/another.pdf".to_owned(), b"%PDF-1.7".to_vec());
    let found = verdict(&changed);
    assert_eq!(
        found.sums,
        [("data/figures.csv".to_owned(), Fault::Missing), ("maps/another.pdf".to_owned(), Fault::Unlisted)]
    );
    let found = verdict(&with_new_sums(changed.clone()));
    assert_eq!(
        redone(&found).files,
        [
            ("data/figures.csv".to_owned(), FileFault::Missing),
            ("maps/another.pdf".to_owned(), FileFault::Unmade)
        ]
    );
    changed = sound.clone();
    changed.remove("inputs/plantings.csv");
    let found = verdict(&with_new_sums(changed));
    assert!(matches!(&found.again, Recomputed::Refused(_)) && !found.is_same(), "{found:?}");
    changed = sound.clone();
    changed.remove("data/figures.json");
    assert!(verdict(&with_new_sums(changed)).ledger.is_err());
    let mut none = Members::new();
    none.insert("a.txt".to_owned(), b"no pack".to_vec());
    assert!(!verdict(&none).is_same());

    // A bit that turned on the way.
    let home = tempfile::tempdir().unwrap();
    let pack = home.path().join("turned.zip");
    let mut bytes = zipped(&sound);
    let at = bytes.windows(18).position(|piece| piece == b"inputs/tallies.csv").unwrap() + 30;
    bytes[at] ^= 0x10;
    fs::write(&pack, bytes).unwrap();
    let verify = hillfolio().arg("verify").arg(&pack).assert().code(1);
    let said = String::from_utf8(verify.get_output().stdout.clone()).unwrap();
    assert!(said.contains("inputs/tallies.csv can't be unpacked"), "{said}");
    hillfolio().args(["verify", "--sums-only"]).arg(&pack).assert().code(1);
}

#[test]
fn a_pack_of_another_version_is_held_to_its_figures_and_not_verified() {
    let mut sound = opened(&built(base().path(), &[]));
    let version = format!("\"version\": \"{}\"", env!("CARGO_PKG_VERSION"));
    let other = replaced(&sound["data/figures.json"], &version, "\"version\": \"0.0.9\"");
    sound.insert("data/figures.json".to_owned(), other);
    let found = verdict(&with_new_sums(sound.clone()));
    let done = redone(&found);
    assert!(done.figures.is_empty() && done.same > 20, "{found:?}");
    assert!(!found.is_same() && done.other_version.as_deref() == Some("0.0.9"), "{found:?}");
    let home = tempfile::tempdir().unwrap();
    let pack = home.path().join("old.zip");
    fs::write(&pack, zipped(&with_new_sums(sound.clone()))).unwrap();
    let said = |arguments: &[&str], code: i32| {
        let verify = hillfolio().arg("verify").args(arguments).arg(&pack).assert().code(code);
        String::from_utf8(verify.get_output().stdout.clone()).unwrap()
    };
    let whole = said(&[], 1);
    assert!(whole.contains("not compared") && whole.contains("0.0.9"), "{whole}");
    assert!(whole.contains("the pack is not verified"), "{whole}");
    let sums = said(&["--sums-only"], 0);
    assert!(sums.contains("the sums hold") && sums.contains("nothing was worked out again"), "{sums}");
    let tallies = replaced(&sound["inputs/tallies.csv"], "Acacia melanoxylon,8,2", "Acacia melanoxylon,9,1");
    sound.insert("inputs/tallies.csv".to_owned(), tallies);
    assert!(!redone(&verdict(&with_new_sums(sound))).figures.is_empty());
}

/// What a pack leaves behind: receipts, pictures that are not read, places of sensitive sightings.
#[test]
fn what_is_not_sent_does_not_spoil_the_verdict() {
    let folder = base();
    let at = |path: &str| folder.path().join(path);
    fs::create_dir_all(at("receipts")).unwrap();
    fs::write(at("receipts/R1.pdf"), b"%PDF-1.4 a receipt").unwrap();
    let spending = fs::read_to_string(at("spending.csv")).unwrap();
    let rows = "2025-08-03,Plants,20.00,,Millrace Nursery,R1.pdf,\n2025-08-04,Plants,21.00,,Millrace Nursery,R2.pdf,\n";
    fs::write(at("spending.csv"), spending + rows).unwrap();
    fs::write(at("photos/P1/2026-05-01.heic"), b"no picture").unwrap();
    fs::write(at("photos/P1/2026-05-02.jpg"), b"no picture either").unwrap();
    let sightings = "Owls of the spur\ndate,species,count,area,longitude,latitude,sensitive,note,tree\n\
                     2025-09-14,Powerful owl,2,North,148.001,-35.9991,yes,hollow 树,T19\n\
                     2025-09-15,Lyrebird,1,North,148.001,-35.9991,,by the gate,\n";
    fs::write(at("sightings.csv"), sightings).unwrap();
    let pack = built(folder.path(), &[]);
    let sound = opened(&pack);
    assert!(
        !sound.keys().any(|name| name.contains("receipt") || name.ends_with(".heic")),
        "{:?}",
        sound.keys()
    );
    let found = verdict(&sound);
    assert!(found.is_same(), "{found:?}");
    assert!(redone(&found).carried >= 3, "{found:?}");
    let ledger: serde_json::Value = serde_json::from_slice(&sound["data/figures.json"]).unwrap();
    assert_eq!(ledger["receipts"][0]["path"], "receipts/R1.pdf");
    assert_eq!(ledger["receipts"][0]["sha256"], sha256(b"%PDF-1.4 a receipt"));
}

#[test]
fn templates_of_the_senders_own_are_sent_and_named() {
    let folder = base();
    let templates = tempfile::tempdir().unwrap();
    fs::create_dir(templates.path().join("sections")).unwrap();
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join("report-templates/sections/reader.typ");
    let text = fs::read_to_string(own).unwrap() + "\n// A line of the sender's own.\n";
    fs::write(templates.path().join("sections/reader.typ"), text).unwrap();
    let options = ["--templates", templates.path().to_str().unwrap(), "--only", "acquittal"];
    let pack = built(folder.path(), &options);
    let how = How { run_templates: true, ..How::default() };
    let found = hillfolio::verify(&pack, how, &|_| {}).unwrap();
    assert!(found.is_same() && redone(&found).templates == 1, "{found:?}");
    // Without leave no program of the sender's is run: the figures are compared, and the documents are not.
    let verify = hillfolio().arg("verify").arg(&pack).assert().code(1);
    let said = String::from_utf8(verify.get_output().stdout.clone()).unwrap();
    assert!(said.contains("not compared: the documents, which 1 templates of the sender set"), "{said}");
    assert!(
        said.ends_with("the pack is not verified\n") && said.contains("figures worked out again"),
        "{said}"
    );
}

/// Whoever changes a pack can make its sums and figures anew, but not the seal of somebody else.
#[test]
fn a_sealed_pack_is_its_senders_and_unchanged() {
    let folder = base();
    let (home, pack) = (tempfile::tempdir().unwrap(), built(folder.path(), &[]));
    let at = |name: &str| home.path().join(name);
    let run = |args: &[&std::ffi::OsStr], code: i32| {
        let run = hillfolio().args(args).assert().code(code);
        let output = run.get_output();
        String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr)
    };
    let sent = at("as sent.zip");
    fs::copy(&pack, &sent).unwrap();
    for name in ["ours.key", "theirs.key"] {
        run(&["seal".as_ref(), "--new-key".as_ref(), at(name).as_os_str()], 0);
    }
    // A key that is there is never written over.
    run(&["seal".as_ref(), "--new-key".as_ref(), at("ours.key").as_os_str()], 3);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        assert_eq!(fs::metadata(at("ours.key")).unwrap().permissions().mode() & 0o77, 0);
    }
    let by = |key: &str, code: i32| {
        run(&["verify".as_ref(), sent.as_os_str(), "--by".as_ref(), at(key).as_os_str()], code)
    };
    let said = by("ours.key.pub", 1);
    assert!(said.contains("no seal lies beside the pack"), "{said}");
    let said = run(&["seal".as_ref(), sent.as_os_str(), "--key".as_ref(), at("ours.key").as_os_str()], 0);
    assert!(said.contains("as sent.zip.minisig"), "{said}");
    let said = by("ours.key.pub", 0);
    assert!(
        said.contains("the seal says: as sent.zip, ") && said.contains("says what its inputs give"),
        "{said}"
    );
    let said = by("theirs.key.pub", 1);
    assert!(said.contains("it was sealed with another key"), "{said}");
    // The secret key where the public one is wanted, and what is no pack.
    assert!(by("ours.key", 3).contains("it is no public key"));
    fs::write(at("words.zip"), "words").unwrap();
    run(&["seal".as_ref(), at("words.zip").as_os_str(), "--key".as_ref(), at("ours.key").as_os_str()], 2);
    let said = run(&["verify".as_ref(), sent.as_os_str()], 0);
    assert!(said.contains("hold it against the sender's key with --by"), "{said}");
    // Changed throughout, its sums made anew.
    let mut members = opened(&sent);
    let notes = replaced(&members["inputs/project.toml"], "name = ", "name =  ");
    members.insert("inputs/project.toml".to_owned(), notes);
    fs::write(&sent, zipped(&with_new_sums(members))).unwrap();
    let said = by("ours.key.pub", 1);
    assert!(said.contains("the seal does not hold: it is not what was sealed"), "{said}");
    assert!(said.ends_with("the pack is not what the owner of that key sealed\n"), "{said}");
    let how = How { by: Some(&at("ours.key.pub")), ..How::default() };
    assert!(matches!(hillfolio::verify(&sent, how, &|_| {}).unwrap().seal, Seal::Broken(_)));
}

#[test]
fn what_is_no_pack_is_not_understood_and_what_is_not_there_is_not_read() {
    let home = tempfile::tempdir().unwrap();
    let at = |name: &str, bytes: &[u8]| {
        fs::write(home.path().join(name), bytes).unwrap();
        home.path().join(name)
    };
    let slip = {
        let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
        zip.start_file("inputs/../../evil", zip::write::SimpleFileOptions::default()).unwrap();
        zip.finish().unwrap().into_inner()
    };
    for (path, word) in [
        (at("words.zip", b"hello"), "[malformed]"),
        (at("half.zip", b"PK\x03\x04"), "[malformed]"),
        (at("slip.zip", &slip), "[path-leaves-folder]"),
        (home.path().to_owned(), "it is a folder"),
    ] {
        let verify = hillfolio().arg("verify").arg(&path).assert().code(2);
        let said = String::from_utf8(verify.get_output().stderr.clone()).unwrap();
        assert!(said.contains(word), "{said}");
    }
    hillfolio().arg("verify").arg(home.path().join("none.zip")).assert().code(3);
}

#[test]
fn a_verdict_comes_as_json() {
    let pack = built(base().path(), &["--only", "acquittal"]);
    // The folder is gone with its pack: a copy was opened, nothing is there to be verified.
    hillfolio().arg("verify").arg(&pack).arg("--json").assert().code(3);
    let folder = base();
    let pack = built(folder.path(), &["--only", "acquittal"]);
    let verify = hillfolio().arg("verify").arg(&pack).arg("--json").assert().code(0);
    let said: serde_json::Value = serde_json::from_slice(&verify.get_output().stdout).unwrap();
    assert_eq!((said["format"].as_str(), said["same"].as_bool()), (Some("hillfolio-verdict/1"), Some(true)));
    assert!(said["again"]["figures_same"].as_u64().unwrap() > 40, "{said}");
}

/// What `verify` says of a file, which must be that it is no pack, leaving nothing behind.
fn refused(pack: &Path) -> String {
    let scratch = tempfile::tempdir().unwrap();
    let mut verify = hillfolio();
    verify.env("TMPDIR", scratch.path()).arg("--quiet").arg("verify").arg(pack);
    let run = verify.assert().code(2);
    assert_eq!(fs::read_dir(scratch.path()).unwrap().count(), 0, "nothing stays behind");
    String::from_utf8(run.get_output().stderr.clone()).unwrap()
}

/// What `compare` says of a file beside a folder, likewise.
fn not_compared(one: &Path, folder: &Path) -> String {
    let run = hillfolio().arg("compare").arg(one).arg(folder).assert().code(2);
    String::from_utf8(run.get_output().stderr.clone()).unwrap()
}

/// The limits as they are, each passed by a file that holds what it says; smaller ones stand beside the code.
#[test]
fn a_pack_beyond_the_limits_is_refused_before_it_is_believed() {
    let (home, folder) = (tempfile::tempdir().unwrap(), base());
    let zip = |name: &str, members: &mut dyn Iterator<Item = (String, Vec<u8>)>| {
        let path = home.path().join(name);
        let mut zip = zip::ZipWriter::new(fs::File::create(&path).unwrap());
        for (name, bytes) in members {
            zip.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
            zip.write_all(&bytes).unwrap();
        }
        zip.finish().unwrap();
        path
    };

    // A hole and no more: the file takes up no room on the disk.
    #[cfg(unix)]
    {
        let huge = home.path().join("huge.zip");
        fs::write(&huge, b"PK\x03\x04").unwrap();
        fs::File::options().write(true).open(&huge).unwrap().set_len((16 << 30) + 1).unwrap();
        for said in [refused(&huge), not_compared(&huge, folder.path())] {
            assert!(said.contains("error[file-too-big]"), "{said}");
        }
    }

    let mut members = (0..51_001).map(|n| (format!("inputs/{n}"), Vec::new()));
    let many = zip("many.zip", &mut members);
    for said in [refused(&many), not_compared(&many, folder.path())] {
        assert!(said.contains("it holds more than 51,000 members"), "{said}");
    }

    let long = vec![b' '; (64 << 20) + 1];
    let ledger = zip("ledger.zip", &mut [("data/figures.json".to_owned(), long.clone())].into_iter());
    for said in [refused(&ledger), not_compared(&ledger, folder.path())] {
        assert!(said.contains("data/figures.json in it has more than 67,108,864 bytes"), "{said}");
    }
    let sums = zip("sums.zip", &mut [(SUMS.to_owned(), long.clone())].into_iter());
    assert!(refused(&sums).contains("SHA256SUMS in it has more than"));
    let alone = home.path().join("figures.json");
    fs::write(&alone, long).unwrap();
    assert!(not_compared(&alone, folder.path()).contains("error[file-too-big]"));
}
