// Signs this phone up to be called when nobody looks at the page. It asks for
// leave only when somebody presses the button, and says in words how things
// stand. Where the browser cannot do it, nothing is shown.

const place = document.querySelector("[data-push]");
const part = (name) => place.querySelector(`[data-push-${name}]`);
const remembered = "called-as"; // on this phone: { contact, device }

// What a person is told.
const says = {
  off: "This phone is not called.",
  on: (contact) => `This phone is called for ${contact}.`,
  asking: "Signing this phone up …",
  leaving: "Signing this phone off …",
  blocked: "This phone blocks notifications from this page. Allow them in the phone's settings, then press again.",
  unanswered: "Not signed up: the phone was not allowed to show notifications. Press again to be asked again.",
  nobody: "Choose whose phone this is, then press again.",
  unsafe: "A phone can be called only by a page whose address begins with https. Open this page by such an address.",
  home: "To be called on an iPhone or iPad, add this page to the home screen first: Share, then Add to Home Screen. Then open it from there and press the button here.",
  failed: (why) => `Not signed up: ${why} Press again.`,
  stuck: (why) => `Not signed off: ${why} Press again.`,
  unsure: (contact, why) => `This phone was signed up for ${contact}, but that could not be renewed: ${why}`,
};

if (place) begin();

function begin() {
  if (!window.isSecureContext) return only(says.unsafe);
  const able = "serviceWorker" in navigator && "PushManager" in window && "Notification" in window;
  // Only an iPhone knows this word, and says false outside the home screen.
  if (!able && navigator.standalone === false) return only(says.home);
  if (!able) return;
  part("on").addEventListener("click", () => busy(signUp));
  part("off").addEventListener("click", () => busy(signOff));
  const last = recall();
  if (last) fill(last);
  place.hidden = false;
  busy(() => renew(last));
}

// only shows words and no buttons.
function only(text) {
  for (const control of place.querySelectorAll("button, select, input")) (control.closest("label") ?? control).hidden = true;
  place.hidden = false;
  say(text);
}

async function busy(deed) {
  for (const b of [part("on"), part("off")]) b.disabled = true;
  try {
    await deed();
  } finally {
    for (const b of [part("on"), part("off")]) b.disabled = false;
  }
}

async function signUp() {
  const contact = part("contact").value.trim();
  if (!contact) return say(says.nobody);
  // A phone asks its owner only in the very moment of a tap, so this comes first.
  const leave = await Notification.requestPermission();
  if (leave === "denied") return show(null, says.blocked);
  if (leave !== "granted") return show(null, says.unanswered);
  say(says.asking);
  const who = { contact, device: part("device")?.value.trim() ?? "" };
  try {
    await enter(await worker(), who);
    remember(who);
    show(who);
  } catch (failure) {
    show(null, says.failed(reason(failure)));
  }
}

async function signOff() {
  say(says.leaving);
  try {
    const subscription = await (await known())?.pushManager.getSubscription();
    if (subscription) {
      await ask("DELETE", { endpoint: subscription.endpoint });
      await subscription.unsubscribe();
    }
    forget();
    show(null);
  } catch (failure) {
    show(recall(), says.stuck(reason(failure)));
  }
}

// renew tells the daemon again of a phone that is signed up, so that neither a
// new key nor a lost list leaves a phone silent whose page says otherwise.
async function renew(last) {
  if (!last) return show(null);
  if (Notification.permission !== "granted") return show(null, Notification.permission === "denied" ? says.blocked : says.off);
  try {
    await enter(await worker(), last);
    show(last);
  } catch (failure) {
    show(last, says.unsure(last.contact, reason(failure)));
  }
}

// enter makes sure of a subscription for the daemon's present key, and posts it.
async function enter(registration, { contact, device }) {
  const key = octets(await ask("GET"));
  const manager = registration.pushManager;
  let subscription = await manager.getSubscription();
  if (subscription && !same(subscription.options.applicationServerKey, key)) {
    await ask("DELETE", { endpoint: subscription.endpoint });
    await subscription.unsubscribe();
    subscription = null;
  }
  subscription ??= await manager.subscribe({ userVisibleOnly: true, applicationServerKey: key });
  await ask("POST", { contact, device, subscription: subscription.toJSON() });
}

async function worker() {
  await navigator.serviceWorker.register("/wake.js", { scope: "/", updateViaCache: "none" });
  return navigator.serviceWorker.ready;
}

function known() {
  return navigator.serviceWorker.getRegistration("/");
}

// ask talks to the daemon. GET fetches the key; the others change the list.
async function ask(method, body) {
  const answer = await fetch(method === "GET" ? "/push/key" : "/push/subscriptions", {
    method,
    headers: body ? { "Content-Type": "application/json" } : {},
    body: body && JSON.stringify(body),
    cache: "no-store",
    signal: AbortSignal.timeout(15000),
  }).catch(() => {
    throw new Error("no answer from the daemon");
  });
  if (answer.ok) return answer.text();
  const { error } = await answer.json().catch(() => ({}));
  throw new Error(error ?? `the daemon answered ${answer.status}`);
}

function reason(failure) {
  if (failure.name === "AbortError" || failure.name === "NotAllowedError") return "the browser's push service refused.";
  return failure.message.replace(/\.?$/, ".");
}

function octets(base64url) {
  const text = atob(base64url.trim().replaceAll("-", "+").replaceAll("_", "/"));
  return Uint8Array.from(text, (c) => c.charCodeAt(0));
}

// same compares keys. A browser that does not tell its key is taken at its word.
function same(buffer, key) {
  if (!buffer) return true;
  const have = new Uint8Array(buffer);
  return have.length === key.length && have.every((octet, i) => octet === key[i]);
}

// show puts the buttons as things stand: who is the one called, or null.
function show(who, text) {
  part("on").hidden = who !== null;
  part("off").hidden = who === null;
  part("contact").disabled = who !== null;
  if (part("device")) part("device").disabled = who !== null;
  say(text ?? (who ? says.on(who.contact) : says.off));
}

function say(text) {
  part("state").textContent = text;
}

function fill({ contact, device }) {
  part("contact").value = contact;
  if (part("device")) part("device").value = device;
}

function recall() {
  try {
    return JSON.parse(localStorage.getItem(remembered));
  } catch {
    return null;
  }
}

function remember(who) {
  try {
    localStorage.setItem(remembered, JSON.stringify(who));
  } catch {
    // No storage: the phone is called all the same; this page will not know it.
  }
}

function forget() {
  try {
    localStorage.removeItem(remembered);
  } catch {
    // Nothing was stored.
  }
}
