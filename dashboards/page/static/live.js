// Keeps an open page in step with the daemon: takes states from /live, puts
// their words in place, and says loudly when none come. It decides nothing.

import { localise, showLine, showTime } from "./clock.js";

const slow = 5;   // seconds without a new reading: say so
const lost = 20;  // seconds without a new reading: say it loudly
const every = { pan: 2000, trace: 10000, log: 20000 }; // ms between new drawings

const baths = new Map();
for (const place of document.querySelectorAll("[data-bath]")) {
  baths.set(place.dataset.bath, {
    place,
    age: Number(place.dataset.age) || 0, // of the newest reading when it came, s
    came: Date.now(),
    open: new Set([...place.querySelectorAll("[data-alarm]:not([hidden])")].map((a) => a.dataset.alarm)),
    called: false,
    drawn: {},
    key: "",
  });
}
document.documentElement.classList.add("has-js");

const title = document.title;
const called = document.getElementById("called");
let calledAt = 0;
let headline = ""; // of the window: the gravest alarm
let wanted = null; // the gravest priority that wants a person
let source = null;
let heard = Date.now();

function listen() {
  source?.close();
  source = new EventSource("/live");
  source.onmessage = (message) => {
    heard = Date.now();
    show(JSON.parse(message.data));
  };
}

function show(state) {
  for (const bath of state.baths) {
    const known = baths.get(bath.bath);
    if (known) showBath(known, bath);
  }
  const first = state.baths.find((b) => baths.has(b.bath));
  const clock = document.getElementById("clock");
  if (first && clock) showTime(clock, first.wall);
  const open = state.baths.flatMap((b) => (baths.has(b.bath) ? b.alarms.filter((a) => a.open) : []));
  wanted = open.find((a) => a.can_acknowledge)?.priority ?? null;
  headline = open.length ? "▲ " + open[0].alarm + " · " : "";
  sayAge();
}

function showBath(known, bath) {
  const { place } = known;
  known.age = bath.age_s;
  known.came = Date.now();
  for (const [name, text] of Object.entries(bath.words)) {
    for (const element of place.querySelectorAll(`[data-word="${name}"]`)) setText(element, text);
  }
  const bar = place.querySelector("[data-hold]");
  if (bar) {
    bar.setAttribute("aria-valuenow", Math.round(bath.hold_part));
    bar.querySelector(".bar-done").setAttribute("width", bath.hold_part.toFixed(1));
  }
  showFigures(place, "ahead", bath.ahead);
  showFigures(place, "reckoned", bath.reckoned);
  setHidden(place.querySelector("[data-details]"), !bath.reckoned.some((f) => f.likely));
  showAsked(place, bath);
  showCutout(place, bath.cutout);
  showAlarms(known, bath);
  showDeeds(place, bath);
  const key = bath.phase + bath.top_ups + bath.alarms.map((a) => a.state).join();
  if (key !== known.key) {
    if (known.key) {
      known.drawn.log = known.drawn.trace = 0;
      document.dispatchEvent(new CustomEvent("moved"));
    }
    known.key = key;
  }
  draw(known, bath.bath);
}

function showFigures(place, kind, figures) {
  for (const figure of figures) {
    const row = place.querySelector(`[data-${kind}="${figure.figure}"]`);
    if (!row) continue;
    row.hidden = !figure.likely;
    for (const part of row.querySelectorAll("[data-f]")) showLine(part, figure[part.dataset.f]);
  }
}

// showAsked asks about water that was seen, until it is answered or put off.
function showAsked(place, bath) {
  const card = place.querySelector("[data-asked]");
  if (!card) return;
  if (!bath.asks) delete card.dataset.putOff;
  card.hidden = !bath.asks || "putOff" in card.dataset;
}

// showCutout says whether the heat was cut. The button is there only while there
// is something to give back.
function showCutout(place, cutout) {
  const box = place.querySelector("[data-cutout]");
  if (!box || !cutout) return;
  box.dataset.stands = cutout.stands;
  setText(box.querySelector("[data-c=says]"), cutout.says);
  setText(box.querySelector("[data-c=fault]"), cutout.fault);
  setHidden(box.querySelector("[data-heat-back]"), !cutout.tripped);
}

function showAlarms(known, bath) {
  const { place } = known;
  const area = place.querySelector("[data-alarms]");
  const list = area.querySelector("ul");
  const now = new Set();
  for (const alarm of bath.alarms) {
    const card = area.querySelector(`[data-alarm="${alarm.alarm}"]`);
    if (card) {
      card.hidden = !alarm.open;
      card.dataset.priority = alarm.priority;
      card.dataset.state = alarm.state;
      for (const part of card.querySelectorAll("[data-a]")) setText(part, alarm[part.dataset.a]);
      setHidden(card.querySelector("[data-command=acknowledge]"), !alarm.can_acknowledge);
      setHidden(card.querySelector("[data-command=reset]"), !alarm.can_reset);
    }
    const shelf = area.querySelector(`[data-shelved="${alarm.alarm}"]`);
    if (shelf) {
      shelf.hidden = !alarm.shelved && !alarm.out_of_service;
      setHidden(shelf.querySelector("[data-command=unshelve]"), !alarm.shelved);
      setHidden(shelf.querySelector("[data-command=return-to-service]"), !alarm.out_of_service);
      setText(shelf.querySelector("[data-a]"), alarm.says);
    }
    if (alarm.open) now.add(alarm.alarm);
  }
  const fresh = bath.alarms.filter((a) => a.open && !known.open.has(a.alarm));
  if (fresh.length) call(fresh.map((a) => `${bath.bath}: ${a.priority} alarm. ${a.text} ${a.advice}`).join(" "));
  known.open = now;
  area.querySelector("[data-calm]").hidden = now.size > 0;
  order(list, bath.alarms.map((a) => a.alarm));
}

// order puts the cards as the state has them, gravest first. Cards that stand
// right are not touched, so that nothing under a finger or a reader moves.
function order(list, names) {
  const cards = new Map([...list.children].map((c) => [c.dataset.alarm, c]));
  const wanted = names.map((n) => cards.get(n)).filter((c) => c && !c.hidden);
  const standing = [...list.children].filter((c) => !c.hidden);
  if (wanted.every((c, i) => c === standing[i])) return;
  for (const card of wanted) list.append(card);
}

function showDeeds(place, bath) {
  const now = place.querySelector("[data-deeds-now]");
  if (!now) return;
  const more = place.querySelector("[data-deeds-more]");
  for (const deed of place.querySelectorAll("[data-deed]")) {
    const home = bath.next.includes(deed.dataset.deed) ? now : more;
    if (deed.parentElement === home || deed.contains(document.activeElement)) continue;
    const after = [...home.children].find((d) => bath.deeds.indexOf(d.dataset.deed) > bath.deeds.indexOf(deed.dataset.deed));
    home.insertBefore(deed, after ?? null);
  }
  const recipe = place.querySelector("[data-recipe-box]");
  if (recipe) recipe.hidden = !bath.over;
  const plan = place.querySelector("[data-plan]");
  if (plan) plan.hidden = !bath.over;
}

// draw fetches what is drawn by the daemon, each not more often than it pays.
function draw(known, name) {
  if (document.hidden) return;
  const path = "/bath/" + encodeURIComponent(name);
  refresh(known, "pan", path + "/pan.svg");
  const trace = known.place.querySelector("[data-drawing=trace]");
  if (trace) {
    const last = known.place.querySelector("[data-window]")?.dataset.window ?? "3h";
    const width = Math.round(Math.min(1000, trace.clientWidth || 360));
    refresh(known, "trace", `${path}/trace.svg?last=${last}&width=${width}&height=${width > 600 ? 340 : 280}`);
  }
  if (known.place.querySelector("[data-log]")) refresh(known, "log", path + "/log");
}

async function refresh(known, what, url) {
  const target = known.place.querySelector(what === "log" ? "[data-log]" : `[data-drawing=${what}]`);
  if (!target || Date.now() - (known.drawn[what] || 0) < every[what]) return;
  const inUse = () => what === "log" && target.querySelector("form:not([hidden]), :focus");
  if (inUse()) return;
  known.drawn[what] = Date.now();
  try {
    const answer = await fetch(url);
    if (!answer.ok) return;
    const text = await answer.text();
    const type = what === "log" ? "text/html" : "image/svg+xml";
    const parsed = new DOMParser().parseFromString(text, type);
    const nodes = what === "log" ? [...parsed.body.childNodes] : [parsed.documentElement];
    if (parsed.querySelector("parsererror") || inUse()) return; // opened while we waited
    target.replaceChildren(...nodes.map((n) => document.importNode(n, true)));
    localise(target);
  } catch {
    // The stale banner tells of a lost connection; a drawing waits for the next.
  }
}

// sayAge tells when readings are old, whether the daemon or the way to it fails.
function sayAge() {
  let oldest = 0;
  for (const known of baths.values()) {
    const age = Math.max(0, known.age + (Date.now() - known.came) / 1000);
    oldest = Math.max(oldest, age);
    const note = known.place.querySelector("[data-stale]");
    const seconds = Math.floor(age);
    note.hidden = age < slow;
    note.classList.toggle("lost", age >= lost);
    known.place.classList.toggle("is-lost", age >= lost);
    if (age >= lost) setText(note, `No data for ${span(seconds)}. Look at the bath. What stands below is old.`);
    else if (age >= slow) setText(note, `No new data for ${seconds} s.`);
    if (age >= lost && !known.called) call(`${known.place.dataset.bath}: no data. Look at the bath.`);
    known.called = age >= lost;
  }
  document.dispatchEvent(new CustomEvent("watched", { detail: { wanted, lost: oldest >= lost } }));
  document.title = (oldest >= lost ? "No data · " : "") + headline + title;
}

function span(seconds) {
  return seconds < 120 ? seconds + " s" : Math.floor(seconds / 60) + " min";
}

// call has screen readers say text at once. What was called in the same instant
// stays, or one bath's alarm would swallow another's.
function call(text) {
  const now = Date.now();
  called.textContent = now - calledAt < 1000 ? called.textContent + " " + text : text;
  calledAt = now;
}

// setText keeps a degree on the line of its number, as the pages do.
function setText(element, text) {
  const kept = String(text ?? "").replaceAll(" °", "\u00a0°");
  if (element && element.textContent !== kept) element.textContent = kept;
}

function setHidden(element, hidden) {
  if (element) element.hidden = hidden;
}

// watch runs once a second. A browser gives up on a stream that was refused,
// and a phone that slept may hold a dead one: both are opened again.
function watch() {
  sayAge();
  const silent = Date.now() - heard > 10000;
  if (source.readyState === EventSource.CLOSED || silent) {
    heard = Date.now();
    listen();
  }
}

// The record has something new: fetch it at once.
document.addEventListener("recorded", () => {
  for (const known of baths.values()) known.drawn.log = known.drawn.trace = 0;
});
document.addEventListener("visibilitychange", () => {
  if (!document.hidden) sayAge();
});

localise(document);
if (baths.size > 0) {
  listen();
  setInterval(watch, 1000);
}
