// Keeps the part of the page that tells of calls to people new, and tests the
// alarms when somebody asks for it.
import { localise } from "./clock.js";

const place = document.querySelector("[data-phones]");
const every = 10000; // ms
const testMs = 70000; // the daemon gives up after 60 s
let fetchedAt = Date.now();
let testing = false;

if (place) {
  localise(place);
  place.addEventListener("click", (event) => {
    if (event.target.closest("[data-test-alarms]")) test();
  });
  for (const news of ["moved", "recorded"]) document.addEventListener(news, refresh);
  setInterval(() => {
    if (!document.hidden && Date.now() - fetchedAt >= every) refresh();
  }, 1000);
}

// refresh fetches the part anew. What somebody opened stays open, and nothing
// moves under a finger.
async function refresh() {
  if (testing || place.contains(document.activeElement)) return;
  fetchedAt = Date.now();
  try {
    const answer = await fetch("/phones");
    if (answer.ok) put(await answer.text());
  } catch {
    // The page says by itself when no data comes.
  }
}

function put(text) {
  const was = place.querySelector("[data-ready]");
  const parsed = new DOMParser().parseFromString(text, "text/html");
  const now = parsed.querySelector("[data-ready]");
  if (was && now && was.className === now.className) now.open = was.open;
  place.replaceChildren(...[...parsed.body.childNodes].map((n) => document.importNode(n, true)));
  localise(place);
}

async function test() {
  if (testing) return;
  testing = true;
  say("", "Sending a test through every channel …");
  let good = false;
  let text = "No answer from the daemon. Nobody knows whether the test went out.";
  try {
    const answer = await fetch("/phones/test", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: "{}",
      signal: AbortSignal.timeout(testMs),
    });
    const reply = await answer.json();
    good = answer.ok;
    text = good ? reply.done : "Not proven: " + reply.error;
  } catch {
    // The words above say it.
  }
  testing = false;
  document.activeElement?.blur();
  await refresh();
  say(good ? "✓ " : "", text, !good);
}

function say(mark, text, bad = false) {
  const answer = place.querySelector("[data-answer]");
  if (!answer) return;
  answer.classList.toggle("bad", bad);
  answer.textContent = mark + text;
  document.getElementById("said").textContent = text;
}
