// The staff: notes that can be chosen, the cursor, and what is told of a note.

const SVG = "http://www.w3.org/2000/svg";

function element(name, attributes) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
}

/** A sentence about a note, for those who hear the page. */
function spoken(line, note) {
  const bar = line.bars[note.bar];
  const parts = [`${note.name}, ${bar.label}, beat ${note.beat}`, note.harmony];
  if (note.does.length) parts.push(note.does.join(", "));
  parts.push(note.moves);
  if (note.hand) parts.push(note.hand);
  return `${parts.join(". ")}.`;
}

class Staff {
  /** `chosen` is told of the note that is chosen, `looked` of the one that is looked at. */
  constructor(line, sheets, chosen, looked) {
    Object.assign(this, { line, told: chosen, looked });
    this.chosen = -1;
    this.sounding = -1;
    const index = new Map(line.notes.map((note, n) => [`${note.bar} ${note.tick}`, n]));
    this.sheets = sheets.map((sheet) => this.sheet(sheet, index));
    this.tabStop(0);
  }

  sheet(sheet, index) {
    const svg = sheet.querySelector("svg");
    svg.setAttribute("role", "group");
    const groups = [];
    for (const group of svg.querySelectorAll("g.note")) {
      const n = index.get(`${group.dataset.measure} ${group.dataset.tick}`);
      if (n === undefined) continue;
      groups[n] = group;
      group.setAttribute("role", "button");
      group.setAttribute("tabindex", "-1");
      group.setAttribute("aria-label", spoken(this.line, this.line.notes[n]));
      group.addEventListener("click", () => this.choose(n));
      group.addEventListener("focus", () => this.choose(n, false));
      group.addEventListener("pointerenter", () => this.looked(n));
      group.addEventListener("pointerleave", () => this.looked(this.chosen));
    }
    const band = element("rect", { class: "band", rx: 120, visibility: "hidden" });
    svg.insertBefore(band, svg.querySelector("defs").nextSibling);
    return { sheet, svg, groups, band, boxes: null };
  }

  /** The sheet that is seen; its boxes are measured the first time. */
  get seen() {
    const seen = this.sheets.find(({ sheet }) => sheet.offsetParent !== null) ?? this.sheets[0];
    if (!seen.boxes && seen.sheet.offsetParent !== null) this.measure(seen);
    return seen;
  }

  /** Targets as high as their system, and as wide as there is room around the note. */
  measure(seen) {
    const boxes = seen.groups.map((group) => group.getBBox());
    let system = [];
    const close = () => {
      const top = Math.min(...system.map((n) => boxes[n].y)) - 150;
      const bottom = Math.max(...system.map((n) => boxes[n].y + boxes[n].height)) + 150;
      system.forEach((n) => {
        const middle = boxes[n].x + boxes[n].width / 2;
        const half = Math.max(boxes[n].width / 2 + 90, 330);
        Object.assign(boxes[n], { x: middle - half, width: 2 * half, y: top, height: bottom - top });
      });
      system = [];
    };
    seen.boxes = boxes;
    let right = -Infinity;
    boxes.forEach((box, n) => {
      if (box.x < right && system.length) close();
      right = box.x;
      system.push(n);
    });
    if (system.length) close();
    boxes.forEach((box, n) => {
      const target = element("rect", { class: "target", x: box.x, y: box.y, width: box.width, height: box.height, rx: 120 });
      seen.groups[n].prepend(target);
    });
  }

  tabStop(n) {
    for (const { groups } of this.sheets) {
      groups.forEach((group, other) => group.setAttribute("tabindex", other === n ? "0" : "-1"));
    }
  }

  choose(n, focus = true) {
    if (!this.line.notes[n]) return;
    for (const { groups } of this.sheets) {
      groups[this.chosen]?.classList.remove("chosen");
      groups[n]?.classList.add("chosen");
    }
    this.chosen = n;
    this.tabStop(n);
    if (focus) this.seen.groups[n]?.focus({ preventScroll: false });
    this.told(n);
  }

  /** Moves the cursor to a note; -1 takes it away. */
  sound(n) {
    for (const { groups, band } of this.sheets) {
      groups[this.sounding]?.classList.remove("sounding");
      groups[n]?.classList.add("sounding");
      band.setAttribute("visibility", "hidden");
    }
    this.sounding = n;
    const { groups, band, boxes } = this.seen;
    if (!boxes || !boxes[n]) return;
    for (const side of ["x", "y", "width", "height"]) band.setAttribute(side, boxes[n][side]);
    band.setAttribute("visibility", "visible");
    this.follow(groups[n]);
  }

  /** Scrolls the cursor into view where it is out of it. */
  follow(group) {
    const box = group.getBoundingClientRect();
    const room = window.innerHeight - document.getElementById("dock").offsetHeight;
    if (box.top >= 0 && box.bottom <= room) return;
    const calm = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
    const top = window.scrollY + box.top - room / 4;
    window.scrollTo({ top, behavior: calm ? "auto" : "smooth" });
  }
}
