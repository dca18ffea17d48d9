//! Lists `report-templates/` and `fonts/` for embedding, so that the program needs neither at run time, and works out the sums over
//! its own sources by which what was kept from another version is known.

#![allow(clippy::print_stdout, reason = "a build script speaks to cargo on standard output")]

use std::{
    env, fs,
    io::Error,
    path::{Path, PathBuf},
};

fn main() -> Result<(), Error> {
    let root = PathBuf::from(env::var("CARGO_MANIFEST_DIR").map_err(Error::other)?);
    // The binary's package is at the top, that of the documents two folders below.
    if env::var("CARGO_PKG_NAME").is_ok_and(|name| name == "hillfolio") {
        println!("cargo:rustc-env=HILLFOLIO_SOURCES={:016x}", sum(&root, &SOURCES, &[])?);
        return Ok(());
    }
    let root = root.join("../..").canonicalize()?;
    let out = PathBuf::from(env::var("OUT_DIR").map_err(Error::other)?).join("embedded.rs");
    let templates = listing(&root.join("report-templates"), "TEMPLATES", &["typ"], "&str", "include_str")?;
    let fonts = listing(&root.join("fonts"), "FONTS", &["otf", "ttf"], "&[u8]", "include_bytes")?;
    let target = env::var("TARGET").map_err(Error::other)?;
    println!("cargo:rustc-env=HILLFOLIO_SHRINKING={:016x}", sum(&root, &SHRINKING, target.as_bytes())?);
    fs::write(out, templates + &fonts)
}

/// Everything that the documents' bytes depend on.
const SOURCES: [&str; 4] = ["Cargo.lock", "fonts", "report-templates", "src"];

/// Everything that the bytes of a photo made small depend on, the original and the target machine aside.
const SHRINKING: [&str; 3] = ["Cargo.lock", "Cargo.toml", "src/documents/draw/photo.rs"];

/// A sum over some of the program's own sources and what else is `given`, by which a portfolio knows that another program built a
/// project, and a photo that another program made it small: 64-bit FNV-1a of Fowler, Noll and Vo, enough to tell versions apart.
fn sum(root: &Path, sources: &[&str], given: &[u8]) -> Result<u64, Error> {
    let mut sum: u64 = 0xcbf2_9ce4_8422_2325;
    let mut add = |bytes: &[u8]| {
        for byte in bytes {
            sum = (sum ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    };
    add(given);
    for source in sources.iter().map(|source| root.join(source)) {
        println!("cargo:rerun-if-changed={}", source.display());
        for file in if source.is_dir() { files(&source)? } else { vec![source] } {
            let inside = file.strip_prefix(root).map_err(Error::other)?.to_string_lossy().replace('\\', "/");
            add(inside.as_bytes());
            add(&fs::read(&file)?);
        }
    }
    Ok(sum)
}

/// The Rust source of a static list of every file under `folder` with one of `endings`: its path there and its content.
fn listing(
    folder: &Path,
    name: &str,
    endings: &[&str],
    content: &str,
    including: &str,
) -> Result<String, Error> {
    println!("cargo:rerun-if-changed={}", folder.display());
    let mut list = format!("pub(super) static {name}: &[(&str, {content})] = &[\n");
    for file in files(folder)? {
        let ending = file.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
        let inside = file.strip_prefix(folder).map_err(Error::other)?.to_string_lossy().replace('\\', "/");
        if endings.contains(&ending) {
            list += &format!("    ({inside:?}, {including}!({:?})),\n", file.to_string_lossy());
        }
    }
    Ok(list + "];\n")
}

/// Every file under `folder`, in order of path: `read_dir` gives any order, and the binary must not depend on it.
fn files(folder: &Path) -> Result<Vec<PathBuf>, Error> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            found.extend(files(&path)?);
        } else {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}
