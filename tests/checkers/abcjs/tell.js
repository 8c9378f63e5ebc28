// Reads ABC tunes with abcjs and tells what is in them; see ../abc_abcjs.py.

const { createRequire } = require("module");
const abcjs = createRequire(process.argv[2] + "/")("abcjs");

// Whole notes as ticks; abcjs counts in floating point.
function ticks(wholes, quarter) {
  return Math.round(wholes * 4 * quarter);
}

function played(tune, quarter) {
  const audio = tune.setUpAudio({ chordsOff: true });
  return audio.tracks[0]
    .filter((event) => event.cmd === "note")
    .map((event) => [ticks(event.start, quarter), ticks(event.duration, quarter), event.pitch]);
}

// What stands on the staff: chord symbols with their times, bar lines, decorations.
function written(tune, quarter) {
  const symbols = [];
  const bars = [];
  const decorations = [];
  let now = 0;
  let factor = 1;
  for (const line of tune.lines) {
    for (const element of line.staff ? line.staff[0].voices[0] : []) {
      decorations.push(...(element.decoration || []));
      for (const chord of element.chord || []) {
        symbols.push([ticks(now, quarter), chord.name, chord.position]);
      }
      if (element.el_type === "bar") {
        bars.push([element.type, element.startEnding || null]);
      } else if (element.el_type === "note") {
        if (element.startTriplet) {
          factor = element.tripletMultiplier;
        }
        now += element.duration * factor;
        if (element.endTriplet) {
          factor = 1;
        }
      }
    }
  }
  return { symbols, bars, decorations };
}

function tell({ text, ticks: quarter }) {
  const [tune] = abcjs.parseOnly(text);
  return {
    title: tune.metaText.title || null,
    warnings: tune.warnings || [],
    notes: played(tune, quarter),
    ...written(tune, quarter),
  };
}

require("readline")
  .createInterface({ input: process.stdin })
  .on("line", (line) => console.log(JSON.stringify(tell(JSON.parse(line)))));
