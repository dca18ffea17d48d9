//! Seals: a pack signed by its sender. Sums and figures can be made anew by whoever changes a pack; a seal can't.
//!
//! The form of keys and seals is minisign's: Ed25519 signatures over the BLAKE2b sum of the file, with a comment that is signed too
//! (Bernstein et al. 2012, *High-speed high-security signatures*, Journal of Cryptographic Engineering 2:77-89; RFC 8032, RFC 7693).

use std::io::{Read, Seek};

use minisign::{KeyPair, PublicKey, PublicKeyBox, SecretKey, SecretKeyBox, SignatureBox};

/// What the seal beside a pack says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Seal {
    /// No key was named to hold one against; whether one lies beside the pack.
    NotAsked {
        /// Whether a seal lies there.
        there: bool,
    },
    /// A key was named, and no seal lies beside the pack.
    Missing,
    /// The pack is, byte for byte, what the owner of the key sealed, and what they said of it.
    Holds(String),
    /// It is not, in words.
    Broken(&'static str),
}

impl Seal {
    /// Whether nothing is wrong that was asked for.
    #[must_use]
    pub fn is_good(&self) -> bool {
        matches!(self, Seal::NotAsked { .. } | Seal::Holds(_))
    }
}

/// Why there is no seal, or no key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum SealError {
    /// The file holds something else.
    #[error("it is no secret key of minisign's form")]
    NoSecretKey,
    /// The file holds something else.
    #[error("it is no public key of minisign's form; the sender's ends in .pub")]
    NoPublicKey,
    /// The password is another.
    #[error("the password does not open it")]
    Password,
    /// The system gives no random numbers, or the pack broke off.
    #[error("the pack could not be read to its end, or the system gives no random numbers")]
    System,
}

/// A new pair of keys: the secret one, without a password, and the one to hand out.
///
/// # Errors
/// The system gives no random numbers.
pub fn new_keys() -> Result<(String, String), SealError> {
    let pair = KeyPair::generate_unencrypted_keypair().map_err(|_| SealError::System)?;
    let secret = pair.sk.to_box(Some("hillfolio secret key: keep it to yourself"));
    let public = pair.pk.to_box();
    match (secret, public) {
        (Ok(secret), Ok(public)) => Ok((secret.into_string(), public.into_string())),
        _ => Err(SealError::System),
    }
}

/// The seal of `pack` by the `secret` key, with what is `said` of it. A key with a password asks for it on the terminal.
///
/// # Errors
/// [`SealError`]: the key can't be used, or the pack can't be read.
pub fn sealed(secret: &str, pack: impl Read, said: &str) -> Result<String, SealError> {
    let open = || SecretKeyBox::from_string(secret).map_err(|_| SealError::NoSecretKey);
    let key: SecretKey = match open()?.into_unencrypted_secret_key() {
        Ok(key) => key,
        Err(_) if !is_key(secret) => return Err(SealError::NoSecretKey),
        Err(_) => open()?.into_secret_key(None).map_err(|_| SealError::Password)?,
    };
    let seal = minisign::sign(None, &key, pack, Some(&one_line(said)), Some("seal of a hillfolio pack"));
    seal.map(SignatureBox::into_string).map_err(|_| SealError::System)
}

/// Whether the `seal` of `pack` was made with the secret half of the `public` key, and the pack is unchanged since.
///
/// # Errors
/// [`SealError::NoPublicKey`] where the key is none.
pub fn held(public: &str, seal: &str, pack: impl Read + Seek) -> Result<Seal, SealError> {
    let key = PublicKeyBox::from_string(public).and_then(PublicKeyBox::into_public_key);
    // The key alone, in one line, is how it is read out or printed on a letterhead.
    let key = key.or_else(|_| PublicKey::from_base64(public.trim())).map_err(|_| SealError::NoPublicKey)?;
    let Ok(seal) = SignatureBox::from_string(seal) else {
        return Ok(Seal::Broken("what lies beside the pack is no seal"));
    };
    if seal.keynum() != key.keynum() {
        return Ok(Seal::Broken("it was sealed with another key"));
    }
    Ok(match (minisign::verify(&key, &seal, pack, true, false, false), seal.trusted_comment()) {
        (Ok(()), Ok(said)) => Seal::Holds(said),
        _ => Seal::Broken("it is not what was sealed: it was changed since, or the seal is of another pack"),
    })
}

/// Whether `text` has the two lines of a key, so that only its password is wanting.
fn is_key(text: &str) -> bool {
    let mut lines = text.lines();
    lines.next().is_some_and(|line| line.starts_with("untrusted comment:"))
        && lines.next().is_some_and(|line| line.len() > 100)
}

/// `said` without what would end the line it stands in.
fn one_line(said: &str) -> String {
    said.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect()
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use super::*;

    #[test]
    fn a_seal_holds_for_its_key_and_its_bytes_alone() {
        let (secret, public) = new_keys().unwrap();
        let (_, other) = new_keys().unwrap();
        let seal = sealed(&secret, Cursor::new(b"a pack"), "quiet-ridge.zip\n6 bytes").unwrap();
        let held = |key: &str, pack: &'static [u8]| held(key, &seal, Cursor::new(pack)).unwrap();
        assert_eq!(held(&public, b"a pack"), Seal::Holds("quiet-ridge.zip 6 bytes".to_owned()));
        let bare = public.lines().nth(1).unwrap();
        assert_eq!(held(bare, b"a pack"), Seal::Holds("quiet-ridge.zip 6 bytes".to_owned()));
        assert!(matches!(held(&public, b"A pack"), Seal::Broken(why) if why.contains("changed")));
        assert!(matches!(held(&other, b"a pack"), Seal::Broken(why) if why.contains("another key")));
        // What is said of it is sealed too.
        let forged = seal.replace("6 bytes", "7 bytes");
        let said = crate::audit::held(&public, &forged, Cursor::new(b"a pack")).unwrap();
        assert!(matches!(said, Seal::Broken(_)), "{said:?}");
    }

    /// A key, a seal and a file of Debian's package minisign 0.11: what it sealed holds here.
    #[test]
    fn keys_and_seals_are_those_of_minisign() {
        let [public, words, seal] = [
            include_str!("../../../tests/program/sealed/key.pub"),
            include_str!("../../../tests/program/sealed/words.txt"),
            include_str!("../../../tests/program/sealed/words.txt.minisig"),
        ];
        assert_eq!(held(public, seal, Cursor::new(words)), Ok(Seal::Holds("words of the hill".to_owned())));
        let changed = words.replace("before", "after");
        assert!(matches!(held(public, seal, Cursor::new(changed)), Ok(Seal::Broken(_))));
    }

    #[test]
    fn what_is_no_key_and_no_seal_is_told() {
        let (secret, public) = new_keys().unwrap();
        assert_eq!(sealed("nothing", Cursor::new(b"a"), ""), Err(SealError::NoSecretKey));
        assert_eq!(sealed(&public, Cursor::new(b"a"), ""), Err(SealError::NoSecretKey));
        assert_eq!(held(&secret, "", Cursor::new(b"a")), Err(SealError::NoPublicKey));
        assert!(matches!(held(&public, "nothing", Cursor::new(b"a")), Ok(Seal::Broken(_))));
        assert!(matches!(held(&public, &public, Cursor::new(b"a")), Ok(Seal::Broken(_))));
    }
}
