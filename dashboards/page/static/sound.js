// Makes the open page heard: a pattern of tones and of vibration for each
// priority, and one of its own for "no data". Browsers are silent until somebody
// touched the page, so there is a switch; it is remembered until the window is
// closed.

// A tone is [start s, frequency Hz, length s]. Graver is longer, higher and
// comes again sooner. 500 to 3000 Hz is where ears, also old ones, hear best and
// the speakers of phones are loudest (common practice, no source).
const patterns = {
  low: { every: 60000, tones: [[0, 520, 0.2]], vibrate: [150] },
  medium: { every: 15000, tones: [[0, 660, 0.25], [0.35, 660, 0.25]], vibrate: [250, 150, 250] },
  high: { every: 5000, tones: [[0, 880, 0.2], [0.3, 880, 0.2], [0.6, 990, 0.4]], vibrate: [400, 150, 400, 150, 400] },
  critical: {
    every: 2500,
    tones: [[0, 1100, 0.15], [0.2, 1400, 0.15], [0.4, 1100, 0.15], [0.6, 1400, 0.15], [0.8, 1100, 0.15], [1, 1400, 0.5]],
    vibrate: [600, 150, 600, 150, 600],
  },
  nothing: { every: 3000, tones: [[0, 1200, 0.5], [0.6, 600, 0.9]], vibrate: [900, 200, 200] }, // no data comes
};
const muteMs = 120000;

const place = document.querySelector("[data-sound]");
const part = (name) => place.querySelector(`[data-sound-${name}]`);
let context = null; // of the audio; null: switched off
let sounding = null; // name of the pattern that is due
let playedAt = 0;
let muteEnd = 0;
let master = null; // all that sounds goes through it, so that it can be cut
let awake = null; // keeps the screen on, where the browser can

if (place && "AudioContext" in window) begin();
else if (place) place.hidden = true;

function begin() {
  part("switch").addEventListener("click", () => (context ? switchOff() : switchOn()));
  part("mute").addEventListener("click", mute);
  document.addEventListener("watched", (event) => hear(event.detail));
  document.addEventListener("visibilitychange", () => document.hidden || keepAwake());
  if (remembered()) switchOn();
  // After a reload the browser wants a touch again; any will do.
  for (const touch of ["pointerdown", "keydown"]) document.addEventListener(touch, () => context?.resume().then(tell));
  setInterval(tick, 250);
}

function switchOn() {
  context = new AudioContext();
  context.onstatechange = tell;
  context.resume().then(tell);
  remember(true);
  keepAwake();
  tell();
}

function switchOff() {
  stop();
  context.close();
  context = null;
  awake?.release();
  awake = null;
  remember(false);
  tell();
}

function mute() {
  muteEnd = muted() ? 0 : Date.now() + muteMs;
  tick();
  tell();
}

function muted() {
  return Date.now() < muteEnd;
}

// hear takes how things stand: the gravest priority that nobody has
// acknowledged, and whether data comes at all.
function hear({ wanted, lost }) {
  const name = wanted === "critical" ? wanted : lost ? "nothing" : wanted;
  if (name === sounding) return;
  sounding = name;
  playedAt = 0;
  stop();
  tick();
  tell();
}

// tick plays what is due. A mute spares all but critical.
function tick() {
  if (muteEnd && !muted()) {
    muteEnd = 0;
    tell();
  }
  if (!context || !sounding) return;
  if (muted() && sounding !== "critical") return stop();
  if (Date.now() - playedAt < patterns[sounding].every) return;
  if (context.state !== "running") return;
  playedAt = Date.now();
  play(patterns[sounding]);
}

function play({ tones, vibrate }) {
  stop();
  master = context.createGain();
  master.connect(context.destination);
  for (const [start, frequency, length] of tones) tone(context.currentTime + 0.02 + start, frequency, length);
  navigator.vibrate?.(vibrate);
}

// tone is one beep with soft ends: a hard one clicks.
function tone(at, frequency, length) {
  const oscillator = context.createOscillator();
  const gain = context.createGain();
  oscillator.type = "triangle";
  oscillator.frequency.value = frequency;
  gain.gain.setValueAtTime(0, at);
  gain.gain.linearRampToValueAtTime(1, at + 0.02);
  gain.gain.setValueAtTime(1, at + length - 0.03);
  gain.gain.linearRampToValueAtTime(0, at + length);
  oscillator.connect(gain).connect(master);
  oscillator.start(at);
  oscillator.stop(at + length);
}

function stop() {
  if (!master) return;
  master.disconnect();
  master = null;
  navigator.vibrate?.(0);
}

// keepAwake asks the browser to leave the screen on: a phone that sleeps plays
// nothing. Many refuse where the page does not come by https.
async function keepAwake() {
  if (!context || (awake && !awake.released)) return;
  try {
    awake = (await navigator.wakeLock?.request("screen")) ?? null;
  } catch {
    awake = null; // the battery is low, or the page is hidden
  }
}

function tell() {
  const on = context !== null;
  part("switch").setAttribute("aria-pressed", on);
  part("switch").textContent = on ? "Sound off" : "Sound on";
  part("mute").hidden = !on;
  part("mute").textContent = muted() ? "Sound again" : "Mute 2 min";
  let says = "";
  if (on && context.state !== "running") says = "Touch the page once: the browser is silent until then.";
  else if (on && muted()) says = "Muted for 2 min, but for critical alarms.";
  if (part("says").textContent !== says) part("says").textContent = says;
}

function remembered() {
  try {
    return sessionStorage.getItem("sound") === "on";
  } catch {
    return false;
  }
}

function remember(on) {
  try {
    sessionStorage.setItem("sound", on ? "on" : "off");
  } catch {
    // No storage in this browser: the switch is off after a reload.
  }
}
