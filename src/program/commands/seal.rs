//! `seal`: a pack signed with the sender's secret key; and a new pair of keys.

use std::path::{Path, PathBuf};

use crate::{
    audit::{self, SealError},
    commands::{CommandError, Outcome},
};
use hillfolio_core::intake::{self, Packed};
use hillfolio_documents::pack;

pub(super) fn run(pack: Option<&Path>, key: Option<&Path>, new_key: Option<&Path>, quiet: bool) -> Outcome {
    let done = match (new_key, pack, key) {
        (Some(name), _, _) => new_keys(name),
        (None, Some(pack), Some(key)) => seal(pack, key),
        // What can be typed has both.
        _ => Ok(String::new()),
    };
    match done {
        Ok(_) if quiet => Outcome::default(),
        Ok(out) => Outcome { out, ..Outcome::default() },
        Err(failure) => failure.not_read(),
    }
}

/// Where the seal of the pack at `path` lies: beside it, under its name with `.minisig` behind it.
pub(super) fn beside(path: &Path) -> PathBuf {
    with_behind(path, ".minisig")
}

fn with_behind(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

/// Seals the pack, and gives what to say of it.
fn seal(path: &Path, key: &Path) -> Result<String, CommandError> {
    let refused = |why| CommandError::Seal { key: key.to_owned(), why };
    let secret = intake::key_text(key)?.ok_or_else(|| refused(SealError::NoSecretKey))?;
    // What is no pack is not sealed as one.
    let members = Packed::open(path)?.members().len();
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let seal = audit::sealed(&secret, intake::pack_file(path)?, &format!("{name}, {members} members"))
        .map_err(refused)?;
    let at = beside(path);
    pack::write_list(&at, seal.as_bytes(), &|old| old.starts_with(b"untrusted comment:"))?;
    Ok(format!(
        "sealed: {}\nsend it with the pack; whoever has your public key looks with: hillfolio verify {name} --by KEY.pub\n",
        at.display()
    ))
}

/// Makes a secret key called `name`, and its public half beside it.
fn new_keys(name: &Path) -> Result<String, CommandError> {
    let (secret, public) =
        audit::new_keys().map_err(|why| CommandError::Seal { key: name.to_owned(), why })?;
    let hand_out = with_behind(name, ".pub");
    pack::write_key(name, secret.as_bytes(), true)?;
    pack::write_key(&hand_out, public.as_bytes(), false)?;
    Ok(format!(
        "{}: your secret key, without a password; keep it where nobody else reads it\n{}: hand this out, by another way than your packs\n",
        name.display(),
        hand_out.display()
    ))
}
