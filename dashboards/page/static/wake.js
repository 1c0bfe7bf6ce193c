// The service worker: wakes the phone when the daemon calls. It keeps no page
// and answers no request, for a page out of a cache would show temperatures of
// another hour.

// ms of vibration and pause, by priority. Longer for what can wait less.
const vibrations = {
  critical: [600, 200, 600, 200, 600, 200, 600],
  high: [500, 200, 500, 200, 500],
  medium: [300, 200, 300],
  low: [200],
};

const late = 2 * 60 * 1000; // ms from which a message says when it was sent
const oldest = 24 * 60 * 60 * 1000; // ms that none is on its way
const pictureWait = 5000; // ms that a picture may take

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("push", (event) => event.waitUntil(wake(read(event.data))));

// read never fails: a message that cannot be read still wants a person.
function read(data) {
  const unread = { title: "bainward calls", text: "Open the page and look at the bath.", priority: "high", kind: "raised", quiet: false };
  try {
    return { ...unread, ...data.json() };
  } catch {
    return unread;
  }
}

// wake shows the words at once and lets the picture follow: away from home the
// daemon may be out of reach, and no alarm waits for that to show.
async function wake(call) {
  const shown = options(call);
  await self.registration.showNotification(call.title, shown);
  if (!call.picture || !call.tag || !(await reached(call.picture))) return;
  const standing = await self.registration.getNotifications({ tag: call.tag });
  if (!standing.some((n) => n.data?.id === call.id)) return; // closed, or another is there
  const { vibrate, ...still } = shown;
  await self.registration.showNotification(call.title, { ...still, image: call.picture, renotify: false, silent: true });
}

function options(call) {
  const wants = call.kind === "raised" || call.kind === "again" || call.kind === "watcher";
  const urgent = call.priority === "critical" || call.priority === "high";
  const shown = {
    body: dated(call),
    lang: "en",
    timestamp: sent(call),
    data: { link: call.link ?? "", id: call.id },
    silent: call.quiet,
    requireInteraction: wants && urgent && !call.quiet,
  };
  // A browser refuses to renotify without a tag, and to vibrate silently.
  if (call.tag) Object.assign(shown, { tag: call.tag, renotify: !call.quiet });
  if (!call.quiet) shown.vibrate = vibrations[call.priority] ?? vibrations.medium;
  if (call.link && wants) shown.actions = [{ action: "answer", title: "Answer" }];
  return shown;
}

// sent is when the daemon sent it, by its clock. Of a clock that cannot be right,
// as after a start without network, nothing is believed: a browser drops a
// notification of last week without a word.
function sent(call) {
  const age = Date.now() - Date.parse(call.wall);
  return age >= 0 && age < oldest ? Date.now() - age : Date.now();
}

// dated says of when an old message is: the time left in it has run since.
function dated(call) {
  const at = sent(call);
  if (Date.now() - at < late) return call.text;
  const clock = new Date(at).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
  return `From ${clock}: ${call.text}`;
}

async function reached(picture) {
  try {
    return (await fetch(picture, { signal: AbortSignal.timeout(pictureWait) })).ok;
  } catch {
    return false;
  }
}

// In two words, for no page file may hold the name of an inline handler, which
// this one ends in.
self.addEventListener("notification" + "click", (event) => {
  event.notification.close();
  event.waitUntil(bringUp(event.notification.data?.link));
});

// bringUp shows the page of the link: in the window that has it already, or in a
// new one. Without a link any of our windows will do.
async function bringUp(link) {
  const target = new URL(link || "/", self.location.origin);
  const open = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  const page = open.find((w) => w.url === target.href) ?? (link ? undefined : open[0]);
  if (page) return page.focus();
  if (target.protocol === "https:" || target.protocol === "http:") return self.clients.openWindow(target.href);
}

// A browser may change its subscription when nobody looks. The daemon knows the
// old endpoint, and so whose phone this is.
self.addEventListener("pushsubscriptionchange", (event) => event.waitUntil(moved(event.oldSubscription, event.newSubscription)));

async function moved(old, subscription) {
  if (!old) return; // the page will sign the phone up again when it is opened
  subscription ??= await self.registration.pushManager.subscribe(old.options);
  await fetch("/push/subscriptions", {
    method: "PUT",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ replaces: old.endpoint, subscription: subscription.toJSON() }),
  });
}
