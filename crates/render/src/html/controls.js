// The controls: buttons, sliders and keys, and what the page tells.

const line = JSON.parse(document.getElementById("line").textContent);
const by = (id) => document.getElementById(id);
const numbers = line.bars.map((bar) => bar.number);
const tempo = line.bars[0].tempo;

const player = new Player(line, settings, show, ended);
const staff = new Staff(line, [...document.querySelectorAll(".sheet:not(.print)")], tellNote, tellNote);

function settings() {
  return {
    pace: by("tempo").value / tempo,
    bass: by("bass-volume").value,
    click: by("click-volume").value,
    clicks: by("click-on").value,
    countIn: by("count-in").checked,
    loop: by("loop").checked ? loop() : null,
  };
}

/** The bars of the loop, first and last, as indices. */
function loop() {
  const wanted = [by("loop-from"), by("loop-to")].map((input) => Number(input.value));
  const [low, high] = wanted.sort((one, other) => one - other);
  const from = numbers.findIndex((number) => number >= low);
  const to = numbers.findLastIndex((number) => number <= high);
  return { from: Math.max(0, Math.min(from, to)), to: Math.max(0, from, to) };
}

function say(text) { by("status").textContent = text; }

/** The chord at a place, and the one after it. */
function chords(at) {
  let now = "", next = "";
  for (const chord of line.chords) {
    if (chord.at <= at) now = chord.symbol;
    else if (!next) next = chord.symbol;
  }
  return [now, next];
}

function show(heard) {
  if (heard.count) {
    by("now-bar").textContent = "count-in";
    by("now-chord").textContent = heard.count;
    by("now-next").textContent = "";
    if (heard.count === 1) say("count-in");
    return;
  }
  const bar = line.bars[heard.bar];
  const [now, next] = chords(heard.at);
  const spoken = `${bar.label}, ${now || "no chord"}`;
  if (by("status").textContent !== spoken && (bar.at === heard.at || by("status").dataset.bar !== String(heard.bar))) {
    say(spoken);
    by("status").dataset.bar = heard.bar;
  }
  by("now-bar").textContent = bar.label;
  by("now-chord").textContent = now;
  by("now-next").textContent = next ? `then ${next}` : "";
  if (heard.note !== undefined) staff.sound(heard.note);
}

function tellNote(n) {
  const note = line.notes[n];
  by("note").hidden = !note;
  by("hint").hidden = Boolean(note);
  if (!note) return;
  by("note-name").textContent = note.name;
  by("note-place").textContent = [`${line.bars[note.bar].label}, beat ${note.beat}`, note.hand].filter(Boolean).join(" · ");
  by("note-harmony").textContent = `${note.degree} · ${note.harmony}`;
  by("note-does").textContent = [...note.does, note.moves].join(" · ");
}

function ended() {
  by("play").classList.remove("playing");
  by("play-word").textContent = "Play";
  for (const id of ["now-bar", "now-chord", "now-next"]) by(id).textContent = "";
  staff.sound(-1);
  say("stopped");
}

function toggle() {
  if (player.playing) {
    player.stop();
    ended();
    return;
  }
  by("play").classList.add("playing");
  by("play-word").textContent = "Stop";
  const from = staff.chosen < 0 ? 0 : line.notes[staff.chosen].bar;
  player.play(from).catch(() => {
    ended();
    say("This browser cannot play sound.");
  });
}

function showTempo() {
  by("tempo-shown").textContent = by("tempo").value;
  by("tempo").setAttribute("aria-valuetext", `${by("tempo").value} beats a minute`);
}

function setTempo(value) {
  by("tempo").value = value;
  showTempo();
}

/** The bar that sounds, else the one that is chosen. */
function here() {
  const note = staff.sounding >= 0 ? staff.sounding : staff.chosen;
  return numbers[note >= 0 ? line.notes[note].bar : 0];
}

function setLoop(id) {
  by(id).value = here();
  by("loop").checked = true;
  const { from, to } = loop();
  say(`loop from bar ${numbers[from]} to bar ${numbers[to]}`);
}

/** The first note of the bar so many bars with notes away. */
function bars(step) {
  const bar = line.notes[Math.max(0, staff.chosen)].bar;
  const later = line.notes.findIndex((note) => note.bar > bar);
  const before = line.notes.findLast((note) => note.bar < bar);
  if (step > 0) return later < 0 ? line.notes.length - 1 : later;
  return before ? line.notes.findIndex((note) => note.bar === before.bar) : 0;
}

const last = line.notes.length - 1;
const plain = {
  ArrowRight: () => staff.choose(Math.min(last, staff.chosen + 1)),
  ArrowLeft: () => staff.choose(Math.max(0, staff.chosen - 1)),
  ArrowDown: () => staff.choose(staff.chosen < 0 ? 0 : bars(1)),
  ArrowUp: () => staff.choose(bars(-1)),
  Home: () => staff.choose(0),
  End: () => staff.choose(last),
  " ": toggle,
};
const single = {
  "[": () => setLoop("loop-from"),
  "]": () => setLoop("loop-to"),
  l: () => by("loop").click(),
  ",": () => setTempo(Number(by("tempo").value) - 4),
  ".": () => setTempo(Number(by("tempo").value) + 4),
};

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented) return;
  const on = event.target;
  const typing = on.matches("input:not([type=checkbox]), select");
  const pressing = on.matches("button, summary, input[type=checkbox]");
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  if (typing || (pressing && key === " ") || line.notes.length === 0) return;
  if (key === "Enter" && on.matches(".note")) {
    player.hear(staff.chosen);
    event.preventDefault();
    return;
  }
  const act = plain[key] ?? (by("single-keys").checked ? single[key] : undefined);
  if (!act) return;
  event.preventDefault();
  act();
});

const slowest = Math.min(40, tempo), fastest = Math.max(300, tempo);
Object.assign(by("tempo"), { min: slowest, max: fastest });
setTempo(tempo);
for (const id of ["loop-from", "loop-to"]) {
  Object.assign(by(id), { min: numbers[0], max: numbers[numbers.length - 1] });
}
by("loop-from").value = numbers[0];
by("loop-to").value = numbers[numbers.length - 1];
by("click-on").parentElement.hidden = !line.bars.some((bar) => bar.beats === 4);
by("tempo").addEventListener("input", showTempo);
for (const which of ["bass", "click"]) {
  const slider = by(`${which}-volume`);
  slider.addEventListener("input", () => player.sound?.volume(which, slider.value));
}
by("play").addEventListener("click", toggle);
by("hear").addEventListener("click", () => player.hear(staff.chosen));
by("more").open = window.matchMedia("(min-width: 44.01rem)").matches;
document.documentElement.classList.add("scripted");
window.requestAnimationFrame(() => staff.seen);
window.addEventListener("resize", () => staff.sound(staff.sounding));
