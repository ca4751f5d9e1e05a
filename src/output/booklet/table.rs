//! Tables: columns as wide as their cells, a thin rule under the heads, and what each cell means.

use super::document::Role;
use super::look::Kind;
use super::setter::Setter;
use crate::scene::{Anchor, Figures, Item, Line, Point, Text, font, wrap};
use crate::units::Mm;

/// Between two columns, at least and at most.
const CLOSE: f64 = 3.4;
const APART: f64 = 16.0;

/// A column of cells.
pub(super) struct Column {
    /// Whether its cells end at its right edge.
    pub(super) right: bool,
    pub(super) head: String,
    pub(super) cells: Vec<String>,
    /// What stands below the rule at the end; empty is nothing.
    pub(super) sum: String,
}

/// What is drawn beside a row, given its number and where its line begins, at middle height.
pub(super) type Before<'a> = dyn Fn(usize, Point) -> Vec<Item> + 'a;

/// A table.
pub(super) struct Table<'a> {
    pub(super) columns: Vec<Column>,
    /// Room at the left for what `before` draws beside each row.
    pub(super) indent: Mm,
    /// Draws something at the left of a row: its number, and the middle of its line.
    pub(super) before: Option<&'a Before<'a>>,
    pub(super) leading: Mm,
}

/// How wide the columns are.
struct Widths {
    columns: Vec<Mm>,
    /// Between two of them.
    apart: Mm,
}

impl Setter {
    /// Sets a table from the left edge; its heads come again on every page.
    pub(super) fn table(&mut self, table: &Table) {
        let small = self.look.small;
        let body = self.look.body;
        let rows = table
            .columns
            .iter()
            .map(|c| c.cells.len())
            .max()
            .unwrap_or(0);
        let widths = self.widths(table, small, body);
        let of = self.element(Role::Table, None);
        self.need(Mm::new(24.0));
        self.heads(table, &widths, of, true);
        for row in 0..rows {
            let cells = self.broken_cells(table, &widths, row, body);
            let lines = cells.iter().map(Vec::len).max().unwrap_or(1);
            let high = table.leading + body.leading * (lines - 1) as f64;
            if self.room() < high {
                self.page();
                self.heads(table, &widths, of, false);
            }
            let middle = self.y + table.leading / 2.0;
            if let Some(before) = table.before {
                let items = before(row, Point::new(self.left, middle));
                self.decorate(items);
            }
            let tr = self.element(Role::Row, Some(of));
            self.row(table, &widths, tr, &cells, body, middle);
            self.y = self.y + high;
        }
        if table.columns.iter().any(|column| !column.sum.is_empty()) {
            self.sums(table, &widths, of, body);
        }
        self.space(2.0);
    }

    fn widths(&self, table: &Table, small: Kind, body: Kind) -> Widths {
        let wide = |words: &str, kind: Kind| {
            font::width(words, kind.size, kind.weight, Figures::Tabular).get()
        };
        let mut widths: Vec<f64> = table
            .columns
            .iter()
            .map(|column| {
                let cells = column.cells.iter().map(|cell| wide(cell, body));
                let head = wide(&column.head, small).max(wide(&column.sum, body.bold()));
                cells.fold(head, f64::max) + 0.2
            })
            .collect();
        // Columns of words give way where the table is too wide.
        let gaps = (widths.len().max(2) - 1) as f64;
        let taken = widths.iter().sum::<f64>() + table.indent.get();
        let over = taken + CLOSE * gaps - self.width.get();
        let apart = ((self.width.get() - taken) / gaps).clamp(CLOSE, APART);
        let words: Vec<usize> = (0..widths.len())
            .filter(|&at| !table.columns[at].right)
            .collect();
        let all: f64 = words.iter().map(|&at| widths[at]).sum();
        if over > 0.0 && all > over {
            for at in words {
                widths[at] *= 1.0 - over / all;
            }
        }
        Widths {
            columns: widths.into_iter().map(Mm::new).collect(),
            apart: Mm::new(apart),
        }
    }

    fn heads(&mut self, table: &Table, widths: &Widths, of: usize, first: bool) {
        let kind = self.look.small;
        let baseline = self.y + kind.baseline();
        let row = first.then(|| self.element(Role::Row, Some(of)));
        let mut x = self.left + table.indent;
        for (column, &width) in table.columns.iter().zip(&widths.columns) {
            let text = cell(column.right, x, width, baseline, &column.head, kind);
            match row {
                Some(row) => {
                    let head = self.element(Role::ColumnHead, Some(row));
                    self.mark(head, text);
                }
                None => self.decorate(text),
            }
            x = x + width + widths.apart;
        }
        self.y = self.y + kind.leading + Mm::new(0.8);
        self.rule(table, widths);
        self.space(0.9);
    }

    fn rule(&mut self, table: &Table, widths: &Widths) {
        let gaps = widths.apart * (widths.columns.len().max(1) - 1) as f64;
        let wide = widths.columns.iter().fold(table.indent, |sum, w| sum + *w) + gaps;
        let line = Line {
            from: Point::new(self.left, self.y),
            to: Point::new(self.left + wide, self.y),
            thickness: Mm::new(0.18),
            colour: self.look.style.faint,
        };
        self.decorate(vec![Item::Line(line)]);
    }

    fn broken_cells(
        &self,
        table: &Table,
        widths: &Widths,
        row: usize,
        kind: Kind,
    ) -> Vec<Vec<String>> {
        let lines = |(column, width): (&Column, &Mm)| {
            let words = column.cells.get(row).map_or("", String::as_str);
            if column.right {
                vec![words.to_string()]
            } else {
                wrap(words, kind.size, kind.weight, *width)
            }
        };
        table
            .columns
            .iter()
            .zip(&widths.columns)
            .map(lines)
            .collect()
    }

    fn row(
        &mut self,
        table: &Table,
        widths: &Widths,
        tr: usize,
        cells: &[Vec<String>],
        kind: Kind,
        middle: Mm,
    ) {
        let baseline = middle + kind.size * (font::CAPITALS / 2.0);
        let mut x = self.left + table.indent;
        for (at, (column, &width)) in table.columns.iter().zip(&widths.columns).enumerate() {
            let role = if at == 0 { Role::RowHead } else { Role::Cell };
            let td = self.element(role, Some(tr));
            let last = cells[at].len() - 1;
            let mut items = Vec::new();
            for (line, words) in cells[at].iter().enumerate() {
                let space = if line < last { " " } else { "" };
                let y = baseline + kind.leading * line as f64;
                items.extend(cell(
                    column.right,
                    x,
                    width,
                    y,
                    &format!("{words}{space}"),
                    kind,
                ));
            }
            self.mark(td, items);
            x = x + width + widths.apart;
        }
    }

    fn sums(&mut self, table: &Table, widths: &Widths, of: usize, kind: Kind) {
        self.space(0.6);
        self.rule(table, widths);
        self.space(0.6);
        let tr = self.element(Role::Row, Some(of));
        let middle = self.y + table.leading / 2.0;
        let cells: Vec<Vec<String>> = table.columns.iter().map(|c| vec![c.sum.clone()]).collect();
        self.row(table, widths, tr, &cells, kind.bold(), middle);
        self.y = self.y + table.leading;
    }
}

/// A cell's words; none if it is empty.
fn cell(right: bool, x: Mm, width: Mm, baseline: Mm, words: &str, kind: Kind) -> Vec<Item> {
    if words.trim().is_empty() {
        return Vec::new();
    }
    vec![Item::Text(Text {
        x: if right { x + width } else { x },
        baseline,
        size: kind.size,
        weight: kind.weight,
        anchor: if right { Anchor::End } else { Anchor::Start },
        figures: if right {
            Figures::Tabular
        } else {
            Figures::Running
        },
        colour: kind.colour,
        words: words.to_string(),
    })]
}
