{% autoescape off %}/** Opens the field page without a network: one version's files, stored all or not at all, and never two versions mixed; a language is a version of its own. */
const VERSION = "{{ version }}";
const FILES = {{ files }};
const PAGE = "{% url 'field:shell' %}";
const MANIFEST = "{% url 'field:manifest' %}";
const NAME = `field-${VERSION}`;{% endautoescape %}

/** Everything from the network itself; a file that is not this version's fails by its digest, and the worker is not installed. */
async function store() {
  const cache = await caches.open(NAME);
  const page = await fetch(PAGE, { cache: "reload" });
  if (!page.ok || page.headers.get("X-Field-Version") !== VERSION) throw new Error("The page is another version's.");
  const manifest = await fetch(MANIFEST, { cache: "reload" });
  if (!manifest.ok || manifest.headers.get("X-Field-Version") !== VERSION) throw new Error("The manifest is another version's.");
  const files = await Promise.all(FILES.map(async ({ url, integrity }) => [url, await fetch(url, { cache: "reload", integrity })]));
  for (const [url, answer] of [[PAGE, page], [MANIFEST, manifest], ...files]) {
    if (!answer.ok) throw new Error(`${url} did not come.`);
    await cache.put(url, answer);
  }
}

self.addEventListener("install", (event) => event.waitUntil(store()));

self.addEventListener("activate", (event) => event.waitUntil((async () => {
  const old = (await caches.keys()).filter((name) => name.startsWith("field-") && name !== NAME);
  await Promise.all(old.map((name) => caches.delete(name)));
  await self.clients.claim();
})()));

// The page says when: not while somebody types.
self.addEventListener("message", (event) => event.data === "take over" && self.skipWaiting());

const KNOWN = new Set([PAGE, MANIFEST, ...FILES.map(({ url }) => new URL(url, self.location.href).pathname)]);

// `caches.match` and not `caches.open`: a worker on its way out would make its deleted cache again, empty.
async function answer(request, path) {
  return (await caches.match(path, { cacheName: NAME })) ?? fetch(request);
}

/** A page that needs a signal, without one: back to the field page. */
const back = (request) => fetch(request).catch(() => Response.redirect(`${PAGE}#/offline`));

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  if (KNOWN.has(url.pathname)) event.respondWith(answer(request, url.pathname));
  else if (request.mode === "navigate") event.respondWith(back(request));
});
