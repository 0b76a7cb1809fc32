// Everything of the program is kept at the first visit, each file only as it was made; what the page asks (below app/)
// goes to the tab that runs it. A newer page is fetched beside the one in use, and takes its place at the next start.

const root = new URL("./", self.location.href);
const MINE = `${root.pathname} `; // other pages of this host keep theirs
const LIST = "INTEGRITY"; // of the list of files, which says that of each
const VERSION = MINE + LIST;
const TYPES = { html: "text/html; charset=utf-8", js: "text/javascript", mjs: "text/javascript", css: "text/css", wasm: "application/wasm", svg: "image/svg+xml", png: "image/png", json: "application/json", webmanifest: "application/manifest+json" };

async function tell(message) {
  for (const client of await self.clients.matchAll({ type: "window", includeUncontrolled: true })) client.postMessage(message);
}

// The SHA-256 of a file, in the form of Subresource Integrity.
async function digest(content) {
  const hash = new Uint8Array(await crypto.subtle.digest("SHA-256", content));
  return `sha256-${btoa(String.fromCharCode(...hash))}`;
}

async function fetched(name, url, wanted) {
  let answer;
  try {
    answer = await fetch(url, { cache: "no-cache" });
  } catch {
    throw new Error(`${url} couldn't be reached.`);
  }
  if (!answer.ok) throw new Error(`The host has no ${url} (${answer.status}).`);
  const content = await answer.arrayBuffer();
  if ((await digest(content)) !== wanted) throw new Error(`${url} isn't as it was made, so nothing of this page is used.`);
  return new Response(content, { headers: { "Content-Type": TYPES[name.split(".").pop()] ?? "application/octet-stream", "X-Integrity": wanted } });
}

async function keep() {
  const cache = await caches.open(VERSION);
  const list = await fetched("files.json", new URL("files.json", root), LIST);
  await cache.put(new URL("files.json", root), list.clone());
  const { files, at } = await list.json();
  const names = Object.entries(files);
  for (const [number, [name, wanted]] of names.entries()) {
    await tell({ says: `Fetching all that is needed: ${number + 1} of ${names.length} files.` });
    const url = new URL(name, root);
    const kept = await caches.match(url); // of an earlier visit that was broken off, or of an earlier page
    if (kept?.headers.get("X-Integrity") === wanted) await cache.put(url, kept);
    else await cache.put(url, await fetched(name, at && name.startsWith("runtime/") ? at + name.slice(8) : url, wanted));
  }
  await tell({ says: "Starting. The first time takes longest; then no network is needed." });
}

self.addEventListener("install", (event) => event.waitUntil(keep().catch(async (error) => {
  await tell({ failed: error.message, help: "Try again while there is a network; what was fetched is kept." });
  throw error;
})));
self.addEventListener("activate", (event) => event.waitUntil(tidy().then(() => self.clients.claim())));
self.addEventListener("message", ({ data }) => data === "take over" && self.skipWaiting());

async function tidy() {
  for (const name of await caches.keys()) if (name !== VERSION && name.startsWith(MINE)) await caches.delete(name);
}

async function ask(request) {
  const url = new URL(request.url);
  const body = await request.arrayBuffer();
  const headers = [["content-type", request.headers.get("content-type") ?? ""]];
  // A form of another site has no referrer of ours, and so no origin: the page refuses it.
  if (request.referrer.startsWith(root.href)) headers.push(["origin", "http://127.0.0.1"]);
  const token = request.headers.get("x-page");
  if (token) headers.push(["x-page", token]);
  const plain = { method: request.method, path: `/${url.pathname.slice(root.pathname.length + 4)}`, query: url.search.slice(1), headers, body };
  const shells = (await self.clients.matchAll({ type: "window", includeUncontrolled: true })).filter(
    (client) => [root.pathname, `${root.pathname}index.html`].includes(new URL(client.url).pathname),
  );
  if (!shells.length) return Response.redirect(`${root.href}#${plain.path.slice(1)}${url.search}`, 303); // begin with one
  const answered = shells.map((client) => new Promise((done) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => done(data);
    client.postMessage({ request: plain }, [port2]);
  }));
  const late = new Promise((done) => setTimeout(done, 60000, null));
  const said = await Promise.race([...answered, late]);
  if (!said) return new Response("The program isn't running: open it again.", { status: 504 });
  const { status, head, content } = said;
  if (status >= 300 && status < 400) {
    const to = new URL(Object.fromEntries(head).location, url);
    return Response.redirect(to, 303);
  }
  return new Response([204, 304].includes(status) ? null : content, { status, headers: head });
}

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (url.origin !== root.origin || !url.pathname.startsWith(root.pathname)) return;
  if (url.pathname.startsWith(`${root.pathname}app/`)) return event.respondWith(ask(event.request));
  if (event.request.method !== "GET") return;
  const name = url.pathname === root.pathname ? new URL("index.html", root) : url.origin + url.pathname;
  event.respondWith(caches.open(VERSION).then((cache) => cache.match(name)).then((kept) => kept ?? fetch(event.request)));
});
