//! Whether a program says that it was made from this job. It informs, no more.

/// How much of a program's head is looked at, in bytes.
const HEAD: usize = 2048;

/// Stands before the digest in a program's head.
const WORD: &[u8] = b"inputs ";

/// The first bytes of a program.
#[derive(Clone, Debug, Default)]
pub(crate) struct Head {
    bytes: Vec<u8>,
}

impl Head {
    pub(crate) fn take(&mut self, bytes: &[u8]) {
        let room = HEAD - self.bytes.len().min(HEAD);
        self.bytes
            .extend_from_slice(&bytes[..bytes.len().min(room)]);
    }

    /// What a person should know of `path`, judged against a job of `digest`.
    pub(crate) fn note(&self, path: &str, digest: &str) -> Option<String> {
        let Some(found) = self.digest() else {
            return Some(format!(
                "`{path}` does not say which job it was made from; it is judged by what it does"
            ));
        };
        (!digest.starts_with(&found)).then(|| {
            let own = &digest[..found.len().min(digest.len())];
            format!(
                "`{path}` was not made from this job as it stands: its head names inputs {found}, \
                 this job's are {own}"
            )
        })
    }

    /// The hexadecimal digits after the word.
    fn digest(&self) -> Option<String> {
        let start = self
            .bytes
            .windows(WORD.len())
            .position(|window| window == WORD)?;
        let digits: String = self.bytes[start + WORD.len()..]
            .iter()
            .take_while(|byte| byte.is_ascii_hexdigit())
            .map(|&byte| char::from(byte.to_ascii_lowercase()))
            .collect();
        (digits.len() >= 8).then_some(digits)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn note(text: &str) -> Option<String> {
        let mut head = Head::default();
        let (first, rest) = text.as_bytes().split_at(text.len() / 2);
        head.take(first);
        head.take(rest);
        head.note("a.nc", "0123456789abcdef0123456789abcdef")
    }

    #[test]
    fn a_program_of_this_job_needs_no_note() {
        assert_eq!(
            note("(stepwell 0.1.0, inputs 0123456789abcdef)\nG21\n"),
            None
        );
    }

    #[test]
    fn a_program_of_another_job_is_named() {
        let found = note("(stepwell 0.1.0, inputs ffff456789abcdef)\nG21\n").unwrap();
        assert!(found.contains("not made from this job") && found.contains("ffff456789abcdef"));
    }

    #[test]
    fn a_program_without_a_digest_is_named_too() {
        assert!(note("G21\nM30\n").unwrap().contains("does not say"));
        assert!(note("(inputs 12)\nM30\n").unwrap().contains("does not say"));
    }

    #[test]
    fn only_the_head_of_a_program_is_looked_at() {
        let at = |before: usize| {
            let text = format!("{}inputs 0123456789", " ".repeat(before));
            note(&format!("{text:4000}"))
        };
        // Seven letters and ten digits up to the end of the head.
        assert_eq!(at(2048 - 17), None);
        assert_eq!(at(2048 - 15), None);
        assert!(at(2048 - 14).unwrap().contains("does not say"));
    }
}
