//! What went wrong, where, and what to do about it: the one error type of the crate.

use crate::words::{Sentence, flag, option_name, shortened, shown, shown_path};
use std::fmt;
use std::path::{Path, PathBuf};

/// The crate's result.
pub type Result<T> = std::result::Result<T, Error>;

/// Most characters of an error as it is printed.
const MOST_LETTERS: usize = 500;

/// What stands round its parts: `error: `, line and column, `hint: ` on a line of its own.
const FRAME: usize = 40;

/// No part is cut to less than this.
const SHORTEST: usize = 60;

/// Where in the input something is wrong.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Place {
    /// The file, as the user named it (`-` is standard input).
    pub file: Option<PathBuf>,
    /// Line, counted from 1.
    pub line: Option<usize>,
    /// Column in characters, counted from 1.
    pub column: Option<usize>,
    /// The option, by the name that requests have for it: `from_stock`.
    pub option: Option<String>,
}

/// Whether the call itself was wrong or its material; decides the exit status.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// The material could not be used: exit status 1.
    Material,
    /// The call could not be understood: exit status 2.
    Usage,
}

/// One error: what (with the value, lower case, no full stop), where, and a hint that can be
/// followed.
///
/// Boxed inside, so that a `Result` stays small.
#[derive(Debug)]
pub struct Error(Box<Inner>);

#[derive(Debug)]
struct Inner {
    what: String,
    details: Vec<String>,
    place: Place,
    hint: Option<Sentence>,
    fault: Fault,
    cause: Option<Box<dyn std::error::Error + Send + Sync>>,
    closed_pipe: bool,
    reported: bool,
}

impl Error {
    /// An error about the material: a file, a colour, a picture.
    pub fn new(what: impl Into<String>) -> Self {
        Self(Box::new(Inner {
            what: what.into(),
            details: Vec::new(),
            place: Place::default(),
            hint: None,
            fault: Fault::Material,
            cause: None,
            closed_pipe: false,
            reported: false,
        }))
    }

    /// An error about the command: an option with a wrong value.
    pub fn usage(what: impl Into<String>) -> Self {
        let mut error = Self::new(what);
        error.0.fault = Fault::Usage;
        error
    }

    /// An input or output error of the system, named plainly.
    pub fn io(doing: &str, path: &Path, cause: std::io::Error) -> Self {
        use std::io::ErrorKind as K;
        let hint = match cause.kind() {
            K::NotFound => "check the spelling and the folder",
            K::PermissionDenied => "check that you may read and write there",
            K::StorageFull => "free some space or choose another disk",
            K::IsADirectory => "name a file, not a folder",
            K::NotADirectory => "a part of the path is a file, not a folder",
            _ => "check the disk and the path",
        };
        let closed_pipe = cause.kind() == K::BrokenPipe;
        let mut error = Self::new(format!("cannot {doing}: {}", plain(&cause)))
            .file(path)
            .hint(hint);
        error.0.closed_pipe = closed_pipe;
        error.0.cause = Some(Box::new(cause));
        error
    }

    /// Adds what to do about it: an order that can be followed.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<Sentence>) -> Self {
        self.0.hint = Some(hint.into());
        self
    }

    /// Adds a line below the statement: one of several things that it is about.
    #[must_use]
    pub fn detail(mut self, line: impl Into<String>) -> Self {
        self.0.details.push(line.into());
        self
    }

    /// Names the file, unless one is named already.
    #[must_use]
    pub fn file(mut self, path: &Path) -> Self {
        self.0.place.file.get_or_insert_with(|| path.to_path_buf());
        self
    }

    /// Names the file, unless it is an option that was wrong.
    #[must_use]
    pub fn file_unless_option(self, path: &Path) -> Self {
        if self.0.place.option.is_some() {
            self
        } else {
            self.file(path)
        }
    }

    /// Names the line and the column in the file, both counted from 1.
    #[must_use]
    pub fn at(mut self, line: usize, column: usize) -> Self {
        self.0.place.line = Some(line);
        self.0.place.column = Some(column);
        self
    }

    /// Names the option whose value was wrong, by its flag or its name, unless one is named.
    #[must_use]
    pub fn option(mut self, option: &str) -> Self {
        self.0
            .place
            .option
            .get_or_insert_with(|| option_name(option));
        self
    }

    /// The same, blamed on that option's value.
    #[must_use]
    pub fn of_option(mut self, option: &str) -> Self {
        self.0.fault = Fault::Usage;
        self.option(option)
    }

    /// Keeps what caused it.
    #[must_use]
    pub fn because(mut self, cause: impl std::error::Error + Send + Sync + 'static) -> Self {
        self.0.cause = Some(Box::new(cause));
        self
    }

    /// The plain statement, without place, details and hint.
    pub fn what(&self) -> &str {
        &self.0.what
    }

    /// The plain statement with its details, each on a line of its own.
    pub fn statement(&self) -> String {
        shortened(&shown(&self.0.what), MOST_LETTERS / 2) + &self.details()
    }

    fn details(&self) -> String {
        let details = self.0.details.iter();
        let lines = details.map(|line| format!("\n  {}", shown(line)));
        lines.collect()
    }

    /// Where it is wrong.
    pub fn place(&self) -> &Place {
        &self.0.place
    }

    /// What to do about it, if anything can be said.
    pub fn remedy(&self) -> Option<&Sentence> {
        self.0.hint.as_ref()
    }

    /// The process's exit status for this error: 1 or 2.
    pub fn status(&self) -> u8 {
        match self.0.fault {
            Fault::Material => 1,
            Fault::Usage => 2,
        }
    }

    /// Marks it as reported already: only its exit status counts from here on.
    #[must_use]
    pub fn reported(mut self) -> Self {
        self.0.reported = true;
        self
    }

    /// Whether it has been reported already.
    pub fn is_reported(&self) -> bool {
        self.0.reported
    }

    /// Whether the reader of our output has gone away, which is no error to report.
    pub fn is_closed_pipe(&self) -> bool {
        self.0.closed_pipe
    }
}

/// The system's words without its number.
fn plain(error: &std::io::Error) -> String {
    let text = error.to_string();
    let text = text.split(" (os error").next().unwrap_or(&text);
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_lowercase().chain(letters).collect(),
        None => String::from("unknown error"),
    }
}

impl Place {
    /// The file and where in it, the file's name as short as it is given.
    fn in_file(&self, name: &str) -> String {
        let lines = match (self.line, self.column) {
            (Some(line), Some(column)) => format!(":{line}:{column}"),
            _ => String::new(),
        };
        format!("{name}{lines}: ")
    }

    fn file_name(&self) -> Option<String> {
        let file = self.file.as_deref()?;
        Some(match file.to_str() {
            Some("-") => "standard input".to_string(),
            _ => shown_path(file),
        })
    }

    /// As it is printed, with that name of the file.
    fn text(&self, file: Option<&str>) -> String {
        let option = self.option.as_deref();
        let option = option.map_or(String::new(), |option| {
            format!("{}: ", shown(&flag(option)))
        });
        option + &file.map_or(String::new(), |name| self.in_file(name))
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text(self.file_name().as_deref()))
    }
}

/// As the command line says it: `palettes/tide.csv:7:9: 'kelp' is not a colour`, and the hint on a
/// line of its own. At most 500 characters with `error: ` before it: the longest of file, statement
/// and hint is cut in its middle.
impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Inner {
            what, place, hint, ..
        } = &*self.0;
        let mut parts = [
            place.file_name().unwrap_or_default(),
            shown(what),
            hint.as_ref().map_or(String::new(), Sentence::to_string),
        ];
        let details = self.details();
        let length = |text: &str| text.chars().count();
        let fixed = length(&details) + length(&place.text(None)) + FRAME;
        loop {
            let over = (fixed + parts.iter().map(|part| length(part)).sum::<usize>())
                .saturating_sub(MOST_LETTERS);
            let Some(longest) = parts.iter_mut().max_by_key(|part| length(part)) else {
                break;
            };
            let now = length(longest);
            if over == 0 || now <= SHORTEST {
                break;
            }
            *longest = shortened(longest, now.saturating_sub(over).max(SHORTEST));
        }
        let [file, what, hint] = parts;
        let file = place.file.as_ref().map(|_| file.as_str());
        write!(f, "{}{what}{details}", place.text(file))?;
        if !hint.is_empty() {
            write!(f, "\nhint: {hint}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Error {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        self.0.cause.as_deref().map(|cause| cause as _)
    }
}

/// The names among `known` that are nearest to `wanted`, fewest slips of the keys first, for a
/// hint.
pub fn nearest_names<'a>(wanted: &str, known: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let wanted = wanted.to_lowercase();
    let mut ranked: Vec<(usize, f64, &str)> = known
        .into_iter()
        .map(|name| {
            let lower = name.to_lowercase();
            let slips = strsim::osa_distance(&wanted, &lower);
            (slips, strsim::jaro_winkler(&wanted, &lower), name)
        })
        .filter(|(_, likeness, _)| *likeness > 0.7)
        .collect();
    ranked.sort_by(|a, b| a.0.cmp(&b.0).then(b.1.total_cmp(&a.1)).then(a.2.cmp(b.2)));
    ranked.into_iter().take(3).map(|(.., name)| name).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_error_says_where_what_and_what_to_do() {
        let error = Error::new("'kelp' is not a colour")
            .file(Path::new("palettes/tide.csv"))
            .at(7, 9)
            .hint("write six hex digits, such as 2F5D50");
        assert_eq!(
            error.to_string(),
            "palettes/tide.csv:7:9: 'kelp' is not a colour\n\
             hint: write six hex digits, such as 2F5D50"
        );
        assert_eq!(error.status(), 1);
        assert_eq!(Error::usage("x").status(), 2);
    }

    #[test]
    fn near_names_are_suggested_and_far_ones_are_not() {
        let known = ["dulse", "dune", "gull"];
        assert_eq!(nearest_names("dulce", known)[0], "dulse");
        // A slip of one key is nearer than a longer common beginning.
        assert_eq!(
            nearest_names("quay-10", ["quay-04", "quay-09", "quay-01", "quay-11"])[..2],
            ["quay-01", "quay-11"]
        );
        assert!(nearest_names("zzz", known).is_empty());
    }
}
