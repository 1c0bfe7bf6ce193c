// The page of the probes: while one is being calibrated, the part that changes is
// fetched every second.

const place = document.querySelector("[data-now]");
const answer = document.querySelector("[data-answer]");
const lost = document.querySelector("[data-lost]");
const said = document.getElementById("said");
const who = document.getElementById("who");
const every = 1000; // ms
const idle = 10; // so many times slower while nothing is calibrated
const waitMs = 5000;
const inch = 2.54; // cm
let turn = 0;
let fetching = false;

document.documentElement.classList.add("has-js");
try {
  if (who) {
    who.value ||= localStorage.getItem("who") ?? "";
    who.addEventListener("change", () => localStorage.setItem("who", who.value.trim()));
  }
} catch {
  // No storage in this browser: the name is asked again next time.
}

setInterval(() => {
  turn += 1;
  if (document.hidden || (!place.querySelector("[data-busy]") && turn % idle)) return;
  refresh();
}, every);

place.addEventListener("click", (event) => {
  const button = event.target.closest("button[data-do]");
  if (button) send(button, { do: button.dataset.do });
});

place.addEventListener("submit", (event) => {
  event.preventDefault();
  const depth = event.target.elements.depth;
  const number = Number(depth.value.trim().replace(",", "."));
  if (depth.value.trim() === "" || Number.isNaN(number)) return tell("The depth is no number.", true);
  send(event.target, { do: "next", depth_cm: depth.dataset.unit === "in" ? number * inch : number });
});

async function send(from, body) {
  const probe = from.closest("[data-probe]").dataset.probe;
  for (const b of place.querySelectorAll("button")) b.disabled = true;
  try {
    const reply = await fetch("/api/probe/" + encodeURIComponent(probe) + "/calibration", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ ...body, who: who?.value.trim() ?? "" }),
      signal: AbortSignal.timeout(waitMs),
    });
    const words = await reply.json();
    if (reply.ok) document.activeElement?.blur();
    tell(reply.ok ? "" : "Not done: " + words.error, !reply.ok);
  } catch {
    tell("No answer from the daemon. Nobody knows whether it was done.", true);
  }
  for (const b of place.querySelectorAll("button")) b.disabled = false;
  await refresh();
}

function tell(text, bad) {
  answer.textContent = text;
  answer.classList.toggle("bad", bad);
  said.textContent = text;
}

// refresh fetches the part anew. Nothing is taken from under somebody who writes.
async function refresh() {
  if (fetching || document.activeElement?.matches("[data-now] input")) return;
  fetching = true;
  try {
    const reply = await fetch("/probes/now", { signal: AbortSignal.timeout(waitMs) });
    if (!reply.ok) throw new Error(reply.statusText);
    put(await reply.text());
    lost.hidden = true;
  } catch {
    lost.textContent = "No data from the daemon: what stands here is old.";
    lost.hidden = false;
  }
  fetching = false;
}

const words = () => place.querySelector("[data-step]:not([data-step=over]) [data-say]")?.textContent ?? place.querySelector("[data-say]")?.textContent;

function put(text) {
  const before = words();
  const focus = document.activeElement?.closest?.("[data-now] button[data-do]");
  const again = focus && `[data-probe="${focus.closest("[data-probe]").dataset.probe}"] button[data-do="${focus.dataset.do}"]`;
  const open = [...place.querySelectorAll("[data-probe] details[open]")].map((d) => d.closest("[data-probe]").dataset.probe);
  const parsed = new DOMParser().parseFromString(text, "text/html");
  place.replaceChildren(...[...parsed.body.childNodes].map((n) => document.importNode(n, true)));
  for (const probe of open) place.querySelector(`[data-probe="${probe}"] details`)?.setAttribute("open", "");
  if (again) place.querySelector(again)?.focus();
  const now = words();
  if (now && now !== before) said.textContent = now;
}
