//! JSON as it is printed: keys in the order they were put in, two spaces a level, a line end.

use serde_json::Value;

/// One value, for a file or the standard output.
pub fn print(value: &Value) -> String {
    // Nothing that is a `Value` fails to print.
    format!("{value:#}\n")
}

#[cfg(test)]
mod tests {
    #[test]
    fn keeps_the_order_of_keys() {
        let value = serde_json::json!({ "b": 1, "a": [true, null] });
        assert_eq!(
            super::print(&value),
            "{\n  \"b\": 1,\n  \"a\": [\n    true,\n    null\n  ]\n}\n"
        );
    }
}
