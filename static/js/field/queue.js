/** Send what waits: text before photographs, one tab at a time, on a few occasions and never by asking again and again. */
import { call } from "./api.js";
import * as clock from "./clock.js";
import * as photos from "./photos.js";
import * as records from "./records.js";
import { meet, news, session, tell } from "./session.js";
import * as store from "./store.js";
import { sendText } from "./text.js";

const FIRST_WAIT_MS = 5_000;
const LONGEST_WAIT_MS = 300_000;

let fails = 0;
let timer = 0;
let running = null;
let again = false;
let first = true; // on a page's first pass, what was parked is asked about once more

const locked = (work) => (navigator.locks ? navigator.locks.request("stubble-field-send", work) : work());

/** Ask for a pass. One that runs is followed by another; a signal (`online`) is never lost. */
export function send() {
  if (running) {
    again = true;
    return running;
  }
  clearTimeout(timer);
  running = locked(pass).catch(() => later()).finally(() => {
    running = null;
    if (again) send((again = false));
  });
  return running;
}

function later() {
  fails += 1;
  if (document.visibilityState !== "visible") return; // the next look at the page sends
  timer = setTimeout(send, Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** (fails - 1)));
}

async function pass() {
  if (session.stop) await meet(); // somebody may have signed in meanwhile, in another tab
  if (!store.account() || session.stop) return;
  session.sending = true;
  try {
    if (!clock.isKnown()) await call("me/");
    await records.dateAll();
    await work(new Set(), first);
  } finally {
    session.sending = false;
    tell();
  }
}

/** Step by step until nothing is due or nothing goes; what was `tried` in this pass is left for the next. */
async function work(tried, retry) {
  for (let end = ""; !end; tell()) {
    const text = await sendText(tried, retry);
    const step = text === "done" ? await photos.sendPart(tried, retry) : text;
    if (step === "more") fails = 0;
    else end = step;
    if (end === "done") first = false;
    if (end === "later" || (end && (await records.all()).some((row) => row.state === "waiting"))) later();
  }
}

/** Bind the occasions. */
export function listen() {
  window.addEventListener("online", () => ((fails = 0), send()));
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && send());
  news.addEventListener("saved", () => send());
}
