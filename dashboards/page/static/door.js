// Says on every page who is signed in, and asks nobody for a name whom the daemon
// knows: it writes down that of the session, whatever a page sends.

const answer = document.body.matches(".link-page, .door-page") ? null : await fetch("/door/me").catch(() => null);
const me = answer?.ok ? await answer.json() : null;

if (me?.name) {
  showWhoIsIn();
  knowTheName(document);
  // Parts of a page are made anew while it is open.
  new MutationObserver(() => knowTheName(document)).observe(document.body, { childList: true, subtree: true });
}
if (me && !me.enters) document.documentElement.classList.add("only-looks");

// showWhoIsIn leads to the door, where one signs out.
function showWhoIsIn() {
  const way = document.createElement("a");
  way.href = "/door?to=" + encodeURIComponent(location.pathname + location.search);
  way.textContent = `${me.name}, sign out`;
  const place = document.createElement("p");
  place.className = "who-is-in";
  place.append(way);
  document.querySelector("header.site")?.append(place);
}

// knowTheName fills in and hides every field that asks who enters something.
function knowTheName(within) {
  for (const field of within.querySelectorAll("#who, input[name=who]")) {
    if (field.type === "hidden" || field.dataset.known) continue;
    field.dataset.known = "yes";
    field.value = me.name;
    (field.closest("label") ?? field).hidden = true;
  }
}
