// Made of `upbead schema --of desk` by `npm run schema-types` in tests/browser; do not edit.

/**
 * How a motif reads.
 */
export type ReadsReport = "well" | "low_contrast" | "lost";
/**
 * A piece of a [`Sentence`].
 */
export type Part =
  | string
  | {
      /**
       * Its name as requests have it: `from_stock`.
       */
      option: string;
      /**
       * What to set it to.
       */
      value?: string;
    }
  | {
      /**
       * Its name: `fit`.
       */
      verb: string;
    };
/**
 * A sentence, cut into plain text and the options and verbs that it names.
 */
export type Sentence = Part[];
/**
 * Where a gauge comes from.
 */
export type SourceKind = "assumed" | "swatch" | "fits" | "file";
/**
 * Kinds of findings.
 */
export type FindingKind =
  | "seam"
  | "repeat"
  | "alike"
  | "alike-worn"
  | "few"
  | "alone"
  | "busy"
  | "short"
  | "not-in-palette"
  | "thread"
  | "holes";
/**
 * A whole number or a fraction.
 */
export type Figure = number;
/**
 * Where the number of beads in a gram is from.
 */
export type PerGramSource = "palette" | "table" | "common-practice" | "glass";
/**
 * What a part of the thread is for.
 */
export type ThreadItem = "path" | "seam" | "thread_end" | "tail" | "joins" | "handling";

/**
 * What the desk answers as JSON, by the route that was asked.
 */
export interface Answers {
  begin: StartAnswer;
  picture: PictureAnswer;
  palette: PaletteAnswer;
  alike: PaletteReport;
  photo: PhotoAnswer;
  chart: ChartAnswer;
  propose: ProposeAnswer;
  refine: ChartAnswer;
  resize: ResizeAnswer;
  swap: SwapAnswer;
  compare: CompareReport;
  fit: FitReport;
  gauge: GaugeAnswer;
  remember: GaugeReport;
  read: ReadAnswer;
  facts: FactsAnswer;
  follow: FollowAnswer;
  /**
   * What any route answers when the request does not succeed.
   */
  refused: RefusalAnswer;
}
/**
 * What the page needs when it starts.
 */
export interface StartAnswer {
  /**
   * The program's version.
   */
  version: string;
  /**
   * The chart that the desk was opened with.
   */
  file: TextFile | null;
  /**
   * Palettes, the owner's first.
   */
  palettes: TextFile[];
  /**
   * Bead sizes by name.
   */
  beads: BeadSize[];
  /**
   * Ring sizes to choose from.
   */
  sizes: string[];
  /**
   * The weaver's own gauge for the default bead, if one was kept.
   */
  gauge: KeptGauge | null;
  /**
   * Kinds of files that can be exported.
   */
  kinds: ExportKind[];
  /**
   * The kinds, and the routes that the page uses only where they are offered.
   */
  offers: string[];
}
/**
 * A file of text.
 */
export interface TextFile {
  /**
   * Its name.
   */
  name: string;
  /**
   * Its text.
   */
  text: string;
}
/**
 * A bead size.
 */
export interface BeadSize {
  /**
   * Its name.
   */
  name: string;
  /**
   * Along the hole.
   */
  length_mm: number;
  /**
   * Across the hole.
   */
  diameter_mm: number;
  /**
   * Bore of the hole.
   */
  hole_mm: number;
}
/**
 * A gauge that was kept.
 */
export interface KeptGauge {
  /**
   * What was measured.
   */
  from: string;
  /**
   * The bead-to-bead spacing.
   */
  pitch_mm: number;
}
/**
 * A kind of file that can be exported.
 */
export interface ExportKind {
  /**
   * Its name in requests.
   */
  kind: string;
  /**
   * What is added to the chart's name.
   */
  ending: string;
  /**
   * Options that it takes.
   */
  options: string[];
}
/**
 * A picture that was opened.
 */
export interface PictureAnswer {
  /**
   * What later requests name it by: SHA-256 of its file.
   */
  id: string;
  /**
   * Width in pixels, upright.
   */
  width: number;
  /**
   * Height in pixels, upright.
   */
  height: number;
  /**
   * Name of its file.
   */
  name: string;
  /**
   * Its media type.
   */
  mime: string;
}
/**
 * A palette that was opened.
 */
export interface PaletteAnswer {
  /**
   * What later requests name it by.
   */
  id: string;
  /**
   * Its name.
   */
  name: string;
  /**
   * Its colours, in the order of the file.
   */
  colours: PaletteColourReport[];
  /**
   * Heads of the owner's other columns, in the order of the file.
   */
  columns: string[];
  /**
   * What its prices are in, where the file states it.
   */
  currency: string | null;
  /**
   * Pairs that differ by less than this, CIEDE2000, are listed.
   */
  below: number;
  /**
   * The pairs, the closest first.
   */
  alike: PairReport[];
  /**
   * How many pairs there are.
   */
  alike_count: number;
}
/**
 * A colour of bead, as its file states it.
 */
export interface PaletteColourReport {
  /**
   * Its code.
   */
  code: string;
  /**
   * Its name.
   */
  name: string;
  /**
   * Six hex digits.
   */
  hex: string;
  /**
   * Its finish.
   */
  finish: string | null;
  /**
   * How much there is, in grams.
   */
  grams: number | null;
  /**
   * Beads in a gram.
   */
  per_gram: number | null;
  /**
   * Price of a gram.
   */
  price: number | null;
  /**
   * Grams in a pack as it is sold.
   */
  per_pack: number | null;
  /**
   * The owner's other columns.
   */
  extra: {
    [k: string]: unknown;
  };
  /**
   * CIELAB, D65: L, a and b, three decimals.
   *
   * @minItems 3
   * @maxItems 3
   */
  lab: [number, number, number];
}
/**
 * Two colours that are alike, by code.
 */
export interface PairReport {
  /**
   * One.
   */
  one: string;
  /**
   * The other.
   */
  other: string;
  /**
   * CIEDE2000 between them, three decimals.
   */
  difference: number;
}
/**
 * A palette; what the file does not state is null.
 */
export interface PaletteReport {
  /**
   * Name of the palette.
   */
  name: string;
  /**
   * Its colours, in the order of the file.
   */
  colours: PaletteColourReport[];
  /**
   * Pairs that differ by less than this, CIEDE2000, are listed; where those would be too many,
   * less than was asked for.
   */
  below: number;
  /**
   * The pairs, the closest first; of more than 100,000 pairs the closest.
   */
  pairs: PairReport[];
  /**
   * How many pairs there are.
   */
  pairs_count: number;
  /**
   * The pairs that are hard to tell apart when worn; null for more than 1,500 colours.
   */
  worn: WornReport | null;
}
/**
 * Single beads of size 11, each among beads of another colour.
 */
export interface WornReport {
  /**
   * Viewing distance.
   */
  distance_mm: number;
  /**
   * Each kind of sight, full sight first.
   */
  sights: SightReport[];
}
/**
 * The pairs that are hard to tell apart for one kind of sight.
 */
export interface SightReport {
  /**
   * `full`, `protan` (red-weak), `deutan` (green-weak) or `tritan` (blue-weak).
   */
  sight: string;
  /**
   * How many pairs there are.
   */
  pairs_count: number;
  /**
   * How many of them full sight can tell apart.
   */
  lost_count: number;
  /**
   * The pairs, the closest first; of more than 10,000 the closest.
   */
  pairs: PairReport[];
}
/**
 * A palette that was made from a photograph.
 */
export interface PhotoAnswer {
  /**
   * Name of its file.
   */
  name: string;
  /**
   * Its file.
   */
  text: string;
  /**
   * What `upbead palette from-photo --json` prints.
   */
  document: string;
  /**
   * Why colours may be wrong, in sentences.
   */
  doubts: string[];
  /**
   * What the photograph shows.
   */
  told: PhotoReport;
}
/**
 * What a photograph of bead piles shows.
 */
export interface PhotoReport {
  /**
   * Where the palette went; none is standard output.
   */
  palette: string | null;
  /**
   * The photograph's file; `-` is standard input.
   */
  photo: string;
  /**
   * The paper.
   */
  paper: PaperReport;
  /**
   * The piles, in reading order.
   */
  piles: PileReport[];
}
/**
 * The paper under the piles; shares have three decimals.
 */
export interface PaperReport {
  /**
   * Its colour as photographed, where it is lightest; six hex digits.
   */
  hex: string;
  /**
   * Light where it is weakest over light where it is strongest.
   */
  evenness: number;
  /**
   * Share of the photograph that is bare paper.
   */
  bare: number;
}
/**
 * A pile; numbers have three decimals.
 */
export interface PileReport {
  /**
   * Code of its colour.
   */
  code: string;
  /**
   * Name of its colour.
   */
  name: string;
  /**
   * Six hex digits.
   */
  hex: string;
  /**
   * Its middle, in pixels from the left.
   */
  x: number;
  /**
   * From the top.
   */
  y: number;
  /**
   * Share of the photograph that it covers.
   */
  share: number;
  /**
   * Median difference (CIEDE2000) of its pixels from its colour.
   */
  spread: number;
  /**
   * Why its colour may be wrong, in a word or two each.
   */
  doubts: string[];
}
/**
 * A chart that was made.
 */
export interface ChartAnswer {
  /**
   * The number of the request in its lane.
   */
  n: number | null;
  /**
   * The chart's file.
   */
  text: string;
  /**
   * What `--json` prints.
   */
  document: string;
  /**
   * The same, to be read.
   */
  summary: ChartReport;
}
/**
 * One chart that was made, and where it went; lengths are in millimetres.
 */
export interface ChartReport {
  /**
   * The picture's file; empty for a plain band.
   */
  picture: string;
  /**
   * The chart's file; none is standard output.
   */
  chart: string | null;
  /**
   * The drawing's file.
   */
  preview: string | null;
  /**
   * Columns.
   */
  columns: number;
  /**
   * Rows.
   */
  rows: number;
  /**
   * Whether it closes into a ring.
   */
  closed: boolean;
  /**
   * Beads.
   */
  beads: number;
  /**
   * Width.
   */
  width_mm: number;
  /**
   * Flat height.
   */
  height_mm: number;
  /**
   * Inside diameter of the ring.
   */
  inside_diameter_mm: number | null;
  /**
   * US ring size.
   */
  us: number | null;
  /**
   * ISO ring size.
   */
  iso: string | null;
  /**
   * Degrees clockwise that the picture was rotated.
   */
  rotated: number;
  /**
   * Share of the picture that is on the band, 0 to 1.
   */
  kept: number;
  /**
   * Where the motif is, if there is one.
   */
  position?: PositionReport;
  /**
   * Code of the ground, where it shows.
   */
  ground: string | null;
  /**
   * Mean CIEDE2000 between the picture on each bead, as it is, and its colour.
   */
  difference: number;
  /**
   * Times that the colour changes within the rows.
   */
  colour_changes: number;
  /**
   * Beads that no bead of the same colour touches.
   */
  stray_beads: number;
  /**
   * Figures before and after the whole band was improved.
   */
  refined?: BeforeAfter;
  /**
   * How the motif stands out from its ground.
   */
  legible: Legible | null;
  /**
   * The palette's name.
   */
  palette: string;
  /**
   * Colours in the palette.
   */
  palette_colours: number;
  /**
   * The colours in use.
   */
  colours: ColourCount[];
  /**
   * What there is to say about the band, then about the picture.
   */
  warnings: WarningReport[];
}
/**
 * A motif's size and place.
 */
export interface PositionReport {
  /**
   * Width across the band.
   */
  width_mm: number;
  /**
   * Height along the band.
   */
  height_mm: number;
  /**
   * Size, of the largest that fits.
   */
  scale: number;
  /**
   * To the right of the middle.
   */
  across_mm: number;
  /**
   * Above the middle.
   */
  along_mm: number;
}
/**
 * Figures before and after.
 */
export interface BeforeAfter {
  /**
   * Before.
   */
  before: MeasureReport;
  /**
   * After.
   */
  after: MeasureReport;
}
/**
 * How far a band looks from its picture, and how many colour changes it has; CIEDE2000, four
 * decimals.
 */
export interface MeasureReport {
  /**
   * As seen from each distance.
   */
  seen: SeenReport[];
  /**
   * Bead by bead, not filtered.
   */
  beads: SpreadReport;
  /**
   * Times that the colour changes within the rows.
   */
  colour_changes: number;
  /**
   * Beads that no bead of the same colour touches.
   */
  stray_beads: number;
}
/**
 * A difference as seen from a distance.
 */
export interface SeenReport {
  /**
   * The distance.
   */
  distance_mm: number;
  /**
   * Mean difference.
   */
  mean: number;
  /**
   * The difference that 95 of 100 points do not exceed.
   */
  p95: number;
}
/**
 * A mean, and what 95 of 100 do not exceed.
 */
export interface SpreadReport {
  /**
   * Mean.
   */
  mean: number;
  /**
   * What 95 of 100 do not exceed.
   */
  p95: number;
}
/**
 * How a motif stands out from its ground.
 */
export interface Legible {
  /**
   * Code of the ground.
   */
  ground: string;
  /**
   * Name of the ground.
   */
  name: string;
  /**
   * From each distance.
   */
  seen: StandingReport[];
  /**
   * The distance from which the motif is lost; none if it is still visible at 20 m.
   */
  lost_mm: number | null;
}
/**
 * A motif on its ground, from a distance.
 */
export interface StandingReport {
  /**
   * The distance.
   */
  distance_mm: number;
  /**
   * Mean CIEDE2000 from the ground.
   */
  difference: number;
  /**
   * Mean CIEDE2000 from a blot of the same light.
   */
  form: number;
  /**
   * Ratio of luminances, the lighter over the darker.
   */
  contrast: number;
  /**
   * How it reads.
   */
  reads: ReadsReport;
}
/**
 * A colour in use.
 */
export interface ColourCount {
  /**
   * Its code in the palette.
   */
  code: string;
  /**
   * Its name.
   */
  name: string;
  /**
   * Its colour, six hex digits.
   */
  hex: string;
  /**
   * Beads of it.
   */
  beads: number;
}
/**
 * A warning: its kind and data, its sentence in parts, and as the command line says it.
 */
export interface WarningReport {
  /**
   * What was noticed.
   */
  kind: string;
  /**
   * As the command line says it.
   */
  text: string;
  /**
   * The sentence in parts, for faces that write options their own way.
   */
  parts: Sentence;
}
/**
 * Several ways to chart one picture.
 */
export interface ProposeAnswer {
  /**
   * The number of the request in its lane.
   */
  n: number | null;
  /**
   * The ways, the chart as asked for first.
   */
  proposals: ProposalAnswer[];
}
/**
 * One way, and its chart.
 */
export interface ProposalAnswer {
  /**
   * What it is called.
   */
  name: string;
  /**
   * What differs, in a sentence without its full stop.
   */
  description: string;
  /**
   * The options that differ from those asked for, in the order of their names.
   */
  changes: OptionChange[];
  /**
   * The chart's file.
   */
  text: string;
  /**
   * What `--json` prints of the chart.
   */
  document: string;
  /**
   * The same, to be read.
   */
  summary: ChartReport;
}
/**
 * An option that a way sets otherwise.
 */
export interface OptionChange {
  /**
   * Its name as requests have it.
   */
  option: string;
  /**
   * Its value as text; none where it is left open.
   */
  value: string | null;
}
/**
 * A chart with other rows.
 */
export interface ResizeAnswer {
  /**
   * The number of the request in its lane.
   */
  n: number | null;
  /**
   * The chart's file.
   */
  text: string;
}
/**
 * A chart in the colours of another palette.
 */
export interface SwapAnswer {
  /**
   * The chart's file.
   */
  text: string;
  /**
   * What `upbead swap --json` prints.
   */
  document: string;
  /**
   * The same, to be read.
   */
  told: SwapReport;
}
/**
 * What became of a chart's colours.
 */
export interface SwapReport {
  /**
   * Where the new chart went; none is standard output.
   */
  chart: string | null;
  /**
   * Name of the other palette.
   */
  palette: string;
  /**
   * Beads of the chart.
   */
  beads: number;
  /**
   * Mean CIEDE2000 over the beads, three decimals.
   */
  difference: number;
  /**
   * A substitution for each colour in use, in the old chart's order.
   */
  substitutions: SubstitutionReport[];
  /**
   * Pairs that could be told apart.
   */
  apart: number;
  /**
   * Those that no longer can.
   */
  together: ChangedPairReport[];
  /**
   * Pairs of which one was the lighter.
   */
  ordered: number;
  /**
   * Those in which it is the darker now.
   */
  turned: ChangedPairReport[];
  /**
   * Whether no choice is better, for certain.
   */
  proven: boolean;
}
/**
 * One colour that became another.
 */
export interface SubstitutionReport {
  /**
   * The colour as it was.
   */
  from: SwapColourReport;
  /**
   * The bead that takes its place.
   */
  to: SwapColourReport;
  /**
   * CIEDE2000 between the two, three decimals.
   */
  difference: number;
  /**
   * Beads of it.
   */
  beads: number;
  /**
   * Beads that are short in stock.
   */
  short: number;
}
/**
 * A colour.
 */
export interface SwapColourReport {
  /**
   * Its code.
   */
  code: string;
  /**
   * Its name.
   */
  name: string;
  /**
   * Six hex digits.
   */
  hex: string;
}
/**
 * Two colours of the old chart, by code, and how different they are now.
 */
export interface ChangedPairReport {
  /**
   * One.
   */
  one: string;
  /**
   * The other.
   */
  other: string;
  /**
   * CIEDE2000 between what they became, three decimals.
   */
  difference: number;
}
/**
 * Figures of a chart beside its picture.
 */
export interface CompareReport {
  /**
   * The chart's file; `-` is standard input.
   */
  chart: string;
  /**
   * The picture's file; `-` is standard input.
   */
  picture: string;
  /**
   * As seen from each distance.
   */
  seen: SeenReport[];
  /**
   * Bead by bead, not filtered.
   */
  beads: SpreadReport;
  /**
   * Times that the colour changes within the rows.
   */
  colour_changes: number;
  /**
   * Beads that no bead of the same colour touches.
   */
  stray_beads: number;
  /**
   * How the motif stands out from its ground.
   */
  legible: Legible | null;
  /**
   * What was noticed.
   */
  warnings: WarningReport[];
}
/**
 * The even row counts that close round a finger, and what to know before weaving.
 */
export interface FitReport {
  /**
   * The row count.
   */
  rows: number;
  /**
   * Where no gauge is set: rows for a loose and for a tight hand.
   *
   * @minItems 2
   * @maxItems 2
   */
  rows_range?: [number, number];
  /**
   * The row at which to try the strip on first.
   */
  first_try_row: number;
  /**
   * The ring size that was asked for.
   */
  size: string;
  /**
   * The scale that sizes are compared on: `US`, `UK`, `ISO`, `JP`, `EU` or `mm around`; `US` for
   * an inside diameter.
   */
  scale: string;
  /**
   * Its inside diameter in mm.
   */
  wanted_diameter_mm: number;
  /**
   * Columns of the band.
   */
  columns: number;
  /**
   * Width of the band in mm.
   */
  width_mm: number;
  /**
   * The bead-to-bead spacing: between the centres of neighbouring beads in a column, in mm.
   */
  pitch_mm: number;
  /**
   * The bead.
   */
  bead: BeadReport;
  /**
   * What the gauge was measured with.
   */
  gauge: GaugeSourceReport;
  /**
   * Neighbouring row counts and their sizes, smallest first, with the one that was taken.
   */
  near: ClosedReport[];
  /**
   * What to know before weaving.
   */
  warnings: WarningReport[];
  /**
   * The file that the gauge was kept in by this run.
   */
  remembered?: string;
}
/**
 * A bead's measures in mm.
 */
export interface BeadReport {
  /**
   * Along the hole.
   */
  length_mm: number;
  /**
   * Across the hole.
   */
  diameter_mm: number;
  /**
   * Bore of the hole.
   */
  hole_mm: number;
}
/**
 * What a gauge was measured with.
 */
export interface GaugeSourceReport {
  /**
   * Where the gauge comes from.
   */
  source: SourceKind;
  /**
   * What was measured, such as `swatch 40=33.6` or `fits 74=us7`; absent where nothing was.
   */
  from?: string;
  /**
   * The gauge file that it was read from.
   */
  file?: string;
  /**
   * Width of a column in the swatch, in mm, if it was measured.
   */
  column_mm?: number;
}
/**
 * A closed band of some rows, and its ring size.
 */
export interface ClosedReport {
  /**
   * Its rows.
   */
  rows: number;
  /**
   * Inside diameter in mm.
   */
  diameter_mm: number;
  /**
   * Inner circumference in mm.
   */
  circumference_mm: number;
  /**
   * US and Canadian size; null below 0.
   */
  us: number | null;
  /**
   * ISO 8653 size.
   */
  iso: number;
  /**
   * UK and Australian size; null below A.
   */
  uk: string | null;
  /**
   * Japanese size; null below 1.
   */
  jp: number | null;
  /**
   * Where no gauge is set: what these rows make for a tight, an average and a loose hand.
   *
   * @minItems 3
   * @maxItems 3
   */
  hands?: [HandReport, HandReport, HandReport];
}
/**
 * What a row count makes for one hand.
 */
export interface HandReport {
  /**
   * Inside diameter in mm.
   */
  diameter_mm: number;
  /**
   * The size on the scale that was asked for; `-` where the scale has none.
   */
  size: string;
}
/**
 * A gauge as it is typed: one of the two.
 */
export interface GaugeAnswer {
  /**
   * What was counted and measured.
   */
  swatch: string | null;
  /**
   * A band that fits.
   */
  fits: string | null;
  /**
   * The bead-to-bead spacing.
   */
  pitch_mm: number;
}
/**
 * A gauge, and where it is kept.
 */
export interface GaugeReport {
  /**
   * The bead-to-bead spacing: between the centres of neighbouring beads in a column, in mm.
   */
  pitch_mm: number;
  /**
   * The bead.
   */
  bead: BeadReport;
  /**
   * What was measured.
   */
  gauge: GaugeSourceReport;
  /**
   * The file that it was kept in by this run.
   */
  remembered?: string;
}
/**
 * A chart that was opened.
 */
export interface ReadAnswer {
  /**
   * Its file as the program writes it.
   */
  text: string;
}
/**
 * What the page shows beside a chart.
 */
export interface FactsAnswer {
  /**
   * The number of the request in its lane.
   */
  n: number | null;
  /**
   * As `upbead check --json` lists them.
   */
  findings: FindingReport[];
  /**
   * The error of `upbead kit` if the palette does not have all colours of the chart.
   */
  missing: ErrorAnswer | null;
  /**
   * Width of the band.
   */
  width_mm: number;
  /**
   * Flat length of the band.
   */
  length_mm: number;
  /**
   * None for a strip.
   */
  ring: ClosedReport | null;
  /**
   * What was noticed about the gauge.
   */
  warnings: WarningReport[];
  /**
   * The key of each colour, as it stands on its beads.
   */
  keys: string[];
  /**
   * As `upbead kit --json`.
   */
  kit: KitReport;
}
/**
 * One thing that was found: where, what was measured and its limit, and what to do about it.
 */
export interface FindingReport {
  /**
   * What kind of thing.
   */
  kind: FindingKind;
  /**
   * The rows that it is about.
   */
  rows: number[];
  /**
   * The beads that it is about.
   */
  beads: BeadPlace[];
  /**
   * The colours that it is about, by code; two by two where it is about pairs.
   */
  colours: string[];
  /**
   * What was measured; `null` where nothing is.
   */
  measure: Figure | null;
  /**
   * The most, or for few beads the fewest, that would be no finding.
   */
  limit: Figure | null;
  /**
   * What both are in.
   */
  unit: string | null;
  /**
   * What was found, and where.
   */
  text: string;
  /**
   * What to do about it, as the command line says it.
   */
  hint: string;
  /**
   * The same in parts, for faces that write options their own way.
   */
  hint_parts: Sentence;
  /**
   * Colour changes of each of `rows`.
   */
  changes?: number[];
  /**
   * Colour changes of the median row.
   */
  median?: number;
  /**
   * Row counts that are a whole number of repeats, nearest first.
   */
  fitting?: number[];
  /**
   * The kind of sight: `full`, `protan` (red-weak) or `deutan` (green-weak).
   */
  sight?: string;
  /**
   * Code of the nearest colour that the palette has.
   */
  nearest?: string;
  /**
   * Beads that have to be bought, without spare ones.
   */
  short?: number;
  /**
   * The longest piece of thread, with its tail.
   */
  piece_mm?: number;
  /**
   * The finest usual needle.
   */
  needle?: string;
}
/**
 * Where a bead stands.
 */
export interface BeadPlace {
  /**
   * Its row.
   */
  row: number;
  /**
   * Its column.
   */
  column: number;
}
/**
 * What is wrong, where, and what to do about it.
 */
export interface ErrorAnswer {
  /**
   * What is wrong.
   */
  what: string;
  /**
   * The file and the place in it.
   */
  where?: string;
  /**
   * The line.
   */
  line?: number;
  /**
   * The column.
   */
  column?: number;
  /**
   * The option.
   */
  option?: string;
  /**
   * What to do about it.
   */
  hint?: string;
  /**
   * The same in parts that name options.
   */
  hint_parts?: Sentence;
}
/**
 * What to gather: grams and lengths to 1/1000, money to 1/100, `null` where nothing is known.
 */
export interface KitReport {
  /**
   * How many bands.
   */
  make: number;
  /**
   * Spare beads of each colour, in percent of those counted.
   */
  spare_percent: number;
  /**
   * Whether the band is a ring.
   */
  closed: boolean;
  /**
   * The bead.
   */
  bead: KitBeadReport;
  /**
   * The colours in use, in the chart's order.
   */
  colours: KitColourReport[];
  /**
   * Sums; money over the colours that have a price.
   */
  total: TotalReport;
  /**
   * For how many of the bands the beads in stock are enough, spare ones included.
   */
  enough_for: number | null;
  /**
   * The thread.
   */
  thread: KitThreadReport;
  /**
   * The thickest usual needle that goes through the fullest hole.
   */
  needle: NeedleReport | null;
  /**
   * The fullest hole.
   */
  holes: KitHolesReport;
  /**
   * What prices are in.
   */
  currency: string | null;
  /**
   * How long the weaving takes, where a pace is given.
   */
  time: TimeReport | null;
  /**
   * What one band costs, where it is asked for.
   */
  price: PriceReport | null;
  /**
   * What to know before the kit is packed.
   */
  warnings: WarningReport[];
}
/**
 * A bead's name and measures.
 */
export interface KitBeadReport {
  /**
   * Such as `11/0`, or its measures.
   */
  name: string;
  /**
   * Along the hole.
   */
  length_mm: number;
  /**
   * Across the hole.
   */
  diameter_mm: number;
  /**
   * Bore of the hole.
   */
  hole_mm: number;
}
/**
 * The beads of one colour.
 */
export interface KitColourReport {
  /**
   * Its code.
   */
  code: string;
  /**
   * Its name.
   */
  name: string;
  /**
   * How it looks, six hex digits.
   */
  hex: string;
  /**
   * Beads in one band.
   */
  beads_each: number;
  /**
   * Beads in all bands.
   */
  beads: number;
  /**
   * Beads to lay in: all bands, with the spare ones.
   */
  beads_with_spare: number;
  /**
   * Beads in a gram.
   */
  per_gram: number;
  /**
   * Where that number is from.
   */
  per_gram_source: PerGramSource;
  /**
   * What the beads to lay in weigh.
   */
  grams: number;
  /**
   * Grams in stock; with a palette `null` means enough.
   */
  in_stock_grams: number | null;
  /**
   * Beads that have to be bought.
   */
  short_beads: number | null;
  /**
   * What those weigh.
   */
  short_grams: number | null;
  /**
   * Price of a gram.
   */
  price_per_gram: number | null;
  /**
   * Price of the beads to lay in.
   */
  cost: number | null;
  /**
   * Price of the beads that have to be bought.
   */
  cost_short: number | null;
  /**
   * Grams in a pack as it is sold.
   */
  pack_grams: number | null;
  /**
   * Whole packs that have to be bought.
   */
  packs: number | null;
  /**
   * Price of those packs.
   */
  cost_packs: number | null;
  /**
   * How far the chart's colour is from the palette's, CIEDE2000.
   */
  difference: number | null;
}
/**
 * Sums over the colours.
 */
export interface TotalReport {
  /**
   * Beads in one band.
   */
  beads_each: number;
  /**
   * Beads in all bands.
   */
  beads: number;
  /**
   * Beads to lay in.
   */
  beads_with_spare: number;
  /**
   * What those weigh.
   */
  grams: number;
  /**
   * Beads that have to be bought.
   */
  short_beads: number | null;
  /**
   * What those weigh.
   */
  short_grams: number | null;
  /**
   * Price of the beads to lay in.
   */
  cost: number | null;
  /**
   * Price of the beads that have to be bought.
   */
  cost_short: number | null;
  /**
   * Whole packs that have to be bought.
   */
  packs: number | null;
  /**
   * Price of those packs.
   */
  cost_packs: number | null;
}
/**
 * The thread.
 */
export interface KitThreadReport {
  /**
   * How thick it is.
   */
  diameter_mm: number;
  /**
   * For one band.
   */
  each_mm: number;
  /**
   * For all bands.
   */
  all_mm: number;
  /**
   * What one band's thread is for.
   */
  items: ItemReport[];
  /**
   * Joins in a band where one thread would be too long to sew with.
   */
  joins_each: number;
  /**
   * Thread that they take, as one of the items.
   */
  joins_extra_mm: number;
}
/**
 * A part of the thread.
 */
export interface ItemReport {
  /**
   * What it is for.
   */
  item: ThreadItem;
  /**
   * How long it is.
   */
  length_mm: number;
}
/**
 * A needle.
 */
export interface NeedleReport {
  /**
   * As it is sold: a higher number is a thinner needle.
   */
  size: string;
  /**
   * Across the shaft.
   */
  diameter_mm: number;
}
/**
 * The fullest hole.
 */
export interface KitHolesReport {
  /**
   * Passes of thread through it.
   */
  most_passes: number;
  /**
   * Share of its cross-section that they fill, 0 to 1.
   */
  filled: number;
}
/**
 * How long the weaving takes, in whole minutes, rounded up.
 */
export interface TimeReport {
  /**
   * Beads woven in a minute, as given.
   */
  beads_per_minute: number;
  /**
   * Minutes for one band: its beads over the pace.
   */
  minutes_each: number;
  /**
   * Minutes for all bands.
   */
  minutes: number;
}
/**
 * The price of one band. Every part is rounded to 1/100, and the sums are those of the parts.
 */
export interface PriceReport {
  /**
   * Its beads, with the spare ones; null where no price is known.
   */
  beads: number | null;
  /**
   * Other materials, as given.
   */
  materials: number | null;
  /**
   * Pay for an hour, as given.
   */
  hourly: number | null;
  /**
   * Pay for the minutes of one band.
   */
  work: number | null;
  /**
   * Beads, other materials and work together.
   */
  cost: number;
  /**
   * Percent added, as given.
   */
  markup_percent: number | null;
  /**
   * What that comes to.
   */
  markup: number | null;
  /**
   * Cost and markup together: the price of one band.
   */
  price: number;
  /**
   * The price of all bands.
   */
  all: number;
}
/**
 * A follow-along page that was made.
 */
export interface FollowAnswer {
  /**
   * Its address.
   */
  at: string;
}
/**
 * Why a request did not succeed.
 */
export interface RefusalAnswer {
  /**
   * What is wrong.
   */
  error: ErrorAnswer;
  /**
   * Whether a newer request replaced this one.
   */
  stale?: boolean;
  /**
   * Whether a picture, a palette or a page is no longer kept.
   */
  gone?: boolean;
}
