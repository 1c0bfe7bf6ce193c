// Writes instants as the clocks of the site show them, as its papers do. Where the
// site names no time zone, the clock of whoever reads the page counts.

import { format } from "./zone.js";

const short = { hour: "numeric", minute: "2-digit" };
const minutes = format(short);
const days = format({ day: "numeric", month: "short", ...short });
const seconds = format({ ...short, second: "2-digit" });

// localise puts the reader's time into every time element of root.
export function localise(root) {
  for (const time of root.querySelectorAll("time[datetime]")) showTime(time, time.getAttribute("datetime"));
}

// showTime writes an instant (RFC 3339) into a time element.
export function showTime(time, stamp) {
  const at = new Date(stamp);
  if (Number.isNaN(at.getTime())) return; // none: the words that stand there say so
  time.setAttribute("datetime", stamp);
  const text = formatOf(time).format(at);
  if (time.textContent !== text) time.textContent = text;
}

function formatOf(time) {
  if (time.hasAttribute("data-seconds")) return seconds;
  return time.hasAttribute("data-day") ? days : minutes;
}

const shown = new WeakMap();

// showLine puts a line of words and instants into element, if it is a new one.
export function showLine(element, line) {
  const key = JSON.stringify(line);
  if (shown.get(element) === key) return;
  shown.set(element, key);
  element.replaceChildren(...(line ?? []).map(pieceNode));
}

function pieceNode(piece) {
  if (!piece.at) return document.createTextNode(piece.text);
  const time = document.createElement("time");
  showTime(time, piece.at);
  return time;
}
