// The player: what sounds when, scheduled ahead on the audio clock.

/** How far ahead events are scheduled, in seconds: more where timers are slow. */
const AHEAD = { seen: 0.25, hidden: 1.6 };
/** How often to look, in milliseconds. */
const LOOK = 40;
/** From the key press to the first sound, in seconds. */
const LEAD = 0.12;

/** Every moment at which something begins, in order: beats with their click, and notes. */
function moments(line) {
  const at = new Map();
  const moment = (ticks, bar) => {
    if (!at.has(ticks)) at.set(ticks, { at: ticks, bar });
    return at.get(ticks);
  };
  line.bars.forEach((bar, index) => {
    for (let beat = 0; beat < bar.beats; beat++) {
      moment(bar.at + beat * line.quarter, index).beat = beat;
    }
  });
  line.notes.forEach((note, index) => { moment(note.at, note.bar).note = index; });
  return [...at.values()].sort((one, other) => one.at - other.at);
}

class Player {
  /** `settings()` is asked at every step; `show` and `ended` are told in time. */
  constructor(line, settings, show, ended) {
    Object.assign(this, { line, settings, show, ended });
    this.moments = moments(line);
    this.sound = null;
    this.timer = 0;
    this.shown = [];
  }

  get playing() { return this.timer !== 0; }

  /** Makes the sound; browsers allow that after a key or a click only. */
  ready() {
    this.sound ??= new Sound();
    const { bass, click } = this.settings();
    this.sound.volume("bass", bass);
    this.sound.volume("click", click);
    return this.sound.context.resume();
  }

  /** Seconds of a tick in a bar, at the tempo that is chosen now. */
  tick(bar) {
    return 60 / (this.line.bars[bar].tempo * this.settings().pace) / this.line.quarter;
  }

  first(bar) {
    return this.moments.findIndex((moment) => moment.bar === bar);
  }

  async play(bar) {
    this.stop();
    await this.ready();
    if (this.playing) return;
    const { loop, countIn } = this.settings();
    this.next = this.first(loop ? loop.from : bar);
    if (this.next < 0) return;
    this.time = this.sound.now + LEAD;
    const start = this.moments[this.next].bar;
    if (countIn) {
      for (let beat = 0; beat < this.line.bars[start].count; beat++) {
        this.sound.beat(beat === 0, this.time);
        this.shown.push({ time: this.time, count: beat + 1 });
        this.time += this.line.quarter * this.tick(start);
      }
    }
    this.timer = window.setInterval(() => this.look(), LOOK);
    this.look();
    const frame = () => {
      if (!this.playing) return;
      this.tell();
      window.requestAnimationFrame(frame);
    };
    window.requestAnimationFrame(frame);
  }

  /** Schedules what begins soon. */
  look() {
    const ahead = document.hidden ? AHEAD.hidden : AHEAD.seen;
    while (this.next !== null && this.time < this.sound.now + ahead) this.step();
    if (this.next === null && this.sound.now > this.time + 0.05) {
      this.stop();
      this.ended();
    }
  }

  step() {
    const moment = this.moments[this.next];
    const bar = this.line.bars[moment.bar];
    const { loop, clicks } = this.settings();
    const tick = this.tick(moment.bar);
    if (moment.beat !== undefined && (clicks === "all" || bar.beats !== 4 || moment.beat % 2)) {
      this.sound.beat(moment.beat === 0, this.time);
    }
    if (moment.note !== undefined) {
      const note = this.line.notes[moment.note];
      this.sound.note(note.midi, this.time, note.length * tick, note.velocity);
    }
    this.shown.push({ time: this.time, bar: moment.bar, note: moment.note, at: moment.at });
    const following = this.moments[this.next + 1];
    const until = following ? following.at : this.line.end;
    this.time += (until - moment.at) * tick;
    const leaves = loop && (!following || following.bar > loop.to || following.bar < loop.from);
    if (leaves) this.next = this.first(loop.from);
    else this.next = following ? this.next + 1 : null;
  }

  /** Tells what is heard by now. */
  tell() {
    const heard = this.sound.now - this.sound.latency;
    while (this.shown.length && this.shown[0].time <= heard) this.show(this.shown.shift());
  }

  /** One note by itself. */
  async hear(index) {
    await this.ready();
    const note = this.line.notes[index];
    this.sound.note(note.midi, this.sound.now + 0.02, note.length * this.tick(note.bar), note.velocity);
  }

  stop() {
    window.clearInterval(this.timer);
    this.timer = 0;
    this.shown = [];
    this.next = null;
    this.sound?.hush();
  }
}
