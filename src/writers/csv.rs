//! CSV (RFC 4180): a table's head and rows, in UTF-8, lines ended by CR LF.

use crate::sheets::Table;

/// A table as CSV. The lines set below it on a sheet are words, not rows, and stay there.
pub fn csv(table: &Table) -> String {
    let mut out = String::new();
    for row in std::iter::once(&table.head).chain(&table.rows) {
        for (i, cell) in row.iter().enumerate() {
            if i > 0 {
                out.push(',');
            }
            push_cell(&mut out, cell);
        }
        out.push_str("\r\n");
    }
    out
}

fn push_cell(out: &mut String, cell: &str) {
    let quoted =
        cell.contains([',', '"', '\r', '\n']) || cell.starts_with(' ') || cell.ends_with(' ');
    if !quoted {
        out.push_str(cell);
        return;
    }
    out.push('"');
    out.push_str(&cell.replace('"', "\"\""));
    out.push('"');
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quotes_what_needs_it() {
        let row = |cells: &[&str]| cells.iter().map(|c| (*c).to_owned()).collect::<Vec<_>>();
        let table = Table {
            name: "t",
            head: row(&["Tag", "Room"]),
            rows: vec![
                row(&["WC-1", "Bath, \"hall\""]),
                row(&["KS-1", "two\nlines"]),
                row(&["", " x"]),
            ],
            ..Table::default()
        };
        assert_eq!(
            csv(&table),
            "Tag,Room\r\nWC-1,\"Bath, \"\"hall\"\"\"\r\nKS-1,\"two\nlines\"\r\n,\" x\"\r\n"
        );
    }
}
