//! What the weaver should know beside the result: warnings as data, with one wording each.

mod kit;
mod layers;
mod wording;

use crate::bead::Bead;
use crate::units::Mm;
use crate::words::Sentence;
use serde::Serialize;
use std::fmt;

/// A band that is larger than wanted by this is hardly larger, and counts as fitting where the
/// smaller of two row counts is taken: published US charts scatter by 0.3 mm of circumference.
pub const HARDLY: Mm = Mm::new(0.1);

/// A result and what was noticed on the way.
#[derive(Debug, Clone)]
pub struct Warned<T> {
    /// The result.
    pub value: T,
    /// What was noticed, in the order of the work.
    pub warnings: Vec<Warning>,
}

/// Something noticed that is no error.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[non_exhaustive]
pub enum Warning {
    /// What the picture was read as, and what was chosen from that.
    ReadAs {
        /// Whether it has a ground: none, clear or plain.
        ground: &'static str,
        /// Flat colours, the ground among them; none for continuous tone.
        flat_colours: Option<usize>,
        /// Whether left is as right.
        same_sides: bool,
        /// Whether top is as bottom.
        same_ends: bool,
        /// How often the picture shows its pattern; none if it has none that repeats.
        repeats: Option<u32>,
        /// Share of the picture that is on the band, where a part of it was chosen, 0 to 1.
        kept: Option<f64>,
        /// The options that were chosen: name and value, empty for a switch.
        chosen: Vec<(String, String)>,
    },
    /// The pattern repeats evenly in another number of rows than the size asks for.
    RowsForRepeats {
        /// Rows that the size asks for.
        wanted: u32,
        /// Inside diameter in those rows.
        #[serde(rename = "wanted_inside_mm")]
        wanted_inside: Mm,
        /// Rows that were taken.
        rows: u32,
        /// Inside diameter in these rows.
        #[serde(rename = "inside_mm")]
        inside: Mm,
        /// Repeats.
        repeats: u32,
    },
    /// Some strokes of a drawing are broken or lost at this width.
    TooFine {
        /// Parts of the drawing that are lost or broken.
        parts: usize,
        /// Columns of the band.
        columns: u32,
        /// Columns from which all of it would show; none if that was not found.
        whole_from: Option<u32>,
    },
    /// The shapes of a picture are too small to be recognised in beads.
    ShapesTooSmall {
        /// Share of the picture's contrast that is in shapes of several beads, 0 to 1.
        share: f64,
        /// By how much larger they would have to be.
        larger: f64,
        /// Columns of a band, longer in proportion, on which they would be recognised.
        columns: u32,
    },
    /// The picture was turned to keep more of it.
    Turned {
        /// Degrees clockwise.
        degrees: u32,
        /// Share of the picture that is kept, 0 to 1.
        kept: f64,
        /// Share that would be kept upright.
        upright: f64,
    },
    /// Parts of the picture fall outside the band.
    Cropped {
        /// Share of the picture that is kept, 0 to 1.
        kept: f64,
    },
    /// Much of the picture is clear, and it was placed all round.
    MostlyClear {
        /// Share of the band that shows the ground, 0 to 1.
        clear: f64,
    },
    /// A ground was named, and shows nowhere.
    GroundUnseen,
    /// Nobody named a ground, and one was needed.
    GroundChosen {
        /// Its name in the palette.
        name: String,
    },
    /// More colours were allowed than there are.
    FewerColours {
        /// As asked.
        asked: usize,
        /// In the palette, after what was ruled out.
        there: usize,
    },
    /// A colour that should be kept is used by no bead.
    KeptUnused {
        /// Its name in the palette.
        name: String,
    },
    /// The repeats cannot all have the same number of rows.
    UnevenRepeats {
        /// Rows of the band.
        rows: u32,
        /// Number of repeats.
        repeats: u32,
        /// Rows of a short repeat; a long one has two more.
        short: u32,
    },
    /// Where a layer of a design is on the band.
    LayerPlaced {
        /// Its kind and what it shows.
        layer: String,
        /// Its first and last columns, along each edge.
        columns: Vec<(u32, u32)>,
        /// Its first and last row, on over the seam where the last is the smaller; none all round.
        rows: Option<(u32, u32)>,
        /// Repeats along the band.
        repeats: Option<u32>,
    },
    /// A layer of a design shows nowhere.
    LayerHidden {
        /// Its kind and what it shows.
        layer: String,
    },
    /// Some strokes of a layer's drawing are broken or lost at its size.
    LayerTooFine {
        /// Its kind and what it shows.
        layer: String,
        /// Parts of the drawing that are lost or broken.
        parts: usize,
    },
    /// Letters, and how they read.
    LettersSet {
        /// What is written.
        text: String,
        /// Columns of a capital along the band; none across it.
        height: Option<u32>,
        /// First and last column with ink.
        columns: (u32, u32),
        /// Rows that the text takes once.
        rows: u32,
        /// The name of the colour of the letters.
        ink: String,
        /// Ratio of its luminance to that of the beads around them, the lighter over the darker.
        contrast: f64,
        /// Rows from one text to the next, fewest and most; none for one text.
        steps: Option<(u32, u32)>,
    },
    /// Letters hardly stand out from what is around them.
    LettersFaint {
        /// What is written.
        text: String,
        /// The name of the colour of the letters.
        ink: String,
        /// As in [`Self::LettersSet`].
        contrast: f64,
    },
    /// What was chosen for layers of continuous tone.
    LayersOfTones {
        /// Colours of the band, at most; none where that was asked for.
        colours: Option<usize>,
        /// How far the picture is merged into plain areas; none where it is not, or was asked for.
        simplify: Option<f64>,
    },
    /// A border repeats evenly in another number of rows than the size asks for.
    RowsForBorder {
        /// Rows that the size asks for.
        wanted: u32,
        /// Rows that were taken.
        rows: u32,
        /// Inside diameter in these rows.
        #[serde(rename = "inside_mm")]
        inside: Mm,
    },
    /// Beads were to be counted, and the palette does not say what there is.
    NoGrams,
    /// Of some colours there were too few beads.
    FromStock {
        /// Beads that took another colour.
        beads: usize,
        /// The colours that ran out.
        names: Vec<String>,
    },
    /// Some colours would have run out; the band was optimised with what is there.
    KeptToStock {
        /// The colours that the nearest choice would have run out of.
        names: Vec<String>,
    },
    /// The chart may not be the best that the beads in stock allow.
    StockGap {
        /// Mean difference by which it is worse at most; none if that is not known.
        gap: Option<f64>,
    },
    /// An SVG shows a picture that it does not carry.
    LinkedPicture {
        /// As the SVG names it.
        name: String,
    },
    /// The embedded profile was not used.
    ProfileIgnored {
        /// Why, in a few words.
        reason: String,
    },
    /// The band is wider than a narrow ring and will feel tighter.
    WideBand {
        /// Its width.
        #[serde(rename = "width_mm")]
        width: Mm,
        /// US sizes to go up.
        us_sizes: f64,
        /// The size to consider, on the scale that was asked for.
        size: String,
        /// Rows as chosen, and rows for that size.
        rows: (u32, u32),
    },
    /// Nobody gave a gauge.
    NoGauge {
        /// Rows for a loose and for a tight hand.
        rows: (u32, u32),
        /// The bead-to-bead spacing that is assumed.
        #[serde(rename = "spacing_mm")]
        spacing: Mm,
    },
    /// A bead's measures have no published source.
    UnsureBead {
        /// The bead.
        bead: String,
        /// Along the hole.
        #[serde(rename = "length_mm")]
        length: Mm,
        /// Across the hole.
        #[serde(rename = "diameter_mm")]
        diameter: Mm,
        /// Bore of the hole.
        #[serde(rename = "hole_mm")]
        hole: Mm,
    },
    /// A gauge is kept for another bead.
    GaugeForOtherBead {
        /// The bead in use.
        bead: String,
    },
    /// Of two row counts the smaller was taken.
    SmallerCount {
        /// The size that was asked for.
        size: String,
        /// Rows as taken, and the next count.
        rows: (u32, u32),
    },
    /// The smaller of two row counts is a little larger than the size.
    HardlyLarger {
        /// The size that was asked for.
        size: String,
        /// Rows as taken.
        rows: u32,
        /// How much larger inside the band is.
        #[serde(rename = "over_mm")]
        over: Mm,
    },
    /// A misread ruler would change what a swatch gives.
    ShortSwatch {
        /// How far a ruler is misread.
        #[serde(rename = "misread_mm")]
        misread: Mm,
        /// Rows of a swatch that is long enough.
        rows: u32,
    },
    /// How to measure the finger.
    MeasureFinger,
    /// To try the band on before it is closed.
    TryOn {
        /// The row at which to try it on first.
        first: u32,
    },
    /// A chart in another size has the nearest rows that keep its design.
    NearestRows {
        /// The size that was asked for.
        size: String,
        /// Rows that would fit, and rows as taken.
        rows: (u32, u32),
        /// How much larger inside the band is than with the rows that would fit; negative if
        /// smaller.
        #[serde(rename = "over_mm")]
        over: Mm,
    },
    /// Charts in several sizes have the same rows.
    SameRows {
        /// The sizes.
        sizes: Vec<String>,
        /// Their rows.
        rows: u32,
    },
    /// The typeface has no such letters; a square stands in their place.
    NoLetters {
        /// Each once, in Unicode's order.
        letters: String,
    },
    /// Other sizes have more or fewer beads of colours that are not the ground.
    MotifColoursChange {
        /// Those colours.
        colours: Vec<ColourChange>,
    },
    /// Colours of a design become the same bead in a colourway.
    SameBeadInWay {
        /// What the colourway is called.
        way: String,
        /// The names of the design's colours.
        colours: Vec<String>,
        /// The name of the bead that they become.
        bead: String,
    },
    /// A size of a set is left out.
    SizeLeftOut {
        /// The size, and why.
        reason: String,
    },
    /// A chart is compared with a picture other than its own.
    OtherPicture {
        /// The name of the chart's own picture.
        name: String,
    },
    /// A chart is compared with its picture made crisp.
    BesideCrisp {
        /// How crisp, 0 to 1.
        crisp: f64,
    },
    /// Two colours of the chart look almost the same.
    HardToTell {
        /// One name.
        one: String,
        /// The other name.
        other: String,
        /// CIEDE2000 between them.
        difference: f64,
    },
    /// A colour of the chart looks different in the palette.
    OtherBead {
        /// Its code.
        code: String,
        /// In the chart, six hex digits.
        chart: String,
        /// In the palette, six hex digits.
        palette: String,
        /// CIEDE2000 between them.
        difference: f64,
    },
    /// More colours look different in the palette than are named.
    MoreOtherBeads {
        /// How many more.
        colours: usize,
    },
    /// Some colours have no price, and others have one.
    NoPrice {
        /// Their names.
        names: Vec<String>,
    },
    /// How many beads go to a gram has no published source.
    PerGramEstimated {
        /// The bead.
        bead: String,
        /// Beads in a gram.
        per_gram: f64,
        /// Whether they are computed from the bead's own measures.
        computed: bool,
    },
    /// A tail would be too short to be woven in.
    TailLengthened {
        /// As asked.
        #[serde(rename = "asked_mm")]
        asked: Mm,
        /// As the thread includes it.
        #[serde(rename = "tail_mm")]
        tail: Mm,
    },
    /// One thread would be too long to sew with.
    ThreadJoined {
        /// Joins in a band.
        joins: u32,
        /// Whether the band is a ring.
        closed: bool,
        /// Thread that the joins of a band take in addition.
        #[serde(rename = "extra_mm")]
        extra: Mm,
        /// Longest comfortable thread.
        #[serde(rename = "comfortable_mm")]
        comfortable: Mm,
    },
    /// Cells of a table begin like formulas of a spreadsheet.
    FormulaCells {
        /// The cells, as they stand in the palette.
        cells: Vec<String>,
    },
    /// No needle goes through the fullest hole.
    HoleTooFull {
        /// Passes through it.
        passes: u16,
    },
}

/// A colour whose beads change with the size.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ColourChange {
    /// Its name.
    pub name: String,
    /// Its beads in the design.
    pub now: usize,
    /// Fewest in one of the sizes.
    pub fewest: usize,
    /// Most in one of them.
    pub most: usize,
}

impl Warning {
    /// That the measures of `bead` have no published source, where they have none.
    pub fn unsure_bead(bead: Bead) -> Option<Self> {
        bead.is_unsure().then(|| Self::UnsureBead {
            bead: bead.name(),
            length: bead.length,
            diameter: bead.diameter,
            hole: bead.hole,
        })
    }

    /// What there is to say, for any face.
    pub fn sentence(&self) -> Sentence {
        Sentence::from(wording::wording(self))
    }

    /// What a printed booklet says: an instruction for its reader, who has no chart or palette to
    /// change.
    pub fn instruction(&self) -> String {
        kit::instruction(self).unwrap_or_else(|| self.to_string())
    }
}

/// As the command line says it.
impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.sentence().fmt(f)
    }
}
