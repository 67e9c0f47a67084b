/** Talk to the server: never a redirect, never for ever, and always an answer that can be read. */
import * as clock from "./clock.js";

export const BASE = document.body.dataset.base ?? "/field/";
const PATIENCE_MS = 30_000;
const TOO_LARGE = 413; // a proxy may say this in a page of its own

/** The token that writing needs; over HTTPS its cookie has a name that only this host can set. */
function token() {
  const kept = document.cookie.split("; ").map((each) => each.split("="));
  const found = kept.find(([name]) => name === "__Host-csrftoken") ?? kept.find(([name]) => name === "csrftoken");
  return found ? decodeURIComponent(found[1]) : "";
}

async function readable(response) {
  try {
    const data = await response.json();
    return data && typeof data === "object" ? data : {};
  } catch {
    return {}; // a proxy's or a café's own page is no answer of ours
  }
}

/**
 * Ask the server. Resolves with `{status, data}`; status 0 means that nobody answered, or that the answer was not ours.
 * @param {string} path below the field page, "me/"
 * @param {{method?: string, json?: object, body?: BodyInit, headers?: object}} [options]
 */
export async function call(path, { method = "GET", json, body, headers = {} } = {}) {
  if (method !== "GET" && !token()) {
    const met = await call("me/"); // brings the cookie that writing needs
    if (met.status !== 200) return met;
  }
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), PATIENCE_MS);
  const asked = Date.now();
  try {
    const response = await fetch(BASE + path, {
      method,
      body: json ? JSON.stringify(json) : body,
      headers: {
        Accept: "application/json",
        ...(json && { "Content-Type": "application/json" }),
        ...(method !== "GET" && { "X-CSRFToken": token() }),
        ...headers,
      },
      credentials: "same-origin",
      redirect: "manual",
      cache: "no-store",
      signal: stop.signal,
    });
    const ours = (response.headers.get("Content-Type") ?? "").includes("json");
    const data = ours ? await readable(response) : {};
    clock.learn(data.at, asked, Date.now());
    return { status: ours || response.status === TOO_LARGE ? response.status : 0, data };
  } catch {
    return { status: 0, data: {} };
  } finally {
    clearTimeout(timer);
  }
}

/** A page of this club named by the server, or where that is not one, the field page. */
export function own(url) {
  return typeof url === "string" && /^\/(?![/\\])/.test(url) ? url : BASE;
}
