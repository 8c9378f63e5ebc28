// Sound: a plucked string and a click, rendered to buffers once for each pitch.

/** How long a rendered string rings, in seconds. */
const RING = 3;

/**
 * A plucked string: a delay line as long as a period, with a soft filter in its loop and an
 * all-pass filter for the part of a sample that is missing (Karplus-Strong, in its extended
 * form). The noise that plucks it is always the same.
 */
function string(midi, rate) {
  const hertz = 440 * 2 ** ((midi - 69) / 12);
  const soft = 0.36;
  const turn = 2 * Math.PI * hertz / rate;
  const lag = Math.atan2(soft * Math.sin(turn), 1 - soft + soft * Math.cos(turn)) / turn;
  const period = rate / hertz - lag;
  const whole = Math.floor(period - 0.4);
  const part = period - whole;
  const pass = (1 - part) / (1 + part);
  const loss = 10 ** (-3 / (hertz * (midi < 40 ? 4.5 : 3.6)));
  const line = pluck(whole);
  const out = new Float32Array(Math.round(RING * rate));
  let place = 0, before = 0, last = 0, passed = 0;
  let slow = 0, peak = 0;
  for (let n = 0; n < out.length; n++) {
    const now = line[place];
    const softened = loss * ((1 - soft) * now + soft * before);
    before = now;
    passed = pass * (softened - passed) + last;
    last = softened;
    line[place] = passed;
    place = place + 1 === whole ? 0 : place + 1;
    slow += (now - slow) * 0.003;
    out[n] = Math.tanh(1.6 * (now - slow));
    peak = Math.max(peak, Math.abs(out[n]));
  }
  const attack = Math.round(0.004 * rate);
  for (let n = 0; n < out.length; n++) {
    out[n] *= Math.min(1, n / attack) / (peak || 1);
  }
  return out;
}

/** One period of soft noise, plucked near the end of the string, without its mean. */
function pluck(length) {
  let seed = 20_011;
  const noise = new Float32Array(length);
  let low = 0, lower = 0;
  for (let n = 0; n < length; n++) {
    seed = (seed * 1_103_515_245 + 12_345) % 2_147_483_648;
    low += (seed / 1_073_741_824 - 1 - low) * 0.22;
    lower += (low - lower) * 0.35;
    noise[n] = lower;
  }
  const point = Math.max(1, Math.round(length * 0.19));
  const plucked = noise.map((value, n) => value - 0.9 * noise[(n + length - point) % length]);
  const mean = plucked.reduce((sum, value) => sum + value, 0) / length;
  const most = plucked.reduce((peak, value) => Math.max(peak, Math.abs(value - mean)), 1e-6);
  return plucked.map((value) => (value - mean) / most);
}

/** A short dry click, higher on beat one. */
function tick(first, rate) {
  const out = new Float32Array(Math.round(0.05 * rate));
  const hertz = first ? 1760 : 1320;
  for (let n = 0; n < out.length; n++) {
    const time = n / rate;
    out[n] = Math.sin(2 * Math.PI * hertz * time) * Math.exp(-95 * time);
  }
  return out;
}

/** Everything that sounds, on one audio clock. */
class Sound {
  constructor() {
    const Context = window.AudioContext || window.webkitAudioContext;
    this.context = new Context({ latencyHint: "interactive" });
    this.bass = this.context.createGain();
    this.click = this.context.createGain();
    for (const gain of [this.bass, this.click]) gain.connect(this.context.destination);
    this.buffers = new Map();
    this.sounding = new Set();
  }

  get now() { return this.context.currentTime; }

  /** How much later than the clock a sound is heard, in seconds. */
  get latency() { return this.context.outputLatency || this.context.baseLatency || 0; }

  volume(which, hundredths) {
    // Squared: what the ear takes for even steps.
    this[which].gain.setTargetAtTime((hundredths / 100) ** 2, this.now, 0.02);
  }

  buffer(name, make) {
    if (!this.buffers.has(name)) {
      const samples = make(this.context.sampleRate);
      const buffer = this.context.createBuffer(1, samples.length, this.context.sampleRate);
      buffer.copyToChannel(samples, 0);
      this.buffers.set(name, buffer);
    }
    return this.buffers.get(name);
  }

  /** A note at a time of the clock, for so many seconds, at a MIDI velocity. */
  note(midi, time, seconds, velocity) {
    const buffer = this.buffer(`string ${midi}`, (rate) => string(midi, rate));
    this.start(buffer, this.bass, time, seconds, (velocity / 127) ** 1.5);
  }

  beat(first, time) {
    const buffer = this.buffer(`click ${first}`, (rate) => tick(first, rate));
    this.start(buffer, this.click, time, 0.05, first ? 1 : 0.75);
  }

  start(buffer, to, time, seconds, level) {
    const source = this.context.createBufferSource();
    const gain = this.context.createGain();
    const end = time + Math.min(seconds, buffer.duration);
    source.buffer = buffer;
    gain.gain.setValueAtTime(level, time);
    gain.gain.setValueAtTime(level, Math.max(time, end - 0.035));
    gain.gain.linearRampToValueAtTime(0, end);
    source.connect(gain).connect(to);
    source.start(time);
    source.stop(end + 0.01);
    const voice = { source, gain };
    this.sounding.add(voice);
    source.onended = () => {
      this.sounding.delete(voice);
      gain.disconnect();
    };
  }

  /** Silence, without a crack. */
  hush() {
    for (const { source, gain } of this.sounding) {
      gain.gain.cancelScheduledValues(this.now);
      gain.gain.setTargetAtTime(0, this.now, 0.012);
      source.stop(this.now + 0.08);
    }
    this.sounding.clear();
  }
}
