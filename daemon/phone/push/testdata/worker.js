// Put behind wake.js: lets the page stand in for a finger on a notification,
// and tells the test what was done. An event made by a script has neither a
// working waitUntil nor the right to open a window.
const tell = (what, text) => fetch("/browser/" + what, { method: "POST", body: text });
self.clients.openWindow = (url) => tell("opened", url);
WindowClient.prototype.focus = function () { return tell("focused", this.url); };

// Chromium 156 loses one in three notifications whose origin's list is read while
// they are being put up, so the test waits for this word before it looks.
const show = self.registration.showNotification.bind(self.registration);
self.registration.showNotification = async (title, options) => {
  await show(title, options);
  await tell("shown", options.data.id ?? "");
};

self.addEventListener("message", ({ data }) => {
  if (data.click) click(data.click, data.action ?? "");
  if (data.moved) dispatch(Object.assign(new Event("pushsubscriptionchange"), {
    oldSubscription: { endpoint: data.moved, options: {} },
    newSubscription: { toJSON: () => data.to },
  }));
});

async function click(tag, action) {
  const [notification] = await self.registration.getNotifications({ tag });
  dispatch(new NotificationEvent("notification" + "click", { notification, action }));
}

function dispatch(event) {
  Object.defineProperty(event, "waitUntil", { value: () => {} });
  self.dispatchEvent(event);
}
