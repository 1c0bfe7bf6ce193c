// Buttons that change something: each opens its own confirmation in place, and
// only "Yes" sends. Works by keyboard: Escape closes, focus goes where one works.

const said = document.getElementById("said");
const who = document.getElementById("who");

// The name is kept on this phone only.
if (who) {
  try {
    who.value = localStorage.getItem("who") ?? "";
    who.addEventListener("change", () => localStorage.setItem("who", who.value.trim()));
  } catch {
    // No storage in this browser: the name is asked again next time.
  }
}

document.addEventListener("click", (event) => {
  const button = event.target.closest("button");
  if (!button) return;
  if (button.hasAttribute("data-opens")) toggle(button);
  else if (button.hasAttribute("data-closes")) close(button.closest("form"), true);
  else if (button.hasAttribute("data-later")) putOff(button.closest("[data-asked]"));
  else if (button.dataset.command) command(button, button.dataset.command, {});
});

document.addEventListener("keydown", (event) => {
  const form = event.target.closest?.("form.confirm");
  if (event.key === "Escape" && form) close(form, true);
});

document.addEventListener("submit", (event) => {
  const form = event.target;
  event.preventDefault();
  const field = (name) => form.elements[name]?.value.trim() ?? "";
  if (form.dataset.event) {
    const number = field("number").replace(",", ".");
    send(form, "event", {
      event: form.dataset.event,
      quantity: number ? number + " " + field("unit") : "",
      text: field("text").replace(/\s+/g, " "),
    });
  } else if (form.dataset.void) {
    send(form, "void", { entry: Number(form.dataset.void), reason: field("reason") });
  } else if (form.hasAttribute("data-recipe")) {
    send(form, "recipe", { recipe: field("recipe") });
  } else if (form.hasAttribute("data-heat")) {
    send(form, "heat", { who: field("who") });
  } else if (form.dataset.command) {
    const action = event.submitter?.value || form.dataset.command;
    const minutes = action === "shelve" ? Number(field("minutes")) : 0;
    command(form, action, { reason: field("reason"), for_s: minutes * 60 });
  }
});

function command(from, action, more) {
  const alarm = from.closest("[data-alarm]")?.dataset.alarm ?? from.closest("[data-shelved]").dataset.shelved;
  send(from, "alarm", { alarm, action, ...more });
}

function opener(form) {
  return form.parentElement.querySelector("[data-opens]");
}

function toggle(button) {
  const form = button.closest("li, .deed").querySelector("form.confirm");
  if (!form.hidden) return close(form, true);
  form.hidden = false;
  button.setAttribute("aria-expanded", "true");
  if (form.elements.who) form.elements.who.value ||= who?.value ?? "";
  (form.querySelector("input, textarea, select") ?? form.querySelector("[type=submit]")).focus();
}

function putOff(card) {
  card.dataset.putOff = "";
  card.hidden = true;
}

function close(form, focus) {
  form.hidden = true;
  const button = opener(form);
  button?.setAttribute("aria-expanded", "false");
  if (focus) button?.focus();
}

// send posts one deed. from is the form or the button it came from.
async function send(from, what, body) {
  const bath = from.closest("[data-bath]").dataset.bath;
  const item = from.closest("li, .deed");
  const controls = item.querySelectorAll("button");
  const isForm = from.tagName === "FORM";
  for (const c of controls) c.disabled = true;
  let good = false;
  let text = "";
  try {
    const answer = await fetch(`/api/bath/${encodeURIComponent(bath)}/${what}`, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ who: who?.value.trim() ?? "", ...body }),
      signal: AbortSignal.timeout(15000),
    });
    const reply = await answer.json();
    good = answer.ok;
    text = good ? reply.done : "Not recorded: " + reply.error;
  } catch {
    text = "No answer from the daemon. Look whether it is in the record before you press again.";
  }
  for (const c of controls) c.disabled = false;
  if (good && isForm) {
    from.reset();
    if (opener(from)) close(from, true);
  }
  report(item.querySelector("[data-answer]"), good, text);
  if (good) document.dispatchEvent(new CustomEvent("recorded"));
}

function report(place, good, text) {
  place.classList.toggle("bad", !good);
  place.textContent = good ? "✓ " + text : text;
  said.textContent = text;
  if (good) setTimeout(() => { if (place.textContent === "✓ " + text) place.textContent = ""; }, 8000);
}
