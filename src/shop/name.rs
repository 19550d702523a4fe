//! Names as people write them.

/// Whether two names are one: blanks at the ends and case count for nothing.
pub fn same_name(one: &str, other: &str) -> bool {
    one.trim().to_lowercase() == other.trim().to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blanks_and_case_count_for_nothing() {
        assert!(same_name(" Brass, 44 long", "brass, 44 LONG "));
        assert!(!same_name("brass, 44 long", "brass, 45 long"));
    }
}
