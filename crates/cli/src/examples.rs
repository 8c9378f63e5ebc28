//! The examples in the help; the tests run every one of them.

/// The first of some examples, for a help that fits on a screen.
pub fn short(examples: &str) -> String {
    let lines: Vec<&str> = examples.lines().take(3).collect();
    lines.join("\n")
}

/// For the program.
pub const PROGRAM: &str = "\
Examples:
  linewright compose blues.chart                       # a line, on the terminal
  linewright compose blues.chart --best -o blues.mid   # the best line, to hear it
  linewright chart blues.chart                         # check a chart
  linewright styles                                    # what there is to choose from";

/// For `compose`.
pub const COMPOSE: &str = "\
Examples:
  linewright compose blues.chart
  linewright compose blues.chart --style chromatic --seed 7 --reasons --bars 1-4
  linewright compose blues.chart --grade 3 --bold 0.4
  linewright compose blues.chart --lines 3 -o take.mid -o take.txt
  linewright compose blues.chart --lines 2 -o 'blues {line}.json'
  linewright compose blues.chart --ranked --lines 5
  linewright compose blues.chart --key Bb --tempo 180 --choruses 3 --no-plan
  linewright compose - --best --instrument bass-guitar --high C3 < blues.chart

Practise with breaks; stop if a stretch hurts, and ask a teacher or doctor; keep playback
volume modest.";

/// For `explain`.
pub const EXPLAIN: &str = "\
Examples:
  linewright explain blues.chart line.txt
  linewright explain blues.chart take.mid --brief
  linewright explain blues.chart line.txt --bars 1-4 --reasons
  linewright explain blues.chart line.txt --style chromatic -o line.json

A line as text has note names with octaves, a beat each, and bars between |:
  | F1 A1 C2 E2 | Bb1 . D2 r | (F2 F2) C2 A1 G1 |
A dot holds the note before for a beat, r rests, and notes in parentheses share a beat.";

/// For `vary`.
pub const VARY: &str = "\
Examples:
  linewright vary blues.chart --bars 3-4
  linewright vary blues.chart --bars 3-4 --strategy other-order --count 3
  linewright vary blues.chart --bars 7-8 --line line.txt -o ways.mid
  linewright vary blues.chart --bars 5-6 --distance 5 --style chromatic";

/// For `orders`.
pub const ORDERS: &str = "\
Examples:
  linewright orders 1-3-5-6
  linewright orders 1-3-5-b7 --chord F7 --before E2 --after Bb1 --next-chord Bb7
  linewright orders 'C E G B' --chord Cmaj7 --placements --count 50
  linewright orders 1-b3-5-6 --chord Dm6 -o orders.mid";

/// For `mark`.
pub const MARK: &str = "\
Examples:
  linewright mark blues.chart line.txt --grade 3
  linewright mark blues.chart line.txt --grade 3 -o marks.json
  linewright mark homework --chart blues.chart --grade 3 -o class.csv
  linewright mark blues.chart homework/*.txt --grade 3 -o '{name}.txt'

A file says who wrote it in a line of its own, `student: Kim`, which the table shows.";

/// For `profile`.
pub const PROFILE: &str = "\
Examples:
  linewright profile line.txt --chart blues.chart
  linewright profile homework --chart blues.chart -o homework.csv
  linewright profile --style plain --seeds 1-20 --chart blues.chart
  linewright profile homework --chart blues.chart --against-style plain
  linewright profile line.txt --chart blues.chart --against homework -o compared.json";

/// For `learn`.
pub const LEARN: &str = "\
Examples:
  linewright learn homework --chart blues.chart
  linewright learn homework --chart blues.chart -o mine.toml
  linewright learn line.txt --chart blues.chart --style fast --freedom 0.2 -o kim.toml
  linewright learn homework --chart blues.chart --keep-limits --folds 2 -o learned.json

A style that was learned is used like any other: `linewright compose blues.chart --style
mine.toml`. Fifty bars are useful, 250 are good.";

/// For `rules`.
pub const RULES: &str = "\
Examples:
  linewright rules
  linewright rules half-step-approach
  linewright rules --style fast";

/// For `styles`.
pub const STYLES: &str = "\
Examples:
  linewright styles
  linewright styles waltz
  linewright styles plain > mine.toml";

/// For `schema`.
pub const SCHEMA: &str = "\
Examples:
  linewright schema json > lines.schema.json
  linewright schema style > style.schema.json";

/// For `chart`.
pub const CHART: &str = "\
Examples:
  linewright chart blues.chart
  linewright chart blues.chart --print
  linewright chart blues.chart --unroll
  linewright chart blues.chart --transpose Eb
  linewright chart blues.chart --transpose -2 --print
  linewright chart leadsheet.musicxml --print > leadsheet.chart
  linewright chart tunes.abc --chart-part 12";

/// For `completions`.
pub const COMPLETIONS: &str = "\
Examples:
  linewright completions bash > linewright.bash";

/// For `man`.
pub const MAN: &str = "\
Examples:
  linewright man > linewright.1
  linewright man compose > linewright-compose.1";
