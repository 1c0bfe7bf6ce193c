// Pages of goods: forms that open in place, send JSON, and are told in place what
// came of it. The page itself is made by the daemon: after an entry it is fetched
// anew, so that what stands on it is what is in the books.

import { format } from "./zone.js";

const clock = { hour: "numeric", minute: "2-digit" };
const minutes = format(clock);
// With the year: a bottle stands for two.
const days = format({ year: "numeric", month: "short", day: "numeric", ...clock });
const said = document.getElementById("said");
const waitMs = 20000;

document.documentElement.classList.add("has-js");
settle();

// settle does what every fresh page needs.
function settle() {
  for (const time of document.querySelectorAll("time[datetime]")) {
    const at = new Date(time.getAttribute("datetime"));
    if (!Number.isNaN(at.getTime())) time.textContent = (time.hasAttribute("data-day") ? days : minutes).format(at);
  }
  const who = document.getElementById("who");
  if (!who) return;
  try {
    who.value ||= localStorage.getItem("who") ?? "";
    who.addEventListener("change", () => localStorage.setItem("who", who.value.trim()));
  } catch {
    // No storage in this browser: the name is asked again next time.
  }
}

document.addEventListener("click", (event) => {
  const button = event.target.closest("button");
  if (!button) return;
  if (button.hasAttribute("data-opens")) toggle(button);
  else if (button.hasAttribute("data-closes")) close(button.form, true);
  else if (button.hasAttribute("data-none")) choose(button);
  else if (button.hasAttribute("data-print")) print();
});

document.addEventListener("keydown", (event) => {
  const form = event.target.closest?.("form.confirm");
  if (event.key === "Escape" && form) close(form, true);
});

document.addEventListener("change", (event) => {
  if (event.target.name === "all" && event.target.type === "checkbox") freeAmount(event.target);
  else if (event.target.list) takeKnown(event.target);
});

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.dataset.post) return; // it only asks, and loads a page
  event.preventDefault();
  send(form, event.submitter);
});

function toggle(button) {
  const form = button.closest(".deed").querySelector("form.confirm");
  if (!form.hidden) return close(form, true);
  form.hidden = false;
  button.setAttribute("aria-expanded", "true");
  (form.querySelector("input:not([type=hidden]):not([type=checkbox]), textarea, select") ?? form.querySelector("[type=submit]")).focus();
}

function close(form, focus) {
  const button = form.closest(".deed").querySelector("[data-opens]");
  form.hidden = true;
  button?.setAttribute("aria-expanded", "false");
  if (focus) button?.focus();
}

// choose ticks all bottles or none.
function choose(button) {
  const boxes = [...button.closest("fieldset").querySelectorAll("input")];
  const on = !boxes.some((b) => b.checked);
  for (const b of boxes) b.checked = on;
  button.textContent = on ? "None" : "All";
}

// freeAmount asks for no amount when all of it went.
function freeAmount(box) {
  for (const name of ["quantity", "quantity_unit"]) {
    const field = box.form.elements[name];
    if (field) field.disabled = box.checked;
  }
}

// takeKnown fills in what was said of a lot before.
function takeKnown(input) {
  const known = [...input.list.options].find((o) => o.value === input.value);
  if (!known) return;
  for (const name of ["name", "best_before", "state"]) {
    const field = input.form.elements[name];
    if (known.dataset[name] && field && field !== input) field.value = known.dataset[name];
  }
}

const point = (text) => text.trim().replace(",", ".");

// read makes of one field what the daemon takes; undefined is left out.
function read(form, field) {
  const text = field.value.trim().replace(/\s+/g, " ");
  switch (field.dataset.as) {
    case "number":
      return text === "" ? undefined : Number(text);
    case "flag":
      return field.checked || field.type === "hidden" || undefined;
    case "celsius":
      if (text === "") return undefined;
      return field.dataset.unit === "F" ? Math.round(((Number(point(text)) - 32) / 1.8) * 1000) / 1000 : Number(point(text));
    case "amount":
      return text === "" ? undefined : point(text) + " " + (field.dataset.unit ?? form.elements[field.name + "_unit"].value);
  }
  return text === "" ? undefined : text;
}

// body gathers the fields of a form.
function body(form, submitter) {
  const all = { who: document.getElementById("who")?.value.trim() ?? "" };
  for (const field of form.elements) {
    if (!field.name || field.disabled || field.tagName === "BUTTON" || field.name.endsWith("_unit")) continue;
    if (field.dataset.as === "numbers") {
      all[field.name] ??= [];
      if (field.checked || field.type === "hidden") all[field.name].push(Number(field.value));
      continue;
    }
    const value = read(form, field);
    if (value !== undefined) all[field.name] = value;
  }
  if (submitter?.name) all[submitter.name] = submitter.value;
  return all;
}

// bodies is one body for each bottle, where the daemon takes one at a time.
function bodies(form, submitter) {
  const all = body(form, submitter);
  if (!form.dataset.each) return [all];
  const [many, one] = form.dataset.each.split(" ");
  const { [many]: numbers, ...rest } = all;
  return numbers.map((n) => ({ ...rest, [one]: n }));
}

async function post(address, what) {
  const answer = await fetch(address, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(what),
    signal: AbortSignal.timeout(waitMs),
  });
  return { good: answer.ok, reply: await answer.json() };
}

async function send(form, submitter) {
  const item = form.closest(".deed");
  const controls = item.querySelectorAll("button");
  const wanted = bodies(form, submitter);
  if (!wanted.length) return report(item, false, "Choose a bottle first.");
  for (const c of controls) c.disabled = true;
  let text = "";
  let done = 0;
  try {
    for (const one of wanted) {
      const { good, reply } = await post(form.dataset.post, one);
      text = good ? reply.done : "Not recorded: " + reply.error;
      if (!good) break;
      done++;
    }
  } catch {
    text = "No answer from the daemon. Look whether it is among what was entered before you press again.";
  }
  for (const c of controls) c.disabled = false;
  const good = done === wanted.length;
  if (!good && done) text = `${done} of ${wanted.length} recorded, then: ${text}`;
  if (good && done > 1) text += ` (and ${done - 1} more)`;
  if (!good && !document.getElementById("who")?.value.trim()) document.getElementById("who")?.focus();
  if (done) await renew(item.dataset.key);
  report(find(item.dataset.key) ?? item, good, text);
}

const find = (key) => document.querySelector(`[data-key="${CSS.escape(key)}"]`);

// renew puts the page as the daemon makes it now in the place of the old one. What
// was open stays open, but for the form that was sent.
async function renew(sent) {
  let main;
  try {
    const answer = await fetch(location.href, { signal: AbortSignal.timeout(waitMs) });
    if (!answer.ok) return;
    main = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector("main");
  } catch {
    return; // it is recorded all the same, and the answer says so
  }
  const old = document.querySelector("main");
  for (const d of old.querySelectorAll("details[id][open]")) {
    const now = main.querySelector("#" + CSS.escape(d.id));
    if (now) now.open = true;
  }
  const who = document.getElementById("who")?.value ?? "";
  old.replaceWith(document.importNode(main, true));
  settle();
  const field = document.getElementById("who");
  if (field) field.value = who;
  find(sent)?.querySelector("[data-opens]")?.focus({ preventScroll: true });
}

// report tells what came of an entry, in its place; if that is gone, at the top.
function report(item, good, text) {
  said.textContent = text;
  const place = item.isConnected ? item.querySelector("[data-answer]") : null;
  if (!place) {
    const note = document.querySelector("[data-told]") ?? document.createElement("p");
    note.className = "answer";
    note.dataset.told = "";
    document.querySelector("main h1").after(note);
    note.classList.toggle("bad", !good);
    note.textContent = (good ? "✓ " : "") + text;
    return;
  }
  place.classList.toggle("bad", !good);
  place.textContent = (good ? "✓ " : "") + text;
}
