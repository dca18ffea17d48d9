//! Photos made small that one build keeps for the next: never seen in the bytes of a document, never believed, never in the way.

use std::{
    fs,
    path::{Path, PathBuf},
};

use hillfolio::Order;
use hillfolio_core::{
    intake::{self, Folder},
    source::sha256,
};
use hillfolio_documents::{
    draw::photo::Picture,
    thumbnails::{Size, Thumbnails},
    typeset::{self, Document},
};

use crate::commands::{bytes_below, copy, hillfolio, sample};

/// Lays out a small project with two photo points and four photos.
fn small(folder: &Path) {
    copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/program/broken/base"), folder);
    let points = fs::read_to_string(folder.join("photopoints.csv")).unwrap();
    fs::write(folder.join("photopoints.csv"), points + "P2,148.0012,-35.9995,45,North,From the gate\n")
        .unwrap();
    fs::create_dir(folder.join("photos/P2")).unwrap();
    let roll = sample("ashlar-gap").join("photos");
    for (from, to) in [
        ("A1/2025-05-20.jpg", "P1/2025-11-20.jpg"),
        ("A2/2020-11-18.jpg", "P2/2025-08-18.jpg"),
        ("A2/2022-05-17.jpg", "P2/2026-05-17.jpg"),
    ] {
        fs::copy(roll.join(from), folder.join("photos").join(to)).unwrap();
    }
}

const SIZE: Size = Size { longest_px: 640, quality: 80 };

fn picture(shade: u8, bytes: usize) -> Picture {
    Picture { jpeg: vec![shade; bytes], width: 640, height: 480 }
}

fn in_folder(folder: &Path) -> Thumbnails {
    Thumbnails::kept_in(folder, &[])
}

/// The names in a folder, in order.
fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).map(|entries| entries.map(|entry| entry.unwrap().file_name()));
    let mut names: Vec<String> =
        entries.into_iter().flatten().map(|name| name.into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn a_picture_is_found_again_under_its_photo_and_its_size_alone() {
    let home = tempfile::tempdir().unwrap();
    let thumbnails = in_folder(home.path());
    let sum = sha256(b"a photo");
    assert_eq!(thumbnails.find(&sum, SIZE), None);
    thumbnails.keep(b"a photo", SIZE, &picture(7, 500));
    assert_eq!(in_folder(home.path()).find(&sum, SIZE), Some(picture(7, 500)));
    assert_eq!(thumbnails.find(&sha256(b"another"), SIZE), None);
    assert_eq!(thumbnails.find(&sum, Size { longest_px: 641, ..SIZE }), None);
    assert_eq!(thumbnails.find(&sum, Size { quality: 81, ..SIZE }), None);
    assert_eq!(Thumbnails::none().find(&sum, SIZE), None);
}

#[test]
fn what_is_damaged_cut_short_or_of_another_name_is_not_used_and_is_replaced() {
    let home = tempfile::tempdir().unwrap();
    let thumbnails = in_folder(home.path());
    thumbnails.keep(b"a photo", SIZE, &picture(7, 300));
    let (sum, at) = (sha256(b"a photo"), home.path().join(&names(home.path())[0]));
    let whole = fs::read(&at).unwrap();
    for byte in 0..whole.len() {
        let mut damaged = whole.clone();
        damaged[byte] ^= 1;
        fs::write(&at, &damaged).unwrap();
        assert_eq!(thumbnails.find(&sum, SIZE), None, "byte {byte} is another");
        fs::write(&at, &whole[..byte]).unwrap();
        assert_eq!(thumbnails.find(&sum, SIZE), None, "cut at {byte}");
    }
    fs::write(&at, [&whole[..], b"\n"].concat()).unwrap();
    assert_eq!(thumbnails.find(&sum, SIZE), None, "longer than it was");
    fs::File::create(&at).unwrap().set_len(1 << 40).unwrap();
    assert_eq!(thumbnails.find(&sum, SIZE), None, "longer than anything is read");

    // The picture of another photo under the name of this one.
    thumbnails.keep(b"another", SIZE, &picture(9, 300));
    let other = names(home.path()).into_iter().map(|name| home.path().join(name)).find(|path| *path != at);
    fs::copy(other.unwrap(), &at).unwrap();
    assert_eq!(thumbnails.find(&sum, SIZE), None);

    thumbnails.keep(b"a photo", SIZE, &picture(7, 300));
    assert_eq!(thumbnails.find(&sum, SIZE), Some(picture(7, 300)));
    assert_eq!(names(home.path()).len(), 2, "nothing unfinished is left behind");
}

/// A pipe would be waited for without end, a folder can't be replaced by a file.
#[cfg(unix)]
#[test]
fn what_is_no_file_is_passed_over() {
    use rustix::fs::{CWD, FileType, Mode, mknodat};
    let home = tempfile::tempdir().unwrap();
    let thumbnails = in_folder(home.path());
    thumbnails.keep(b"a photo", SIZE, &picture(7, 300));
    let (sum, at) = (sha256(b"a photo"), home.path().join(&names(home.path())[0]));
    fs::remove_file(&at).unwrap();
    mknodat(CWD, &at, FileType::Fifo, Mode::RUSR | Mode::WUSR, 0).unwrap();
    assert_eq!(thumbnails.find(&sum, SIZE), None);
    thumbnails.keep(b"a photo", SIZE, &picture(7, 300));
    assert_eq!(thumbnails.find(&sum, SIZE), Some(picture(7, 300)));
    fs::remove_file(&at).unwrap();
    fs::create_dir_all(at.join("with something in it")).unwrap();
    assert_eq!(thumbnails.find(&sum, SIZE), None);
    thumbnails.keep(b"a photo", SIZE, &picture(7, 300));
    assert_eq!(thumbnails.find(&sum, SIZE), None);
}

#[test]
fn the_bound_holds_the_oldest_go_and_strangers_stay() {
    const MOST: u64 = 80_000;
    let home = tempfile::tempdir().unwrap();
    fs::write(home.path().join("a stranger"), vec![0; 100_000]).unwrap();
    fs::write(home.path().join(".hillfolio-left-behind"), vec![0; 60_000]).unwrap();
    let photo = |n: u32| format!("photo {n}").into_bytes();
    let kept = || -> u64 {
        let names = names(home.path()).into_iter().filter(|name| name != "a stranger");
        names.map(|name| fs::metadata(home.path().join(name)).unwrap().len()).sum()
    };
    for build in 0..10 {
        let thumbnails = Thumbnails::within(home.path(), &[], MOST);
        for n in build * 10..build * 10 + 10 {
            thumbnails.keep(&photo(n), SIZE, &picture(1, 3_000));
            assert!(kept() <= MOST, "{} bytes after photo {n}", kept());
            assert_eq!(thumbnails.find(&sha256(&photo(n)), SIZE), Some(picture(1, 3_000)));
        }
    }
    let thumbnails = Thumbnails::within(home.path(), &[], MOST);
    let there: Vec<u32> = (0..100).filter(|n| thumbnails.find(&sha256(&photo(*n)), SIZE).is_some()).collect();
    assert!(there.len() >= 20 && there.iter().all(|n| *n >= 75), "{there:?}");
    assert!(!names(home.path()).contains(&".hillfolio-left-behind".to_owned()));
    assert!(home.path().join("a stranger").is_file());

    thumbnails.keep(b"huge", SIZE, &picture(1, 20_000));
    assert_eq!(thumbnails.find(&sha256(b"huge"), SIZE), None, "one picture does not drive out all others");
}

#[test]
fn many_at_once_find_a_whole_picture_or_none() {
    const MOST: u64 = 200_000;
    let home = tempfile::tempdir().unwrap();
    let photo = |n: usize| format!("photo {n}").into_bytes();
    let of = |n: usize| picture(n as u8, 2_000 + 10 * n);
    std::thread::scope(|scope| {
        for thread in 0..8 {
            // Two threads share each, as those of a build do; the others are builds of their own.
            let (folder, photo, of) = (home.path(), &photo, &of);
            scope.spawn(move || {
                let thumbnails = Thumbnails::within(folder, &[], MOST);
                std::thread::scope(|scope| {
                    for half in 0..2 {
                        let thumbnails = &thumbnails;
                        scope.spawn(move || {
                            for round in 0..200 {
                                let n = (round * 7 + thread * 13 + half) % 100;
                                match thumbnails.find(&sha256(&photo(n)), SIZE) {
                                    Some(found) => assert_eq!(found, of(n)),
                                    None => thumbnails.keep(&photo(n), SIZE, &of(n)),
                                }
                            }
                        });
                    }
                });
            });
        }
    });
    assert!(names(home.path()).iter().all(|name| name.ends_with(".thumbnail")), "nothing unfinished is left");
    assert!(names(home.path()).len() > 20);
}

#[test]
fn nothing_is_kept_among_inputs_or_documents() {
    let home = tempfile::tempdir().unwrap();
    let (project, out) = (home.path().join("project"), home.path().join("out"));
    fs::create_dir(&project).unwrap();
    let kept = |folder: &Path| Thumbnails::kept_in(folder, &[&project, &out]);
    for inside in
        [&project, &project.join("a/b"), &out, &out.join("cache"), &home.path().join("none/../out/x")]
    {
        let thumbnails = kept(inside);
        assert_eq!(thumbnails.folder(), None, "{}", inside.display());
        thumbnails.keep(b"a photo", SIZE, &picture(7, 300));
    }
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(&project, home.path().join("link")).unwrap();
        assert_eq!(kept(&home.path().join("link/a")).folder(), None);
    }
    assert_eq!((names(&project), out.exists()), (vec![], false));
    let beside = home.path().join("project-cache");
    assert!(kept(&beside).folder().is_some_and(|folder| folder.ends_with("project-cache")));
}

/// A project's acquittal, built with what is kept in `cache`.
fn built(folder: &Path, out: &Path, cache: Option<&Path>) -> Vec<(PathBuf, Vec<u8>)> {
    let order = Order {
        folder: folder.to_owned(),
        out: Some(out.to_owned()),
        only: vec![Document::Acquittal],
        templates: None,
        photo_cache: cache.map(Path::to_owned),
    };
    hillfolio::build(&order, &|_| {}).unwrap();
    bytes_below(out)
}

#[test]
fn a_build_gives_the_same_bytes_whatever_was_kept() {
    let home = tempfile::tempdir().unwrap();
    let (cache, out) = (home.path().join("cache"), home.path().join("out"));
    let folder = home.path().join("project");
    small(&folder);
    let without = built(&folder, &out, None);
    assert!(!cache.exists());
    assert!(without == built(&folder, &out, Some(&cache)), "with an empty cache");
    let kept = names(&cache);
    assert!(kept.len() == 4 && kept.iter().all(|name| name.ends_with(".thumbnail")), "{kept:?}");
    assert!(without == built(&folder, &out, Some(&cache)), "with a full one");
    assert_eq!(names(&cache), kept);
    // No more of a photo is kept than the page shows: no place, no name, no day.
    for name in &kept {
        let bytes = fs::read(cache.join(name)).unwrap();
        assert!(memchr::memmem::find(&bytes, b"Exif").is_none());
        assert!(memchr::memmem::find(&bytes, b"photos/").is_none());
    }

    let damage = [fs::read(cache.join(&kept[0])).unwrap().split_off(1), b"no picture".to_vec(), Vec::new()];
    for (name, bytes) in kept.iter().zip(damage) {
        fs::write(cache.join(name), bytes).unwrap();
    }
    assert!(without == built(&folder, &out, Some(&cache)), "with a damaged one");
    let project = intake::read(&Folder::open(&folder).unwrap(), &typeset::printable()).unwrap().project;
    for (photo, longest_px) in typeset::photos(&project) {
        let size = Size { longest_px, quality: typeset::PICTURE_QUALITY };
        assert!(in_folder(&cache).find(&photo.sha256, size).is_some(), "what was damaged is put right");
    }

    let mut permissions = fs::metadata(&cache).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&cache, permissions.clone()).unwrap();
    assert!(without == built(&folder, &out, Some(&cache)), "with one that can only be read");
    #[allow(clippy::permissions_set_readonly_false, reason = "so that the test can clear up")]
    permissions.set_readonly(false);
    fs::set_permissions(&cache, permissions).unwrap();
    let file = cache.join(&kept[0]);
    assert!(without == built(&folder, &out, Some(&file.join("deeper"))), "with none that could be made");
    assert!(without == built(&folder, &out, Some(&out.join("cache"))), "with one among the documents");
}

/// Every photo of the project, kept as another picture: where documents show that one, nothing was decoded.
fn forge(folder: &Path, cache: &Path) -> usize {
    let folder = Folder::open(folder).unwrap();
    let project = intake::read(&folder, &typeset::printable()).unwrap().project;
    let jpeg = fs::read(sample("ashlar-gap").join("photos/A1/2020-11-18.jpg")).unwrap();
    let photos = typeset::photos(&project);
    for &(photo, longest_px) in &photos {
        let size = Size { longest_px, quality: typeset::PICTURE_QUALITY };
        let forged = hillfolio_documents::draw::photo::shrink(&jpeg, 100, 50).unwrap();
        in_folder(cache).keep(&folder.bytes(&photo.path).unwrap(), size, &forged);
    }
    let (pictures, problems) = hillfolio::commands::pictures(&folder, &project, &in_folder(cache));
    assert!(problems.is_empty() && pictures.iter().all(|picture| picture.width.max(picture.height) == 100));
    photos.len()
}

/// The commands, as far as a test can tell them where the user's cache is.
#[cfg(target_os = "linux")]
#[test]
fn the_commands_use_what_was_kept_unless_told_not_to_and_a_pack_is_verified_without() {
    let home = tempfile::tempdir().unwrap();
    let (caches, root) = (home.path().join("caches"), home.path().join("root"));
    let (cache, folder) = (caches.join("hillfolio/photos"), root.join("spur"));
    small(&folder);
    let run = |order: &[&str], code: i32| {
        hillfolio().env("XDG_CACHE_HOME", &caches).args(order).assert().code(code);
    };
    let (root, path) = (root.to_str().unwrap(), folder.to_str().unwrap());
    let out = folder.join("out");
    run(&["build", path, "--no-cache"], 0);
    assert!(!caches.exists(), "nothing is kept");
    let honest = bytes_below(&out);

    let photos = forge(&folder, &cache);
    assert_eq!(photos, 4);
    run(&["build", path], 0);
    assert!(honest != bytes_below(&out), "what was kept is used");
    let pack = names(&out).into_iter().find(|name| name.ends_with(".zip")).unwrap();
    run(&["verify", out.join(&pack).to_str().unwrap()], 1);
    run(&["build", path, "--no-cache"], 0);
    assert!(honest == bytes_below(&out), "what was kept is not used");
    run(&["verify", out.join(&pack).to_str().unwrap()], 0);

    fs::remove_dir_all(&caches).unwrap();
    run(&["portfolio", root, "--no-cache"], 0);
    assert!(!caches.exists(), "workers keep nothing");
    run(&["portfolio", root, "--force"], 0);
    assert_eq!(names(&cache).len(), photos, "workers keep what they made");
}
