/** The field page: shows the screen that the address names, the line of what waits, and starts what runs beside. */
import { BASE } from "./api.js";
import { el, notice, status } from "./dom.js";
import * as pack_ from "./pack.js";
import * as photos from "./photos.js";
import * as queue from "./queue.js";
import * as records from "./records.js";
import { usual } from "./drills.js";
import { lineOf } from "./says.js";
import { SCREENS } from "./screens.js";
import { meet, news, noteWaiting, resume, session, tell } from "./session.js";
import * as store from "./store.js";
import { say } from "./tongue.js";
import * as update from "./update.js";
import * as walk from "./walk.js";

const main = document.querySelector("main");
const line = document.querySelector("[data-state]");
let leave = null;
let flash = null;
let turn = 0;

/** Go to another screen, or draw this one again, with words to say there and ways to go on: [words, address]. */
function go(hash, words = "", ways = []) {
  flash = words ? { words, ways } : null;
  if (location.hash === hash) route();
  else location.hash = hash;
}

/** Draw again when something changed; whoever's focus was on a control stays on it. */
function load(draw) {
  let last = Promise.resolve();
  const again = () => (last = last.then(async () => {
    const root = main.querySelector("section");
    const at = [...root.querySelectorAll("a, button")].indexOf(document.activeElement);
    await draw();
    if (at >= 0) root.querySelectorAll("a, button")[at]?.focus();
  }));
  news.addEventListener("change", again);
  return () => news.removeEventListener("change", again);
}

async function countUp() {
  const rows = await records.all();
  const waiting = rows.filter(({ state }) => state !== "sent").length;
  const parked = rows.filter(({ state }) => state === "parked").length;
  const pictures = (await photos.all()).filter(({ state }) => state !== "stored");
  if (store.account()) noteWaiting(waiting + pictures.length);
  const needs = parked + pictures.filter(({ state }) => state === "parked").length;
  const { shape, words } = lineOf({ kept: waiting - parked, parked: needs, photos: pictures.length, sending: session.sending, stop: session.stop });
  if (line.textContent.trim() !== words) line.replaceChildren(status(shape, words));
}

async function route() {
  const mine = (turn += 1);
  const [name = "", ...args] = location.hash.replace(/^#\/?/, "").split("/");
  const screen = SCREENS[name] ?? SCREENS[""];
  if (name === "offline") flash ??= { words: say("That page needs a signal. Everything on this one works without."), ways: [] };
  const pack = await pack_.current();
  const old = args[0] === "edit" ? await store.get("records", args[1]) : null;
  if (mine !== turn) return; // the person went on meanwhile
  leave?.();
  leave = null;
  const heading = el("h1", { tabindex: "-1" }, screen.title);
  const said = flash && notice("success", flash.words, ...flash.ways.map(([words, hash]) => el("p", {}, el("a", { class: "button big", href: hash }, words))));
  const root = el("section", {});
  main.replaceChildren(...[heading, said && el("div", { role: "status" }, said), root].filter(Boolean));
  document.title = `${screen.title} · ${say("Field page")}`;
  flash = null;
  heading.focus({ preventScroll: true });
  scrollTo(0, 0);
  const setTitle = (words) => (heading.textContent = words);
  const refresh = async () => ((await meet()), pack_.refresh());
  const drills = pack?.drills?.length ? pack.drills : usual();
  if (screen.needs && !pack) root.append(notice("soon", say("No hunt is stored on this phone, so there is nothing to record for yet.")), el("a", { class: "button big", href: "#/hunt" }, say("Ask for today's hunt")));
  else leave = (await screen.show(root, { pack: pack ?? (screen.bare ? pack_.BARE : null), args, old, go, load, drills, setTitle, refresh })) ?? null;
  if (name === "") update.settle();
}

async function start() {
  const known = await resume().catch(() => false);
  queue.listen();
  news.addEventListener("change", countUp);
  window.addEventListener("hashchange", route);
  await route();
  await countUp();
  const wrong = await update.start(BASE, () => ["", "#/", "#"].includes(location.hash));
  if (wrong) main.prepend(notice("soon", wrong));
  if (navigator.onLine !== false || !known) await meet();
  if (store.account()) await pack_.start();
  if (location.hash === "#/hunt") await route();
  else tell(); // the first screen draws itself again, and what it has just said stays
  if (store.account()) await walk.resume(await pack_.current());
  await queue.send();
}

start();
