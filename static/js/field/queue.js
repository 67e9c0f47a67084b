/** Send what waits: text before photographs, one tab at a time, on a few occasions and never by asking again and again. */
import { call } from "./api.js";
import * as clock from "./clock.js";
import * as photos from "./photos.js";
import * as records from "./records.js";
import { news, session, leave, tell } from "./session.js";
import * as store from "./store.js";

const FIRST_WAIT_MS = 5_000;
const LONGEST_WAIT_MS = 300_000;
const MOST = 50;

let fails = 0;
let timer = 0;
let running = null;
let again = false;
let first = true; // on a page's first pass, what was parked is asked about once more
let most = MOST;

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
    if (again) {
      again = false;
      send();
    }
  });
  return running;
}

function later() {
  fails += 1;
  if (document.visibilityState !== "visible") return; // the next look at the page sends
  timer = setTimeout(send, Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** (fails - 1)));
}

async function pass() {
  const tried = new Set();
  const retry = first;
  if (!store.account() || session.stop) return;
  session.sending = true;
  if (!clock.isKnown()) await call("me/");
  await records.dateAll();
  for (let end = ""; !end; ) {
    const rows = (await records.all()).filter((row) => isDue(row, retry) && !tried.has(`${row.client_id} ${row.rev}`));
    const step = rows.length ? await sendText(rows.slice(0, most), tried) : await photos.sendPart(tried, retry);
    if (step === "more") fails = 0;
    else end = step;
    tell();
    if (end === "done") first = false;
    if (end === "later" || (end && (await records.all()).some((row) => row.state === "waiting"))) later();
  }
  session.sending = false;
  tell();
}

const isDue = ({ state }, retry) => ["kept", "waiting"].includes(state) || (retry && state === "parked");

async function sendText(rows, tried) {
  const json = { v: 1, account: store.account(), now: new Date().toISOString(), records: rows.map(records.envelope) };
  const { status, data } = await call("records/", { method: "POST", json });
  if (status === 200 && Array.isArray(data.results)) return settleAll(rows, data.results, tried);
  if (status === 413 || status === 400) return smaller(rows, data, tried);
  return leave(status, data) ? "stop" : "later";
}

async function settleAll(rows, results, tried) {
  let settled = 0;
  for (const row of rows) {
    const result = results.find((each) => each.client_id === row.client_id);
    tried.add(`${row.client_id} ${row.rev}`);
    if (!result) continue;
    await records.settle(row, result);
    settled += 1;
  }
  most = MOST;
  return settled ? "more" : "later";
}

/** Something in the batch cannot be read: halve it until that one is found, and keep it here with the reason. */
async function smaller(rows, data, tried) {
  most = Math.max(1, Math.floor(rows.length / 2));
  if (rows.length > 1) return "more";
  const why = data.why ?? "It is too long for the club's server. Shorten the words, or save it to a file and hand that over.";
  await records.settle(rows[0], { state: "parked", why });
  tried.add(`${rows[0].client_id} ${rows[0].rev}`);
  return "more";
}

/** Bind the occasions. */
export function listen() {
  window.addEventListener("online", () => ((fails = 0), send()));
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && send());
  news.addEventListener("saved", () => send());
}
