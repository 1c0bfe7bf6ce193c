// Stands in for what a browser keeps of its push service, which no test may
// ask. A subscription lasts over a reload, as a real one does.
const asked = new URLSearchParams(location.search).get("phone");
if (asked) delete window.PushManager; // a browser that cannot
if (asked === "iphone") Object.defineProperty(navigator, "standalone", { value: false });

const kept = "subscription";

function subscription({ key, json }) {
  return {
    endpoint: json.endpoint,
    options: { userVisibleOnly: true, applicationServerKey: new Uint8Array(key).buffer },
    toJSON: () => json,
    unsubscribe: async () => (localStorage.removeItem(kept), true),
  };
}

if (!asked) {
  PushManager.prototype.getSubscription = async () => {
    const has = localStorage.getItem(kept);
    return has ? subscription(JSON.parse(has)) : null;
  };
  PushManager.prototype.subscribe = async ({ userVisibleOnly, applicationServerKey }) => {
    if (!userVisibleOnly || localStorage.getItem(kept)) throw new DOMException("", "InvalidStateError");
    const answer = await fetch("/browser/subscribe", { method: "POST" });
    const made = { key: [...applicationServerKey], json: await answer.json() };
    localStorage.setItem(kept, JSON.stringify(made));
    return subscription(made);
  };
}
