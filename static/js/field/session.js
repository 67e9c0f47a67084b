/** Who is here, what the server says about that, and what leaves the phone when they go. */
import { BASE, call, own } from "./api.js";
import * as clock from "./clock.js";
import * as store from "./store.js";
import { forget, thin } from "./wipe.js";

const WHO = "field-account";
const COUNTS = "field-waiting"; // account → how many records wait: a number, so that it may stay when somebody signs out

export const news = new EventTarget();
const tabs = "BroadcastChannel" in window ? new BroadcastChannel("stubble-field") : null;
tabs?.addEventListener("message", () => news.dispatchEvent(new Event("change")));

/** `stop`: "" | "out" | "ended" | "other": why nothing is sent; `signIn`: where one signs in; `sending`: just now. */
export const session = { stop: "", why: "", signIn: "", sending: false };

/** Tell every open tab that something changed; `what` "saved" also starts sending here. */
export function tell(what = "change") {
  news.dispatchEvent(new Event(what));
  if (what !== "change") news.dispatchEvent(new Event("change"));
  tabs?.postMessage("change");
}

const counts = () => JSON.parse(localStorage.getItem(COUNTS) ?? "{}");

/** Note how many wait for the account that is open. */
export function noteWaiting(number) {
  const all = counts();
  all[store.account()] = number;
  if (!number) delete all[store.account()];
  localStorage.setItem(COUNTS, JSON.stringify(all));
}

/** How many records of anybody else wait on this phone. */
export function waitingForOthers() {
  return Object.entries(counts()).reduce((sum, [account, number]) => sum + (account === store.account() ? 0 : number), 0);
}

/** Open the store of whoever used this phone last, without a network. False: nobody is known. */
export async function resume() {
  const last = localStorage.getItem(WHO);
  if (!last) return false;
  await store.open(last);
  await clock.load();
  return true;
}

/** Ask who is signed in; another account than the last one gets its own store, and the last one's packs go. */
export async function meet() {
  const { status, data } = await call("me/");
  if (status !== 200 || typeof data.account !== "string") return leave(status, data);
  if (data.account !== localStorage.getItem(WHO)) {
    if (store.account()) await forget();
    await store.open(data.account);
    await clock.load();
    localStorage.setItem(WHO, data.account);
  }
  Object.assign(session, { stop: "", why: "", signIn: "" });
  await store.keep("name", data.name ?? "");
  return true;
}

/** Act on an answer that means "not here": 401 signed out, 403 no member any more, 409 somebody else. True if it was one. */
export function leave(status, data) {
  const stop = { 401: "out", 403: data.ended && "ended", 409: "other" }[status];
  if (!stop) return false;
  Object.assign(session, { stop, why: data.why ?? "", signIn: `${own(data.sign_in)}?next=${encodeURIComponent(BASE)}` });
  const wiped = store.account() ? (stop === "out" ? thin() : forget()) : Promise.resolve();
  wiped.catch(() => {}).finally(() => tell());
  return true;
}

/** Sign this phone out: wiped, and nobody is known here any more until somebody signs in. */
export async function forgetMe() {
  await forget();
  localStorage.removeItem(WHO);
  store.close();
}
