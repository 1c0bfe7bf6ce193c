// Leads through a batch, one step at a time: sends what a step asks for, and then
// shows the next one. Which step that is, the daemon says. What somebody is
// writing is never wiped away.
import { localise } from "./clock.js";

const place = document.querySelector("[data-guide]");
const who = document.getElementById("who");
const said = document.getElementById("said");
const every = 15000; // ms; how long the oil still cools, and their like
const kept = new Map(); // which groups somebody opened or closed
let fetchedAt = Date.now();
let touched = false; // somebody began to fill a form in
let sending = false;

if (place) begin();

function begin() {
  place.addEventListener("submit", (event) => send(event.target, event.submitter));
  place.addEventListener("click", (event) => {
    const go = event.target.closest("[data-guide-go]");
    if (go) goPast(go.dataset.guideGo);
    if (event.target.closest("[data-guide-show]")) refresh(true);
  });
  place.addEventListener("input", () => (touched = true));
  place.addEventListener("toggle", (event) => kept.set(event.target.dataset.keep, event.target.open), true);
  for (const news of ["moved", "recorded"]) document.addEventListener(news, () => refresh(false));
  document.addEventListener("visibilitychange", () => document.hidden || refresh(false));
  who?.addEventListener("change", askWho);
  // What the bath says of itself changes when a hold is done, and with every minute.
  const sentence = document.querySelector("[data-word=sentence]");
  if (sentence) new MutationObserver(() => refresh(false)).observe(sentence, { childList: true, characterData: true, subtree: true });
  setInterval(() => {
    askWho(); // somebody may have signed in
    if (!document.hidden && Date.now() - fetchedAt >= every) refresh(false);
  }, 1000);
  askWho();
  if (passed().length) refresh(false);
}

function bath() {
  return place.closest("[data-bath]").dataset.bath;
}

function shown(root) {
  return root.querySelector("[data-guide-key]")?.dataset;
}

// passed lists the steps that this window went past, of the batch in hand.
function passed() {
  try {
    const { batch, steps } = JSON.parse(sessionStorage.getItem("guide " + bath())) ?? {};
    return batch === shown(place)?.guideBatch ? steps : [];
  } catch {
    return [];
  }
}

function goPast(step) {
  const steps = [...new Set([...passed(), step])];
  try {
    sessionStorage.setItem("guide " + bath(), JSON.stringify({ batch: shown(place).guideBatch, steps }));
  } catch {
    // No storage: the step is passed until the page is loaded again.
  }
  refresh(true, steps);
}

// inUse: somebody has a finger on it.
function inUse() {
  return sending || touched || place.contains(document.activeElement) && document.activeElement.matches("input, select, textarea");
}

// refresh fetches the guide anew. While a form is in use only a line says that the
// batch moved on.
async function refresh(force, steps = passed()) {
  if (sending) return;
  fetchedAt = Date.now();
  let text;
  try {
    const answer = await fetch(`/bath/${encodeURIComponent(bath())}/guide?past=${steps.map(encodeURIComponent).join(",")}`);
    if (!answer.ok) return;
    text = await answer.text();
  } catch {
    return; // the page says by itself when no data comes
  }
  const parsed = new DOMParser().parseFromString(text, "text/html");
  const moved = shown(parsed)?.guideKey !== shown(place)?.guideKey;
  if (!force && inUse()) {
    if (moved) tellMoved();
    return;
  }
  put(parsed, moved);
  if (force && moved) lookAt();
}

function put(parsed, moved) {
  for (const details of parsed.querySelectorAll("details[data-keep]")) {
    const was = kept.get(details.dataset.keep);
    if (was !== undefined) details.open = was;
  }
  touched = false;
  const focused = focusedIn(place);
  place.replaceChildren(...[...parsed.body.childNodes].map((n) => document.importNode(n, true)));
  localise(place);
  if (focused) place.querySelector(focused)?.focus({ preventScroll: true });
  askWho();
  if (moved) said.textContent = "Now: " + place.querySelector("[data-guide-title]").textContent;
}

// focusedIn says where a keyboard stands, so that it stands there again when the
// guide is made anew: on a group, or on a button of the same step.
function focusedIn(root) {
  const at = document.activeElement;
  if (!root.contains(at)) return null;
  const step = at.closest("[data-step]");
  if (at.matches("summary")) return `[data-keep="${at.parentElement.dataset.keep}"] > summary`;
  if (step && at.matches("button")) return `[data-step="${step.dataset.step}"] .${at.classList.contains("guide-go") ? "guide-go" : "guide-send"}`;
  return null;
}

// lookAt brings the step into sight for whoever sent the last one.
function lookAt() {
  place.querySelector("[data-guide-title]").focus({ preventScroll: true });
  place.scrollIntoView({ block: "start" });
}

function tellMoved() {
  if (place.querySelector("[data-guide-show]")) return;
  const line = document.createElement("p");
  line.className = "guide-moved";
  const show = document.createElement("button");
  show.type = "button";
  show.dataset.guideShow = "";
  show.textContent = "Show the next step";
  line.append("The batch has moved on. ", show);
  place.prepend(line);
}

// askWho shows the question only where nobody has said yet who they are.
function askWho() {
  for (const label of place.querySelectorAll("[data-guide-who]")) {
    label.hidden = !who || who.value.trim() !== "";
    label.querySelector("input").required = !label.hidden;
  }
}

// person returns who sends a form, and keeps it for the whole page.
function person(form) {
  const asked = form.querySelector("[data-guide-who]:not([hidden]) input");
  if (asked && who) {
    who.value = asked.value.trim();
    who.dispatchEvent(new Event("change"));
  }
  return who?.value.trim() ?? "";
}

// bodyOf gathers what a form says, in the words of the interface.
function bodyOf(form) {
  const body = JSON.parse(form.dataset.fixed);
  for (const field of form.querySelectorAll("[data-field]")) {
    const name = field.dataset.field;
    const value = (field.value ?? "").trim().replace(/\s+/g, " ");
    const number = Number(value.replace(",", "."));
    switch (field.dataset.kind) {
      case "tick":
        body[name] ??= [];
        if (field.checked) body[name].push(field.value);
        break;
      case "radio":
        body[name] = field.querySelector(":checked")?.value ?? "";
        break;
      case "quantity":
        if (value) body[name] = value.replace(",", ".") + " " + field.closest(".amount").querySelector("[data-unit]").value;
        break;
      case "celsius":
        if (value) body[name] = field.dataset.unit === "°F" ? (number - 32) / 1.8 : number;
        break;
      case "count":
        if (value) body[name] = number;
        break;
      default:
        if (value) body[name] = value;
    }
  }
  return body;
}

async function send(form, button) {
  if (sending || !form.dataset.to) return;
  const by = person(form);
  const body = { ...bodyOf(form), who: by };
  sending = true;
  if (button) button.disabled = true;
  let good = false;
  let text = "No answer from the daemon. Look whether it is in the record before you press again.";
  try {
    const answer = await fetch(form.dataset.to, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(body),
      signal: AbortSignal.timeout(15000),
    });
    const reply = await answer.json();
    good = answer.ok;
    text = good ? reply.done : "Not recorded: " + reply.error;
  } catch {
    // The words above say it.
  }
  sending = false;
  if (button) button.disabled = false;
  said.textContent = text;
  if (!good) {
    const place = form.querySelector("[data-answer]");
    place.classList.add("bad");
    place.textContent = text;
    return;
  }
  touched = false;
  document.activeElement?.blur();
  document.dispatchEvent(new CustomEvent("recorded"));
  await refresh(true);
}
