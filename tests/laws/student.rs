//! A student who knows nothing but the words of the text: each sentence is followed with beads and
//! thread, and what is woven in the end is the chart.
//!
//! It knows what a bead weaver's hands know: a bead that is picked up settles where the needle is,
//! a needle passes from hole to hole only between beads that touch, and an up bead is the uppermost
//! one of its column, half a bead above those beside it. Rows and colours it has from the text.

mod words;

use upbead::bead::Bead;
use upbead::chart::{Chart, Made, Shade};
use upbead::colour::Srgb8;
use upbead::lattice::{Lattice, Rows};
use upbead::output::weave::text;
use upbead::report::weave::{WeaveReport, WovenBand};
use upbead::request::{OddTurn, Start, WorkFrom};
use upbead::units::LengthUnits;
use upbead::weave::{Frame, TAIL, Thread, lengths, weave};
use words::{Line, Words};

/// A bead that is in its place.
#[derive(Debug, Clone, PartialEq)]
struct Placed {
    /// What its row is called, and its column from the left.
    row: u32,
    column: usize,
    /// Half beads above the lowest ones.
    height: usize,
    word: String,
}

/// Where the needle is.
#[derive(Debug, Clone, Copy)]
enum Needle {
    /// Out of the bead of this column, over the edge.
    Out(usize),
    /// Out of the bead of this column, with more of the band before it in this direction.
    Within(usize, bool),
}

/// The student, with the work in hand.
struct Student<'a> {
    words: &'a Words,
    /// Beads in the order of picking up.
    beads: Vec<Placed>,
    columns: usize,
    needle: Needle,
}

impl<'a> Student<'a> {
    /// Strings the first beads.
    fn begin(words: &'a Words) -> Self {
        let to_right = words.follow("Then string rows {} and {} together, from the {} to the {}.");
        let rows =
            words.follow("The last bead strung belongs to row {}, the one before it to row {},");
        assert_eq!(to_right[..2], rows[..], "one order of the strung rows");
        let edge = words.follow("it lies at the {} edge.");
        assert_eq!(
            edge[0], to_right[2],
            "the stopper bead is where the stringing begins"
        );
        let to_right = words::is_right(&to_right[3]);
        let columns = words.strung.len();
        let beads = words.strung.iter().enumerate().map(|(at, word)| {
            let from_last = columns - 1 - at;
            Placed {
                row: rows[from_last % 2].parse().expect("a row"),
                column: if to_right { at } else { columns - 1 - at },
                height: 1 + from_last % 2,
                word: word.clone(),
            }
        });
        let last = if to_right { columns - 1 } else { 0 };
        Self {
            words,
            beads: beads.collect(),
            columns,
            needle: Needle::Out(last),
        }
    }

    /// The uppermost bead of a column.
    fn top(&self, column: usize) -> &Placed {
        let of = self.beads.iter().filter(|bead| bead.column == column);
        of.max_by_key(|bead| bead.height).expect("a bead")
    }

    fn beside(&self, column: usize, to_right: bool) -> Option<usize> {
        if to_right {
            Some(column + 1).filter(|column| *column < self.columns)
        } else {
            column.checked_sub(1)
        }
    }

    /// Weaves a line of the rows; `how` is what is said below it.
    fn weave(&mut self, line: &Line) {
        let first = match self.needle {
            // A turn over the edge.
            Needle::Out(column) => {
                assert_eq!(self.beside(column, !line.to_right), None, "{line:?}");
                column
            }
            Needle::Within(column, to_right) => {
                assert_eq!(to_right, line.to_right, "{line:?}");
                self.beside(column, to_right).expect("more of the band")
            }
        };
        let mut column = first;
        for (at, word) in line.beads.iter().enumerate() {
            let height = self.top(column).height + 2;
            self.beads.push(Placed {
                row: line.row,
                column,
                height,
                word: word.clone(),
            });
            let is_last = at + 1 == line.beads.len();
            let Some(next) = self.beside(column, line.to_right) else {
                assert!(is_last, "{line:?} goes over the edge");
                self.lock(line);
                return;
            };
            // Skip a bead: the one that the new bead stands on. Through the next up bead.
            assert_eq!(self.top(next).height, height - 1, "{line:?} has an up bead");
            match self.beside(next, line.to_right) {
                Some(after) => {
                    assert!(!is_last, "{line:?} ends within the row");
                    column = after;
                }
                None => {
                    assert!(is_last, "{line:?} goes over the edge");
                    self.needle = Needle::Out(next);
                    self.turn(line);
                }
            }
        }
    }

    /// The ordinary turn: over the edge, and nothing is picked up.
    fn turn(&self, line: &Line) {
        let Needle::Out(edge) = self.needle else {
            panic!("{line:?} does not end at the edge");
        };
        let Some(next) = self.words.after(line) else {
            assert_eq!(line.turn, "end");
            return;
        };
        assert_eq!(line.turn, "turn", "{line:?}");
        if line.how.is_empty() {
            return;
        }
        let told = words::follow(
            &line.how,
            "come out of the edge bead of row {}, and row {} is done. Row {} begins here: its own \
             first bead settles on that edge bead, and the needle goes back to the {} through the \
             last bead of row {}.",
        );
        let here = [self.top(edge).row, line.row, next.row].map(|row| row.to_string());
        assert_eq!(told[..3], here);
        assert_eq!(words::is_right(&told[3]), next.to_right);
        assert_eq!(told[4], line.row.to_string());
    }

    /// The new bead at the edge, which has no bead to go into, is locked as the words say.
    fn lock(&mut self, line: &Line) {
        let new = self.beads.len() - 1;
        let column = self.beads[new].column;
        match line.turn.as_str() {
            "figure-eight" => self.figure_eight(line, new),
            "odd-count turn" => self.bridge(line, new),
            "edge-bead turn" => self.edge_bead(line, new),
            other => panic!("'{other}' does not lock {line:?}"),
        }
        self.needle = Needle::Within(column, !line.to_right);
    }

    fn figure_eight(&self, line: &Line, new: usize) {
        if line.how.is_empty() {
            return;
        }
        let told = words::follow(
            &line.how,
            "Go to the {} through the \
             edge bead straight {} it, which is the {} bead strung ({}), and on {} through the {} \
             bead strung ({}) and the bead picked up before the new one ({}). Turn, and go back to \
             the {} through the bead straight {} that one, which is the {} bead strung ({}), then \
             again through the {} bead strung and the {} bead strung, out at the \
             edge. Last, go to the {} out through the \
             new edge bead, and draw snug.",
        );
        let strung = |at: &str| {
            let at = ["first", "second", "third"]
                .iter()
                .position(|word| *word == at);
            &self.beads[at.expect("an ordinal")]
        };
        let beads = [
            &self.beads[new],
            strung(&told[2]),
            strung(&told[5]),
            &self.beads[new - 1],
            strung(&told[10]),
            strung(&told[12]),
            strung(&told[13]),
            &self.beads[new],
        ];
        for (bead, word) in [(1, 3), (2, 6), (3, 7), (4, 11)] {
            assert_eq!(beads[bead].word, told[word], "{line:?}");
        }
        let is_below = |below: &Placed, above: &Placed| {
            (below.column, below.height + 2) == (above.column, above.height)
        };
        assert!(
            is_below(beads[1], beads[0]) && is_below(beads[4], beads[3]),
            "{line:?}"
        );
        let sides = [(0, 3), (8, 6), (14, 7)].map(|(word, to)| (words::is_right(&told[word]), to));
        let mut from = 0;
        for (to_right, to) in sides {
            // Over to the other direction, one bead straight above or below.
            let (before, after) = (beads[from], beads[from + 1]);
            assert_eq!(before.column, after.column, "{line:?}");
            for pair in beads[from + 1..=to].windows(2) {
                assert_eq!(self.beside(pair[0].column, to_right), Some(pair[1].column));
                assert_eq!(pair[0].height.abs_diff(pair[1].height), 1, "{line:?}");
            }
            from = to;
        }
        assert_eq!(
            sides.map(|(to_right, _)| to_right),
            [!line.to_right, line.to_right, !line.to_right]
        );
    }

    fn bridge(&self, line: &Line, new: usize) {
        if line.how.is_empty() {
            return;
        }
        let told = words::follow(
            &line.how,
            "there is no up bead for the new edge bead, the last one picked up, to go into. At the \
             edge {} it, a bridge of thread lies between the edge beads of rows {} and {}. Take \
             the needle under that bridge, then go to the {} back through the new edge bead",
        );
        let new = &self.beads[new];
        let mut below: Vec<&Placed> = self.beads.iter().collect();
        below.retain(|bead| bead.column == new.column && bead.height < new.height);
        below.sort_by_key(|bead| bead.height);
        let rows = [below[below.len() - 2].row, below[below.len() - 1].row];
        assert_eq!(told[1..3], rows.map(|row| row.to_string()), "{line:?}");
        assert_eq!(words::is_right(&told[3]), !line.to_right);
    }

    /// Twice through the edge bead below, before the new one is picked up and after.
    fn edge_bead(&self, line: &Line, new: usize) {
        if line.how.is_empty() {
            return;
        }
        let told = words::follow(
            &line.how,
            "Before you pick up the last bead of the row, go to the {} through the edge bead of \
             row {}, straight {} the place of the new one. Pick up the new edge bead, let it \
             settle on the edge bead of row {}, and go to the {} through that edge bead again, in \
             the same direction as before. Then go back to the {} through the new edge bead",
        );
        let new = &self.beads[new];
        let below = self
            .beads
            .iter()
            .find(|bead| (bead.column, bead.height + 2) == (new.column, new.height));
        let below = below.expect("an edge bead below");
        assert_eq!(
            [&told[1], &told[3]],
            [&below.row.to_string(); 2],
            "{line:?}"
        );
        let sides = [&told[0], &told[4], &told[5]].map(|side| words::is_right(side));
        assert_eq!(sides, [line.to_right, line.to_right, !line.to_right]);
        // The bead that the needle comes from touches it.
        let from = self.beside(new.column, !line.to_right).expect("a column");
        let touching = self
            .beads
            .iter()
            .any(|bead| bead.column == from && bead.height.abs_diff(below.height) == 1);
        assert!(touching, "{line:?}");
    }

    /// A new thread comes in where the old one has come out.
    fn join(&self, line: &Line) {
        let told = self.words.follow(&format!(
            "After row {} the old thread has come out of the edge bead of row {{}}, to the {{}}: \
             let it hang.",
            line.row
        ));
        let (column, to_right) = match self.needle {
            Needle::Out(column) => (column, column > 0),
            Needle::Within(column, to_right) => (column, to_right),
        };
        assert_eq!(told[0], self.top_below(column, line).row.to_string());
        assert_eq!(words::is_right(&told[1]), to_right);
        // Said in full where it comes first.
        let back = self.words.follow(
            "Then go to the {} through that edge bead of row {}, so that the new thread comes out \
             where the old one did, and weave on.",
        );
        let first = self.words.lines.iter().find(|line| line.new_thread);
        if first.is_some_and(|first| first.row == line.row) {
            assert_eq!([&back[1], &back[0]], [&told[0], &told[1]]);
        }
    }

    /// The bead that the needle has come out of.
    fn top_below(&self, column: usize, line: &Line) -> &Placed {
        let of = self.beads.iter().filter(|bead| bead.column == column);
        let in_row = |bead: &&Placed| bead.row == line.row;
        of.clone().find(in_row).unwrap_or_else(|| self.top(column))
    }

    /// Zips the ends together, across and back.
    fn close(&self) {
        let told = self.words.follow(
            "Count the beads along each edge: {} at the left and as many at the right, for {} \
             rows. Bring the ends together, without a twist: the up beads of row {} face the gaps \
             of row {}, and those of row {} the gaps of row {}, like the teeth of a zip.",
        );
        let edge = |column: usize| {
            self.beads
                .iter()
                .filter(|bead| bead.column == column)
                .count()
        };
        assert_eq!(told[0], edge(0).to_string());
        assert_eq!(told[0], edge(self.columns - 1).to_string());
        let rows: std::collections::HashSet<u32> = self.beads.iter().map(|bead| bead.row).collect();
        assert_eq!(told[1], rows.len().to_string());
        assert_eq!((&told[2], &told[3]), (&told[5], &told[4]));
        let across = self.words.follow(
            "Zip across, to the {}: through the edge bead of row {}, then row {}, and so on from \
             one row to the other, {} beads.",
        );
        assert_eq!(across[3], self.columns.to_string());
        let Needle::Out(edge) = self.needle else {
            panic!("the last row does not end at the edge");
        };
        let to_right = words::is_right(&across[0]);
        let in_row = |row: &str, column: usize| {
            let row = row.parse().expect("a row");
            let found = self
                .beads
                .iter()
                .find(|bead| (bead.row, bead.column) == (row, column));
            found.unwrap_or_else(|| panic!("no bead of row {row} in column {column}"))
        };
        let mut column = Some(edge);
        let mut at = 0;
        while let Some(here) = column {
            let bead = in_row(&across[1 + at % 2], here);
            // Beads of the first row at one end, of the last one at the other.
            let ends = [self.bottom(here), self.top(here)];
            assert!(ends.contains(&bead), "{bead:?}");
            column = self.beside(here, to_right);
            at += 1;
        }
        let back = self.words.follow(
            "Zip back, to the {}: turn through the edge bead of row {}, then row {}, and on \
             through the same beads to the other edge.",
        );
        assert_eq!(words::is_right(&back[0]), !to_right);
        let far = self.columns - 1 - edge;
        in_row(&back[1], far);
        let next = self.beside(far, !to_right).expect("a column");
        in_row(&back[2], next);
    }

    fn bottom(&self, column: usize) -> &Placed {
        let of = self.beads.iter().filter(|bead| bead.column == column);
        of.min_by_key(|bead| bead.height).expect("a bead")
    }
}

/// Weaves the text.
fn woven(printed: &str) -> Vec<Placed> {
    let words = Words::read(printed);
    let mut student = Student::begin(&words);
    let first = words.follow("Row {} goes to the {}. Hold the tail");
    assert_eq!(first[0], words.lines[0].row.to_string());
    assert_eq!(words::is_right(&first[1]), words.lines[0].to_right);
    let mut pieces = 1;
    for line in &words.lines {
        student.weave(line);
        if line.new_thread {
            student.join(line);
            pieces += 1;
        }
    }
    let cut = match pieces {
        1 => words.follow("Cut {} m of thread."),
        _ => words.follow("Cut {} pieces of thread, each of {}. Begin"),
    };
    assert!(pieces == 1 || cut[0] == pieces.to_string());
    if printed.contains("Close the band") {
        student.close();
    }
    student.beads
}

fn chart(lattice: Lattice, seed: u64) -> Chart {
    const NAMES: [&str; 4] = ["snow", "harbour blue", "lamp", "kelp"];
    let many = 1 + seed % 4;
    let beads = (0..lattice.len()).map(|at| {
        let (row, column) = lattice.position(at);
        let (row, column) = (u64::from(row.get()), u64::from(column.get()));
        // Stripes, chequers, plain stretches and noise.
        let colour = match seed / 4 % 4 {
            0 => row / 2,
            1 => column / 3,
            2 => u64::from(row.abs_diff(9) < 3) * column,
            _ => (row * 31 + column * 17 + seed).wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 40,
        };
        (colour % many) as u16
    });
    Chart {
        lattice,
        beads: beads.collect(),
        colours: NAMES
            .iter()
            .enumerate()
            .map(|(at, name)| Shade {
                code: format!("t-{at}"),
                name: name.to_string(),
                srgb: Srgb8::new(60 * at as u8, 0, 0),
                finish: None,
            })
            .collect(),
        made: Made::default(),
        title: None,
        notes: None,
    }
}

/// A band and how it is worked; none where it cannot begin there.
fn framed(seed: u64) -> Option<(Lattice, Frame)> {
    let columns = 3 + (seed / 8 % 14) as u32;
    // Every ninth is so long that threads are joined.
    let rows = if seed.is_multiple_of(9) {
        160
    } else {
        3 + (seed * 7 % 37) as u32
    };
    let rows = if seed.is_multiple_of(2) {
        Rows::closed(2 * rows.div_ceil(2).max(3))
    } else {
        Rows::open(rows)
    };
    let lattice = Lattice::new(Bead::default(), columns, rows.unwrap()).unwrap();
    let start = if (seed / 2).is_multiple_of(2) {
        Start::Left
    } else {
        Start::Right
    };
    let from = if (seed / 4).is_multiple_of(2) {
        WorkFrom::Bottom
    } else {
        WorkFrom::Top
    };
    let frame = Frame::new(&lattice, start, from).ok()?;
    let kinds = [OddTurn::Bridge, OddTurn::FigureEight, OddTurn::EdgeBead];
    Some((lattice, frame.with_turn(kinds[(seed / 5 % 3) as usize])))
}

/// The rows as `weave` prints them.
fn printed(chart: &Chart, frame: Frame) -> String {
    let weave = weave(&chart.lattice, frame);
    let band = WovenBand {
        chart,
        lengths: lengths(&chart.lattice, &weave, Thread::default(), TAIL),
        weave,
        name: None,
        rows: None,
        keys: None,
        units: LengthUnits::Mm,
    };
    text(&WeaveReport::of(&band))
}

/// Every bead of the chart is woven once, in its place and colour.
fn check_beads(chart: &Chart, printed: &str) {
    let beads = woven(printed);
    assert_eq!(beads.len(), chart.lattice.len(), "{printed}");
    let mut seen = std::collections::HashSet::new();
    for bead in &beads {
        let (row, column) = (bead.row, bead.column as u32 + 1);
        let at = chart.lattice.index(
            upbead::lattice::Row::new(row),
            upbead::lattice::Column::new(column),
        );
        let at = at.unwrap_or_else(|| panic!("no bead {row}, {column} in\n{printed}"));
        assert!(seen.insert(at), "{row}, {column} twice in\n{printed}");
        let name = &chart.colours[usize::from(chart.beads[at])].name;
        assert_eq!(&bead.word, name, "{row}, {column} in\n{printed}");
    }
}

/// 200 bands: odd and even columns, open and closed, from both edges and both ends.
#[test]
fn a_student_weaves_200_bands_from_the_words_alone() {
    let (mut bands, mut joined, mut turns) = (0, 0, std::collections::BTreeSet::new());
    let mut seed = 0;
    while bands < 200 {
        seed += 1;
        let Some((lattice, frame)) = framed(seed) else {
            continue;
        };
        let chart = chart(lattice, seed);
        let printed = printed(&chart, frame);
        check_beads(&chart, &printed);
        let lines = Words::read(&printed).lines;
        joined += usize::from(lines.iter().any(|line| line.new_thread));
        let odd = lattice.columns() % 2;
        turns.extend(lines.into_iter().map(|line| (odd, line.turn)));
        bands += 1;
    }
    let turns: Vec<(u32, &str)> = turns
        .iter()
        .map(|(odd, turn)| (*odd, turn.as_str()))
        .collect();
    let expected = [
        (0, "end"),
        (0, "turn"),
        (1, "edge-bead turn"),
        (1, "end"),
        (1, "figure-eight"),
        (1, "odd-count turn"),
        (1, "turn"),
    ];
    assert_eq!(turns, expected);
    assert!(joined > 10, "{joined}");
}

/// The student is no pushover: a wrong word is noticed.
#[test]
fn a_student_stops_at_a_wrong_word() {
    let lattice = Lattice::new(Bead::default(), 7, Rows::closed(12).unwrap()).unwrap();
    let chart = chart(lattice, 15);
    let frame = Frame::new(&lattice, Start::Left, WorkFrom::Bottom).unwrap();
    let weave = weave(&lattice, frame);
    let band = WovenBand {
        chart: &chart,
        lengths: lengths(&lattice, &weave, Thread::default(), TAIL),
        weave,
        name: None,
        rows: None,
        keys: None,
        units: LengthUnits::Mm,
    };
    let printed = text(&WeaveReport::of(&band));
    assert_eq!(woven(&printed).len(), lattice.len());
    for (right, wrong) in [
        ("second bead strung", "third bead strung"),
        ("3 ← 4", "3 → 4"),
        ("turn\n", "end\n"),
        (
            "through the last bead of row 4",
            "through the last bead of row 3",
        ),
        ("edge beads of rows 1 and 3", "edge beads of rows 1 and 2"),
        ("belongs to row 1,", "belongs to row 2,"),
        ("straight below it", "beside it"),
    ] {
        let broken = printed.split('\n').collect::<Vec<_>>().join("\n");
        let joined = words::unbroken(&broken);
        assert!(
            broken.contains(right) || joined.contains(right),
            "'{right}' is not in\n{printed}"
        );
        let wrong = words::replaced(&printed, right, wrong);
        let result = std::panic::catch_unwind(|| woven(&wrong));
        assert!(result.is_err(), "'{right}' may be wrong in\n{wrong}");
    }
}
