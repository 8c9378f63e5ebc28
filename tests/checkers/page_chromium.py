"""Plays practice pages in a headless Chromium and tells what happened.

Reads one JSON object a line, {"html": the page}, and answers each with what was scheduled
on the audio clock and shown on the page: see `play`.
"""

import json
import re
import sys
import tempfile

from chromium import Browser

# Records every start of a buffer: when, how long, its pitch, and how far ahead of the clock.
RECORD = """
(() => {
  window.starts = [];
  window.cursor = [];
  const start = AudioBufferSourceNode.prototype.start;
  const stop = AudioBufferSourceNode.prototype.stop;
  AudioBufferSourceNode.prototype.start = function (when, ...more) {
    window.clock = this.context;
    this.entry = { when, now: this.context.currentTime, buffer: this.buffer };
    starts.push(this.entry);
    return start.call(this, when, ...more);
  };
  AudioBufferSourceNode.prototype.stop = function (when) {
    this.entry.end ??= when;
    return stop.call(this, when);
  };
  // The pitch of a buffer: the lag at which it is most like itself, parabola between lags.
  const known = new Map();
  window.hertz = (buffer) => {
    if (known.has(buffer)) return known.get(buffer);
    const data = buffer.getChannelData(0), rate = buffer.sampleRate;
    if (buffer.duration < 0.5) { known.set(buffer, 0); return 0; }
    const from = Math.round(0.4 * rate), length = Math.round(0.25 * rate);
    const like = (lag) => {
      let sum = 0, energy = 1e-12, other = 1e-12;
      for (let n = from; n < from + length; n++) {
        sum += data[n] * data[n + lag];
        energy += data[n] ** 2;
        other += data[n + lag] ** 2;
      }
      return sum / Math.sqrt(energy * other);
    };
    const lags = [];
    for (let lag = Math.round(rate / 420); lag < rate / 35; lag++) lags.push([lag, like(lag)]);
    const most = Math.max(...lags.map(([, value]) => value));
    let at = lags.findIndex(([, value], n) => value > most - 0.02 && value >= (lags[n + 1]?.[1] ?? 0));
    const [a, b, c] = [like(lags[at][0] - 1), lags[at][1], like(lags[at][0] + 1)];
    const found = rate / (lags[at][0] + (a - c) / (2 * (a - 2 * b + c)));
    known.set(buffer, found);
    return found;
  };
  document.addEventListener("DOMContentLoaded", () => {
    new MutationObserver((changes) => {
      for (const { target } of changes) {
        if (!target.matches(".wide .note.sounding")) continue;
        const seen = { place: [Number(target.dataset.measure), Number(target.dataset.tick)], clock: window.clock.currentTime };
        const last = cursor[cursor.length - 1];
        if (!last || String(last.place) !== String(seen.place) || seen.clock - last.clock > 0.05) cursor.push(seen);
      }
    }).observe(document.querySelector(".wide"), { attributes: true, subtree: true, attributeFilter: ["class"] });
  });
})();
"""

TOLD = """
starts.map(({ when, now, end, buffer }) => ({ when, now, end, hertz: hertz(buffer) }))
"""


def fresh(browser):
    browser.run("starts.length = 0; cursor.length = 0; 1")


def set_value(browser, element, value, event="input"):
    browser.run(
        f"(() => {{ const e = document.getElementById({json.dumps(element)});"
        f"e.value = {json.dumps(value)}; e.dispatchEvent(new Event('{event}')); }})()"
    )


def check(browser, element, wanted):
    browser.run(
        f"(() => {{ const e = document.getElementById({json.dumps(element)});"
        f"if (e.checked !== {json.dumps(wanted)}) e.click(); }})()"
    )


def playing(browser):
    return browser.run("document.getElementById('play').classList.contains('playing')")


def finish(browser):
    browser.wait("!document.getElementById('play').classList.contains('playing')")


def played(browser):
    return {"starts": browser.run(TOLD), "cursor": browser.run("cursor")}


def play(browser, path):
    told = {}
    browser.open(path, before=RECORD)
    told["notes"] = browser.run("document.querySelectorAll('.wide .note[role=button]').length")
    told["tab_stops"] = browser.run("document.querySelectorAll('.wide .note[tabindex=\"0\"]').length")

    # Once through with count-in, at a tempo of the slider, started by the keyboard.
    set_value(browser, "tempo", "240")
    browser.run("document.activeElement.blur()")
    browser.key(" ", "Space", " ")
    browser.wait("document.getElementById('play').classList.contains('playing')")
    browser.wait("cursor.length > 2")
    told["said"] = browser.run("document.getElementById('status').textContent")
    finish(browser)
    told["through"] = played(browser)
    told["cursor_left"] = browser.run("document.querySelectorAll('.sounding').length")

    # A loop of the second bar, without count-in and clicks on two and four; then stopped.
    fresh(browser)
    check(browser, "count-in", False)
    set_value(browser, "click-on", "even", "change")
    set_value(browser, "loop-from", "2")
    set_value(browser, "loop-to", "2")
    check(browser, "loop", True)
    browser.click("#play")
    browser.wait("cursor.length >= 10")
    told["loop"] = played(browser)
    browser.click("#play")
    told["stopped"] = not playing(browser)
    count = browser.run("starts.length")
    browser.run("new Promise((done) => setTimeout(done, 400))")
    told["silent_after_stop"] = browser.run("starts.length") == count
    check(browser, "loop", False)

    # The tempo changes while it plays.
    fresh(browser)
    set_value(browser, "tempo", "120")
    browser.run("document.activeElement.blur()")
    browser.key("Home")
    browser.key(" ", "Space", " ")
    browser.wait("cursor.length >= 3")
    set_value(browser, "tempo", "300")
    finish(browser)
    told["faster"] = played(browser)

    # Reasons by keyboard and by pointer.
    browser.key("Home")
    browser.key("ArrowRight")
    told["second_note"] = browser.run("document.getElementById('note').innerText")
    told["focused"] = browser.run("document.activeElement.getAttribute('aria-label')")
    browser.key("ArrowDown")
    told["next_bar"] = browser.run("document.getElementById('note-place').textContent")
    browser.click(".wide .note .target")
    told["first_note"] = browser.run("document.getElementById('note').innerText")
    fresh(browser)
    browser.click("#hear")
    browser.wait("starts.length === 1")
    told["heard"] = browser.run(TOLD)

    # On paper, and on a phone.
    browser.call("Emulation.setEmulatedMedia", media="print")
    told["print_shows_controls"] = browser.run(
        "['#dock', '.about', '.narrow'].some((s) => document.querySelector(s).offsetParent !== null)"
    )
    browser.call("Emulation.setEmulatedMedia", media="")
    told["pdf_pages"] = len(re.findall(rb"/Type\s*/Page\b", browser.pdf()))
    told["complaints"] = browser.complaints()

    browser.open(path, before=RECORD, width=390, height=800, dark=True)
    told["phone"] = browser.run(
        "({ wide: document.querySelector('.wide').offsetParent !== null,"
        " narrow: document.querySelector('.narrow').offsetParent !== null,"
        " overflow: document.documentElement.scrollWidth - window.innerWidth,"
        " ground: getComputedStyle(document.body).backgroundColor })"
    )
    told["complaints"] += browser.complaints()
    return told


def main():
    with Browser() as browser, tempfile.NamedTemporaryFile("w", suffix=".html", encoding="utf-8") as file:
        for request in sys.stdin:
            file.seek(0)
            file.truncate()
            file.write(json.loads(request)["html"])
            file.flush()
            print(json.dumps(play(browser, file.name)), flush=True)


main()
