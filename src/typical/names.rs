//! Names of things that are alike, said together.

/// Names in their order, those that follow each other by number said by the first and the last of
/// them: `A2 to A9, A11`.
pub fn together<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    together_as(names, str::to_owned)
}

/// The same, each name written in some way.
pub fn together_as<'a>(
    names: impl IntoIterator<Item = &'a str>,
    write: impl Fn(&str) -> String,
) -> String {
    let mut groups: Vec<Vec<&str>> = Vec::new();
    for name in names {
        match groups.last_mut() {
            Some(group) if group.last().is_some_and(|last| follows(last, name)) => group.push(name),
            _ => groups.push(vec![name]),
        }
    }
    let words = groups.iter().map(|group| match group[..] {
        [first, _, _, ..] => {
            let last = group.last().copied().unwrap_or(first);
            format!("{} to {}", write(first), write(last))
        }
        _ => group
            .iter()
            .map(|n| write(n))
            .collect::<Vec<String>>()
            .join(", "),
    });
    words.collect::<Vec<String>>().join(", ")
}

/// Whether a name is that of the next number.
fn follows(before: &str, name: &str) -> bool {
    let number = |name: &str| {
        let word = name.trim_end_matches(|c: char| c.is_ascii_digit());
        let number = name.get(word.len()..)?.parse::<u64>().ok()?;
        Some((word.to_owned(), number))
    };
    match (number(before), number(name)) {
        (Some((a, i)), Some((b, j))) => a == b && i.checked_add(1) == Some(j),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::together;

    /// Protects crews from a list that names a stack which is not among those alike.
    #[test]
    fn only_what_follows_by_number_is_said_by_its_ends() {
        assert_eq!(
            together(["A2", "A3", "A4", "A6", "B7", "B8"]),
            "A2 to A4, A6, B7, B8"
        );
        assert_eq!(together(["3", "4", "5"]), "3 to 5");
        assert_eq!(together(["east", "west"]), "east, west");
        assert_eq!(together([]), "");
        let huge = "X99999999999999999999";
        assert_eq!(together([huge, "X1"]), format!("{huge}, X1"));
    }
}
